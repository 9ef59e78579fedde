"""From a day to the order that is worth most on the average day, with a bound on any other way."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from itertools import count
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
from sunsched.average.order.search import WARM, Climb, Ordered, differing, search
from sunsched.day.model import Day
from sunsched.light.fit import DayFit
from sunsched.plan.timetable import Timetable
from sunsched.sky.track import FloatArray
from sunsched.solver.machine.halt import is_end_asked

BEST = 2  # orders of a search on fine slots that are climbed from
FINE_SHARE = 3  # one round in so many is on fine slots
LANES = 2  # searches at a time
TRIES = 3  # suggestions that are searched from on rough slots
REFINED = 2  # of what such searches find, the best that differ are searched near, on fine slots
SEEDS = 3  # searches near each of them: there seeds matter more than where a search begins
FIRST_SEED = SEED + 1  # the search that the bound aims by has drawn with that one


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
    is_ended: Callable[[], bool] = is_end_asked,
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
    is_ended: Callable[[], bool] = is_end_asked,
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

    drifts, points = ground.drifts, inf
    coarse, rough = (_charged(rest, charge) for rest in (ground.coarse, ground.rough()))
    rounds = rounds_of(len(rough.shots))
    roam = partial(search, rough, drifts, rounds=rounds - rounds // FINE_SHARE, go_on=go_on)
    refine = partial(refined, coarse, drifts, rounds=rounds // FINE_SHARE, go_on=go_on)
    climb, met = Climb(coarse, drifts), list[Ordered]()
    with ThreadPoolExecutor(1) as beside, ThreadPoolExecutor(LANES) as lanes:
        try:
            if bound is None:
                bound = beside.submit(bound_of, ground, go_on)
            met += [climb.up(one.order, one.references) for one in starts if go_on()]
            first, seeds = max(met or starts, key=lambda one: one.worth), count(FIRST_SEED)
            tell(met, inf)
            near = roam(first, seed=next(seeds))[0]
            lots = [lanes.submit(refine, near, seed=next(seeds)) for _ in range(SEEDS)]
            bounded = bound.result()
            points = bounded.points
            tell(met, points)
            suggested = suggested_orders(ground, rough, bounded)[:TRIES]
            far = [lanes.submit(roam, one, seed=next(seeds)) for one in suggested]
            best = differing(one for lot in far for one in lot.result()[:1])[:REFINED]
            lots += [
                lanes.submit(refine, one, seed=next(seeds)) for _ in range(SEEDS) for one in best
            ]
            met += [one for lot in lots for one in lot.result()]
        except BaseException as error:
            is_over.set()
            if not isinstance(error, KeyboardInterrupt):
                raise
    orders.extend(_judged(ground, met))
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


def _judged(ground: Ground, met: Sequence[Ordered]) -> list[Ordered]:
    """Judge orders to the minute."""
    return [ground.ordered(one.order, one.references) for one in met]


def suggested_orders(ground: Ground, rough: Rest, bounded: Bounded) -> list[Ordered]:
    """Give the best order that the bound suggests in each box, made whole, the best first."""
    ids = [shot.id for shot in ground.minute.shots]
    judge, best = Climb(rough, ground.drifts), []
    for box in bounded.suggested:
        whole = [(ground.whole([ids[shot] for shot in one.order]), one.references) for one in box]
        best.append(max((judge.judged(*one) for one in whole), key=lambda one: one.worth))
    return differing(best)


def refined(
    fine: Rest,
    drifts: Drifts,
    near: Ordered,
    rounds: int,
    seed: int,
    go_on: Callable[[], bool],
) -> list[Ordered]:
    """Search near an order, and improve the best that are met as far as small changes do."""
    met = search(fine, drifts, near, rounds, seed, go_on, WARM)
    climb = Climb(fine, drifts)
    return [climb.up(one.order, one.references) for one in met[:BEST] if go_on()]
