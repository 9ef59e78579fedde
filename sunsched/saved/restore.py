"""A saved plan as a plan again, judged afresh by its day as the files have it now."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.errors import Fault, FolderError
from sunsched.folder.log.log import read_log
from sunsched.folder.log.moments import span_of
from sunsched.light.fit import DayFit, fit_day
from sunsched.plan.plan import Plan, describe_plan
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable
from sunsched.saved.average import SavedAverage
from sunsched.saved.numbers import revision_numbers
from sunsched.saved.plan_file import Revision, facts_mark
from sunsched.saved.reading import moments
from sunsched.saved.revisions import read_revision
from sunsched.underway.state import day_so_far

# What follows an order on the average day is loaded only for a plan that needs it.
if TYPE_CHECKING:
    from sunsched.average.plan import AveragePlan

AGAIN_HINT = "`sunsched plan DAY --save` finds and saves a plan of the day as it is now"


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """A saved plan that is a plan again; `changes` says in words what is not as it was saved.

    Of a plan for the average day, `plan` is that of its likely day, and `average` all that is
    expected of it; None for one of planned minutes.
    """

    plan: Plan
    changes: tuple[str, ...]
    average: AveragePlan | None = None


def revision_day(folder: Path | str, day: Day, revision: Revision) -> Day:
    """Give the day that a saved plan is about: that of the files, with what it knew of the log.

    Parameters
    ----------
    folder : the day folder
    day : what the folder says
    revision : the saved plan, of `read_revision`

    Returns
    -------
    Day
        The day, with its past if the plan had one.

    Raises
    ------
    FolderError
        When the log or the plan that was followed until then cannot be read, or has less in it than
        when the plan was saved.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from datetime import UTC, datetime
    >>> folder, plan = tempfile.mkdtemp(), sunsched.make_plan(sunsched.example_day())
    >>> sunsched.save_plan(folder, plan, made_at=datetime(2027, 6, 1, 12, tzinfo=UTC))
    1
    >>> revision = sunsched.read_revision(folder, 1)
    >>> sunsched.revision_day(folder, plan.day, revision) == plan.day
    True
    """
    past = revision.past
    if past is None:
        return day
    _check_moments(day, revision)
    events = read_log(folder, day).events
    if len(events) < past.events:
        problem = f"it knew {past.events} events of the log, which has {len(events)} now"
        raise FolderError((Fault(file=revision.file, problem=problem, hint=AGAIN_HINT),))
    earlier = [number for number in revision_numbers(folder) if number < revision.number]
    planned = read_revision(folder, earlier[-1]).timetable if earlier else None
    return day_so_far(
        day, events[: past.events], at=past.at, late_min=past.late_min, planned=planned
    )


def checked_timetable(day: Day, revision: Revision) -> tuple[Timetable, tuple[str, ...]]:
    """Give a saved plan without the shots that the day no longer has, and the ids of those.

    Raises
    ------
    FolderError
        When the day is on another date now, or the plan is far from its hours.
    """
    _check_moments(day, revision)
    ids = {shot.id for shot in day.shots}
    rolls = revision.timetable.rolls
    kept = tuple(roll for roll in rolls if roll.shot_id in ids)
    gone = tuple(roll.shot_id for roll in rolls if roll.shot_id not in ids)
    return replace(revision.timetable, rolls=kept), gone


def _check_moments(day: Day, revision: Revision) -> None:
    """Refuse a plan of another date or far from the hours: no minute of its sun is known there."""
    if revision.date != day.date:
        problem = f"a plan of {revision.date}, and the day is on {day.date} now"
        raise FolderError((Fault(file=revision.file, problem=problem, hint=AGAIN_HINT),))
    span = span_of(day)
    expected = f"from {clock(day, span.start)} to {clock(day, span.end)}"
    faults = [
        Fault(
            file=revision.file,
            column=column,
            problem="outside the day as it is now",
            value=clock(day, when),
            expected=expected,
            hint=AGAIN_HINT,
        )
        for column, when in moments(revision)
        if not span.start <= when <= span.end and not column.startswith("average.")
    ]
    if faults:
        raise FolderError(tuple(faults))


def plan_of_revision(day: Day, revision: Revision) -> Restored:
    """Make a saved plan a plan again, judged by its day as the files have it now.

    Its bound holds where the day is still the same; else nothing is known but that no shot can
    keep more than its best light.

    Parameters
    ----------
    day : the day that the revision is about, with its past if it has one
    revision : the saved plan, of `read_revision`

    Returns
    -------
    Restored
        The plan with its points as the day is now, and what has changed since, in words.

    Raises
    ------
    FolderError
        When the day is on another date now, or with each of its rules that the plan breaks.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from datetime import UTC, datetime
    >>> folder, plan = tempfile.mkdtemp(), sunsched.make_plan(sunsched.example_day())
    >>> sunsched.save_plan(folder, plan, made_at=datetime(2027, 6, 1, 12, tzinfo=UTC))
    1
    >>> revision = sunsched.read_revision(folder, 1)
    >>> sunsched.plan_of_revision(plan.day, revision).plan.points == plan.points
    True
    """
    fit = fit_day(day)
    timetable, gone = checked_timetable(day, revision)
    if revision.average is not None:
        return _on_average(fit, revision, revision.average)
    broken = breaches(fit, timetable)
    if broken:
        raise FolderError(tuple(_broken(revision, one.rule, one.text) for one in broken))
    points = score(fit, timetable).total
    changes = [f"{shot_id} is in it and no longer in the day" for shot_id in gone]
    bound = points if revision.bound is None else max(revision.bound, points)
    if points != revision.points:
        changes.append(f"it is worth {points} points now, {revision.points} when it was saved")
    if changes or revision.facts not in (None, facts_mark(day)):
        bound = sum(int(own.points.max(initial=0)) for own in fit.shots.values())
        if not changes and bound > points:
            changes.append("a better one may exist now")
    plan = describe_plan(fit, timetable, bound, revision.grid_min)
    return Restored(plan=plan, changes=tuple(changes))


def _on_average(fit: DayFit, revision: Revision, saved: SavedAverage) -> Restored:
    """Follow a saved order again; its bound holds where the day is still the same."""
    from sunsched.saved.restore_average import average_again

    ids = {shot.id for shot in fit.day.shots}
    gone = [one for one in saved.order if one not in ids]
    changes = [f"{one} is in it and no longer in the day" for one in gone]
    past = () if fit.day.past is None else fit.day.past.cut
    cut = [one for one in saved.order if one in fit.day.cut_ids and one not in past]
    changes += [f"{one} is in it and is cut by decision" for one in cut]
    found = average_again(fit, revision, saved)
    if found.points != revision.points:
        was, now = revision.points, found.points
        changes.append(f"on the average day it is worth {now} points now, {was} when it was saved")
    if not changes and revision.facts == facts_mark(fit.day, on_average=True):
        return Restored(plan=found.likely, changes=(), average=found)
    if not changes:
        changes.append("a better one may exist now")
    anew = replace(revision, bound=None, if_every_minute_holds=None, best_for_planned_minutes=None)
    found = average_again(fit, anew, saved)
    return Restored(plan=found.likely, changes=tuple(changes), average=found)


def _broken(revision: Revision, rule: str, text: str) -> Fault:
    problem = f"breaks a rule of the day as it is now ({rule}): {text}"
    return Fault(file=revision.file, problem=problem, hint=AGAIN_HINT)
