"""What it costs to roll each shot at each half-hour of the day.

Every cell is a solve of its own, kept short: starts that are out of reach are told from the times
alone; a solve starts from what the cell beside it has learnt; it ends as soon as the cell is known
to cost more than cutting the shot, which nobody would pay; and it ends after a fixed amount of
work, with bounds in place of the value. The same day gives the same table on every machine, on
one process or on several, unless it is ended early.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, ProcessPoolExecutor, wait
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from multiprocessing.synchronize import Event
from threading import Thread

from sunsched.errors import Undecided
from sunsched.solver.answer import Answer
from sunsched.solver.instance.changes import rolled_between
from sunsched.solver.instance.problem import FORBIDDEN, Problem
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.machine.halt import is_end_asked, unheard
from sunsched.solver.search.progress import Counted
from sunsched.solver.solved import Solved, short_answer
from sunsched.whatif.price.cells import Cell, Known, PriceTable, Row
from sunsched.whatif.starts import clock_times, open_starts

LOOKS = 1000  # how often a cell's solve looks at its best plan and bound before it ends
FEW_LOOKS = 200  # the same for a solve for many cells at once, which may not help
WATCH_S = 0.2  # between two checks whether the work of other processes is to end
_end: Event | None = None  # set in a process that prices rows for another


@dataclass(frozen=True, slots=True, kw_only=True)
class _Task:
    solved: Solved
    shot: int
    times: tuple[datetime, ...]


def price_table(
    solved: Solved,
    *,
    step_min: int = 30,
    processes: int = 1,
    progress: Callable[[Counted], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> PriceTable:
    """Price every shot at every half-hour of the local clock from the call to the hard wrap.

    Of a day under way, every shot still to come, from when the crew is free.

    Parameters
    ----------
    solved : the day with its plan, of `solve_day`
    step_min : minutes between two columns
    processes : how many to share the shots out to; a script that asks for more than one must be
        guarded by `if __name__ == "__main__"`
    progress : called with the shots done and all shots
    is_ended : asked all along; the table ends when it says so, with what is known by then

    Returns
    -------
    PriceTable
        A row of cells for each shot, in points; a cell that is not exact has a least and a most.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> table = sunsched.price_table(solved, step_min=120)
    >>> len(table.rows), len(table.times)
    (5, 5)
    """
    day = solved.fit.day
    times = clock_times(day, step_min)
    over = day.over_ids
    coming = [k for k, shot in enumerate(day.shots) if shot.id not in over]
    tasks = [_Task(solved=solved, shot=k, times=times) for k in coming]
    rows: dict[int, Row] = {}
    for shot, row in _rows(tasks, processes, is_ended):
        rows[shot] = row
        if progress is not None:
            progress(Counted(done=len(rows), whole=len(tasks)))
    points = round(1000.0 * sum(shot.weight for shot in day.shots))
    ordered = tuple(rows[shot] for shot in coming)
    return PriceTable(day=day, times=times, rows=ordered, points=points, is_complete=not is_ended())


def _rows(
    tasks: list[_Task], processes: int, is_ended: Callable[[], bool]
) -> Iterator[tuple[int, Row]]:
    if processes == 1 or is_ended():  # processes take longer to load than rows without a solve
        for task in tasks:
            yield _row(task, is_ended)
        return
    # Started afresh, as a copy of a process with threads may stand still for ever.
    fresh = multiprocessing.get_context("spawn")
    end = fresh.Event()
    with ProcessPoolExecutor(processes, fresh, _begin, (end,)) as pool:
        # All of its processes are started by the first of these.
        with unheard():
            open_rows = {pool.submit(_shared_row, task) for task in tasks}
        while open_rows:
            done, open_rows = wait(open_rows, WATCH_S, FIRST_COMPLETED)
            if is_ended():
                end.set()
            for row in done:
                yield row.result()


def _begin(end: Event) -> None:
    """Make a process ready for rows; Ctrl-C, which reaches all of them, is for the first one."""
    global _end
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_alone, daemon=True).start()
    _end = end


def _end_alone() -> None:
    """End this process with the one that wants its rows, which may be killed while this waits."""
    asker = multiprocessing.parent_process()
    if asker is not None:
        asker.join()
        os._exit(0)


def _shared_row(task: _Task) -> tuple[int, Row]:
    return _row(task, is_end_asked if _end is None else _end.is_set)


def _row(task: _Task, is_ended: Callable[[], bool]) -> tuple[int, Row]:
    """Price one shot from its planned time outwards, so that each cell starts near the last."""
    solved, shot = task.solved, task.shot
    fit = solved.fit
    own = fit.day.shots[shot]
    planned = {roll.shot_id: roll.roll_start for roll in solved.plan.timetable.rolls}.get(own.id)
    cut = _cut_price(solved, shot, is_ended)
    # A shot that is left out anyway costs nothing to cut, and every cell would be worse.
    limit = cut if planned is not None else None
    middle = planned or fit.day.hours.crew_call
    later = [when for when in task.times if when >= middle]
    earlier = [when for when in reversed(task.times) if when < middle]
    cells: list[Cell] = []
    for side in (later, earlier):
        cells += _side(task, planned, side, limit, is_ended)
    row = Row(
        shot_id=own.id,
        planned=planned,
        cut=cut,
        cells=tuple(sorted(cells, key=lambda cell: cell.time)),
    )
    return shot, row


def _side(
    task: _Task,
    planned: datetime | None,
    times: list[datetime],
    limit: int | None,
    is_ended: Callable[[], bool],
) -> Iterator[Cell]:
    """Price one shot at these times, each solve starting from the last one that was proven."""
    solved, shot = task.solved, task.shot
    fit, problem = solved.fit, solved.problem
    reachable = open_starts(problem)[shot]
    last, beyond, worse = solved, 0, 0
    for place, when in enumerate(times):
        minute = fit.minute_of(when)
        slot = (minute - problem.origin - int(problem.offset[shot])) / problem.grid_min
        if when == planned:
            yield Cell(time=when, known=Known.EXACT, least=0, most=0)
        elif not slot.is_integer() or not reachable[int(slot)]:
            yield Cell(time=when, known=Known.IMPOSSIBLE)
        elif beyond:
            yield Cell(time=when, known=Known.WORSE_THAN_CUT, least=beyond)
        elif is_ended():
            yield Cell(time=when, known=Known.UNDECIDED)
        else:
            asked = rolled_between(problem, shot, minute, minute)
            floor = None if limit is None else solved.points - limit
            try:
                found = short_answer(last, asked, looks=LOOKS, floor=floor, is_ended=is_ended)
            except Undecided:
                yield Cell(time=when, known=Known.UNDECIDED)
                continue
            cell = _cell(solved, asked, when, found, limit)
            yield cell
            if found is not None and found.is_proven:
                last = replace(last, problem=asked, answer=found)
            worse += cell.known is Known.WORSE_THAN_CUT
            # Where one time costs more than a cut, one solve may tell that all times beyond it do.
            if cell.known is Known.WORSE_THAN_CUT and worse in (1, 2, 4, 8):
                beyond = _beyond(solved, shot, times[place + 1 :], limit, is_ended)


def _beyond(
    solved: Solved,
    shot: int,
    times: list[datetime],
    limit: int | None,
    is_ended: Callable[[], bool],
) -> int:
    """Give what rolling at any of these times costs at least, 0 if that may be less than a cut."""
    if not times or limit is None or is_ended():
        return 0
    minutes = [solved.fit.minute_of(when) for when in times]
    asked = rolled_between(solved.problem, shot, min(minutes), max(minutes))
    if not open_starts(asked)[shot].any():
        return 0
    found = None
    with suppress(Undecided):
        floor = solved.points - limit
        found = short_answer(solved, asked, looks=FEW_LOOKS, floor=floor, is_ended=is_ended)
    if found is None:
        return 0
    least = solved.points - whole_points(asked, found.bound)
    return least if least > limit else 0


def _cut_price(solved: Solved, shot: int, is_ended: Callable[[], bool]) -> int | None:
    """Give what cutting a shot costs: at most this much, and exactly this if it is proven."""
    if is_ended():
        return None
    problem = solved.problem
    gain, must = problem.gain.copy(), problem.must.copy()
    gain[:, shot], must[shot] = FORBIDDEN, False
    without = replace(problem, gain=gain, must=must)
    with suppress(Undecided):
        found = short_answer(solved, without, looks=LOOKS, is_ended=is_ended)
        if found is not None:
            return solved.points - whole_points(without, found.value)
    return solved.points - problem.base  # making nothing at all


def _cell(
    solved: Solved, asked: Problem, when: datetime, found: Answer | None, limit: int | None
) -> Cell:
    if found is None:
        return Cell(time=when, known=Known.IMPOSSIBLE)
    best = solved.points
    most = best - whole_points(asked, found.value)
    least = best - whole_points(asked, found.bound)
    if limit is not None and least > limit:
        known = Known.WORSE_THAN_CUT
    elif least == most and solved.answer.is_proven:
        known = Known.EXACT
    else:
        known = Known.BOUNDED
    return Cell(time=when, known=known, least=least, most=most)
