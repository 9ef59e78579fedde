"""The best way to follow an order on the average day: a backward dynamic programme (compiled).

With the order fixed, the crew decides whenever it is free or ready: which of the next shots to
begin, whether to eat first, whether to stop; and when ready, in which minute to roll, or to give
the shot up. What comes after a decision is known by its chances, so the best decisions are found
backward from the end of the day (Bellman, Dynamic Programming, Princeton, 1957).

A state is the number i of shots behind (the crew stands where the last of them was built), whether
the meal was had, and the slot. One of the next `REACH` shots can be begun; those before it are then
left out for good.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from sunsched.average.model.odds import UNWANTED, Odds
from sunsched.light.fit import IntArray
from sunsched.sky.track import FloatArray

REACH = 3  # the next shot, or one after leaving out one or two


@njit(cache=True, nogil=True)
def fill_begun(
    odds: Odds, a: int, b: int, ready: FloatArray, scratch: FloatArray, begun: FloatArray
) -> None:
    """Fill the worth of beginning the changeover from a to b in each slot.

    Parameters
    ----------
    ready : (O, T) worth of being ready for b, by the opening in which the build began
    scratch : (T,)
    begun : (T,) filled here
    """
    slots = len(begun)
    law = odds.build_law[a, b]
    first, start, stop = odds.law_first[law], odds.law_from[law], odds.law_from[law + 1]
    for t in range(slots):
        begun[t] = UNWANTED
    for o in range(ready.shape[0]):
        since = odds.begin_from[o, a, b]
        if since >= slots:
            continue
        for t in range(since, slots):
            scratch[t] = 0.0
        then = ready[o]
        for k in range(start, stop):
            chance = odds.law_chance[k]
            lag = first + k - start
            whole = max(since, slots - lag)
            for t in range(since, whole):
                scratch[t] += chance * then[t + lag]
            late = chance * then[slots - 1]
            for t in range(whole, slots):
                scratch[t] += late
        early = scratch[since]
        for t in range(since):
            begun[t] = max(begun[t], early)
        for t in range(since, slots):
            begun[t] = max(begun[t], scratch[t])


@njit(cache=True, nogil=True)
def last_start(odds: Odds, room: int, shot: int, m: int) -> int:
    """Give the last slot in which a roll of a shot may start in a room, the meal had (1) or not."""
    last: int = odds.room_last[room] - 1
    if m == 0:
        last = min(last, odds.hungry_by[shot])
    return last


@njit(cache=True, nogil=True)
def room_of(odds: Odds, shot: int, m: int, o: int, t: int) -> int:
    """Give the room in which a shot can start to roll in a slot, −1 for none."""
    for room in range(odds.room_from[shot], odds.room_from[shot + 1]):
        if odds.room_opening[room] == o and odds.room_first[room] <= t <= last_start(
            odds, room, shot, m
        ):
            return room
    return -1


@njit(cache=True, nogil=True)
def fill_rolled(
    odds: Odds, room: int, shot: int, free: FloatArray, last: int, rolled: FloatArray
) -> None:
    """Fill the worth of rolling a shot in each slot of a room, up to slot `last`.

    Parameters
    ----------
    free : (T,) worth of being free after it
    rolled : (T,) filled from the room's first slot to `last`
    """
    law = odds.roll_law[shot]
    first, start, stop = odds.law_first[law], odds.law_from[law], odds.law_from[law + 1]
    begin, end = odds.room_first[room], odds.room_last[room]
    gain = odds.gain[room]
    for t in range(begin, last + 1):
        rolled[t] = gain[t]
    for k in range(start, stop):
        chance = odds.law_chance[k]
        lag = first + k - start
        whole = min(max(begin, end - lag + 1), last + 1)
        for t in range(begin, whole):
            rolled[t] += chance * free[t + lag]
        late = chance * free[end]
        for t in range(whole, last + 1):
            rolled[t] += late


@njit(cache=True, nogil=True)
def fill_ready(
    odds: Odds, shot: int, m: int, free: FloatArray, scratch: FloatArray, ready: FloatArray
) -> None:
    """Fill the worth of being ready: the best slot to roll in from there on, or to give it up."""
    openings, slots = ready.shape
    for o in range(openings):
        for t in range(slots):
            ready[o, t] = UNWANTED
    for room in range(odds.room_from[shot], odds.room_from[shot + 1]):
        last = last_start(odds, room, shot, m)
        if last < odds.room_first[room]:
            continue
        fill_rolled(odds, room, shot, free, last, scratch)
        into = ready[odds.room_opening[room]]
        for t in range(odds.room_first[room], last + 1):
            into[t] = max(into[t], scratch[t])
    for o in range(openings):
        best = UNWANTED
        for t in range(slots - 1, -1, -1):
            best = max(best, ready[o, t])
            ready[o, t] = max(best, free[t])


@njit(cache=True, nogil=True)
def order_cost(odds: Odds, order: IntArray, i: int, p: int) -> float:
    """Give what it costs to begin the shot in place p with i shots behind: move, rig, tight first.

    Those left out count as begun before it.
    """
    n = odds.build_law.shape[1]
    b = order[p]
    cost = odds.arc_cost[order[i - 1] if i > 0 else n, b]
    for q in range(p):
        cost += odds.pair_cost[order[q], b]
    return float(cost)


@njit(cache=True, nogil=True)
def fill_policy(
    odds: Odds, order: IntArray, changed: int, free: FloatArray, fed: FloatArray, ready: FloatArray
) -> None:
    """Fill the worth of every state of an order.

    Parameters
    ----------
    changed : the last place that has changed since the arrays were filled; len(order) for all
    free : (2, n+1, T); [m, i, t] is the worth of being free in slot t with i shots behind, the meal
        had (m = 1) or not
    fed : (n+1, T) the worth of standing up from the meal
    ready : (2, n, O, T); [m, p, o, t] is the worth of being ready for the shot in place p, begun in
        opening o
    """
    length, n, slots = len(order), odds.build_law.shape[1], free.shape[2]
    begun, scratch = np.empty(slots), np.empty(slots)
    for i in range(min(changed + 1, length), -1, -1):
        a = order[i - 1] if i > 0 else n
        for m in range(1, -1, -1):
            best = free[m, i]
            for t in range(slots):
                best[t] = odds.end[t]
            if m == 1:
                for t in range(slots):
                    fed[i, t] = odds.end[t]
            for p in range(i, min(i + REACH, length)):
                fill_begun(odds, a, order[p], ready[m, p], scratch, begun)
                cost = order_cost(odds, order, i, p)
                for t in range(slots):
                    best[t] = max(best[t], begun[t] - cost)
                if m == 1:
                    cost += odds.toll[order[p]]
                    for t in range(slots):
                        fed[i, t] = max(fed[i, t], begun[t] - cost)
            if m == 0 and odds.meal_slots >= 0:
                for t in range(slots):
                    then = max(t, odds.meal_first) + odds.meal_slots
                    if then < slots:
                        best[t] = max(best[t], fed[i, then] + odds.meal_points)
            if i > 0:
                fill_ready(odds, a, m, best, scratch, ready[m, i - 1])


@njit(cache=True, nogil=True)
def first_worth(free: FloatArray, fed: FloatArray, begins: int) -> float:
    """Give the worth of an order from where the rest of the day begins.

    Parameters
    ----------
    begins : before the meal (0), after it (1), or as the crew stands up from it (2)
    """
    return float(fed[0, 0] if begins == 2 else free[begins, 0, 0])
