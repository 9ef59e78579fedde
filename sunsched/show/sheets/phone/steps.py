"""What goes on from the call to the wrap, step by step, for the script of the phone page."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from sunsched.day.clock import instant_ms
from sunsched.plan.availability import needs
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import Line, LineKind, State, moved_at, ready_at, state_of
from sunsched.show.layout import plain

# They keep what stands between them from turning round what stands beside it (Unicode UAX #9, 2.4).
ISOLATE, POP = "\u2068", "\u2069"
TURNING = {"R", "AL", "AN", "RLE", "RLO", "RLI", "LRE", "LRO", "LRI", "FSI", "PDF", "PDI"}
# Where a line of a wait goes on to say what the wait is worth, and what would fit into it.
_WORTH = re.compile(r" \(\d+% at (?:once|first),|; ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing that goes on; each ends where the next one begins. Times are UTC.

    Attributes
    ----------
    kind : call, move, build, wait, roll, meal or wrap
    row : the row of the page that is marked as present
    line : the row whose times are those of the step; "" for one without a row of its own
    says : what goes on, in words
    shot : the id of the shot that it is for; "" for what is for all
    name : the shot with its size and spot
    soonest : nobody begins it earlier, however early the crew is; None where nothing holds it up
    latest : the last start of a roll or a meal; None where there is none
    begin_by : the moment by which the shot's changeover must have begun
    """

    kind: str
    row: str
    line: str
    start: datetime
    end: datetime
    says: str
    shot: str = ""
    name: str = ""
    soonest: datetime | None = None
    latest: datetime | None = None
    begin_by: datetime | None = None


def day_steps(plan: Plan, rows: Sequence[tuple[str, Line]]) -> tuple[Step, ...]:
    """Give the steps of the day from the call, or from the moment of a plan under way.

    Parameters
    ----------
    rows : the lines of the day, each with the name of its row in the page
    """
    day = plan.day
    found = sorted(_steps(plan, rows), key=lambda step: step.start)
    begun = day.hours.crew_call if day.past is None else day.past.at
    return tuple(
        replace(step, start=max(step.start, begun))
        for step in _without_gaps(found)
        if step.end > begun or step.kind == "wrap"
    )


def step_record(step: Step) -> dict[str, str | int | None]:
    """Give a step as the script reads it, times in milliseconds since 1970."""
    return {
        "kind": step.kind,
        "row": step.row,
        "line": step.line,
        "at": instant_ms(step.start),
        "to": instant_ms(step.end),
        "says": step.says,
        "shot": step.shot,
        "name": step.name,
        "soonest": None if step.soonest is None else instant_ms(step.soonest),
        "latest": None if step.latest is None else instant_ms(step.latest),
        "by": None if step.begin_by is None else instant_ms(step.begin_by),
    }


def brief(line: Line) -> str:
    """Give the text of a line; of a wait what it is for, not what it is worth."""
    text = plain(line.text)
    return _WORTH.split(text, maxsplit=1)[0] if line.kind is LineKind.WAIT else text


def isolated(text: str) -> str:
    """Give what somebody typed so that a text that runs the other way turns nothing round."""
    typed = plain(text)
    is_turning = any(unicodedata.bidirectional(sign) in TURNING for sign in typed)
    return f"{ISOLATE}{typed}{POP}" if is_turning else typed


def _steps(plan: Plan, rows: Sequence[tuple[str, Line]]) -> Iterator[Step]:
    own = {
        line.planned.shot.id: row
        for row, line in rows
        if line.planned is not None and line.kind is LineKind.SHOT
    }
    for row, line in rows:
        planned = line.planned
        # A second meal is eaten as the work goes on, so it is never what is going on.
        if line.kind in (LineKind.NOW, LineKind.SECOND_MEAL):
            continue
        if planned is None:
            yield _step_for_all(plan, row, line)
        elif state_of(plan, planned) is not State.MADE:
            yield from _steps_of_shot(plan, planned, line, row, own[planned.shot.id])


def _step_for_all(plan: Plan, row: str, line: Line) -> Step:
    day, says = plan.day, line.text
    step = Step(
        kind=str(line.kind), row=row, line=row, start=line.start, end=line.end, says=plain(says)
    )
    if line.kind is LineKind.MEAL:
        due = day.meal.latest if day.past is None else day.past.meal_due
        return replace(step, soonest=min(day.meal.earliest, line.start), latest=due)
    if line.kind is LineKind.WAIT:
        return replace(step, soonest=line.end)
    if line.kind is LineKind.WRAP:
        return replace(step, says="all is shot")
    if line.kind is LineKind.CALL and not plan.shots:
        return replace(step, says="no shot is planned")
    return step


def _steps_of_shot(
    plan: Plan, planned: PlannedShot, line: Line, row: str, own: str
) -> Iterator[Step]:
    shot, outlook = planned.shot, plan.outlook
    prospect = None if outlook is None else outlook.of(shot.id)
    short = f"shot {isolated(shot.id)}"
    name = f"{short}, {shot.size}, {isolated(shot.spot)}"
    step = Step(
        kind=str(line.kind),
        row=own,
        line=row,
        start=line.start,
        end=line.end,
        says=name,
        shot=plain(shot.id),
        name=name,
    )
    if line.kind is LineKind.MOVE:
        yield replace(step, says=f"move to {isolated(shot.spot)} for {short}")
        return
    if line.kind is LineKind.WAIT:
        says = brief(line)
        held = line.end if outlook is None or prospect is None else prospect.not_before
        past = plan.day.past
        if past is not None and line.start < past.free_at:
            # Minutes that were lost when the plan was made are no wait that could be shorter.
            held = max(filter(None, (held, min(line.end, past.free_at))))
        yield replace(step, says=f"{says}, {name}", soonest=held)
        return
    is_coming = state_of(plan, planned) is State.COMING
    ready = ready_at(plan, planned)
    if is_coming and ready > moved_at(planned):
        what = "adjusting for" if planned.is_adjust else "building"
        yield replace(
            step, kind="build", line="", start=moved_at(planned), end=ready, says=f"{what} {name}"
        )
    not_before = None if prospect is None else prospect.not_before
    yield replace(
        step,
        kind="roll",
        says=f"{name}, rolling",
        soonest=max(filter(None, (not_before, _first_start(plan, planned))), default=None),
        latest=planned.last_start,
        begin_by=None if prospect is None else prospect.begin_by,
    )


def _first_start(plan: Plan, planned: PlannedShot) -> datetime | None:
    """Give the start of the last stretch to begin of those in which the shot is planned."""
    fit, minute = plan.fit, plan.fit.minute_of(planned.roll_start)
    starts = [
        start
        for need in needs(fit, planned.shot)
        for start, end in need.stretches
        if start <= minute < end
    ]
    return fit.time_of(max(starts)) if starts else None


def _without_gaps(steps: Iterable[Step]) -> Iterator[Step]:
    """Fill what is left between two steps, short waits, and end each where the next begins."""
    last: Step | None = None
    for step in steps:
        if last is not None:
            if step.start > last.end:
                yield last
                says = f"ready for {step.name}" if step.name else step.says
                last = replace(
                    step,
                    kind="wait",
                    line="",
                    start=last.end,
                    end=step.start,
                    says=says,
                    soonest=None,
                    latest=None,
                    begin_by=None,
                )
            yield replace(last, end=step.start)
        last = step
    if last is not None:
        yield last
