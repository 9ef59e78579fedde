"""An order kept, with as few of its shots left out as possible, so that the others fit.

A beginning of the order, with some of its shots left out, is worth no more than what it has by now
and the most that so many of the later shots can add, each match's sun free for each shot. The most
promising beginning goes on first; a whole order is timed exactly, and once no beginning promises
more than the best whole order, that one is the answer.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.instance.tables import LOST, NEVER, Tables
from sunsched.solver.timing.sequence import arrive, fill_before, leave, leave_last
from sunsched.whatif.orders.best_times import Ground, Looks, Times, best_timing, make_case

ALL_LOOKS = 2_000  # timings after which the best order so far is taken


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kept:
    """An order to keep behind the shots that are made.

    `ends` are the rests: [c, p] is the most that c of the shots behind place p add by the slot in
    which its shot starts, without and with the meal taken: (2, T). Place 0 is the last made shot.
    """

    ground: Ground
    made: IntArray
    order: tuple[int, ...]
    ends: list[IntArray]

    @property
    def tables(self) -> Tables:
        return self.ground.tables

    def shot(self, place: int) -> int:
        """Give the shot at a place, the row of what comes first where nothing is made."""
        if place:
            return self.order[place - 1]
        return int(self.made[-1]) if len(self.made) else self.ground.problem.shots


@dataclass(frozen=True, slots=True, kw_only=True)
class _Beginning:
    """Some places of the order, from the first on, with `left` more to come.

    `rows` is the best value by the slot in which the last one starts, or earlier: (2, 1, T).
    """

    places: tuple[int, ...]
    left: int
    rows: IntArray
    pairs: int


def most_in_order(ground: Ground, made: IntArray, order: Sequence[int]) -> Times | None:
    """Find the best times of an order with as few of its shots left out as possible.

    Among equally few, the times that are worth most; shots that must be made are never left out.

    Parameters
    ----------
    ground : the rest of a day
    made : what is made already, in its order; it comes first
    order : the shots to come

    Returns
    -------
    Times or None
        Of what is made and the shots kept; None where what must be made cannot be, in this order,
        or where no shot of it can be made and none is made.
    """
    kept = _Kept(
        ground=ground,
        made=made,
        order=tuple(order),
        ends=_ends(ground, made, tuple(order)),
    )
    for number in range(len(kept.ends) - 1, -1, -1):
        can_be = bool((kept.ends[number][0] > LOST).any()) and len(made) + number > 0
        if can_be and (times := _best_of(kept, number)) is not None:
            return times
    return None


def _ends(ground: Ground, made: IntArray, order: tuple[int, ...]) -> list[IntArray]:
    """Fill the rests of every place, for as many more shots as can be: (places, 2, T) each."""
    tables, must = ground.tables, ground.problem.must
    kinds, n, slots = tables.gain.shape
    shots = (int(made[-1]) if len(made) else n, *order)
    pinned = [place for place in range(1, len(shots)) if must[shots[place]]]
    ends: list[IntArray] = []
    ahead = np.full((2, kinds, len(shots), slots), NEVER, dtype=np.int64)
    rest = np.empty((2, slots), dtype=np.int64)
    for number in range(len(shots)):
        found = np.full((len(shots), 2, slots), NEVER, dtype=np.int64)
        for place, shot in enumerate(shots):
            due = next((one for one in pinned if one > place), len(shots))
            if number == 0 and due == len(shots):
                _end_day(tables, shot, rest)
                found[place] = rest
            for then in range(place + 1, min(due, len(shots) - 1) + 1) if number else ():
                leave(tables, ahead, then, shot, shots[then], rest)
                np.maximum(found[place], rest, out=found[place])
        if not (found > LOST).any():
            break
        ends.append(found)
        for place in range(1, len(shots)):
            gain = tables.gain[:, shots[place]]
            start = np.where(gain > LOST, gain, NEVER)[None] + found[place][:, None]
            best = np.maximum.accumulate(start[:, :, ::-1], axis=2)[:, :, ::-1]
            ahead[:, :, place] = np.where(best > LOST, best, NEVER)
    return ends


def _end_day(tables: Tables, shot: int, rest: IntArray) -> None:
    """Fill what the end of the day costs after a shot, or where nothing was made."""
    if shot < tables.gain.shape[1]:
        leave_last(tables, shot, rest)
    else:
        rest[:] = 0


def _best_of(kept: _Kept, number: int) -> Times | None:
    """Find the best times of so many shots of the order."""
    looks, ticket = Looks(left=ALL_LOOKS), count()
    best: Times | None = None
    queue = [(0, next(ticket), _made_only(kept, number))]
    while queue and (best is None or (-queue[0][0] > best.value and looks.left > 0)):
        _, _, one = heapq.heappop(queue)
        if one.left:
            for longer, bound in _longer(kept, one):
                heapq.heappush(queue, (-bound, next(ticket), longer))
            continue
        sequence = np.append(kept.made, [kept.shot(place) for place in one.places])
        case = make_case(kept.ground, sequence.astype(np.int64), None)
        limit = LOST if best is None else best.value
        best = best_timing(case, more_than=limit, looks=looks) or best
    return best


def _made_only(kept: _Kept, number: int) -> _Beginning:
    tables, made = kept.tables, kept.made
    before = np.full((2, len(made) + 1, tables.gain.shape[2]), NEVER, dtype=np.int64)
    before[0, 0] = 0
    fill_before(tables, made, len(made), before, 0)
    first, second = np.triu_indices(len(made), 1)
    return _Beginning(
        places=(),
        left=number,
        rows=np.ascontiguousarray(before[:, -1:]),
        pairs=int(tables.far[made[first], made[second]].sum()),
    )


def _longer(kept: _Kept, one: _Beginning) -> list[tuple[_Beginning, int]]:
    """Give a beginning with each next shot that can follow, and what it is worth at most."""
    tables, must = kept.tables, kept.ground.problem.must
    last = one.places[-1] if one.places else 0
    reach = np.empty((2, one.rows.shape[2]), dtype=np.int64)
    before = np.append(kept.made, [kept.shot(place) for place in one.places]).astype(np.int64)
    found = []
    for place in range(last + 1, len(kept.order) + 1):
        a, b = kept.shot(last), kept.shot(place)
        pairs = one.pairs + int(tables.far[before, b].sum())
        arrive(tables, one.rows, 0, a, b, reach)
        gain = tables.gain[tables.kind[a, b], b]
        value = np.where(
            (gain > LOST) & (reach > LOST), reach + gain - tables.arc_cost[a, b], NEVER
        )
        bound = int((value + kept.ends[one.left - 1][place]).max()) - pairs
        if bound > LOST:
            rows = np.maximum.accumulate(value, axis=1)[:, None]
            longer = _Beginning(
                places=(*one.places, place), left=one.left - 1, rows=rows, pairs=pairs
            )
            found.append((longer, bound))
        if must[b]:
            break
    return found
