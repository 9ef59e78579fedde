"""What every sheet shows: a plan with its revision, and the lines of the day in their order."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from sunsched.day.clock import clock
from sunsched.day.model import Day, Span
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.layout import bearing_text, side
from sunsched.show.paper_size import Shape
from sunsched.show.second_meal import second_meal, second_meal_text
from sunsched.show.stamp import Stamp, stamp_text

LIKELY_WAIT_MIN = 5  # a shorter wait is no line of a likely day
GAP = "nothing shot"  # the log does not say why; minutes lost by now are part of it
_BOUGHT = re.compile(r"wins (?P<wins>-?\d+) points, the wait costs (?P<costs>\d+)")
CAUTIONS = (
    "Never look at the sun through a finder, a lens or any other optics.",
    (
        "Frames in the wind are the key grip's call. The local code, the agreement in force and "
        "the licensed person come before this plan."
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """The plan that a day under way began with, and the day by the newest event of its log."""

    followed: Plan
    so_far: Day


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A plan that is handed out.

    `stamp` is written on the sheet, so the same plan made at the same minute gives the same bytes.
    `paper` is the shape of printed pages. `before` is the plan that a day which is over began with;
    `plan` is then what was made of it. `course` is how a day under way went.
    """

    plan: Plan
    stamp: Stamp
    paper: Shape
    before: Plan | None = None
    course: Course | None = None


class State(StrEnum):
    """How far a shot is on a day under way; before the day all are coming."""

    MADE = "made"
    RUNNING = "running"
    COMING = "coming"


