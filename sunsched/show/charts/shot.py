"""One shot through the day: its light, the parts that it is made of, its windows and its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from matplotlib.figure import Figure
from matplotlib.patches import Polygon, Rectangle

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.light.fit import HALF, DayFit
from sunsched.light.windows import ShotWindows, windows
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import State
from sunsched.show.charts.shot_words import is_always_met, light_texts, place_texts
from sunsched.show.drawing.figure import (
    RULE,
    Stage,
    Style,
    heading,
    house_style,
    new_figure,
    write,
    write_lines,
)
from sunsched.show.drawing.key import KeyEntry, draw_key, key_height_in, key_rows
from sunsched.show.drawing.lettering import LINE, POINT_IN, Words, wrapped_words
from sunsched.show.drawing.strips import DARK, LAST, LIGHT, ROLL, draw_piece, piece_key
from sunsched.show.drawing.timeline import (
    Flag,
    TimeAxis,
    clock_flags,
    corners,
    draw_flags,
    draw_hours,
    draw_uprights,
    flags_height_in,
    local_hours,
    minutes_of,
    place_flags,
    reaching,
    time_stage,
    work_axis,
)
from sunsched.show.layout import bearing_text, bearings_note
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.show.pieces import Doing, Piece, plan_pieces
from sunsched.sky.track import FloatArray

# Light is light, as in strips: white up to what is kept, dark over what is lost.
GROUND: Style = {"facecolor": "0.80", "edgecolor": "0.3", "linewidth": 0.4}
AREA: Style = {"facecolor": LIGHT, "edgecolor": "black", "linewidth": 0.9}
NO_WINDOW: Style = {"facecolor": DARK, "edgecolor": "0.3", "linewidth": 0.4}
WINDOW: Style = {"facecolor": LIGHT, "edgecolor": "black", "linewidth": 0.9}
HALF_LINE: Style = {"color": "0.2", "linewidth": 0.8, "linestyle": (0, (3, 2))}
HOUR: Style = {"color": RULE, "linewidth": 0.4}
HOURS: Style = {"color": "0.25", "linewidth": 0.7}

# Heights of the whole light, of the windows under it and of each part, inches on a phone.
WHOLE_IN, WINDOWS_IN, PART_IN = 1.0, 0.16, 0.34
MOST_STRETCH = 2.2  # how many times higher they may be on a sheet
PART_GAP_IN = 0.05
PIECE_SHARE = 0.4  # height of a changeover over the light


def shot_figure(
    fit: DayFit,
    shot_id: str,
    plan: Plan | None = None,
    *,
    shape: Shape = Shape.PHONE,
    is_alone: bool = True,
) -> Figure:
    """Draw one shot's light at each minute, its windows, and each part of its light.

    With a plan, the shot's changeover, roll and last start stand over it, and in words above. A
    picture that is not alone leaves heading, words and key to the page that it stands in.

    Raises
    ------
    KeyError
        For a shot that the day does not have.
    """
    fit = reaching(fit)
    own, day = fit.shots[shot_id], fit.day
    (found,) = windows(replace(fit, shots={shot_id: own}))
    planned = next((one for one in plan.shots if one.shot.id == shot_id), None) if plan else None
    with house_style():
        setting = paper(shape)
        axis = work_axis(fit, setting.margin_in, setting.room_in)
        head: list[Words] = []
        if is_alone:
            head += heading(day, setting, f"Shot {shot_id}")
            head += _facts(fit, plan, planned, found, setting)
        pieces = [one for one in plan_pieces(plan) if one.shot_id == shot_id] if plan else []
        moments = [*_flags(day, axis, planned, pieces), *clock_flags(axis)]
        flags = place_flags(moments, axis, setting.small_pt)
        key = key_rows(_key(planned, pieces), setting) if is_alone else []

        line_in = LINE * setting.small_pt * POINT_IN
        top = setting.margin_in + sum(line.height_in for line in head) + 0.08
        names = [name for name, part in own.parts.items() if not is_always_met(part, axis)]
        fixed = (
            flags_height_in(flags, setting.small_pt)
            + line_in * (1 + len(names))
            + PART_GAP_IN * len(names)
            + 0.06
            + WINDOWS_IN
            + key_height_in(key, setting)
            + setting.margin_in
        )
        curves = WHOLE_IN + PART_IN * len(names)
        stretch = 1.0
        if setting.height_in is not None:
            stretch = (setting.height_in - top - fixed) / curves
            stretch = max(0.5, min(MOST_STRETCH, stretch))
        figure = new_figure(setting, top + fixed + stretch * curves, f"{day.title}: shot {shot_id}")
        write_lines(figure, setting.margin_in, setting.margin_in, head)

        top += flags_height_in(flags, setting.small_pt)
        draw_flags(figure, flags, top, setting.small_pt)
        start, whole, part = top, stretch * WHOLE_IN, stretch * PART_IN
        stage = time_stage(figure, axis, top)
        _draw_curve(stage, axis, own.fit, "light", whole, whole)
        stage.plot([axis.first, axis.last], [whole * (1.0 - HALF)] * 2, zorder=2.4, **HALF_LINE)
        _draw_place(stage, fit, planned, pieces, whole)
        _draw_windows(stage, axis, found, whole + WINDOWS_IN / 2)
        draw_hours(figure, axis, top + whole + WINDOWS_IN + line_in / 2, setting.small_pt)
        spans = [(0.0, whole)]
        top += whole + WINDOWS_IN + line_in
        for name in names:
            words = Words(
                text=_part_words(fit, name, own.parts[name], planned),
                size_pt=setting.small_pt,
                bold=True,
            )
            write(figure, setting.margin_in, top + line_in / 2, words)
            top += line_in + part
            _draw_curve(stage, axis, own.parts[name], name, top - start, part)
            spans.append((top - start - part, top - start))
            top += PART_GAP_IN
        _draw_uprights(stage, axis, spans)
        for span in spans[1:]:
            _draw_roll(stage, fit, pieces, span)
        draw_key(figure, top + 0.06, key, setting)
    return figure


def _facts(
    fit: DayFit,
    plan: Plan | None,
    planned: PlannedShot | None,
    found: ShotWindows,
    setting: Paper,
) -> Iterator[Words]:
    """Say in words what is asked, when it is right, where it stands and what its last start is."""
    shot = fit.shots[found.shot].shot
    room, size = setting.room_in, setting.text_pt
    yield from wrapped_words(shot.description, room, size, bold=True, lines=4)
    asked, *lit = light_texts(fit, found)
    look = bearing_text(fit.day, shot.look_deg)
    texts = [f"{shot.size} at {shot.spot}, look {look}; {asked}", *lit]
    if plan is not None and planned is not None:
        texts += place_texts(plan, planned)
    elif plan is not None:
        texts += [f"left out: {one.why}" for one in plan.left_out if one.shot.id == shot.id]
    if bearings_note(fit.day):
        texts.append(bearings_note(fit.day))
    for text in texts:
        yield from wrapped_words(text, room, size, lines=5)


def _flags(
    day: Day, axis: TimeAxis, planned: PlannedShot | None, pieces: Sequence[Piece]
) -> Iterator[Flag]:
    moments = [("call", day.hours.crew_call), ("wrap", day.hours.wrap)]
    if planned is not None:
        is_made = any(piece.state is State.MADE for piece in pieces)
        moments.append(("made" if is_made else "rolls", planned.roll_start))
        if planned.last_start is not None and planned.last_start != planned.roll_start:
            moments.append(("last", planned.last_start))
    for name, when in moments:
        yield Flag(minute=minutes_of(axis.fit, when), text=f"{name} {clock(day, when)}")


def _key(planned: PlannedShot | None, pieces: Sequence[Piece]) -> list[KeyEntry]:
    entries = [
        KeyEntry(label="light, 0 to 100%", box=AREA),
        KeyEntry(label="lost", box=GROUND),
        KeyEntry(label="50%", line=HALF_LINE),
        KeyEntry(label="window: its sun is right", box=WINDOW, share=0.6),
        KeyEntry(label="call and wrap", line=HOURS),
    ]
    entries += piece_key(pieces)
    if planned is not None and planned.last_start is not None:
        entries.append(KeyEntry(label="last start", line=LAST))
    return entries


def _draw_curve(
    stage: Stage, axis: TimeAxis, values: FloatArray, label: str, foot: float, high: float
) -> None:
    """Draw values of 0 to 1 as a framed area through the day that stands on its foot."""
    minutes = corners(values, axis)
    top = [(minute, foot - high * values[minute]) for minute in minutes]
    outline = [(axis.first, foot), *top, (axis.last, foot)]
    box = ((axis.first, foot - high), axis.last - axis.first, high)
    stage.add_artist(Rectangle(*box, zorder=0.4, label=f"ground {label}", **GROUND))
    stage.add_artist(Polygon(outline, zorder=2, label=label, clip_on=False, **AREA))
    stage.add_artist(Rectangle(*box, zorder=2.6, **GROUND | {"facecolor": "none"}))


def _draw_place(
    stage: Stage,
    fit: DayFit,
    planned: PlannedShot | None,
    pieces: Sequence[Piece],
    high: float,
) -> None:
    """Draw the shot's changeover, waits, roll and last start over its light."""
    for piece in pieces:
        share = 1.0 if piece.doing is Doing.ROLL else PIECE_SHARE
        draw_piece(stage, fit, piece, high / 2, high * share, 1.0)
    if planned is not None and planned.last_start is not None:
        last = minutes_of(fit, planned.last_start)
        stage.plot([last], [high / 2], zorder=6, label="last start", **LAST)


