"""The best way of shooting for a crew that is bound to no order (compiled).

A Markov decision process over states with a memory (see `memory`), the meal had or not, and the
slot. Every beginning of a shot is charged the shot's price. The sweep goes backward over the slots.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from sunsched.average.bound.memory import Memory
from sunsched.average.model.odds import UNWANTED, Odds
from sunsched.sky.track import FloatArray

NEAR = 1e-7  # points between values that are the same but for the arithmetic


class Worths(NamedTuple):
    """Worth of every state, by slot; index m is 1 once the meal was had.

    Attributes
    ----------
    free : (2, M, T) of being free
    fed : (M, T) of standing up from the meal
    ready : (2, M, O, T) of being ready for the state's shot, begun in an opening
    begun : (T, 2, P) of a pair's changeover, its costs left out; slots come first here, as all
        pairs of one slot are read together
    """

    free: FloatArray
    fed: FloatArray
    ready: FloatArray
    begun: FloatArray


def make_worths(odds: Odds, memory: Memory) -> Worths:
    """Make room for the sweeps over a memory."""
    states, pairs, slots = len(memory.shot), len(memory.pair_state), len(odds.end)
    return Worths(
        free=np.zeros((2, states, slots)),
        fed=np.zeros((states, slots)),
        ready=np.zeros((2, states, odds.begin_from.shape[0], slots)),
        begun=np.zeros((slots, 2, pairs)),
    )


@njit(cache=True, nogil=True)
def pair_worth(odds: Odds, memory: Memory, worths: Worths, m: int, p: int, o: int, t: int) -> float:
    """Give the worth of a changeover from slot t on whose roll is in an opening."""
    slots = len(odds.end)
    since = memory.pair_begin[p, o]
    if since >= slots:
        return UNWANTED
    law, state = memory.pair_law[p], memory.pair_state[p]
    start, total = odds.law_from[law], 0.0
    for k in range(start, odds.law_from[law + 1]):
        then = max(t, since) + odds.law_first[law] + k - start
        worth = worths.ready[m, state, o, then] if then < slots else odds.end[slots - 1]
        total += odds.law_chance[k] * worth
    return float(total)


@njit(cache=True, nogil=True, fastmath=True)
def fill_pairs(odds: Odds, memory: Memory, worths: Worths, t: int, is_instant: bool) -> None:
    """Fill the worth of all changeovers from a slot on: those of no minutes, or the others.

    All in one place, as a call for each of them would take longer than its sum.
    """
    ready, begun = worths.ready, worths.begun
    chances, firsts, froms = odds.law_chance, odds.law_first, odds.law_from
    states, laws, begins = memory.pair_state, memory.pair_law, memory.pair_begin
    openings, slots = ready.shape[2], ready.shape[3]
    last = odds.end[slots - 1]
    for p in range(len(states)):
        law, s = laws[p], states[p]
        first, start, count = firsts[law], froms[law], froms[law + 1] - froms[law]
        if (first == 0) != is_instant:
            continue
        for m in range(2):
            most = UNWANTED
            for o in range(openings):
                since = begins[p, o]
                if since >= slots:
                    continue
                then = max(t, since) + first
                whole = max(0, min(count, slots - then))
                total, mass = 0.0, 0.0
                for k in range(whole):
                    total += chances[start + k] * ready[m, s, o, then + k]
                for k in range(whole, count):
                    mass += chances[start + k]
                most = max(most, total + mass * last)
            begun[t, m, p] = most


@njit(cache=True, nogil=True, fastmath=True)
def fill_rolls(odds: Odds, memory: Memory, worths: Worths, t: int, best: FloatArray) -> None:
    """Raise the worth of the best roll of each state to that of one in a slot: (2, M, O)."""
    free, gain = worths.free, odds.gain
    chances, firsts, froms = odds.law_chance, odds.law_first, odds.law_from
    for s in range(len(memory.shot) - 1):
        shot = memory.shot[s]
        law = odds.roll_law[shot]
        first, start, count = firsts[law], froms[law], froms[law + 1] - froms[law]
        for room in range(odds.room_from[shot], odds.room_from[shot + 1]):
            end, o = odds.room_last[room], odds.room_opening[room]
            if t < odds.room_first[room] or t >= end:
                continue
            whole = max(0, min(count, end - t - first + 1))
            mass = 0.0
            for k in range(whole, count):
                mass += chances[start + k]
            for m in range(2):
                if m == 0 and t > odds.hungry_by[shot]:
                    continue
                total = gain[room, t] + mass * free[m, s, end]
                for k in range(whole):
                    total += chances[start + k] * free[m, s, t + first + k]
                best[m, s, o] = max(best[m, s, o], total)


@njit(cache=True, nogil=True)
def fill_free(odds: Odds, memory: Memory, prices: FloatArray, worths: Worths, t: int) -> None:
    """Fill the worth of being free in a slot, and of standing up from the meal."""
    free, fed, begun = worths.free, worths.fed, worths.begun
    pairs, costs, tolls, end = memory.pair, memory.cost, odds.toll, odds.end[t]
    then = max(t, odds.meal_first) + odds.meal_slots
    can_eat = odds.meal_slots >= 0 and then < len(odds.end)
    for s in range(len(memory.shot)):
        hungry, sated, had = end, end, end
        for b in range(len(prices)):
            p = pairs[s, b]
            if p >= 0:
                cost = costs[s, b] + prices[b]
                hungry = max(hungry, begun[t, 0, p] - cost)
                sated = max(sated, begun[t, 1, p] - cost)
                had = max(had, begun[t, 1, p] - cost - tolls[b])
        free[1, s, t], fed[s, t] = sated, had
        if can_eat:
            hungry = max(hungry, fed[s, then] + odds.meal_points)
        free[0, s, t] = hungry


@njit(cache=True, nogil=True)
def sweep(odds: Odds, memory: Memory, prices: FloatArray, worths: Worths) -> None:
    """Fill all worths, the latest slots first.

    Changeovers without any minutes are looked at as often as there are shots: as long a chain of
    them can follow one another within a slot.
    """
    ready, free = worths.ready, worths.free
    states, openings, slots = ready.shape[1], ready.shape[2], ready.shape[3]
    best = np.full((2, states, openings), UNWANTED)
    turns = 1
    for law in memory.pair_law:
        if odds.law_first[law] == 0:
            turns = len(prices)
    for t in range(slots - 1, -1, -1):
        fill_rolls(odds, memory, worths, t, best)
        fill_pairs(odds, memory, worths, t, False)
        for m in range(2):
            for s in range(states):
                for o in range(openings):
                    ready[m, s, o, t] = max(best[m, s, o], odds.end[t])
        for _ in range(turns):
            if turns > 1:
                fill_pairs(odds, memory, worths, t, True)
            fill_free(odds, memory, prices, worths, t)
            for m in range(2):
                for s in range(states):
                    for o in range(openings):
                        ready[m, s, o, t] = max(best[m, s, o], free[m, s, t])
