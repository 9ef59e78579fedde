"""The circle of the sky: compass, rings of height, a spot's skyline and the path of the sun."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Circle

from sunsched.light.fit import DayFit
from sunsched.show.drawing.figure import RULE, Style
from sunsched.show.drawing.labels import Box, box_around
from sunsched.show.drawing.lettering import FAINT, Words, as_text, lettered, lettering, width_in
from sunsched.show.paper_size import Paper
from sunsched.sky.events import CIVIL_DEG
from sunsched.sky.horizon import horizon_deg, overhangs_deg
from sunsched.sky.track import FloatArray

PATH: Style = {"color": "black", "linewidth": 1.6}
BELOW: Style = {"color": "black", "linewidth": 0.9, "linestyle": (0, (2, 2))}
SKYLINE: Style = {"facecolor": "0.84", "edgecolor": "0.35", "linewidth": 0.8, "hatch": "////"}
RIM: Style = {"fill": False, "edgecolor": "black", "linewidth": 1.1, "zorder": 1.5}
RING: Style = {"fill": False, "edgecolor": RULE, "linewidth": 0.4, "zorder": 1.5}
AZIMUTHS_DEG = np.arange(0.0, 361.0, 2.0)  # where the skyline is drawn
LETTERS = 1.1  # points of the compass, in radii of the horizon's circle


@dataclass(frozen=True, slots=True, kw_only=True)
class Sky:
    """The circle of the sky on its axes, whose units are inches from the zenith, y to the north."""

    axes: Axes
    radius_in: float
    page: Box

    def place(self, azimuth_deg: float, elevation_deg: float) -> tuple[float, float]:
        """Give where a direction stands; heights are spaced evenly from the rim to the middle."""
        return self.around(azimuth_deg, (90.0 - elevation_deg) / 90.0)

    def around(self, azimuth_deg: float, radii: float) -> tuple[float, float]:
        """Give the point in a direction, so many radii from the middle."""
        angle = math.radians(azimuth_deg)
        away = radii * self.radius_in
        return away * math.sin(angle), away * math.cos(angle)


def draw_compass(sky: Sky, fit: DayFit, setting: Paper) -> list[Box]:
    """Draw rim, rings and points of the compass; gives the boxes of the words."""
    taken = []
    noon = int(fit.track.elevation_deg.argmax())
    # The rings are named on the side where the sun is not at noon.
    free_deg = 0.0 if 90.0 < fit.track.azimuth_deg[noon] < 270.0 else 180.0
    for degrees in (0, 15, 30, 45, 60, 75):
        radius = sky.radius_in * (90.0 - degrees) / 90.0
        sky.axes.add_artist(Circle((0.0, 0.0), radius, **(RIM if degrees == 0 else RING)))
        if degrees in (30, 60):
            words = Words(text=f"{degrees}°", size_pt=setting.small_pt, color=FAINT)
            taken.append(write_at(sky, *sky.place(free_deg, degrees), words))
    for azimuth in range(0, 360, 30):
        ends = [sky.around(azimuth, radii) for radii in (1.0, 1.04)]
        sky.axes.plot(*zip(*ends, strict=True), color="black", linewidth=0.9)
    for azimuth, text in ((0, "N"), (90, "E"), (180, "S"), (270, "W")):
        words = Words(text=text, size_pt=setting.text_pt, bold=True)
        taken.append(write_at(sky, *sky.around(azimuth, LETTERS), words))
    return taken


def draw_skyline(sky: Sky, fit: DayFit, spot: str) -> None:
    """Shade what the skyline of a spot and its overhangs hide; a level one hides nothing."""
    around = np.arange(0.0, 360.5, 0.5)
    for low, high in overhangs_deg(fit.day.spot(spot).horizon, around):
        is_there = ~np.isnan(low)
        # From where it begins clockwise, so that north is no seam of it.
        start = int(np.argmin(is_there)) if is_there.any() and not is_there.all() else 0
        order = np.roll(np.arange(len(around)), -start)
        kept = order[is_there[order]]
        upper = [sky.place(around[one], high[one]) for one in kept]
        lower = [sky.place(around[one], low[one]) for one in kept[::-1]]
        sky.axes.fill(*zip(*upper, *lower, strict=True), zorder=1.3, label="overhang", **SKYLINE)
    heights = skyline_deg(fit, spot)
    if not heights.any():
        return
    top = [sky.place(*pair) for pair in zip(AZIMUTHS_DEG, heights, strict=True)]
    rim = [sky.place(azimuth, 0.0) for azimuth in AZIMUTHS_DEG[::-1]]
    x, y = zip(*top, *rim, strict=True)
    sky.axes.fill(x, y, zorder=1.2, label="skyline", **SKYLINE)


def skyline_deg(fit: DayFit, spot: str) -> FloatArray:
    """Give how high the skyline stands over the level horizon, (azimuths,)."""
    return np.maximum(0.0, horizon_deg(fit.day.spot(spot).horizon, AZIMUTHS_DEG))


def draw_path(sky: Sky, fit: DayFit) -> None:
    """Draw the path by day, and dashed down to the end of civil twilight."""
    track = fit.track
    height = track.apparent_elevation_deg
    for name, shown, look in (
        ("path", height >= 0.0, PATH),
        ("below", (height < 0.0) & (track.elevation_deg >= CIVIL_DEG), BELOW),
    ):
        minutes = np.arange(0, len(track), 4)
        places = np.array([sky.place(track.azimuth_deg[m], height[m]) for m in minutes])
        places[~shown[minutes]] = np.nan
        sky.axes.plot(places[:, 0], places[:, 1], zorder=4, label=name, **look)


def path_boxes(sky: Sky, fit: DayFit) -> list[Box]:
    """Give small boxes along the path, so that no words stand on it."""
    track = fit.track
    return [
        box_around(*sky.place(track.azimuth_deg[m], track.apparent_elevation_deg[m]), 0.05, 0.05)
        for m in range(0, len(track), 8)
        if track.apparent_elevation_deg[m] >= 0.0
    ]


def rim_boxes(sky: Sky) -> list[Box]:
    """Give small boxes along the level horizon, so that no words stand on it."""
    return [box_around(*sky.around(azimuth, 1.0), 0.05, 0.05) for azimuth in range(0, 360, 2)]


def write_at(sky: Sky, x_in: float, y_in: float, words: Words) -> Box:
    """Write on the circle, on white; gives the box that is taken."""
    drawn, fonts = lettered(words.text)
    sky.axes.text(
        x_in,
        y_in,
        drawn,
        fontfamily=list(fonts),
        label="" if as_text(words.text) == lettering(words.text) else as_text(words.text),
        fontsize=words.size_pt,
        fontweight="bold" if words.bold else "normal",
        color=words.color,
        ha="center",
        va="center",
        zorder=8,
        parse_math=False,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.3},
    )
    wide = width_in(words.text, words.size_pt, bold=words.bold) + 0.03
    return box_around(x_in, y_in, wide, words.height_in)
