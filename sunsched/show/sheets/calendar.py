"""The day for a calendar program: iCalendar as RFC 5545 has it, one event a shot and the meal."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid5

from icalendar import Calendar, Event, Timezone, TimezoneDaylight, TimezoneStandard

from sunsched.day.clock import clock
from sunsched.day.model import Day, Place, Span
from sunsched.errors import WriteRefused
from sunsched.plan.plan import PlannedShot
from sunsched.show.afterwards import difference, pairs
from sunsched.show.agenda import (
    Sheet,
    State,
    build_text,
    issued,
    last_start_text,
    lens_text,
    look_text,
    state_of,
    sun_text,
)
from sunsched.show.cautions import shot_cautions
from sunsched.show.layout import bearings_note, plain
from sunsched.show.prospects import prospect_texts
from sunsched.show.second_meal import second_meal
from sunsched.show.stamp import OUT_OF_DATE, behind_text

MAKER = "-//sunsched//shooting day//EN"
EVENTS = UUID("8a3d7a0e-52c5-4f0b-9d53-1c5b9f1f4e27")  # random; all UIDs are made from it
ZONE_SPAN = timedelta(days=400)  # the zone's rules are told for a year around the day
_DAY = timedelta(days=1)
_SECOND = timedelta(seconds=1)


def calendar_bytes(sheet: Sheet) -> bytes:
    """Give the plan as a calendar.

    A shot keeps its UID from revision to revision, so that reading a new one in moves its event.
    There is no METHOD: with one, RFC 5546 wants an organizer, and no plan knows one.

    Raises
    ------
    WriteRefused
        When nothing is planned: a calendar must have something in it (RFC 5545, 3.6).
    """
    plan = sheet.plan
    if not plan.shots and plan.meal is None:
        raise WriteRefused("a calendar needs an event, and nothing is planned")
    calendar = Calendar()
    calendar.add("VERSION", "2.0")
    calendar.add("PRODID", MAKER)
    calendar.add("X-WR-CALNAME", plain(plan.day.title))
    # RFC 7986, 5.2 and 5.4: what the calendar is, and when it was last changed.
    calendar.add("DESCRIPTION", "\n".join(plain(text) for text in _stamp_texts(sheet)))
    calendar.add("LAST-MODIFIED", _revised(sheet))
    for planned in plan.shots:
        calendar.add_component(_shot_event(sheet, planned))
    for dropped, why in _dropped(sheet):
        calendar.add_component(_dropped_event(sheet, dropped, why))
    if plan.meal is not None:
        calendar.add_component(_meal_event(sheet, "meal", plan.meal))
    second = second_meal(plan)
    if second is not None:
        calendar.add_component(_meal_event(sheet, "second meal", second))
    if calendar.get_missing_tzids():
        calendar.subcomponents.insert(0, _zone(plan.day))
    return bytes(calendar.to_ical())


def _shot_event(sheet: Sheet, planned: PlannedShot) -> Event:
    plan, shot = sheet.plan, planned.shot
    state = state_of(plan, planned)
    span = Span(start=planned.roll_start, end=planned.roll_end)
    event = _event(sheet, "shot", shot.id, span)
    told = "" if state is State.COMING else f", {state}"
    event.add("SUMMARY", _title(sheet, f"{shot.id} {shot.size}{told}: {shot.description}"))
    if plan.day.past is not None or sheet.stamp.revision is None:
        # RFC 5545, 3.8.1.11: of the words for an event, the two that tell what is from what may be.
        event.add("STATUS", "TENTATIVE" if state is State.COMING else "CONFIRMED")
    event.add("LOCATION", plain(_where(plan.day.place, shot.spot)))
    event.add("GEO", (plan.day.place.latitude_deg, plan.day.place.longitude_deg))
    texts = (*_warning(sheet), *_facts(sheet, planned), issued(sheet))
    event.add("DESCRIPTION", "\n".join(plain(text) for text in texts))
    return event


def _dropped(sheet: Sheet) -> Iterator[tuple[PlannedShot, str]]:
    """Give the planned shots of a day that is over that were not made, each with why."""
    if sheet.before is not None:
        why = {left.shot.id: left.why for left in sheet.plan.left_out}
        for one in pairs(sheet.before, sheet.plan):
            if one.made is None and one.planned is not None:
                yield one.planned, why[one.shot.id]


def _dropped_event(sheet: Sheet, planned: PlannedShot, why: str) -> Event:
    """Give the event of a shot that was planned and not made: RFC 5545, 3.8.1.11, takes it back."""
    shot = planned.shot
    event = _event(sheet, "shot", shot.id, Span(start=planned.roll_start, end=planned.roll_end))
    event.add("SUMMARY", _title(sheet, f"{shot.id} {shot.size}, {why}: {shot.description}"))
    event.add("STATUS", "CANCELLED")
    event.add("LOCATION", plain(_where(sheet.plan.day.place, shot.spot)))
    event.add("DESCRIPTION", "\n".join(plain(text) for text in _stamp_texts(sheet)))
    return event


def _planned_text(sheet: Sheet, shot_id: str, rolled: datetime) -> Iterator[str]:
    """Say of a day that is over when the morning's plan had a shot, or with no id the meal."""
    before = sheet.before
    if before is None:
        return
    spans = {one.shot.id: (one.roll_start, one.roll_end) for one in before.shots}
    if shot_id == "" and before.meal is not None:
        spans[""] = (before.meal.start, before.meal.end)
    if shot_id not in spans:
        yield "not planned"
        return
    start, end = (clock(sheet.plan.day, when) for when in spans[shot_id])
    yield f"planned {start}–{end}, {difference(spans[shot_id][0], rolled)}"


