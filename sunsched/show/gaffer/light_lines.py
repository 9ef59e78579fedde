"""How much light a setup has: sun out and sun in side by side, exposure, contrast and colour."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sunsched.day.kit.camera import Camera
from sunsched.day.kit.ground import GROUNDS
from sunsched.day.model import Day
from sunsched.show.gaffer.lines import (
    NOT_COMPUTED,
    Line,
    Section,
    counted_stops,
    ev_text,
    kelvin_text,
    klx_text,
    stops_text,
    t_stop_text,
)
from sunsched.show.gaffer.moment import Setup, Sun
from sunsched.sky.daylight.colour import OVERCAST_K, Colour, colour_of
from sunsched.sky.daylight.exposure import (
    exposure_value,
    nd_density,
    nd_stops,
    stops_between,
    t_stop,
)
from sunsched.sky.daylight.illuminance import (
    LEAST_DEG,
    Daylight,
    Sky,
    daylight,
    face_klx,
    twilight_klx,
)

DARK_KLX = 1e-4  # below it nobody exposes by a model


@dataclass(frozen=True, slots=True, kw_only=True)
class Faces:
    """Light on upright faces in klx: turned to the sun, to the lens, and away from the sun."""

    lit: float
    to_lens: float
    shadow: float


def light_section(day: Day, setup: Setup, sun: Sun) -> Section:
    """Give the lines on light, at the middle of the roll; of dusk at its start and its end."""
    height = float(sun.elevation_deg[sun.middle])
    lines = _dusk(day, sun) if height < LEAST_DEG else _by_day(day, setup, sun, height)
    return Section(title="light", lines=tuple(lines))


def faces(found: Daylight, height_deg: float, from_lens_deg: float, ground: float) -> Faces:
    """Give the light on the three faces.

    Parameters
    ----------
    from_lens_deg : bearing of the sun from that of the lens; a face to the lens looks the other way
    ground : share that the ground throws back
    """
    turned = 180.0 - abs(from_lens_deg)
    lit, to_lens, shadow = (
        face_klx(found, height_deg, one, ground) for one in (0.0, turned, 180.0)
    )
    return Faces(lit=lit, to_lens=to_lens, shadow=shadow)


def exposure_text(camera: Camera, klx: float) -> str:
    """Say how a light is exposed, and what brings it to the stop that is wanted."""
    ev = exposure_value(1000.0 * klx)
    stop = t_stop(ev, camera)
    over = nd_stops(stop, camera.stop)
    wanted = f"T{camera.stop:g}"
    text = f"{ev_text(ev)}, {t_stop_text(stop)}"
    if over >= 1 / 6:
        return f"{text}; for {wanted} ND {nd_density(over):.1f} ({counted_stops(over)})"
    if over <= -1 / 6:
        return f"{text}; {counted_stops(-over)} short of {wanted}"
    return f"{text}, as wanted"


def camera_text(day: Day) -> str:
    """Say with which camera a page's figures are, and how it is set."""
    camera = day.camera
    squeeze = "" if camera.squeeze == 1.0 else f", squeeze {camera.squeeze:g}"
    return (
        f"camera: {camera.sensor_width_mm:.1f} × {camera.sensor_height_mm:.1f} mm{squeeze}, "
        f"ISO {camera.iso:g}, {camera.shutter_deg:g}° at {camera.frames_s:g} a second, "
        f"T{camera.stop:g} wanted"
    )


def _by_day(day: Day, setup: Setup, sun: Sun, height: float) -> Iterator[Line]:
    number, arrives = setup.start.timetuple().tm_yday, float(sun.arrives[sun.middle])
    from_lens = float(sun.from_lens_deg(setup.look_deg)[sun.middle])
    ground = setup.spot.ground.share
    kinds = {
        "clear, sun out": daylight(height, number, Sky.CLEAR, arrives),
        "clouds, sun out": daylight(height, number, Sky.PARTLY, arrives),
        "clouds, sun in": daylight(height, number, Sky.PARTLY, 0.0),
        "overcast": daylight(height, number, Sky.CLOUDY),
    }
    if arrives <= 0.0:
        kinds = {
            "clear, in the shade": kinds["clear, sun out"],
            "clouds": kinds["clouds, sun in"],
            "overcast": kinds["overcast"],
        }
    for name, found in kinds.items():
        yield _level(day, name, found, faces(found, height, from_lens, ground))
    clear = next(iter(kinds.values()))
    yield _contrast(setup, clear, height, from_lens)
    yield _colour(day, height, is_hidden=arrives <= 0.0)


