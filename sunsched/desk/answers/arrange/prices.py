"""What each decision of the day costs: the best day found without it against the one with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil, inf
from pathlib import Path
from typing import Any

from sunsched.average.ground import Ground
from sunsched.average.order.forecast import light_share
from sunsched.average.solve import look
from sunsched.day.decided import demand_text
from sunsched.desk.answers.arrange.base import Base, base_of
from sunsched.desk.work.worker import Memory
from sunsched.light.fit import fit_again
from sunsched.whatif.price_average.ground import order_from_policy
from sunsched.whatif.price_average.look import best_of, improved

Record = dict[str, Any]


def answer(memory: Memory, *, folder: str, base: Record | None) -> Iterator[Record]:
    """Price the decisions one after another: all at first sight, then each with its bound.

    The best day with them is the order on the page.
    """
    held = base_of(memory, Path(folder), base)
    grounds = [_without(held, place) for place in range(len(held.day.decisions))]
    for place, ground in enumerate(grounds):
        start = order_from_policy(ground, held.best.policy)
        policy = ground.policy(improved(ground, [start]))
        yield _price(held, place, policy.worth, light_share(policy), None)
    for place, ground in enumerate(grounds):
        orders, bound = look(ground, [order_from_policy(ground, held.best.policy)])
        found = best_of(orders)
        policy = ground.policy(found)
        most = None if bound == inf else ceil(bound - (found.worth - policy.worth))
        yield _price(held, place, policy.worth, light_share(policy), most)


def _without(base: Base, place: int) -> Ground:
    lifted = base.one.reading.lifted(base.one.reading.day.decisions[place])
    return Ground(fit_again(base.fit, replace(lifted, past=base.day.past)))


def _price(base: Base, place: int, worth: float, light: float, bound: int | None) -> Record:
    day, best = base.day, base.best
    won = round(worth) - best.points
    return {
        "text": demand_text(day, day.decisions[place]),
        "points_lost": won,
        "light_lost": round(light - best.light_kept, 4),
        "most_lost": None if bound is None else max(won, bound - best.points),
        "least_lost": None if best.bound is None else min(won, round(worth) - best.bound),
        "is_final": bound is not None,
    }
