"""An order on its likely day, told beside another: its times, and what is expected of each shot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from sunsched.average.likely import likely_timetable
from sunsched.average.order.forecast import Chance, Policy, forecast
from sunsched.light.fit import DayFit
from sunsched.plan.crew import Crew, crew_figures
from sunsched.plan.plan import LeftOut, Plan, describe_roll, plan_as_told
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable


@dataclass(frozen=True, slots=True, kw_only=True)
class LikelySide:
    """An order as it is followed on the average day.

    Attributes
    ----------
    plan : its times on the likely day, without reasons
    chances : of each shot still to come, by its id
    crew : what an assistant director counts of the likely day
    """

    plan: Plan
    chances: Mapping[str, Chance]
    crew: Crew


def likely_side(policy: Policy) -> LikelySide:
    """Follow an order through its likely day."""
    fit, timetable = likely_timetable(policy)
    return LikelySide(
        plan=plan_as_it_stands(fit, timetable, 1),
        chances={one.shot.id: one for one in forecast(policy)},
        crew=crew_figures(fit.day, timetable),
    )


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
