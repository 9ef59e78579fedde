"""An order on its likely day, told beside another: its times, and what is expected of each shot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sunsched.average.likely import likely_timetable
from sunsched.average.order.forecast import Chance, Policy, forecast
from sunsched.plan.crew import Crew, crew_figures
from sunsched.plan.plan import Plan
from sunsched.whatif.orders.as_it_stands import plan_as_it_stands


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
