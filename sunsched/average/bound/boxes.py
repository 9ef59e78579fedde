"""A bound on any way of shooting the average day, whatever references the matches have.

Branch and bound over boxes: in a box the reference of each match lies in an interval, and a shot
pays the least drift of the interval. The box whose bound is largest is split where that pays too
little, or the memory is widened where shots are begun again. All of it happens on coarse slots; the
boxes that are left are then swept to the minute, and only that is the bound.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from sunsched.average.bound.adaptive import Worths, make_worths
from sunsched.average.bound.memory import Memory, list_states, make_memory
from sunsched.average.bound.price import (
    bound_at,
    cycles,
    roll_chances,
    subgradient,
    widened,
)
from sunsched.average.bound.suggested import Suggested, suggested
from sunsched.average.model.drift import DriftArray, Drifts, drift_table, expected_drift
from sunsched.average.model.odds import Odds
from sunsched.average.model.rest import Rest
from sunsched.average.order.search import Ordered, Scratch
from sunsched.light.fit import IntArray
from sunsched.sky.track import FloatArray

ROOT_STEPS, WIDER_STEPS, BOX_STEPS = 120, 30, 8
WORK = 200_000  # states swept, of which every sweep has some on top: a slot has a cost of its own
ON_TOP = 120
FINE_STEPS = 8  # what a sweep to the minute costs
MOST_STATES, MOST_UNSPLIT = 350, 1000  # of a day with matches, whose boxes share the work, or none
MOST_BOXES = 30
FEW_CYCLES, LARGEST_SET = 12, 7
CLOSE = 0.003  # of the worth: a gap that no more work is put into


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """Intervals of references, (G,) first and last, with prices and the bound they give."""

    low: IntArray
    high: IntArray
    prices: FloatArray
    bound: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounded:
    """Points that no way of shooting is worth more than, and what comes near them in each box."""

    points: float
    suggested: tuple[tuple[Suggested, ...], ...]


class _Ground:
    """A rest with its drift, on some slots."""

    def __init__(self, rest: Rest, drifts: Drifts) -> None:
        self.rest, self.drifts = rest, drifts
        self._known: dict[tuple[int, int, int], FloatArray] = {}

    def drift(self, row: int, low: int, high: int) -> FloatArray:
        """Give the least expected drift of a roll over an interval of references: (T,)."""
        key = (row, low, high)
        if key not in self._known:
            by_half = self.drifts.by_half[self.rest.rooms[row][0]][:, low : high + 1].min(axis=1)
            self._known[key] = expected_drift(self.rest, row, by_half)
        return self._known[key]

    def odds(self, box: Box) -> Odds:
        """Give the odds with every match at its cheapest in the box."""
        gain = self.rest.odds.gain.copy()
        for row, (s, _) in enumerate(self.rest.rooms):
            g = self.drifts.match[s]
            if g >= 0:
                gain[row] -= self.drift(row, int(box.low[g]), int(box.high[g]))
        return self.rest.odds._replace(gain=gain)

    def made(self, box: Box) -> float:
        """Give the least that made shots cost."""
        return float(
            sum(
                row[low : high + 1].min()
                for row, low, high in zip(self.drifts.made, box.low, box.high, strict=True)
            )
        )


def bound_any(
    coarse: Rest, fine: Rest, drifts: Drifts, order: Ordered, go_on: Callable[[], bool]
) -> Bounded:
    """Give points that no way of shooting is worth more than on the average day.

    Parameters
    ----------
    coarse, fine : the same rest on coarse slots and on minutes
    order : a good one, judged on the coarse slots; it says where to look and bounds nothing
    go_on : asked now and then; its False ends the search for a smaller bound
    """
    ground, n, worth = _Ground(coarse, drifts), len(coarse.shots), order.worth
    sets: tuple[frozenset[int], ...] = (frozenset[int](),) * n
    groups = len(drifts.names)
    box = Box(
        low=np.zeros(groups, dtype=np.int64),
        high=np.full(groups, drifts.references - 1, dtype=np.int64),
        prices=_what_each_wins(coarse, drifts, order),
        bound=np.inf,
    )
    table = drift_table(coarse, drifts)
    memory = make_memory(coarse.odds, coarse.forbidden, sets)
    worths = make_worths(coarse.odds, memory)
    boxes = [_priced(ground, memory, worths, box, worth, ROOT_STEPS, 1.0, go_on)]
    left, turn = WORK - ROOT_STEPS * (n + ON_TOP), 0
    while go_on():
        boxes.sort(key=lambda one: one.bound)
        top = boxes.pop()
        if top.bound - worth < CLOSE * abs(worth):
            boxes.append(top)
            break
        odds = ground.odds(top)
        bound_at(odds, memory, worths, top.prices, coarse.fed)
        split, grown, turn = None, sets, turn + 1
        steps = 2 * BOX_STEPS + FINE_STEPS * (len(boxes) + 2)
        if groups and len(boxes) + 2 <= MOST_BOXES and steps * _cost(memory) <= left:
            split = _split(ground, table, memory, worths, odds, top)
        if len(boxes) == 0 or split is None or turn % 2:
            again = cycles(
                odds, coarse.forbidden, memory, worths, top.prices, coarse.fed, seed=turn
            )
            steps = WIDER_STEPS + FINE_STEPS * (len(boxes) + 1)
            most = min(MOST_STATES if groups else MOST_UNSPLIT, left // steps - ON_TOP)
            grown = _grown(coarse, sets, again, most)
        if grown != sets:
            sets, memory = grown, make_memory(coarse.odds, coarse.forbidden, grown)
            worths = make_worths(coarse.odds, memory)
            boxes.append(_priced(ground, memory, worths, top, worth, WIDER_STEPS, 1.0, go_on))
            left -= WIDER_STEPS * _cost(memory)
        elif split is not None:
            boxes += _both_priced(ground, memory, worths, split, worth)
            left -= 2 * BOX_STEPS * _cost(memory)
        else:
            boxes.append(top)
            break
    return Bounded(
        points=_fine_bound(fine, drifts, sets, boxes),
        suggested=tuple(_suggested(ground, memory, worths, boxes)),
    )


def _suggested(
    ground: _Ground, memory: Memory, worths: Worths, boxes: Sequence[Box]
) -> Iterator[tuple[Suggested, ...]]:
    """Draw days in each box, those of the largest bound first."""
    random, begins = np.random.default_rng(len(boxes)), ground.rest.fed
    for box in sorted(boxes, key=lambda one: -one.bound):
        odds, middle = ground.odds(box), (box.low + box.high) // 2
        yield tuple(suggested(odds, memory, box.prices, worths, begins, middle, random))


def _cost(memory: Memory) -> int:
    """Count the work of a step."""
    return len(memory.shot) + ON_TOP


def _grown(
    coarse: Rest,
    sets: tuple[frozenset[int], ...],
    again: list[tuple[int, frozenset[int]]],
    most: int,
) -> tuple[frozenset[int], ...]:
    """Widen memories by as many cycles as `most` states have room for; by none if so few do."""
    few = FEW_CYCLES
    while few:
        grown = widened(sets, again, few, LARGEST_SET)
        if len(list_states(coarse.forbidden, grown)) <= most:
            return grown
        few //= 2
    return sets


def _what_each_wins(coarse: Rest, drifts: Drifts, order: Ordered) -> FloatArray:
    """Give what an order would lose without each of its shots: prices to begin with.

    No more than a roll can win, as no other shot may be begun without one that comes first.
    """
    scratch, prices, odds = Scratch(coarse, drifts), np.zeros(len(coarse.shots)), coarse.odds
    for place, shot in enumerate(order.order):
        without = scratch.worth(np.delete(order.order, place), order.references)
        own = odds.gain[odds.room_from[shot] : odds.room_from[shot + 1]].max(initial=0.0)
        prices[shot] = min(max(0.0, order.worth - without), own)
    return prices


def _priced(
    ground: _Ground,
    memory: Memory,
    worths: Worths,
    box: Box,
    worth: float,
    steps: int,
    length: float,
    go_on: Callable[[], bool] | None = None,
) -> Box:
    """Look for better prices of a box."""
    settled = ground.rest.settled - ground.made(box)
    found = subgradient(
        ground.odds(box),
        memory,
        worths,
        ground.rest.fed,
        box.prices,
        worth - settled,
        steps,
        length=length,
        go_on=go_on,
    )
    bound = found.bound + settled
    if bound >= box.bound:
        return box
    return replace(box, prices=found.prices, bound=bound)


def _both_priced(
    ground: _Ground, memory: Memory, worths: Worths, split: tuple[Box, Box], worth: float
) -> list[Box]:
    """Look for better prices of two boxes side by side."""
    with ThreadPoolExecutor(1) as pool:
        other = make_worths(ground.rest.odds, memory)
        job = pool.submit(_priced, ground, memory, other, split[0], worth, BOX_STEPS, 0.5)
        here = _priced(ground, memory, worths, split[1], worth, BOX_STEPS, 0.5)
        return [job.result(), here]


def _split(
    ground: _Ground,
    table: DriftArray,
    memory: Memory,
    worths: Worths,
    odds: Odds,
    box: Box,
) -> tuple[Box, Box] | None:
    """Split a box at the match that pays least of its drift; None where all pay all of it."""
    rolls = roll_chances(odds, memory, worths, box.prices, ground.rest.fed)
    worst, where, split_at = 1.0, -1, 0
    for g in range(len(box.low)):
        low, high = int(box.low[g]), int(box.high[g])
        rows = [r for r, (s, _) in enumerate(ground.rest.rooms) if ground.drifts.match[s] == g]
        if low == high or not rows:
            continue
        true = ground.drifts.made[g, low : high + 1].copy()
        paid = float(true.min())
        for row in rows:
            true += rolls[row] @ table[row, :, low : high + 1]
            paid += float(rolls[row] @ ground.drift(row, low, high))
        if true.min() - paid > worst:
            worst, where = float(true.min()) - paid, g
            edge = (high - low) // 4
            split_at = min(max(low + int(true.argmin()), low + edge), high - 1 - edge)
    if where < 0:
        return None
    highs, lows = box.high.copy(), box.low.copy()
    highs[where], lows[where] = split_at, split_at + 1
    return replace(box, high=highs), replace(box, low=lows)


def _fine_bound(
    fine: Rest, drifts: Drifts, sets: tuple[frozenset[int], ...], boxes: list[Box]
) -> float:
    """Sweep every box to the minute, in two lanes, and give the largest bound."""
    ground, memory = _Ground(fine, drifts), make_memory(fine.odds, fine.forbidden, sets)

    def largest(some: list[Box]) -> float:
        worths = make_worths(fine.odds, memory)
        return max(
            bound_at(ground.odds(box), memory, worths, box.prices, fine.fed)
            + fine.settled
            - ground.made(box)
            for box in some
        )

    lanes = [some for some in (boxes[::2], boxes[1::2]) if some]
    with ThreadPoolExecutor(len(lanes)) as pool:
        return max(pool.map(largest, lanes))
