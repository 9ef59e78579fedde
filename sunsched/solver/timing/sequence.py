"""The best times for a given sequence, and the best place for one more shot in it (compiled).

A sequence alone decides everything: the exact start of every shot, every wait and the meal's place
come from a small dynamic programme over slots with two states (meal taken or not). All work goes
row by row: a row holds one value for each slot.
"""

from __future__ import annotations

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.instance.tables import BARRED, LOST, NEVER, Tables
from sunsched.solver.machine.function import compiled


@compiled()
def arrive(tables: Tables, before: IntArray, row: int, a: int, b: int, reach: IntArray) -> None:
    """Fill the best value with which shot b can start in each slot after prefix `row`, ending in a.

    Parameters
    ----------
    before : (2, n+1, T) see `fill_before`
    reach : (2, T) filled here: without and with the meal taken
    """
    slots = reach.shape[1]
    lag = tables.lag[a, b]
    lag_fed = tables.lag_fed[a, b]
    eat_by = tables.eat_by[a]
    toll = tables.after_meal_cost[b]
    hungry = before[0, row]
    fed = before[1, row]
    reach0 = reach[0]
    reach1 = reach[1]
    for t in range(min(lag, slots)):
        reach0[t] = NEVER
        reach1[t] = NEVER
    for t in range(lag, slots):
        reach0[t] = hungry[t - lag]
        reach1[t] = fed[t - lag]
    if eat_by >= 0:
        for t in range(max(lag_fed, tables.fed_from[a, b]), slots):
            eaten = hungry[min(t - lag_fed, eat_by)] - toll
            reach1[t] = max(reach1[t], eaten)


@compiled()
def leave(tables: Tables, ahead: IntArray, row: int, a: int, b: int, rest: IntArray) -> None:
    """Fill the best value of the rest, from row's shot b on, when a starts in each slot.

    Parameters
    ----------
    ahead : (2, K, n+1, T) see `fill_ahead`
    rest : (2, T) filled here: without and with the meal taken before a
    """
    slots = rest.shape[1]
    lag = tables.lag[a, b]
    lag_fed = tables.lag_fed[a, b]
    fed_from = tables.fed_from[a, b]
    cost = tables.arc_cost[a, b]
    toll = cost + tables.after_meal_cost[b]
    hungry = ahead[0, tables.kind[a, b], row]
    fed = ahead[1, tables.kind[a, b], row]
    rest0 = rest[0]
    rest1 = rest[1]
    for t in range(slots - lag):
        rest0[t] = hungry[t + lag] - cost
        rest1[t] = fed[t + lag] - cost
    for t in range(max(0, slots - lag), slots):
        rest0[t] = NEVER
        rest1[t] = NEVER
    for t in range(max(0, min(slots, tables.eat_by[a] + 1))):
        then = max(t + lag_fed, fed_from)
        if then < slots:
            rest0[t] = max(rest0[t], fed[then] - toll)


@compiled()
def leave_last(tables: Tables, a: int, rest: IntArray) -> None:
    """Fill what the day's end costs when shot a is the last and starts in each slot."""
    for t in range(rest.shape[1]):
        rest[1, t] = -tables.end_cost[a, t]
        rest[0, t] = rest[1, t] if tables.can_skip_meal[a, t] else NEVER


@compiled()
def fill_before(tables: Tables, seq: IntArray, length: int, before: IntArray, first: int) -> None:
    """Fill the best value of each prefix by the slot in which its last shot starts.

    Parameters
    ----------
    before : (2, n+1, T); [m, i, t] is the best value of the first i shots, the last of them started
        in slot t or earlier, the meal taken (m = 1) or not; row 0 is the start of the day
    first : the place from which on the sequence has changed since it was last filled
    """
    slots = before.shape[2]
    reach = np.empty((2, slots), dtype=np.int64)
    if first == 0:
        for t in range(slots):
            before[0, 0, t] = 0
            before[1, 0, t] = NEVER
    for i in range(first, length):
        a = seq[i - 1] if i > 0 else tables.gain.shape[1]
        b = seq[i]
        arrive(tables, before, i, a, b, reach)
        gain = tables.gain[tables.kind[a, b], b]
        cost = tables.arc_cost[a, b]
        for m in range(2):
            into = before[m, i + 1]
            best = NEVER
            for t in range(slots):
                if gain[t] > LOST:
                    best = max(best, reach[m, t] + gain[t] - cost)
                into[t] = best


