"""From a day to the order that is worth most on the average day, with a bound on any other way."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from math import inf
from threading import Event
from time import monotonic

import numpy as np

from sunsched.average.bound.boxes import bound_any
from sunsched.average.model.drift import Drifts, make_drifts
from sunsched.average.model.rest import Rest, make_rest
from sunsched.average.order.forecast import Chance, Policy, forecast, light_share, make_policy
from sunsched.average.order.local_search import repair
from sunsched.average.order.search import Climb, Ordered, Scratch, search
from sunsched.day.model import Day
from sunsched.light.fit import DayFit, IntArray
from sunsched.plan.score import drift_costs
from sunsched.plan.timetable import Timetable
from sunsched.sky.track import FloatArray

ROUGH_MIN, COARSE_MIN = 10, 5  # minutes of a slot, of the search and of its last steps
ROUNDS, MOST_ROUNDS = 30, 60  # of the search on rough slots for 16 shots, and for few
BEST = 3  # orders that are taken on to finer slots
SEED = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class OnAverage:
    """The best order found, and the points that no way of shooting is worth more than.

    `bound` is infinite where there was no time to look for one.
    """

    policy: Policy
    bound: float

    @property
    def gap(self) -> float:
        """What the bound has over the order, as a share of the order's worth."""
        return (self.bound - self.policy.worth) / max(1.0, abs(self.policy.worth))


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What an order keeps on the average day.

    `points` are expected, `light_kept` is the expected share of all light, `stop` the moment by
    which the crew has stopped on half of the days, `chances` are those of each shot still to come.
    """

    points: int
    light_kept: float
    stop: datetime
    chances: tuple[Chance, ...]


def is_certain(day: Day) -> bool:
    """Say whether a day's work takes its planned minutes and no others."""
    return all(
        one.changeover_median == one.roll_median == 1.0
        and one.changeover_spread == one.roll_spread == 0.0
        for one in day.overruns.values()
    )


def on_average(fit: DayFit, planned: Timetable, *, limit_s: float | None = None) -> OnAverage:
    """Look for the order that is worth most on the average day, and bound any way of shooting.

    Ctrl-C ends the search early, as a limit does.

    Parameters
    ----------
    planned : the order to start from, such as the best one for planned minutes
    limit_s : seconds; None for a fixed amount of work, the same on every machine
    """
    ground = Ground(fit)
    sequence = [roll.shot_id for roll in planned.rolls]
    start = ground.ordered(ground.whole(sequence), best_references(fit, ground.drifts, planned))
    orders, bound = look(ground, [start], limit_s=limit_s)
    best = max(orders, key=lambda one: one.worth)
    policy = ground.policy(best)
    # Points on top for pins are in both.
    return OnAverage(policy=policy, bound=max(policy.worth, bound - (best.worth - policy.worth)))


def policy_of(fit: DayFit, timetable: Timetable) -> Policy:
    """Give the best way to follow the order of a timetable on the average day.

    Shots that are over already, or not in the order, are not in the policy. Each match has the
    reference that is worth most to the order; the search for it begins at that of the timetable.
    """
    ground = Ground(fit)
    sequence = [roll.shot_id for roll in timetable.rolls]
    references = best_references(fit, ground.drifts, timetable)
    return ground.policy(ground.kept(ground.indices(sequence), references))


class Ground:
    """What is open of a day, to the minute and on slots, with what orders need of it.

    Parameters
    ----------
    pose : gives the rest on slots of some minutes, where more is asked of it than the day says
    """

    def __init__(self, fit: DayFit, pose: Callable[[int], Rest] | None = None) -> None:
        self.fit = fit
        self._pose = partial(make_rest, fit) if pose is None else pose
        self.minute, self.coarse = self._pose(1), self._pose(COARSE_MIN)
        self.drifts = make_drifts(self.minute)
        self._ids = [shot.id for shot in self.minute.shots]
        self._scratch = Scratch(self.minute, self.drifts)
        self._climb: Climb | None = None

    def rough(self) -> Rest:
        """Give the rest on rough slots."""
        return self._pose(ROUGH_MIN)

    def indices(self, sequence: Sequence[str]) -> IntArray:
        """Give the shots of an order that are still to come, by their number in the rest.

        One that stands before a shot that it must come after is put behind it.
        """
        ids = self._ids
        return self._allowed([ids.index(one) for one in sequence if one in ids])

    def whole(self, sequence: Sequence[str]) -> IntArray:
        """Give an order of all shots still to come that begins with this one."""
        rest, order = self.minute, self.indices(sequence).tolist()
        left = [s for s in range(len(self._ids)) if s not in order]
        while left:
            # What must come after others comes after them.
            free = next(
                (s for s in left if not any(rest.forbidden[s, other] for other in left)), left[0]
            )
            left.remove(free)
            order = _put_allowed(rest, order, free)
        return self._allowed(order)

    def _allowed(self, order: Sequence[int]) -> IntArray:
        placed = np.array(order, dtype=np.int64)
        repair(placed, self.minute.forbidden, len(placed) - 1)
        return placed

    def ordered(self, order: IntArray, references: IntArray) -> Ordered:
        """Judge an order with its references, to the minute."""
        worth = self._scratch.worth(order, references)
        return Ordered(order=order, references=references, worth=worth)

    def kept(self, order: IntArray, references: IntArray) -> Ordered:
        """Judge an order with the best references that are found from these on."""
        if self._climb is None:
            self._climb = Climb(self.coarse, self.drifts)
        # What is best on coarse slots need not be so to the minute.
        either = (references, self._climb.references(order, references))
        return max((self.ordered(order, one) for one in either), key=lambda one: one.worth)

    def policy(self, one: Ordered) -> Policy:
        """Work out the best way to follow an order."""
        return make_policy(self.minute, self.drifts, one.order, one.references)


