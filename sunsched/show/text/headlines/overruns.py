"""The headline of an order under overruns, and its shots with the weakest first."""

from __future__ import annotations

from sunsched.plan.outlook import SURE
from sunsched.show.prospects import chance
from sunsched.whatif.stress.stress import ShotStress, Stress

NAMED = 3  # shots that a headline names
APART = 0.05  # of the days: by how much the two chances of a shot differ to be told both


def weakest_first(found: Stress) -> list[ShotStress]:
    """Give the shots by their chance to keep half their light, the smallest first."""
    return sorted(found.shots, key=lambda one: (one.half_chance, one.made_chance))


def overruns_headline(found: Stress) -> str:
    """Name the shots that nobody can be sure of; where there are none, the one that is nearest."""
    shots = weakest_first(found)
    weak = [one for one in shots if one.half_chance < SURE]
    if not weak:
        least = shots[0]
        return (
            f"every shot is made with half its light on {chance(least.half_chance)} of the days or "
            f"more; the weakest is shot {least.shot.id} ({least.shot.size})"
        )
    more = len(weak) - NAMED
    rest = f"; and {more} more" if more > 0 else ""
    return f"weakest: {'; '.join(_chances(one) for one in weak[:NAMED])}{rest}"


def _chances(one: ShotStress) -> str:
    name = f"shot {one.shot.id} ({one.shot.size})"
    half = f"made with half its light on {chance(one.half_chance)} of the days"
    if one.made_chance - one.half_chance < APART:
        return f"{name}, made on {chance(one.made_chance)} of the days"
    return f"{name}, {half}, made at all on {chance(one.made_chance)}"
