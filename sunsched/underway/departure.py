"""Whether a day goes by a plan still: the first event since that it does not hold with.

What was told after the plan is gone through event by event. After each of them the rest of the
order is followed as the plan has it, with its own minutes; waits take up what was lost. The README
says the rule in words.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

import numpy as np

from sunsched.day.clock import clock
from sunsched.day.model import Day, Shot
from sunsched.day.past import over_ids
from sunsched.folder.log.event import Event, Kind, standing
from sunsched.light.fit import DayFit, fit_checked
from sunsched.plan.availability import may_roll_at, needs
from sunsched.plan.changeover import changeover
from sunsched.plan.last_start import last_start
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.underway.circumstances import with_circumstances

TOLERANCE = timedelta(minutes=5)  # common practice, no source
MINUTE = timedelta(minutes=1)
AROUND = frozenset({Kind.GONE, Kind.HERE, Kind.CLOSED, Kind.OPEN, Kind.CLOUD})
CREW = frozenset({Kind.ROLLED, Kind.DONE, Kind.MORE, Kind.LATE, Kind.MEAL, Kind.CUT})


@dataclass(frozen=True, slots=True, kw_only=True)
class Departure:
    """The event with which a day left its plan, and in words what does not hold since.

    `event` is None where an event that the plan knows was taken back.
    """

    event: Event | None
    why: str


@dataclass(slots=True, kw_only=True)
class _Course:
    """How far the day has come, by the plan's minutes.

    `free` is when the crew can first begin something new, before the minutes of `lost`, each from
    when and how many; `running_min` what the shot that rolls takes.
    """

    free: datetime
    before: Shot | None
    over: set[str]
    running: PlannedShot | None
    has_eaten: bool
    lost: list[tuple[datetime, timedelta]] = field(default_factory=list)
    more: dict[str, int] = field(default_factory=dict)


def departure(plan: Plan, asked: Day, events: Sequence[Event], known: int) -> Departure | None:
    """Give the first event since a plan that it does not hold with; None while the day goes by it.

    Parameters
    ----------
    plan : the plan, of a saved one as it is restored
    asked : the day as its folder has it
    events : the whole log
    known : how many of its events the plan knows
    """
    held = standing(events)
    if standing(events[:known]) != tuple(one for one in held if one.number <= known):
        return Departure(event=None, why="an event that it knows was taken back")
    course, past = _begun(plan), tuple(one for one in held if one.number <= known)
    for place, event in enumerate(held):
        if event.number <= known:
            continue
        why = ""
        if event.kind in AROUND:
            now = with_circumstances(asked, (*past, *held[: place + 1]))
            why = _around(plan, course, now)
        elif event.kind in CREW:
            why = _taken(plan, course, event) or _rest(plan, course)
        elif event.kind is Kind.ADD:
            why = "it does not have this shot"
        if why:
            return Departure(event=event, why=why)
    return None


def _begun(plan: Plan) -> _Course:
    past, day = plan.day.past, plan.day
    if past is None:
        return _Course(
            free=day.hours.crew_call, before=None, over=set(), running=None, has_eaten=False
        )
    shots = {one.shot.id: one for one in plan.shots}
    return _Course(
        free=past.free_at,
        before=day.shot(past.made[-1].shot_id) if past.made else None,
        over=set(over_ids(past)),
        running=None if past.running is None else shots.get(past.running),
        has_eaten=past.meal_start is not None,
    )


def _taken(plan: Plan, course: _Course, event: Event) -> str:
    """Take an event of the crew; say what of the plan it is itself against."""
    day, shots = plan.day, {one.shot.id: one for one in plan.shots}
    minutes = timedelta(minutes=event.minutes or 0)
    planned = shots.get(event.subject)
    match event.kind:
        case Kind.ROLLED:
            if planned is None and (plan.outlook is None or plan.outlook.of(event.subject) is None):
                return f"it leaves {event.subject} out"
            ids = [one.shot.id for one in plan.shots if one.shot.id not in course.over]
            place = ids.index(event.subject) if event.subject in ids else 0
            if place:
                return f"it has {ids[0]} before {event.subject}"
            first, last = _starts(plan, event.subject)
            if not course.has_eaten and planned is not None and _eats_before(plan, planned):
                return f"it has the meal before {event.subject}"
            if not first - TOLERANCE <= event.at <= last + TOLERANCE:
                return f"it has {event.subject} rolling {_between(day, first, last)}"
            shot = day.shot(event.subject)
            course.before, course.running = shot, planned
            course.over.add(shot.id)
            length = shot.shoot_min + course.more.get(shot.id, 0)
            course.free, course.lost = event.at + timedelta(minutes=length), []
        case Kind.DONE:
            course.free, course.running, course.lost = event.at, None, []
        case Kind.CUT:
            if event.subject not in course.over and planned is not None:
                return f"it has {event.subject}"
        case Kind.MORE:
            if event.subject in course.over:
                course.free += minutes
            else:
                more = course.more.get(event.subject, 0) + (event.minutes or 0)
                course.more[event.subject] = more
        case Kind.LATE if course.running is not None:
            course.free += minutes
        case Kind.LATE:
            course.lost.append((event.at, minutes))
        case Kind.MEAL:
            why = _meal(plan, course, event.at)
            course.free, course.lost, course.has_eaten = (
                event.at + timedelta(minutes=day.meal.length_min),
                [],
                True,
            )
            return why
        case _:
            pass  # told of by those who look at it
    return ""


def _meal(plan: Plan, course: _Course, begun: datetime) -> str:
    """Say what a meal that begins now is against."""
    if plan.meal is None:
        return "it has no meal"
    late = [
        one.shot.id
        for one in plan.shots
        if one.shot.id not in course.over and not _eats_before(plan, one)
    ]
    if late:
        return f"it has {late[0]} before the meal"
    first = last = plan.meal.start
    before = [one for one in plan.shots if not _eats_before(plan, one)]
    if before:
        rolls = _starts(plan, before[-1].shot.id)
        length = timedelta(minutes=before[-1].shot.shoot_min)
        first, last = min(first, rolls[0] + length), max(last, rolls[1] + length)
    if not first - TOLERANCE <= begun <= last + TOLERANCE:
        return f"it has the meal beginning {_between(plan.day, first, last)}"
    return ""


def _rest(plan: Plan, course: _Course) -> str:
    """Follow what is to come from here on; say what of it cannot be as the plan has it."""
    day, free, before = plan.day, course.free, course.before
    lost, has_eaten = list(course.lost), course.has_eaten
    for planned in plan.shots:
        shot = planned.shot
        if shot.id in course.over:
            continue
        if plan.meal is not None and not has_eaten and _eats_before(plan, planned):
            begun = max(plan.meal.start, _late(free, lost))
            if begun > max(day.meal.latest, plan.meal.start):
                return f"the meal can begin at {clock(day, begun)} at the soonest"
            free, lost, has_eaten = begun + timedelta(minutes=day.meal.length_min), [], True
        ready = _ready(plan, planned, before, free, lost)
        roll = max(ready, planned.roll_start)
        _, latest = _starts(plan, shot.id)
        if roll > latest + TOLERANCE:
            return f"{shot.id} can roll at {clock(day, roll)} at the soonest"
        if planned.last_start is not None and roll > planned.last_start:
            return f"the last start of {shot.id} is {clock(day, planned.last_start)}"
        length = shot.shoot_min + course.more.get(shot.id, 0)
        free, lost, before = roll + timedelta(minutes=length), [], shot
    return ""


def _ready(
    plan: Plan,
    planned: PlannedShot,
    before: Shot | None,
    free: datetime,
    lost: Sequence[tuple[datetime, timedelta]],
) -> datetime:
    """Give when a shot stands built, with the minutes that were lost before and meanwhile."""
    past, shot = plan.day.past, planned.shot
    start = max(free, planned.changeover_start)
    work = timedelta(minutes=changeover(plan.day, before, shot).total_min)
    if past is not None and past.building == shot.id and free <= past.free_at:
        start = past.built_since or start
    ready = start + work
    for moment, length in lost:
        if start > moment:
            start = max(start, moment + length)
            ready = start + work
        else:
            ready = max(ready, moment) + length
    return ready


def _late(free: datetime, lost: Sequence[tuple[datetime, timedelta]]) -> datetime:
    for moment, length in lost:
        free = max(free, moment) + length
    return free


def _around(plan: Plan, course: _Course, now: Day) -> str:
    """Say which shot to come has lost its people, its spot or its last start."""
    fit = fit_checked(replace(plan.day, cast=now.cast, spots=now.spots, clouds=now.clouds))
    for planned in plan.shots:
        if planned.shot.id in course.over:
            continue
        roll = planned.roll_start
        if not _may_roll(fit, planned, roll):
            return f"{planned.shot.id} cannot roll at {clock(plan.day, roll)} any more"
        held = planned.last_start
        if held is None:
            continue
        latest = last_start(fit, planned.shot, roll)
        if latest is None:
            return f"{planned.shot.id} has less than half of its light"
        if latest < held - TOLERANCE:
            return f"the last start of {planned.shot.id} is {clock(plan.day, latest)}"
    return ""


def _may_roll(fit: DayFit, planned: PlannedShot, roll: datetime) -> bool:
    """Say whether the people and the spot of a shot are there for its roll, whatever its light."""
    wanted = [one for one in needs(fit, planned.shot) if one.rule in ("cast here", "spot open")]
    minute = np.array([fit.minute_of(roll)])
    built_min = planned.build_min + planned.turnaround_min
    return bool(may_roll_at(planned.shot, wanted, built_min, minute)[0])


def _starts(plan: Plan, shot_id: str) -> tuple[datetime, datetime]:
    """Give between which moments a shot is likely to roll; one moment for planned minutes."""
    prospect = None if plan.outlook is None else plan.outlook.of(shot_id)
    if prospect is not None and prospect.rolls is not None:
        return prospect.rolls.start, prospect.rolls.end
    start = next(
        (one.roll_start for one in plan.shots if one.shot.id == shot_id), plan.day.hours.hard_wrap
    )
    return start, start


def _eats_before(plan: Plan, planned: PlannedShot) -> bool:
    return plan.meal is not None and plan.meal.start < planned.roll_start


def _between(day: Day, first: datetime, last: datetime) -> str:
    if first == last:
        return f"at {clock(day, first)}"
    return f"between {clock(day, first)} and {clock(day, last)}"
