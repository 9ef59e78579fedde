"""An order under overruns on one page: when each shot's roll starts on the drawn days."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from sunsched.day.clock import clock
from sunsched.plan.timetable import meal_end
from sunsched.show.drawing.figure import (
    RULE,
    Style,
    heading,
    house_style,
    new_figure,
    write,
    write_lines,
)
from sunsched.show.drawing.key import KeyEntry, draw_key, key_height_in, key_rows
from sunsched.show.drawing.lettering import (
    FAINT,
    LINE,
    POINT_IN,
    Words,
    cut,
    width_in,
    wrapped_words,
)
from sunsched.show.drawing.strips import ROLL, casing, draw_strip, shade_key
from sunsched.show.drawing.timeline import (
    Flag,
    TimeAxis,
    clock_flags,
    draw_flags,
    draw_hours,
    draw_uprights,
    flags_height_in,
    local_hours,
    minutes_of,
    place_flags,
    reaching,
    time_axes,
    work_axis,
)
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.show.prospects import chance
from sunsched.show.text.headlines.overruns import overruns_headline, weakest_first
from sunsched.whatif.stress.stress import TENTH, ShotStress, Stress

STARTS: Style = {"color": "black", "linewidth": 2.0, "solid_capstyle": "butt"}
MEDIAN: Style = {
    "color": "black",
    "linestyle": "",
    "marker": "o",
    "markersize": 5.0,
    "markerfacecolor": "white",
    "markeredgewidth": 1.2,
}
MEAL: Style = {"facecolor": "0.93", "edgecolor": "0.35", "linewidth": 0.7, "hatch": "\\\\\\"}
HOURS: Style = {"color": "0.25", "linewidth": 0.7}
HOUR: Style = {"color": RULE, "linewidth": 0.4}
UPRIGHT_FROM_ROWS = 33  # with more rows than this the sheet stands upright
LEAST_ROW_IN, MOST_ROW_IN, PHONE_ROW_IN = 0.1, 0.36, 0.38
STRIP = {Shape.A4: (0.5, 0.62), Shape.LETTER: (0.5, 0.62), Shape.PHONE: (0.71, 0.42)}
ROLL_SHARE = 1.32  # share of a strip's height: a planned roll is a little higher than its strip
LEFT_SHARE = 0.24  # share of a sheet's width that ids and descriptions take
CHANCES = ("made", "half light")


def stress_figure(found: Stress, *, shape: Shape = Shape.A4) -> Figure:
    """Draw the order: a row a shot, the weakest first, with its light, planned roll and starts."""
    found = replace(found, fit=reaching(found.fit))
    fit, day, rows = found.fit, found.fit.day, weakest_first(found)
    with house_style():
        setting = paper(shape, upright=len(rows) > UPRIGHT_FROM_ROWS)
        is_sheet = shape is not Shape.PHONE
        left = setting.margin_in + (LEFT_SHARE * setting.room_in if is_sheet else 0.0)
        right = setting.margin_in + (2 * _chance_in(setting) if is_sheet else 0.0)
        axis = work_axis(fit, left, setting.width_in - left - right)
        head = [*heading(day, setting, "The order under overruns"), *_verdict(found, setting)]
        flags = place_flags([*clock_flags(axis), *_flags(found)], axis, setting.small_pt)
        key = key_rows(_key(found), setting)

        hours_in = LINE * setting.small_pt * POINT_IN
        rows_top = (
            setting.margin_in
            + sum(line.height_in for line in head)
            + flags_height_in(flags, setting.small_pt)
            + 0.1
        )
        foot = hours_in + 0.08 + key_height_in(key, setting) + setting.margin_in
        row_in = PHONE_ROW_IN
        if setting.height_in is not None:
            room = (setting.height_in - rows_top - foot) / len(rows)
            row_in = max(LEAST_ROW_IN, min(MOST_ROW_IN, room))
        bottom = rows_top + row_in * len(rows)

        figure = new_figure(setting, bottom + foot, f"{day.title}: under overruns")
        write_lines(figure, setting.margin_in, setting.margin_in, head)
        axes = time_axes(figure, axis, rows_top, row_in * len(rows))
        axes.set_ylim(len(rows), 0)
        middle, high = STRIP[shape]
        spans = [(0.0, float(len(rows)))]
        if not is_sheet:  # no line runs through the words over the strips
            reach = high * ROLL_SHARE / 2
            spans = [(n + middle - reach, n + middle + reach) for n in range(len(rows))]
        _draw_moments(axes, axis, found, spans)
        for number, row in enumerate(rows):
            draw_row(axes, axis, row, number + middle, high)
            if is_sheet:
                _write_row(figure, row, rows_top + (number + 0.5) * row_in, row_in, setting)
            else:
                _write_phone_row(figure, row, rows_top + (number + 0.27) * row_in, setting)
        if is_sheet:
            _write_chance_heads(figure, rows_top - hours_in / 2, setting)
        draw_flags(figure, flags, rows_top, setting.small_pt)
        draw_hours(figure, axis, bottom + hours_in / 2, setting.small_pt)
        draw_key(figure, bottom + hours_in + 0.08, key, setting)
    return figure


def _verdict(found: Stress, setting: Paper) -> Iterator[Words]:
    day = found.fit.day
    wraps = [found.wrap_at(share) for share in (0.5, 1.0 - TENTH)]
    middle, late = ("never" if when is None else clock(day, when) for when in wraps)
    text = (
        f"{found.days} drawn days: light kept {found.light_at(0.5):.1%}, in the worst tenth "
        f"{found.light_at(TENTH):.1%} or less (planned {found.planned_light:.1%}); wrap {middle}, "
        f"in the worst tenth {late} or later; overtime in {chance(found.overtime_chance)}"
    )
    headline = overruns_headline(found)
    yield from wrapped_words(headline, setting.room_in, setting.text_pt, bold=True)
    yield from wrapped_words(text, setting.room_in, setting.text_pt)


def _flags(found: Stress) -> Iterator[Flag]:
    fit, day, hours = found.fit, found.fit.day, found.fit.day.hours
    moments = [("crew call", hours.crew_call), ("wrap", hours.wrap)]
    if hours.hard_wrap > hours.wrap:
        moments.append(("hard wrap", hours.hard_wrap))
    if found.timetable.meal_start is not None:
        moments.append(("meal", found.timetable.meal_start))
    for name, when in moments:
        yield Flag(minute=minutes_of(fit, when), text=f"{name} {clock(day, when)}")


def _key(found: Stress) -> list[KeyEntry]:
    entries = [
        *shade_key(),
        KeyEntry(label="planned roll", box=ROLL),
        KeyEntry(label="eight starts in ten, one earlier and one later", line=STARTS),
        KeyEntry(label="half of all starts are earlier", line=MEDIAN),
    ]
    if found.timetable.meal_start is not None:
        entries.append(KeyEntry(label="planned meal", box=MEAL))
    entries.append(KeyEntry(label="call and wrap", line=HOURS))
    entries.append(KeyEntry(label="half light: made, with half its light or more"))
    return entries


def _draw_moments(
    axes: Axes, axis: TimeAxis, found: Stress, spans: list[tuple[float, float]]
) -> None:
    """Draw the hours of the clock, call and wrap, and the planned meal, in these spans."""
    fit, day, hours = found.fit, found.fit.day, found.fit.day.hours
    clock_minutes = [float(minute) for minute, _ in local_hours(axis)]
    draw_uprights(axes, clock_minutes, spans, "hours", HOUR | {"zorder": 0.5})
    work = [minutes_of(fit, when) for when in (hours.crew_call, hours.wrap, hours.hard_wrap)]
    draw_uprights(axes, work, spans, "call and wrap", HOURS | {"zorder": 2.2})
    start, end = found.timetable.meal_start, meal_end(day, found.timetable)
    if start is None or end is None:
        return
    first, last = minutes_of(fit, start), minutes_of(fit, end)
    look = MEAL | {"facecolor": "none"}
    for bottom, top in spans:
        corner = (first, bottom)
        box = Rectangle(corner, last - first, top - bottom, label="meal", zorder=2.5, **look)
        axes.add_artist(box)


def draw_row(axes: Axes, axis: TimeAxis, row: ShotStress, middle: float, high: float) -> None:
    """Draw a shot's light in greys, its planned roll and where its drawn starts lie."""
    shot_id = row.shot.id
    light = axis.fit.shots[shot_id].fit
    draw_strip(axes, axis, light, middle, high, f"light {shot_id}")
    if row.planned is not None:
        corner = (minutes_of(axis.fit, row.planned), middle - high * ROLL_SHARE / 2)
        wide, tall = row.shot.shoot_min, high * ROLL_SHARE
        axes.add_artist(Rectangle(corner, wide, tall, label=f"plan {shot_id}", zorder=4, **ROLL))
    starts = row.start_min[~np.isnan(row.start_min)]
    if not len(starts):
        return
    early, half, late = np.quantile(starts, (TENTH, 0.5, 1.0 - TENTH)).tolist()
    around = STARTS | casing(STARTS)
    axes.plot([early, late], [middle] * 2, label=f"casing {shot_id}", zorder=4.9, **around)
    axes.plot([early, late], [middle] * 2, label=f"starts {shot_id}", zorder=5, **STARTS)
    axes.plot([half], [middle], label=f"median {shot_id}", zorder=6, **MEDIAN)


