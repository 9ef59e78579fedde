"""The exact best order of a day without matches, or of one part of a day with them.

Labels are beginnings of orders: which shots are made, the last of them, its start, whether the meal
is taken, and the value so far. Layer by layer each is extended by every shot left. A label goes
when its value and the bound of its rest cannot beat the best plan, or when another with the same
shots and the same last one starts no later and is worth no less. If no layer overflows, what is
left is a proof. (Labels with completion bounds: Righini and Salani, Networks 51(3), 2008.)
"""

from __future__ import annotations

import numpy as np
from numba import njit

from sunsched.order.bound import Sweep, sweep
from sunsched.order.fit import BoolArray, IntArray
from sunsched.order.tables import LOST, NEVER, Tables

MASK, LAST, SLOT, FED, VALUE = range(5)  # columns of a label


def exact_value(
    tables: Tables, gain: IntArray, prices: IntArray, value: int, room: int
) -> int | None:
    """Give the best value of any order, or `value` if none beats it; None when room ran out.

    Parameters
    ----------
    gain : (K, n, T) what each start earns
    prices : (n,) good prices for the bound of the rest
    value : scaled value of a plan already known
    room : labels in one layer before the proof is given up
    """
    n = gain.shape[1]
    swept = Sweep.empty(gain)
    sweep(tables, gain, prices, swept)
    layer = np.array([[0, n, 0, 0, 0]], dtype=np.int64)
    fresh = np.empty((room, 5), dtype=np.int64)
    best = value
    for _ in range(n):
        count, best = extend(tables, gain, prices, swept, layer, fresh, best)
        if count < 0:
            return None
        layer = _undominated(fresh[:count])
        if not len(layer):
            break
    return best


def _undominated(labels: IntArray) -> IntArray:
    """Keep the labels that none with the same shots, last shot and meal beats in time and value."""
    order = np.lexsort(
        (-labels[:, VALUE], labels[:, SLOT], labels[:, FED], labels[:, LAST], labels[:, MASK])
    )
    labels = labels[order]
    return labels[undominated(labels)]


@njit(cache=True)
def undominated(labels: IntArray) -> BoolArray:
    """Mark the labels to keep; they are sorted by shots, last, meal, slot and falling value."""
    keep = np.zeros(len(labels), dtype=np.bool_)
    best = NEVER
    for i in range(len(labels)):
        if (
            i == 0
            or labels[i, MASK] != labels[i - 1, MASK]
            or labels[i, LAST] != labels[i - 1, LAST]
            or labels[i, FED] != labels[i - 1, FED]
        ):
            best = NEVER
        if labels[i, VALUE] > best:
            best = labels[i, VALUE]
            keep[i] = True
    return keep


@njit(cache=True)
def extend(
    tables: Tables,
    gain: IntArray,
    prices: IntArray,
    swept: Sweep,
    layer: IntArray,
    fresh: IntArray,
    best: int,
) -> tuple[int, int]:
    """Extend every label by every shot left.

    Parameters
    ----------
    layer : (labels, 5)
    fresh : (room, 5) filled here
    best : the value to beat

    Returns
    -------
    count : labels filled, −1 when there is no room
    best : the value to beat, raised by every order that is complete and better
    """
    _, n, slots = gain.shape
    kind, lag, lag_meal, roll_slots = tables.kind, tables.lag, tables.lag_meal, tables.roll_slots
    arc_cost, far, toll = tables.arc_cost, tables.far, tables.after_meal_cost
    end_cost, can_skip_meal = tables.end_cost, tables.can_skip_meal
    meal_from, meal_to = tables.meal_from, tables.meal_to
    ahead, after, rest, follower = swept.ahead, swept.after, swept.rest, swept.follower
    count = 0
    for i in range(len(layer)):
        mask, a, t, fed = layer[i, 0], layer[i, 1], layer[i, 2], layer[i, 3]
        left = 0
        for b in range(n):
            if not (mask >> b) & 1:
                left += prices[b]
        meal = max(t + roll_slots[a], meal_from)
        for b in range(n):
            if (mask >> b) & 1:
                continue
            cost = arc_cost[a, b]
            for x in range(n):
                if (mask >> x) & 1:
                    cost += far[x, b]
            k = kind[a, b]
            for eats in range(2 - fed):
                then = t + lag[a, b]
                here = layer[i, 4] - cost
                now_fed = fed
                if eats:
                    then = meal + lag_meal[a, b]
                    here -= toll[b]
                    now_fed = 1
                    if meal > meal_to:
                        continue
                record = LOST
                for u in range(then, slots):
                    rank = 1 if after[now_fed, k, b, u] == a else 0
                    if here + ahead[rank, now_fed, k, b, u] + left <= best:
                        break
                    if gain[k, b, u] <= record:
                        continue
                    record = gain[k, b, u]
                    worth = here + record
                    if now_fed or can_skip_meal[b, u]:
                        best = max(best, worth - end_cost[b, u])
                    rank = 1 if follower[now_fed, b, u] == a else 0
                    if worth + rest[rank, now_fed, b, u] + left - prices[b] <= best:
                        continue
                    if count == len(fresh):
                        return -1, best
                    fresh[count, 0] = mask | (1 << b)
                    fresh[count, 1] = b
                    fresh[count, 2] = u
                    fresh[count, 3] = now_fed
                    fresh[count, 4] = worth
                    count += 1
    return count, best
