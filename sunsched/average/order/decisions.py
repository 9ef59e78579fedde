"""What the crew does in each state of an order, and how often it comes there (compiled)."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sunsched.average.model.odds import UNWANTED, Odds
from sunsched.average.order.policy import REACH, fill_begun, last_start, order_cost, room_of
from sunsched.light.fit import IntArray
from sunsched.sky.track import FloatArray
from sunsched.solver.machine.function import compiled

NEAR = 1e-7  # points between values that are the same but for the arithmetic
RARE = 1e-15  # chances that are not followed
STOP, EAT = 0, -1


class Decisions(NamedTuple):
    """Decisions by state, and by slot t; i shots are behind.

    Attributes
    ----------
    step : (3, n+1, T) k ≥ 1 to begin the shot in place i + k − 1, `STOP` or `EAT`; the first index
        says that the meal is still to come (0), was had (1), or that the crew stands up from it (2)
    opening : (2, n+1, REACH, T) opening for which the changeover to the k-th shot is begun
    roll : (2, n, O, T) slot in which the shot in place p is rolled once it is ready, −1 to give up
    """

    step: IntArray
    opening: IntArray
    roll: IntArray


class Flow(NamedTuple):
    """How often the crew comes where, as chances.

    Attributes
    ----------
    free : (3, n+1, T) the crew is free in a state, as of `Decisions.step`
    ready : (n, T) it is ready in a slot
    rolls : (rooms, T) a roll starts in a slot
    stop : (T,) the crew stops in a slot
    """

    free: FloatArray
    ready: FloatArray
    rolls: FloatArray
    stop: FloatArray


@compiled()
def fill_rolled(
    odds: Odds, shot: int, m: int, o: int, free: FloatArray, rolled: FloatArray
) -> None:
    """Fill the worth of rolling a shot in each slot of an opening at once: (T,)."""
    law = odds.roll_law[shot]
    first, start = odds.law_first[law], odds.law_from[law]
    for t in range(len(rolled)):
        rolled[t] = UNWANTED
    for room in range(odds.room_from[shot], odds.room_from[shot + 1]):
        if odds.room_opening[room] != o:
            continue
        last = odds.room_last[room]
        for t in range(odds.room_first[room], last_start(odds, room, shot, m) + 1):
            worth = odds.gain[room, t]
            for k in range(start, odds.law_from[law + 1]):
                worth += odds.law_chance[k] * free[min(t + first + k - start, last)]
            rolled[t] = max(rolled[t], worth)


@compiled()
def decide(
    odds: Odds, order: IntArray, free: FloatArray, fed: FloatArray, ready: FloatArray
) -> Decisions:
    """Read the decisions out of the worths that `fill_policy` has filled."""
    n, openings, slots = len(order), ready.shape[2], ready.shape[3]
    all_shots = odds.build_law.shape[1]
    step = np.zeros((3, n + 1, slots), dtype=np.int64)
    opening = np.zeros((2, n + 1, REACH, slots), dtype=np.int64)
    roll = np.empty((2, n, openings, slots), dtype=np.int64)
    begun, one, scratch = np.empty(slots), np.empty(slots), np.empty(slots)
    for m in range(2):
        for p in range(n):
            for o in range(openings):
                worth, then = ready[m, p, o], slots - 1
                fill_rolled(odds, order[p], m, o, free[m, p + 1], scratch)
                for t in range(slots - 1, -1, -1):
                    # Nobody waits for what is only as good.
                    is_as_good = scratch[t] >= worth[t] - NEAR
                    if t + 1 == slots or is_as_good or worth[t + 1] < worth[t] - NEAR:
                        then = t
                    is_worth_it = worth[t] > free[m, p + 1, t] + NEAR
                    roll[m, p, o, t] = then if is_worth_it else -1
        for i in range(n + 1):
            a = order[i - 1] if i > 0 else all_shots
            for p in range(i, min(i + REACH, n)):
                fill_begun(odds, a, order[p], ready[m, p], scratch, begun)
                for o in range(openings if openings > 1 else 0):
                    fill_begun(odds, a, order[p], ready[m, p, : o + 1], scratch, one)
                    for t in range(slots - 1, -1, -1):
                        if one[t] < begun[t] - NEAR:
                            opening[m, i, p - i, t] = min(o + 1, openings - 1)
                cost = order_cost(odds, order, i, p)
                for t in range(slots):
                    worth = max(odds.end[t] + 2 * NEAR, free[m, i, t])
                    if step[m, i, t] == STOP and begun[t] - cost >= worth - NEAR:
                        step[m, i, t] = p - i + 1
                    worth = max(odds.end[t] + 2 * NEAR, fed[i, t]) + odds.toll[order[p]]
                    if m == 1 and step[2, i, t] == STOP and begun[t] - cost >= worth - NEAR:
                        step[2, i, t] = p - i + 1
            if m == 0 and odds.meal_slots >= 0:
                for t in range(slots):
                    # Only the meal explains what no shot does.
                    if step[0, i, t] == STOP and free[0, i, t] > odds.end[t] + NEAR:
                        step[0, i, t] = EAT
    return Decisions(step, opening, roll)


@compiled()
def follow(odds: Odds, order: IntArray, decisions: Decisions, begins: int) -> Flow:
    """Follow all chances from the beginning of the rest of the day to its end."""
    n, openings, slots = len(order), decisions.roll.shape[2], len(odds.end)
    ready, stop = np.zeros((n, slots)), np.zeros(slots)
    rolls = np.zeros(odds.gain.shape)
    mass = np.zeros((3, n + 1, slots))
    at_ready = np.zeros((2, n, openings, slots))
    mass[begins, 0, 0] = 1.0
    for i in range(n + 1):
        if i > 0:
            shot = order[i - 1]
            law = odds.roll_law[shot]
            first, start = odds.law_first[law], odds.law_from[law]
            for m in range(2):
                for o in range(openings):
                    for t in range(slots):
                        share = at_ready[m, i - 1, o, t]
                        if share <= RARE:
                            continue
                        ready[i - 1, t] += share
                        r = decisions.roll[m, i - 1, o, t]
                        if r < 0:
                            mass[m, i, t] += share
                            continue
                        room = room_of(odds, shot, m, o, r)
                        rolls[room, r] += share
                        for k in range(start, odds.law_from[law + 1]):
                            then = min(r + first + k - start, odds.room_last[room])
                            mass[m, i, then] += share * odds.law_chance[k]
        a = order[i - 1] if i > 0 else odds.build_law.shape[1]
        for turn in range(3):
            m = 2 * turn if turn < 2 else 1  # who eats stands up from the meal in the same state
            for t in range(slots):
                share = mass[m, i, t]
                if share <= RARE:
                    continue
                k = decisions.step[m, i, t]
                if k == EAT:
                    mass[2, i, max(t, odds.meal_first) + odds.meal_slots] += share
                elif k == STOP:
                    stop[t] += share
                else:
                    p, fed = i + k - 1, min(m, 1)
                    o = decisions.opening[fed, i, k - 1, t]
                    law = odds.build_law[a, order[p]]
                    since = max(t, odds.begin_from[o, a, order[p]])
                    first, start = odds.law_first[law], odds.law_from[law]
                    for j in range(start, odds.law_from[law + 1]):
                        then = min(since + first + j - start, slots - 1)
                        at_ready[fed, p, o, then] += share * odds.law_chance[j]
    return Flow(mass, ready, rolls, stop)