def _level(day: Day, name: str, found: Daylight, of: Faces) -> Line:
    sun = f"sun {klx_text(found.beam)}, " if found.beam > 0.0 else ""
    text = (
        f"{sun}sky {klx_text(found.sky_horizontal)}, on the ground {klx_text(found.total)}; "
        f"face to the sun {exposure_text(day.camera, of.lit)}; "
        f"face to the lens {exposure_text(day.camera, of.to_lens)}"
    )
    figures = {
        "sun_klx": round(found.beam, 2),
        "sky_klx": round(found.sky_horizontal, 2),
        "total_klx": round(found.total, 2),
        "face_to_sun_klx": round(of.lit, 2),
        "face_to_lens_klx": round(of.to_lens, 2),
        "face_away_klx": round(of.shadow, 2),
        "face_to_sun_ev": round(exposure_value(1000.0 * of.lit), 2),
        "face_to_lens_ev": round(exposure_value(1000.0 * of.to_lens), 2),
    }
    brief = (klx_text(found.total), _brief(day.camera, of.lit), _brief(day.camera, of.to_lens))
    return Line(name=name, text=text, brief=brief, figures=figures)


def _brief(camera: Camera, klx: float) -> str:
    ev = exposure_value(1000.0 * klx)
    return f"{ev_text(ev)}, {t_stop_text(t_stop(ev, camera))}"


def _contrast(setup: Setup, clear: Daylight, height: float, from_lens: float) -> Line:
    own = setup.spot.ground.name
    by_ground = {}
    for one in {own: setup.spot.ground, **GROUNDS}.values():
        of = faces(clear, height, from_lens, one.share)
        by_ground[one.name] = stops_between(of.lit, of.shadow)
    others = ", ".join(
        f"{name} {stops_text(stops)}" for name, stops in by_ground.items() if name != own
    )
    text = (
        f"lit side over shadow side {counted_stops(by_ground[own])} over {own} under a clear sky "
        f"({others})"
    )
    figures = {f"contrast_{name}_stops": round(by_ground[name], 2) for name in GROUNDS}
    figures["contrast_stops"] = round(by_ground[own], 2)
    brief = (counted_stops(by_ground[own]), f"over {own}")
    return Line(name="contrast", text=text, brief=brief, figures=figures)


def _colour(day: Day, height: float, *, is_hidden: bool) -> Line:
    haze = day.weather.haze
    found: Colour | None = colour_of(height, haze)
    if found is None:
        return Line(name="colour", text=f"{NOT_COMPUTED}: the sun is below 2°")
    sky = f"open sky {kelvin_text(found.sky_k)}"
    overcast = f"in {haze} air; overcast {kelvin_text(OVERCAST_K)}"
    if is_hidden:
        brief = ("open sky", f"{kelvin_text(found.sky_k)}".partition(" (")[0])
        figures = {"sky_k": round(found.sky_k)}
        return Line(name="colour", text=f"{sky} {overcast}", brief=brief, figures=figures)
    sun, both = (kelvin_text(one) for one in (found.sun_k, found.both_k))
    text = f"sun {sun}, {sky}, both {both} {overcast}"
    figures = {
        "sun_k": round(found.sun_k),
        "sky_k": round(found.sky_k),
        "both_k": round(found.both_k),
    }
    brief = ("sun", sun.partition(" (")[0])
    return Line(name="colour", text=text, brief=brief, figures=figures)


def _dusk(day: Day, sun: Sun) -> Iterator[Line]:
    last = min(sun.roll_min, len(sun.elevation_deg) - 1)
    for name, minute in (("at the start", 0), ("at the end", last)):
        height = float(sun.elevation_deg[minute])
        klx = twilight_klx(height)
        if klx is None or klx < DARK_KLX:
            text = f"{NOT_COMPUTED}: the sun is {-height:.0f}° below the horizon, it is night"
            yield Line(name=name, text=text, brief=("night",), figures={"total_klx": klx})
            continue
        text = f"clear sky {klx_text(klx)} on the ground; {exposure_text(day.camera, klx)}"
        brief = (klx_text(klx), _brief(day.camera, klx), "on the level")
        yield Line(name=name, text=text, brief=brief, figures={"total_klx": round(klx, 5)})
    yield Line(name="clouds", text="an overcast takes about 3⅓ stops more, a dark one far more")
    is_down = float(sun.elevation_deg[last]) < 0.0
    why = "blue, above 8000 K once the sun is down" if is_down else "the sun is below 2°"
    yield Line(name="colour", text=f"{NOT_COMPUTED}: {why}")
