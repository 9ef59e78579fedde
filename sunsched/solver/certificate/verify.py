"""A checker of proofs: redoes every bound of a certificate in plain numpy, and shares no code.

It is slow and knows only a problem's tables. A leaf of the certificate is closed when no plan in it
can be worth more than the bound; the certificate holds when all leaves are, and cover all plans.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np

from sunsched.solver.certificate.orders import has_no_order
from sunsched.solver.certificate.part import NONE, Ints, Part, Refused, remembered, steps
from sunsched.solver.certificate.record import Certificate, Note, Priced, Remembered
from sunsched.solver.instance.problem import FORBIDDEN, Problem

LARGEST = 1 << 46  # prices and all that a plan can win or lose, scaled


def verify(problem: Problem, certificate: Certificate) -> str | None:
    """Say what is wrong with a certificate; None when no plan is worth more than its bound."""
    groups, suns = int(problem.match.max()) + 1, problem.drift.shape[2]
    root = certificate.root
    if root.low != (0,) * groups or root.high != (suns,) * groups:
        return "the root does not hold all references"
    if certificate.bound != certificate.points:
        return "only a proof can be checked, and the bound is not the plan's worth"
    if not _is_known_kind(problem):
        return "tables in which an earlier start may be worth less, or a cost is a gain"
    part = Part(
        problem=problem,
        scale=certificate.scale,
        limit=(certificate.bound + 1 - problem.base) * certificate.scale,
        low=root.low,
        high=root.high,
        sets=((),) * problem.shots,
        alive=np.ones((problem.slots, 2, problem.shots), dtype=np.bool_),
    )
    try:
        _check(part, root)
    except Refused as refused:
        return str(refused)
    return None


def _is_known_kind(problem: Problem) -> bool:
    """Say whether tables are such that a label that starts no later can do all that another can."""
    lags = np.minimum(problem.lag, problem.lag_fed)
    goes_on = problem.offset[None, :] > problem.offset[:, None]
    is_late = np.diff(problem.end_cost, axis=1) >= 0
    skips_less = np.diff(problem.can_skip_meal.astype(np.int64), axis=1) <= 0
    return bool(
        (lags >= 0).all()
        and (goes_on | (lags[:-1] > 0) | np.eye(problem.shots, dtype=np.bool_)).all()
        and (problem.pair_cost >= 0).all()
        and is_late.all()
        and skips_less.all()
    )


def _check(part: Part, node: Note) -> None:
    for step in node.steps:
        if part.closes:
            return
        if isinstance(step, Priced):
            part = _bounded(part, step)
        elif isinstance(step, Remembered):
            part = remembered(part, step.sets)
        elif step.bound < part.limit:
            part = replace(part, closes=has_no_order(part, step))
    if part.closes:
        return
    if not node.children:
        raise Refused(f"references {node.low} to {node.high} may hold a better plan")
    _check_children(part, node)
    for child in node.children:
        _check(replace(part, low=child.low, high=child.high, priced=None), child)


def _check_children(part: Part, node: Note) -> None:
    """Refuse children that differ in more than one match, or leave references out."""
    whole = [*zip(part.low, part.high, strict=True)]
    spans = [[*zip(child.low, child.high, strict=True)] for child in node.children]
    groups = {g for mine in spans for g, own in enumerate(mine) if own != whole[g]}
    if len(groups) > 1:
        raise Refused("children differ in more than one match")
    for g in groups:
        ends = sorted(mine[g] for mine in spans)
        has_gap = any(one[1] < other[0] for one, other in pairwise(ends))
        if has_gap or ends[0][0] > whole[g][0] or max(end for _, end in ends) < whole[g][1]:
            raise Refused(f"children of {node.low} to {node.high} leave references out")


def _charged(part: Part, step: Priced) -> tuple[Ints, Ints]:
    """Give what each start earns (K, n, T) and what each shot left out is charged (n,)."""
    problem, mu = part.problem, step.sun_prices
    largest = max(int(np.abs(figures).max(initial=0)) for figures in (step.prices, mu))
    if max(largest, problem.span * part.scale) >= LARGEST:
        raise Refused("figures too large to be added exactly")
    if (step.prices < 0)[~problem.must].any():
        raise Refused("a price is below zero")
    earned = np.where(problem.gain > FORBIDDEN, problem.gain * part.scale, NONE)
    free = np.zeros(problem.shots, dtype=np.int64)
    for g, (low, high) in enumerate(zip(part.low, part.high, strict=True)):
        members = np.flatnonzero(problem.match == g)
        if mu[members, low:high].sum(axis=0).any():
            raise Refused("prices of references do not add up to nothing")
        for s in members:
            free[s] = mu[s, low:high].min()
            drift = problem.drift[s, :, low:high].astype(np.int64) * part.scale
            earned[:, s] -= (drift + mu[s, low:high]).min(axis=1) - free[s]
    return earned, free


def _bounded(part: Part, step: Priced) -> Part:
    """Sweep back and forward over the alive cells: bound the part, strike out what is of no use."""
    problem, (earned, free) = part.problem, _charged(part, step)
    n, slots, walk = problem.shots, problem.slots, np.argsort(problem.offset, kind="stable")
    first, owner, to, cost = steps(part)
    worth = earned - step.prices[:, None]
    worth[problem.gain <= FORBIDDEN] = NONE
    shape = (len(problem.gain), slots + 1, 2, len(owner) + 1)
    ahead, into = np.full(shape, NONE), np.full(shape, NONE)
    rest = np.full(part.alive.shape, NONE)
    toll = problem.after_meal_cost * part.scale

    def hops(a: int, t: int) -> list[tuple[int, int, Ints, Ints]]:
        """List the ways on: meal state before and after, first slots (n,), costs of the meal."""
        straight = np.minimum(t + problem.lag[a], slots)
        fed = np.minimum(np.maximum(t + problem.lag_fed[a], problem.fed_from[a]), slots)
        ways = [(0, 0, straight, 0 * toll), (1, 1, straight, 0 * toll)]
        return [*ways, (0, 1, fed, toll)] if t <= problem.eat_by[a] else ways

    starts = [way for way in hops(n, 0) if way[0] == 0]
    for t in range(slots - 1, -1, -1):
        ahead[:, t] = ahead[:, t + 1]
        for a in walk[::-1].tolist():
            rows = slice(first[a], first[a + 1])
            for m in (0, 1):
                live = np.flatnonzero(part.alive[t, m, rows]) + first[a]
                if not len(live):
                    continue
                can_end = m == 1 or problem.can_skip_meal[a, t]
                best = np.full(len(live), -problem.end_cost[a, t] * part.scale if can_end else NONE)
                for _, then, slot, extra in (way for way in hops(a, t) if way[0] == m):
                    value = ahead[problem.kind[a], slot, then, to[live]] - cost[live] - extra
                    best = np.maximum(best, value.max(axis=1))
                rest[t, m, live] = best
                for k in range(len(ahead)):
                    value = np.maximum(worth[k, a, t] + best, NONE)
                    ahead[k, t, m, live] = np.maximum(ahead[k, t, m, live], value)
    root_cost = problem.arc_cost[n] * part.scale
    whole = max(
        int((ahead[problem.kind[n], slot, then, first[:-1]] - root_cost - extra).max())
        for _, then, slot, extra in starts
    )
    constant = int(step.prices.sum() - free.sum())
    alive = part.alive.copy()
    for _, then, slot, extra in starts:
        at = (problem.kind[n], slot, then, first[:-1])
        into[at] = np.maximum(into[at], -root_cost - extra)
    for t in range(slots):
        into[:, t] = np.maximum(into[:, t], into[:, max(0, t - 1)])
        for a in walk.tolist():
            for m in (0, 1):
                live = np.flatnonzero(alive[t, m, first[a] : first[a + 1]]) + first[a]
                if not len(live):
                    continue
                here = (into[:, t, m, live] + worth[:, a, t, None]).max(axis=0)
                dead = here + rest[t, m, live] + constant < part.limit
                alive[t, m, live[dead]] = False
                live, here = live[~dead], here[~dead]
                for _, then, slot, extra in (way for way in hops(a, t) if way[0] == m):
                    value = np.maximum(here[:, None] - cost[live] - extra, NONE)
                    kind = np.broadcast_to(problem.kind[a], value.shape)
                    where: Any = (kind, np.broadcast_to(slot, value.shape), then, to[live])
                    np.maximum.at(into, where, value)
    closes = part.closes or whole + constant < part.limit
    return replace(
        part, alive=alive, closes=closes, priced=step, earned=earned, rest=rest, free=free
    )