def _facts(sheet: Sheet, planned: PlannedShot) -> Iterator[str]:
    plan, shot = sheet.plan, planned.shot
    if state_of(plan, planned) is State.COMING:
        move = f"move {planned.move_min} min, " if planned.move_min else ""
        wait = f", wait {planned.built_wait_min} min" if planned.built_wait_min else ""
        start = clock(plan.day, planned.changeover_start)
        yield f"changeover from {start}: {move}{build_text(plan, planned)}{wait}"
        yield f"last start {last_start_text(plan, planned)}"
    else:
        yield from _planned_text(sheet, shot.id, planned.roll_start)
        yield build_text(plan, planned)
    sun = f"{sun_text(plan.day, planned)}, {lens_text(planned)} of the lens"
    yield f"sun {sun}; look {look_text(plan.day, planned)}"
    if bearings_note(plan.day):
        yield bearings_note(plan.day)  # each event is read alone
    yield from prospect_texts(plan, planned)
    yield f"light {planned.fit:.0%}{f': {planned.why}' if planned.why else ''}"
    for text in shot_cautions(plan, planned):
        yield f"caution: {text}"
    if shot.cast:
        yield f"cast: {', '.join(shot.cast)}"


def _meal_event(sheet: Sheet, name: str, meal: Span) -> Event:
    event = _event(sheet, name, "", meal)
    event.add("SUMMARY", _title(sheet, name))
    event.add("LOCATION", plain(sheet.plan.day.place.name))
    told = [] if name != "meal" else _planned_text(sheet, "", meal.start)
    event.add("DESCRIPTION", "\n".join(plain(text) for text in (*told, *_stamp_texts(sheet))))
    return event


def _title(sheet: Sheet, text: str) -> str:
    return plain(f"{OUT_OF_DATE}: {text}" if sheet.stamp.behind else text)


def _warning(sheet: Sheet) -> tuple[str, ...]:
    return (behind_text(sheet.stamp),) if sheet.stamp.behind else ()


def _stamp_texts(sheet: Sheet) -> tuple[str, ...]:
    return (*_warning(sheet), issued(sheet))


def _revised(sheet: Sheet) -> datetime:
    """Give when what is told was last revised: as the plan was saved, or else as it was made."""
    when = sheet.stamp.saved_at or sheet.stamp.made_at
    return when.astimezone(UTC).replace(microsecond=0)


def _event(sheet: Sheet, kind: str, name: str, span: Span) -> Event:
    day = sheet.plan.day
    event = Event()
    event.add("UID", str(uuid5(EVENTS, json.dumps([day.title, day.date.isoformat(), kind, name]))))
    # RFC 5545, 3.8.7.2: without a METHOD both are the moment of the last revision.
    event.add("DTSTAMP", _revised(sheet))
    event.add("LAST-MODIFIED", _revised(sheet))
    event.add("SEQUENCE", sheet.stamp.revision or 0)
    for text in _stamp_texts(sheet):
        event.add("COMMENT", plain(text))
    event.add("DTSTART", _moment(day.place, span.start))
    event.add("DTEND", _moment(day.place, span.end))
    return event


def _moment(place: Place, when: datetime) -> datetime:
    """Give a moment on the place's clock, or in UTC where that clock shows the hour again.

    RFC 5545, 3.3.5: a local time that comes twice means the first one.
    """
    local = when.astimezone(place.zone)
    return when.astimezone(UTC) if local.fold else local


def _where(place: Place, spot: str) -> str:
    return place.name if spot == place.name else f"{spot}, {place.name}"


def _zone(day: Day) -> Timezone:
    """Give the place's zone as it is for a year before and after the day."""
    place = day.place
    zone = Timezone()
    zone.add("TZID", place.timezone)
    start = day.hours.crew_call - ZONE_SPAN
    for when in (start, *_changes(place, start, day.hours.hard_wrap + ZONE_SPAN)):
        local = when.astimezone(place.zone)
        before = (when - _SECOND).astimezone(place.zone).utcoffset()
        rule = TimezoneDaylight() if local.dst() else TimezoneStandard()
        # RFC 5545, 3.6.5: the onset is on the clock as it went until then.
        rule.add("DTSTART", (when + (before or timedelta())).replace(tzinfo=None, microsecond=0))
        rule.add("TZOFFSETFROM", before)
        rule.add("TZOFFSETTO", local.utcoffset())
        rule.add("TZNAME", local.tzname())
        zone.add_component(rule)
    return zone


def _changes(place: Place, start: datetime, end: datetime) -> Iterator[datetime]:
    """Give the seconds between two moments at which the place's clock is put forward or back."""
    day_start = start
    while day_start < end:
        low, high = day_start, day_start + _DAY
        offset = low.astimezone(place.zone).utcoffset()
        if high.astimezone(place.zone).utcoffset() != offset:
            while high - low > _SECOND:
                middle = low + (high - low) // 2 // _SECOND * _SECOND
                if middle.astimezone(place.zone).utcoffset() == offset:
                    low = middle
                else:
                    high = middle
            yield high
        day_start += _DAY
