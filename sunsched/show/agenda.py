"""What every sheet shows: a plan with its revision, and the lines of the day in their order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from sunsched.day.model import Span
from sunsched.order.fit import DayFit
from sunsched.order.plan import HALF, Plan, PlannedShot
from sunsched.show.layout import bearing, clock, side

if TYPE_CHECKING:  # tables and calendars do without matplotlib
    from sunsched.show.drawing import Shape


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A plan that is handed out.

    `revision` is the number under which the plan is saved, None for one that is not. `made_at` is
    aware; it is written on the sheet, so the same plan made at the same minute gives the same
    bytes. `paper` is the shape of printed pages.
    """

    fit: DayFit
    plan: Plan
    made_at: datetime
    revision: int | None
    paper: Shape


class LineKind(StrEnum):
    """What one line of the day is about."""

    CALL = "call"
    MOVE = "move"
    WAIT = "wait"
    SHOT = "shot"
    MEAL = "meal"
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


def day_lines(plan: Plan) -> tuple[Line, ...]:
    """Give the day from crew call to wrap, line by line."""
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
    if work:
        ends, wrap = work[-1].end, day.hours.wrap
        what = "last roll ends" if work[-1].kind is LineKind.SHOT else "meal ends"
        over = ", overtime" if ends > wrap else ""
        text = f"{what}; wrap is {clock(day, wrap)}{over}"
        lines.append(Line(kind=LineKind.WRAP, start=ends, end=max(wrap, ends), text=text))
    return tuple(lines)


def ready_at(planned: PlannedShot) -> datetime:
    """Give the moment at which a shot is built, and waits for its light or its minute."""
    return planned.roll_start - timedelta(minutes=planned.wait_min)


def issued(sheet: Sheet) -> str:
    """Say which revision this is and when it was made, on the place's clock."""
    place = sheet.plan.day.place
    local = sheet.made_at.astimezone(place.zone)
    number = "not saved" if sheet.revision is None else f"revision {sheet.revision}"
    return f"{number}, made {local:%Y-%m-%d %H:%M} {place.timezone} time"


def verdict(plan: Plan) -> str:
    """Say how much light the plan keeps, and how sure it is that no order keeps more."""
    grid = "on any minute" if plan.grid_min == 1 else f"every {plan.grid_min} minutes"
    kept = f"light kept {plan.light_kept:.1%}"
    if plan.status == "proven":
        return f"{kept}; proven: no order keeps more, with starts {grid}"
    return f"{kept}; not proven: with starts {grid} another order may win up to {plan.gap:.1%}"


def notes(plan: Plan) -> tuple[str, ...]:
    """Give what the crew should know beside the order: overtime, meals, shots in poor light."""
    return tuple(_notes(plan))


def build_text(planned: PlannedShot) -> str:
    """Say what a changeover takes after the move, such as `setup 25 min, turnaround 10 min`."""
    parts = [f"{'adjust' if planned.is_adjust else 'setup'} {planned.build_min} min"]
    if planned.turnaround_min:
        parts.append(f"turnaround {planned.turnaround_min} min")
    return ", ".join(parts)


def sun_text(planned: PlannedShot) -> str:
    """Say where the sun stands in the middle of the roll: `74°, 18° high`."""
    height = f"{round(planned.sun_elevation_deg)}°"
    return f"{bearing(planned.sun_azimuth_deg).strip()}, {height} high"


def lens_text(planned: PlannedShot) -> str:
    """Say where the sun stands for the lens: `62° R`, which is camera right."""
    return side(planned.sun_from_lens_deg)


def look_text(planned: PlannedShot) -> str:
    """Say where the lens points, from true north."""
    return bearing(planned.shot.look_deg).strip()


def last_start_text(plan: Plan, planned: PlannedShot) -> str:
    """Give the last start on the local clock, `–` for a shot whose light is lost already."""
    return "–" if planned.last_start is None else clock(plan.day, planned.last_start)


def _work(plan: Plan) -> Iterator[Line]:
    """Give the lines from the first changeover to the last roll or the meal after it."""
    meal = plan.meal
    free_at: datetime | None = None
    for planned in plan.shots:
        if meal is not None and meal.start < planned.roll_start:
            yield from _meal(free_at, meal)
            free_at, meal = meal.end, None
        if free_at is not None:
            text = f"wait until {planned.shot.spot} opens"
            yield from _wait(free_at, planned.changeover_start, text, planned)
        yield from _changeover(planned, plan.grid_min)
        yield Line(
            kind=LineKind.SHOT,
            start=planned.roll_start,
            end=planned.roll_end,
            text=planned.shot.description,
            planned=planned,
        )
        free_at = planned.roll_end
    if meal is not None:
        yield from _meal(free_at, meal)


def _meal(free_at: datetime | None, meal: Span) -> Iterator[Line]:
    if free_at is not None:
        yield from _wait(free_at, meal.start, "wait until the meal")
    yield Line(kind=LineKind.MEAL, start=meal.start, end=meal.end, text="meal")


def _changeover(planned: PlannedShot, grid_min: int) -> Iterator[Line]:
    start, shot = planned.changeover_start, planned.shot
    if planned.move_min:
        end = start + timedelta(minutes=planned.move_min)
        yield Line(
            kind=LineKind.MOVE, start=start, end=end, text=f"move to {shot.spot}", planned=planned
        )
    if shot.pin is not None:
        until = f"wait for {shot.id}, which is pinned"
    elif shot.wish.asks_nothing:
        until = f"wait before {shot.id}"
    else:
        until = f"wait for the light of {shot.id}"
    # A wait shorter than the grid is no decision: the starts stand no closer.
    if planned.wait_min >= grid_min:
        yield from _wait(ready_at(planned), planned.roll_start, until, planned)


def _wait(
    start: datetime, end: datetime, text: str, planned: PlannedShot | None = None
) -> Iterator[Line]:
    if end > start:
        yield Line(kind=LineKind.WAIT, start=start, end=end, text=text, planned=planned)


def _notes(plan: Plan) -> Iterator[str]:
    day = plan.day
    moves = sum(1 for planned in plan.shots if planned.move_min)
    last = plan.shots[-1].roll_end if plan.shots else day.hours.wrap
    over = max(0, round((last - day.hours.wrap) / timedelta(minutes=1)))
    yield f"company moves: {moves}; overtime: {over} min"
    poor = [planned.shot.id for planned in plan.shots if planned.fit < HALF]
    if poor:
        yield f"with less than half of their light: {', '.join(poor)}"
    if plan.second_meal_due is not None:
        yield f"a second meal is due at {clock(day, plan.second_meal_due)} (common practice)"
