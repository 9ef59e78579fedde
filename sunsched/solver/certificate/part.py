"""A part of a certificate as far as it is checked, and its states (see `verify`)."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from sunsched.solver.certificate.record import Priced
from sunsched.solver.instance.problem import Problem

Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]
NONE = -(1 << 54)  # stands for what cannot be


class Refused(Exception):
    """A certificate does not show what it says."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Part:
    """A part as far as it was bounded: its intervals, its states (M), its cells alive (T, 2, M).

    `closes` says that no plan in it reaches `limit`, the worth that no plan is to reach; `prices`
    is the last pricing with its `earned`, `rest` and constant.
    """

    problem: Problem
    scale: int
    limit: int
    low: tuple[int, ...]
    high: tuple[int, ...]
    sets: tuple[tuple[int, ...], ...]
    alive: Bools
    closes: bool = False
    priced: Priced | None = None
    earned: Ints | None = None
    rest: Ints | None = None
    free: Ints | None = None


def states(sets: tuple[tuple[int, ...], ...]) -> tuple[Ints, Ints, Bools]:
    """List all states: first of each shot (n+1,), its shot (M,), and what it remembers (M, n)."""
    n = len(sets)
    first = np.concatenate(([0], np.cumsum([1 << len(one) for one in sets])))
    owner = np.repeat(np.arange(n), np.diff(first))
    kept = np.zeros((len(owner), n), dtype=np.bool_)
    for a, one in enumerate(sets):
        for place, shot in enumerate(one):
            kept[first[a] : first[a + 1], shot] = (np.arange(1 << len(one)) >> place) & 1
    return first, owner, kept


def steps(part: Part) -> tuple[Ints, Ints, Ints, Ints]:
    """Give each shot's first state, owners, where making a shot leads (M, n) or M, and costs."""
    problem = part.problem
    first, owner, kept = states(part.sets)
    made = kept.copy()
    made[np.arange(len(owner)), owner] = True
    shut = made | ((made.astype(np.int64) @ problem.forbidden_pair) > 0)
    to = np.empty(made.shape, dtype=np.int64)
    for b, one in enumerate(part.sets):
        code = sum((made[:, x].astype(np.int64) << p for p, x in enumerate(one)), first[b])
        to[:, b] = np.where(shut[:, b], len(owner), code)
    cost = problem.arc_cost[owner] + made @ problem.pair_cost
    return first, owner, to, cost * part.scale


def remembered(part: Part, sets: tuple[tuple[int, ...], ...]) -> Part:
    """Carry alive cells to a wider memory: through every part of what a new state remembers."""
    if any(not set(old) <= set(new) for old, new in zip(part.sets, sets, strict=True)):
        raise Refused("a memory forgets what it knew")
    first, owner, kept = states(sets)
    was = states(part.sets)[0]
    alive = np.zeros((*part.alive.shape[:2], len(owner)), dtype=np.bool_)
    for a, one in enumerate(part.sets):
        cells = part.alive[:, :, was[a] : was[a + 1]].copy()
        for place in range(len(one)):
            codes = np.flatnonzero((np.arange(1 << len(one)) >> place) & 1)
            cells[:, :, codes] |= cells[:, :, codes ^ (1 << place)]
        rows = slice(first[a], first[a + 1])
        code = sum((kept[rows, x].astype(np.int64) << p for p, x in enumerate(one)), 0)
        alive[:, :, rows] = cells[:, :, code + np.zeros(first[a + 1] - first[a], dtype=np.int64)]
    return replace(part, sets=sets, alive=alive, priced=None)
