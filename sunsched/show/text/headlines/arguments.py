"""The headlines of comparisons and of prices."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from sunsched.plan.plan import Plan
from sunsched.show.text.headlines.lost import (
    later_words,
    lost_and_won,
    shifts_of_chances,
    shifts_of_plans,
)
from sunsched.whatif.compare.compare import Comparison
from sunsched.whatif.price.price import Price
from sunsched.whatif.price_average.price import AveragePrice

_MINUTE = timedelta(minutes=1)
NO_SHOT = "no shot keeps much less or more"


def comparison_headline(found: Comparison) -> str:
    """Say what is lost and won on the average day with the second order, and when work ends."""
    theirs = "with theirs" if found.is_beside_ours else "with the second"
    before, now = found.our_average, found.their_average
    lost_to = {one.shot_id: one.lost_to for one in found.differences}
    shifts = shifts_of_chances(before.chances, now.chances)
    later = later_words(round((now.stop - before.stop) / _MINUTE), "work is likely to end")
    return _sentence(lost_and_won(shifts, lost_to, you=f"{theirs} you"), later, theirs)


def average_price_headline(found: AveragePrice) -> str:
    """Say what a decision loses and wins on the average day, and when work ends."""
    before = [pay.before for pay in found.pays if pay.before is not None]
    now = [pay.now for pay in found.pays if pay.now is not None]
    later = later_words(found.later_min, "work is likely to end")
    return _sentence(lost_and_won(shifts_of_chances(before, now)), later)


def price_headline(best: Plan, found: Price) -> str:
    """Say what a decision loses and wins if every minute holds, and when the last roll ends."""
    ends = [crew.wrap for crew in (found.crew_before, found.crew)]
    later = None
    if ends[0] is not None and ends[1] is not None:
        later = round((ends[1] - ends[0]) / _MINUTE)
    shifts = shifts_of_plans(best, found.plan)
    return _sentence(lost_and_won(shifts), later_words(later, "the last roll ends"))


def alternatives_headline(lost: Sequence[int]) -> str:
    """Say how near the next best plan comes that differs."""
    if not lost:
        return "no other plan differs"
    least = min(lost)
    worth = f"{abs(least)} points {'less' if least > 0 else 'more'}" if least else "as much"
    return f"the next best plan that differs is worth {worth}"


def _sentence(told: list[str], later: list[str], whose: str = "") -> str:
    first = told or [f"{whose} {NO_SHOT}".strip()]
    return "; ".join([*first, *later])
