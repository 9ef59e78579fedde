"""What it costs on the average day to roll each shot in each half-hour, or not at all.

A cell is the day on which the shot may start to roll in that half-hour only. Its order is looked
for on rough slots: the shot is put into the best order where that is worth most, and blocks are
moved and shots swapped while that wins; then it is judged to the minute. So a cell is found, not
proven: the best crew of all loses at least nothing, and at most what is found and what the bound
of the day leaves open.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, as_completed, wait
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from math import inf
from threading import Event

from sunsched.average.plan import AveragePlan
from sunsched.light.fit import IntArray
from sunsched.light.stretches import Minutes
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Counted
from sunsched.whatif.price.cells import Cell, Known, PriceTable, Row
from sunsched.whatif.price_average.judge import Base, Judge, Worth, can_roll, make_base, with_shot
from sunsched.whatif.starts import clock_times

CELLS_A_LOOK = 5  # priced cells after which who looks is given the table again
AS_GOOD = 0.0005  # of all weights: a price that is nearer to that of a cut is no other


@dataclass(frozen=True, slots=True, kw_only=True)
class _Worths:
    """What was found for one shot: left out, and in each half-hour, None where it cannot roll.

    `open` has the places of cells that were not looked for.
    """

    cut: Worth | None
    cells: tuple[Worth | None, ...]
    open: frozenset[int] = frozenset()

    @property
    def judged(self) -> list[Worth | None]:
        """The cells that were looked for."""
        return [worth for place, worth in enumerate(self.cells) if place not in self.open]


def average_price_table(
    best: AveragePlan,
    *,
    step_min: int = 30,
    threads: int = 2,
    progress: Callable[[Counted], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> PriceTable:
    """Price every shot in every half-hour of the local clock from the call to the hard wrap.

    Of a day under way, every shot still to come, from when the crew is free.

    Parameters
    ----------
    best : the plan for the average day, of `average_plan`
    step_min : minutes between two columns, 10 at least
    threads : how many to share the shots out to
    progress : called with the shots done and all shots
    is_ended : asked all along; the table ends when it says so, with what is known by then

    Returns
    -------
    PriceTable
        A row of cells for each shot: the points found to be lost, and what the best crew loses at
        least and at most.

    Examples
    --------
    >>> import sunsched
    >>> best = sunsched.average_plan(sunsched.solve_day(sunsched.example_day()))
    >>> table = sunsched.average_price_table(best, step_min=120)
    >>> len(table.rows), table.is_average
    (5, True)
    """
    base = make_base(best.policy)
    times, step = clock_times(base.ground.fit.day, step_min), timedelta(minutes=step_min)
    shots = range(len(base.ground.minute.shots))
    found: dict[int, _Worths] = {}
    with ThreadPoolExecutor(max_workers=threads) as pool:
        rows = {pool.submit(_priced_row, base, shot, times, step, is_ended): shot for shot in shots}
        for row in as_completed(rows):
            found[rows[row]] = row.result()
            if progress is not None:
                progress(Counted(done=len(found), whole=len(shots)))
    return _table(best, base, times, [found[shot] for shot in shots], is_complete=not is_ended())


def average_price_tables(
    best: AveragePlan,
    *,
    step_min: int = 30,
    threads: int = 2,
    is_ended: Callable[[], bool] = is_end_asked,
) -> Generator[tuple[PriceTable, frozenset[tuple[str, datetime]]]]:
    """Give the table of prices again and again, better and better, for somebody who looks.

    The first has every cell at first sight: the shot at its best place in the best order, nothing
    else moved, on rough slots. Then cells are priced as `average_price_table` does, of all shots
    those first that look cheapest.

    Parameters
    ----------
    best, step_min, threads : as for `average_price_table`
    is_ended : asked all along; no more tables are given once it says so

    Yields
    ------
    PriceTable
        What is known; the last one is that of `average_price_table`.
    frozenset[tuple[str, datetime]]
        The cells that are priced as there, by shot and time.
    """
    base = make_base(best.policy)
    times, step = clock_times(base.ground.fit.day, step_min), timedelta(minutes=step_min)
    rows = [_Row(base, shot, times, step) for shot in range(len(base.ground.minute.shots))]
    yield _table(best, base, times, [row.found for row in rows], is_complete=False), frozenset()
    is_over = Event()

    def priced(row: _Row) -> _Row:
        if not (is_over.is_set() or is_ended()):
            row.price_next()
        return row

    with ThreadPoolExecutor(max_workers=threads) as pool:
        try:
            idle, busy = [row for row in rows if row.left], set[Future[_Row]]()
            while idle or busy:
                idle.sort(key=lambda row: row.next_worth)
                while idle and len(busy) < threads:
                    busy.add(pool.submit(priced, idle.pop()))
                done, busy = wait(busy, return_when=FIRST_COMPLETED)
                if is_ended():
                    return
                idle += [row for row in (one.result() for one in done) if row.left]
                is_complete = not (idle or busy)
                if is_complete or sum(len(row.priced) for row in rows) % CELLS_A_LOOK == 0:
                    known = frozenset(
                        (base.ground.minute.shots[row.shot].id, times[place])
                        for row in rows
                        for place in [*row.priced]
                    )
                    found = [row.found for row in rows]
                    yield _table(best, base, times, found, is_complete=is_complete), known
        finally:
            is_over.set()


class _Row:
    """The cells of one shot: all at first sight, then priced one by one, the cheapest first.

    A cell is looked for from the order that was found for the nearest one in time as well, so that
    its price does not depend on what is priced of other shots meanwhile.
    """

    def __init__(self, base: Base, shot: int, times: tuple[datetime, ...], step: timedelta) -> None:
        rest, self.shot = base.ground.minute, shot
        self._base, self._judge = base, Judge(base, shot)
        minute = base.ground.fit.minute_of
        self._spans = [(minute(when), minute(when + step)) for when in times]
        others = base.order[base.order != shot]
        self._orders, cut = with_shot(others, shot, rest), self._judge.without(others)
        cells = [
            self._judge.at_sight(self._orders, span)
            if can_roll(rest, shot, span) and _has_pin(base, shot, span)
            else None
            for span in self._spans
        ]
        self.found = _Worths(cut=cut, cells=tuple(cells))
        worths = {place: worth for place, worth in enumerate(cells) if worth is not None}
        self.left = sorted(worths, key=lambda place: (worths[place].on_top, -place))  # best last
        self.priced: dict[int, IntArray] = {}
        self._is_cut = False

    @property
    def next_worth(self) -> float:
        """What the next cell is worth at first sight."""
        worth = self.found.cells[self.left[-1]]
        return -inf if worth is None else worth.on_top

    def price_cut(self) -> None:
        """Look for the best order without the shot; every cell starts from it too."""
        cut, without = self._judge.left_out()
        self._orders = self._orders + with_shot(without, self.shot, self._base.ground.minute)
        self.found = replace(self.found, cut=cut)
        self._is_cut = True

    def price_next(self) -> None:
        """Price the cell that looks cheapest of those that are left."""
        if not self._is_cut:
            self.price_cut()
        place = self.left[-1]
        near = min(self.priced, key=lambda other: abs(other - place), default=None)
        last = self._base.order if near is None else self.priced[near]
        worth, order = self._judge.found([*self._orders, last], self._spans[place])
        cut = self._judge.without(order)
        if self.found.cut is not None:
            cut = max(self.found.cut, cut, key=lambda one: one.on_top)
        cells = [*self.found.cells]
        cells[place] = worth
        self.found = replace(self.found, cut=cut, cells=tuple(cells))
        self.priced[place] = order
        self.left.pop()


def _priced_row(
    base: Base,
    shot: int,
    times: tuple[datetime, ...],
    step: timedelta,
    is_ended: Callable[[], bool],
) -> _Worths:
    """Price all cells of one shot; those that nobody waited for are as if not looked at."""
    if is_ended():
        return _Worths(cut=None, cells=())
    row = _Row(base, shot, times, step)
    row.price_cut()
    while row.left and not is_ended():
        row.price_next()
    return replace(row.found, open=frozenset(row.left))


def _has_pin(base: Base, shot: int, span: Minutes) -> bool:
    """Say whether some minutes hold the pin of a shot; those of one without all do."""
    pin = base.ground.minute.shots[shot].pin
    return pin is None or span[0] <= base.ground.fit.minute_of(pin) < span[1]


def _table(
    best: AveragePlan,
    base: Base,
    times: tuple[datetime, ...],
    found: list[_Worths],
    *,
    is_complete: bool,
) -> PriceTable:
    """Count all worths from the best order known, which may be that of a cell."""
    day, fit = base.ground.fit.day, base.ground.fit
    worths = [worth for row in found for worth in (row.cut, *row.judged) if worth is not None]
    top = max([base.worth, *worths], key=lambda worth: worth.on_top)
    open_points = None if best.bound is None else max(0, best.bound - round(top.points))
    planned = {roll.shot_id: roll.roll_start for roll in best.likely.timetable.rolls}
    points = round(1000.0 * sum(shot.weight for shot in fit.day.shots))
    near, rows = AS_GOOD * points, []
    for shot, own in zip(base.ground.minute.shots, found, strict=True):
        cut = None if own.cut is None else max(0, round(top.points - own.cut.points))
        listed = tuple(
            _cell(when, own, place, (top, near), open_points) for place, when in enumerate(times)
        )
        rows.append(Row(shot_id=shot.id, planned=planned.get(shot.id), cut=cut, cells=listed))
    return PriceTable(
        day=day,
        times=times,
        rows=tuple(rows),
        points=points,
        is_complete=is_complete,
        is_average=True,
        open_points=open_points,
    )


def _cell(
    when: datetime, own: _Worths, place: int, base: tuple[Worth, float], open_points: int | None
) -> Cell:
    """Give a cell; `base` is the worth of the best order, and points as good as none."""
    top, near = base
    if own.cut is None or place in own.open:
        return Cell(time=when, known=Known.UNDECIDED)
    worth = own.cells[place]
    if worth is None:
        return Cell(time=when, known=Known.IMPOSSIBLE)
    # Leaving the shot out obeys the cell as well.
    lost = max(0, round(top.points - max(worth, own.cut, key=lambda one: one.on_top).points))
    most = None if open_points is None else lost + open_points
    is_cut = worth.on_top <= own.cut.on_top + near
    known = Known.WORSE_THAN_CUT if is_cut else Known.FOUND
    return Cell(time=when, known=known, least=0, most=most, found=lost)
