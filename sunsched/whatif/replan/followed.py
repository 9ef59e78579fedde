"""The rest of a day planned anew from the saved plan that was followed until now."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from sunsched.day.model import Day
from sunsched.folder.log.event import Event
from sunsched.light.fit import fit_checked
from sunsched.saved.plan_file import Revision
from sunsched.saved.restore_average import policy_again
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Progress
from sunsched.whatif.replan.average import AverageReplan, replan_average


def replan_followed(
    day: Day,
    events: Sequence[Event],
    saved: Revision,
    planned_day: Day,
    *,
    at: datetime,
    late_min: int = 0,
    grid_min: int | None = None,
    limit_s: float | None = None,
    progress: Callable[[Progress], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> AverageReplan:
    """Plan the rest anew for the average day; an order saved for it is followed with its own suns.

    Parameters
    ----------
    day, events, at, late_min, limit_s, progress, is_ended : as for `replan_average`
    saved : the plan that was followed
    planned_day : the day that it was made for, of `revision_day`
    grid_min : None for that of the saved plan
    """
    followed = None
    if saved.average is not None:
        followed = policy_again(fit_checked(planned_day), saved.average)
    return replan_average(
        day,
        events,
        saved.timetable,
        at=at,
        late_min=late_min,
        planned_day=planned_day,
        followed=followed,
        grid_min=saved.grid_min if grid_min is None else grid_min,
        limit_s=limit_s,
        progress=progress,
        is_ended=is_ended,
    )
