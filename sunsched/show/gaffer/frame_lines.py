"""What to build for a setup: where each frame of its rig stands, and what it does for how long."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import numpy as np

from sunsched.day.clock import clock
from sunsched.day.kit.frame import Finish, Frame, FrameKind
from sunsched.day.model import Day
from sunsched.show.gaffer.lines import (
    NOT_COMPUTED,
    Line,
    Section,
    counted_stops,
    klx_text,
    metres_text,
)
from sunsched.show.gaffer.moment import Setup, Sun
from sunsched.show.layout import bearing_text
from sunsched.sky.daylight.exposure import stops_between
from sunsched.sky.daylight.illuminance import LEAST_DEG, Sky, daylight, face_klx
from sunsched.sky.grip.bounce import (
    Aim,
    Board,
    bounced_klx,
    direction,
    form_factor,
    half_way,
    tipped_gain_stops,
)
from sunsched.sky.grip.cloth import distance_stops
from sunsched.sky.grip.overhead import REACH, Overhead, covered_min, shade, walk_m_min
from sunsched.sky.grip.weather import wind_force_n
from sunsched.sky.track import FloatArray

AGAINST = -0.999  # cosine between sun and subject from which nothing can be thrown
NEARER_M = 1.0  # how much nearer a bounce is moved to see what that gains


def frame_section(day: Day, setup: Setup, sun: Sun) -> Section:
    """Give the lines on the frames of the setup's rig."""
    height = float(sun.elevation_deg[0])
    frames = day.frames_of(setup.rig)
    lines: list[Line] = []
    for frame in frames:
        if height < LEAST_DEG:
            text = f"{NOT_COMPUTED}: the sun is {_height_text(height)}"
            lines.append(Line(name=frame.name, text=text, brief=(text,)))
        elif frame.kind is FrameKind.OVERHEAD:
            lines += _overhead(day, setup, sun, frame)
        elif frame.kind is FrameKind.BOUNCE:
            lines += _bounce(day, setup, sun, frame)
        else:
            lines += _black(day, frame)
    return Section(title="frames", lines=tuple(lines))


def _height_text(height: float) -> str:
    return f"{height:.0f}° high" if height > 0.0 else "below the horizon"


def _overhead(day: Day, setup: Setup, sun: Sun, frame: Frame) -> Iterator[Line]:
    if not sun.arrives[: sun.roll_min].any():
        text = "no direct sun comes to it in this roll: the skyline hides it"
        yield Line(name=frame.name, text=text, brief=("no direct sun",))
        yield from _wind(day, frame)
        return
    own = Overhead(side_m=frame.side_m, above_m=frame.above_m)
    height, toward = float(sun.elevation_deg[0]), float(sun.azimuth_deg[0])
    found = shade(own, height)
    subject = day.rig(setup.rig).subject_m
    name = frame.name
    text = (
        f"overhead {metres_text(frame.side_m)} square, {metres_text(frame.above_m)} over the face: "
        f"its centre stands {metres_text(found.offset_m)} toward {bearing_text(day, toward)}"
    )
    brief = f"centre {metres_text(found.offset_m)} toward {bearing_text(day, toward)}"
    if found.offset_m > REACH * frame.above_m:
        text += "; not practical, so low a sun wants an upright frame"
        brief += ", not practical"
    figures = {"offset_m": round(found.offset_m, 2), "toward_deg": round(toward, 1)}
    yield Line(name=name, text=text, brief=(brief,), figures=figures)
    if min(found.along_m, found.across_m) < subject:
        text = (
            f"its full shadow is {metres_text(found.along_m)} by {metres_text(found.across_m)}: "
            f"smaller than the subject ({metres_text(subject)})"
        )
        figures = {"along_m": round(found.along_m, 2), "across_m": round(found.across_m, 2)}
        yield Line(name=name, text=text, brief=("smaller than the subject",), figures=figures)
    else:
        yield _holds(day, setup, sun, own, frame)
    yield _cloth(setup, sun, frame)
    yield from _wind(day, frame)


