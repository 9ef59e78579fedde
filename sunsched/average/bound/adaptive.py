"""The best way of shooting for a crew that is bound to no order (compiled).

A Markov decision process over states with a memory (see `memory`), the meal had or not, and the
slot. Every beginning of a shot is charged the shot's price. The sweep goes backward over the slots,
in each of them through all states of a shot at once.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sunsched.average.bound.memory import Memory
from sunsched.average.model.odds import UNWANTED, Odds
from sunsched.sky.track import FloatArray
from sunsched.solver.machine.function import compiled

NEAR = 1e-7  # points between values that are the same but for the arithmetic


class Worths(NamedTuple):
    """Worth of every state, by slot; index m is 1 once the meal was had.

    Slots come first, as all states of one slot are gone through together. Work that lasts past the
    end of the day finds W slots more in `ready`, at the worth of the last one. Where a meal is to
    come, nothing is said with m = 1 of the slots before it can end.

    Attributes
    ----------
    free : (T, 2, M) of being free
    fed : (T, M) of standing up from the meal
    ready : (T + W, 2, O, M) of being ready for the state's shot, begun in an opening
    begun : (T, 2, P + 1) of a pair's changeover, its costs left out; the last is of none
    """

    free: FloatArray
    fed: FloatArray
    ready: FloatArray
    begun: FloatArray


def make_worths(odds: Odds, memory: Memory) -> Worths:
    """Make room for the sweeps over a memory."""
    states, pairs, slots = len(memory.shot), len(memory.pair_state), len(odds.end)
    longest = int((odds.law_first + np.diff(odds.law_from)).max(initial=0))
    return Worths(
        free=np.zeros((slots, 2, states)),
        fed=np.zeros((slots, states)),
        ready=np.full((slots + longest, 2, odds.begin_from.shape[0], states), odds.end[-1]),
        begun=np.full((slots, 2, pairs + 1), UNWANTED),
    )


@compiled()
def first_sated(odds: Odds) -> int:
    """Give the first slot in which a crew can have had the meal."""
    if odds.meal_slots < 0:
        return 0
    return int(odds.meal_first + odds.meal_slots)


@compiled()
def pair_worth(odds: Odds, memory: Memory, worths: Worths, m: int, p: int, o: int, t: int) -> float:
    """Give the worth of a changeover from slot t on whose roll is in an opening."""
    kind = memory.pair_kind[p]
    since = memory.kind_begin[kind, o]
    if since >= len(odds.end):
        return UNWANTED
    law, state = memory.kind_law[kind], memory.pair_state[p]
    start, total = odds.law_from[law], 0.0
    then = max(t, since) + odds.law_first[law]
    for k in range(start, odds.law_from[law + 1]):
        total += odds.law_chance[k] * worths.ready[then + k - start, m, o, state]
    return float(total)


@compiled()
def fill_pairs(
    odds: Odds, memory: Memory, worths: Worths, t: int, is_instant: bool, total: FloatArray
) -> None:
    """Fill the worth of all changeovers from a slot on: those of no minutes, or the others.

    All in one place, as a call for each of them would take longer than its sum. Indices have no
    sign, so that several states are added at once. `total` is to reckon in: (M,).
    """
    ready, begun = worths.ready, worths.begun
    chances, firsts, froms = odds.law_chance, odds.law_first, odds.law_from
    slots, openings = len(odds.end), ready.shape[2]
    sides = 1 if t < first_sated(odds) else 2
    for kind in range(len(memory.kind_law)):
        law, b = memory.kind_law[kind], memory.kind_shot[kind]
        first, start, count = firsts[law], froms[law], froms[law + 1] - froms[law]
        if (first == 0) != is_instant:
            continue
        low, pair = np.uint64(memory.state_from[b]), np.uint64(memory.kind_from[kind])
        states = np.uint64(memory.state_from[b + 1] - memory.state_from[b])
        for m in range(sides):
            for s in range(states):
                begun[t, m, s + pair] = UNWANTED
            for o in range(openings):
                since = memory.kind_begin[kind, o]
                if since >= slots:
                    continue
                for s in range(states):
                    total[s] = 0.0
                then, k = max(t, since) + first, 0
                while k + 4 <= count:
                    a, c = chances[start + k], chances[start + k + 1]
                    d, e = chances[start + k + 2], chances[start + k + 3]
                    for s in range(states):
                        j = s + low
                        total[s] += (
                            a * ready[then + k, m, o, j]
                            + c * ready[then + k + 1, m, o, j]
                            + d * ready[then + k + 2, m, o, j]
                            + e * ready[then + k + 3, m, o, j]
                        )
                    k += 4
                while k < count:
                    a = chances[start + k]
                    for s in range(states):
                        total[s] += a * ready[then + k, m, o, s + low]
                    k += 1
                for s in range(states):
                    begun[t, m, s + pair] = max(begun[t, m, s + pair], total[s])


@compiled()
def fill_rolls(
    odds: Odds, memory: Memory, worths: Worths, t: int, best: FloatArray, total: FloatArray
) -> None:
    """Raise the worth of the best roll of each state to that of one in a slot: (2, O, M)."""
    free = worths.free
    chances, firsts, froms = odds.law_chance, odds.law_first, odds.law_from
    sides = 1 if t < first_sated(odds) else 2
    for shot in range(len(odds.roll_law)):
        law = odds.roll_law[shot]
        first, start, count = firsts[law], froms[law], froms[law + 1] - froms[law]
        low = np.uint64(memory.state_from[shot])
        states = np.uint64(memory.state_from[shot + 1] - memory.state_from[shot])
        for room in range(odds.room_from[shot], odds.room_from[shot + 1]):
            end, o = odds.room_last[room], odds.room_opening[room]
            if t < odds.room_first[room] or t >= end:
                continue
            whole = max(0, min(count, end - t - first + 1))
            late, gain = 0.0, odds.gain[room, t]
            for k in range(whole, count):
                late += chances[start + k]
            for m in range(1 if t > odds.hungry_by[shot] else 0, sides):
                for s in range(states):
                    total[s] = gain + late * free[end, m, s + low]
                then, k = t + first, 0
                while k + 4 <= whole:
                    a, c = chances[start + k], chances[start + k + 1]
                    d, e = chances[start + k + 2], chances[start + k + 3]
                    for s in range(states):
                        j = s + low
                        total[s] += (
                            a * free[then + k, m, j]
                            + c * free[then + k + 1, m, j]
                            + d * free[then + k + 2, m, j]
                            + e * free[then + k + 3, m, j]
                        )
                    k += 4
                while k < whole:
                    a = chances[start + k]
                    for s in range(states):
                        total[s] += a * free[then + k, m, s + low]
                    k += 1
                for s in range(states):
                    best[m, o, s + low] = max(best[m, o, s + low], total[s])


@compiled()
def fill_free(odds: Odds, memory: Memory, charged: FloatArray, worths: Worths, t: int) -> None:
    """Fill the worth of being free in a slot, and of standing up from the meal.

    Parameters
    ----------
    charged : (n, M) cost and price of beginning each shot
    """
    free, fed, begun = worths.free, worths.fed, worths.begun
    pairs, tolls, end = memory.pair, odds.toll, odds.end[t]
    states = np.uint64(len(memory.shot))
    for s in range(states):
        free[t, 0, s] = end
        free[t, 1, s] = end
        fed[t, s] = end
    if t < first_sated(odds):
        for b in range(len(tolls)):
            for s in range(states):
                worth = begun[t, 0, np.uint64(pairs[b, s])] - charged[b, s]
                free[t, 0, s] = max(free[t, 0, s], worth)
    else:
        for b in range(len(tolls)):
            toll = tolls[b]
            for s in range(states):
                p = np.uint64(pairs[b, s])
                worth = begun[t, 1, p] - charged[b, s]
                free[t, 0, s] = max(free[t, 0, s], begun[t, 0, p] - charged[b, s])
                free[t, 1, s] = max(free[t, 1, s], worth)
                fed[t, s] = max(fed[t, s], worth - toll)
    then = max(t, odds.meal_first) + odds.meal_slots
    if odds.meal_slots >= 0 and then < len(odds.end):
        for s in range(states):
            free[t, 0, s] = max(free[t, 0, s], fed[then, s] + odds.meal_points)


@compiled()
def sweep(odds: Odds, memory: Memory, prices: FloatArray, worths: Worths) -> None:
    """Fill all worths, the latest slots first.

    Changeovers without any minutes are looked at as often as there are shots: as long a chain of
    them can follow one another within a slot.
    """
    ready, free = worths.ready, worths.free
    openings, states, slots = ready.shape[2], ready.shape[3], len(odds.end)
    best, total = np.empty((2, openings, states)), np.empty(states)
    for m in range(2):
        for o in range(openings):
            for s in range(states):
                best[m, o, s] = UNWANTED
    charged = np.empty(memory.cost.shape)
    for b in range(len(prices)):
        for s in range(states):
            charged[b, s] = memory.cost[b, s] + prices[b]
    turns = 1
    for law in memory.kind_law:
        if odds.law_first[law] == 0:
            turns = len(prices)
    for t in range(slots - 1, -1, -1):
        fill_rolls(odds, memory, worths, t, best, total)
        fill_pairs(odds, memory, worths, t, False, total)
        end = odds.end[t]
        for m in range(2 if turns > 1 else 0):
            for o in range(openings):
                for s in range(np.uint64(states)):
                    ready[t, m, o, s] = max(best[m, o, s], end)
        for _ in range(turns):
            if turns > 1:
                fill_pairs(odds, memory, worths, t, True, total)
            fill_free(odds, memory, charged, worths, t)
            for m in range(2):
                for o in range(openings):
                    for s in range(np.uint64(states)):
                        ready[t, m, o, s] = max(best[m, o, s], free[t, m, s])
