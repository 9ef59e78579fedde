"""From a day to the order that is worth most on the average day, with a bound on any other way."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime
from math import inf
from threading import Event
from time import monotonic

import numpy as np

from sunsched.average.beside import SEED, bound_of, rounds_of
from sunsched.average.bound.boxes import Bounded
from sunsched.average.ground import Ground, best_references
from sunsched.average.model.drift import Drifts
from sunsched.average.model.rest import Rest
from sunsched.average.order.forecast import Chance, Policy, forecast, light_share
from sunsched.average.order.search import Ordered, search
from sunsched.day.model import Day
from sunsched.light.fit import DayFit
from sunsched.plan.timetable import Timetable
from sunsched.sky.track import FloatArray
from sunsched.solver.solved import never_ends_early

BEST, BOXES = 5, 10  # at 16 shots: orders that are taken on to finer slots; boxes of the bound
LANES = 2  # searches at a time


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


def on_average(
    ground: Ground,
    planned: Timetable,
    *,
    bound: Future[Bounded] | None = None,
    limit_s: float | None = None,
    is_ended: Callable[[], bool] = never_ends_early,
) -> OnAverage:
    """Look for the order that is worth most on the average day, and bound any way of shooting.

    Ctrl-C ends the search early, as a limit does.

    Parameters
    ----------
    planned : the order to start from, such as the best one for planned minutes
    bound : a bound that is looked for already, beside this
    limit_s : seconds; None for a fixed amount of work, the same on every machine
    is_ended : asked now and then; the search ends when it says so
    """
    sequence = [roll.shot_id for roll in planned.rolls]
    references = best_references(ground.fit, ground.drifts, planned)
    start = ground.ordered(ground.whole(sequence), references)
    orders, points = look(ground, [start], bound=bound, limit_s=limit_s, is_ended=is_ended)
    best = max(orders, key=lambda one: one.worth)
    policy = ground.policy(best)
    # Points on top for pins are in both.
    return OnAverage(policy=policy, bound=max(policy.worth, points - (best.worth - policy.worth)))


def policy_of(fit: DayFit, timetable: Timetable) -> Policy:
    """Give the best way to follow the order of a timetable on the average day.

    Shots that are over already, or not in the order, are not in the policy. Each match has the
    reference that is worth most to the order; the search for it begins at that of the timetable.
    """
    ground = Ground(fit)
    sequence = [roll.shot_id for roll in timetable.rolls]
    references = best_references(fit, ground.drifts, timetable)
    return ground.policy(ground.kept(ground.indices(sequence), references))


def look(
    ground: Ground,
    starts: Sequence[Ordered],
    *,
    charge: FloatArray | None = None,
    bound: Future[Bounded] | None = None,
    limit_s: float | None = None,
    is_ended: Callable[[], bool] = never_ends_early,
    found: Callable[[Sequence[Ordered], float], None] | None = None,
) -> tuple[list[Ordered], float]:
    """Look for good orders, the starts among them, and bound any way of shooting.

    Parameters
    ----------
    charge : (n, n) points that the search pays if the first shot is begun before the second; what
        it finds is judged, and bounded, without them
    bound : a bound that is looked for already, beside this; None to look for one
    is_ended : asked now and then; the search ends when it says so
    found : called on the way with the orders found so far, and with the bound once it is known

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
    started, is_over = monotonic(), Event()

    def go_on() -> bool:
        if is_over.is_set() or is_ended():
            return False
        return limit_s is None or monotonic() - started < limit_s

    def tell(more: Sequence[Ordered], so_far: float) -> None:
        if found is not None:
            found([*orders, *_judged(ground, more)], so_far)

    coarse, drifts, points = ground.coarse, ground.drifts, inf
    charged = _charged(coarse, charge)
    with ThreadPoolExecutor(max_workers=1) as beside:
        try:
            if bound is None:
                bound = beside.submit(bound_of, ground, go_on)
            climbed = [search(charged, drifts, one, 0, SEED, go_on)[0] for one in starts]
            first = max(climbed, key=lambda one: one.worth)
            tell(climbed, inf)
            rough, rounds = _charged(ground.rough(), charge), rounds_of(len(coarse.shots))
            met = search(rough, drifts, first, rounds, SEED, go_on)
            orders.extend(_judged(ground, climbed))
            tell(_best_few(met), inf)
            bounded = bound.result()
            points = bounded.points
            tell(_best_few(met), points)
            met += _improved(rough, drifts, _suggested(ground, bounded), go_on)
            fine = _improved(charged, drifts, _best_few(met), go_on)
            orders.extend(_judged(ground, fine))
        except BaseException as error:
            is_over.set()
            if not isinstance(error, KeyboardInterrupt):
                raise
    return orders, points


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


def _charged(rest: Rest, charge: FloatArray | None) -> Rest:
    if charge is None:
        return rest
    return replace(rest, odds=rest.odds._replace(pair_cost=rest.odds.pair_cost + charge))


def _few(most: int, shots: int) -> int:
    """Give fewer, the more shots there are, as work on one order grows with their cube."""
    return max(2, round(most * min(1.0, 16 / max(1, shots)) ** 3))


def _judged(ground: Ground, met: Sequence[Ordered]) -> list[Ordered]:
    """Judge orders to the minute."""
    return [ground.ordered(one.order, one.references) for one in met]


def _best_few(met: Sequence[Ordered]) -> list[Ordered]:
    """Give the best of some orders, each only once."""
    found: dict[tuple[int, ...], Ordered] = {}
    for one in sorted(met, key=lambda one: -one.worth):
        found.setdefault(tuple(one.order.tolist()), one)
    return list(found.values())[: _few(BEST, len(met[0].order))]


def _suggested(ground: Ground, bounded: Bounded) -> list[Ordered]:
    """Give the best order that the bound suggests in each box, made whole; each only once."""
    ids = [shot.id for shot in ground.minute.shots]
    met: dict[tuple[int, ...], Ordered] = {}
    for box in bounded.suggested[: _few(BOXES, len(ids))]:
        whole = [ground.whole([ids[shot] for shot in one.order]) for one in box]
        judged = [
            ground.ordered(order, one.references) for order, one in zip(whole, box, strict=True)
        ]
        best = max(judged, key=lambda one: one.worth)
        met.setdefault(tuple(best.order.tolist()), best)
    return list(met.values())


def _improved(
    rest: Rest, drifts: Drifts, orders: Sequence[Ordered], go_on: Callable[[], bool]
) -> list[Ordered]:
    """Improve orders on the slots of a rest, side by side."""
    if not go_on():
        return []
    with ThreadPoolExecutor(LANES) as pool:
        return list(pool.map(lambda one: search(rest, drifts, one, 0, SEED, go_on)[0], orders))
