"""The best order of a day without matches, or of one part of a day with them, by a beam of labels.

Labels are beginnings of orders: which shots are made, the last of them, its start, whether the meal
is taken, and the value so far. Layer by layer each is extended by every shot left. A label goes
when its value and the bound of its rest cannot beat the best plan, or when another with the same
shots and the same last one starts no later and is worth no less. A layer keeps the labels with the
highest bounds; if none had to go for want of room, what is found is proven. (Labels with completion
bounds: Righini and Salani, Networks 51(3), 2008.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numba import njit

from sunsched.order.bound import Sweep
from sunsched.order.fit import BoolArray, IntArray
from sunsched.order.part import Charged, Part
from sunsched.order.tables import LOST, NEVER, Tables

MASK, LAST, SLOT, FED, VALUE, BOUND, PARENT = range(7)  # columns of a label


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
    tables: Tables, part: Part, earned: Charged, swept: Sweep, is_open: BoolArray, value: int
) -> Beam:
    """Look for orders of a part that are worth more than `value`, as the part charges them.

    Parameters
    ----------
    swept : a sweep of the part over all open cells: the bound of the rest
    is_open : (T, 2, n) whether a shot may start in a slot, the meal taken before it (1) or not
    """
    gain, prices, memory, room = earned.gain, part.prices, part.memory, part.room
    _, n, slots = gain.shape
    value -= earned.constant
    largest = max((len(one) for one in memory.sets), default=0)
    sets = np.full((n, largest), -1, dtype=np.int64)
    for shot, one in enumerate(memory.sets):
        sets[shot, : len(one)] = one
    layers = [np.array([[0, n, 0, 0, 0, 0, 0]], dtype=np.int64)]
    fresh = np.empty((16 * room + 2 * n * slots, 7), dtype=np.int64)
    heads = np.empty(1 << len(fresh).bit_length(), dtype=np.int64)
    chain = np.empty(len(fresh), dtype=np.int64)
    top = np.zeros(3, dtype=np.int64)
    best, dropped, labels, path = value, NEVER, 0, None
    while len(layers) <= n and len(layers[-1]):
        at, count, before, floor = 0, 0, best, NEVER
        while at < len(layers[-1]):
            at, count, best, below = extend(
                tables,
                gain,
                prices,
                memory.first,
                sets,
                is_open,
                swept.ahead,
                swept.rest,
                layers[-1],
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
            kept = fresh[:count]
            kept = kept[kept[:, BOUND] > best]
            if len(kept) > room:
                rank = np.argpartition(-kept[:, BOUND], room)
                floor = int(kept[rank[room], BOUND])
                dropped = max(dropped, floor)
                kept = kept[np.sort(rank[:room])]
            count = len(kept)
            fresh[:count] = kept
        if best > before:
            path = _traced(layers, top)
        labels += count
        # The most promising first: the others then find less room, and cost less.
        layers.append(fresh[np.argsort(-fresh[:count, BOUND], kind="stable")].copy())
    return Beam(
        bound=max(best, dropped) + earned.constant,
        is_exact=dropped == NEVER,
        path=path,
        labels=labels,
    )


def _traced(layers: list[IntArray], top: IntArray) -> IntArray:
    """Give the order that a label of the last layer stands for, and a shot and slot after it."""
    label, *last = top.tolist()
    path = [last]
    for layer in layers[:0:-1]:
        path.append(layer[label, [LAST, SLOT]].tolist())
        label = int(layer[label, PARENT])
    return np.array(path[::-1], dtype=np.int64)


@njit(cache=True)
def extend(
    tables: Tables,
    gain: IntArray,
    prices: IntArray,
    first: IntArray,
    sets: IntArray,
    is_open: BoolArray,
    ahead: IntArray,
    rest: IntArray,
    layer: IntArray,
    at: int,
    fresh: IntArray,
    count: int,
    heads: IntArray,
    chain: IntArray,
    best: int,
    floor: int,
    top: IntArray,
) -> tuple[int, int, int, int]:
    """Extend labels by every shot left, from label `at` on, until all are done or `fresh` is full.

    Parameters
    ----------
    sets : (n, largest set) the memory's sets, filled up with −1
    layer, fresh : (labels, 7); `fresh` holds `count` labels and gets more
    heads, chain : scratch space, for finding labels of the same shots, last shot and meal; a power
        of two long, and as long as `fresh`
    best : the value to beat
    floor : labels with a bound below this have no room
    top : (3,) label, shot and slot of the best complete order, filled here when one beats it

    Returns
    -------
    at, count : the first label not extended, and the labels in `fresh`
    best : the value to beat, raised by every order that is complete and better
    below : the highest bound of those that had no room
    """
    _, n, slots = gain.shape
    kind, lag, lag_meal, roll_slots = tables.kind, tables.lag, tables.lag_meal, tables.roll_slots
    arc_cost, far, toll = tables.arc_cost, tables.far, tables.after_meal_cost
    end_cost, can_skip_meal = tables.end_cost, tables.can_skip_meal
    below = NEVER
    heads[:] = -1
    for j in range(count):
        place = _place(fresh[j, 0], fresh[j, 1], fresh[j, 3], len(heads))
        chain[j] = heads[place]
        heads[place] = j
    for i in range(at, len(layer)):
        if count + 2 * n * slots > len(fresh):
            return i, count, best, below
        mask, a, t, fed = layer[i, 0], layer[i, 1], layer[i, 2], layer[i, 3]
        left = 0
        for b in range(n):
            if not (mask >> b) & 1:
                left += prices[b]
        meal = max(t + roll_slots[a], tables.meal_from)
        for b in range(n):
            if (mask >> b) & 1:
                continue
            cost = arc_cost[a, b]
            for x in range(n):
                if (mask >> x) & 1:
                    cost += far[x, b]
            state = first[b]
            for place in range(sets.shape[1]):
                x = sets[b, place]
                if x >= 0 and (mask >> x) & 1:
                    state += 1 << place
            k = kind[a, b]
            for eats in range(2 - fed):
                then = t + lag[a, b]
                here = layer[i, 4] - cost
                now_fed = fed
                if eats:
                    then = meal + lag_meal[a, b]
                    here -= toll[b]
                    now_fed = 1
                    if meal > tables.meal_to:
                        continue
                record = LOST
                for u in range(then, slots):
                    if here + ahead[u, now_fed, k, state] + left <= best:
                        break
                    if gain[k, b, u] <= record or not is_open[u, now_fed, b]:
                        continue
                    record = gain[k, b, u]
                    worth = here + record
                    if now_fed or can_skip_meal[b, u]:
                        finished = worth - end_cost[b, u]
                        if finished > best:
                            best = finished
                            top[0], top[1], top[2] = i, b, u
                    bound = worth + rest[u, now_fed, state] + left - prices[b]
                    if bound <= best:
                        continue
                    if bound < floor:
                        below = max(below, bound)
                        continue
                    made = mask | (1 << b)
                    spot = _place(made, b, now_fed, len(heads))
                    j = heads[spot]
                    is_beaten = False
                    while j >= 0 and not is_beaten:
                        if fresh[j, 0] == made and fresh[j, 1] == b and fresh[j, 3] == now_fed:
                            if fresh[j, 2] <= u and fresh[j, 4] >= worth:
                                is_beaten = True
                            elif fresh[j, 2] >= u and fresh[j, 4] <= worth:
                                break
                        j = chain[j]
                    if is_beaten:
                        continue
                    if j < 0:
                        j = count
                        count += 1
                        chain[j] = heads[spot]
                        heads[spot] = j
                    fresh[j, 0] = made
                    fresh[j, 1] = b
                    fresh[j, 2] = u
                    fresh[j, 3] = now_fed
                    fresh[j, 4] = worth
                    fresh[j, 5] = bound
                    fresh[j, 6] = i
    return len(layer), count, best, below


@njit(cache=True)
def _place(mask: int, last: int, fed: int, size: int) -> int:
    """Give where labels of these shots, last shot and meal are found; `size` is a power of two."""
    mixed = (mask ^ (mask >> 17)) * 0x9E3779B1 + last * 0x85EBCA6B + fed * 0xC2B2AE35
    return int((mixed ^ (mixed >> 15)) & (size - 1))
