"""The second meal: when it is handed out, as the work goes on, and in what words."""

from __future__ import annotations

from datetime import timedelta

from sunsched.day.model import SecondMeal, Span
from sunsched.plan.plan import Plan, PlannedShot

SECOND_MEAL_MIN = 30  # common practice, no source


def second_meal(plan: Plan) -> Span | None:
    """Give the second meal where it is a line of the plan; it takes none of the crew's time.

    It stands where it falls due, or before a held or last roll that goes on then.
    """
    due, length = plan.second_meal_due, timedelta(minutes=SECOND_MEAL_MIN)
    if due is None or plan.day.meal.second is not SecondMeal.LINE:
        return None
    dear = _dear_roll(plan, Span(start=due, end=due + length))
    start = due if dear is None else min(due, dear.roll_start - length)
    return Span(start=start, end=start + length)


def _dear_roll(plan: Plan, second: Span) -> PlannedShot | None:
    """Give the held or last roll in which nobody hands out plates."""
    for planned in plan.shots:
        is_dear = planned.shot.hold or planned is plan.shots[-1]
        if is_dear and planned.roll_start < second.end and second.start < planned.roll_end:
            return planned
    return None


def second_meal_text(plan: Plan, second: Span) -> str:
    """Say how the second meal is eaten: nobody hands out plates while a held or last shot rolls."""
    if plan.second_meal_due is not None and second.start < plan.second_meal_due:
        length = second.end - second.start
        due = Span(start=plan.second_meal_due, end=plan.second_meal_due + length)
        dear = _dear_roll(plan, due)
        if dear is not None:
            return f"second meal, {SECOND_MEAL_MIN} min: hand it out before {dear.shot.id} rolls"
    return f"second meal, {SECOND_MEAL_MIN} min, eaten as the work goes on"
