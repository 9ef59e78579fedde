"""What it costs to roll each shot at each half-hour of the day.

Starts that are out of reach are told from the times alone, and two sweeps over the day tell of
every start what it costs at least: many cost more than cutting the shot, which nobody would pay.
Each cell that is left is a short solve of its own, which gives a least and a most; then those that
are still open are solved on, the widest first, each from what its first solve has learnt, until it
is exact or a fixed amount of work is done. The same day gives the same table on every machine, on
one process or on several, unless it is ended early.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, ProcessPoolExecutor, wait
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import datetime
from multiprocessing.synchronize import Event
from typing import Any, TypeVar

from sunsched.errors import Undecided
from sunsched.solver.answer import Answer
from sunsched.solver.instance.changes import rolled_between
from sunsched.solver.instance.problem import FORBIDDEN, Problem
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.machine.halt import end_with_asker, is_end_asked, unheard
from sunsched.solver.search.progress import Counted
from sunsched.solver.solved import Solved, short_answer
from sunsched.solver.start_bounds import NO_PLAN, start_bounds
from sunsched.whatif.price.cells import Cell, Known, PriceTable, Row
from sunsched.whatif.starts import clock_times, open_starts

LOOKS = 1000  # how often the solve for a cell looks at its best plan and bound before it ends
FIRST_LOOKS = 8  # the same for the first solve of each, so that soon all cells have a bracket
WATCH_S = 0.2  # between two checks whether the work of other processes is to end
_shared: _Shared | None = None  # what a process that works for another was handed
Piece = TypeVar("Piece")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shared:
    solved: Solved
    times: tuple[datetime, ...]
    end: Event


@dataclass(frozen=True, slots=True, kw_only=True)
class _Open:
    """A cell that is not exact yet, with what was learnt from it."""

    shot: int
    place: int
    cell: Cell
    limit: int | None
    near: Answer | None

    @property
    def width(self) -> int:
        """How much is not known."""
        if self.cell.least is None or self.cell.most is None:
            return -FORBIDDEN
        return self.cell.most - self.cell.least


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
    processes : how many to share the work out to; a script that asks for more than one must be
        guarded by `if __name__ == "__main__"`
    progress : called with the parts of the work done and all parts
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
    rows: dict[int, Row] = {}
    left: list[_Open] = []
    with _workers(solved, times, processes, is_ended) as work:
        for shot, row, unsettled in work(_first, coming):
            rows[shot] = row
            left += unsettled
            if progress is not None:
                progress(Counted(done=len(rows), whole=len(coming) + len(left)))
        left.sort(key=lambda one: (-one.width, one.shot, one.place))
        for done, (one, cell) in enumerate(work(_settled, left), 1):
            row = rows[one.shot]
            cells = (*row.cells[: one.place], cell, *row.cells[one.place + 1 :])
            rows[one.shot] = replace(row, cells=cells)
            if progress is not None:
                progress(Counted(done=len(rows) + done, whole=len(coming) + len(left)))
    points = round(1000.0 * sum(shot.weight for shot in day.shots))
    ordered = tuple(rows[shot] for shot in coming)
    return PriceTable(day=day, times=times, rows=ordered, points=points, is_complete=not is_ended())


@contextmanager
def _workers(
    solved: Solved, times: tuple[datetime, ...], processes: int, is_ended: Callable[[], bool]
) -> Iterator[Callable[..., Iterator[Any]]]:
    """Give what does a kind of work on each of some items, in this process or shared out."""
    if processes == 1 or is_ended():  # processes take longer to load than rows without a solve

        def alone(task: Callable[..., Piece], items: Iterable[object]) -> Iterator[Piece]:
            return (task(solved, times, item, is_ended) for item in items)

        yield alone
        return
    # Started afresh, as a copy of a process with threads may stand still for ever.
    fresh = multiprocessing.get_context("spawn")
    end = fresh.Event()
    with ProcessPoolExecutor(processes, fresh, _begin, (solved, times, end)) as pool:

        def shared_out(task: Callable[..., Piece], items: Iterable[object]) -> Iterator[Piece]:
            # Processes are started by these.
            with unheard():
                waiting = {pool.submit(_shared_task, task, item) for item in items}
            while waiting:
                done, waiting = wait(waiting, WATCH_S, FIRST_COMPLETED)
                if is_ended():
                    end.set()
                for piece in done:
                    yield piece.result()

        yield shared_out


def _begin(solved: Solved, times: tuple[datetime, ...], end: Event) -> None:
    """Make a process ready for work; Ctrl-C, which reaches all of them, is for the first one."""
    global _shared
    end_with_asker()
    _shared = _Shared(solved=solved, times=times, end=end)


def _shared_task(task: Callable[..., Piece], item: object) -> Piece:
    if _shared is None:
        raise RuntimeError("this process was not made ready")
    return task(_shared.solved, _shared.times, item, _shared.end.is_set)


def _first(
    solved: Solved, times: tuple[datetime, ...], shot: int, is_ended: Callable[[], bool]
) -> tuple[int, Row, list[_Open]]:
    """Price one shot at first sight: a bracket for each half-hour, from a short solve."""
    fit, problem = solved.fit, solved.problem
    own = fit.day.shots[shot]
    planned = {roll.shot_id: roll.roll_start for roll in solved.plan.timetable.rolls}.get(own.id)
    cut = _cut_price(solved, shot, is_ended)
    # A shot that is left out anyway costs nothing to cut, and every cell would be worse.
    limit = cut if planned is not None else None
    reachable = open_starts(problem)[shot]
    most = start_bounds(problem, solved.answer)[shot]
    cells: list[Cell] = []
    left: list[_Open] = []
    for place, when in enumerate(times):
        slot = (fit.minute_of(when) - problem.origin - int(problem.offset[shot])) / problem.grid_min
        near = None
        if when == planned:
            cell = Cell(time=when, known=Known.EXACT, least=0, most=0)
        elif not slot.is_integer() or not reachable[int(slot)] or most[int(slot)] == NO_PLAN:
            cell = Cell(time=when, known=Known.IMPOSSIBLE)
        elif limit is not None and solved.points - int(most[int(slot)]) > limit:
            least = solved.points - int(most[int(slot)])
            cell = Cell(time=when, known=Known.WORSE_THAN_CUT, least=least)
        elif is_ended():
            cell = Cell(time=when, known=Known.UNDECIDED)
        else:
            cell, near = _solved_cell(solved, shot, when, limit, None, FIRST_LOOKS, is_ended)
        cells.append(cell)
        if cell.known in (Known.BOUNDED, Known.UNDECIDED) and not is_ended():
            left.append(_Open(shot=shot, place=place, cell=cell, limit=limit, near=near))
    row = Row(shot_id=own.id, planned=planned, cut=cut, cells=tuple(cells))
    return shot, row, left


def _settled(
    solved: Solved, times: tuple[datetime, ...], one: _Open, is_ended: Callable[[], bool]
) -> tuple[_Open, Cell]:
    """Solve on where a first solve has ended."""
    if is_ended():
        return one, one.cell
    when = times[one.place]
    cell, _ = _solved_cell(solved, one.shot, when, one.limit, one.near, LOOKS, is_ended)
    return one, _narrower(one.cell, cell)


def _narrower(first: Cell, cell: Cell) -> Cell:
    """Keep what was known before a solve that did not get as far; it may have been ended early."""
    if cell.known not in (Known.BOUNDED, Known.UNDECIDED) or first.known is Known.UNDECIDED:
        return cell
    if cell.known is Known.UNDECIDED or cell.least is None or cell.most is None:
        return first
    least, most = max(first.least or 0, cell.least), min(first.most or 0, cell.most)
    return replace(cell, least=least, most=most)


def _solved_cell(
    solved: Solved,
    shot: int,
    when: datetime,
    limit: int | None,
    near: Answer | None,
    looks: int,
    is_ended: Callable[[], bool],
) -> tuple[Cell, Answer | None]:
    """Solve the day with a shot at a time; give what it costs, and what was learnt."""
    minute = solved.fit.minute_of(when)
    asked = rolled_between(solved.problem, shot, minute, minute)
    start = solved if near is None else replace(solved, problem=asked, answer=near)
    floor = None if limit is None else solved.points - limit
    try:
        found = short_answer(start, asked, looks=looks, floor=floor, is_ended=is_ended)
    except Undecided:
        return Cell(time=when, known=Known.UNDECIDED), near
    return _cell(solved, asked, when, found, limit), found


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
