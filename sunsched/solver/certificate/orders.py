"""Whether a part of a certificate has an order that reaches the limit (see `verify`)."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from sunsched.solver.certificate.part import NONE, Ints, Part, Refused, steps
from sunsched.solver.certificate.record import Searched
from sunsched.solver.instance.problem import FORBIDDEN

CHUNK = 500  # labels extended at a time


def has_no_order(part: Part, step: Searched) -> bool:
    """Extend all beginnings of orders that may reach the limit; tell whether none is one."""
    problem = part.problem
    if part.priced is None or part.earned is None or part.rest is None or part.free is None:
        raise Refused("labels before any prices")
    first, _, to, _ = steps(part)
    n, slots = problem.shots, problem.slots
    spans = [*zip(part.low, part.high, strict=True)] if step.is_whole else []
    place = np.cumsum([0, *(high - low for low, high in spans)])
    mu = np.zeros((n, place[-1]), dtype=np.int64)
    drift = np.zeros((n, slots, place[-1]), dtype=np.int64)
    for g, (low, high) in enumerate(spans):
        mine = problem.match == g
        mu[mine, place[g] : place[g + 1]] = part.priced.sun_prices[mine, low:high]
        drift[mine, :, place[g] : place[g + 1]] = problem.drift[mine, :, low:high] * part.scale
    gain = np.where(problem.gain > FORBIDDEN, problem.gain * part.scale, NONE)
    gain = gain if step.is_whole else part.earned
    constant = 0 if step.is_whole else -int(part.free.sum())
    still = part.priced.prices - (part.free if step.is_whole else 0)

    def least(figures: Ints) -> Ints:
        """Give what all matches cost at their best references, from (labels, W) figures."""
        ends = pairwise(place.tolist())
        return sum((figures[:, a:b].min(axis=1) for a, b in ends), np.zeros(len(figures), np.int64))

    # Rows: made (n), then last shot, state, slot, fed, worth, drift at each reference.
    layer = np.zeros((1, n + 5 + place[-1]), dtype=np.int64)
    layer[0, n] = n
    while len(layer):
        fresh = [layer[:0]]
        for some in np.array_split(layer, -(-len(layer) // CHUNK)):
            made, (last, state, slot, fed, worth) = some[:, :n], some[:, n : n + 5].T
            for b in range(n):
                then = to[np.minimum(state, len(to) - 1), b]
                then = np.where(last == n, first[b], then)
                is_open = (
                    (made[:, b] == 0)
                    & (then < len(to))
                    & (made @ problem.forbidden_pair[:, b] == 0)
                )
                cost = (problem.arc_cost[last, b] + made @ problem.pair_cost[:, b]) * part.scale
                for eats in (0, 1):
                    after = slot + problem.lag[last, b]
                    value = worth - cost
                    may = is_open
                    if eats:
                        after = np.maximum(
                            slot + problem.lag_fed[last, b], problem.fed_from[last, b]
                        )
                        may = is_open & (fed == 0) & (slot <= problem.eat_by[last])
                        value = value - problem.after_meal_cost[b] * part.scale
                    now = np.where(eats, 1, fed)
                    ok = may[:, None] & (np.arange(slots) >= after[:, None])
                    ok &= part.alive[:, now, np.minimum(then, len(to) - 1)].T
                    ok &= problem.gain[problem.kind[last, b], b] > FORBIDDEN
                    i, u = np.nonzero(ok)
                    if not len(i):
                        continue
                    won = value[i] + gain[problem.kind[last[i], b], b, u]
                    sums = some[i, n + 5 :] + drift[b, u]
                    made_now = made[i].copy()
                    made_now[:, b] = 1
                    bound = won - least(sums + made_now @ mu) + part.rest[u, now[i], then[i]]
                    bound = bound + (1 - made_now) @ still + constant
                    ends = (now[i] == 1) | problem.can_skip_meal[b, u]
                    ends &= made_now[:, problem.must].all(axis=1)
                    whole = won - least(sums) - problem.end_cost[b, u] * part.scale + constant
                    if (whole[ends] >= part.limit).any():
                        return False
                    keep = bound >= part.limit
                    columns = (np.full(len(i), b), then[i], u, now[i], won)
                    fresh.append(np.column_stack((made_now, *columns, sums))[keep])
        layer = _undominated(np.concatenate(fresh), n, place, is_whole=step.is_whole)
    return True


def _undominated(rows: Ints, n: int, place: Ints, *, is_whole: bool) -> Ints:
    """Leave out rows that another beats: no later, worth no less at every reference.

    With one reference for all of a match, rows of the same shots, last shot and meal compare; else
    only those in the same state, since a cell may be dead for one and alive for the other.
    """
    if not len(rows):
        return rows
    key = np.column_stack((rows[:, :n], rows[:, n if is_whole else n + 1], rows[:, n + 3]))
    _, group = np.unique(key, axis=0, return_inverse=True)
    order = np.lexsort((-rows[:, n + 4], rows[:, n + 2], group.ravel()))
    rows, group = rows[order], group.ravel()[order]
    kept = np.ones(len(rows), dtype=np.bool_)
    worth = rows[:, n + 4]
    for begin, end in pairwise([*np.flatnonzero(np.diff(group, prepend=-1)), len(rows)]):
        if not place[-1]:
            before = np.maximum.accumulate(worth[begin : end - 1])
            kept[begin + 1 : end] = worth[begin + 1 : end] > before
            continue
        for i in range(begin + 1, end):
            others = begin + np.flatnonzero(kept[begin:i])
            more = worth[others] - worth[i]
            drifts = rows[others, n + 5 :] - rows[i, n + 5 :]
            for a, b in pairwise(place.tolist()):
                more = more - drifts[:, a:b].max(axis=1)
            kept[i] = not (more >= 0).any()
    return rows[kept]
