"""The bound of a day with matches: branch on where each match's common sun stands.

While a match's reference sun may stand anywhere, a start is charged the least its drift can cost,
so the bound of the whole stays a bound. The interval of references is then halved where that
charge is furthest from the truth; the bound of the day is that of its worst open part.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass

import numpy as np

from sunsched.order.bound import Sweep, best_prices, follow, sweep
from sunsched.order.fit import IntArray
from sunsched.order.labels import exact_value
from sunsched.order.search import DriftArray
from sunsched.order.tables import LOST, SCALE, Tables

ROOT_STEPS = 300
PART_STEPS = 15
ROOT_ROOM = (
    200_000  # labels in a layer for the day as a whole, which nothing splits without matches
)
PART_ROOM = 5_000  # and for a part, which is split again instead
PARTS = 100  # how many parts of a day are looked at before the bound is given as it stands


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """References from `low` to below `high` for each match, with the bound of that part."""

    low: tuple[int, ...]
    high: tuple[int, ...]
    bound: int
    prices: IntArray


def prove_matches(tables: Tables, drift: DriftArray, match: IntArray, value: int) -> int:
    """Give a bound on every plan, scaled; at most `value` only if no plan is worth more.

    Parameters
    ----------
    drift, match : as in `Problem`
    value : what the best plan known is worth; parts that cannot beat it are closed
    """
    groups = int(match.max()) + 1
    prices = np.maximum(0, tables.gain.max(axis=(0, 2)) * 4 // 5)
    root = _part(
        tables,
        drift,
        match,
        (0,) * groups,
        (drift.shape[2],) * groups,
        prices,
        value,
        ROOT_STEPS,
        ROOT_ROOM,
    )
    open_parts = [(-root.bound, 0, root)]
    looked_at = 1
    while open_parts and looked_at < PARTS:
        _, _, part = open_parts[0]
        if part.bound <= value:
            return value
        split = _worst_match(tables, drift, match, part)
        if split is None:
            break
        heapq.heappop(open_parts)
        middle = (part.low[split] + part.high[split]) // 2
        for low, high in ((part.low[split], middle), (middle, part.high[split])):
            child = _part(
                tables,
                drift,
                match,
                _with(part.low, split, low),
                _with(part.high, split, high),
                part.prices,
                value,
                PART_STEPS,
                PART_ROOM,
            )
            looked_at += 1
            if child.bound > value:
                heapq.heappush(open_parts, (-min(child.bound, part.bound), looked_at, child))
    return max((-bound for bound, _, _ in open_parts), default=value)


def _part(
    tables: Tables,
    drift: DriftArray,
    match: IntArray,
    low: tuple[int, ...],
    high: tuple[int, ...],
    prices: IntArray,
    value: int,
    steps: int,
    room: int,
) -> _Part:
    gain = _charged(tables.gain, drift, match, low, high)
    bound, prices = best_prices(tables, gain, prices, value, steps)
    if bound > value:
        exact = exact_value(tables, gain, prices, value, room)
        bound = bound if exact is None else exact
    return _Part(low=low, high=high, bound=int(bound), prices=prices)


def _charged(
    gain: IntArray,
    drift: DriftArray,
    match: IntArray,
    low: tuple[int, ...],
    high: tuple[int, ...],
) -> IntArray:
    """Charge each matched start the least that any reference of its interval costs."""
    charged = gain.copy()
    for s in np.flatnonzero(match >= 0):
        group = match[s]
        least = drift[s, :, low[group] : high[group]].min(axis=1).astype(np.int64) * SCALE
        charged[:, s] = np.where(gain[:, s] > LOST, gain[:, s] - least, gain[:, s])
    return charged


def _worst_match(tables: Tables, drift: DriftArray, match: IntArray, part: _Part) -> int | None:
    """Give the match whose drift on the part's best path is most undercharged; None for no such."""
    gain = _charged(tables.gain, drift, match, part.low, part.high)
    _, n, slots = gain.shape
    swept = Sweep.empty(gain)
    path = np.zeros((slots, 2), dtype=np.int64)
    visits = np.zeros(n, dtype=np.int64)
    sweep(tables, gain, part.prices, swept)
    length = follow(tables, gain, swept, visits, path)
    worst, worst_gap = None, 0
    for group, (low, high) in enumerate(zip(part.low, part.high, strict=True)):
        rows = [drift[s, t, low:high] for s, t in path[:length] if match[s] == group]
        if high - low < 2 or not rows:
            continue
        gap = int(np.sum(rows, axis=0).min() - sum(int(row.min()) for row in rows))
        if gap > worst_gap:
            worst, worst_gap = group, gap
    if worst is None:
        widths = [high - low for low, high in zip(part.low, part.high, strict=True)]
        widest = int(np.argmax(widths)) if widths else -1
        return widest if widths and widths[widest] > 1 else None
    return worst


def _with(values: tuple[int, ...], index: int, value: int) -> tuple[int, ...]:
    return (*values[:index], value, *values[index + 1 :])
