"""What is expected of a shot on the average day, in words."""

from __future__ import annotations

from collections.abc import Iterator

from sunsched.day.clock import clock
from sunsched.plan.plan import Plan, PlannedShot

KEPT = 0.995  # a chance from which on a pin is kept
LIKELY_MARK = "when it starts to roll on eight days of ten"


def chance(share: float) -> str:
    """Write a chance in whole percent; one that is not certain never looks so."""
    if 0.995 <= share < 1.0:
        return ">99%"
    if 0.0 < share <= 0.005:
        return "<1%"
    return f"{share:.0%}"


def light_text(plan: Plan, planned: PlannedShot) -> str:
    """Give what is kept of a shot's light: by the plan, or of one for the average day on that."""
    found = None if plan.outlook is None else plan.outlook.of(planned.shot.id)
    return f"{planned.fit:.0%}" if found is None else chance(found.light)


def prospect_texts(plan: Plan, planned: PlannedShot) -> Iterator[str]:
    """Say what is expected of a shot of a plan for the average day; nothing for any other."""
    found = None if plan.outlook is None else plan.outlook.of(planned.shot.id)
    if found is None:
        return
    day = plan.day
    yield f"made on {chance(found.made)} of the days"
    if found.rolls is not None:
        first, last = clock(day, found.rolls.start), clock(day, found.rolls.end)
        when = f"at {first}" if first == last else f"from {first} to {last}"
        yield f"starts {when} on eight days of ten"
    if found.not_before is not None:
        yield f"not before {clock(day, found.not_before)}"
    if found.begin_by is not None:
        yield f"left out if its changeover has not begun by {clock(day, found.begin_by)}"
