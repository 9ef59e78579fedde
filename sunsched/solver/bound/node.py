"""A node of the search: plans whose matches have their references in given intervals.

Let each matched shot pick a reference of its own in its match's interval, and charge it the drift
from that: a bound. The picks are made to agree by multipliers: μ points for picking a reference,
which add up to nothing over the shots of a match, so that they cancel where all pick the same.
(Lagrangian decomposition: Guignard and Kim, Mathematical Programming 39(2), 1987.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sunsched.light.fit import BoolArray, IntArray
from sunsched.solver.bound.ng_states import Memory
from sunsched.solver.certificate.record import Note
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import LOST, NEVER, SCALE, Tables
from sunsched.solver.machine.function import compiled
from sunsched.solver.timing.references import DriftArray

FloatArray = npt.NDArray[np.float64]

BLOCKS = 12  # stretches of an interval; all references of one have one price; fewer settle sooner
KEPT = 0.7  # share of the last direction that is kept (Camerini, Fratta and Maffioli, 1975)


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """Plans with references from `low` to below `high` for each match, and what bounds them.

    Attributes
    ----------
    bound : scaled; no plan of the node is worth more
    reached : the bound that prices alone have reached, with what states remembered then
    prices : (n,) λ, scaled, of making a shot
    sun_prices : (n, R) μ, scaled, of a shot's picking a reference; zero over a match
    memory : what states remember
    alive : (T, 2, M) the cells that a plan better than the best known one can pass
    are_suns_priced : whether steps move μ too; without, λ settles sooner
    length : of the next subgradient step, 1 for the full one of Polyak
    rounds : how often the node was worked on
    depth : how often an interval was halved on the way to it
    is_solved : whether a beam has found its best order, as it is charged
    room : labels in a layer of a beam
    beam_left : the share that the last beam left of the gap that prices had reached
    tried_cells : cells alive then
    note : its place in the certificate of the proof; None where none is asked for
    """

    low: tuple[int, ...]
    high: tuple[int, ...]
    bound: int
    reached: int
    prices: IntArray
    sun_prices: IntArray
    memory: Memory
    alive: BoolArray
    are_suns_priced: bool
    length: float
    rounds: int
    depth: int
    is_solved: bool
    room: int
    beam_left: float
    tried_cells: int
    note: Note | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Charged:
    """What each start earns in a node, and what to add to every path for the prices of suns.

    `gain` is (K, n, T), `constant` scaled.
    """

    gain: IntArray
    constant: int


def charged(tables: Tables, problem: Problem, node: Node) -> Charged:
    """Charge each matched start for the reference that it picks."""
    gain = tables.gain.copy()
    low, high = (np.array(ends, dtype=np.int64) for ends in (node.low, node.high))
    constant = charge(gain, problem.drift, problem.match, low, high, node.sun_prices)
    return Charged(gain=gain, constant=int(constant))


@compiled()
def charge(
    gain: IntArray,
    drift: DriftArray,
    match: IntArray,
    low: IntArray,
    high: IntArray,
    sun_prices: IntArray,
) -> int:
    """Charge each matched start the least of drift and price, in place, and give the constant."""
    constant = 0
    for s in range(gain.shape[1]):
        group = match[s]
        if group < 0:
            continue
        # Over slices that start at 0 these loops take a fifth of the time.
        prices = sun_prices[s, low[group] : high[group]]
        # A shot that is left out picks the cheapest reference, so that is what starts start from.
        free = prices[0]
        for r in range(1, len(prices)):
            free = min(free, prices[r])
        constant -= free
        for t in range(gain.shape[2]):
            can_start = False
            for k in range(gain.shape[0]):
                can_start |= gain[k, s, t] > LOST
            if not can_start:
                continue
            costs = drift[s, t, low[group] : high[group]]
            least = costs[0] * SCALE + prices[0]
            for r in range(1, len(costs)):
                least = min(least, costs[r] * SCALE + prices[r])
            for k in range(gain.shape[0]):
                if gain[k, s, t] > LOST:
                    gain[k, s, t] -= least - free
    return constant


@compiled()
def push_suns(
    drift: DriftArray,
    match: IntArray,
    low: IntArray,
    high: IntArray,
    sun_prices: IntArray,
    path: IntArray,
    push: FloatArray,
) -> float:
    """Turn the direction of the last step into that of the next, in place: (n, R).

    The pick of each shot on the path gets more expensive for it and cheaper for the others of its
    match. Of the last direction 0.7 is kept. Gives the sum of squares.
    """
    n, suns = push.shape
    size = 0.0
    for s in range(n):
        for r in range(suns):
            push[s, r] *= KEPT
    for place in range(len(path)):
        s, t = path[place, 0], path[place, 1]
        group = match[s]
        if group < 0:
            continue
        pick, least = low[group], NEVER
        for r in range(low[group], high[group]):
            cost = drift[s, t, r] * SCALE + sun_prices[s, r]
            if r == low[group] or cost < least:
                pick, least = r, cost
        width = max(1, (high[group] - low[group]) // BLOCKS)
        start = low[group] + (pick - low[group]) // width * width
        members = 0
        for other in range(n):
            members += match[other] == group
        for r in range(start, min(start + width, high[group])):
            push[s, r] += 1.0
            for other in range(n):
                if match[other] == group:
                    push[other, r] -= 1.0 / members
    for s in range(n):
        for r in range(suns):
            size += push[s, r] * push[s, r]
    return size


@compiled()
def move_suns(match: IntArray, sun_prices: IntArray, push: FloatArray, length: float) -> IntArray:
    """Give prices a step further, in whole numbers that add up to nothing over each match."""
    n, suns = push.shape
    moved = np.empty((n, suns), dtype=np.int64)
    groups = 0
    for s in range(n):
        groups = max(groups, match[s] + 1)
        for r in range(suns):
            moved[s, r] = sun_prices[s, r]
    for group in range(groups):
        for r in range(suns):
            total = 0
            first = -1
            for s in range(n):
                if match[s] == group:
                    moved[s, r] += round(length * push[s, r])
                    total += moved[s, r]
                    if first < 0:
                        first = s
            moved[first, r] -= total
    return moved


def balanced(match: IntArray, sun_prices: IntArray) -> IntArray:
    """Give prices that add up to nothing over each match, and are nothing without one."""
    whole = np.where(match[:, None] >= 0, sun_prices, 0)
    none = np.zeros(whole.shape)
    moved: IntArray = move_suns(match, whole, none, 0.0)
    return moved
