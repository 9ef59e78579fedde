"""What the best way of shooting without an order does: forward through the day (compiled)."""

from __future__ import annotations

import numpy as np
from numba import njit

from sunsched.average.bound.adaptive import NEAR, Worths, pair_worth
from sunsched.average.bound.memory import Memory
from sunsched.average.model.odds import Odds
from sunsched.average.order.policy import room_of
from sunsched.light.fit import IntArray
from sunsched.sky.track import FloatArray

RARE = 1e-7  # chances that are not followed


@njit(cache=True, nogil=True)
def next_step(
    odds: Odds, memory: Memory, prices: FloatArray, worths: Worths, m: int, s: int, t: int
) -> int:
    """Give what is best in a state: a shot to begin, −1 to eat, −2 to stop.

    `m` is 2 as the crew stands up from the meal.
    """
    worth = worths.fed[t, s] if m == 2 else worths.free[t, m, s]
    if worth <= odds.end[t] + NEAR:
        return -2
    if m == 0 and odds.meal_slots >= 0:
        then = max(t, odds.meal_first) + odds.meal_slots
        if then < len(odds.end) and worths.fed[then, s] + odds.meal_points >= worth - NEAR:
            return -1
    for b in range(len(prices)):
        p = int(memory.pair[b, s])
        value = worths.begun[t, min(m, 1), p] - memory.cost[b, s] - prices[b]
        if m == 2:
            value -= odds.toll[b]
        if value >= worth - NEAR:
            return b
    return -2


@njit(cache=True, nogil=True)
def best_opening(odds: Odds, memory: Memory, worths: Worths, m: int, p: int, t: int) -> int:
    """Give the opening that explains what a changeover is worth."""
    last = int(memory.kind_begin.shape[1]) - 1
    for o in range(last):
        if pair_worth(odds, memory, worths, m, p, o, t) >= worths.begun[t, m, p] - NEAR:
            return o
    return last


@njit(cache=True, nogil=True)
def follow_ready(
    odds: Odds,
    memory: Memory,
    worths: Worths,
    t: int,
    mass: FloatArray,
    at_ready: FloatArray,
    rolls: FloatArray,
) -> None:
    """Roll, or wait, or give up, where a shot is ready in a slot."""
    for m in range(2):
        for s in range(mass.shape[2] - 1):
            for o in range(at_ready.shape[3]):
                share = at_ready[t, m, s, o]
                if share <= RARE:
                    continue
                at_ready[t, m, s, o] = 0.0
                worth = worths.ready[t, m, o, s]
                if worth <= worths.free[t, m, s] + NEAR:
                    mass[t, m, s] += share
                    continue
                if t + 1 < len(mass) and worths.ready[t + 1, m, o, s] >= worth - NEAR:
                    at_ready[t + 1, m, s, o] += share
                    continue
                shot = memory.shot[s]
                room = room_of(odds, shot, m, o, t)
                rolls[room, t] += share
                law = odds.roll_law[shot]
                first, start = odds.law_first[law], odds.law_from[law]
                for k in range(start, odds.law_from[law + 1]):
                    then = min(t + first + k - start, odds.room_last[room])
                    mass[then, m, s] += share * odds.law_chance[k]


@njit(cache=True, nogil=True)
def follow_free(
    odds: Odds,
    memory: Memory,
    prices: FloatArray,
    worths: Worths,
    t: int,
    mass: FloatArray,
    at_ready: FloatArray,
    count: FloatArray,
) -> None:
    """Begin a shot, or eat, or stop, where the crew is free in a slot."""
    for m in range(3):
        for s in range(mass.shape[2]):
            share = mass[t, m, s]
            if share <= RARE:
                continue
            mass[t, m, s] = 0.0
            b = next_step(odds, memory, prices, worths, m, s, t)
            if b == -1:
                mass[max(t, odds.meal_first) + odds.meal_slots, 2, s] += share
            if b < 0:
                continue
            count[b] += share
            fed, p = min(m, 1), memory.pair[b, s]
            o = best_opening(odds, memory, worths, fed, p, t)
            kind, state = memory.pair_kind[p], memory.pair_state[p]
            law = memory.kind_law[kind]
            first, start = odds.law_first[law], odds.law_from[law]
            since = max(t, memory.kind_begin[kind, o]) + first
            for k in range(start, odds.law_from[law + 1]):
                if since + k - start < len(mass):
                    at_ready[since + k - start, fed, state, o] += share * odds.law_chance[k]


