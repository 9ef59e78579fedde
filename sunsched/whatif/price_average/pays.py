"""What each shot pays for a decision: its chances and its light without it and with it."""

from __future__ import annotations

from dataclasses import dataclass

from sunsched.average.order.forecast import Chance
from sunsched.day.model import Day, Shot
from sunsched.plan.score import left_out_cost
from sunsched.whatif.price_average.look import Expected


@dataclass(frozen=True, slots=True, kw_only=True)
class Pay:
    """One shot without a decision and with it, None where it is not in an order.

    `points_lost` are expected: of its light, and of leaving it out.
    """

    shot: Shot
    before: Chance | None
    now: Chance | None
    points_lost: int


def pays_of(day: Day, sides: tuple[Expected, Expected]) -> tuple[Pay, ...]:
    """Put both chances of each shot beside each other."""
    before, now = ({one.shot.id: one for one in side.chances} for side in sides)
    return tuple(
        Pay(
            shot=day.shot(shot_id),
            before=before.get(shot_id),
            now=now.get(shot_id),
            points_lost=round(
                _own_points(day, before.get(shot_id)) - _own_points(day, now.get(shot_id))
            ),
        )
        for shot_id in dict.fromkeys([*now, *before])
    )


def _own_points(day: Day, chance: Chance | None) -> float:
    """Give what a shot is expected to earn: its light, and that it is not left out."""
    if chance is None:
        return 0.0
    shot = day.shot(chance.shot.id)
    return 1000.0 * shot.weight * chance.light + left_out_cost(day, shot) * chance.made
