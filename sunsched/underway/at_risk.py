"""Shots that are at risk within the next hour: their last start comes before it is over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sunsched.plan.plan import Plan

SOON = timedelta(minutes=60)
MINUTE = timedelta(minutes=1)
MEAL = "the meal"


@dataclass(frozen=True, slots=True, kw_only=True)
class AtRisk:
    """A shot that must start soon.

    `slack_min` is how much later than planned it still can, so that neither it nor what it pushes
    falls past its last start; `limited_by` is the shot whose last start that is, or `MEAL`.
    """

    shot_id: str
    roll_start: datetime
    last_start: datetime
    slack_min: int
    limited_by: str


def at_risk(plan: Plan, at: datetime) -> tuple[AtRisk, ...]:
    """Give the shots to come whose last start lies within an hour from a moment, in their order."""
    found: list[AtRisk] = []
    for one, slack in zip(plan.shots, slacks(plan), strict=True):
        if one.last_start is None or one.last_start > at + SOON or slack is None:
            continue
        found.append(
            AtRisk(
                shot_id=one.shot.id,
                roll_start=one.roll_start,
                last_start=one.last_start,
                slack_min=slack[0],
                limited_by=slack[1],
            )
        )
    return tuple(found)


def slacks(plan: Plan) -> list[tuple[int, str] | None]:
    """Give for each shot of a plan its slack in minutes, and whose last start limits it.

    What starts later pushes all that comes after it; waits are used up first. None where nothing
    from there on has a last start.
    """
    found: list[tuple[int, str] | None] = []
    behind: tuple[int, str] | None = None
    meal = plan.meal
    for place in range(len(plan.shots) - 1, -1, -1):
        one = plan.shots[place]
        if one.last_start is not None:
            own = round((one.last_start - one.roll_start) / MINUTE), one.shot.id
            behind = own if behind is None else min(behind, own, key=lambda slack: slack[0])
        found.append(behind)
        # What it waits for before it is pushed.
        wait_min = one.wait_min
        before = plan.shots[place - 1].roll_end if place else plan.day.hours.crew_call
        if meal is not None and before <= meal.start < one.roll_start:
            until_min = max(0, round((meal.start - before) / MINUTE))
            behind = _later(behind, wait_min - min(wait_min, until_min))
            if plan.day.past is None or plan.day.past.meal_start is None:
                own = round((plan.day.meal.latest - meal.start) / MINUTE), MEAL
                behind = own if behind is None else min(behind, own, key=lambda slack: slack[0])
            wait_min = min(wait_min, until_min)
        behind = _later(behind, wait_min)
    return found[::-1]


def _later(slack: tuple[int, str] | None, minutes: int) -> tuple[int, str] | None:
    return None if slack is None else (slack[0] + minutes, slack[1])
