"""A day folder as the pages show it: the day, its light, its newest plan and what is noted.

All moments are milliseconds since 1970, the light of minutes whole per cent.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields
from datetime import timedelta
from pathlib import Path
from typing import Any

from sunsched.day.clock import instant_ms
from sunsched.day.decided import decision_texts
from sunsched.day.model import Day, Shot, Span
from sunsched.desk.answers.known import Known, KnownPlan, known, known_plan
from sunsched.desk.answers.plan_view import plan_view
from sunsched.desk.work.worker import Memory
from sunsched.errors import FolderError
from sunsched.folder.log.event import standing
from sunsched.light.fit import DayFit
from sunsched.light.windows import ShotWindows, windows
from sunsched.show.layout import bearing_text, plain
from sunsched.show.records.day import fault_record
from sunsched.show.text.log import event_text
from sunsched.sky.events import sun_events
from sunsched.sky.horizon import direct_spans
from sunsched.underway.replay import go_through

STEP_MIN = 5  # between two values of light
BEFORE, AFTER = timedelta(hours=1), timedelta(minutes=30)  # shown around call and hard wrap
Record = dict[str, Any]


def answer(memory: Memory, *, folder: str) -> Iterator[Record]:
    """Give the data of the page; of a folder at fault, its faults and nothing else."""
    path = Path(folder)
    try:
        one = known(memory, path)
    except FolderError as error:
        yield {
            "name": path.name,
            "faults": [fault_record(fault) for fault in error.faults],
            "text": str(error),
        }
        return
    day = one.reading.day
    try:
        plan, broken = known_plan(memory, one), ""
    except FolderError as error:
        plan, broken = None, str(error)
    yield {
        "name": path.name,
        "faults": [],
        "warnings": [str(warning) for warning in one.reading.warnings],
        **_day(day),
        **_sky(one.fit),
        "shots": [
            _shot(one.fit, shot, found)
            for shot, found in zip(day.shots, windows(one.fit), strict=True)
        ],
        "plan": None if plan is None else _saved(plan),
        "plan_fault": broken,
        "log": _log(one),
    }


def _day(day: Day) -> Record:
    hours = day.hours
    offset = hours.crew_call.astimezone(day.place.zone).utcoffset() or timedelta()
    return {
        "title": plain(day.title),
        "place": plain(day.place.name),
        "date": day.date.isoformat(),
        "weekday": f"{day.date:%A}",
        "timezone": day.place.timezone,
        # For a browser that does not know the zone.
        "offset_min": round(offset / timedelta(minutes=1)),
        "hours": {one.name: instant_ms(getattr(hours, one.name)) for one in fields(hours)},
        "meal": {
            "earliest": instant_ms(day.meal.earliest),
            "latest": instant_ms(day.meal.latest),
            "length_min": day.meal.length_min,
        },
        "cast": [{"name": one.name, "here": _spans(one.here)} for one in day.cast],
        "decisions": list(decision_texts(day)),
        "is_under_way": day.past is not None,
    }


def _sky(fit: DayFit) -> Record:
    day = fit.day
    events = sun_events(day.place, day.date)
    used = {shot.spot for shot in day.shots}
    return {
        "axis": time_axis(day),
        "events": {
            one.name: None if found is None else instant_ms(found)
            for one in fields(events)
            for found in [getattr(events, one.name)]
        },
        "spots": [
            {
                "name": spot.name,
                "open": _spans(spot.open),
                "sun": _spans(direct_spans(spot.horizon, fit.track)),
            }
            for spot in day.spots
            if spot.name in used
        ],
    }


def _shot(fit: DayFit, shot: Shot, found: ShotWindows) -> Record:
    day = fit.day
    return {
        "id": shot.id,
        "scene": shot.scene,
        "description": plain(shot.description),
        "size": str(shot.size),
        "spot": shot.spot,
        "look": bearing_text(day, shot.look_deg),
        "look_deg": shot.look_deg,
        "shoot_min": shot.shoot_min,
        "weight": shot.weight,
        "rig": shot.rig,
        "match": shot.match,
        "hold": shot.hold,
        "after": list(shot.after),
        "cast": list(shot.cast),
        "pin": None if shot.pin is None else instant_ms(shot.pin),
        "windows": _spans(found.spans),
        "light": light_along(fit, shot.id),
    }


def time_axis(day: Day) -> Record:
    """Give the stretch of time that the pages show, with what its clock needs."""
    start, end = day.hours.crew_call - BEFORE, day.hours.hard_wrap + AFTER
    offset = day.hours.crew_call.astimezone(day.place.zone).utcoffset() or timedelta()
    return {
        "from": instant_ms(start),
        "to": instant_ms(end),
        "step_min": STEP_MIN,
        "date": day.date.isoformat(),
        "timezone": day.place.timezone,
        "offset_min": round(offset / timedelta(minutes=1)),
    }


def light_along(fit: DayFit, shot_id: str) -> list[int]:
    """Give the light of a shot at each step of the page's axis, in per cent."""
    hours, light = fit.day.hours, fit.shots[shot_id].fit
    first = fit.minute_of(hours.crew_call - BEFORE)
    last = fit.minute_of(hours.hard_wrap + AFTER)
    return [
        round(100 * float(light[minute])) if 0 <= minute < len(light) else 0
        for minute in range(first, last, STEP_MIN)
    ]


def _saved(plan: KnownPlan) -> Record:
    saved, restored = plan.revision, plan.restored
    return {
        **plan_view(restored.average or restored.plan),
        "revision": saved.number,
        "made_at": None if saved.made_at is None else instant_ms(saved.made_at),
        "knows_events": 0 if saved.past is None else saved.past.events,
        "changes": list(restored.changes),
    }


def _log(one: Known) -> Record:
    day, log = one.reading.day, one.log
    held = {event.number for event in standing(log.events)}
    running = log.state.running
    behind = go_through(day, log.state.shots, standing(log.events), None)
    return {
        "events": [
            {
                "number": event.number,
                "at": instant_ms(event.at),
                "kind": event.kind.value,
                "subject": event.subject,
                "minutes": event.minutes,
                "text": plain(event_text(day, event)),
                "holds": event.number in held,
            }
            for event in log.events
        ],
        "running": None if running is None else running.subject,
        "rolled_at": None if running is None else instant_ms(running.at),
        "made": list(log.state.made),
        "cut": list(log.state.cut),
        "meal": None if log.state.meal is None else instant_ms(log.state.meal.at),
        "warnings": [str(warning) for warning in log.warnings],
        # When the crew is free for something new, as it stands now.
        "free": instant_ms(behind.free),
        "more_min": dict(log.state.more_min),
        "said": [
            {"what": what, "name": name, "kind": kind.value}
            for (what, name), kind in log.state.said.items()
        ],
        # Shots that were added on the day stand in the log alone.
        "shots": sorted(log.state.shots),
        "added": [
            {"id": shot.id, "size": str(shot.size), "spot": shot.spot, "shoot_min": shot.shoot_min}
            for event in standing(log.events)
            for shot in [event.shot]
            if shot is not None
        ],
    }


def _spans(spans: Sequence[Span]) -> list[Record]:
    return [{"from": instant_ms(span.start), "to": instant_ms(span.end)} for span in spans]