@njit(cache=True, nogil=True)
def visits(
    odds: Odds, memory: Memory, prices: FloatArray, worths: Worths, begins: int, rolls: FloatArray
) -> FloatArray:
    """Give how often each shot is begun: (n,).

    Parameters
    ----------
    worths : as the sweep at these prices has filled them
    begins : before the meal (0), after it (1), or as the crew stands up from it (2)
    rolls : (rooms, T) filled with the chance of a roll that starts there
    """
    states, openings, slots = len(memory.shot), worths.ready.shape[2], len(odds.end)
    count = np.zeros(len(prices))
    # Slots come first, as all states of one slot are gone through together.
    mass = np.zeros((slots, 3, states))
    at_ready = np.zeros((slots, 2, states, openings))
    mass[0, begins, states - 1] = 1.0
    rolls[:] = 0.0
    turns = 1
    for law in memory.kind_law:
        if odds.law_first[law] == 0:
            turns = 2  # a changeover without minutes is followed at once
    for t in range(slots):
        for _ in range(turns):
            follow_ready(odds, memory, worths, t, mass, at_ready, rolls)
            follow_free(odds, memory, prices, worths, t, mass, at_ready, count)
    return count


@njit(cache=True, nogil=True)
def _drawn(odds: Odds, law: int, draw: float) -> int:
    """Give the slots that work takes, from a number between 0 and 1."""
    lag, below = odds.law_first[law], 0.0
    for k in range(odds.law_from[law], odds.law_from[law + 1] - 1):
        below += odds.law_chance[k]
        if draw < below:
            break
        lag += 1
    return int(lag)


@njit(cache=True, nogil=True)
def drawn_path(
    odds: Odds,
    memory: Memory,
    prices: FloatArray,
    worths: Worths,
    begins: int,
    draws: FloatArray,
) -> IntArray:
    """Follow one drawn day: the shots in the order in which they are begun.

    Parameters
    ----------
    draws : (2k,) numbers between 0 and 1, enough for k shots
    """
    slots = len(odds.end)
    path = np.empty(len(draws) // 2, dtype=np.int64)
    m, s, t = begins, len(memory.shot) - 1, 0
    for length in range(len(path)):
        b = next_step(odds, memory, prices, worths, m, s, t)
        if b == -1:
            m, t = 2, max(t, odds.meal_first) + odds.meal_slots
            b = next_step(odds, memory, prices, worths, m, s, t)
        if b < 0:
            return path[:length]
        path[length] = b
        m, p = min(m, 1), memory.pair[b, s]
        o = best_opening(odds, memory, worths, m, p, t)
        kind = memory.pair_kind[p]
        t = max(t, memory.kind_begin[kind, o])
        t += _drawn(odds, memory.kind_law[kind], draws[2 * length])
        s = memory.pair_state[p]
        if t >= slots - 1:
            return path[: length + 1]
        worth = worths.ready[t, m, o, s]
        if worth <= worths.free[t, m, s] + NEAR:
            continue
        while t + 1 < slots and worths.ready[t + 1, m, o, s] >= worth - NEAR:
            t += 1
        room = room_of(odds, b, m, o, t)
        t += _drawn(odds, odds.roll_law[b], draws[2 * length + 1])
        t = min(t, odds.room_last[room])
    return path
