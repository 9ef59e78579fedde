"""A day with what has happened by a moment, so that the rest of it can be planned anew."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from sunsched.day.decided import decided_again
from sunsched.day.model import Day, Meal, Shot
from sunsched.day.past import Past, over_ids
from sunsched.errors import FolderError
from sunsched.folder.check import check_day
from sunsched.folder.log.course import begin, clock
from sunsched.folder.log.event import Event, Kind, standing
from sunsched.folder.store.files import LOG_FILE
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where
from sunsched.plan.changeover import changeover
from sunsched.plan.timetable import Timetable
from sunsched.underway.circumstances import with_circumstances
from sunsched.underway.replay import Behind, go_through


def day_so_far(
    day: Day,
    events: Sequence[Event],
    *,
    at: datetime,
    late_min: int = 0,
    planned: Timetable | None,
) -> Day:
    """Give a day with its past.

    How the log is read: a roll begins where it was noted, or at the end of the roll before it if
    that is later; it takes a minute at least. The roll that goes on ends after its planned minutes,
    those noted as more and those lost while it goes on, or at `at` if that is later. Minutes lost
    at other times are added to when the crew is free. The meal ends after its length. A shot's
    changeover began when it was planned to, but not before the end of what came before it, nor
    after its roll. While nothing rolls and no meal goes on, the crew is taken to build the next
    shot of the plan, if its planned changeover has begun by `at`, no later shot of the plan is made
    and no planned meal is still to come before it; minutes lost during a build put it off.

    In the day, made shots have their real minutes and no pin, cut ones no pin, others the minutes
    noted as more; a pin that cannot be kept any more is taken away. A meal still to come starts
    when the crew is free at the earliest, and its latest start is moved there when it has gone by.

    Parameters
    ----------
    day : as its folder has it
    events : the log, in its order
    at : the moment, not before the last event that stands
    late_min : minutes known to be lost from `at` on
    planned : the plan that was followed, None for none; shots that the day does not have any more
        are ignored

    Returns
    -------
    Day
        The day with its past, to be planned by `replan`.

    Raises
    ------
    FolderError
        With every event that contradicts the day or what happened before, or if `at` is too early.

    Examples
    --------
    >>> import sunsched
    >>> day = sunsched.example_day()
    >>> now = day.hours.crew_call.replace(hour=10)
    >>> so_far = sunsched.day_so_far(day, (), at=now, planned=None)
    >>> so_far.past.free_at == now
    True
    """
    check_day(day)
    held = standing(events)
    shots = _checked(day, events, at)
    if late_min:
        number = len(events) + 1
        late = Event(number=number, at=at, kind=Kind.LATE, since=at, minutes=late_min)
        held = (*held, late)
    if planned is not None:
        known = tuple(roll for roll in planned.rolls if roll.shot_id in shots)
        planned = replace(planned, rolls=known)
    behind = go_through(day, shots, held, planned)
    free_at = max(behind.free, at)
    made = behind.made
    if behind.running is not None:
        made = (*made, replace(behind.running, roll_end=free_at))
    since = behind.building_since(at, _without(planned, day.cut_ids))
    changed = with_circumstances(day, held)
    past = Past(
        at=at,
        free_at=free_at,
        made=made,
        running=None if behind.running is None else behind.running.shot_id,
        building=None if since is None else since[0],
        built_since=None if since is None else since[1],
        cut=behind.cut,
        meal_start=behind.meal_start,
        meal_due=day.meal.latest
        if behind.meal_start is None and day.meal.latest < free_at
        else None,
    )
    changed = replace(
        changed,
        shots=tuple(sorted(shots.values(), key=lambda shot: words.natural_key(shot.id))),
        meal=_meal(day.meal, past),
        past=past,
    )
    changed = decided_again(changed)
    after = tuple(_so_far(changed, shot, past, behind) for shot in changed.shots)
    unpinned = tuple(
        now.id
        for asked, now in zip(changed.shots, after, strict=True)
        if asked.pin is not None and now.pin is None and now.id not in over_ids(past)
    )
    return replace(changed, shots=after, past=replace(past, unpinned=unpinned))


def _without(planned: Timetable | None, cut: Collection[str]) -> Timetable | None:
    """Give a plan without the shots that decisions cut: nobody builds these."""
    if planned is None:
        return None
    return replace(planned, rolls=tuple(one for one in planned.rolls if one.shot_id not in cut))


def _checked(day: Day, events: Sequence[Event], at: datetime) -> dict[str, Shot]:
    """See that the events can have happened; give all shots by id."""
    findings = Findings()
    course = begin(day)
    for event in events:
        where = Where(file=f"{LOG_FILE}, event {event.number}")
        course.take(event, where, findings)
    last = course.now.last
    if last is not None and at < last.at:
        findings.fault(
            Where(file=LOG_FILE),
            f"its last event is later than {clock(day, at)}",
            clock(day, last.at),
            expected=f"{clock(day, last.at)} or later",
        )
    if findings.faults:
        raise FolderError(tuple(findings.faults))
    return dict(course.now.shots)


def _meal(meal: Meal, past: Past) -> Meal:
    if past.meal_start is not None:
        return meal
    # Said of the earliest too: a grid of starts may have none between then and the latest.
    return replace(
        meal,
        earliest=max(meal.earliest, past.free_at),
        latest=max(meal.latest, past.free_at),
    )


def _so_far(day: Day, shot: Shot, past: Past, behind: Behind) -> Shot:
    """Give a shot as it is after what happened."""
    for made in past.made:
        if made.shot_id == shot.id:
            rolled = round((made.roll_end - made.roll_start).total_seconds() / 60)
            return replace(shot, shoot_min=rolled, pin=None)
    if shot.id in past.cut:
        return replace(shot, pin=None)
    shot = replace(shot, shoot_min=shot.shoot_min + behind.more_min.get(shot.id, 0))
    if shot.pin is not None and shot.pin < _earliest_roll(day, shot, past):
        return replace(shot, pin=None)
    return shot


def _earliest_roll(day: Day, shot: Shot, past: Past) -> datetime:
    before = day.shot(past.made[-1].shot_id) if past.made else None
    begun = past.free_at
    if past.building == shot.id and past.built_since is not None:
        begun = past.built_since
    return max(past.free_at, begun + timedelta(minutes=changeover(day, before, shot).total_min))
