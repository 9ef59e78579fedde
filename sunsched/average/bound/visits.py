"""What the best way of shooting without an order does: forward through the day (compiled)."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sunsched.average.bound.adaptive import NEAR, Worths, pair_worth
from sunsched.average.bound.memory import Memory
from sunsched.average.model.odds import Odds
from sunsched.average.order.policy import room_of
from sunsched.light.fit import BoolArray, IntArray
from sunsched.sky.track import FloatArray
from sunsched.solver.machine.function import compiled

RARE = 1e-7  # chances that are not followed


class Choices(NamedTuple):
    """What can be begun in each state, with all shots of a state next to each other.

    Attributes
    ----------
    pair : (M, n) pair of beginning a shot
    charged : (M, n) cost and price of beginning it
    """

    pair: IntArray
    charged: FloatArray


class Flow(NamedTuple):
    """Chances on their way through the day.

    Slots come last, as work that is begun in one ends in several that follow one another. Few rows
    are ever met, so those are listed.

    Attributes
    ----------
    free : (3M, T) chance of being free, in row m M + s; m is 2 as the crew stands up from the meal
    ready : (2 O M, T) chance of being ready for the state's shot, in row (m O + o) M + s
    free_met, ready_met : (1 + rows,) how many rows of those were met, and which
    is_free_met, is_ready_met : (rows,) whether a row is listed
    """

    free: FloatArray
    ready: FloatArray
    free_met: IntArray
    ready_met: IntArray
    is_free_met: BoolArray
    is_ready_met: BoolArray


@compiled()
def list_choices(memory: Memory, prices: FloatArray) -> Choices:
    """List by state what a memory lists by shot."""
    shots, states = memory.pair.shape
    pair = np.empty((states, shots), dtype=np.int64)
    charged = np.empty((states, shots))
    for b in range(shots):
        for s in range(states):
            pair[s, b] = memory.pair[b, s]
            charged[s, b] = memory.cost[b, s] + prices[b]
    return Choices(pair, charged)


@compiled(inline="always")
def next_step(odds: Odds, choices: Choices, worths: Worths, m: int, s: int, t: int) -> int:
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
    for b in range(choices.pair.shape[1]):
        value = worths.begun[t, min(m, 1), choices.pair[s, b]] - choices.charged[s, b]
        if m == 2:
            value -= odds.toll[b]
        if value >= worth - NEAR:
            return b
    return -2


@compiled(inline="always")
def best_opening(odds: Odds, memory: Memory, worths: Worths, m: int, p: int, t: int) -> int:
    """Give the opening that explains what a changeover is worth."""
    last = int(memory.kind_begin.shape[1]) - 1
    for o in range(last):
        if pair_worth(odds, memory, worths, m, p, o, t) >= worths.begun[t, m, p] - NEAR:
            return o
    return last


@compiled(inline="always")
def _meet(row: int, met: IntArray, is_met: BoolArray) -> None:
    """List a row that something comes to."""
    if not is_met[row]:
        is_met[row] = True
        met[0] += 1
        met[met[0]] = row


@compiled(inline="always")
def follow_ready(
    odds: Odds, memory: Memory, worths: Worths, t: int, flow: Flow, rolls: FloatArray
) -> None:
    """Roll, or wait, or give up, where a shot is ready in a slot."""
    _, _, openings, states = worths.ready.shape
    slots = len(odds.end)
    for i in range(1, flow.ready_met[0] + 1):
        row = flow.ready_met[i]
        share = flow.ready[row, t]
        if share <= RARE:
            continue
        flow.ready[row, t] = 0.0
        m, o, s = row // (openings * states), row // states % openings, row % states
        worth = worths.ready[t, m, o, s]
        is_given_up = worth <= worths.free[t, m, s] + NEAR
        if not is_given_up and t + 1 < slots and worths.ready[t + 1, m, o, s] >= worth - NEAR:
            flow.ready[row, t + 1] += share
            continue
        then = m * states + s
        _meet(then, flow.free_met, flow.is_free_met)
        if is_given_up:
            flow.free[then, t] += share
            continue
        shot = memory.shot[s]
        room = room_of(odds, shot, m, o, t)
        rolls[room, t] += share
        law = odds.roll_law[shot]
        first, start = odds.law_first[law], odds.law_from[law]
        for k in range(start, odds.law_from[law + 1]):
            end = min(t + first + k - start, odds.room_last[room])
            flow.free[then, end] += share * odds.law_chance[k]


@compiled(inline="always")
def follow_free(
    odds: Odds,
    memory: Memory,
    choices: Choices,
    worths: Worths,
    t: int,
    flow: Flow,
    count: FloatArray,
) -> None:
    """Begin a shot, or eat, or stop, where the crew is free in a slot."""
    _, _, openings, states = worths.ready.shape
    slots, i = len(odds.end), 0
    # What stands up from the meal at once is met on the way.
    while i < flow.free_met[0]:
        i += 1
        row = flow.free_met[i]
        share = flow.free[row, t]
        if share <= RARE:
            continue
        flow.free[row, t] = 0.0
        m, s = row // states, row % states
        b = next_step(odds, choices, worths, m, s, t)
        if b == -1:
            _meet(2 * states + s, flow.free_met, flow.is_free_met)
            flow.free[2 * states + s, max(t, odds.meal_first) + odds.meal_slots] += share
        if b < 0:
            continue
        count[b] += share
        fed, p = min(m, 1), choices.pair[s, b]
        o = best_opening(odds, memory, worths, fed, p, t)
        kind, state = memory.pair_kind[p], memory.pair_state[p]
        law = memory.kind_law[kind]
        start, stop = odds.law_from[law], odds.law_from[law + 1]
        since = max(t, memory.kind_begin[kind, o]) + odds.law_first[law]
        then = (fed * openings + o) * states + state
        _meet(then, flow.ready_met, flow.is_ready_met)
        for k in range(start, min(stop, start + slots - since)):
            flow.ready[then, since + k - start] += share * odds.law_chance[k]


@compiled()
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
    choices = list_choices(memory, prices)
    flow = Flow(
        np.zeros((3 * states, slots)),
        np.zeros((2 * openings * states, slots)),
        np.zeros(1 + 3 * states, dtype=np.int64),
        np.zeros(1 + 2 * openings * states, dtype=np.int64),
        np.zeros(3 * states, dtype=np.bool_),
        np.zeros(2 * openings * states, dtype=np.bool_),
    )
    _meet(begins * states + states - 1, flow.free_met, flow.is_free_met)
    flow.free[begins * states + states - 1, 0] = 1.0
    for room in range(rolls.shape[0]):
        for t in range(rolls.shape[1]):
            rolls[room, t] = 0.0
    turns = 1
    for law in memory.kind_law:
        if odds.law_first[law] == 0:
            turns = 2  # a changeover without minutes is followed at once
    for t in range(slots):
        for _ in range(turns):
            follow_ready(odds, memory, worths, t, flow, rolls)
            follow_free(odds, memory, choices, worths, t, flow, count)
    return count


@compiled()
def _drawn(odds: Odds, law: int, draw: float) -> int:
    """Give the slots that work takes, from a number between 0 and 1."""
    lag, below = odds.law_first[law], 0.0
    for k in range(odds.law_from[law], odds.law_from[law + 1] - 1):
        below += odds.law_chance[k]
        if draw < below:
            break
        lag += 1
    return int(lag)


@compiled()
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
    slots, choices = len(odds.end), list_choices(memory, prices)
    path = np.empty(len(draws) // 2, dtype=np.int64)
    m, s, t = begins, len(memory.shot) - 1, 0
    for length in range(len(path)):
        b = next_step(odds, choices, worths, m, s, t)
        if b == -1:
            m, t = 2, max(t, odds.meal_first) + odds.meal_slots
            b = next_step(odds, choices, worths, m, s, t)
        if b < 0:
            return path[:length]
        path[length] = b
        m, p = min(m, 1), choices.pair[s, b]
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
