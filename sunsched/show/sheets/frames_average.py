"""Prices on the average day as rows of data frames."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any, TypeAlias

from sunsched.average.order.forecast import Chance
from sunsched.day.model import Day
from sunsched.whatif.price_average.price import AveragePrice
from sunsched.whatif.price_average.rules import AverageRulePrice
from sunsched.whatif.price_average.wrap import AverageWrapPoint

Row: TypeAlias = dict[str, Any]


def average_price_rows(found: AveragePrice) -> Iterator[Row]:
    """Yield each shot with its chances without and with a decision, then all other costs."""
    for pay in found.pays:
        yield {
            "id": pay.shot.id,
            "description": pay.shot.description,
            **_chances(pay.before, "before_"),
            **_chances(pay.now, ""),
            "points_lost": pay.points_lost,
        }
    yield {"description": "other costs", "points_lost": found.other_lost}


def average_rule_rows(found: AverageRulePrice) -> Iterator[Row]:
    """Yield a rule with what was found to be won without it."""
    yield {
        "rule": found.rule,
        "found_points": found.gain,
        "light_percent": round(100 * found.light_gain, 1),
    }


def average_wrap_rows(found: AverageWrapPoint) -> Iterator[Row]:
    """Yield a wrap with what is kept until then."""
    day, kept = found.kept.fit.day, found.kept
    yield {
        "wrap_local": _local(day, found.wrap),
        "points": round(kept.points),
        "light_percent": round(100 * kept.light_kept, 1),
        "half_of_days_end_local": _local(day, kept.stop),
        "order": ", ".join(one.shot.id for one in kept.chances),
        "overtime_min": found.overtime_min,
        "overtime_points": found.overtime_points,
    }


def _chances(one: Chance | None, prefix: str) -> Row:
    return {
        f"{prefix}made_percent": None if one is None else round(100 * one.made, 1),
        f"{prefix}light_percent": None if one is None else round(100 * one.light, 1),
    }


def _local(day: Day, when: datetime) -> datetime:
    return when.astimezone(day.place.zone).replace(tzinfo=None)
