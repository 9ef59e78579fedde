"""A timetable told as a plan is told, as it stands: without reasons, whatever rules it breaks."""

from __future__ import annotations

from dataclasses import replace

from sunsched.light.fit import DayFit
from sunsched.plan.plan import LeftOut, Plan, describe_roll, plan_as_told
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable


def plan_as_it_stands(
    fit: DayFit, timetable: Timetable, grid_min: int, status: str = "given"
) -> Plan:
    """Describe a timetable as a plan is described, without reasons; no rule is looked at."""
    day, worth = fit.day, score(fit, timetable)
    made = {roll.shot_id for roll in timetable.rolls}
    return plan_as_told(
        fit,
        timetable,
        worth,
        status=status,
        bound=worth.total,
        grid_min=grid_min,
        shots=tuple(
            replace(describe_roll(fit, timetable, worth, place), why="as the order has it")
            for place in range(len(timetable.rolls))
        ),
        left_out=tuple(
            LeftOut(shot=shot, why="not in the order") for shot in day.shots if shot.id not in made
        ),
    )
