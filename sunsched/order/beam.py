"""The best order of a part of a day's plans, by a beam of labels.

Layer by layer each label is extended by every shot left. A layer keeps the labels with the highest
bounds; if none had to go for want of room, no plan of the part is better than the best one known
now. (Labels with completion bounds: Righini and Salani, Networks 51(3), 2008.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sunsched.order.bound import Sweep
from sunsched.order.fit import IntArray
from sunsched.order.labels import BOUND, LAST, PARENT, SLOT, Labels, Suns, extend
from sunsched.order.part import Charged, Part
from sunsched.order.problem import Problem
from sunsched.order.tables import NEVER, Tables


@dataclass(frozen=True, slots=True, kw_only=True)
class Beam:
    """What a beam of labels found.

    `bound` is scaled, and at most the value to beat if nothing beats it; `is_exact` when no label
    went for want of room. `path` is the best order of those that beat it, (length, 2) shots and
    slots, None for none; `labels` counts all that were kept.
    """

    bound: int
    is_exact: bool
    path: IntArray | None
    labels: int


def search_labels(
    tables: Tables,
    problem: Problem,
    part: Part,
    earned: Charged,
    swept: Sweep,
    value: int,
    *,
    is_whole: bool,
) -> Beam:
    """Look for orders of a part that are worth more than `value`.

    Parameters
    ----------
    swept : a sweep of the part: the bound of the rest
    is_whole : whether a match's shots pick one reference together; else each picks its own, which
        fewer labels have to tell apart. A whole search ends when a layer has no room.
    """
    memory, room = part.memory, part.room
    n, slots = problem.shots, problem.slots
    suns, to_make, constant = _apart(problem), part.prices, earned.constant
    if is_whole:
        suns, constant = _together(problem, part), 0
        to_make = part.prices - _free(part, suns)
    else:
        tables = tables._replace(gain=earned.gain)
    picks_alone = not is_whole and len(part.low) > 0
    layer = _rows(1, suns)
    layer.columns[0, LAST] = n
    layers = [layer.columns]
    fresh = _rows((4 if is_whole else 16) * room + 2 * n * slots, suns)
    rows = len(fresh.columns)
    heads = np.empty(1 << rows.bit_length(), dtype=np.int64)
    chain = np.empty(rows, dtype=np.int64)
    top = np.zeros(3, dtype=np.int64)
    best, dropped, labels, path = value - constant, NEVER, 0, None
    while len(layers) <= n and len(layer.columns):
        at, count, before, floor = 0, 0, best, NEVER
        while at < len(layer.columns):
            at, count, best, below = extend(
                tables,
                earned.gain,
                part.prices,
                to_make,
                suns,
                memory.first,
                memory.to,
                part.alive,
                picks_alone,
                swept.ahead,
                swept.rest,
                layer,
                at,
                fresh,
                count,
                heads,
                chain,
                best,
                floor,
                top,
            )
            dropped = max(dropped, below)
            bounds = fresh.columns[:count, BOUND]
            kept = np.flatnonzero(bounds > best)
            if len(kept) > room:
                if is_whole:
                    return Beam(bound=-NEVER, is_exact=False, path=path, labels=labels + len(kept))
                rank = np.argpartition(-bounds[kept], room)
                floor = int(bounds[kept[rank[room]]])
                dropped = max(dropped, floor)
                kept = np.sort(kept[rank[:room]])
            count = len(kept)
            for field in fresh:
                field[:count] = field[kept]
        if best > before:
            path = _traced(layers, top)
        labels += count
        # The most promising first: the others then find less room, and cost less.
        rank = np.argsort(-fresh.columns[:count, BOUND], kind="stable")
        layer = Labels(
            columns=fresh.columns[rank], charged=fresh.charged[rank], drifts=fresh.drifts[rank]
        )
        layers.append(layer.columns)
    return Beam(
        bound=max(best, dropped) + constant, is_exact=dropped == NEVER, path=path, labels=labels
    )


def _together(problem: Problem, part: Part) -> Suns:
    widths = [high - low for low, high in zip(part.low, part.high, strict=True)]
    return Suns(
        low=np.array(part.low, dtype=np.int64),
        high=np.array(part.high, dtype=np.int64),
        place=np.cumsum([0, *widths], dtype=np.int64),
        drift=problem.drift,
        match=problem.match,
        prices=part.sun_prices,
    )


def _apart(problem: Problem) -> Suns:
    """Give what labels of a day without matches need to know of references: nothing."""
    none = np.zeros(0, dtype=np.int64)
    return Suns(
        low=none,
        high=none,
        place=np.zeros(1, dtype=np.int64),
        drift=problem.drift,
        match=np.full(problem.shots, -1, dtype=np.int64),
        prices=np.zeros((problem.shots, 0), dtype=np.int64),
    )


def _free(part: Part, suns: Suns) -> IntArray:
    """Give what each shot is charged for a reference when it is left out: (n,)."""
    free = np.zeros(len(suns.match), dtype=np.int64)
    for shot in np.flatnonzero(suns.match >= 0):
        group = suns.match[shot]
        free[shot] = part.sun_prices[shot, part.low[group] : part.high[group]].min()
    return free


def _rows(count: int, suns: Suns) -> Labels:
    groups = len(suns.low)
    return Labels(
        columns=np.zeros((count, 8), dtype=np.int64),
        charged=np.zeros((count, groups), dtype=np.int64),
        drifts=np.zeros((count, int(suns.place[groups])), dtype=np.int32),
    )


def _traced(layers: list[IntArray], top: IntArray) -> IntArray:
    """Give the order that a label of the last layer stands for, and a shot and slot after it."""
    label, *last = top.tolist()
    path = [last]
    for layer in layers[:0:-1]:
        path.append(layer[label, [LAST, SLOT]].tolist())
        label = int(layer[label, PARENT])
    return np.array(path[::-1], dtype=np.int64)
