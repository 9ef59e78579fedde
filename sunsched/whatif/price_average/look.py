"""Looking for the order that is worth most on the average day, from orders that are good already.

A side of a price is a day with the best order found for it, and what it keeps.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime
from math import inf
from threading import Event
from time import monotonic

import numpy as np

from sunsched.average.bound.boxes import bound_any
from sunsched.average.order.forecast import Chance, Policy, forecast, light_share, make_policy
from sunsched.average.order.search import Ordered, Scratch, search
from sunsched.average.solve import BEST, SEED, rounds_of
from sunsched.day.model import Day
from sunsched.light.fit import DayFit
from sunsched.whatif.price_average.ground import Ground

LEAST_WIN = 1e-6  # points; smaller differences are of the arithmetic


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What an order keeps on the average day.

    Attributes
    ----------
    fit : of the day, maybe under a decision
    chances : of each shot still to come, in order
    points : expected, without what keeps pins
    light_kept : expected share of all light
    stop : the moment by which the crew has stopped on half of the days
    overtime_min, overtime_days : minutes past the day's own wrap, expected, and the share of the
        days that have any
    """

    fit: DayFit
    chances: tuple[Chance, ...]
    points: float
    light_kept: float
    stop: datetime
    overtime_min: float
    overtime_days: float


def expected(day: Day, policy: Policy, share: float = 1.0) -> Expected:
    """Describe a policy.

    Parameters
    ----------
    day : whose own wrap counts
    share : what the shots of the policy's day weigh of all shots
    """
    fit, stop = policy.rest.fit, policy.flow.stop
    middle = min(int(np.searchsorted(np.cumsum(stop), 0.5)), policy.rest.slots - 1)
    over = np.maximum(0, policy.rest.minutes - fit.minute_of(day.hours.wrap))
    return Expected(
        fit=fit,
        chances=forecast(policy),
        points=policy.worth,
        light_kept=light_share(policy) * share,
        stop=fit.time_of(policy.rest.origin + middle),
        overtime_min=float(stop @ over),
        overtime_days=float(stop[over > 0].sum()),
    )


def best_of(ground: Ground, found: Sequence[Ordered]) -> Ordered:
    """Judge orders to the minute and give the best one; the first of those worth the same."""
    scratch = Scratch(ground.minute, ground.drifts)
    judged = [replace(one, worth=scratch.worth(one.order, one.references)) for one in found]
    most = max(one.worth for one in judged)
    return next(one for one in judged if one.worth >= most - LEAST_WIN)


def improved(ground: Ground, starts: Sequence[Ordered]) -> Ordered:
    """Improve orders on coarse slots while that wins, and give the best."""
    climbed = [
        search(ground.coarse, ground.drifts, one, 0, SEED, _always)[0]
        for one in starts
        if len(one.order)
    ]
    return best_of(ground, [*starts, *climbed])


def look(ground: Ground, starts: Sequence[Ordered], limit_s: float | None) -> tuple[Ordered, float]:
    """Look for the best order from some orders, and bound any way of shooting.

    Points on top for pins are in both. Ctrl-C ends it early, as a limit does; the bound is infinite
    where there was no time for one.
    """
    started, is_ended = monotonic(), Event()

    def go_on() -> bool:
        return not is_ended.is_set() and (limit_s is None or monotonic() - started < limit_s)

    found, bound = [*starts], inf
    if not ground.minute.shots:
        best = best_of(ground, found)
        return best, best.worth
    with ThreadPoolExecutor(max_workers=1) as beside:
        try:
            first = improved(ground, starts)
            found.append(first)
            bounding = beside.submit(
                bound_any, ground.coarse, ground.minute, ground.drifts, first, go_on
            )
            found += _searched(ground, first, go_on)
            bound = bounding.result()
        except KeyboardInterrupt:
            is_ended.set()
    best = best_of(ground, found)
    return best, max(bound, best.worth)


def policy_on(ground: Ground, found: Ordered) -> Policy:
    """Work out the best way to follow an order."""
    return make_policy(ground.minute, ground.drifts, found.order, found.references)


def _searched(ground: Ground, first: Ordered, go_on: Callable[[], bool]) -> list[Ordered]:
    rounds = rounds_of(len(ground.minute.shots))
    rough = search(ground.rough, ground.drifts, first, rounds, SEED, go_on)
    return [
        search(ground.coarse, ground.drifts, one, 0, SEED, go_on)[0]
        for one in rough[:BEST]
        if go_on()
    ]


def _always() -> bool:
    return True
