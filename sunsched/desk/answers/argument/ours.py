"""Our plan, that others are put beside: the saved one, or what is found where none is saved."""

from __future__ import annotations

from sunsched.average.plan import AveragePlan
from sunsched.average.solve import is_certain
from sunsched.desk.answers.arrange.proposal import proposal, solved_of
from sunsched.desk.answers.known import Known, known_plan
from sunsched.desk.work.worker import Memory
from sunsched.errors import SunschedError
from sunsched.plan.plan import Plan
from sunsched.solver.solved import Solved


def saved_ours(memory: Memory, one: Known) -> Plan | AveragePlan | None:
    """Give the newest saved plan; None where none is saved.

    Raises
    ------
    FolderError
        When its file is damaged, or it is not one of this day any more.
    """
    found = known_plan(memory, one)
    return None if found is None else found.restored.average or found.restored.plan


def solved_day(memory: Memory, one: Known) -> Solved:
    """Solve the day for planned minutes, once for as long as the day stays as it is."""
    return solved_of(memory, one.reading.day, _untold)


def best_average(memory: Memory, one: Known) -> AveragePlan:
    """Find the plan for the average day, or take the saved one while it is of the same day."""
    saved = known_plan(memory, one)
    if saved is not None and saved.restored.average is not None:
        is_same = not saved.restored.changes and saved.restored.plan.day.past is None
        if is_same and saved.restored.average.bound is not None:
            return saved.restored.average
    found = proposal(memory, one.reading.day, _untold).found
    if not isinstance(found, AveragePlan):
        raise SunschedError("all work of this day takes its planned minutes, and no others")
    return found


def is_for_planned(one: Known) -> bool:
    """Say whether all work of the day takes its planned minutes, so that chance has no part."""
    return is_certain(one.reading.day)


def _untold(_: dict[str, object]) -> None:
    """Say nothing of how far it is: the page has a first answer by then."""
