"""A spot's skyline unrolled, the sun's path over it with its hours, and the shots' frames."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from sunsched.day.model import Day, Spot
from sunsched.folder.text.bands import POINTS
from sunsched.show.charts.spots.frame_bars import FRAME, ROW_IN, draw_frames, frame_rows
from sunsched.show.charts.spots.sky_circle import PATH, SKYLINE
from sunsched.show.drawing.figure import (
    RULE,
    VERMILION,
    Style,
    add_axes,
    write,
    write_lines,
)
from sunsched.show.drawing.key import KeyEntry, draw_key, key_height_in, key_rows
from sunsched.show.drawing.labels import Box, box_around, label_box
from sunsched.show.drawing.lettering import FAINT, Words, width_in, wrapped_words
from sunsched.show.drawing.picture import Picture, alone
from sunsched.show.layout import bearings_note, span_times
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.sky.horizon import direct_spans, horizon_deg, overhangs_deg, showing_deg
from sunsched.sky.track import FloatArray, SunTrack

HIDDEN: Style = {"color": "black", "linewidth": 0.9, "linestyle": (0, (1.5, 1.5))}
OVERHANG: Style = {"facecolor": "0.94", "edgecolor": "0.35", "linewidth": 0.8, "hatch": "xxxx"}
HOUR: Style = {"color": "black", "marker": "o", "markersize": 3.6, "linestyle": ""}
HOUR_IN: Style = HOUR | {"markerfacecolor": VERMILION, "markersize": 4.6}
PHONE_IN, LEAST_IN, MOST_IN = 2.7, 1.9, 7.0  # height of the sky
LEAST_TOP_DEG = 30.0
LOWEST_DEG = -4.0
POINTS_IN = 0.22  # of the compass
SIDE_IN = 0.34  # for the degrees beside the picture
HOUR_REACH_IN = 0.45  # a label that has to stand farther from its hour says nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Panorama:
    """The unrolled circle on its axes, whose units are inches from the corner below left.

    The sun's highest azimuth stands in the middle, so that its path is whole in both hemispheres.
    """

    axes: Axes
    wide_in: float
    high_in: float
    middle_deg: float
    low_deg: float
    top_deg: float

    def across(self, azimuth_deg: FloatArray | float) -> FloatArray:
        """Give where azimuths stand."""
        return _across(azimuth_deg, self.middle_deg, self.wide_in)

    def up(self, elevation_deg: FloatArray | float) -> FloatArray:
        """Give where elevations stand."""
        share = (np.asarray(elevation_deg) - self.low_deg) / (self.top_deg - self.low_deg)
        return np.asarray(share * self.high_in)


def skyline_figure(
    day: Day, spot: Spot, track: SunTrack, *, shape: Shape = Shape.PHONE, is_bare: bool = False
) -> Figure:
    """Draw a spot's skyline all around, the sun over it on the day, and its shots' frames.

    Frames are those of shots with a `lens_mm`, as wide as the camera's sensor makes them; how high
    they reach nobody knows without the tilt.
    """
    setting = paper(shape)
    return alone(day, setting, skyline_picture(day, spot, track, setting), is_bare=is_bare)


def skyline_picture(day: Day, spot: Spot, track: SunTrack, setting: Paper) -> Picture:
    """Give the picture of a spot's skyline."""
    shots = [shot for shot in day.shots if shot.spot == spot.name and shot.lens_mm]
    wide = setting.room_in - SIDE_IN
    middle_deg = float(track.azimuth_deg[int(track.elevation_deg.argmax())])
    rows = frame_rows(
        day,
        shots,
        lambda azimuth_deg: float(_across(azimuth_deg, middle_deg, wide)),
        wide,
        setting,
    )
    direct = direct_spans(spot.horizon, track)
    sun = f"direct sun {span_times(day, direct)}" if direct else "no direct sun"
    told = wrapped_words(sun, setting.room_in, setting.text_pt)
    key = key_rows(_key(day, spot, bool(shots)), setting)
    over = sum(line.height_in for line in told) + 0.1
    frames_in = ROW_IN * len(rows) + (0.08 if rows else 0.0)
    below = POINTS_IN + frames_in + key_height_in(key, setting) + 0.05
    is_phone = setting.height_in is None

    def draw(figure: Figure, top: float, height: float) -> None:
        write_lines(figure, setting.margin_in, top, told)
        top += over
        high = height - over - below
        left = setting.margin_in + SIDE_IN
        axes = add_axes(figure, left, top, wide, high)
        panorama = _panorama(axes, spot, track, middle_deg, wide, high)
        _draw_rules(figure, panorama, left, top, setting)
        _draw_skyline(panorama, spot)
        _draw_sun(panorama, spot, track)
        _draw_hours(panorama, day, spot, track, setting)
        draw_frames(figure, rows, left, top + high + POINTS_IN + 0.04, setting)
        draw_key(figure, top + high + POINTS_IN + frames_in + 0.05, key, setting)

    return Picture(
        name=f"skyline of {spot.name}",
        subject=f"The skyline of {spot.name}",
        least_in=over + (PHONE_IN if is_phone else LEAST_IN) + below,
        most_in=over + (PHONE_IN if is_phone else MOST_IN) + below,
        draw=draw,
    )


