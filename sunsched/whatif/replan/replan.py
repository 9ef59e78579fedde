"""The rest of a day planned anew, near to the plan that was followed, with choices to argue."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from sunsched.day.model import Day, Shot
from sunsched.day.past import Past
from sunsched.folder.log.event import Event
from sunsched.light.fit import DayFit
from sunsched.plan.timetable import Timetable
from sunsched.solver.search.progress import Progress
from sunsched.underway.at_risk import AtRisk, at_risk
from sunsched.underway.rest import pose_rest
from sunsched.underway.state import day_so_far
from sunsched.whatif.replan.changes import change_texts
from sunsched.whatif.replan.choices import Choice, find_choices
from sunsched.whatif.replan.losses import Loss, find_losses


@dataclass(frozen=True, slots=True, kw_only=True)
class Replan:
    """The rest of a day at a moment.

    Attributes
    ----------
    fit : that of the day with its past
    past : what has happened
    planned, planned_day : the plan that was followed, without shots that the day does not have any
        more, and the day that it was made for
    best : what is worth most, the cost of pairs turned round against the plan paid; never worth
        less than `push`
    push : the plan's own order, later, with the fewest shots left out; None where no times of it
        obey the rules
    drop_one : the push without the one shot whose going keeps most; None where none can go
    """

    fit: DayFit
    past: Past
    planned: Timetable
    planned_day: Day
    best: Choice
    push: Choice | None
    drop_one: Choice | None

    @property
    def day(self) -> Day:
        """The day with its past."""
        return self.fit.day

    @property
    def coming(self) -> tuple[Shot, ...]:
        """Give the shots that are neither made nor cut, whether or not they will be made."""
        over = self.day.over_ids
        return tuple(shot for shot in self.day.shots if shot.id not in over)

    def changes(self, choice: Choice) -> tuple[str, ...]:
        """Say what a choice changes of the plan, in words; nothing where it changes nothing."""
        return change_texts(self.planned_day, self.planned, choice.plan)

    def lost(self, choice: Choice) -> tuple[Loss, ...]:
        """Say what each shot loses against the plan, and to what, the most first."""
        return find_losses(self.planned_day, self.planned, self.fit, choice.plan)

    def at_risk(self, choice: Choice) -> tuple[AtRisk, ...]:
        """Give the shots that must start within the next hour or lose their light."""
        return at_risk(choice.plan, self.past.at)


def replan(
    day: Day,
    events: Sequence[Event],
    planned: Timetable,
    *,
    at: datetime,
    late_min: int = 0,
    planned_day: Day | None = None,
    grid_min: int = 5,
    limit_s: float | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> Replan:
    """Plan the rest of a day anew: what is made stays, what rolls is finished.

    Where the plan can be kept as it stands and nothing is worth more, best is the plan itself.

    Parameters
    ----------
    day : as its folder has it
    events : its log
    planned : the plan that was followed so far
    at : the moment, aware, not before the last event
    late_min : minutes known to be lost from then on
    planned_day : the day that the plan was made for, with its past if it had one; None for `day`
    grid_min : minutes between two possible starts
    limit_s, progress : as for `make_plan`

    Returns
    -------
    Replan
        The best rest of the day, the same order later, and one shot dropped.

    Raises
    ------
    FolderError
        When an event contradicts the day, or `at` is before the last one.
    DayImpossible
        When no plan of the rest obeys the rules; the text says which collide.
    Undecided
        When there was not the time to find a plan, or to prove that there is none.

    Examples
    --------
    >>> import sunsched
    >>> from datetime import timedelta
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> planned, at = solved.plan.timetable, solved.plan.shots[0].roll_start
    >>> late = sunsched.replan(solved.fit.day, (), planned, at=at, late_min=30)
    >>> late.best.plan.points <= solved.plan.points
    True
    """
    now = day_so_far(day, events, at=at, late_min=late_min, planned=planned)
    before = planned_day or day
    known = {shot.id for shot in before.shots} & {shot.id for shot in now.shots}
    rolls = tuple(roll for roll in planned.rolls if roll.shot_id in known)
    kept = Timetable(rolls=rolls, meal_start=planned.meal_start)
    rest = pose_rest(now, kept, grid_min)
    found = find_choices(rest, limit_s=limit_s, progress=progress)
    return Replan(
        fit=rest.fit,
        past=now.past or Past(at=at, free_at=at),
        planned=kept,
        planned_day=before,
        best=found.best,
        push=found.push,
        drop_one=found.drop_one,
    )