def _holds(day: Day, setup: Setup, sun: Sun, own: Overhead, frame: Frame) -> Line:
    heights, bearings, subject = sun.elevation_deg, sun.azimuth_deg, day.rig(setup.rig).subject_m
    centred, led = (
        covered_min(own, subject, heights, bearings, is_led=is_led) for is_led in (False, True)
    )
    found = shade(own, float(heights[0]))
    along, across, _ = walk_m_min(
        own,
        float(heights[0]),
        float(heights[1] - heights[0]),
        float((bearings[1] - bearings[0] + 180.0) % 360.0 - 180.0),
    )
    until, later = (
        clock(day, setup.start + timedelta(minutes=minutes)) for minutes in (centred, led)
    )
    is_over = "the whole roll" if led >= sun.roll_min else "not the whole roll"
    text = (
        f"full shadow {metres_text(found.along_m)} by {metres_text(found.across_m)}; walks "
        f"{1000 * abs(along):.0f} mm a minute along the sun, {1000 * abs(across):.0f} across; "
        "covers "
        f"{metres_text(subject)} for {centred} min centred (to {until}), {led} led (to {later}): "
        f"{is_over}"
    )
    figures = {
        "along_m": round(found.along_m, 2),
        "across_m": round(found.across_m, 2),
        "walks_along_m_min": round(along, 3),
        "walks_across_m_min": round(across, 3),
        "covers_centred_min": centred,
        "covers_led_min": led,
    }
    brief = f"covers {metres_text(subject)} to {until}, led to {later}"
    return Line(name=frame.name, text=text, brief=(brief,), figures=figures)


def _cloth(setup: Setup, sun: Sun, frame: Frame) -> Line:
    takes = frame.takes_stops
    if takes is None:
        text = "solid: no sun comes through"
        return Line(name=frame.name, text=text, brief=("solid",), figures={"takes_stops": None})
    far = distance_stops(frame.side_m, frame.above_m)
    height = float(sun.elevation_deg[sun.middle])
    number = setup.start.timetuple().tm_yday
    clear = daylight(height, number, Sky.CLEAR, float(sun.arrives[sun.middle]))
    ground = setup.spot.ground.share
    turned = 180.0 - abs(float(sun.from_lens_deg(setup.look_deg)[sun.middle]))
    key = clear.beam_normal * 2.0**-takes
    behind = face_klx(clear, height, turned, ground)
    brief = f"{frame.cloth} takes {counted_stops(takes)}"
    text = f"{brief}, and up to {counted_stops(far)} more so far over the face"
    figures = {"takes_stops": round(takes, 2), "distance_stops": round(far, 2)}
    if key > 0.0:
        apart = stops_between(behind, key)
        word = "over" if apart >= 0 else "under"
        text += (
            f"; through it the sun is {klx_text(key)}, and what stands in the open behind "
            f"{counted_stops(abs(apart))} {word} that"
        )
        figures |= {"key_klx": round(key, 2), "background_over_key_stops": round(apart, 2)}
    return Line(name=frame.name, text=text, brief=(brief,), figures=figures)


def bounce_aim(setup: Setup, sun: Sun) -> Aim | None:
    """Give the aim of a bounce beside the lens; None where the sun stands right behind it."""
    ray, to_face = _rays(setup, sun)
    return None if float(ray @ to_face) < AGAINST else half_way(ray, to_face)


def _rays(setup: Setup, sun: Sun) -> tuple[FloatArray, FloatArray]:
    """Give the directions from a bounce to the sun, in the middle of the roll, and to the face.

    It stands on the lens's side of the face, level with it.
    """
    middle = sun.middle
    ray = direction(float(sun.azimuth_deg[middle]), float(sun.elevation_deg[middle]))
    return ray, direction(setup.look_deg, 0.0)