class LineKind(StrEnum):
    """What one line of the day is about."""

    CALL = "call"
    MOVE = "move"
    WAIT = "wait"
    SHOT = "shot"
    MEAL = "meal"
    SECOND_MEAL = "second meal"
    NOW = "now"
    WRAP = "wrap"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the day, times in UTC; that of a shot spans its roll.

    `planned` is the shot that a move or a wait is for; None for the lines that are for all.
    """

    kind: LineKind
    start: datetime
    end: datetime
    text: str
    planned: PlannedShot | None = None


def state_of(plan: Plan, planned: PlannedShot) -> State:
    """Say whether a shot is made, rolls at the moment of the plan, or is still to come."""
    past = plan.day.past
    if past is None:
        return State.COMING
    if planned.shot.id == past.running:
        return State.RUNNING
    is_made = any(one.shot_id == planned.shot.id for one in past.made)
    return State.MADE if is_made else State.COMING


def day_lines(plan: Plan) -> tuple[Line, ...]:
    """Give the day from crew call to wrap, line by line; a day under way has a line for now."""
    day, work = plan.day, list(_work(plan))
    begun = day.hours.wrap
    if work:
        # A short wait has no line, so a shot may be begun before its first line starts.
        first = work[0].planned
        begun = work[0].start if first is None else first.changeover_start
    lines = [
        Line(kind=LineKind.CALL, start=day.hours.crew_call, end=begun, text="crew call"),
        *work,
    ]
    if day.past is not None:
        at = day.past.at
        now = Line(kind=LineKind.NOW, start=at, end=at, text="planned anew from here")
        lines.insert(sum(line.start <= at for line in lines), now)
    second = second_meal(plan)
    if second is not None:
        text = second_meal_text(plan, second)
        line = Line(kind=LineKind.SECOND_MEAL, start=second.start, end=second.end, text=text)
        lines.insert(sum(line.start <= second.start for line in lines), line)
    if work:
        ends, wrap = work[-1].end, day.hours.wrap
        what = "last roll ends" if work[-1].kind is LineKind.SHOT else "meal ends"
        over = ", overtime" if ends > wrap else ""
        text = f"{what}, wrap is {clock(day, wrap)}{over}"
        lines.append(Line(kind=LineKind.WRAP, start=ends, end=max(wrap, ends), text=text))
    else:
        wrap = day.hours.wrap
        lines.append(Line(kind=LineKind.WRAP, start=wrap, end=wrap, text="wrap"))
    return tuple(lines)


def timed_text(line: Line) -> str:
    """Give what a line says, with its minutes: first those of a move or a wait, often long."""
    minutes = round((line.end - line.start) / timedelta(minutes=1))
    if line.kind in (LineKind.MOVE, LineKind.WAIT):
        return f"{minutes} min, {line.text}"
    return f"{line.text}, {minutes} min" if line.kind is LineKind.MEAL else line.text


def moved_at(planned: PlannedShot) -> datetime:
    """Give the moment at which the move before a shot ends and its build begins.

    A move that is over may have taken less than it was said to.
    """
    moved = planned.changeover_start + timedelta(minutes=planned.move_min)
    return min(moved, planned.roll_start)


def ready_at(plan: Plan, planned: PlannedShot) -> datetime:
    """Give the moment at which a shot is built, and waits for its light or its minute.

    Nobody wrote down when a made shot was built, so its changeover lasts until its roll.
    """
    if state_of(plan, planned) is not State.COMING:
        return planned.roll_start
    return planned.built_at


def lost_spans(plan: Plan, planned: PlannedShot) -> tuple[Span, ...]:
    """Give the minutes that were lost, as told, in the changeover of a shot that has begun."""
    made = () if plan.day.past is None else plan.day.past.made
    own = (one.lost_before_roll for one in made if one.shot_id == planned.shot.id)
    return tuple(Span(start=since, end=until) for since, until in next(own, ()))


def issued(sheet: Sheet) -> str:
    """Say what the sheet is of, when it was made, and what it knows."""
    return stamp_text(sheet.plan.day, sheet.stamp)


def build_text(plan: Plan, planned: PlannedShot) -> str:
    """Say what a changeover takes after the move, such as `setup 25 min, turnaround 10 min`.

    Of a made shot it is known only how long all of it took.
    """
    if state_of(plan, planned) is not State.COMING:
        took = planned.roll_start - planned.changeover_start
        lost = sum((one.end - one.start for one in lost_spans(plan, planned)), timedelta())
        text = f"changeover took {round((took - lost) / timedelta(minutes=1))} min"
        return f"{text}, {round(lost / timedelta(minutes=1))} min lost" if lost else text
    parts = [f"{'adjust' if planned.is_adjust else 'setup'} {planned.build_min} min"]
    if planned.turnaround_min:
        parts.append(f"turnaround {planned.turnaround_min} min")
    return ", ".join(parts)


def sun_text(day: Day, planned: PlannedShot) -> str:
    """Say where the sun stands in the middle of the roll: `74°, 18° high`."""
    height = f"{round(planned.sun_elevation_deg)}°"
    return f"{bearing_text(day, planned.sun_azimuth_deg)}, {height} high"


def lens_text(planned: PlannedShot) -> str:
    """Say where the sun stands for the lens: `62° R`, which is camera right."""
    return side(planned.sun_from_lens_deg)


def look_text(day: Day, planned: PlannedShot) -> str:
    """Say where the lens points, from north."""
    return bearing_text(day, planned.shot.look_deg)


def last_start_text(plan: Plan, planned: PlannedShot) -> str:
    """Give the last start on the local clock, `–` for a shot whose light is lost already.

    A shot that has started has no last start, and its state stands there.
    """
    state = state_of(plan, planned)
    if state is not State.COMING:
        return str(state)
    return "–" if planned.last_start is None else clock(plan.day, planned.last_start)


def _work(plan: Plan) -> Iterator[Line]:
    """Give the lines from the first changeover to the last roll or the meal after it."""
    day, meal = plan.day, plan.meal
    free_at: datetime | None = None
    for planned in plan.shots:
        if meal is not None and meal.start < planned.roll_start:
            yield from _meal(plan, free_at, meal)
            free_at, meal = meal.end, None
        if free_at is not None:
            is_gap = day.past is not None and free_at <= day.past.free_at
            text = GAP if is_gap else f"wait until {planned.shot.spot} opens"
            yield from _wait(free_at, planned.changeover_start, text, planned)
        yield from _changeover(plan, planned)
        yield Line(
            kind=LineKind.SHOT,
            start=planned.roll_start,
            end=planned.roll_end,
            text=planned.shot.description,
            planned=planned,
        )
        free_at = planned.roll_end
    if meal is not None:
        yield from _meal(plan, free_at, meal)


def _meal(plan: Plan, free_at: datetime | None, meal: Span) -> Iterator[Line]:
    past = plan.day.past
    text = GAP if past is not None and past.meal_start is not None else "wait until the meal"
    if free_at is not None:
        yield from _wait(free_at, meal.start, text)
    yield Line(kind=LineKind.MEAL, start=meal.start, end=meal.end, text="meal")


def _changeover(plan: Plan, planned: PlannedShot) -> Iterator[Line]:
    start, shot = planned.changeover_start, planned.shot
    if planned.move_min:
        yield Line(
            kind=LineKind.MOVE,
            start=start,
            end=moved_at(planned),
            text=f"move to {shot.spot}",
            planned=planned,
        )
    for lost in lost_spans(plan, planned):
        yield from _wait(lost.start, lost.end, "lost", planned)
    until = f"wait {planned.wait_for or f'before {shot.id}'}"
    found = _BOUGHT.search(until)
    if plan.outlook is not None and found and int(found["costs"]) > int(found["wins"]):
        until = until.replace(found[0], f"{found[0]} on the likely day; it pays on the average day")
    # A wait shorter than the grid is no decision: the starts stand no closer. Nor is one of a few
    # minutes on the likely day, which no day keeps to the minute.
    least_min = plan.grid_min if plan.outlook is None else LIKELY_WAIT_MIN
    if planned.roll_start - ready_at(plan, planned) >= timedelta(minutes=least_min):
        yield from _wait(ready_at(plan, planned), planned.roll_start, until, planned)


def _wait(
    start: datetime, end: datetime, text: str, planned: PlannedShot | None = None
) -> Iterator[Line]:
    if end > start:
        yield Line(kind=LineKind.WAIT, start=start, end=end, text=text, planned=planned)
