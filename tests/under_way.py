"""Days under way, for tests and benchmarks."""

from datetime import datetime

from sunsched.day.log_event import Event, Kind
from sunsched.order.plan import Plan


def as_planned(plan: Plan, at: datetime) -> list[Event]:
    """Give the events by which a day went by its plan up to a moment."""
    found: list[tuple[datetime, Kind, str]] = []
    for one in plan.shots:
        if one.roll_start <= at:
            found.append((one.roll_start, Kind.ROLLED, one.shot.id))
        if one.roll_end <= at:
            found.append((one.roll_end, Kind.DONE, one.shot.id))
    if plan.meal is not None and plan.meal.start <= at:
        found.append((plan.meal.start, Kind.MEAL, ""))
    found.sort(key=lambda one: one[0])
    return [
        Event(number=number, at=when, kind=kind, since=when, subject=subject)
        for number, (when, kind, subject) in enumerate(found, 1)
    ]
