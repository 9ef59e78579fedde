"""A decision about a day: demands that can be met together, and what no day can say of them.

What a day can say is changed in the day (`day.decided`), the rest in the solver's tables.
"""

from __future__ import annotations

from collections.abc import Iterable

from sunsched.day.clock import clock
from sunsched.day.contradiction import contradictions
from sunsched.day.decided import demand_text
from sunsched.day.demand import (
    CallAt,
    Cut,
    Decision,
    First,
    KeepOrder,
    MealAt,
    ReleaseAt,
    RollAfter,
    RollAt,
    RollBefore,
    RollDemand,
    WrapAt,
    shots_of,
    subject_of,
)
from sunsched.day.model import Day
from sunsched.day.past import made_ids
from sunsched.errors import DayImpossible, SunschedError
from sunsched.folder.text.words import did_you_mean, listed
from sunsched.light.fit import DayFit
from sunsched.solver.instance.changes import made_first, rolled_between
from sunsched.solver.instance.problem import Problem

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
    for demand in decision:
        if isinstance(demand, KeepOrder) and len(set(demand.shots)) < len(demand.shots):
            raise SunschedError(f"{demand_text(day, demand)}: a shot stands in it twice")
    asked = {subject_of(demand) for demand in decision}
    standing = tuple(one for one in day.decisions if subject_of(one) not in asked)
    for found in contradictions(day, (*standing, *decision)):
        first, last = found.places[0], found.places[-1]
        if last < len(standing):
            continue  # as the day has come to be
        stands = demand_text(day, standing[first]) if first < len(standing) else ""
        hint = f"\n  hint: a decision of the day stands against it: {stands}" if stands else ""
        raise DayImpossible(found.text + hint)


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
        before = [one for one in day.decisions if subject_of(one) == subject_of(demand)]
        if before and before != [demand]:
            found.append(f"{demand_text(day, before[0])}, as was decided")
            continue
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
