"""The events of a stretch of the day that went as it was planned."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from sunsched.day.model import Day
from sunsched.errors import SunschedError
from sunsched.folder.log.course import clock
from sunsched.folder.log.event import BY_PLAN, Kind
from sunsched.folder.log.log import Log
from sunsched.plan.timetable import Timetable


def events_as_planned(
    day: Day, log: Log, planned: Timetable, at: datetime
) -> tuple[dict[str, str], ...]:
    """Give the cells of the events by which a day went by its plan up to a moment.

    Parameters
    ----------
    day : the one that was planned: of a plan for the average day its likely day
    log : what is noted already
    planned : the plan
    at : the moment

    Raises
    ------
    SunschedError
        When nothing planned happens from the last event to `at`, or something was planned before
        that event and is not noted.
    """
    last = log.state.last
    found = sorted(_events(day, log, planned, at), key=lambda one: one[0])
    for moment, kind, subject in found:
        if last is not None and moment < last.at:
            what = " ".join((kind, subject)).strip()
            raise SunschedError(
                f"the day did not go as planned: `{what}` was to be at {clock(day, moment)}, "
                f"before the last event at {clock(day, last.at)}\n"
                "  hint: note what happened one by one, or take a new plan with `replan`"
            )
    if not found:
        since = "" if last is None else f" after the last event at {clock(day, last.at)}"
        raise SunschedError(f"nothing is planned{since} up to {clock(day, at)}")
    return tuple(
        {"at": moment.isoformat(), "event": kind.value, "subject": subject, "value": BY_PLAN}
        for moment, kind, subject in found
    )


def _events(
    day: Day, log: Log, planned: Timetable, at: datetime
) -> Iterator[tuple[datetime, Kind, str]]:
    """Give what was to happen by a moment and is not noted, each with its time."""
    state, planned_min = log.state, {shot.id: shot.shoot_min for shot in day.shots}
    over = {*state.made, *state.cut, *day.cut_ids}
    running = "" if state.running is None else state.running.subject
    for roll in planned.rolls:
        if roll.shot_id in over:
            continue
        if roll.shot_id != running and roll.roll_start <= at:
            yield roll.roll_start, Kind.ROLLED, roll.shot_id
        shot = state.shots.get(roll.shot_id)
        if shot is None:
            continue  # taken out of the day since: it is refused as it begins to roll
        minutes = planned_min.get(shot.id, shot.shoot_min) + state.more_min.get(shot.id, 0)
        end = roll.roll_start + timedelta(minutes=minutes)
        if end <= at:
            yield end, Kind.DONE, roll.shot_id
    if state.meal is None and planned.meal_start is not None and planned.meal_start <= at:
        yield planned.meal_start, Kind.MEAL, ""
