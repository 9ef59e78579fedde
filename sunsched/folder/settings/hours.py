"""The hours of a day and its meal, checked against each other."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from sunsched.day.call import first_meal
from sunsched.day.model import Hours, Meal
from sunsched.folder.settings.document import Document
from sunsched.folder.settings.keys import Settings
from sunsched.folder.text.clock import Calendar
from sunsched.folder.text.findings import Findings, Where

MAX_DAY = timedelta(hours=24)
CLOCKS_BACK = timedelta(hours=2)  # no zone puts its clocks back by more


def read_calendar(settings: Settings) -> Calendar | None:
    """Give what turns clock times into moments; None while date, zone or call are at fault."""
    if settings.date and settings.place.timezone and settings.hours.crew_call is not None:
        zone = ZoneInfo(settings.place.timezone)
        return Calendar(date=settings.date, zone=zone, call=settings.hours.crew_call)
    return None


def read_hours(
    document: Document, settings: Settings, calendar: Calendar | None, findings: Findings
) -> Hours | None:
    """Check the hours against each other; None, with the faults noted, when they do not fit."""
    keys = settings.hours
    if calendar is None or keys.wrap is None or keys.crew_call is None:
        return None
    clocks = {
        "crew_call": keys.crew_call,
        "first_roll": keys.crew_call if keys.first_roll is None else keys.first_roll,
        "wrap": keys.wrap,
        "hard_wrap": keys.wrap if keys.hard_wrap is None else keys.hard_wrap,
    }
    written = {"crew_call", "wrap"} | keys.model_fields_set
    moments: dict[str, datetime] = {}
    for key, clock in clocks.items():
        # A key that is not written takes its moment from another, which has told its own faults.
        notes = findings if key in written else Findings()
        at = calendar.at(clock, document.at("hours", key), notes)
        if at is not None:
            moments[key] = at
    if len(moments) < len(clocks):
        return None
    hours = Hours(**moments)
    before = len(findings.faults)
    check_hours(
        hours,
        lambda key: document.at("hours", key),
        {
            key: f"{clock:%H:%M}" + " of the next day" * (clock < keys.crew_call)
            for key, clock in clocks.items()
        },
        findings,
    )
    return hours if len(findings.faults) == before else None


def check_hours(
    hours: Hours, at: Callable[[str], Where], shown: Mapping[str, str], findings: Findings
) -> None:
    """Note what does not fit among the hours.

    Parameters
    ----------
    hours : Hours
        The hours, all aware.
    at : callable
        Says where one of them stands, by its name.
    shown : mapping of str to str
        What stands there.
    findings : Findings
        Where faults are noted.
    """
    if hours.wrap <= hours.crew_call:
        is_same = hours.wrap == hours.crew_call
        findings.fault(
            at("wrap"),
            "wrap at the crew call" if is_same else "wrap before the crew call",
            shown["wrap"],
            expected="a later time"
            + ("; a time before the call is the next day" if is_same else ""),
        )
    elif not hours.crew_call <= hours.first_roll < hours.wrap:
        is_late = hours.first_roll >= hours.wrap
        findings.fault(
            at("first_roll"),
            "no earlier than wrap" if is_late else "earlier than the crew call",
            shown["first_roll"],
            expected="a time between crew call and wrap",
        )
    if hours.hard_wrap < hours.wrap:
        findings.fault(
            at("hard_wrap"),
            "earlier than wrap",
            shown["hard_wrap"],
            expected=f"{shown['wrap']} or later",
        )
    if hours.hard_wrap - hours.crew_call > MAX_DAY:
        findings.fault(
            at("hard_wrap"),
            "more than 24 hours after the crew call",
            shown["hard_wrap"],
            expected="a day of at most 24 hours",
            hint="the clocks are put back on this day, which makes it longer"
            if hours.hard_wrap - hours.crew_call <= MAX_DAY + CLOCKS_BACK
            else "",
        )


def read_meal(
    document: Document,
    settings: Settings,
    calendar: Calendar | None,
    hours: Hours | None,
    findings: Findings,
) -> Meal | None:
    """Give the meal; its earliest start leaves no second one due before wrap, unless written."""
    keys = settings.meal
    if calendar is None or hours is None:
        return None
    span, length = timedelta(minutes=keys.latest_after_call_min), timedelta(minutes=keys.length_min)
    latest = hours.crew_call + span
    earliest = hours.crew_call + first_meal(hours.wrap - hours.crew_call, span, length)
    if keys.earliest is not None:
        at = calendar.at(keys.earliest, document.at("meal", "earliest"), findings)
        if at is None:
            return None
        earliest = at
    meal = Meal(earliest=earliest, latest=latest, length_min=keys.length_min, second=keys.second)
    where = document.at("meal", "earliest")
    is_right = keys.earliest is None or check_meal(meal, hours, calendar.zone, where, findings)
    return meal if is_right else None


def check_meal(meal: Meal, hours: Hours, zone: ZoneInfo, where: Where, findings: Findings) -> bool:
    """Say whether the meal's earliest start lies before its latest; note a fault if not."""
    if meal.earliest <= meal.latest:
        return True
    span_min = (meal.latest - hours.crew_call) // timedelta(minutes=1)
    findings.fault(
        where,
        "later than the meal's latest start",
        f"{meal.earliest.astimezone(zone):%H:%M}",
        expected=f"{meal.latest.astimezone(zone):%H:%M} or earlier",
        hint=f"the latest start is {span_min} minutes after the call",
    )
    return False
