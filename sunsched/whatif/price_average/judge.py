"""Judging where one shot of an order may roll: in a stretch of the day only, or not at all."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sunsched.average.ground import Ground
from sunsched.average.model.drift import (
    DriftArray,
    drift_table,
    expected_drift,
    made_drift,
    with_references,
)
from sunsched.average.model.odds import UNWANTED, Odds
from sunsched.average.model.rest import Rest
from sunsched.average.order.forecast import Policy, make_policy
from sunsched.average.order.local_search import best_reference, improve
from sunsched.average.order.policy import fill_policy, first_worth
from sunsched.average.order.search import Scratch
from sunsched.light.fit import IntArray
from sunsched.light.stretches import Minutes

NEVER = (-1, -1)  # a stretch without a minute


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """Points of an order, and with what is on top for pins."""

    points: float
    on_top: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """The best order of a day, and what its cells are judged with.

    `rest` is on rough slots; `minute` and `rough` are the odds at the references.
    """

    ground: Ground
    order: IntArray
    references: IntArray
    rest: Rest
    minute: Odds
    rough: Odds
    drift: DriftArray
    is_pinned: bool
    worth: Worth


def make_base(policy: Policy) -> Base:
    """Tabulate what the cells of a day are judged with."""
    ground, references = Ground(policy.rest.fit), policy.references
    rough = ground.rough()
    return Base(
        ground=ground,
        order=policy.order,
        references=references,
        minute=with_references(ground.minute, ground.drifts, references),
        rest=rough,
        rough=with_references(rough, ground.drifts, references),
        drift=drift_table(rough, ground.drifts),
        is_pinned=any(shot.pin is not None for shot in ground.minute.shots),
        worth=Worth(
            points=policy.worth,
            on_top=Scratch(ground.minute, ground.drifts).worth(policy.order, references),
        ),
    )


class Judge:
    """Arrays to look for an order of one shot's cells, and to judge it."""

    def __init__(self, base: Base, shot: int) -> None:
        self._base, self._shot = base, shot
        self._rough = Scratch(base.rest, base.ground.drifts)
        self._minute = Scratch(base.ground.minute, base.ground.drifts)

    def found(self, starts: list[IntArray], span: Minutes) -> tuple[Worth, IntArray]:
        """Look for the order that is worth most with the shot's start in some minutes.

        Parameters
        ----------
        starts : orders with the shot in them
        span : first minute of the track, and the one after the last
        """
        base, rest = self._base, self._base.rest
        odds = self._only(rest, base.rough, span)
        first = max(starts, key=lambda order: self._value(odds, order))
        better, references = first.copy(), base.references
        arrays = (self._rough.free, self._rough.fed, self._rough.ready)
        improve(odds, rest.forbidden, rest.fed, better, *arrays)
        judged = [self._judged(span, order, references) for order in (first, better)]
        moved = self._moved(odds, better)
        if moved is not None:
            judged.append(self._judged(span, better, moved))
        return max(judged, key=lambda worth: worth.on_top), better

    def at_sight(self, starts: list[IntArray], span: Minutes) -> Worth:
        """Judge the best of some orders with the shot's start in some minutes, on rough slots."""
        odds = self._only(self._base.rest, self._base.rough, span)
        most = max(self._value(odds, order) for order in starts)
        lost = self._value(self._base.rough, self._base.order) - most
        whole = self._base.worth
        return Worth(points=whole.points - lost, on_top=whole.on_top - lost)

    def left_out(self) -> tuple[Worth, IntArray]:
        """Look for the best order without the shot."""
        base, rest = self._base, self._base.rest
        order = base.order[base.order != self._shot]
        better = order.copy()
        if len(better) > 1:
            arrays = (self._rough.free, self._rough.fed, self._rough.ready)
            improve(base.rough, rest.forbidden, rest.fed, better, *arrays)
        known = [self.without(one) for one in (order, better)]
        return max(known, key=lambda worth: worth.on_top), better

    def without(self, order: IntArray) -> Worth:
        """Judge an order with the shot left out of it."""
        return self._judged(NEVER, order[order != self._shot], self._base.references)

    def _only(self, rest: Rest, odds: Odds, span: Minutes) -> Odds:
        """Let the shot start in some minutes only."""
        gain = odds.gain.copy()
        outside = (rest.minutes < span[0]) | (rest.minutes >= span[1])
        gain[odds.room_from[self._shot] : odds.room_from[self._shot + 1], outside] = UNWANTED
        return odds._replace(gain=gain)

    def _value(self, odds: Odds, order: IntArray) -> float:
        scratch = self._rough
        fill_policy(odds, order, len(order), scratch.free, scratch.fed, scratch.ready)
        return first_worth(scratch.free, scratch.fed, scratch.rest.fed)

    def _moved(self, odds: Odds, order: IntArray) -> IntArray | None:
        """Give references of which that of the shot's match is best for its new time."""
        base, scratch = self._base, self._rough
        match = base.ground.drifts.match
        group = int(match[self._shot])
        if group < 0:
            return None
        rest = base.rest
        rows = [row for row, (s, _) in enumerate(rest.rooms) if match[s] == group]
        pure = odds.gain.copy()
        for row in rows:
            pure[row] += base.drift[row, :, base.references[group]]
        references = base.references.copy()
        references[group] = best_reference(
            odds,
            pure,
            base.drift,
            np.array(rows, dtype=np.int64),
            base.ground.drifts.made[group],
            rest.fed,
            order,
            int(base.references[group]),
            base.ground.drifts.references,
            scratch.free,
            scratch.fed,
            scratch.ready,
        )
        return None if references[group] == base.references[group] else references

    def _judged(self, span: Minutes, order: IntArray, references: IntArray) -> Worth:
        """Judge an order to the minute."""
        base, rest, drifts = self._base, self._base.ground.minute, self._base.ground.drifts
        if base.is_pinned:
            only = replace(rest, odds=self._only(rest, rest.odds, span))
            policy = make_policy(only, drifts, order, references)
            on_top = Scratch(only, drifts).worth(order, references)
            return Worth(points=policy.worth, on_top=on_top)
        odds = base.minute
        for group in np.flatnonzero(references != base.references):
            gain = odds.gain.copy()
            for row, (s, _) in enumerate(rest.rooms):
                if drifts.match[s] == group:
                    by_half = drifts.by_half[s][:, references[group]]
                    gain[row] = rest.odds.gain[row] - expected_drift(rest, row, by_half)
            odds = odds._replace(gain=gain)
        scratch = self._minute
        odds = self._only(rest, odds, span)
        fill_policy(odds, order, len(order), scratch.free, scratch.fed, scratch.ready)
        value = first_worth(scratch.free, scratch.fed, rest.fed)
        points = value + rest.settled - made_drift(drifts, references)
        return Worth(points=points, on_top=points)


def with_shot(order: IntArray, shot: int, rest: Rest) -> list[IntArray]:
    """Give the orders with the shot in each place that it may have."""
    found = []
    for place in range(len(order) + 1):
        is_late = rest.forbidden[order[:place], shot].any()
        is_early = rest.forbidden[shot, order[place:]].any()
        if not is_late and not is_early:
            found.append(np.insert(order, place, shot))
    return found


def can_roll(rest: Rest, shot: int, span: Minutes) -> bool:
    inside = (rest.minutes >= span[0]) & (rest.minutes < span[1])
    first, last = rest.odds.room_from[shot], rest.odds.room_from[shot + 1]
    return bool((rest.odds.gain[first:last, inside] > UNWANTED / 2).any())
