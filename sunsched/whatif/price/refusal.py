"""Why no plan obeys a decision: which rules it runs against, and the nearest one that works."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from typing import TypeAlias

from sunsched.day.clock import clock
from sunsched.day.decided import demand_text
from sunsched.day.demand import (
    CallAt,
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
)
from sunsched.day.model import Day
from sunsched.plan.timetable import Timetable
from sunsched.solver.conflict import hours_liftable, liftables

STEP = timedelta(minutes=15)  # between two times that are tried for a meal or a limit
REACH = 24  # the number of such steps: six hours
MEAL = "the meal and its latest start"


Probe: TypeAlias = Callable[[Day, Decision, RollAt | None], Timetable | None]


def refusal_text(day: Day, decision: Decision, probe: Probe, *, is_certain: bool) -> str:
    """Say that no plan obeys a decision, and on hint lines what would have to give way.

    Parameters
    ----------
    probe : gives a timetable of a day that obeys a decision, None for none; the roll that it is
        given, if any, is the one that it should come near to
    is_certain : whether it is proven that no plan obeys it
    """
    said = " and ".join(demand_text(day, demand) for demand in decision)
    lines = [f"no plan {'obeys' if is_certain else 'was found that obeys'} this: {said}"]
    can = f"{_can_text(day, decision)} {'only if' if is_certain else 'if'}"
    lines += [f"  hint: {can} {text}" for text in _ways_out(day, decision, probe)]
    for place, demand in enumerate(decision):
        others = (*decision[:place], *decision[place + 1 :])
        if len(decision) > 1 and probe(day, others, None) is not None:
            lines.append(f"  hint: possible without this: {demand_text(day, demand)}")
        near = _nearest(day, others, demand, probe)
        if near is not None:
            lines.append(f"  hint: nearest that is possible: {demand_text(day, near)}")
    return "\n".join(lines)


def _can_text(day: Day, decision: Decision) -> str:
    """Say what would be possible, such as `7 can roll at 13:00`."""
    if len(decision) == 1 and isinstance(decision[0], RollAt):
        demand = decision[0]
        return f"{demand.shot} can roll at {clock(day, demand.time)}"
    return "that can be done"


def _ways_out(day: Day, decision: Decision, probe: Probe) -> Iterator[str]:
    """Name each rule that alone stands in the way; the meal with the time that it moves to."""
    for rule in (*liftables(day), hours_liftable(day)):
        if probe(rule.lift(day), decision, None) is None:
            continue
        if rule.text != MEAL:
            yield f"this rule is lifted: {rule.text}"
            continue
        moved = _moved_meal(day, decision, probe)
        yield "there is no meal" if moved is None else f"the meal moves to {moved}"


def _moved_meal(day: Day, decision: Decision, probe: Probe) -> str | None:
    """Give the time of the meal, nearest to its hours, with which a plan obeys."""
    for steps in range(1, REACH + 1):
        for when in (day.meal.latest + steps * STEP, day.meal.earliest - steps * STEP):
            meal = replace(day.meal, earliest=when, latest=when)
            if probe(replace(day, meal=meal), decision, None) is not None:
                return clock(day, when)
    return None


def _nearest(day: Day, others: Decision, demand: Demand, probe: Probe) -> Demand | None:
    """Give the demand most like this one that a plan obeys; None where none is found."""
    if isinstance(demand, First):
        demand = RollAt(shot=demand.shot, time=day.hours.crew_call)
    if isinstance(demand, RollAt | RollBefore | RollAfter):
        return _nearest_roll(day, others, demand, probe)
    tries = _tries(day, demand)
    return next((near for near in tries if probe(day, (*others, near), None) is not None), None)


def _nearest_roll(
    day: Day, others: Decision, demand: RollDemand, probe: Probe
) -> RollDemand | None:
    """Give the demand for a roll that is nearest to this one, to the grid."""
    roll = timedelta(minutes=day.shot(demand.shot).shoot_min)
    before = roll if isinstance(demand, RollBefore) else timedelta(0)
    aim = RollAt(shot=demand.shot, time=demand.time - before)
    anywhen = RollAfter(shot=demand.shot, time=day.hours.crew_call)
    found = probe(day, (*others, anywhen), aim)
    if found is None:
        return None
    start = next(one.roll_start for one in found.rolls if one.shot_id == demand.shot)
    return replace(demand, time=start + before)


def _tries(day: Day, demand: Demand) -> Iterator[Demand]:
    """Yield demands of the same kind, the most alike first; a cut has none."""
    begins = day.hours.crew_call if day.past is None else day.past.free_at
    match demand:
        case WrapAt() | ReleaseAt():
            for number in range(1, REACH + 1):
                yield replace(demand, time=demand.time + number * STEP)
        case CallAt():
            for number in range(1, REACH + 1):
                yield replace(demand, time=demand.time - number * STEP)
        case MealAt():
            steps = [sign * number for number in range(1, REACH + 1) for sign in (1, -1)]
            for when in (demand.time + step * STEP for step in steps):
                if begins <= when <= day.hours.hard_wrap:
                    yield replace(demand, time=when)
        case KeepOrder():
            yield from _like(demand)
        case _:
            return


def _like(demand: KeepOrder) -> Iterator[Demand]:
    """Yield the orders with two neighbours swapped, then those with one shot fewer."""
    shots = demand.shots
    for place in range(len(shots) - 1):
        swapped = (*shots[:place], shots[place + 1], shots[place], *shots[place + 2 :])
        yield replace(demand, shots=swapped)
    if len(shots) > 2:
        for place in range(len(shots)):
            yield replace(demand, shots=(*shots[:place], *shots[place + 1 :]))
