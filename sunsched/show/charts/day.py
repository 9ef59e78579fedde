"""The day on one page: the sun's height, and each shot's light with its place in the plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from sunsched.day.clock import clock
from sunsched.light.fit import DayFit
from sunsched.plan.plan import Plan
from sunsched.show.agenda import second_meal
from sunsched.show.charts.day_rows import (
    PHONE_ROW_IN,
    Row,
    day_rows,
    measure_columns,
    write_phone_row,
    write_row,
)
from sunsched.show.drawing.figure import (
    RULE,
    VERMILION,
    Style,
    heading,
    house_style,
    new_figure,
    write_lines,
)
from sunsched.show.drawing.key import KeyEntry, draw_key, key_height_in, key_rows
from sunsched.show.drawing.lettering import LINE, POINT_IN, Words, wrapped_words
from sunsched.show.drawing.strips import (
    LAST,
    LIKELY,
    draw_likely,
    draw_piece,
    draw_strip,
    piece_key,
    plan_pieces,
    shade_key,
)
from sunsched.show.drawing.sun_band import (
    OVERHANG,
    SUN,
    SUN_EVENT,
    draw_sun,
    overhang_bands,
    skylines,
    sun_flags,
)
from sunsched.show.drawing.timeline import (
    Flag,
    PlacedFlag,
    TimeAxis,
    clock_flags,
    draw_flags,
    draw_hours,
    draw_uprights,
    flags_height_in,
    local_hours,
    minutes_of,
    place_flags,
    time_axes,
    time_axis,
)
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.show.proof import grid_text, proof_text, verdict
from sunsched.show.prospects import LIKELY_MARK

MEAL: Style = {"facecolor": "0.93", "edgecolor": "0.35", "linewidth": 0.7, "hatch": "\\\\\\"}
NOW: Style = {"color": VERMILION, "linewidth": 2.0, "linestyle": "-"}
HOURS: Style = {"color": "0.25", "linewidth": 0.7}
HOUR: Style = {"color": RULE, "linewidth": 0.4}
UPRIGHT_FROM_ROWS = 33  # with more rows than this the sheet stands upright
LEAST_ROW_IN, MOST_ROW_IN = 0.1, 0.36  # height of a row on a sheet; past the least it grows
STRIP_SHARE = 0.62  # the strip's share of a row, on a sheet
PHONE_STRIP = (0.71, 0.42)  # middle and height of the strip in a row: the words stand over it
ROLL_SHARE = 1.32  # share of a strip's height: a roll is a little higher than its strip
LIKELY_BELOW = 0.62  # shares of a strip's height from its middle down to the likely starts
BAND_IN = {Shape.A4: 1.25, Shape.LETTER: 1.2, Shape.PHONE: 1.15}


def day_figure(
    fit: DayFit,
    plan: Plan,
    *,
    now: datetime | None = None,
    shape: Shape = Shape.A4,
) -> Figure:
    """Draw the day: local time across, the sun's height, then a row a shot in shooting order.

    A strip shows what light the shot keeps at each minute; over it stand its changeover and roll.

    Parameters
    ----------
    now : a moment to be marked, aware; one that the picture does not reach is named in words. On a
        day under way it is the plan's own moment unless given.
    """
    day, rows = fit.day, day_rows(plan)
    if now is None and plan.day.past is not None:
        now = plan.day.past.at
    with house_style():
        setting = paper(shape, upright=len(rows) > UPRIGHT_FROM_ROWS)
        columns = None if shape is Shape.PHONE else measure_columns(plan, setting)
        left = setting.margin_in + (columns.left_in if columns else 0.0)
        right = setting.margin_in + (columns.right_in if columns else 0.0)
        axis = time_axis(fit, left, setting.width_in - left - right)
        head = [
            *heading(day, setting),
            *_verdict(plan, _kept_text(plan), axis, now, setting),
        ]
        sky = place_flags([*sun_flags(fit), *clock_flags(axis)], axis, setting.small_pt)
        work = place_flags(_work_flags(plan, axis, now), axis, setting.small_pt)
        key = key_rows(_key(fit, plan, axis, now), setting)

        hours_in = LINE * setting.small_pt * POINT_IN
        top = setting.margin_in + sum(line.height_in for line in head) + 0.06
        band_top = top + flags_height_in(sky, setting.small_pt)
        rows_top = (
            band_top + BAND_IN[shape] + hours_in + flags_height_in(work, setting.small_pt) + 0.04
        )
        foot = hours_in + 0.08 + key_height_in(key, setting) + setting.margin_in
        row_in = _row_height_in(setting, rows_top + foot, len(rows))
        rows_bottom = rows_top + row_in * len(rows)

        figure = new_figure(setting, rows_bottom + foot, f"{day.title}: the day")
        write_lines(figure, setting.margin_in, setting.margin_in, head)
        band = time_axes(figure, axis, band_top, BAND_IN[shape])
        draw_sun(figure, band, axis, band_top, BAND_IN[shape], setting)
        strips = time_axes(figure, axis, rows_top, row_in * len(rows))
        strips.set_ylim(len(rows), 0)
        _draw_rows(strips, fit, plan, rows, axis, shape)
        _draw_moments(band, axis, plan, sky, now, [band.get_ylim()])
        spans = _line_spans(rows, shape)
        _draw_moments(strips, axis, plan, sky, now, spans)
        # Not over the sun, where their labels would be taken for those of the sun's moments.
        draw_uprights(
            strips, _hours_minutes(fit, plan), spans, "call and wrap", HOURS | {"zorder": 2.2}
        )
        draw_flags(figure, sky, band_top, setting.small_pt)
        draw_flags(figure, work, rows_top, setting.small_pt)
        draw_hours(figure, axis, band_top + BAND_IN[shape] + hours_in / 2, setting.small_pt)
        draw_hours(figure, axis, rows_bottom + hours_in / 2, setting.small_pt)
        for number, row in enumerate(rows):
            if columns is None:
                write_phone_row(figure, day, row, rows_top + number * row_in, setting)
            else:
                middle = rows_top + (number + 0.5) * row_in
                write_row(figure, row, middle, row_in, columns, setting)
        draw_key(figure, rows_bottom + hours_in + 0.08, key, setting)
    return figure


def _row_height_in(setting: Paper, taken_in: float, rows: int) -> float:
    if setting.height_in is None:
        return PHONE_ROW_IN
    return max(LEAST_ROW_IN, min(MOST_ROW_IN, (setting.height_in - taken_in) / max(1, rows)))


def _line_spans(rows: list[Row], shape: Shape) -> list[tuple[float, float]]:
    """Give where lines may stand: all along a sheet, in the strips alone where words part them."""
    if shape is not Shape.PHONE:
        return [(0.0, float(len(rows)))]
    middle, high = PHONE_STRIP
    reach = high * ROLL_SHARE / 2
    return [
        (number + middle - reach, number + middle + reach)
        for number, row in enumerate(rows)
        if row.shot is not None
    ]


def _kept_text(plan: Plan) -> str:
    if plan.outlook is not None:
        return verdict(plan)
    kept = f"light kept {plan.light_kept:.1%}, {plan.points} points"
    status = f"not proven: with starts {grid_text(plan)} no order is worth more than {plan.bound}"
    status = proof_text(plan) if plan.status == "proven" else f"{status} points"
    return f"{kept}; {status}"


def _verdict(
    plan: Plan, text: str, axis: TimeAxis, now: datetime | None, setting: Paper
) -> Iterator[Words]:
    yield from wrapped_words(text, setting.room_in, setting.text_pt)
    if now is not None and not axis.shows(minutes_of(axis.fit, now)):
        local = now.astimezone(plan.day.place.zone)
        text = f"now, {local:%Y-%m-%d %H:%M}, is not on this picture"
        yield from wrapped_words(text, setting.room_in, setting.text_pt)


def _work_flags(plan: Plan, axis: TimeAxis, now: datetime | None) -> Iterator[Flag]:
    day, hours = plan.day, plan.day.hours
    moments = [("crew call", hours.crew_call), ("wrap", hours.wrap)]
    if hours.hard_wrap > hours.wrap:
        moments.append(("hard wrap", hours.hard_wrap))
    if now is not None:
        moments.append(("now", now))
    for name, when in moments:
        yield Flag(minute=minutes_of(axis.fit, when), text=f"{name} {clock(day, when)}")
    for name, meal in (("meal", plan.meal), ("second meal", second_meal(plan))):
        if meal is not None:
            yield Flag(
                minute=minutes_of(axis.fit, meal.start),
                text=f"{name} {clock(day, meal.start)}–{clock(day, meal.end)}",
            )


def _key(fit: DayFit, plan: Plan, axis: TimeAxis, now: datetime | None) -> list[KeyEntry]:
    entries = [*shade_key(), *piece_key(plan_pieces(plan))]
    if any(planned.last_start is not None for planned in plan.shots):
        entries.append(KeyEntry(label="last start that keeps half its light", line=LAST))
    if plan.outlook is not None:
        entries.append(KeyEntry(label=LIKELY_MARK, line=LIKELY))
    if plan.meal is not None:
        entries.append(KeyEntry(label="meal", box=MEAL))
    if now is not None and axis.shows(minutes_of(fit, now)):
        entries.append(KeyEntry(label="now", line=NOW))
    entries.append(KeyEntry(label="height of the sun", line=SUN))
    entries += [KeyEntry(label=name, line=look) for name, _, look in skylines(fit)]
    names = dict.fromkeys(name for name, _, _ in overhang_bands(fit))
    entries += [KeyEntry(label=name, box=OVERHANG) for name in names]
    entries.append(KeyEntry(label="dawn, rise, highest, set, dusk", line=SUN_EVENT))
    entries.append(KeyEntry(label="call and wrap", line=HOURS))
    return entries


def _hours_minutes(fit: DayFit, plan: Plan) -> list[float]:
    hours = plan.day.hours
    return [minutes_of(fit, when) for when in (hours.crew_call, hours.wrap, hours.hard_wrap)]


def _draw_rows(
    axes: Axes, fit: DayFit, plan: Plan, rows: list[Row], axis: TimeAxis, shape: Shape
) -> None:
    middle, high = PHONE_STRIP if shape is Shape.PHONE else (0.5, STRIP_SHARE)
    places = {}
    for number, row in enumerate(rows):
        if row.shot is None:
            continue
        places[row.shot.id] = number + middle
        light = fit.shots[row.shot.id].fit
        draw_strip(axes, axis, light, number + middle, high, f"light {row.shot.id}")
        if row.planned is not None and row.planned.last_start is not None:
            last = minutes_of(fit, row.planned.last_start)
            axes.plot([last], [number + middle], zorder=6, label=f"last {row.shot.id}", **LAST)
    for piece in plan_pieces(plan):
        draw_piece(axes, fit, piece, places[piece.shot_id], high, ROLL_SHARE)
    for prospect in () if plan.outlook is None else plan.outlook.prospects:
        # Under the strip, where it hides neither the light nor the roll.
        draw_likely(axes, fit, prospect, places[prospect.shot_id] + high * LIKELY_BELOW)


def _draw_moments(
    axes: Axes,
    axis: TimeAxis,
    plan: Plan,
    events: Sequence[PlacedFlag],
    now: datetime | None,
    spans: Sequence[tuple[float, float]],
) -> None:
    """Draw what stands through the whole height: the sun's moments, full hours, meal and now.

    Lines are drawn in these spans of the axes' height only, so that none runs through words.
    """
    fit, meal = axis.fit, plan.meal
    lines: list[tuple[list[float], str, Style]] = [
        ([minute for minute, _ in local_hours(axis)], "hours", HOUR | {"zorder": 0.5}),
        ([placed.flag.minute for placed in events], "sun", SUN_EVENT | {"zorder": 2.2}),
    ]
    if now is not None and axis.shows(minutes_of(fit, now)):
        lines.append(([minutes_of(fit, now)], "now", NOW | {"zorder": 7.0}))
    for minutes, label, look in lines:
        draw_uprights(axes, minutes, spans, label, look)
    if meal is not None:
        start, end = minutes_of(fit, meal.start), minutes_of(fit, meal.end)
        axes.axvspan(start, end, zorder=0.3, label="meal", facecolor=MEAL["facecolor"])
        over = MEAL | {"facecolor": "none"}
        for bottom, top in spans:
            axes.add_artist(
                Rectangle((start, bottom), end - start, top - bottom, zorder=2.5, **over)
            )