def look(
    ground: Ground,
    starts: Sequence[Ordered],
    *,
    charge: FloatArray | None = None,
    limit_s: float | None = None,
) -> tuple[list[Ordered], float]:
    """Look for good orders, the starts among them, and bound any way of shooting.

    Parameters
    ----------
    charge : (n, n) points that the search pays if the first shot is begun before the second; what
        it finds is judged, and bounded, without them

    Returns
    -------
    list[Ordered]
        The orders, judged to the minute.
    float
        The bound; infinite where there was no time for one.
    """
    orders = list(starts)
    if not ground.minute.shots:
        return orders, orders[0].worth
    started, is_ended = monotonic(), Event()

    def go_on() -> bool:
        return not is_ended.is_set() and (limit_s is None or monotonic() - started < limit_s)

    minute, coarse, drifts, bound = ground.minute, ground.coarse, ground.drifts, inf
    charged = _charged(coarse, charge)
    with ThreadPoolExecutor(max_workers=1) as beside:
        try:
            climbed = [search(charged, drifts, one, 0, SEED, go_on)[0] for one in starts]
            first = max(climbed, key=lambda one: one.worth)
            aim = first
            if charge is not None:
                worth = Scratch(coarse, drifts).worth(first.order, first.references)
                aim = replace(first, worth=worth)
            # Both cores: the bound needs no better order than this one to aim at.
            bounding = beside.submit(bound_any, coarse, minute, drifts, aim, go_on)
            rough = _charged(ground.rough(), charge)
            met = [*climbed, *_found(rough, charged, drifts, first, go_on)]
            orders.extend(ground.ordered(one.order, one.references) for one in met)
            bound = bounding.result()
        except KeyboardInterrupt:
            is_ended.set()
    return orders, bound


def kept_on_average(fit: DayFit, timetable: Timetable) -> Kept:
    """Give what the order of a timetable keeps on the average day, followed as is best."""
    return kept_by(policy_of(fit, timetable))


def kept_by(policy: Policy) -> Kept:
    """Give what an order keeps on the average day, followed by its policy."""
    middle = int(np.searchsorted(np.cumsum(policy.flow.stop), 0.5))
    return Kept(
        points=round(policy.worth),
        light_kept=light_share(policy),
        stop=policy.rest.fit.time_of(policy.rest.origin + middle),
        chances=forecast(policy),
    )


def best_references(fit: DayFit, drifts: Drifts, timetable: Timetable) -> IntArray:
    """Give the reference of each match that is best for the times of a timetable."""
    cost = np.zeros((len(drifts.names), drifts.references))
    for roll in timetable.rolls:
        shot = fit.day.shot(roll.shot_id)
        if shot.match in drifts.names:
            start = np.array([fit.minute_of(roll.roll_start)])
            cost[drifts.names.index(shot.match)] += drift_costs(fit, shot, start)[0]
    found: IntArray = cost.argmin(axis=1)
    return found


def rounds_of(shots: int) -> int:
    """Give how many rounds a search has: one takes longer the more shots there are."""
    return max(1, min(MOST_ROUNDS, round(ROUNDS * (16 / max(1, shots)) ** 2)))


def _charged(rest: Rest, charge: FloatArray | None) -> Rest:
    if charge is None:
        return rest
    return replace(rest, odds=rest.odds._replace(pair_cost=rest.odds.pair_cost + charge))


def _found(
    rough: Rest, coarse: Rest, drifts: Drifts, first: Ordered, go_on: Callable[[], bool]
) -> list[Ordered]:
    """Search on rough slots, then take the best orders on to finer ones."""
    rounds = rounds_of(len(coarse.shots))
    met = search(rough, drifts, first, rounds, SEED, go_on)
    return [search(coarse, drifts, one, 0, SEED, go_on)[0] for one in met[:BEST] if go_on()]


def _put_allowed(rest: Rest, order: list[int], shot: int) -> list[int]:
    """Put a shot last, or before the first shot that must come after it."""
    later = [p for p, other in enumerate(order) if rest.forbidden[other, shot]]
    place = min(later, default=len(order))
    return [*order[:place], shot, *order[place:]]
