"""The day on one page: the sun, the hours of spots and people, and where each shot stands."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from functools import partial
from itertools import pairwise

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from sunsched.light.fit import DayFit
from sunsched.plan.plan import Plan
from sunsched.show.charts.day_layout import PHONE_BAR_IN, Layout, lay_out
from sunsched.show.charts.day_rows import Row, day_rows, write_heads, write_phone_row, write_row
from sunsched.show.charts.day_words import HOUR, HOURS, LIKELY_SHARE, MEAL, NOW, ROLL_SHARE
from sunsched.show.drawing.figure import Style, house_style, new_figure, write, write_lines
from sunsched.show.drawing.hour_bars import draw_bar, there_for
from sunsched.show.drawing.key import draw_key
from sunsched.show.drawing.lettering import Words, cut
from sunsched.show.drawing.strips import (
    BELOW_HALF,
    LAST,
    casing,
    draw_likely,
    draw_piece,
    draw_strip,
)
from sunsched.show.drawing.sun_band import SUN_EVENT, draw_sun
from sunsched.show.drawing.timeline import (
    draw_flags,
    draw_hours,
    draw_uprights,
    local_hours,
    minutes_of,
    reaching,
    time_axes,
)
from sunsched.show.paper_size import Shape
from sunsched.show.pieces import plan_pieces


def day_figure(
    fit: DayFit,
    plan: Plan,
    *,
    now: datetime | None = None,
    shape: Shape = Shape.A4,
    rows: Sequence[Row] | None = None,
    is_bare: bool = False,
) -> Figure:
    """Draw the day: local time across, the sun's height, then a row a shot in shooting order.

    Time runs from an hour before the call to half an hour past the hard wrap. Under the sun stand
    bars of each spot's direct sun and of people's hours. A strip shows what light the shot keeps at
    each minute, over it its changeover and roll, under it when it is likely to start.

    Parameters
    ----------
    now : a moment to be marked, aware; one that the picture does not reach is named in words. On a
        day under way it is the plan's own moment unless given.
    rows : those of one page, of `day_pages`; all unless given, on a page that grows with them
    is_bare : whether heading and verdict are left to what the picture stands in
    """
    fit, day = reaching(fit), fit.day
    if now is None and plan.day.past is not None:
        now = plan.day.past.at
    with house_style():
        rows = day_rows(plan) if rows is None else rows
        layout = lay_out(fit, plan, rows, now, shape, is_bare=is_bare)
        setting, axis, small = layout.setting, layout.axis, layout.setting.small_pt
        figure = new_figure(setting, layout.high_in, f"{day.title}: the day")
        write_lines(figure, setting.margin_in, setting.margin_in, layout.head)
        band = time_axes(figure, axis, layout.band_top_in, layout.band_in)
        draw_sun(figure, band, axis, layout.band_top_in, layout.band_in, setting)
        _draw_moments(band, layout, plan, now, [band.get_ylim()])
        _draw_bars(figure, layout)
        strips = time_axes(figure, axis, layout.rows_top_in, layout.rows_in)
        strips.set_ylim(layout.rows_in, 0)
        _draw_rows(strips, fit, plan, layout)
        spans = [place.open_in for place in layout.places if place.open_in[0] < place.open_in[1]]
        _draw_moments(strips, layout, plan, now, spans)
        # Not over the sun, where their labels would be taken for those of the sun's moments.
        hours = [plan.day.hours.crew_call, plan.day.hours.wrap, plan.day.hours.hard_wrap]
        minutes = [minutes_of(fit, when) for when in hours]
        draw_uprights(strips, minutes, spans, "call and wrap", HOURS | {"zorder": 2.2})
        draw_flags(figure, layout.sky, layout.band_top_in, small)
        draw_flags(figure, layout.work, layout.rows_top_in, small)
        middle = layout.band_top_in + layout.band_in + layout.hours_in / 2
        draw_hours(figure, axis, middle, small)
        bottom = layout.rows_top_in + layout.rows_in
        draw_hours(figure, axis, bottom + layout.hours_in / 2, small)
        _write_rows(figure, layout)
        draw_key(figure, layout.key_top_in, layout.key, setting)
    return figure


def day_pages(fit: DayFit, plan: Plan, *, shape: Shape = Shape.A4) -> list[list[Row]]:
    """Share the rows out over as few pages as hold them in letters that can be read."""
    rows, fit = day_rows(plan), reaching(fit)
    now = None if plan.day.past is None else plan.day.past.at
    for count in range(1, len(rows) + 1):
        size = -(-len(rows) // count)
        pages = [rows[first : first + size] for first in range(0, len(rows), size)]
        for page, after in pairwise(pages):
            if page[-1].shot is None:  # a heading goes with what it is over
                after.insert(0, page.pop())
        with house_style():
            layouts = [lay_out(fit, plan, page, now, shape) for page in pages]
        if all(one.high_in <= (one.setting.height_in or one.high_in) for one in layouts):
            return pages
    return [[row] for row in rows] or [[]]


def day_parts(fit: DayFit, plan: Plan, kind: str, shape: Shape = Shape.A4) -> list[partial[Figure]]:
    """Give what makes the pages of a .pdf, or the one picture of another kind."""
    pages = day_pages(fit, plan, shape=shape) if kind == "pdf" else [None]
    return [partial(day_figure, fit, plan, shape=shape, rows=rows) for rows in pages]


def _write_rows(figure: Figure, layout: Layout) -> None:
    setting, columns = layout.setting, layout.columns
    for place in layout.places:
        top = layout.rows_top_in + place.top_in
        if columns is None:
            write_phone_row(figure, place.over, top, setting)
        else:
            write_row(figure, place.row, top, columns, setting, layout.size_pt, layout.lines)
        write_lines(figure, layout.axis.left_in, layout.rows_top_in + place.below_in, place.below)
    if columns is not None:
        write_heads(figure, layout.rows_top_in - layout.hours_in / 2, columns, setting)


def _draw_bars(figure: Figure, layout: Layout) -> None:
    """Draw the hours of spots and people, each with its name at the left, on a phone over it."""
    setting, axis, bars = layout.setting, layout.axis, layout.bars
    if not bars:
        return
    axes = time_axes(figure, axis, layout.bars_top_in, layout.bar_in * len(bars))
    axes.set_ylim(layout.bar_in * len(bars), 0)
    high = PHONE_BAR_IN if layout.columns is None else 0.68 * layout.bar_in
    for number, bar in enumerate(bars):
        top, left = number * layout.bar_in, setting.margin_in
        if layout.columns is None:
            room, middle = setting.room_in, top + layout.hours_in / 2
            draw_bar(axes, axis, bar, top + layout.hours_in + high / 2, high)
        else:
            room, middle = layout.columns.left_in - 0.1, top + layout.bar_in / 2
            draw_bar(axes, axis, bar, middle, high)
        words = Words(text=cut(bar.name, room, setting.small_pt), size_pt=setting.small_pt)
        write(figure, left, layout.bars_top_in + middle, words)


def _draw_rows(axes: Axes, fit: DayFit, plan: Plan, layout: Layout) -> None:
    axis = layout.axis
    places = {place.row.shot.id: place for place in layout.places if place.row.shot is not None}
    for shot_id, place in places.items():
        middle, high, planned = place.strip_in, place.strip_high_in, place.row.planned
        there, light = there_for(fit, shot_id), fit.shots[shot_id].fit
        draw_strip(axes, axis, light, middle, high, f"light {shot_id}", there)
        if planned is None:
            continue
        if planned.last_start is not None:
            last = minutes_of(fit, planned.last_start)
            axes.plot([last], [middle], zorder=6, label=f"last {shot_id}", **LAST)
        if place.row.is_below_half:
            half_way = planned.roll_start + (planned.roll_end - planned.roll_start) / 2
            x, label = minutes_of(fit, half_way), f"below half {shot_id}"
            axes.plot([x], [middle], zorder=6, label=label, **BELOW_HALF)
    for piece in plan_pieces(plan):
        if piece.shot_id in places:
            place = places[piece.shot_id]
            draw_piece(axes, fit, piece, place.strip_in, place.strip_high_in, ROLL_SHARE)
    for prospect in () if plan.outlook is None else plan.outlook.prospects:
        if prospect.shot_id in places:
            # Under the strip, where it hides neither the light nor the roll.
            place = places[prospect.shot_id]
            draw_likely(axes, fit, prospect, place.lane_in, place.strip_high_in * LIKELY_SHARE)


def _draw_moments(
    axes: Axes,
    layout: Layout,
    plan: Plan,
    now: datetime | None,
    spans: Sequence[tuple[float, float]],
) -> None:
    """Draw what stands through the whole height: the sun's moments, full hours, meal and now.

    Lines are drawn in these spans of the axes' height only, so that none runs through words.
    """
    axis, fit, meal = layout.axis, layout.axis.fit, plan.meal
    lines: list[tuple[list[float], str, Style]] = [
        ([minute for minute, _ in local_hours(axis)], "hours", HOUR | {"zorder": 0.5}),
        ([placed.flag.minute for placed in layout.sky], "sun", SUN_EVENT | {"zorder": 2.2}),
    ]
    if now is not None and axis.shows(minutes_of(fit, now)):
        at = [minutes_of(fit, now)]
        # Under builds and rolls: the one that goes on stands there too.
        lines.append((at, "now casing", casing(NOW) | {"zorder": 3.4}))
        lines.append((at, "now", NOW | {"zorder": 3.5}))
    for minutes, label, look in lines:
        draw_uprights(axes, minutes, spans, label, look)
    if meal is not None:
        # Behind the strips, whose greys it would change; its ends stand over them.
        start, end = minutes_of(fit, meal.start), minutes_of(fit, meal.end)
        edges = {"color": MEAL["edgecolor"], "linewidth": MEAL["linewidth"], "zorder": 2.2}
        draw_uprights(axes, [start, end], spans, "meal edges", edges)
        for bottom, top in spans:
            box = Rectangle((start, bottom), end - start, top - bottom, label="meal", **MEAL)
            box.set_zorder(0.3)
            axes.add_artist(box)
