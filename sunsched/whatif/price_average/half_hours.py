"""What it costs on the average day to roll each shot in each half-hour, or not at all.

A cell is the day on which the shot may start to roll in that half-hour only. Its order is looked
for on rough slots: the shot is put into the best order where that is worth most, and blocks are
moved and shots swapped while that wins; then it is judged to the minute. So a cell is found, not
proven: the best crew of all loses at least nothing, and at most what is found and what the bound
of the day leaves open.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf
from threading import Event

from sunsched.average.plan import AveragePlan
from sunsched.light.stretches import Minutes
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Counted
from sunsched.whatif.price.cells import Cell, Known, PriceTable, Row
from sunsched.whatif.price_average.judge import Base, Judge, Worth, can_roll, make_base, with_shot
from sunsched.whatif.starts import clock_times

SECOND_BEST = 4  # the cell, best first, that says whether a shot is cheap at other hours
AS_GOOD = 0.0005  # of all weights: a price that is nearer to that of a cut is no other


@dataclass(frozen=True, slots=True, kw_only=True)
class _Worths:
    """What was found for one shot: left out, and in each half-hour, None where it cannot roll."""

    cut: Worth | None
    cells: tuple[Worth | None, ...]
    tried: int


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
        rows = {pool.submit(_row, base, shot, times, step, is_ended): shot for shot in shots}
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
) -> Generator[tuple[PriceTable, frozenset[str]]]:
    """Give the table of prices again and again, better and better, for somebody who looks.

    The first has every cell at first sight: the shot at its best place in the best order, nothing
    else moved, on rough slots. Then shots are priced as `average_price_table` does, those first
    that are cheap at other hours than their own.

    Parameters
    ----------
    best, step_min, threads : as for `average_price_table`
    is_ended : asked all along; no more tables are given once it says so

    Yields
    ------
    PriceTable
        What is known; the last one is that of `average_price_table`.
    frozenset[str]
        The shots that are priced as there.
    """
    base = make_base(best.policy)
    times, step = clock_times(base.ground.fit.day, step_min), timedelta(minutes=step_min)
    listed = base.ground.minute.shots
    found = [_sight(base, shot, times, step) for shot in range(len(listed))]
    yield _table(best, base, times, found, is_complete=False), frozenset()
    cheapest = sorted(range(len(listed)), key=lambda shot: -_elsewhere(found[shot]))
    priced: set[str] = set()
    is_over = Event()

    def is_left() -> bool:
        return is_over.is_set() or is_ended()

    with ThreadPoolExecutor(max_workers=threads) as pool:
        try:
            rows = {pool.submit(_row, base, shot, times, step, is_left): shot for shot in cheapest}
            for row in as_completed(rows):
                if is_left():
                    return
                found[rows[row]] = row.result()
                priced.add(listed[rows[row]].id)
                is_complete = len(priced) == len(listed)
                yield _table(best, base, times, found, is_complete=is_complete), frozenset(priced)
        finally:
            is_over.set()


def _sight(base: Base, shot: int, times: tuple[datetime, ...], step: timedelta) -> _Worths:
    """Price one shot with all others in their order."""
    rest, judge = base.ground.minute, Judge(base, shot)
    others = base.order[base.order != shot]
    orders, cut = with_shot(others, shot, rest), judge.without(others)
    cells: list[Worth | None] = []
    for when in times:
        span = (base.ground.fit.minute_of(when), base.ground.fit.minute_of(when + step))
        is_open = can_roll(rest, shot, span) and _has_pin(base, shot, span)
        cells.append(judge.at_sight(orders, span) if is_open else None)
    return _Worths(cut=cut, cells=tuple(cells), tried=len(cells))


def _elsewhere(own: _Worths) -> float:
    """Give what a shot is worth in its second-best hours."""
    worths = sorted(worth.on_top for worth in own.cells if worth is not None)
    return worths[-min(SECOND_BEST, len(worths))] if worths else -inf


def _row(
    base: Base,
    shot: int,
    times: tuple[datetime, ...],
    step: timedelta,
    is_ended: Callable[[], bool],
) -> _Worths:
    """Price one shot, each half-hour from the order of the one before it too."""
    rest = base.ground.minute
    if is_ended():
        return _Worths(cut=None, cells=(), tried=0)
    judge = Judge(base, shot)
    cut, without = judge.left_out()
    own = base.order[base.order != shot]
    orders = with_shot(own, shot, rest) + with_shot(without, shot, rest)
    cells: list[Worth | None] = []
    last = base.order
    for when in times:
        if is_ended():
            break
        span = (base.ground.fit.minute_of(when), base.ground.fit.minute_of(when + step))
        if not can_roll(rest, shot, span) or not _has_pin(base, shot, span):
            cells.append(None)
            continue
        worth, last = judge.found([*orders, last], span)
        cells.append(worth)
        cut = max(cut, judge.without(last), key=lambda one: one.on_top)
    return _Worths(cut=cut, cells=tuple(cells), tried=len(cells))


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
    worths = [worth for row in found for worth in (row.cut, *row.cells) if worth is not None]
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
    if place >= own.tried or own.cut is None:
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
