"""A decision about a day: demands that can be met together, and the day that obeys them.

What a day folder can say is changed in the day: a time to roll is a pin, a release the end of a
cast member's hours. What it cannot say is changed in the solver's tables.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta

from sunsched.day.clock import clock
from sunsched.day.model import CastMember, Day, Span
from sunsched.day.past import made_ids
from sunsched.errors import DayImpossible, SunschedError
from sunsched.folder.text.words import did_you_mean, listed
from sunsched.light.fit import DayFit
from sunsched.solver.instance.changes import kept_in_order, made_first, rolled_between
from sunsched.solver.instance.problem import Problem
from sunsched.whatif.price.call import called_day, check_call
from sunsched.whatif.price.demand import (
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
    RollDemand,
    WrapAt,
    demand_text,
    shots_of,
)

FEW = 8  # names that a line can hold
NEVER_MIN = 10**6  # further from the track's start than any minute of a day


def check_decision(day: Day, decision: Decision) -> None:
    """Refuse what names nothing of the day, or contradicts itself.

    Raises
    ------
    SunschedError
        For unknown shots or cast members, all of them in one text, with the nearest known names.
    DayImpossible
        For demands that no plan can obey at once because of what they say alone, or because of what
        has happened already.
    """
    ids = [shot.id for shot in day.shots]
    names = [member.name for member in day.cast]
    lines = []
    for demand in decision:
        if isinstance(demand, ReleaseAt):
            lines += _unknown("cast member", [demand.cast], names)
        lines += _unknown("shot", shots_of(demand), ids)
    if lines:
        raise SunschedError("\n".join(dict.fromkeys(lines)))
    wraps = [demand.time for demand in decision if isinstance(demand, WrapAt)]
    calls = [demand.time for demand in decision if isinstance(demand, CallAt)]
    for moved in calls:
        check_call(day, moved)
    hours = Span(start=min([day.hours.crew_call, *calls]), end=max([day.hours.hard_wrap, *wraps]))
    said: dict[tuple[str, str], Demand] = {}
    cut = {demand.shot for demand in decision if isinstance(demand, Cut)}
    for demand in decision:
        lost = [shot for shot in shots_of(demand) if shot in cut and not isinstance(demand, Cut)]
        if lost:
            raise DayImpossible(f"{demand_text(day, demand)}, and yet {lost[0]} is cut")
        happened = _happened(day, demand)
        if happened:
            raise DayImpossible(f"{demand_text(day, demand)}, and yet {happened}")
        is_inside = not isinstance(demand, MealAt | ReleaseAt) or (
            hours.start <= demand.time <= hours.end
        )
        if not is_inside:
            call, end = clock(day, hours.start), clock(day, hours.end)
            text = f"{demand_text(day, demand)}, and the hours are from {call} to {end}"
            raise DayImpossible(text)
        if isinstance(demand, KeepOrder):
            if len(set(demand.shots)) < len(demand.shots):
                raise SunschedError(f"{demand_text(day, demand)}: a shot stands in it twice")
            continue
        before = said.setdefault(_subject(demand), demand)
        if before != demand:
            both = f"{demand_text(day, before)}, and yet {demand_text(day, demand)}"
            raise DayImpossible(both)


def _happened(day: Day, demand: Demand) -> str:
    """Say what has happened that a demand would undo; nothing where it is about what is to come."""
    past = day.past
    if past is None:
        return ""
    made = {one.shot_id: one.roll_start for one in past.made}
    for shot in _undone(demand, tuple(made)):
        return f"{shot} rolled at {clock(day, made[shot])}"
    for shot in shots_of(demand):
        if shot in past.cut and not isinstance(demand, Cut):
            return f"{shot} was cut"
    if isinstance(demand, MealAt) and past.meal_start is not None:
        return f"the meal began at {clock(day, past.meal_start)}"
    if isinstance(demand, RollAt | RollBefore | MealAt | WrapAt) and demand.time < past.free_at:
        return f"the crew is free at {clock(day, past.free_at)}"
    if isinstance(demand, ReleaseAt):
        for one in reversed(past.made):
            if demand.cast in day.shot(one.shot_id).cast and one.roll_end > demand.time:
                rolls = "rolls" if one.shot_id == past.running else "rolled"
                until = clock(day, one.roll_end)
                return f"{demand.cast} is in {one.shot_id}, which {rolls} until {until}"
    return ""


def _undone(demand: Demand, made: tuple[str, ...]) -> tuple[str, ...]:
    """Give the made shots that a demand wants otherwise; an order may begin with them as it was."""
    named = tuple(shot for shot in shots_of(demand) if shot in made)
    if isinstance(demand, KeepOrder):
        was = tuple(shot for shot in made if shot in named)
        if named == was == demand.shots[: len(was)]:
            return ()
    return named


def _subject(demand: Demand) -> tuple[str, str]:
    """Give what can be demanded only once."""
    if isinstance(demand, ReleaseAt):
        return "release", demand.cast
    if isinstance(demand, First):
        return "first", ""
    return type(demand).__name__, "".join(shots_of(demand))


def _unknown(kind: str, asked: Iterable[str], known: list[str]) -> list[str]:
    lines = []
    for name in asked:
        if name not in known:
            hint = did_you_mean(name, known)
            if not hint and 0 < len(known) <= FEW:
                hint = f"there is {listed(known, 'and')}"
            lines.append(f"no {kind} `{name}`" + (f"\n  hint: {hint}" if hint else ""))
    return lines


def set_aside(day: Day, decision: Decision) -> tuple[str, ...]:
    """Name the rules of the day that a decision lifts by what it says."""
    found = []
    here = {member.name: member.here for member in day.cast}
    for demand in decision:
        match demand:
            case MealAt() if demand.time > day.meal.latest:
                found.append(f"the meal starts by {clock(day, day.meal.latest)}")
            case MealAt() if demand.time < day.meal.earliest:
                found.append(f"the meal starts at {clock(day, day.meal.earliest)} or later")
            case WrapAt() if demand.time > day.hours.hard_wrap:
                found.append(f"nothing rolls past {clock(day, day.hours.hard_wrap)}")
            case WrapAt() if demand.time > day.hours.wrap:
                wrap = clock(day, day.hours.wrap)
                found.append(f"minutes past {wrap} are overtime")
            case CallAt() if demand.time != day.hours.crew_call:
                found.append(f"the call is at {clock(day, day.hours.crew_call)}")
            case Cut() if (pin := day.shot(demand.shot).pin) is not None:
                found.append(f"{demand.shot} is pinned to {clock(day, pin)}")
            case ReleaseAt() if here[demand.cast] and demand.time > here[demand.cast][-1].end:
                until = clock(day, here[demand.cast][-1].end)
                found.append(f"{demand.cast} is here until {until}")
    return tuple(found)


def cut_shots(decision: Decision) -> frozenset[str]:
    """Give the shots that a decision cuts."""
    return frozenset(demand.shot for demand in decision if isinstance(demand, Cut))


def judged_day(day: Day, decision: Decision) -> Day:
    """Give the day under a decision, cut shots still in it, so that they count as left out."""
    for demand in decision:
        day = _changed(day, demand)
    return day


def decided_day(day: Day, decision: Decision) -> Day:
    """Give the day under a decision for the solver: without the shots that are cut."""
    gone = cut_shots(decision)
    day = judged_day(day, decision)
    kept = [shot for shot in day.shots if shot.id not in gone]
    return replace(
        day,
        shots=tuple(
            replace(shot, after=tuple(other for other in shot.after if other not in gone))
            for shot in kept
        ),
    )


def decided_problem(fit: DayFit, problem: Problem, decision: Decision) -> Problem:
    """Put what no day can say into the tables of a decided day.

    Parameters
    ----------
    fit, problem : of `decided_day`
    """
    index = {shot: place for place, shot in enumerate(problem.ids)}
    for demand in decision:
        if isinstance(demand, RollAt | RollBefore | RollAfter):
            first, last = rolling_minutes(fit, demand)
            problem = rolled_between(problem, index[demand.shot], first, last)
        elif isinstance(demand, First):
            made = [index[shot] for shot in made_ids(fit.day.past)]
            problem = made_first(problem, index[demand.shot], made)
        elif isinstance(demand, KeepOrder):
            problem = kept_in_order(problem, [index[shot] for shot in demand.shots])
    return problem


def rolling_minutes(fit: DayFit, demand: RollDemand) -> tuple[int, int]:
    """Give the first and last track minute at which a demand lets its shot start to roll."""
    minute = fit.minute_of(demand.time)
    match demand:
        case RollAt():
            return minute, minute
        case RollBefore():
            return -NEVER_MIN, minute - fit.day.shot(demand.shot).shoot_min
        case RollAfter():
            return minute, NEVER_MIN


def _changed(day: Day, demand: Demand) -> Day:
    match demand:
        case RollAt():
            # A shot pinned elsewhere stays so, for the pin to be named as what stands in the way.
            return _with_pin(day, demand.shot, day.shot(demand.shot).pin or demand.time)
        case Cut():
            return _with_pin(day, demand.shot, None)
        case MealAt():
            meal = replace(day.meal, earliest=demand.time, latest=demand.time)
            return replace(day, meal=meal)
        case WrapAt():
            return replace(day, hours=replace(day.hours, wrap=demand.time, hard_wrap=demand.time))
        case CallAt():
            return called_day(day, demand.time)
        case ReleaseAt():
            cast = tuple(
                _released(day, member, demand.time) if member.name == demand.cast else member
                for member in day.cast
            )
            return replace(day, cast=cast)
        case RollBefore() | RollAfter() | First() | KeepOrder():
            return day


def _with_pin(day: Day, shot_id: str, pin: datetime | None) -> Day:
    shots = tuple(replace(s, pin=pin) if s.id == shot_id else s for s in day.shots)
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
