"""The sun's height through the day, with the skylines that it passes, and its moments."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from sunsched.day.clock import clock
from sunsched.light.fit import DayFit
from sunsched.show.drawing.figure import RULE, Style, write
from sunsched.show.drawing.lettering import FAINT, Words
from sunsched.show.drawing.timeline import Flag, TimeAxis, minutes_of
from sunsched.show.paper_size import Paper
from sunsched.sky.events import sun_events
from sunsched.sky.horizon import horizon_deg, overhangs_deg
from sunsched.sky.track import FloatArray

SUN: Style = {"color": "black", "linewidth": 1.5}
OVERHANG: Style = {"facecolor": "0.94", "edgecolor": "0.55", "linewidth": 0.6, "hatch": "xxx"}
SUN_EVENT: Style = {"color": "0.25", "linewidth": 0.7, "linestyle": (0, (1, 2))}
# Dashes of the skylines, one after the other; a level one is a plain line.
SKYLINE_DASHES = ((4, 1.5), (6, 1.5, 1, 1.5), (1, 1), (8, 2), (2.5, 2.5), (4, 1, 1, 1, 1, 1))


def sun_flags(fit: DayFit) -> Iterator[Flag]:
    """Name the moments of the sun that happen."""
    day = fit.day
    events = sun_events(day.place, day.date)
    for name, when in (
        ("civil dawn", events.civil_dawn),
        ("sunrise", events.sunrise),
        ("sun highest", events.solar_noon),
        ("sunset", events.sunset),
        ("civil dusk", events.civil_dusk),
    ):
        if when is not None:
            yield Flag(minute=minutes_of(fit, when), text=f"{name} {clock(day, when)}")


def skylines(fit: DayFit) -> Iterator[tuple[str, FloatArray, Style]]:
    """Give the different skylines: their spots, and their height in the sun's direction."""
    spots: dict[tuple[float, ...], list[str]] = {}
    heights: dict[tuple[float, ...], FloatArray] = {}
    for spot in fit.day.spots:
        height = horizon_deg(spot.horizon, fit.track.azimuth_deg)
        kind = tuple(height[::5])
        spots.setdefault(kind, []).append(spot.name)
        heights[kind] = height
    dashed = 0
    for kind, names in spots.items():
        look: Style = {"color": "0.3", "linewidth": 1.1}
        name = "level horizon of"
        if heights[kind].any():
            look["linestyle"] = (0, SKYLINE_DASHES[dashed % len(SKYLINE_DASHES)])
            # Past the last pattern they come again, in a lighter and thicker line.
            look["linewidth"] += 0.7 * (dashed // len(SKYLINE_DASHES))
            dashed += 1
            name = "skyline below the sun at"
        yield f"{name} {', '.join(names)}", heights[kind], look


def overhang_bands(fit: DayFit) -> Iterator[tuple[str, FloatArray, FloatArray]]:
    """Give the overhangs that the sun passes: their spot, and their edges in its direction."""
    for spot in fit.day.spots:
        for low, high in overhangs_deg(spot.horizon, fit.track.azimuth_deg):
            if (low < fit.track.apparent_elevation_deg.max()).any():
                yield f"overhang at {spot.name}", low, high


def draw_sun(
    figure: Figure, axes: Axes, axis: TimeAxis, top_in: float, high_in: float, setting: Paper
) -> None:
    """Draw the band: what stands over the sun's line hides it."""
    track = axis.fit.track
    minutes = np.arange(axis.first, axis.last + 1, 2)
    height = track.apparent_elevation_deg[minutes]
    ceiling = max(20.0, float(height.max()) * 1.08)
    floor = -6.0
    axes.set_ylim(floor, ceiling)
    axes.axhspan(floor, 0.0, color="0.86", linewidth=0.0, zorder=0.4)
    axes.plot(minutes, height, zorder=3, label="sun", **SUN)
    for name, skyline, look in skylines(axis.fit):
        axes.plot(minutes, skyline[minutes], zorder=2, label=name, **look)
    for name, low, high in overhang_bands(axis.fit):
        top = np.minimum(high[minutes], ceiling)
        axes.fill_between(minutes, low[minutes], top, zorder=0.5, label=name, **OVERHANG)
    step = 30 if ceiling > 45 else 10
    for degrees in range(0, int(ceiling), step):
        axes.axhline(degrees, color=RULE, linewidth=0.4, zorder=0.6)
        middle = top_in + high_in * (ceiling - degrees) / (ceiling - floor)
        words = Words(text=f"{degrees}°", size_pt=setting.small_pt, color=FAINT)
        if setting.height_in is None:
            back = {"facecolor": "white", "edgecolor": "none", "pad": 0.5}
            write(figure, axis.left_in + 0.03, middle - 0.08, words, bbox=back)
        else:
            write(figure, axis.left_in - 0.05, middle, words, align="right")
