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

from sunsched.average.model.odds import UNWANTED, Odds
from sunsched.light.fit import IntArray
from sunsched.sky.track import FloatArray
from sunsched.solver.machine.function import compiled

ONE, TWO, THREE = np.uint64(1), np.uint64(2), np.uint64(3)  # see add_chances
REACH = 3  # the next shot, or one after leaving out one or two


@compiled()
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


@compiled()
def last_start(odds: Odds, room: int, shot: int, m: int) -> int:
    """Give the last slot in which a roll of a shot may start in a room, the meal had (1) or not."""
    last: int = odds.room_last[room] - 1
    if m == 0:
        last = min(last, odds.hungry_by[shot])
    return last


@compiled()
def room_of(odds: Odds, shot: int, m: int, o: int, t: int) -> int:
    """Give the room in which a shot can start to roll in a slot, −1 for none."""
    for room in range(odds.room_from[shot], odds.room_from[shot + 1]):
        if odds.room_opening[room] == o and odds.room_first[room] <= t <= last_start(
            odds, room, shot, m
        ):
            return room
    return -1


@compiled()
def add_chances(
    chance: FloatArray,
    start: int,
    stop: int,
    first: int,
    then: FloatArray,
    low: int,
    high: int,
    into: FloatArray,
) -> None:
    """Add what is expected of a law to the slots from `low` to before `high`.

    Parameters
    ----------
    chance : chances of all laws; this one's are those from `start` to before `stop`
    first : the fewest slots that it takes
    then : worth by the slot in which the work is done, as far on as it can last

    Where an index has no sign, the compiler need not ask whether it counts from the end, and adds
    eight slots at once.
    """
    slots, into_from = np.uint64(max(0, high - low)), np.uint64(low)
    k = start
    while k + 4 <= stop:  # four at a time, as most of the time goes into reading and writing
        a, b, c, d = chance[k], chance[k + 1], chance[k + 2], chance[k + 3]
        then_from = np.uint64(low + first + k - start)
        for t in range(slots):
            j = t + then_from
            into[t + into_from] += (
                a * then[j] + b * then[j + ONE] + c * then[j + TWO] + d * then[j + THREE]
            )
        k += 4
    while k < stop:
        a, then_from = chance[k], np.uint64(low + first + k - start)
        for t in range(slots):
            into[t + into_from] += a * then[t + then_from]
        k += 1


@compiled()
def fill_ready(
    odds: Odds,
    shot: int,
    m: int,
    low: int,
    free: FloatArray,
    then: FloatArray,
    rolled: FloatArray,
    ready: FloatArray,
) -> None:
    """Fill the worth of being ready: the best slot to roll in from there on, or to give it up.

    Parameters
    ----------
    low : first slot that is looked at
    free : (T,) worth of being free after it
    then, rolled : to reckon in; `then` is longer than the day by the longest work
    ready : (O, T) filled here
    """
    openings, slots = ready.shape
    law, gain = odds.roll_law[shot], odds.gain
    first, start, stop = odds.law_first[law], odds.law_from[law], odds.law_from[law + 1]
    longest = first + stop - start
    for o in range(openings):
        for t in range(np.uint64(low), np.uint64(slots)):
            ready[o, t] = UNWANTED
    for room in range(odds.room_from[shot], odds.room_from[shot + 1]):
        begin = max(low, odds.room_first[room])
        above = last_start(odds, room, shot, m) + 1
        if above <= begin:
            continue
        end, o = odds.room_last[room], odds.room_opening[room]
        edge, late = min(end, above + longest), free[end]
        for t in range(np.uint64(begin), np.uint64(edge)):
            then[t] = free[t]
        for t in range(np.uint64(edge), np.uint64(above + longest)):
            then[t] = late
        for t in range(np.uint64(begin), np.uint64(above)):
            rolled[t] = gain[room, t]
        add_chances(odds.law_chance, start, stop, first, then, begin, above, rolled)
        for t in range(np.uint64(begin), np.uint64(above)):
            ready[o, t] = max(ready[o, t], rolled[t])
    for o in range(openings):
        best = UNWANTED
        for t in range(slots - 1, low - 1, -1):
            best = max(best, ready[o, t])
            ready[o, t] = max(best, free[t])


@compiled()
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


@compiled()
def fill_policy(
    odds: Odds, order: IntArray, changed: int, free: FloatArray, fed: FloatArray, ready: FloatArray
) -> None:
    """Fill the worth of every state of an order that the crew can come to.

    Parameters
    ----------
    changed : the last place that has changed since the arrays were filled; len(order) for all
    free : (2, n+1, T); [m, i, t] is the worth of being free in slot t with i shots behind, the meal
        had (m = 1) or not
    fed : (n+1, T) the worth of standing up from the meal
    ready : (2, n, O, T); [m, p, o, t] is the worth of being ready for the shot in place p, begun in
        opening o
    """
    length, n, slots, openings = len(order), odds.build_law.shape[1], free.shape[2], ready.shape[2]
    chance, longest = odds.law_chance, 0
    for law in range(len(odds.law_first)):
        lasts = odds.law_first[law] + odds.law_from[law + 1] - odds.law_from[law]
        longest = max(longest, lasts)
    then, begun = np.empty(slots + longest), np.empty(slots)
    all_slots, end = np.uint64(slots), odds.end
    # Where a meal is to come, nobody has had it before it can end.
    sated = min(slots, odds.meal_first + odds.meal_slots) if odds.meal_slots >= 0 else 0
    for i in range(min(changed + 1, length), -1, -1):
        a = order[i - 1] if i > 0 else n
        for m in range(1, -1, -1):
            low = sated if m == 1 else 0
            begin = np.uint64(low)
            best, up = free[m, i], fed[i]
            for t in range(begin, all_slots):
                best[t] = end[t]
            if m == 1:
                for t in range(begin, all_slots):
                    up[t] = end[t]
            for p in range(i, min(i + REACH, length)):
                b = order[p]
                law = odds.build_law[a, b]
                first, start, stop = odds.law_first[law], odds.law_from[law], odds.law_from[law + 1]
                cost = order_cost(odds, order, i, p)
                toll = cost + odds.toll[b]
                for o in range(openings):
                    since = max(low, odds.begin_from[o, a, b])
                    if since >= slots:
                        continue
                    for t in range(np.uint64(since), all_slots):
                        then[t] = ready[m, p, o, t]
                        begun[t] = 0.0
                    late = then[slots - 1]
                    for t in range(all_slots, all_slots + np.uint64(first + stop - start)):
                        then[t] = late
                    add_chances(chance, start, stop, first, then, since, slots, begun)
                    early = begun[since]
                    for t in range(begin, np.uint64(since)):
                        begun[t] = early
                    for t in range(begin, all_slots):
                        best[t] = max(best[t], begun[t] - cost)
                    if m == 1:
                        for t in range(begin, all_slots):
                            up[t] = max(up[t], begun[t] - toll)
            if m == 0 and odds.meal_slots >= 0:
                for t in range(slots):
                    done = max(t, odds.meal_first) + odds.meal_slots
                    if done < slots:
                        best[t] = max(best[t], fed[i, done] + odds.meal_points)
            if i > 0:
                fill_ready(odds, a, m, low, best, then, begun, ready[m, i - 1])


@compiled()
def first_worth(free: FloatArray, fed: FloatArray, begins: int) -> float:
    """Give the worth of an order from where the rest of the day begins.

    Parameters
    ----------
    begins : before the meal (0), after it (1), or as the crew stands up from it (2)
    """
    return float(fed[0, 0] if begins == 2 else free[begins, 0, 0])
