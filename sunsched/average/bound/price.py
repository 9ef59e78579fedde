"""Prices that make the bound small: subgradient steps on the multipliers of the shots.

The worth of the best way that pays a price each time it begins a shot, plus all prices, is at least
that of any way that begins each shot once: the relaxation of a Markov decision process by
Lagrangian multipliers (Hawkins, A Lagrangian decomposition approach to weakly coupled dynamic
optimization problems, MIT, 2003; Adelman and Mersereau, Operations Research 56(3), 2008).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from sunsched.average.bound.adaptive import Worths, sweep
from sunsched.average.bound.memory import Memory
from sunsched.average.bound.visits import drawn_path, visits
from sunsched.average.model.odds import Odds
from sunsched.light.fit import BoolArray
from sunsched.sky.track import FloatArray

KEPT = 0.5  # of the last push
SHORTEST = 1e-3  # the step length at which the search for prices has settled
PATHS = 60  # drawn days on which cycles are looked for, at one of these shares of the prices
LOWER = (1.0, 0.95, 0.85)


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """Prices of the shots, (n,), and the bound that they give, in points to come."""

    prices: FloatArray
    bound: float


def bound_at(odds: Odds, memory: Memory, worths: Worths, prices: FloatArray, begins: int) -> float:
    """Sweep at some prices: the bound that they give."""
    sweep(odds, memory, prices, worths)
    first = worths.fed[0, -1] if begins == 2 else worths.free[0, begins, -1]
    return float(first + prices.sum())


def subgradient(
    odds: Odds,
    memory: Memory,
    worths: Worths,
    begins: int,
    start: FloatArray,
    target: float,
    steps: int,
    *,
    length: float = 1.0,
    patience: int = 6,
    go_on: Callable[[], bool] | None = None,
) -> Priced:
    """Look for prices with a small bound (Held, Wolfe and Crowder, Math. Programming 6, 1974).

    Parameters
    ----------
    target : points that some way of shooting is worth
    length : of the first step, as a share of what is between the bound and the target
    patience : steps without a smaller bound before the length is halved
    go_on : asked before each step after the first; its False ends the search
    """
    rolls = np.empty(odds.gain.shape)
    now, push, waited = start, np.zeros(len(start)), 0
    best = Priced(prices=start, bound=np.inf)
    for _ in range(steps):
        bound = bound_at(odds, memory, worths, now, begins)
        waited += 1
        if bound < best.bound:
            best, waited = Priced(prices=now, bound=bound), 0
        if length < SHORTEST or best.bound <= target or (go_on is not None and not go_on()):
            break
        if waited >= patience:
            # Start again from the best prices, more carefully.
            length, waited, now, push = 0.5 * length, 0, best.prices, np.zeros(len(start))
            bound_at(odds, memory, worths, now, begins)
        count = visits(odds, memory, now, worths, begins, rolls)
        push = count - 1.0 + KEPT * push
        size = float(push @ push)
        if size < 1e-9:
            break
        now = np.maximum(0.0, now + length * max(bound - target, 1.0) / size * push)
    return best


def cycles(
    odds: Odds,
    forbidden: BoolArray,
    memory: Memory,
    worths: Worths,
    prices: FloatArray,
    begins: int,
    seed: int,
) -> list[tuple[int, frozenset[int]]]:
    """List shots that should have been remembered, each with those begun since.

    One is that is begun again, or before a shot that it must come after, or that costs points for
    coming first. The most frequent come first.

    At the best prices the best way can be one that begins nothing, or each shot once, while others
    that are worth as much owe a great deal: then days are drawn at lower prices. The worths are
    changed.
    """
    random = np.random.default_rng(seed)
    met: Counter[tuple[int, frozenset[int]]] = Counter()
    for share in LOWER:
        sweep(odds, memory, share * prices, worths)
        for path in drawn_paths(odds, memory, share * prices, worths, begins, random, PATHS):
            _note_owed(odds, forbidden, path, met)
        if met:
            break
    # A cycle through many shots costs many states: those through few come first.
    return sorted(met, key=lambda one: (-met[one] / len(one[1]), one[0], sorted(one[1])))


def drawn_paths(
    odds: Odds,
    memory: Memory,
    prices: FloatArray,
    worths: Worths,
    begins: int,
    random: np.random.Generator,
    days: int,
) -> Iterator[list[int]]:
    """Draw days that are shot in the best way; `worths` are those at the prices."""
    for _ in range(days):
        draws = random.random(4 * len(prices))
        yield drawn_path(odds, memory, prices, worths, begins, draws).tolist()


def _note_owed(
    odds: Odds,
    forbidden: BoolArray,
    path: list[int],
    met: Counter[tuple[int, frozenset[int]]],
) -> None:
    """Count the shots of a drawn day that should have been remembered."""
    last: dict[int, int] = {}
    for place, shot in enumerate(path):
        for one, since in last.items():
            is_owed = one == shot or forbidden[one, shot] or odds.pair_cost[one, shot] > 0
            if is_owed and since + 1 < place:
                met[one, frozenset(path[since + 1 : place])] += 1
        last[shot] = place


def widened(
    sets: tuple[frozenset[int], ...],
    found: list[tuple[int, frozenset[int]]],
    most: int,
    largest: int,
) -> tuple[frozenset[int], ...]:
    """Let memories hold the shots of cycles: of `most` cycles, up to `largest` shots each."""
    wider = [set(one) for one in sets]
    added = 0
    for shot, between in found:
        if added == most:
            break
        if any(len(wider[one] | {shot}) > largest for one in between):
            continue
        added += any(shot not in wider[one] for one in between)
        for one in between:
            wider[one].add(shot)
    return tuple(frozenset(one) for one in wider)


def roll_chances(
    odds: Odds, memory: Memory, worths: Worths, prices: FloatArray, begins: int
) -> FloatArray:
    """Give the chance of each roll by its start: (rooms, T); `worths` are those at the prices."""
    rolls = np.empty(odds.gain.shape)
    visits(odds, memory, prices, worths, begins, rolls)
    return rolls
