"""What an earlier or later call keeps of the light on the average day."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from sunsched.average.plan import AveragePlan
from sunsched.day.call import LONGEST
from sunsched.day.demand import CallAt
from sunsched.day.model import Day
from sunsched.errors import DayImpossible, SunschedError
from sunsched.folder.text.words import a_whole_number
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Counted
from sunsched.whatif.price_average.look import Expected, expected, policies_along

BEFORE, AFTER = timedelta(hours=2), timedelta(hours=4)  # how far the curve reaches from the call
LEAST = timedelta(hours=4)  # of a day, from call to wrap


@dataclass(frozen=True, slots=True, kw_only=True)
class CallPoint:
    """What the best order found keeps on the average day if the crew is called at a moment."""

    call: datetime
    kept: Expected


def average_call_curve(
    best: AveragePlan,
    *,
    step_min: int = 30,
    progress: Callable[[Counted], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> tuple[CallPoint, ...]:
    """Look for the best order for each call, from 2 hours before the day's to 4 after it.

    Parameters
    ----------
    best : the plan for the average day, of `average_plan`
    step_min : minutes between two calls, on the local clock
    progress : called with the looks done and all looks, two at each call but the last
    is_ended : asked between two looks; when it says so, calls not looked at are left out

    Returns
    -------
    tuple[CallPoint, ...]
        What is kept for each call, the earliest first.

    Raises
    ------
    DayImpossible
        For a day that has begun.
    SunschedError
        For steps that `calls_of` refuses.

    Examples
    --------
    >>> import sunsched
    >>> best = sunsched.average_plan(sunsched.solve_day(sunsched.example_day()))
    >>> curve = sunsched.average_call_curve(best, step_min=120)
    >>> all(one.call < other.call for one, other in zip(curve, curve[1:]))
    True
    """
    day = best.policy.rest.fit.day
    if day.past is not None:
        raise DayImpossible("the crew was called already: there is no other call to look at")
    fit, calls = best.policy.rest.fit, calls_of(day, step_min)
    found = policies_along(
        fit, calls, lambda call: (CallAt(time=call),), best.policy, progress, is_ended
    )
    return tuple(CallPoint(call=call, kept=expected(day, one)) for call, one in found.items())


def calls_of(day: Day, step_min: int) -> list[datetime]:
    """List the calls of a curve, on full steps of the local clock, and the day's own.

    Raises
    ------
    SunschedError
        For steps of less than a minute, or of more than the curve is long.
    """
    most_min = (BEFORE + AFTER) // timedelta(minutes=1)
    if not 1 <= step_min <= most_min:
        raise SunschedError(
            f"step_min: out of range: `{step_min}` (expected {a_whole_number(1, most_min)})"
        )
    hours, step = day.hours, timedelta(minutes=step_min)
    local = hours.crew_call.astimezone(day.place.zone)
    middle = hours.crew_call - timedelta(minutes=(local.hour * 60 + local.minute) % step_min)
    first = max(hours.crew_call - BEFORE, hours.hard_wrap - LONGEST)
    last = min(hours.crew_call + AFTER, hours.wrap - LEAST)
    steps = range(-(BEFORE // step) - 1, AFTER // step + 2)
    calls = {middle + k * step for k in steps if first <= middle + k * step <= last}
    return sorted({*calls, hours.crew_call})