def _bounce(day: Day, setup: Setup, sun: Sun, frame: Frame) -> Iterator[Line]:
    middle = sun.middle
    height = float(sun.elevation_deg[middle])
    number, arrives = setup.start.timetuple().tm_yday, float(sun.arrives[middle])
    clear = daylight(height, number, Sky.CLEAR, arrives)
    beam = clear.beam_normal
    aim = bounce_aim(setup, sun)
    if beam <= 0.0 or aim is None:
        text = "no sun reaches it here" if aim else "the sun is right behind it: it throws nothing"
        yield Line(name=frame.name, text=text, brief=(text,))
        return
    ray, to_face = _rays(setup, sun)
    is_mirror = frame.finish is Finish.MIRROR
    board = Board(side_m=frame.side_m, reflectance=frame.reflectance, is_mirror=is_mirror)
    level = bounced_klx(board, frame.away_m, beam, ray, to_face)
    under = stops_between(beam, level)
    turned = 180.0 - abs(float(sun.from_lens_deg(setup.look_deg)[middle]))
    bare = face_klx(clear, height, turned, setup.spot.ground.share)
    lifts = stops_between(bare + level, bare)
    apart = f"{counted_stops(abs(under))} {'under' if under >= 0 else 'over'} the sun"
    text = (
        f"{frame.finish} bounce {metres_text(frame.side_m)} square beside the lens, "
        f"{metres_text(frame.away_m)} from the face: aim it at "
        f"{bearing_text(day, aim.bearing_deg)}, tipped up {aim.tilt_deg:.0f}°; it gives "
        f"{klx_text(level)}, {apart}, and lifts a face to the lens by {counted_stops(lifts)}"
    )
    brief = (
        f"aim {bearing_text(day, aim.bearing_deg)}, up {aim.tilt_deg:.0f}°: "
        f"{klx_text(level)}, lifts the face {counted_stops(lifts)}"
    )
    figures = {
        "aim_deg": round(aim.bearing_deg, 1),
        "tilt_deg": round(aim.tilt_deg, 1),
        "gives_klx": round(level, 2),
        "under_sun_stops": round(under, 2),
        "lifts_stops": round(lifts, 2),
    }
    yield Line(name=frame.name, text=text, brief=(brief,), figures=figures)
    if is_mirror:
        text = "a mirror: its patch moves twice as fast as the sun, and nobody looks into it"
        yield Line(name=frame.name, text=text)
    else:
        yield from _moved(board, frame, beam, (ray, to_face), level, height)
    yield from _wind(day, frame)


def _moved(
    board: Board,
    frame: Frame,
    beam: float,
    rays: tuple[FloatArray, FloatArray],
    level: float,
    height: float,
) -> Iterator[Line]:
    parts, figures = [], {}
    if frame.away_m > 2.0 * NEARER_M:
        near = bounced_klx(board, frame.away_m - NEARER_M, beam, *rays)
        gain = stops_between(near, level)
        parts.append(f"{metres_text(NEARER_M)} nearer gains {counted_stops(gain)}")
        figures["nearer_gains_stops"] = round(gain, 2)
    gain = tipped_gain_stops(min(height, 85.0))
    if gain >= 1 / 6:
        parts.append(
            f"tipped it gives up to {counted_stops(gain)} more than an upright board that faces "
            "the subject"
        )
    figures["tipped_gains_stops"] = round(gain, 2)
    if parts:
        yield Line(name=frame.name, text="; ".join(parts), figures=figures)


def _black(day: Day, frame: Frame) -> Iterator[Line]:
    """A black takes the sky and the ground that it stands before, not the sun."""
    half = frame.side_m / 2.0
    corners = np.array([[half, half, 0], [half, -half, 0], [-half, -half, 0], [-half, half, 0]])
    share = form_factor(corners.astype(np.float64), np.array([0.0, 0.0, frame.away_m]))
    takes = -np.log2(max(1e-6, 1.0 - share))
    text = (
        f"black {metres_text(frame.side_m)} square, {metres_text(frame.away_m)} from the face on "
        f"its shadow side: takes {counted_stops(takes)} of the fill there"
    )
    brief = f"takes {counted_stops(takes)} of the fill, {metres_text(frame.away_m)} off"
    figures = {"takes_stops": round(float(takes), 2)}
    yield Line(name=frame.name, text=text, brief=(brief,), figures=figures)
    yield from _wind(day, frame)


def _wind(day: Day, frame: Frame) -> Iterator[Line]:
    gust = day.weather.gust_m_s
    if gust is None:
        text = f"wind {NOT_COMPUTED}: no gust is given (`[weather] gust_m_s`)"
        yield Line(name=frame.name, text=text, brief=("no gust is given",))
        return
    force = wind_force_n(frame.side_m, gust)
    kilos = force / 9.81
    text = (
        f"a gust of {gust:g} m/s pulls at it with {force:.0f} N, as {kilos:.0f} kg do, if it is "
        "solid and across the wind, and lifts it as well: the key grip sets the limit"
    )
    brief = f"gust of {gust:g} m/s: {force:.0f} N and uplift"
    yield Line(name=frame.name, text=text, brief=(brief,), figures={"wind_n": round(force)})
