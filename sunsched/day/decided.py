"""A day under a decision: what a day can say of it is changed in the day.

A time to roll is a pin, a release the end of a cast member's hours, an order what comes after what.
A shot that is cut stays in the day, so that it counts as left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from sunsched.day.call import called_day
from sunsched.day.clock import clock
from sunsched.day.demand import (
    CallAt,
    Cut,
    Decision,
    Demand,
    First,
    KeepOrder,
    MealAt,
    ReleaseAt,
    RollAfter,
    RollAt,
    RollBefore,
    WrapAt,
    subject_of,
)
from sunsched.day.model import CastMember, Day, Meal, Span


def demand_text(day: Day, demand: Demand) -> str:
    """Say what is demanded, such as `7 rolls at 13:00`."""
    match demand:
        case RollAt():
            return f"{demand.shot} rolls at {clock(day, demand.time)}"
        case RollBefore():
            return f"{demand.shot} is rolled before {clock(day, demand.time)}"
        case RollAfter():
            return f"{demand.shot} rolls after {clock(day, demand.time)}"
        case MealAt():
            return f"the meal starts at {clock(day, demand.time)}"
        case ReleaseAt():
            return f"{demand.cast} is released at {clock(day, demand.time)}"
        case WrapAt():
            return f"nothing rolls past a wrap at {clock(day, demand.time)}"
        case CallAt():
            return f"the call is at {clock(day, demand.time)}"
        case Cut():
            return f"{demand.shot} is cut"
        case First():
            return f"{demand.shot} comes {'first' if day.past is None else 'next'}"
        case KeepOrder():
            return f"{', '.join(demand.shots)} stay in this order"


def decided_day(day: Day, decision: Decision) -> Day:
    """Give the day under a decision.

    A demand takes the place of one that the day obeys already about the same subject. What no day
    can say (`RollBefore`, `RollAfter`, `First`) is noted in it and changes nothing.
    """
    said = {subject_of(demand): demand for demand in (*day.decisions, *decision)}
    # The call first: what counts from it moves with it, and what is demanded stays.
    for demand in sorted(decision, key=lambda one: not isinstance(one, CallAt)):
        day = _changed(day, demand)
    return replace(day, decisions=tuple(said.values()))


def without_decision(asked: Day, decisions: Decision, demand: Demand) -> Day:
    """Give a day under all but one of some decisions.

    Parameters
    ----------
    asked : the day without any
    """
    return decided_day(asked, tuple(one for one in decisions if one != demand))


def decision_texts(day: Day) -> tuple[str, ...]:
    """Say which decisions a day obeys, such as `7 rolls at 13:00`."""
    return tuple(demand_text(day, demand) for demand in day.decisions)


def decided_again(day: Day) -> Day:
    """Put what a day's decisions say of its shots into shots that it did not have before."""
    for demand in day.decisions:
        if isinstance(demand, RollAt | KeepOrder):
            day = _changed(day, demand)
    return day


def _changed(day: Day, demand: Demand) -> Day:
    match demand:
        case RollAt():
            # A shot pinned elsewhere stays so, for the pin to be named as what stands in the way;
            # a pin that was decided moves.
            is_decided = any(subject_of(one) == subject_of(demand) for one in day.decisions)
            pins = [shot.pin for shot in day.shots if shot.id == demand.shot and not is_decided]
            return _with_pin(day, demand.shot, next(filter(None, pins), demand.time))
        case Cut():
            return _with_pin(day, demand.shot, None)
        case MealAt():
            return replace(day, meal=_moved(day, demand.time))
        case WrapAt():
            return replace(day, hours=replace(day.hours, wrap=demand.time, hard_wrap=demand.time))
        case CallAt():
            called = called_day(day, demand.time)
            is_decided = any(isinstance(one, MealAt) for one in day.decisions)
            return replace(called, meal=day.meal) if is_decided else called
        case ReleaseAt():
            cast = tuple(
                _released(day, member, demand.time) if member.name == demand.cast else member
                for member in day.cast
            )
            return replace(day, cast=cast)
        case KeepOrder():
            return _in_order(day, demand.shots)
        case RollBefore() | RollAfter() | First():
            return day


def _moved(day: Day, when: datetime) -> Meal:
    """Give the meal at a moment; how long a crew may go without one stays what it was."""
    within = (day.meal.latest - day.hours.crew_call) // timedelta(minutes=1)
    if day.meal.within_min is not None:
        within = day.meal.within_min
    return replace(day.meal, earliest=when, latest=when, within_min=within)


def _with_pin(day: Day, shot_id: str, pin: datetime | None) -> Day:
    shots = tuple(replace(s, pin=pin) if s.id == shot_id else s for s in day.shots)
    return replace(day, shots=shots)


def _in_order(day: Day, order: Sequence[str]) -> Day:
    """Let each shot of an order come after those before it, of the shots that the day has."""
    known = {shot.id for shot in day.shots}
    ids = [one for one in order if one in known]
    before = {one: ids[:place] for place, one in enumerate(ids)}
    shots = tuple(
        replace(shot, after=tuple(dict.fromkeys((*shot.after, *before[shot.id]))))
        if before.get(shot.id)
        else shot
        for shot in day.shots
    )
    return replace(day, shots=shots)


def _released(day: Day, member: CastMember, when: datetime) -> CastMember:
    """End the hours of a cast member then; if they end earlier, extend the last span."""
    hours = day.hours
    whole = Span(start=min(hours.crew_call, when), end=max(hours.hard_wrap, when))
    spans = list(member.here) or [whole]
    last = spans[-1]
    if last.end < when:
        spans[-1] = replace(last, end=when)
    kept = [replace(s, end=min(s.end, when)) for s in spans if s.start < when]
    # No span at all would mean all day: a minute before the call is none that anything rolls in.
    never = hours.crew_call - timedelta(minutes=1)
    return replace(member, here=tuple(kept) or (Span(start=never, end=hours.crew_call),))