def _draw_windows(stage: Stage, axis: TimeAxis, found: ShotWindows, middle: float) -> None:
    low, wide = middle - WINDOWS_IN / 4, axis.last - axis.first
    bar = Rectangle((axis.first, low), wide, WINDOWS_IN / 2, label="no window", **NO_WINDOW)
    stage.add_artist(bar)
    for span in found.spans:
        start, end = minutes_of(axis.fit, span.start), minutes_of(axis.fit, span.end)
        corner, high = (start, middle - WINDOWS_IN / 4), WINDOWS_IN / 2
        stage.add_artist(Rectangle(corner, end - start, high, label="window", **WINDOW))


def _draw_uprights(stage: Stage, axis: TimeAxis, spans: Sequence[tuple[float, float]]) -> None:
    """Draw the hours, the call and the wrap through all curves."""
    hours = axis.fit.day.hours
    full = [minute for minute, _ in local_hours(axis)]
    draw_uprights(stage, full, spans, "hours", HOUR | {"zorder": 0.5})
    work = [minutes_of(axis.fit, when) for when in (hours.crew_call, hours.wrap)]
    draw_uprights(stage, work, spans, "call and wrap", HOURS | {"zorder": 2.5})


def _draw_roll(
    stage: Stage, fit: DayFit, pieces: Sequence[Piece], span: tuple[float, float]
) -> None:
    """Draw the roll over the curve of a part, which it never hides."""
    top, foot = span
    for piece in pieces:
        if piece.doing is Doing.ROLL:
            start, end = minutes_of(fit, piece.start), minutes_of(fit, piece.end)
            box = Rectangle((start, top), end - start, foot - top, label="roll", zorder=4, **ROLL)
            stage.add_artist(box)


def _part_words(fit: DayFit, name: str, part: FloatArray, planned: PlannedShot | None) -> str:
    """Give the name of a part, and how much of it is met while the shot rolls."""
    if planned is None:
        return name
    first, last = fit.minute_of(planned.roll_start), fit.minute_of(planned.roll_end)
    return f"{name}: {float(part[first:last].mean()):.0%} while it rolls"