def _across(azimuth_deg: FloatArray | float, middle_deg: float, wide_in: float) -> FloatArray:
    turned = (np.asarray(azimuth_deg) - middle_deg + 180.0) % 360.0
    return np.asarray(turned / 360.0 * wide_in)


def _panorama(
    axes: Axes, spot: Spot, track: SunTrack, middle_deg: float, wide: float, high: float
) -> Panorama:
    tallest = max(
        LEAST_TOP_DEG,
        float(track.apparent_elevation_deg.max()),
        *(point.elevation_deg for point in spot.horizon),
    )
    lowest = min(LOWEST_DEG, *(point.elevation_deg for point in spot.horizon), 0.0)
    axes.set_xlim(0.0, wide)
    axes.set_ylim(0.0, high)
    return Panorama(
        axes=axes,
        wide_in=wide,
        high_in=high,
        middle_deg=middle_deg,
        low_deg=lowest,
        top_deg=min(90.0, tallest * 1.1),
    )


def _key(day: Day, spot: Spot, has_frames: bool) -> list[KeyEntry]:
    entries = [
        KeyEntry(label="the sun, its hours", line=PATH | HOUR_IN | {"linestyle": "-"}),
        KeyEntry(label="behind the skyline", line=HIDDEN),
    ]
    if any(point.under_deg is None for point in spot.horizon):
        entries.append(KeyEntry(label="skyline", box=SKYLINE))
    if any(point.under_deg is not None for point in spot.horizon):
        entries.append(KeyEntry(label="overhang, open below", box=OVERHANG))
    if has_frames:
        text = f"width of a shot's frame ({day.camera.sensor_width_mm:g} mm sensor)"
        entries.append(KeyEntry(label=text, box=FRAME, share=0.7))
    lacking = [shot.id for shot in day.shots if shot.spot == spot.name and not shot.lens_mm]
    if lacking and has_frames:
        entries.append(KeyEntry(label=f"no `lens_mm`: {', '.join(lacking)}"))
    if bearings_note(day):
        entries.append(KeyEntry(label="north is true north"))
    return entries


