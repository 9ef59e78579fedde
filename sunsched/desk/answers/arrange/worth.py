"""What an order is worth on the average day as it was let go, at once.

A shot that was moved along the clock alone has no place of its own yet: it gets the best of those
about its moment.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from sunsched.average.order.search import Ordered
from sunsched.day.demand import Decision, RollAt
from sunsched.desk.answers.arrange.base import Base, arrangement, base_of, ground_of, suns_of
from sunsched.desk.answers.arrange.said import decision_of
from sunsched.desk.answers.arrange.shown import shown
from sunsched.desk.work.worker import Memory
from sunsched.whatif.price_average.price import order_price

Record = dict[str, Any]


def answer(
    memory: Memory,
    *,
    folder: str,
    base: Record | None,
    said: Record,
    order: Sequence[str],
    loose: str | None,
) -> Iterator[Record]:
    """Judge an order.

    Parameters
    ----------
    base : what it is held against; None for the saved plan
    said : what is asked of the day with it, in words
    order : ids of the shots, as they stand on the page; none for the order that it is held against
    loose : the shot of it whose place is not said
    """
    held = base_of(memory, Path(folder), base)
    decision = decision_of(held.day, said)
    ground, order = ground_of(memory, held, decision), order or held.best.policy.ids
    suns = suns_of(ground, arrangement(held.best.policy, None)["suns"])
    tried = [
        ground.ordered(ground.indices(one), suns) for one in _orders(held, decision, order, loose)
    ]
    policy = ground.policy(max(tried, key=_worth))
    yield shown(order_price(held.best, policy, decision))


def _worth(one: Ordered) -> float:
    return one.worth


def _orders(
    base: Base, decision: Decision, order: Sequence[str], loose: str | None
) -> list[list[str]]:
    """Give the order, or with a loose shot those with it about its moment."""
    at = next((one.time for one in decision if isinstance(one, RollAt) and one.shot == loose), None)
    if loose is None or at is None:
        return [list(order)]
    others = [one for one in order if one != loose]
    minute = base.fit.minute_of(at)
    likely = {one.shot.id: one.roll_min[1] for one in base.best.chances if one.roll_min is not None}
    before = [place + 1 for place, one in enumerate(others) if likely.get(one, minute) < minute]
    middle = max(before, default=0)
    places = range(max(0, middle - 1), min(len(others), middle + 1) + 1)
    return [[*others[:place], loose, *others[place:]] for place in places]
