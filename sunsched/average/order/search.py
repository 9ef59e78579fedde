"""The search for the order that is worth most on the average day.

Iterated local search (Lourenço, Martin and Stützle, Handbook of Metaheuristics, 2003): improve the
order and the references of its matches while that wins, make some random moves, improve again. Most
of it happens on coarse slots; the best orders are then judged to the minute.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from sunsched.average.model.drift import (
    DriftArray,
    Drifts,
    drift_table,
    made_drift,
    with_references,
)
from sunsched.average.model.odds import Odds
from sunsched.average.model.rest import Rest
from sunsched.average.order.local_search import best_reference, fill_moved, improve, repair
from sunsched.average.order.policy import fill_policy, first_worth
from sunsched.light.fit import IntArray
from sunsched.sky.track import FloatArray

SLACK = 1000.0  # points by which an order may be worse than the last one to be gone on from
FAR = 1500.0  # points by which an order is so much worse that its references are not looked at
MOST_MOVES, LONGEST_MOVED = 4, 8  # blocks that are moved at random, and shots of each
NEW_REFERENCE = 0.3  # how often a match gets a random reference


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """An order of the shots of a rest, with the reference of each match.

    `worth` is its points on the average day, counted as the judge counts.
    """

    order: IntArray
    references: IntArray
    worth: float


class Scratch:
    """Arrays to judge orders with, on the slots of one rest."""

    def __init__(self, rest: Rest, drifts: Drifts) -> None:
        n, slots = len(rest.shots), rest.slots
        openings = rest.odds.begin_from.shape[0]
        self.rest, self.drifts = rest, drifts
        self.free = np.zeros((2, n + 1, slots))
        self.fed = np.zeros((n + 1, slots))
        self.ready = np.zeros((2, n, openings, slots))

    def worth(self, order: IntArray, references: IntArray, odds: Odds | None = None) -> float:
        """Judge an order with its references; the arrays are filled for it.

        `odds` are those at the references, if they are known.
        """
        if odds is None:
            odds = with_references(self.rest, self.drifts, references)
        fill_policy(odds, order, len(order), self.free, self.fed, self.ready)
        value = first_worth(self.free, self.fed, self.rest.fed)
        return value + self.rest.settled - made_drift(self.drifts, references)


def search(
    rest: Rest,
    drifts: Drifts,
    first: Ordered,
    rounds: int,
    seed: int,
    go_on: Callable[[], bool],
) -> list[Ordered]:
    """Search from an order, on the slots of `rest`; give the best orders met, the best first.

    Parameters
    ----------
    rounds : local optima to look for after the first one
    go_on : asked before each round; its False ends the search
    """
    climb = Climb(rest, drifts)
    random = np.random.default_rng(seed)
    now = climb.up(first.order, first.references, -np.inf)
    met = {tuple(now.order.tolist()): now}
    best = now
    for _ in range(rounds):
        if len(rest.shots) < 2 or not go_on():
            break
        order = _shuffled(rest, now.order, random)
        references = now.references.copy()
        if len(references) and random.random() < NEW_REFERENCE:
            references[random.integers(len(references))] = random.integers(drifts.references)
        found = climb.up(order, references, best.worth)
        key = tuple(found.order.tolist())
        if key not in met or met[key].worth < found.worth:
            met[key] = found
        if found.worth > now.worth - SLACK:
            now = found
        if found.worth > best.worth:
            best = found
    return sorted(met.values(), key=lambda one: -one.worth)


class Climb:
    """A local search that keeps its arrays."""

    def __init__(self, rest: Rest, drifts: Drifts) -> None:
        self._scratch = Scratch(rest, drifts)
        self._table: DriftArray = drift_table(rest, drifts)
        # A match whose shots are all made has no rows, but a reference all the same.
        self._rows = [
            np.array(
                [row for row, (s, _) in enumerate(rest.rooms) if drifts.match[s] == g],
                dtype=np.int64,
            )
            for g in range(len(drifts.names))
        ]

    def up(self, order: IntArray, references: IntArray, best: float) -> Ordered:
        """Improve an order and its references; `best` is the worth of the best order so far."""
        scratch, drifts = self._scratch, self._scratch.drifts
        rest = scratch.rest
        order, references = order.copy(), references.copy()
        odds = with_references(rest, drifts, references)
        arrays = (scratch.free, scratch.fed, scratch.ready)
        base: FloatArray = rest.odds.gain
        while True:
            value = improve(odds, rest.forbidden, rest.fed, order, *arrays)
            worth = value + rest.settled - made_drift(drifts, references)
            if worth < best - FAR or not self.move(odds, base, order, references):
                return Ordered(order=order, references=references, worth=worth)

    def references(self, order: IntArray, references: IntArray) -> IntArray:
        """Give the references that are worth most to an order, looked for one match at a time."""
        scratch, found = self._scratch, references.copy()
        odds = with_references(scratch.rest, scratch.drifts, found)
        while self.move(odds, scratch.rest.odds.gain, order, found):
            pass
        return found

    def move(self, odds: Odds, base: FloatArray, order: IntArray, references: IntArray) -> bool:
        """Move references to better ones, in place; say whether any has moved."""
        scratch, moved = self._scratch, False
        for g, rows in enumerate(self._rows):
            found = best_reference(
                odds,
                base,
                self._table,
                rows,
                scratch.drifts.made[g],
                scratch.rest.fed,
                order,
                int(references[g]),
                scratch.free,
                scratch.fed,
                scratch.ready,
            )
            moved |= found != references[g]
            references[g] = found
        return moved


def _shuffled(rest: Rest, order: IntArray, random: np.random.Generator) -> IntArray:
    """Move some random blocks."""
    n, other = len(order), np.empty_like(order)
    for _ in range(int(random.integers(1, MOST_MOVES + 1))):
        size = int(random.integers(1, min(LONGEST_MOVED, n - 1) + 1))
        first, to = (int(random.integers(0, n - size + 1)) for _ in range(2))
        fill_moved(order, first, size, to, other)
        repair(other, rest.forbidden, n - 1)
        order, other = other.copy(), np.empty_like(order)
    return order
