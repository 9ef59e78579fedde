"""The search for the order that is worth most on the average day.

Ruin and recreate (Schrimpf et al., J. Computational Physics 159, 2000) with cooling: some shots are
taken out of the order, a match with a new reference among them, and put back where they are worth
most; a result that is a little worse may be gone on from. Most of it happens on coarse slots; the
best orders are then improved by a local search, and judged to the minute.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
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
from sunsched.average.order.local_search import best_reference, improve, set_reference
from sunsched.average.order.policy import fill_policy, first_worth
from sunsched.average.order.recreate import recreate
from sunsched.light.fit import IntArray

HOT, WARM = 2000.0, 300.0  # points that the first round may lose in the mean: anew, or near by
COOLED = 0.05  # of that, in the last round
MATCH_SHARE, BLOCK_SHARE = 0.35, 0.4  # rounds that take out a match, or shots next to one another
MOST_OUT, OUT_SHARE = 7, 1 / 3  # shots that are taken out, at most
MOST_WITH_MATCH = 2  # others that are taken out with a match
NEAR_BY = 15  # references by which that of a match moves in a round
SAME = 1.0  # points: orders so near in worth differ in what is hardly ever begun


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
    heat: float = HOT,
) -> list[Ordered]:
    """Search from an order, on the slots of `rest`; give the orders met that differ, best first.

    Parameters
    ----------
    go_on : asked before each round; its False ends the search
    heat : points that a round may lose in the mean, at first
    """
    climb, random = Climb(rest, drifts), np.random.default_rng(seed)
    now = climb.judged(first.order, first.references)
    met = {tuple(now.order.tolist()): now}
    for turn in range(rounds):
        if not go_on():
            break
        loss = heat * COOLED ** (turn / rounds)
        references = now.references.copy()
        order, out = _ruined(drifts, now.order, references, random)
        found = climb.recreated(order, references, out, now.worth - loss)
        if found.worth > now.worth - loss * random.exponential():
            now = found
            key = tuple(now.order.tolist())
            if key not in met or met[key].worth < now.worth:
                met[key] = now
    return differing(met.values())


def differing(orders: Iterable[Ordered]) -> list[Ordered]:
    """Give the orders that differ in worth, the best first."""
    found: list[Ordered] = []
    for one in sorted(orders, key=lambda one: -one.worth):
        if not found or found[-1].worth - one.worth > SAME:
            found.append(one)
    return found


class Climb:
    """A search that keeps its arrays."""

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
        # Gains at the references that are being looked at.
        self._odds = rest.odds._replace(gain=rest.odds.gain.copy())
        self._suns = drifts.references
        self._at = np.full(len(drifts.names), -1, dtype=np.int64)

    def up(self, order: IntArray, references: IntArray) -> Ordered:
        """Improve an order and its references, as long as a small change of either wins."""
        scratch, rest = self._scratch, self._scratch.rest
        order, references = order.copy(), references.copy()
        odds = self._odds_at(references)
        arrays = (scratch.free, scratch.fed, scratch.ready)
        while True:
            value = improve(odds, rest.forbidden, rest.fed, order, *arrays)
            if not self._move(order, references, range(len(references)), self._suns):
                worth = value + rest.settled - made_drift(scratch.drifts, references)
                return Ordered(order=order, references=references, worth=worth)

    def judged(self, order: IntArray, references: IntArray) -> Ordered:
        """Judge an order with its references."""
        worth = self._scratch.worth(order, references, self._odds_at(references))
        return Ordered(order=order, references=references, worth=worth)

    def recreated(self, order: IntArray, references: IntArray, out: int, least: float) -> Ordered:
        """Put back the last shots of an order; references move if it is worth `least` by then."""
        scratch, rest, drifts = self._scratch, self._scratch.rest, self._scratch.drifts
        odds, arrays = self._odds_at(references), (scratch.free, scratch.fed, scratch.ready)
        put_back = order[len(order) - out :].copy()
        value = recreate(odds, rest.forbidden, rest.fed, order, out, *arrays)
        worth = value + rest.settled - made_drift(drifts, references)
        matches = sorted({int(g) for g in drifts.match[put_back] if g >= 0})
        if worth < least or not matches:
            return Ordered(order=order, references=references, worth=worth)
        self._move(order, references, matches, NEAR_BY)
        return self.judged(order, references)

    def references(self, order: IntArray, references: IntArray) -> IntArray:
        """Give the references that are worth most to an order, looked for one match at a time."""
        found = references.copy()
        while self._move(order, found, range(len(found)), self._suns):
            pass
        return found

    def _odds_at(self, references: IntArray) -> Odds:
        """Give the odds at some references; they change with the next ones."""
        base = self._scratch.rest.odds.gain
        for g in np.flatnonzero(self._at != references):
            rows, r = self._rows[g], int(references[g])
            set_reference(self._odds, base, self._table, rows, r)
            self._at[g] = r
        return self._odds

    def _move(
        self, order: IntArray, references: IntArray, matches: Iterable[int], reach: int
    ) -> bool:
        """Move references of matches to better ones, in place; say whether any has moved."""
        scratch, moved = self._scratch, False
        odds = self._odds_at(references)
        for g in matches:
            found = best_reference(
                odds,
                scratch.rest.odds.gain,
                self._table,
                self._rows[g],
                scratch.drifts.made[g],
                scratch.rest.fed,
                order,
                int(references[g]),
                reach,
                scratch.free,
                scratch.fed,
                scratch.ready,
            )
            moved |= found != references[g]
            references[g] = self._at[g] = found
        return moved


def _ruined(
    drifts: Drifts, order: IntArray, references: IntArray, random: np.random.Generator
) -> tuple[IntArray, int]:
    """Take some shots out of an order and put them last; a match gets a random reference, in place.

    Returns the order, and how many shots stand last.
    """
    n, kind = len(order), random.random()
    most = min(n, max(2, min(MOST_OUT, round(n * OUT_SHARE))))
    count = int(random.integers(1, most + 1))
    if len(references) and kind < MATCH_SHARE:
        g = int(random.integers(len(references)))
        references[g] = random.integers(drifts.references)
        is_in = drifts.match[order] == g
        inside, others = order[is_in], order[~is_in]
        more = int(random.integers(0, MOST_WITH_MATCH + 1))
        out = np.concatenate([random.permutation(inside)[:most], random.permutation(others)[:more]])
    elif kind < MATCH_SHARE + BLOCK_SHARE:
        first = int(random.integers(0, n - count + 1))
        out = order[first : first + count]
    else:
        out = random.permutation(order)[:count]
    if not len(out):
        out = order[-1:]
    kept = order[~np.isin(order, out)]
    placed = np.concatenate([kept, random.permutation(out)])
    return placed, len(out)
