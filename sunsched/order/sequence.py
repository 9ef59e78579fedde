"""The best times for a given sequence, and the best sequence near a given one (compiled).

A sequence alone decides everything: the exact start of every shot, every wait and the meal's place
come from a small dynamic programme over slots with two states (meal taken or not).
"""

from __future__ import annotations

import numpy as np
from numba import njit

from sunsched.order.fit import IntArray
from sunsched.order.tables import LOST, NEVER, Tables


@njit(cache=True)
def fill_before(tables: Tables, seq: IntArray, length: int, before: IntArray) -> None:
    """Fill the best value of each prefix by the slot in which its last shot starts.

    Parameters
    ----------
    before : (2, n+1, T); [m, i, t] is the best value of the first i shots, the last of them started
        in slot t or earlier, the meal taken (m = 1) or not; row 0 is the start of the day
    """
    slots = tables.gain.shape[2]
    start = tables.gain.shape[1]
    before[0, 0, :] = 0
    before[1, 0, :] = NEVER
    a = start
    for i in range(length):
        b = seq[i]
        gain = tables.gain[tables.kind[a, b], b]
        cost = tables.arc_cost[a, b]
        best0 = NEVER
        best1 = NEVER
        for t in range(slots):
            if gain[t] > LOST:
                reach0, reach1 = arrive(tables, before, i, a, b, t)
                best0 = max(best0, reach0 + gain[t] - cost)
                best1 = max(best1, reach1 + gain[t] - cost)
            before[0, i + 1, t] = best0
            before[1, i + 1, t] = best1
        a = b


@njit(cache=True)
def arrive(
    tables: Tables, before: IntArray, row: int, a: int, b: int, t: int
) -> tuple[int, int]:
    """Give the best value with which shot b can start in slot t after prefix `row` ending in a."""
    reach0 = NEVER
    reach1 = NEVER
    ago = t - tables.lag[a, b]
    if ago >= 0:
        reach0 = before[0, row, ago]
        reach1 = before[1, row, ago]
    meal = min(t - tables.lag_meal[a, b], tables.meal_to)
    if meal >= tables.meal_from and meal >= tables.roll_slots[a]:
        eaten = before[0, row, meal - tables.roll_slots[a]] - tables.after_meal_cost[b]
        reach1 = max(reach1, eaten)
    return reach0, reach1


@njit(cache=True)
def leave(tables: Tables, ahead: IntArray, row: int, a: int, b: int, t: int) -> tuple[int, int]:
    """Give the best value of the rest from row's shot b on, when a started in slot t."""
    slots = tables.gain.shape[2]
    kind = tables.kind[a, b]
    cost = tables.arc_cost[a, b]
    rest0 = NEVER
    rest1 = NEVER
    then = t + tables.lag[a, b]
    if then < slots:
        rest0 = ahead[0, kind, row, then] - cost
        rest1 = ahead[1, kind, row, then] - cost
    meal = max(t + tables.roll_slots[a], tables.meal_from)
    then = meal + tables.lag_meal[a, b]
    if meal <= tables.meal_to and then < slots:
        rest0 = max(rest0, ahead[1, kind, row, then] - cost - tables.after_meal_cost[b])
    return rest0, rest1


@njit(cache=True)
def fill_ahead(tables: Tables, seq: IntArray, length: int, ahead: IntArray) -> None:
    """Fill the best value of each suffix by the slot from which its first shot may start.

    Parameters
    ----------
    ahead : (2, K, n+1, T); [m, k, i, t] is the best value of shots i and on, shot i built in way k
        and started in slot t or later, the meal taken before it (m = 1) or not
    """
    slots = tables.gain.shape[2]
    for i in range(length - 1, -1, -1):
        a = seq[i]
        for k in range(tables.gain.shape[0]):
            ahead[0, k, i, slots - 1] = NEVER
            ahead[1, k, i, slots - 1] = NEVER
        for t in range(slots - 1, -1, -1):
            if i == length - 1:
                rest1 = -tables.end_cost[a, t]
                rest0 = rest1 if tables.can_skip_meal[a, t] else NEVER
            else:
                rest0, rest1 = leave(tables, ahead, i + 1, a, seq[i + 1], t)
            for k in range(tables.gain.shape[0]):
                gain = tables.gain[k, a, t]
                later0 = ahead[0, k, i, t + 1] if t + 1 < slots else NEVER
                later1 = ahead[1, k, i, t + 1] if t + 1 < slots else NEVER
                ahead[0, k, i, t] = max(later0, gain + rest0) if gain > LOST else later0
                ahead[1, k, i, t] = max(later1, gain + rest1) if gain > LOST else later1


