"""Who waits when: the crew and each of the cast through the day of a plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from sunsched.day.clock import clock
from sunsched.day.model import Span
from sunsched.plan.crew import crew_figures
from sunsched.plan.plan import Plan
from sunsched.show.agenda import ready_at
from sunsched.show.charts.day_words import MEAL
from sunsched.show.drawing.figure import (
    DARK_BLUE,
    RULE,
    Stage,
    Style,
    write,
    write_lines,
)
from sunsched.show.drawing.ids import draw_ids, place_ids
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
from sunsched.show.drawing.picture import Picture, alone, share_out
from sunsched.show.drawing.strips import BUILD, BUILD_SHARE
from sunsched.show.drawing.timeline import (
    TimeAxis,
    draw_hours,
    draw_uprights,
    local_hours,
    minutes_of,
    time_stage,
)
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.show.text.crew import duration

ROLLS: Style = {"facecolor": DARK_BLUE, "edgecolor": DARK_BLUE, "linewidth": 0.5}
WAIT: Style = {"facecolor": "white", "edgecolor": "black", "linewidth": 0.8}
DOTS: Style = {"color": "black", "linewidth": 1.4, "linestyle": (0, (1.0, 1.2))}
CREW = "crew"
HERE: Style = {"color": "black", "linewidth": 1.0, "solid_capstyle": "butt"}
HOUR: Style = {"color": RULE, "linewidth": 0.4}
ROW_IN, MOST_ROW_IN = 0.52, 0.8  # of a person, words and bar together: on a phone, on a sheet
BAR_IN = 0.17
WAIT_SHARE = 0.5
LONG_NAME = 1.04  # a name of a hundred like letters comes out so many times as wide as measured
MARGIN = timedelta(minutes=10)


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonsDay:
    """The day of one of the cast, or of the crew: when they can be here, work, eat and wait.

    Only the crew has `builds`: changeovers, moves among them.
    """

    name: str
    told: str
    here: tuple[Span, ...]
    builds: tuple[Span, ...]
    rolls: tuple[Span, ...]
    wait: tuple[Span, ...]
    meal: Span | None


def people_of(plan: Plan) -> list[PersonsDay]:
    """Give the day of the crew, then that of each of the cast who is in a shot of the plan.

    The crew works while it changes over or rolls; one of the cast works while they roll. Both are
    bound from their first work to their last, the crew from its call; what is neither work nor the
    meal is waiting. Make-up and rehearsal are not known here.
    """
    day, counted = plan.day, crew_figures(plan.day, plan.timetable)
    found: list[PersonsDay] = []
    if plan.shots:
        whole = Span(start=day.hours.crew_call, end=plan.shots[-1].roll_end)
        builds = [Span(start=one.changeover_start, end=ready_at(plan, one)) for one in plan.shots]
        rolls = [Span(start=one.roll_start, end=one.roll_end) for one in plan.shots]
        here = (Span(start=day.hours.crew_call, end=day.hours.hard_wrap),)
        found.append(_persons_day(plan, CREW, whole, here, rolls, builds))
    for member in counted.cast:
        rolls = [
            Span(start=one.roll_start, end=one.roll_end)
            for one in plan.shots
            if member.name in one.shot.cast
        ]
        own = next(one.here for one in day.cast if one.name == member.name)
        whole = Span(start=member.first_call, end=member.last_release)
        found.append(_persons_day(plan, member.name, whole, own, rolls))
    return found


def people_figure(plan: Plan, *, shape: Shape = Shape.A4, is_bare: bool = False) -> Figure:
    """Draw who waits when: a bar for the crew and for each of the cast, its waits dotted."""
    setting = paper(shape)
    (picture,) = people_pictures(plan, setting)
    return alone(plan.day, setting, picture, is_bare=is_bare)


def people_pictures(plan: Plan, setting: Paper, most_rows: int | None = None) -> list[Picture]:
    """Give the picture of who waits, as several if a page holds no more than so many people."""
    people = people_of(plan)
    return [
        _picture(plan, people, part, setting, f"Who waits when{', continued' if number else ''}")
        for number, part in enumerate(share_out(people, most_rows))
    ]


def _picture(
    plan: Plan,
    everybody: Sequence[PersonsDay],
    people: Sequence[PersonsDay],
    setting: Paper,
    subject: str,
) -> Picture:
    axis = _axis(plan, setting)
    told = wrapped_words(waits_text(everybody), setting.room_in, setting.text_pt, bold=True)
    key = key_rows([*_key(people)], setting)
    marks = [
        (one.shot.id, axis.x_in(_middle(axis, one.roll_start, one.roll_end))) for one in plan.shots
    ]
    lanes = place_ids(marks, axis.left_in, axis.right_in, setting.text_pt)
    line_in = LINE * setting.text_pt * POINT_IN
    hours_in = LINE * setting.small_pt * POINT_IN
    over = sum(line.height_in for line in told) + 0.1 + lanes.high_in
    below = hours_in + 0.1 + key_height_in(key, setting)
    least, most = ROW_IN, ROW_IN
    if setting.height_in is not None:
        least, most = line_in + BAR_IN + 0.04, MOST_ROW_IN

    def draw(figure: Figure, top: float, high: float) -> None:
        write_lines(figure, setting.margin_in, top, told)
        top += over
        row_in = max(least, min(most, (high - over - below) / max(1, len(people))))
        bottom = top + row_in * len(people)
        draw_ids(figure, lanes, top)
        stage = time_stage(figure, axis, top)
        for number, one in enumerate(people):
            at = number * row_in + line_in
            _write_row(figure, one, top + at - line_in / 2, setting)
            _draw_row(stage, axis, one, at + BAR_IN / 2)
        spans = [(n * row_in + line_in, n * row_in + line_in + BAR_IN) for n in range(len(people))]
        hours = [float(minute) for minute, _ in local_hours(axis)]
        draw_uprights(stage, hours, spans, "hours", HOUR | {"zorder": 0.5})
        draw_hours(figure, axis, bottom + hours_in / 2, setting.small_pt)
        draw_key(figure, bottom + hours_in + 0.1, key, setting)

    return Picture(
        name="who waits when",
        subject=subject,
        least_in=over + least * len(people) + below,
        most_in=over + most * len(people) + below,
        draw=draw,
    )


def waits_text(people: Sequence[PersonsDay]) -> str:
    """Say who waits longest; the headline of the picture."""
    cast = [one for one in people if one.name != CREW]
    if not cast:
        return "nobody of the cast is in a shot of the plan"
    most = max(cast, key=lambda one: _minutes(one.wait))
    return f"{most.name} waits longest, {duration(_minutes(most.wait))}"


def _persons_day(
    plan: Plan,
    name: str,
    whole: Span,
    here: tuple[Span, ...],
    rolls: Sequence[Span],
    builds: Sequence[Span] = (),
) -> PersonsDay:
    meal = plan.meal
    if meal is not None and not (whole.start <= meal.start < whole.end):
        meal = None
    busy = sorted([*rolls, *builds, *([] if meal is None else [meal])], key=lambda span: span.start)
    wait, free = [], whole.start
    for span in [*busy, Span(start=whole.end, end=whole.end)]:
        if span.start > free:
            wait.append(Span(start=free, end=span.start))
        free = max(free, span.end)
    day, waits = plan.day, duration(_minutes(wait))
    told = f"{clock(day, whole.start)}–{clock(day, whole.end)}, waits {waits}"
    if name != CREW and here:
        told += f", here {', '.join(f'{clock(day, s.start)}–{clock(day, s.end)}' for s in here)}"
    return PersonsDay(
        name=name,
        told=told,
        here=here,
        builds=tuple(span for span in builds if span.end > span.start),
        rolls=tuple(rolls),
        wait=tuple(wait),
        meal=meal,
    )


def _minutes(spans: Sequence[Span]) -> int:
    return round(sum((one.end - one.start for one in spans), timedelta()) / timedelta(minutes=1))


def _axis(plan: Plan, setting: Paper) -> TimeAxis:
    hours = plan.day.hours
    moments = [hours.crew_call, hours.wrap, *(one.roll_end for one in plan.shots)]
    return TimeAxis(
        fit=plan.fit,
        first=int(minutes_of(plan.fit, min(moments) - MARGIN)),
        last=int(minutes_of(plan.fit, max(moments) + MARGIN)),
        left_in=setting.margin_in,
        wide_in=setting.room_in,
    )


def _middle(axis: TimeAxis, start: datetime, end: datetime) -> float:
    return (minutes_of(axis.fit, start) + minutes_of(axis.fit, end)) / 2


def _write_row(figure: Figure, one: PersonsDay, middle: float, setting: Paper) -> None:
    size, left = setting.text_pt, setting.margin_in
    told = cut(one.told, 0.78 * setting.room_in, size)
    room = setting.room_in - width_in(told, size) - 0.1
    name = cut(one.name, room / LONG_NAME, size, bold=True)
    write(figure, left, middle, Words(text=name, size_pt=size, bold=True))
    left += LONG_NAME * width_in(name, size, bold=True) + 0.1
    write(figure, left, middle, Words(text=told, size_pt=size, color=FAINT))


def _draw_row(stage: Stage, axis: TimeAxis, one: PersonsDay, middle: float) -> None:
    """Draw one person's day: a line while they can be here, over it work, meal and waits."""
    for span in one.here or (
        Span(start=axis.fit.time_of(axis.first), end=axis.fit.time_of(axis.last)),
    ):
        start, end = (_clipped(axis, when) for when in (span.start, span.end))
        if end > start:
            stage.plot([start, end], [middle, middle], label=f"here {one.name}", zorder=1, **HERE)
    meals = () if one.meal is None else (one.meal,)
    white = {"facecolor": "white"}
    for spans, look, name, high in (
        (one.wait, WAIT, "wait", WAIT_SHARE * BAR_IN),
        (meals, MEAL | white, "meal", BAR_IN),
        (one.builds, BUILD, "build", BUILD_SHARE * BAR_IN),
        (one.rolls, ROLLS, "roll", BAR_IN),
    ):
        for span in spans:
            start, end = minutes_of(axis.fit, span.start), minutes_of(axis.fit, span.end)
            corner, label = (start, middle - high / 2), f"{name} {one.name}"
            stage.add_artist(Rectangle(corner, end - start, high, label=label, zorder=3, **look))
    ends = [(minutes_of(axis.fit, s.start), minutes_of(axis.fit, s.end)) for s in one.wait]
    x = [place for start, end in ends for place in (start, end, np.nan)]
    stage.plot(x, [middle] * len(x), label=f"dots {one.name}", zorder=3.1, **DOTS)


def _clipped(axis: TimeAxis, when: datetime) -> float:
    return min(max(minutes_of(axis.fit, when), axis.first), axis.last)


def _key(people: Sequence[PersonsDay]) -> Iterator[KeyEntry]:
    yield KeyEntry(label="rolls", box=ROLLS)
    if any(one.builds for one in people):
        yield KeyEntry(label="builds or moves", box=BUILD, share=BUILD_SHARE)
    yield KeyEntry(label="waits", box=WAIT, share=WAIT_SHARE, line=DOTS)
    if any(one.meal is not None for one in people):
        yield KeyEntry(label="meal", box=MEAL | {"facecolor": "white"})
    yield KeyEntry(label="can be here", line=HERE)
