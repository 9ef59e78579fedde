"""The plan that the command `plan` would give, found while the page shows how far it is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sunsched.average.beside import bounded_beside
from sunsched.average.plan import AveragePlan, average_plan
from sunsched.average.solve import is_certain, policy_of
from sunsched.day.model import Day
from sunsched.desk.answers.arrange.base import arrangement
from sunsched.desk.answers.known import known
from sunsched.desk.answers.plan_view import plan_view
from sunsched.desk.work.steps import Tell, steps
from sunsched.desk.work.worker import Memory
from sunsched.plan.plan import Plan
from sunsched.saved.plan_file import facts_mark
from sunsched.solver.search.progress import Progress
from sunsched.solver.solved import Solved, solve_day

Record = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """The plan of a day that nobody has saved, with what was learnt on the way."""

    solved: Solved
    found: Plan | AveragePlan


def answer(memory: Memory, *, folder: str) -> Iterator[Record]:
    """Find the plan for the average day; for planned minutes where its work takes no others."""
    day = known(memory, Path(folder)).reading.day
    yield from steps(lambda tell: _shown(memory, day, tell))


def _shown(memory: Memory, day: Day, tell: Tell) -> Record:
    one = proposal(memory, day, tell)
    if isinstance(one.found, AveragePlan):
        policy, bound = one.found.policy, one.found.bound
    else:
        policy, bound = policy_of(one.found.fit, one.found.timetable), one.found.bound
    return {"plan": plan_view(one.found), "arrangement": arrangement(policy, bound)}


def proposal(memory: Memory, day: Day, tell: Tell) -> Proposal:
    """Find the plan as the command does, or give it as it was found before."""

    def find() -> Proposal:
        if is_certain(day):
            solved = solved_of(memory, day, tell)
            return Proposal(solved=solved, found=solved.plan)
        with bounded_beside(day) as beside:
            solved = solved_of(memory, day, tell)
            tell({"told": "looking for the order that keeps the most on the average day"})
            return Proposal(solved=solved, found=average_plan(solved, beside=beside))

    return memory.keep(("proposal", facts_mark(day, on_average=True), day.decisions), find)


def solved_of(memory: Memory, day: Day, tell: Tell) -> Solved:
    """Solve a day for planned minutes, or give what was found before."""

    def told(now: Progress) -> None:
        tell({"told": f"if every minute holds: {now.points} points found, bound {now.bound}"})

    mark = facts_mark(day, on_average=True)
    return memory.keep(("solved", mark, day.decisions), lambda: solve_day(day, progress=told))
