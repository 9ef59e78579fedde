"""The bound on the average day, looked for beside the search for an order."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from math import inf
from threading import Event
from time import monotonic

import numpy as np

from sunsched.average.bound.boxes import Bounded, bound_any
from sunsched.average.ground import Ground
from sunsched.average.order.search import Climb, Ordered, search
from sunsched.day.model import Day
from sunsched.light.fit import fit_checked
from sunsched.solver.machine.halt import is_end_asked

SEED = 1
ROUNDS, MOST_SHOTS = 12, 24  # of a search on rough slots, for each shot; fewer for more shots
AIM_SHARE = 3  # one round in so many, for the order that the bound aims at


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A day's ground, and its bound as soon as it is known."""

    ground: Ground
    bound: Future[Bounded]


@contextmanager
def bounded_beside(day: Day, *, limit_s: float | None = None) -> Iterator[Beside]:
    """Look for the bound of a day on a second core; leaving the context ends that.

    Parameters
    ----------
    limit_s : seconds for the bound; None for a fixed amount of work
    """
    ground, started, is_ended = Ground(fit_checked(day)), monotonic(), Event()

    def go_on() -> bool:
        if is_ended.is_set() or is_end_asked():
            return False
        return limit_s is None or monotonic() - started < limit_s

    with ThreadPoolExecutor(max_workers=1) as beside:
        try:
            yield Beside(ground=ground, bound=beside.submit(bound_of, ground, go_on))
        finally:
            is_ended.set()


def bound_of(ground: Ground, go_on: Callable[[], bool]) -> Bounded:
    """Bound any way of shooting, from no order but that of the list.

    So it needs no other search, and is the same whatever is looked for beside it.
    """
    drifts, n = ground.drifts, len(ground.minute.shots)
    if not n:
        return Bounded(points=inf, suggested=())
    references = np.full(len(drifts.names), drifts.references // 2, dtype=np.int64)
    # Not judged by the ground, whose arrays are in use beside this.
    listed = Ordered(order=ground.whole([]), references=references, worth=-inf)
    rough = search(ground.rough(), drifts, listed, rounds_of(n) // AIM_SHARE, SEED, go_on)[0]
    aim = Climb(ground.coarse, drifts).up(rough.order, rough.references)
    return bound_any(ground.coarse, ground.minute, drifts, aim, go_on)


def rounds_of(shots: int) -> int:
    """Give how many rounds a search has: one takes longer the more shots there are."""
    return max(AIM_SHARE, round(ROUNDS * shots * min(1.0, MOST_SHOTS / max(1, shots)) ** 4))
