"""Labels: beginnings of orders, and how they are extended by one more shot (compiled).

A label says which shots are made, the last of them, its start, whether the meal is taken, the state
of the bound's memory that it is in, what it earns, and what the drift of each match costs so far at
each reference of the part. It goes when it and the bound of its rest cannot beat the best plan, or
when another with the same shots and the same last one starts no later and is worth no less,
whatever references come out best.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from numba import njit

from sunsched.order.fit import BoolArray, IntArray
from sunsched.order.tables import LOST, NEVER, SCALE, Tables

MASK, LAST, SLOT, FED, VALUE, BOUND, PARENT, STATE = range(8)  # columns of a label
Points = npt.NDArray[np.int32]


class Suns(NamedTuple):
    """What labels need to know of the references of a part; G matches, n shots, R references.

    `low` and `high` are (G,) intervals, `place` is (G+1,) where each begins in a label's drifts;
    `drift` (n, T, R), `match` (n,) and `prices` (n, R) are those of the problem and the part.
    """

    low: IntArray
    high: IntArray
    place: IntArray
    drift: Points
    match: IntArray
    prices: IntArray


class Labels(NamedTuple):
    """Labels in rows: (rows, 8) what they are, (rows, G) what each match is charged, and drifts.

    `drifts` is (rows, W) points so far at each reference of each match; `charged` the least, over
    references, of drifts and prices.
    """

    columns: IntArray
    charged: IntArray
    drifts: Points


@njit(cache=True, nogil=True)
def extend(
    tables: Tables,
    gain: IntArray,
    prices: IntArray,
    to_make: IntArray,
    suns: Suns,
    first: IntArray,
    to: Points,
    alive: BoolArray,
    picks_alone: bool,
    ahead: IntArray,
    rest: IntArray,
    layer: Labels,
    at: int,
    fresh: Labels,
    count: int,
    heads: IntArray,
    chain: IntArray,
    best: int,
    floor: int,
    top: IntArray,
) -> tuple[int, int, int, int]:
    """Extend labels by every shot left, from label `at` on, until all are done or `fresh` is full.

    Parameters
    ----------
    gain : (K, n, T) what starts earn, less what the picks of each alone are charged
    to_make : (n,) what a label's bound still gains for each shot left: its price, less its pick
    picks_alone : whether each shot of a match picks a reference of its own, so that what a label
        earns is no plan's worth: a start that no better plan has may then be on the way of a label
        that beats another, and only labels in the same state can be told apart
    fresh : holds `count` labels and gets more
    heads, chain : scratch space, for finding labels of the same shots, last shot and meal; a power
        of two long, and as long as `fresh`
    best : the value to beat
    floor : labels with a bound below this have no room
    top : (3,) label, shot and slot of the best complete order, filled here when one beats it

    Returns
    -------
    at, count : the first label not extended, and the labels in `fresh`
    best : the value to beat, raised by every order that is complete and better
    below : the highest bound of those that had no room
    """
    _, n, slots = gain.shape
    kind, lag, lag_meal, roll_slots = tables.kind, tables.lag, tables.lag_meal, tables.roll_slots
    arc_cost, far, toll = tables.arc_cost, tables.far, tables.after_meal_cost
    end_cost, can_skip_meal = tables.end_cost, tables.can_skip_meal
    old, new, match, place = layer.columns, fresh.columns, suns.match, suns.place
    groups, width = layer.charged.shape[1], layer.drifts.shape[1]
    pays = np.zeros(groups, dtype=np.int64)
    picked = np.zeros(suns.prices.shape[1], dtype=np.int64)
    below = NEVER
    heads[:] = -1
    for j in range(count):
        spot = _place(new[j, 0], new[j, 1], new[j, 3], len(heads))
        chain[j] = heads[spot]
        heads[spot] = j
    for i in range(at, len(old)):
        if count + 2 * n * slots > len(new):
            return i, count, best, below
        mask, a, t, fed = old[i, 0], old[i, 1], old[i, 2], old[i, 3]
        left, charged, paid = 0, 0, 0
        for b in range(n):
            if not (mask >> b) & 1:
                left += to_make[b]
        for g in range(groups):
            charged += layer.charged[i, g]
            pays[g] = layer.drifts[i, place[g]]
            for w in range(place[g], place[g + 1]):
                pays[g] = min(pays[g], layer.drifts[i, w])
            paid += pays[g]
        meal = max(t + roll_slots[a], tables.meal_from)
        for b in range(n):
            if (mask >> b) & 1:
                continue
            cost = arc_cost[a, b]
            for x in range(n):
                if (mask >> x) & 1:
                    cost += far[x, b]
            if old[i, 4] - cost < LOST:
                continue
            state = first[b] if a == n else np.int64(to[old[i, 7], b])
            if state == first[n]:
                continue
            g = match[b]
            if g >= 0:
                for r in range(suns.low[g], suns.high[g]):
                    picked[r] = suns.prices[b, r]
                for x in range(n):
                    if (mask >> x) & 1 and match[x] == g:
                        for r in range(suns.low[g], suns.high[g]):
                            picked[r] += suns.prices[x, r]
            k = kind[a, b]
            for eats in range(2 - fed):
                then = t + lag[a, b]
                here = old[i, 4] - cost
                now_fed = fed
                if eats:
                    then = meal + lag_meal[a, b]
                    here -= toll[b]
                    now_fed = 1
                    if meal > tables.meal_to:
                        continue
                record = LOST
                for u in range(then, slots):
                    if here - charged + ahead[u, now_fed, k, state] + left <= best:
                        break
                    if not alive[u, now_fed, state] or tables.gain[k, b, u] <= record:
                        continue
                    after = rest[u, now_fed, state] + left - prices[b]
                    if here - charged + gain[k, b, u] + after <= best:
                        continue
                    worth = here + tables.gain[k, b, u]
                    now_charged, now_paid = charged, paid
                    if g < 0:
                        # No later start of this label can do more with less.
                        record = tables.gain[k, b, u]
                    else:
                        least, lowest = -NEVER, -NEVER
                        for r in range(suns.low[g], suns.high[g]):
                            w = place[g] + r - suns.low[g]
                            drift = layer.drifts[i, w] + suns.drift[b, u, r]
                            fresh.drifts[count, w] = drift
                            lowest = min(lowest, drift)
                            least = min(least, drift * SCALE + picked[r])
                        now_charged += least - layer.charged[i, g]
                        now_paid += lowest - pays[g]
                    if now_fed or can_skip_meal[b, u]:
                        finished = worth - end_cost[b, u] - now_paid * SCALE
                        if finished > best:
                            best = finished
                            top[0], top[1], top[2] = i, b, u
                    bound = worth - now_charged + rest[u, now_fed, state] + left - to_make[b]
                    if bound <= best:
                        continue
                    if bound < floor:
                        below = max(below, bound)
                        continue
                    for w in range(width):
                        if g < 0 or w < place[g] or w >= place[g + 1]:
                            fresh.drifts[count, w] = layer.drifts[i, w]
                    made = mask | (1 << b)
                    spot = _place(made, b, now_fed, len(heads))
                    j = heads[spot]
                    is_beaten = False
                    while j >= 0 and not is_beaten:
                        is_like = new[j, 0] == made and new[j, 1] == b and new[j, 3] == now_fed
                        if is_like and (new[j, 7] == state or not picks_alone):
                            more = new[j, 4] - worth
                            if new[j, 2] <= u and _is_worth(fresh.drifts, place, j, count, more):
                                is_beaten = True
                            elif new[j, 2] >= u and _is_worth(fresh.drifts, place, count, j, -more):
                                break
                        j = chain[j]
                    if is_beaten:
                        continue
                    if j < 0:
                        j = count
                        count += 1
                        chain[j] = heads[spot]
                        heads[spot] = j
                    else:
                        for w in range(width):
                            fresh.drifts[j, w] = fresh.drifts[count, w]
                    for h in range(groups):
                        fresh.charged[j, h] = layer.charged[i, h]
                    if g >= 0:
                        fresh.charged[j, g] += now_charged - charged
                    new[j, 0] = made
                    new[j, 1] = b
                    new[j, 2] = u
                    new[j, 3] = now_fed
                    new[j, 4] = worth
                    new[j, 5] = bound
                    new[j, 6] = i
                    new[j, 7] = state
    return len(old), count, best, below


@njit(cache=True, nogil=True)
def _is_worth(drifts: Points, place: IntArray, one: int, other: int, more: int) -> bool:
    """Say whether a label that earns so much more is worth the other's at every reference."""
    # Three references tell most pairs apart: the ends and the middle.
    for half in range(3):
        sample = 0
        for g in range(len(place) - 1):
            w = place[g] + (place[g + 1] - 1 - place[g]) * half // 2
            sample += drifts[one, w] - drifts[other, w]
        if more < sample * SCALE:
            return False
    for g in range(len(place) - 1):
        worst = -(1 << 40)
        for w in range(place[g], place[g + 1]):
            worst = max(worst, drifts[one, w] - drifts[other, w])
        more -= worst * SCALE
    return more >= 0


@njit(cache=True, nogil=True)
def _place(mask: int, last: int, fed: int, size: int) -> int:
    """Give where labels of these shots, last shot and meal are found; `size` is a power of two."""
    mixed = (mask ^ (mask >> 17)) * 0x9E3779B1 + last * 0x85EBCA6B + fed * 0xC2B2AE35
    return int((mixed ^ (mixed >> 15)) & (size - 1))
