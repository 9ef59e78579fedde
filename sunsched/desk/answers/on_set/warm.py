"""What the first long answer would have to load, loaded while nobody waits for one."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import Any

from sunsched.desk.answers.known import Known, known, known_plan
from sunsched.desk.work.worker import Memory
from sunsched.errors import SunschedError
from sunsched.saved.plan_file import Revision

LEAST_S = 0.1  # for a rest that nobody asked for: its answer is thrown away
Record = dict[str, Any]


def answer(memory: Memory, *, folder: str, step: int) -> Iterator[Record]:
    """Do one step: load the modules, read the day, load the compiled functions.

    A question that comes meanwhile waits for one step at most.

    Parameters
    ----------
    folder : the day that is looked at
    step : 0, 1 or 2
    """
    if step == 0:
        for name in ("on_set.rest", "on_set.take", "arrange.proposal", "arrange.best"):
            import_module(f"sunsched.desk.answers.{name}")
    # What is at fault is told where it is asked for.
    with suppress(SunschedError):
        if step:
            one = known(memory, Path(folder))
            plan = known_plan(memory, one)
            if step > 1 and plan is not None:
                _plan_rest(memory, one, plan.revision)
    yield {"is_last": step == 2}


def _plan_rest(memory: Memory, one: Known, saved: Revision) -> None:
    """Plan a rest of the day badly: it needs the functions that a good one needs."""
    from sunsched.desk.answers.on_set.rest import ask, plan_rest
    from sunsched.solver.solve import is_compiled

    if is_compiled():  # to compile them takes longer than a question may wait
        last, call = one.log.state.last, one.reading.day.hours.crew_call
        at = call if last is None else max(call, last.at)
        plan_rest(memory, ask(one, saved, at, 0, "log"), limit_s=LEAST_S)
