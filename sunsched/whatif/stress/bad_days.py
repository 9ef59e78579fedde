"""The search for the order that keeps the most light on bad days.

Its aim is the mean light of the worst tenth of drawn days. The light that nine days in ten keep
would be a poor aim: an order that fails badly on nine days in a hundred has much of it. No
programme gives either: the worst days of a sum are not those of its parts. So orders are followed
through drawn days, the same ones for all of them, from the best order met to its neighbours
(best-first search). To follow one takes milliseconds, so of the neighbours only those are followed
that are worth most on the average day.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from sunsched.average.drawn import draw_days
from sunsched.average.ground import Ground
from sunsched.average.model.drift import with_references
from sunsched.average.model.odds import Odds
from sunsched.average.model.rest import Rest
from sunsched.average.order.forecast import Followed, decide_order
from sunsched.average.order.local_search import LONGEST_BLOCK, fill_moved, repair
from sunsched.average.order.search import Ordered, Scratch
from sunsched.light.fit import IntArray
from sunsched.sky.track import FloatArray

TENTH = 0.1
FOLLOWED = 300  # orders that are followed through drawn days, for 16 shots or fewer
AT_ONCE = 24  # neighbours of one order that are followed
MOST_NEIGHBOURS = 800  # of one order, taken at random where a long list has more


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """An order with the light that it keeps of the shots still to come, in weights.

    `worst` is the mean of the worst tenth of the drawn days, `mean` that of all of them.
    """

    ordered: Ordered
    worst: float
    mean: float

    @property
    def rank(self) -> tuple[float, float]:
        """What it is compared by."""
        return self.worst, self.mean


def light_of(followed: Followed, factors: FloatArray) -> FloatArray:
    """Give the light that an order keeps on days with these factors, in weights: (days,)."""
    weights = np.array([shot.weight for shot in followed.shots])
    light: FloatArray = weights @ draw_days(followed, factors).light
    return light


def worst_terms(light: FloatArray) -> FloatArray:
    """Give a term for each day, so that their mean is that of the worst tenth: (days,).

    As a mean of terms it has a standard error, and so has the difference between two orders on the
    same days. The form is that of R. T. Rockafellar and S. Uryasev, "Optimization of conditional
    value-at-risk", Journal of Risk 2(3), 2000 (from memory).
    """
    edge = np.quantile(light, TENTH)
    terms: FloatArray = edge - np.maximum(edge - light, 0.0) / TENTH
    return terms


def search_bad_days(ground: Ground, starts: Sequence[Ordered], factors: FloatArray) -> list[Tried]:
    """Search for orders that keep much light on bad days; give all that were followed, best first.

    The amount of work is fixed, so that the same days give the same orders.

    Parameters
    ----------
    starts : orders of all shots to begin at
    factors : of the drawn days, as of `draw_factors`
    """
    bench = _Bench(ground, factors)
    tried: dict[tuple[int, ...], Tried] = {}
    for one in starts:
        if _key(one) not in tried:
            tried[_key(one)] = bench.follow(one)
    most, left = _most_followed(len(ground.minute.shots)), dict(tried)
    while left and len(tried) < most:
        near = max(left, key=lambda key: left[key].rank)
        for one in bench.neighbours(left.pop(near).ordered, tried):
            key = _key(one)
            tried[key] = left[key] = bench.follow(one)
            if len(tried) >= most:
                break
    return sorted(tried.values(), key=lambda one: one.rank, reverse=True)


class _Bench:
    """What it takes to follow orders, with arrays that are kept."""

    def __init__(self, ground: Ground, factors: FloatArray) -> None:
        self._minute = Scratch(ground.minute, ground.drifts)
        self._coarse = Scratch(ground.coarse, ground.drifts)
        self._factors = factors
        self._odds: dict[tuple[int, ...], tuple[Odds, Odds]] = {}

    def follow(self, one: Ordered) -> Tried:
        """Follow an order through the drawn days."""
        odds, _ = self._odds_at(one.references)
        followed, _ = decide_order(self._minute, odds, one.order, one.references)
        light = light_of(followed, self._factors)
        return Tried(ordered=one, worst=float(worst_terms(light).mean()), mean=float(light.mean()))

    def neighbours(self, one: Ordered, known: dict[tuple[int, ...], Tried]) -> list[Ordered]:
        """Give the neighbours of an order that are worth most on the average day, without known."""
        _, odds = self._odds_at(one.references)
        found = []
        for order in _near(self._coarse.rest, one.order):
            worth = self._coarse.worth(order, one.references, odds)
            found.append(Ordered(order=order, references=one.references, worth=worth))
        fresh = [other for other in found if _key(other) not in known]
        return sorted(fresh, key=lambda other: (-other.worth, _key(other)))[:AT_ONCE]

    def _odds_at(self, references: IntArray) -> tuple[Odds, Odds]:
        key = tuple(references.tolist())
        if key not in self._odds:
            minute, coarse = (
                with_references(scratch.rest, scratch.drifts, references)
                for scratch in (self._minute, self._coarse)
            )
            self._odds[key] = (minute, coarse)
        return self._odds[key]


def _most_followed(shots: int) -> int:
    """Give how many orders are followed: one takes longer the more shots it has."""
    return max(2 * AT_ONCE, min(FOLLOWED, FOLLOWED * 16 // max(1, shots)))


def _key(one: Ordered) -> tuple[int, ...]:
    return tuple(one.order.tolist())


def _near(rest: Rest, order: IntArray) -> list[IntArray]:
    """Give the orders that a block moved or a swap makes; shots that must come later do."""
    found = {}
    for near in _changed(order):
        repair(near, rest.forbidden, len(near) - 1)
        found[tuple(near.tolist())] = near
    found.pop(tuple(order.tolist()), None)
    near_all = [found[key] for key in sorted(found)]
    if len(near_all) <= MOST_NEIGHBOURS:
        return near_all
    picks = np.random.default_rng(len(near_all)).permutation(len(near_all))[:MOST_NEIGHBOURS]
    return [near_all[pick] for pick in sorted(picks.tolist())]


def _changed(order: IntArray) -> Iterator[IntArray]:
    n = len(order)
    for size in range(1, min(LONGEST_BLOCK, n - 1) + 1):
        for first in range(n - size + 1):
            for to in range(n - size + 1):
                near = np.empty_like(order)
                fill_moved(order, first, size, to, near)
                yield near
    for first in range(n):
        for second in range(first + 1, n):
            near = order.copy()
            near[[first, second]] = order[[second, first]]
            yield near