def _draw_rules(
    figure: Figure, panorama: Panorama, left: float, top: float, setting: Paper
) -> None:
    """Draw lines of height, and the points of the compass below."""
    step = 10 if panorama.top_deg <= 50 else 15
    for degrees in range(0, int(panorama.top_deg) + 1, step):
        height = float(panorama.up(float(degrees)))
        look: Style = {"color": RULE, "linewidth": 0.4}
        if degrees == 0:
            look = {"color": "0.2", "linewidth": 1.0}
        panorama.axes.plot([0.0, panorama.wide_in], [height, height], zorder=0.6, **look)
        words = Words(text=f"{degrees}°", size_pt=setting.small_pt, color=FAINT)
        write(figure, left - 0.05, top + panorama.high_in - height, words, align="right")
    every = 2 if setting.height_in is None else 1
    for number in range(0, len(POINTS), every):
        azimuth = number * 360.0 / len(POINTS)
        x = float(panorama.across(azimuth))
        panorama.axes.plot([x, x], [0.0, 0.06], color="black", linewidth=0.9, zorder=5)
        words = Words(text=POINTS[number], size_pt=setting.small_pt, bold=number % 4 == 0)
        half = width_in(words.text, words.size_pt, bold=words.bold) / 2
        if half <= x + SIDE_IN and x + half <= panorama.wide_in + setting.margin_in:
            middle = top + panorama.high_in + POINTS_IN / 2
            write(figure, left + x, middle, words, align="center")


def _draw_skyline(panorama: Panorama, spot: Spot) -> None:
    """Shade what stands up from below, and hatch what hangs over."""
    edges = [point.azimuth_deg + beside for point in spot.horizon for beside in (-1e-4, 1e-4)]
    around = np.unique(np.concatenate((np.arange(0.0, 360.0, 0.25), edges)) % 360.0)
    x = panorama.across(around)
    order = np.argsort(x)
    x, around = x[order], around[order]
    if any(point.under_deg is None for point in spot.horizon):
        heights = panorama.up(horizon_deg(spot.horizon, around))
        panorama.axes.fill_between(x, 0.0, heights, zorder=1.2, label="skyline", **SKYLINE)
    for low, high in overhangs_deg(spot.horizon, around):
        panorama.axes.fill_between(
            x,
            panorama.up(low),
            panorama.up(high),
            where=~np.isnan(low),
            zorder=1.4,
            label="overhang",
            **OVERHANG,
        )


def _draw_sun(panorama: Panorama, spot: Spot, track: SunTrack) -> None:
    x, y = panorama.across(track.azimuth_deg), panorama.up(track.apparent_elevation_deg)
    shows = showing_deg(spot.horizon, track) > 0
    is_up = track.apparent_elevation_deg >= panorama.low_deg
    jumps = np.abs(np.diff(x, append=x[-1])) > panorama.wide_in / 2
    for name, mask, look in (("path", shows & is_up, PATH), ("hidden", ~shows & is_up, HIDDEN)):
        kept = mask & ~jumps
        panorama.axes.plot(
            np.where(kept, x, np.nan), np.where(kept, y, np.nan), zorder=4, label=name, **look
        )


def _draw_hours(panorama: Panorama, day: Day, spot: Spot, track: SunTrack, setting: Paper) -> None:
    """Mark each full hour of the local clock on the path, and name those that have room."""
    x, y = panorama.across(track.azimuth_deg), panorama.up(track.apparent_elevation_deg)
    shows = showing_deg(spot.horizon, track) > 0
    page = box_around(
        panorama.wide_in / 2, panorama.high_in / 2, panorama.wide_in, panorama.high_in
    )
    path = np.flatnonzero(track.apparent_elevation_deg >= panorama.low_deg)[::6]
    taken: list[Box] = [box_around(float(x[m]), float(y[m]), 0.04, 0.04) for m in path]
    for minute in range(len(track)):
        local = track.time_of(minute).astimezone(day.place.zone)
        if local.minute or local.date() != day.date or track.apparent_elevation_deg[minute] < 0:
            continue
        at = float(x[minute]), float(y[minute])
        look = HOUR_IN if shows[minute] else HOUR
        panorama.axes.plot(*at, zorder=5, label=f"hour {local:%H:%M}", **look)
        text = f"{local.hour}" if setting.height_in is None else f"{local:%H:%M}"
        box = label_box(text, at, 90.0, setting.small_pt, taken, page)
        if box is None or math.dist(box.middle_in, at) > HOUR_REACH_IN:
            continue
        taken.append(box)
        panorama.axes.text(
            *box.middle_in,
            text,
            fontsize=setting.small_pt,
            ha="center",
            va="center",
            zorder=8,
            parse_math=False,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.4},
        )