def _write_row(
    figure: Figure, row: ShotStress, middle_in: float, row_in: float, setting: Paper
) -> None:
    """Write a row of a sheet in letters no higher than the row."""
    size = min(setting.text_pt, row_in / POINT_IN / LINE)
    left, room = setting.margin_in, LEFT_SHARE * setting.room_in
    name = cut(row.shot.id, 0.6, size, bold=True)
    write(figure, left, middle_in, Words(text=name, size_pt=size, bold=True))
    used = max(0.35, width_in(name, size, bold=True) + 0.1)
    what = cut(row.shot.description, room - used - 0.1, size)
    write(figure, left + used, middle_in, Words(text=what, size_pt=size))
    right = setting.width_in - setting.margin_in
    for place, share in enumerate((row.made_chance, row.half_chance)):
        at = right - (1 - place) * _chance_in(setting)
        write(figure, at, middle_in, Words(text=chance(share), size_pt=size), align="right")


def _write_chance_heads(figure: Figure, middle_in: float, setting: Paper) -> None:
    right = setting.width_in - setting.margin_in
    for place, name in enumerate(CHANCES):
        words = Words(text=name, size_pt=setting.small_pt, color=FAINT)
        write(figure, right - (1 - place) * _chance_in(setting), middle_in, words, align="right")


def _write_phone_row(figure: Figure, row: ShotStress, middle_in: float, setting: Paper) -> None:
    """Write the line over a phone's strip."""
    size, left, right = setting.text_pt, setting.margin_in, setting.width_in - setting.margin_in
    name = Words(text=cut(row.shot.id, 0.9, size, bold=True), size_pt=size, bold=True)
    write(figure, left, middle_in, name)
    left += width_in(name.text, size, bold=True) + 0.08
    text = f"made {chance(row.made_chance)}, half light {chance(row.half_chance)}"
    write(figure, right, middle_in, Words(text=text, size_pt=size), align="right")
    right -= width_in(text, size) + 0.08
    what = cut(row.shot.description, right - left, size)
    write(figure, left, middle_in, Words(text=what, size_pt=size, color=FAINT))


def _chance_in(setting: Paper) -> float:
    """Width of one column of chances."""
    return max(width_in(name, setting.small_pt) for name in CHANCES) + 0.14
