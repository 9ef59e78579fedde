"""An upper bound on every order: each shot priced instead of forbidden to repeat (compiled).

Drop "each shot at most once" and charge λ for each time a shot is made instead. What is left is a
longest path through the slots with two states (meal taken or not), found by one sweep backward
over the day. For any λ ≥ 0 its value plus Σλ is at least that of the best order; subgradient steps
look for a small one. Lagrangian bounds on time-indexed paths are known to be tight: van den Akker,
Hurkens and Savelsbergh, INFORMS J. Computing 12(2), 2000; Tanaka and Fujikuma, J. Scheduling 15,
2012.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numba import njit

from sunsched.order.fit import IntArray
from sunsched.order.tables import LOST, NEVER, Tables

PATIENCE = 8  # steps without a smaller bound before the step length shrinks
SHORTEST = 1e-3  # the step length at which the search for prices has settled


class Sweep(NamedTuple):
    """What a sweep finds; every figure has a best (0) and a second (1), by which shot follows.

    Attributes
    ----------
    ahead : (2, 2, K, n, T) [rank, m] is the value of starting a shot in a slot or later, the meal
        taken before it (m = 1) or not
    after : (2, K, n, T) the shot that follows in the best one, −1 for the day's end
    rest : (2, 2, n, T) the value after a shot that starts in the slot
    follower : (2, n, T) the shot that follows there in the best one, −1 for the day's end
    """

    ahead: IntArray
    after: IntArray
    rest: IntArray
    follower: IntArray

    @classmethod
    def empty(cls, gain: IntArray) -> Sweep:
        """Make room for a sweep over gains (K, n, T)."""
        kinds, n, slots = gain.shape
        return cls(
            ahead=np.empty((2, 2, kinds, n, slots), dtype=np.int64),
            after=np.empty((2, kinds, n, slots), dtype=np.int64),
            rest=np.empty((2, 2, n, slots), dtype=np.int64),
            follower=np.empty((2, n, slots), dtype=np.int64),
        )


@njit(cache=True)
def sweep(tables: Tables, gain: IntArray, prices: IntArray, swept: Sweep) -> int:
    """Sweep the day from its end and give the value of the best path, prices charged.

    No path goes from a shot to another and straight back: for that, every state keeps its best rest
    and the best rest whose next shot is a different one.

    Parameters
    ----------
    gain : (K, n, T) what each start earns at best, match costs included as far as known
    prices : (n,) λ, scaled
    swept : filled here
    """
    kinds, n, slots = gain.shape
    ahead, after, rest, after_start = swept.ahead, swept.after, swept.rest, swept.follower
    kind, lag, lag_meal = tables.kind, tables.lag, tables.lag_meal
    near, toll, roll_slots = tables.near, tables.after_meal_cost, tables.roll_slots
    meal_from, meal_to = tables.meal_from, tables.meal_to
    end_cost, can_skip_meal = tables.end_cost, tables.can_skip_meal
    for t in range(slots - 1, -1, -1):
        for a in range(n):
            useful = False
            for k in range(kinds):
                useful |= gain[k, a, t] > LOST
            hungry, hungry_next, hungry_second = NEVER, -1, NEVER
            fed, fed_next, fed_second = NEVER, -1, NEVER
            if useful:
                fed = -end_cost[a, t]
                if can_skip_meal[a, t]:
                    hungry = fed
                meal = max(t + roll_slots[a], meal_from)
                for b in range(n):
                    if b == a:
                        continue
                    k = kind[a, b]
                    cost = near[a, b]
                    to_hungry = NEVER
                    then = t + lag[a, b]
                    if then < slots:
                        to_hungry = ahead[int(after[0, k, b, then] == a), 0, k, b, then] - cost
                        to_fed = ahead[int(after[1, k, b, then] == a), 1, k, b, then] - cost
                        if to_fed > fed:
                            fed, fed_next, fed_second = to_fed, b, fed
                        elif to_fed > fed_second:
                            fed_second = to_fed
                    then = meal + lag_meal[a, b]
                    if meal <= meal_to and then < slots:
                        rank = int(after[1, k, b, then] == a)
                        to_hungry = max(to_hungry, ahead[rank, 1, k, b, then] - cost - toll[b])
                    if to_hungry > hungry:
                        hungry, hungry_next, hungry_second = to_hungry, b, hungry
                    elif to_hungry > hungry_second:
                        hungry_second = to_hungry
            rest[0, 0, a, t], rest[1, 0, a, t] = hungry, hungry_second
            rest[0, 1, a, t], rest[1, 1, a, t] = fed, fed_second
            after_start[0, a, t], after_start[1, a, t] = hungry_next, fed_next
            for k in range(kinds):
                earn = gain[k, a, t] - prices[a]
                for m in range(2):
                    best, second, follower = NEVER, NEVER, -1
                    if t + 1 < slots:
                        best, second = ahead[0, m, k, a, t + 1], ahead[1, m, k, a, t + 1]
                        follower = after[m, k, a, t + 1]
                    if gain[k, a, t] > LOST:
                        own = earn + (fed if m == 1 else hungry)
                        own_second = earn + (fed_second if m == 1 else hungry_second)
                        own_next = fed_next if m == 1 else hungry_next
                        if own_next == follower:
                            best, second = max(best, own), max(second, own_second)
                        elif own > best:
                            best, second, follower = own, max(best, own_second), own_next
                        else:
                            second = max(second, own)
                    ahead[0, m, k, a, t], ahead[1, m, k, a, t] = best, second
                    after[m, k, a, t] = follower
    whole: int = NEVER
    for b in range(n):
        k = kind[n, b]
        then = lag[n, b]
        if then < slots:
            whole = max(whole, ahead[0, 0, k, b, then] - near[n, b])
        first_meal: Any = max(roll_slots[n], meal_from)
        then = first_meal + lag_meal[n, b]
        if first_meal <= meal_to and then < slots:
            whole = max(whole, ahead[0, 1, k, b, then] - near[n, b] - toll[b])
    return whole


@njit(cache=True)
def follow(tables: Tables, gain: IntArray, swept: Sweep, visits: IntArray, path: IntArray) -> int:
    """Follow the best path of a sweep, note its visits and (shot, slot) pairs, and give its length.

    Parameters
    ----------
    visits : (n,) filled here
    path : (T, 2) filled here
    """
    _, n, slots = gain.shape
    ahead, after = swept.ahead, swept.after
    visits[:] = 0
    before, a, t, fed, length = -1, n, 0, 0, 0
    while length < slots:
        best: int = NEVER
        if a < n and (fed == 1 or tables.can_skip_meal[a, t]):
            best = -tables.end_cost[a, t]
        to: int = -1
        start, to_fed, to_rank = 0, fed, 0
        meal: Any = max(t + tables.roll_slots[a], tables.meal_from)
        for b in range(n):
            if b in (a, before):
                continue
            k = tables.kind[a, b]
            then = t + tables.lag[a, b]
            if then < slots:
                rank = int(after[fed, k, b, then] == a)
                value = ahead[rank, fed, k, b, then] - tables.near[a, b]
                if value > best:
                    best, to, start, to_fed, to_rank = value, b, then, fed, rank
            then = meal + tables.lag_meal[a, b]
            if fed == 0 and meal <= tables.meal_to and then < slots:
                rank = int(after[1, k, b, then] == a)
                value = ahead[rank, 1, k, b, then] - tables.near[a, b]
                value -= tables.after_meal_cost[b]
                if value > best:
                    best, to, start, to_fed, to_rank = value, b, then, 1, rank
        if to < 0:
            break
        k = tables.kind[a, to]
        before, a, t, fed = a, to, start, to_fed
        # The value stands from the slot where it is earned back to every earlier one.
        while (
            t + 1 < slots
            and _with_rank(ahead, after, fed, k, a, t + 1, before)
            == ahead[to_rank, fed, k, a, start]
        ):
            t += 1
        visits[a] += 1
        path[length, 0] = a
        path[length, 1] = t
        length += 1
    return length


@njit(cache=True)
def _with_rank(
    ahead: IntArray, after: IntArray, fed: int, k: int, a: int, t: int, before: int
) -> int:
    """Give the best value of starting shot a in a slot or later and not going back to `before`."""
    return int(ahead[int(after[fed, k, a, t] == before), fed, k, a, t])


def best_prices(
    tables: Tables, gain: IntArray, prices: IntArray, target: int, steps: int
) -> tuple[int, IntArray]:
    """Look for prices with a small bound by subgradient steps; stop early at or below the target.

    Parameters
    ----------
    prices : (n,) where to start
    target : value of the best plan known; at or below it the bound has done its work

    Returns
    -------
    bound, prices : the smallest bound found, scaled, and its prices
    """
    _, n, slots = gain.shape
    swept = Sweep.empty(gain)
    visits = np.zeros(n, dtype=np.int64)
    path = np.zeros((slots, 2), dtype=np.int64)
    now = best = prices
    best_bound = -NEVER
    length, waited = 1.0, 0
    push = np.zeros(n)
    for _ in range(steps):
        bound = int(sweep(tables, gain, now, swept) + now.sum())
        if bound < best_bound:
            best_bound, best, waited = bound, now, 0
        else:
            waited += 1
            if waited >= PATIENCE:
                # Start again from the best prices, more carefully; the next sweep is theirs.
                length, waited, now, push = 0.6 * length, 0, best, np.zeros(n)
                continue
        if best_bound <= target or length < SHORTEST:
            break
        follow(tables, gain, swept, visits, path)
        if (visits == 1).all():
            break
        # A push that remembers the last ones zigzags less (Camerini, Fratta and Maffioli, 1975).
        push = (visits - 1.0) + 0.7 * push
        move = length * max(bound - target, 1) / max(float((push * push).sum()), 1e-9)
        now = np.maximum(0, now + np.rint(move * push).astype(np.int64))
    return best_bound, best
