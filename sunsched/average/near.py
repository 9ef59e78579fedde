"""The order of a rest that is worth most near to the one that was followed: turned pairs cost."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from sunsched.average.ground import Ground, best_references
from sunsched.average.order.forecast import Policy, forecast
from sunsched.average.order.search import Ordered
from sunsched.average.plan import HARDLY
from sunsched.average.solve import look
from sunsched.day.model import Shot
from sunsched.light.fit import DayFit, IntArray
from sunsched.plan.score import reference_minutes
from sunsched.plan.timetable import Timetable
from sunsched.sky.track import FloatArray
from sunsched.solver.machine.halt import is_end_asked

LEAST_WIN = 1e-6  # points; smaller differences are of the arithmetic


@dataclass(frozen=True, slots=True, kw_only=True)
class Near:
    """Ways to shoot a rest on the average day, each followed as is best.

    Attributes
    ----------
    best : the order found that is worth most, turned pairs paid; `kept` if none is worth more
    kept : the order that was followed
    less : the same without the one shot whose leaving out is worth most, and that shot; None where
        none can be left out
    bound : points that no way of shooting the rest is worth more than, turned pairs not charged;
        infinite where there was no time for it
    """

    best: Policy
    kept: Policy
    less: tuple[Shot, Policy] | None
    bound: float


def near_order(
    fit: DayFit,
    followed: Policy,
    start: Timetable,
    *,
    limit_s: float | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> Near:
    """Look for the order of a rest that is worth most near to the one that was followed.

    Each pair of shots that stands the other way round in the two costs `turned_round`; one that was
    not in the order that was followed turns round with none.

    Parameters
    ----------
    fit : of the day with its past
    followed : the order, on the day that it was made for; its shots that are over, or not in the
        day any more, are ignored
    start : a timetable to start from beside it, such as the best one for planned minutes
    limit_s : seconds for the search and its bound; None for a fixed amount of work
    is_ended : asked now and then; the search ends when it says so
    """
    ground = Ground(fit)
    own, whole = ground.indices(followed.ids), ground.whole(followed.ids)
    suns = best_references(fit, ground.drifts, start)
    kept = ground.kept(own, _same_suns(fit, followed, ground.drifts.names, suns))
    first = [
        kept if len(whole) == len(own) else ground.ordered(whole, kept.references),
        ground.ordered(ground.whole([roll.shot_id for roll in start.rolls]), suns),
    ]
    near = _Nearness(ground, own)
    found, bound = look(ground, first, charge=near.charge, limit_s=limit_s, is_ended=is_ended)
    # The search may have met better suns for the same order.
    same = [one for one in found if np.array_equal(one.order, own)]
    kept = max([kept, *same], key=lambda one: one.worth)
    best = max((near.untangled(one) for one in found), key=near.worth)
    if near.worth(best) <= kept.worth + LEAST_WIN:
        best = kept
    policy = ground.policy(kept)
    better = policy if best is kept else ground.policy(best)
    return Near(
        best=better,
        kept=policy,
        less=_one_less(ground, policy),
        # Points on top for pins are in the orders' worths and in the bound.
        bound=max(better.worth, bound - (best.worth - better.worth)),
    )


def _same_suns(fit: DayFit, followed: Policy, names: Sequence[str], others: IntArray) -> IntArray:
    """Give the suns that an order's matches had, told by their time; `others` for new matches."""
    old, found = followed.rest.fit, others.copy()
    minutes = reference_minutes(fit)
    known = dict(zip(followed.drifts.names, followed.references.tolist(), strict=True))
    for g, name in enumerate(names):
        if name in known:
            time = old.time_of(int(reference_minutes(old)[known[name]]))
            found[g] = int(np.abs(minutes - fit.minute_of(time)).argmin())
    return found


class _Nearness:
    """What an order is worth with the pairs paid that it turns round."""

    def __init__(self, ground: Ground, followed: IntArray) -> None:
        self._ground = ground
        self._cost = float(ground.fit.day.costs.turned_round)
        self._place = np.full(len(ground.minute.shots), -1)
        self._place[followed] = np.arange(len(followed))

    @property
    def charge(self) -> FloatArray:
        """What each pair costs if its first shot is made before the second: (n, n)."""
        first, second = self._place[:, None], self._place[None, :]
        return np.where((first > second) & (second >= 0), self._cost, 0.0)

    def worth(self, one: Ordered) -> float:
        """Give the worth of an order, turned pairs paid."""
        return one.worth - self._cost * turned(self._place[one.order].tolist())

    def untangled(self, one: Ordered) -> Ordered:
        """Turn neighbours back as long as that is worth no less.

        The search pays for a pair only on days on which its second shot is begun.
        """
        forbidden, place = self._ground.minute.forbidden, self._place
        p = 0
        while p + 1 < len(one.order):
            a, b = one.order[p], one.order[p + 1]
            p += 1
            if not place[a] > place[b] >= 0 or forbidden[b, a]:
                continue
            order = one.order.copy()
            order[p - 1], order[p] = b, a
            back = self._ground.ordered(order, one.references)
            if self.worth(back) >= self.worth(one) - LEAST_WIN:
                one, p = back, max(0, p - 2)
        return one


def turned(places: Sequence[int]) -> int:
    """Count the pairs that stand the other way round; −1 is in no place."""
    return sum(one > other >= 0 for one, other in combinations(places, 2))


def _one_less(ground: Ground, kept: Policy) -> tuple[Shot, Policy] | None:
    """Leave out the one shot whose leaving out is worth most, matches at the suns of the order.

    Pinned shots must be made; nobody drops what is hardly ever made.
    """
    best: tuple[int, Ordered] | None = None
    for place, chance in enumerate(forecast(kept)):
        if chance.shot.pin is None and chance.made >= HARDLY:
            one = ground.ordered(np.delete(kept.order, place), kept.references)
            if best is None or one.worth > best[1].worth:
                best = (place, one)
    if best is None:
        return None
    place, one = best
    return kept.shots[place], ground.policy(ground.kept(one.order, one.references))