@compiled()
def fill_ahead(tables: Tables, seq: IntArray, length: int, ahead: IntArray, last: int) -> int:
    """Fill the best value of each suffix by the slot from which its first shot may start.

    Gives the best value of the whole sequence, pair costs left out; NEVER for an empty one.

    Parameters
    ----------
    ahead : (2, K, n+1, T); [m, k, i, t] is the best value of shots i and on, shot i built in way k
        and started in slot t or later, the meal taken before it (m = 1) or not
    last : the place up to which the sequence has changed since it was last filled
    """
    slots = ahead.shape[3]
    rest = np.empty((2, slots), dtype=np.int64)
    if length == 0:
        return NEVER
    for i in range(min(last, length - 1), -2, -1):
        a = seq[i] if i >= 0 else tables.gain.shape[1]
        if i == length - 1:
            leave_last(tables, a, rest)
        else:
            leave(tables, ahead, i + 1, a, seq[i + 1], rest)
        if i < 0:
            break
        for k in range(ahead.shape[1]):
            gain = tables.gain[k, a]
            for m in range(2):
                into = ahead[m, k, i]
                best = NEVER
                for t in range(slots - 1, -1, -1):
                    if gain[t] > LOST:
                        best = max(best, gain[t] + rest[m, t])
                    into[t] = best
    return int(rest[0, 0])


@compiled()
def shift_ahead(ahead: IntArray, place: int, length: int) -> None:
    """Move the suffixes behind a place by one: a shot has come in there, giving this length."""
    # Plain loops: an assignment between slices takes seconds to compile.
    for m in range(2):
        for k in range(ahead.shape[1]):
            for i in range(length - 1, place, -1):
                for t in range(ahead.shape[3]):
                    ahead[m, k, i, t] = ahead[m, k, i - 1, t]


@compiled()
def best_times(tables: Tables, seq: IntArray, length: int) -> tuple[int, IntArray, int]:
    """Give a sequence's best value, its start slots and the place of its meal.

    Returns
    -------
    value : scaled points, pair costs left out; below LOST when the sequence cannot be timed
    starts : (length,) slots, each as early as the value allows
    meal : index of the shot that the meal precedes, −1 for no meal
    """
    slots = tables.gain.shape[2]
    ahead = np.empty((2, tables.gain.shape[0], length + 1, slots), dtype=np.int64)
    rest = np.empty((2, slots), dtype=np.int64)
    fill_ahead(tables, seq, length, ahead, length)
    starts = np.zeros(length, dtype=np.int64)
    meal = -1
    fed = 0
    t = 0
    a = tables.gain.shape[1]
    leave(tables, ahead, 0, a, seq[0], rest)
    value = rest[0, 0]
    if value < LOST:
        return value, starts, meal
    for i in range(length):
        b = seq[i]
        kind = tables.kind[a, b]
        want = rest[fed, t] + tables.arc_cost[a, b]
        then = t + tables.lag[a, b]
        if then >= slots or ahead[fed, kind, i, then] != want:
            # Only the meal before this shot explains the value.
            then = max(t + tables.lag_fed[a, b], tables.fed_from[a, b])
            meal = i
            fed = 1
            want += tables.after_meal_cost[b]
        if i == length - 1:
            leave_last(tables, b, rest)
        else:
            leave(tables, ahead, i + 1, b, seq[i + 1], rest)
        gain = tables.gain[kind, b]
        t = then
        while gain[t] <= LOST or gain[t] + rest[fed, t] != want:
            t += 1
        starts[i] = t
        a = b
    return value, starts, meal


@compiled()
def pair_costs(tables: Tables, seq: IntArray, length: int) -> int:
    """Add up the pair costs of a sequence; with a pair that is forbidden, `BARRED` is enough."""
    total = 0
    for i in range(length):
        for j in range(i + 1, length):
            total = min(total + tables.far[seq[i], seq[j]], BARRED)
    return total


@compiled()
def best_insertion(
    tables: Tables, seq: IntArray, length: int, before: IntArray, ahead: IntArray, shot: int
) -> tuple[int, int]:
    """Give the best value of putting a shot into a sequence, and the place; pair costs included.

    `before` and `ahead` are filled for the sequence. The value leaves out the pair costs among the
    shots that stand already.
    """
    slots = tables.gain.shape[2]
    reach = np.empty((2, slots), dtype=np.int64)
    rest = np.empty((2, slots), dtype=np.int64)
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
        a = seq[i - 1] if i > 0 else tables.gain.shape[1]
        arrive(tables, before, i, a, shot, reach)
        if i == length:
            leave_last(tables, shot, rest)
        else:
            leave(tables, ahead, i, shot, seq[i], rest)
        gain = tables.gain[tables.kind[a, shot], shot]
        toll = tables.arc_cost[a, shot] + pairs
        for t in range(slots):
            if gain[t] > LOST:
                hungry = reach[0, t] + rest[0, t]
                value = gain[t] - toll + max(hungry, reach[1, t] + rest[1, t])
                if value > best:
                    best = value
                    place = i
    return best, place


@compiled()
def put(seq: IntArray, length: int, place: int, shot: int) -> None:
    """Insert a shot into a sequence of this length, in place."""
    for j in range(length, place, -1):
        seq[j] = seq[j - 1]
    seq[place] = shot
