"""The sun over the compass, seen from one spot: north up, the zenith in the middle."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import FancyArrowPatch

from sunsched.light.fit import DayFit
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.charts.spots.sky_circle import (
    BELOW,
    PATH,
    SKYLINE,
    Sky,
    draw_compass,
    draw_path,
    draw_skyline,
    path_boxes,
    rim_boxes,
    skyline_deg,
    write_at,
)
from sunsched.show.charts.spots.sun_table import (
    MOST_ROW_IN,
    MOST_UNDER_IN,
    SpotTable,
    least_row_in,
    row_height_in,
    write_table,
)
from sunsched.show.drawing.figure import (
    VERMILION,
    Style,
    add_axes,
)
from sunsched.show.drawing.key import KeyEntry, draw_key, key_height_in, key_rows
from sunsched.show.drawing.labels import Box, box_around, label_box, nearest_in
from sunsched.show.drawing.lettering import FAINT, Words, cut
from sunsched.show.drawing.picture import Picture, alone
from sunsched.show.layout import bearings_note
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.sky.horizon import overhangs

SUN: Style = {
    "color": "black",
    "linestyle": "",
    "marker": "o",
    "markersize": 7.0,
    "markerfacecolor": VERMILION,
    "markeredgewidth": 0.9,
}
LOOK: Style = {"color": "black", "linewidth": 1.6}
ARROW: Style = LOOK | {
    "arrowstyle": "-|>",
    "shrinkA": 0.0,
    "shrinkB": 0.0,
    "mutation_scale": 9.0,
}
LOOK_KEY: Style = LOOK | {"marker": ">", "markersize": 5.0, "markevery": [2]}
PATH_KEY: Style = PATH | {"marker": "|", "markersize": 7.0, "markevery": [1]}


# Distances from the middle, in radii of the horizon's circle.
EDGE = 1.42  # edge of the drawing
LOOK_FROM, LOOK_TO = 1.16, 1.28
SAME_SUN_IN = 0.05  # suns nearer to each other than this share one label
HOUR_REACH_IN = 0.16  # an hour that is named farther from its mark is taken for another's
MOST_SKY_IN, LEAST_SKY_IN = 7.0, 3.6
BESIDE_SKY_IN, BESIDE_GAP_IN = 3.9, 0.1  # of a sky whose shots stand beside it in words


def sun_figure(
    fit: DayFit,
    spot: str,
    plan: Plan | None = None,
    *,
    shape: Shape = Shape.A4,
    is_bare: bool = False,
) -> Figure:
    """Draw the sun's path over a spot, its skyline, and the plan's shots made there.

    For each shot stand its look, an arrow outside the horizon, and its sun at mid-roll; below, the
    same in words. Without a plan there are the path and the skyline only.
    """
    setting = paper(shape, upright=True)
    return alone(fit.day, setting, sun_picture(fit, spot, plan, setting), is_bare=is_bare)


def sun_picture(
    fit: DayFit, spot: str, plan: Plan | None, setting: Paper, *, is_beside: bool = False
) -> Picture:
    """Give the picture of a spot from above, its shots in words under it or beside it."""
    shots = [planned for planned in plan.shots if planned.shot.spot == spot] if plan else []
    key = key_rows(_key(fit, spot, bool(shots)), setting)
    key_in = key_height_in(key, setting)
    is_beside = is_beside and bool(shots)
    whole = min(setting.room_in, MOST_SKY_IN)
    least_sky = whole if setting.height_in is None else BESIDE_SKY_IN if is_beside else LEAST_SKY_IN
    table = SpotTable(
        left_in=setting.margin_in + (BESIDE_SKY_IN + BESIDE_GAP_IN if is_beside else 0.0),
        room_in=setting.room_in - (BESIDE_SKY_IN + BESIDE_GAP_IN if is_beside else 0.0),
        has_words=setting.height_in is not None and not is_beside,
    )
    rows_in = least_row_in(setting) * (len(shots) + 1) + 0.1 if shots else 0.0
    if is_beside:
        least = max(least_sky, rows_in) + key_in
        most = max(least_sky, MOST_UNDER_IN * (len(shots) + 1) + 0.1) + key_in
    else:
        least = least_sky + rows_in + key_in
        most = whole + MOST_ROW_IN * (len(shots) + 1) + 0.1 + key_in

    def draw(figure: Figure, top: float, high: float) -> None:
        row_in, sky_in = 0.0, least_sky
        if shots:
            room = high - key_in - 0.1 - (0.0 if is_beside else least_sky)
            most_row = MOST_UNDER_IN if is_beside else MOST_ROW_IN
            row_in = row_height_in(setting, room, len(shots), most_row)
        table_in = row_in * (len(shots) + 1) + 0.1 if shots else 0.0
        if not is_beside:
            sky_in = max(least_sky, min(whole, high - table_in - key_in))
        left = setting.margin_in if is_beside else (setting.width_in - sky_in) / 2
        axes = add_axes(figure, left, top, sky_in, sky_in)
        draw_sky(axes, sky_in, fit, spot, shots, setting)
        under = top + (0.0 if is_beside else sky_in)
        if shots:
            write_table(figure, fit, shots, under, row_in, setting, table)
        draw_key(figure, top + high - key_in if is_beside else under + table_in, key, setting)

    subject = f"The sun at {spot}"
    return Picture(
        name=f"the sun at {spot}", subject=subject, least_in=least, most_in=most, draw=draw
    )


def draw_sky(
    axes: Axes,
    sky_in: float,
    fit: DayFit,
    spot: str,
    shots: Sequence[PlannedShot],
    setting: Paper,
) -> None:
    """Draw the sky over a spot on axes that are so many inches wide and high."""
    axes.set_xlim(-sky_in / 2, sky_in / 2)
    axes.set_ylim(-sky_in / 2, sky_in / 2)
    page = box_around(0.0, 0.0, sky_in, sky_in)
    sky = Sky(axes=axes, radius_in=sky_in / 2 / EDGE, page=page)
    taken = draw_compass(sky, fit, setting)
    draw_skyline(sky, fit, spot)
    draw_path(sky, fit)
    suns = [sky.place(one.sun_azimuth_deg, one.sun_elevation_deg) for one in shots]
    # Words stay clear of every sun, its own and the others'.
    taken += [box_around(*sun, 0.12, 0.12) for sun in suns]
    taken += path_boxes(sky, fit)
    for planned, sun in zip(shots, suns, strict=True):
        axes.plot(*sun, zorder=6, label=f"sun {planned.shot.id}", **SUN)
    _draw_looks(sky, shots, setting, taken)
    taken += rim_boxes(sky)
    _name_suns(sky, shots, suns, setting, taken)
    _draw_hours(sky, fit, setting, taken)


def _key(fit: DayFit, spot: str, has_shots: bool) -> list[KeyEntry]:
    entries = [
        KeyEntry(label="path of the sun, its hours", line=PATH_KEY),
        KeyEntry(label="below the level horizon", line=BELOW),
    ]
    if skyline_deg(fit, spot).any() or overhangs(fit.day.spot(spot).horizon):
        entries.append(KeyEntry(label="hidden by the skyline", box=SKYLINE))
    if has_shots:
        entries += [
            KeyEntry(label="look of a shot", line=LOOK_KEY),
            KeyEntry(label="sun in the middle of its roll", line=SUN),
            KeyEntry(label="circle: lens up, the light falls along the arrow"),
        ]
    if bearings_note(fit.day):
        entries.append(KeyEntry(label="north is true north"))
        entries += [KeyEntry(label=text) for text in bearings_note(fit.day).split("; ")]
    return entries


def _draw_hours(sky: Sky, fit: DayFit, setting: Paper, taken: list[Box]) -> None:
    """Mark each full hour of the local clock across the path, and name those that have room."""
    track = fit.track
    zone = fit.day.place.zone
    # A local day of one date: its hours stand once, those of the night after it are the same sun.
    for minute in range(1, len(track) - 1):
        local = track.time_of(minute).astimezone(zone)
        if local.minute or local.date() != fit.day.date:
            continue
        if track.apparent_elevation_deg[minute] < 0.0:
            continue
        before, point, after = (
            sky.place(track.azimuth_deg[m], track.apparent_elevation_deg[m])
            for m in (minute - 1, minute, minute + 1)
        )
        along = math.degrees(math.atan2(after[1] - before[1], after[0] - before[0]))
        normal = math.radians(along + 90.0)
        tick = np.array([-0.04, 0.04])
        sky.axes.plot(
            point[0] + tick * math.cos(normal),
            point[1] + tick * math.sin(normal),
            color="black",
            linewidth=1.2,
            zorder=5,
            label=f"hour {local:%H:%M}",
        )
        text = f"{local.hour} h" if setting.height_in is None else f"{local:%H:%M}"
        outwards = math.degrees(math.atan2(point[1], point[0]))
        box = label_box(text, point, outwards, setting.small_pt, taken, sky.page)
        if box is not None and math.dist(nearest_in(box, point), point) < HOUR_REACH_IN:
            taken.append(box)
            words = Words(text=text, size_pt=setting.small_pt, color=FAINT)
            write_at(sky, *box.middle_in, words)


def _draw_looks(sky: Sky, shots: Sequence[PlannedShot], setting: Paper, taken: list[Box]) -> None:
    """Draw an arrow for each look that is used, named by the shots that look that way."""
    looks: dict[float, list[str]] = {}
    for planned in shots:
        looks.setdefault(planned.shot.look_deg % 360.0, []).append(planned.shot.id)
    for look_deg in looks:
        tail, tip = (sky.around(look_deg, radii) for radii in (LOOK_FROM, LOOK_TO))
        arrow = FancyArrowPatch(tail, tip, zorder=5, clip_on=False, **ARROW)
        arrow.set_label(f"look {', '.join(looks[look_deg])}")
        sky.axes.add_artist(arrow)
        middle = ((tail[0] + tip[0]) / 2, (tail[1] + tip[1]) / 2)
        taken.append(box_around(*middle, 0.1, 0.1))
    for look_deg, ids in looks.items():
        tip = sky.around(look_deg, LOOK_TO)
        _name(sky, ids, tip, setting, taken)


def _name_suns(
    sky: Sky,
    shots: Sequence[PlannedShot],
    suns: Sequence[tuple[float, float]],
    setting: Paper,
    taken: list[Box],
) -> None:
    """Name the suns by their shots; those that cover each other share a name."""
    groups: list[tuple[tuple[float, float], list[str]]] = []
    for planned, sun in zip(shots, suns, strict=True):
        near = next((ids for at, ids in groups if math.dist(at, sun) < SAME_SUN_IN), None)
        if near is None:
            groups.append((sun, [planned.shot.id]))
        else:
            near.append(planned.shot.id)
    for sun, ids in groups:
        _name(sky, ids, sun, setting, taken)


def _name(
    sky: Sky,
    ids: Sequence[str],
    point: tuple[float, float],
    setting: Paper,
    taken: list[Box],
) -> None:
    """Write ids as near to a point as there is room, with a thin line where that is not beside."""
    size = setting.text_pt
    text = cut(", ".join(ids), 0.45 * sky.radius_in, size, bold=True)
    outwards = math.degrees(math.atan2(point[1], point[0]))
    box = label_box(text, point, outwards, size, taken, sky.page, bold=True)
    if box is None:
        return  # the table below names it
    taken.append(box)
    write_at(sky, *box.middle_in, Words(text=text, size_pt=size, bold=True))
    nearest = nearest_in(box, point)
    if math.dist(nearest, point) > 0.12:
        sky.axes.plot(*zip(point, nearest, strict=True), color="black", linewidth=0.5, zorder=3)
