"""Our plan, that others are put beside: the saved one, or what is found where none is saved."""

from __future__ import annotations

from sunsched.average.plan import AveragePlan, average_plan
from sunsched.average.solve import is_certain
from sunsched.day.model import Day
from sunsched.desk.answers.arrange.proposal import proposal, solved_of
from sunsched.desk.answers.known import Known, known_plan
from sunsched.desk.watched.version import version_of
from sunsched.desk.work.worker import Memory
from sunsched.errors import SunschedError
from sunsched.plan.plan import Plan
from sunsched.solver.solved import Solved, solve_day


def saved_ours(memory: Memory, one: Known) -> Plan | AveragePlan | None:
    """Give the newest saved plan; None where none is saved.

    Raises
    ------
    FolderError
        When its file is damaged, or it is not one of this day any more.
    """
    found = known_plan(memory, one)
    return None if found is None else found.restored.average or found.restored.plan


def changed_since(memory: Memory, one: Known) -> str:
    """Say what has changed of the day since the plan was saved; "" where nothing has."""
    found = known_plan(memory, one)
    if found is None or not found.restored.changes:
        return ""
    changes = "; ".join(found.restored.changes)
    return f"ours is revision {found.revision.number}, and the day has changed since: {changes}"


def day_to_price(memory: Memory, one: Known) -> Day:
    """Give the day that a demand is about: its rest, where the saved plan is of a day under way."""
    saved = saved_ours(memory, one)
    return one.reading.day if saved is None or saved.day.past is None else saved.day


def solved_day(memory: Memory, one: Known) -> Solved:
    """Solve the day for planned minutes, once for as long as the day stays as it is."""
    day = day_to_price(memory, one)
    if day.past is None:
        return solved_of(memory, day, _untold)
    return memory.keep(("rest", one.folder, version_of(one.folder)), lambda: solve_day(day))


def best_average(memory: Memory, one: Known) -> AveragePlan:
    """Find the plan for the average day, or take the saved one while it is of the same day."""
    saved, again = saved_ours(memory, one), known_plan(memory, one)
    is_same = again is not None and not again.restored.changes
    if is_same and isinstance(saved, AveragePlan) and saved.bound is not None:
        return saved
    if day_to_price(memory, one).past is not None:
        key = ("best rest", one.folder, version_of(one.folder))
        return memory.keep(key, lambda: average_plan(solved_day(memory, one)))
    found = proposal(memory, one.reading.day, _untold).found
    if not isinstance(found, AveragePlan):
        raise SunschedError("all work of this day takes its planned minutes, and no others")
    return found


def is_for_planned(one: Known) -> bool:
    """Say whether all work of the day takes its planned minutes, so that chance has no part."""
    return is_certain(one.reading.day)


def _untold(_: dict[str, object]) -> None:
    """Say nothing of how far it is: the page has a first answer by then."""