@njit(cache=True)
def best_times(tables: Tables, seq: IntArray, length: int) -> tuple[int, IntArray, int]:
    """Give a sequence's best value, its start slots and the place of its meal.

    Returns
    -------
    value : scaled points, pair costs left out; below LOST when the sequence cannot be timed
    starts : (length,) slots, each as early as the value allows
    meal : index of the shot that the meal precedes, −1 for no meal
    """
    slots = tables.gain.shape[2]
    start = tables.gain.shape[1]
    ahead = np.empty((2, tables.gain.shape[0], length + 1, slots), dtype=np.int64)
    fill_ahead(tables, seq, length, ahead)
    starts = np.zeros(length, dtype=np.int64)
    meal = -1
    eaten = 0
    t = 0
    a = start
    value = 0
    for i in range(length):
        b = seq[i]
        kind = tables.kind[a, b]
        rest0, rest1 = leave(tables, ahead, i, a, b, t)
        want = rest1 if eaten else rest0
        if i == 0:
            value = want
            if value < LOST:
                return value, starts, meal
        then = t + tables.lag[a, b]
        cost = tables.arc_cost[a, b]
        if then >= slots or ahead[eaten, kind, i, then] - cost != want:
            then = max(t + tables.roll_slots[a], tables.meal_from) + tables.lag_meal[a, b]
            meal = i
            eaten = 1
        # The running maximum keeps its value up to the slot where it is earned.
        t = then
        while t + 1 < slots and ahead[eaten, kind, i, t + 1] == ahead[eaten, kind, i, then]:
            t += 1
        t = _first_slot(tables, ahead, seq, length, i, kind, eaten, then, t)
        starts[i] = t
        a = b
    return value, starts, meal


@njit(cache=True)
def _first_slot(
    tables: Tables,
    ahead: IntArray,
    seq: IntArray,
    length: int,
    i: int,
    kind: int,
    eaten: int,
    first: int,
    last: int,
) -> int:
    """Give the first slot from `first` to `last` in which starting shot i earns the maximum."""
    a = seq[i]
    for t in range(first, last):
        gain = tables.gain[kind, a, t]
        if gain <= LOST:
            continue
        if i == length - 1:
            rest = -tables.end_cost[a, t]
            if not eaten and not tables.can_skip_meal[a, t]:
                continue
        else:
            rest0, rest1 = leave(tables, ahead, i + 1, a, seq[i + 1], t)
            rest = rest1 if eaten else rest0
        if gain + rest == ahead[eaten, kind, i, first]:
            return t
    return last


@njit(cache=True)
def pair_costs(tables: Tables, seq: IntArray, length: int) -> int:
    """Add up the pair costs of a sequence."""
    total = 0
    for i in range(length):
        for j in range(i + 1, length):
            total += tables.far[seq[i], seq[j]]
    return total


@njit(cache=True)
def best_insertion(
    tables: Tables,
    seq: IntArray,
    length: int,
    before: IntArray,
    ahead: IntArray,
    shot: int,
) -> tuple[int, int]:
    """Give the best value of putting a shot into a sequence, and the place; pair costs included.

    `before` and `ahead` are filled for the sequence. The value leaves out the pair costs among the
    shots that stand already.
    """
    slots = tables.gain.shape[2]
    nobody = tables.gain.shape[1]
    best = NEVER
    place = -1
    pairs = 0
    for j in range(length):
        pairs += tables.far[shot, seq[j]]
    for i in range(length + 1):
        if i > 0:
            pairs += tables.far[seq[i - 1], shot] - tables.far[shot, seq[i - 1]]
        if pairs > -LOST:
            continue
        a = seq[i - 1] if i > 0 else nobody
        gain = tables.gain[tables.kind[a, shot], shot]
        toll = tables.arc_cost[a, shot] + pairs
        for t in range(slots):
            if gain[t] <= LOST:
                continue
            reach0, reach1 = arrive(tables, before, i, a, shot, t)
            if reach0 < LOST and reach1 < LOST:
                continue
            if i == length:
                rest1 = -tables.end_cost[shot, t]
                rest0 = rest1 if tables.can_skip_meal[shot, t] else NEVER
            else:
                rest0, rest1 = leave(tables, ahead, i, shot, seq[i], t)
            value = gain[t] - toll + max(reach0 + rest0, reach1 + rest1)
            if value > best:
                best = value
                place = i
    return best, place


@njit(cache=True)
def put(seq: IntArray, length: int, place: int, shot: int) -> None:
    """Insert a shot into a sequence of this length, in place."""
    for j in range(length, place, -1):
        seq[j] = seq[j - 1]
    seq[place] = shot


@njit(cache=True)
def take(seq: IntArray, length: int, place: int) -> int:
    """Take a shot out of a sequence of this length, in place."""
    shot = seq[place]
    for j in range(place, length - 1):
        seq[j] = seq[j + 1]
    return int(shot)
