"""The best order of a node, by label setting with completion bounds, cut to a beam.

Layer by layer each label is extended by every shot left. A layer keeps the labels with the highest
bounds; if none had to go because there was no room, no plan of the node is better than the
incumbent now. (Labels with completion bounds: Righini and Salani, Networks 51(3), 2008.)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.bound.dominance import (
    BELOW,
    BEST,
    BOUND,
    COUNT,
    FLOOR,
    LAST,
    PARENT,
    SLOT,
    STATE,
    TOP_LABEL,
    TOP_SLOT,
    Fresh,
    Labels,
)
from sunsched.solver.bound.labels import Frame, Suns, extend
from sunsched.solver.bound.lagrangian import Sweep
from sunsched.solver.bound.node import Charged, Node
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import NEVER, Tables

BYTES = 400_000_000  # bytes of memory that the labels of a search may take
SPARE = 16  # a layer is cut when it has this many times the labels that it may keep
LABEL_STEPS = 30  # the work of extending a label by one shot, in steps of a sweep


@dataclass(frozen=True, slots=True, kw_only=True)
class Beam:
    """What a beam of labels found.

    `bound` is scaled, and at most the value to beat if nothing beats it; `is_exact` when no label
    went because there was no room. `path` is the best order of those that beat it, (length, 2)
    shots and slots, None for none.
    """

    bound: int
    is_exact: bool
    path: IntArray | None


def search_apart(
    tables: Tables,
    problem: Problem,
    node: Node,
    earned: Charged,
    swept: Sweep,
    value: int,
    spend: Callable[[int], None],
) -> Beam:
    """Look for orders worth more than `value` where each shot of a match picks its own reference.

    Few labels tell such orders apart. `swept` is a sweep of the node: the bound of the rest;
    `spend` is told of the work, and what it raises ends the search.
    """
    suns, constant = _apart(problem), earned.constant
    charged = tables._replace(gain=earned.gain)
    frame = _frame(charged, earned, node, swept, suns, picks_alone=len(node.low) > 0)
    rows = SPARE * node.room + 2 * problem.shots * problem.slots
    beam = _searched(frame, node.room, rows, value - constant, spend, gives_up=False)
    return replace(beam, bound=beam.bound + constant)


def search_together(
    tables: Tables,
    problem: Problem,
    node: Node,
    earned: Charged,
    swept: Sweep,
    value: int,
    spend: Callable[[int], None],
) -> Beam:
    """Look for orders worth more than `value` where the shots of a match pick one reference.

    It ends when a layer has no room. `swept` and `spend` are as in `search_apart`.
    """
    suns = _together(problem, node)
    rows = 4 * node.room + 2 * problem.shots * problem.slots
    if rows * 4 * int(suns.place[-1]) > BYTES:
        return Beam(bound=-NEVER, is_exact=False, path=None)
    frame = _frame(tables, earned, node, swept, suns, picks_alone=False)
    return _searched(frame, node.room, rows, value, spend, gives_up=True)


def most_room(shots: int) -> int:
    """Give how many labels a layer may keep, so that all layers of a search fit in memory."""
    return BYTES // ((shots + SPARE) * (STATE + 1) * 8)


def _frame(
    tables: Tables, earned: Charged, node: Node, swept: Sweep, suns: Suns, *, picks_alone: bool
) -> Frame:
    return Frame(
        tables=tables,
        gain=earned.gain,
        prices=node.prices,
        to_make=node.prices - _free(node, suns),
        suns=suns,
        first=node.memory.first,
        to=node.memory.to,
        alive=node.alive,
        picks_alone=picks_alone,
        ahead=swept.ahead,
        rest=swept.rest,
    )


def _searched(
    frame: Frame,
    room: int,
    rows: int,
    best: int,
    spend: Callable[[int], None],
    *,
    gives_up: bool,
) -> Beam:
    """Extend layer by layer; a search that gives up ends where one has no room.

    Parameters
    ----------
    room, rows : labels that a layer keeps, and those that may stand before it is cut
    """
    n = len(frame.to_make)
    layer = _rows(1, frame.suns)
    layer.columns[0, LAST] = n
    layers = [layer.columns]
    labels = _rows(rows, frame.suns)
    heads = np.empty(1 << rows.bit_length(), dtype=np.int64)
    tally = np.zeros(TOP_SLOT + 1, dtype=np.int64)
    fresh = Fresh(labels=labels, heads=heads, chain=np.empty(rows, dtype=np.int64), tally=tally)
    tally[BEST] = best
    dropped, path = NEVER, None
    while len(layers) <= n and len(layer.columns):
        at, before = 0, tally[BEST]
        tally[[COUNT, FLOOR]] = 0, NEVER
        while at < len(layer.columns):
            tally[BELOW] = NEVER
            at = extend(frame, layer, at, fresh)
            spend(0)  # a layer with much room takes long: the clock is looked at on the way
            dropped = max(dropped, int(tally[BELOW]))
            bounds = labels.columns[: tally[COUNT], BOUND]
            kept = np.flatnonzero(bounds > tally[BEST])
            if len(kept) > room:
                if gives_up:
                    spend(LABEL_STEPS * len(kept) * n)
                    return Beam(bound=-NEVER, is_exact=False, path=path)
                rank = np.argpartition(-bounds[kept], room)
                tally[FLOOR] = bounds[kept[rank[room]]]
                dropped = max(dropped, int(tally[FLOOR]))
                kept = np.sort(kept[rank[:room]])
            tally[COUNT] = len(kept)
            for field in labels:
                field[: len(kept)] = field[kept]
        if tally[BEST] > before:
            path = _traced(layers, tally[TOP_LABEL : TOP_SLOT + 1])
        count = int(tally[COUNT])
        spend(LABEL_STEPS * count * n)
        # The most promising first: the others then find less room, and cost less.
        rank = np.argsort(-labels.columns[:count, BOUND], kind="stable")
        layer = Labels(
            columns=labels.columns[rank], charged=labels.charged[rank], drifts=labels.drifts[rank]
        )
        layers.append(layer.columns)
    return Beam(bound=max(int(tally[BEST]), dropped), is_exact=dropped == NEVER, path=path)


def _together(problem: Problem, node: Node) -> Suns:
    widths = [high - low for low, high in zip(node.low, node.high, strict=True)]
    return Suns(
        low=np.array(node.low, dtype=np.int64),
        high=np.array(node.high, dtype=np.int64),
        place=np.cumsum([0, *widths], dtype=np.int64),
        drift=problem.drift,
        match=problem.match,
        prices=node.sun_prices,
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


def _free(node: Node, suns: Suns) -> IntArray:
    """Give what each shot is charged for a reference when it is left out: (n,)."""
    free = np.zeros(len(suns.match), dtype=np.int64)
    for shot in np.flatnonzero(suns.match >= 0):
        group = suns.match[shot]
        free[shot] = node.sun_prices[shot, node.low[group] : node.high[group]].min()
    return free


def _rows(count: int, suns: Suns) -> Labels:
    groups = len(suns.low)
    return Labels(
        columns=np.zeros((count, STATE + 1), dtype=np.int64),
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
