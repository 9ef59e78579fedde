"""Why no plan obeys a decision: which rules it runs against, and the nearest one that works."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TypeAlias

from sunsched.change.decision import (
    Decision,
    Demand,
    MealAt,
    ReleaseAt,
    RollAfter,
    RollAt,
    RollBefore,
    WrapAt,
    clock_text,
    demand_text,
)
from sunsched.day.model import Day
from sunsched.order.collide import demands

STEP = timedelta(minutes=15)  # between the times that are tried for a meal or a limit
REACH = 24  # of such steps: six hours
MEAL = "the meal and its latest start"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """When shots roll and the meal starts in some plan."""

    rolls: dict[str, datetime]
    meal_start: datetime | None = None


Probe: TypeAlias = Callable[[Day, Decision, Trial | None], Trial | None]


def refusal_text(day: Day, decision: Decision, probe: Probe, *, is_certain: bool) -> str:
    """Say that no plan obeys a decision, and on hint lines what would have to give way.

    Parameters
    ----------
    probe : gives a plan of a day that obeys a decision, None for none; the trial that it is given,
        if any, is a shot and the moment that it should come near to
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
        return f"{demand.shot} can roll at {clock_text(day, demand.time)}"
    return "that can be done"


def _ways_out(day: Day, decision: Decision, probe: Probe) -> Iterator[str]:
    """Name each rule that alone stands in the way; the meal with the time that it moves to."""
    for rule in demands(day):
        if probe(rule.lift(day), decision, None) is None:
            continue
        if rule.text != MEAL:
            yield f"this rule is lifted: {rule.text}"
            continue
        moved = _moved_meal(day, decision, probe)
        yield "there is no meal" if moved is None else f"the meal moves to {moved}"


def _moved_meal(day: Day, decision: Decision, probe: Probe) -> str | None:
    """Give the time nearest to the meal's window at which it would do."""
    for steps in range(1, REACH + 1):
        for when in (day.meal.latest + steps * STEP, day.meal.earliest - steps * STEP):
            meal = replace(day.meal, earliest=when, latest=when)
            if probe(replace(day, meal=meal), decision, None) is not None:
                return clock_text(day, when)
    return None


def _nearest(day: Day, others: Decision, demand: Demand, probe: Probe) -> Demand | None:
    """Give the demand of the same kind, with a time nearest to this one, that a plan obeys."""
    match demand:
        case RollAt():
            aim = Trial(rolls={demand.shot: demand.time})
            anywhen = RollAfter(shot=demand.shot, time=day.hours.crew_call)
            found = probe(day, (*others, anywhen), aim)
            return None if found is None else replace(demand, time=found.rolls[demand.shot])
        case RollBefore() | WrapAt() | ReleaseAt():
            steps = range(1, REACH + 1)
        case RollAfter():
            steps = range(-1, -REACH - 1, -1)
        case MealAt():
            return _nearest_meal(day, others, demand, probe)
        case _:
            return None
    for number in steps:
        moved = replace(demand, time=demand.time + number * STEP)
        if probe(day, (*others, moved), None) is not None:
            return moved
    return None


def _nearest_meal(day: Day, others: Decision, demand: MealAt, probe: Probe) -> MealAt | None:
    for number in range(1, REACH + 1):
        for sign in (1, -1):
            moved = replace(demand, time=demand.time + sign * number * STEP)
            if probe(day, (*others, moved), None) is not None:
                return moved
    return None
