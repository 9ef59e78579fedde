"""What the commands print with `--json`: plain dicts, times in ISO 8601 with the local offset."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import fields

from sunsched.day.clock import local_text
from sunsched.day.decided import decision_texts
from sunsched.day.model import Day, Span
from sunsched.errors import Fault
from sunsched.folder.read import Reading
from sunsched.light.windows import ShotWindows
from sunsched.plan.crew import Crew
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.plan.score import Score
from sunsched.show.cautions import shot_cautions
from sunsched.show.second_meal import SECOND_MEAL_MIN
from sunsched.sky.events import SunEvents
from sunsched.sky.opinion import MoonPhase, SecondOpinion
from sunsched.sky.track import SunTrack

Record = dict[str, object]


def record_text(record: Record) -> str:
    """Write a record as the text of `--json`, or of a saved file."""
    return json.dumps(record, ensure_ascii=False, indent=2)


def plan_record(plan: Plan, revision: int | None = None) -> Record:
    """Give a plan; `revision` is the number under which it is saved."""
    day = plan.day
    return {
        **_head(day),
        "status": plan.status,
        "points": plan.points,
        "bound": plan.bound,
        "light_kept": round(plan.light_kept, 4),
        "revision": revision,
        "grid_min": plan.grid_min,
        "account": _account(plan.score),
        "meal": None if plan.meal is None else _span(day, plan.meal),
        "second_meal": _second_meal(plan),
        "shots": [
            _planned(day, planned)
            | _state(day, planned)
            | {"cautions": list(shot_cautions(plan, planned))}
            for planned in plan.shots
        ],
        "left_out": [{"id": left.shot.id, "why": left.why} for left in plan.left_out],
        "decisions": list(decision_texts(day)),
    }


def crew_record(day: Day, crew: Crew) -> Record:
    """Give what the crew and the cast see of a timetable."""
    return {
        "wrap": local_text(day, crew.wrap),
        "overtime_min": crew.overtime_min,
        "moves": crew.moves,
        "rig_changes": crew.rig_changes,
        "waiting_min": crew.waiting_min,
        "idle_min": crew.idle_min,
        "meal_start": local_text(day, crew.meal_start),
        "cast_wait_min": crew.cast_wait_min,
        "cast": [
            {
                "name": member.name,
                "first_call": local_text(day, member.first_call),
                "last_release": local_text(day, member.last_release),
                "waiting_min": member.waiting_min,
            }
            for member in crew.cast
        ],
    }


def _second_meal(plan: Plan) -> Record | None:
    """Give when a second meal is due, if the camera still rolls then, and how it is told."""
    if plan.second_meal_due is None:
        return None
    due = local_text(plan.day, plan.second_meal_due)
    return {"due": due, "length_min": SECOND_MEAL_MIN, "as": str(plan.day.meal.second)}


def _account(score: Score) -> Record:
    """Give where the points come from: those of the light, less everything else."""
    return {
        "light": sum(score.light.values()),
        "left_out": sum(score.left_out.values()),
        "match": sum(score.match.values()),
        "waits": score.waiting,
        "after_meal": score.after_meal,
        "wide_to_tight": score.wide_to_tight,
        "overtime": score.overtime,
        "moves": score.moves,
        "rig_changes": score.rig_changes,
    }


def windows_record(day: Day, found: Iterable[ShotWindows]) -> Record:
    """Give each shot's windows, and what fails where there is none."""
    return {
        **_head(day),
        "shots": [
            {
                "id": one.shot,
                "windows": [_span(day, span) for span in one.spans],
                "flat_light": [_span(day, span) for span in one.flat],
                "frames": [_span(day, span) for span in one.frames],
                "held": [_span(day, span) for span in one.held],
                "best_fit": round(one.best_fit, 4),
                "best_time": local_text(day, one.best_time),
                "fails": one.fails,
                "miss_deg": None if one.miss_deg is None else round(one.miss_deg, 2),
                "miss": one.miss or None,
                "miss_min": one.miss_min,
            }
            for one in found
        ],
    }


def sun_record(
    day: Day,
    events: SunEvents,
    kind: str | None,
    direct: dict[str, tuple[Span, ...]],
    track: SunTrack,
    every_min: int,
) -> Record:
    """Give the day's events, each spot's direct sun, and the track every so many minutes."""
    return {
        **_head(day),
        "kind": kind,
        "events": {
            field.name: local_text(day, getattr(events, field.name)) for field in fields(events)
        },
        "direct_sun": {
            name: [_span(day, span) for span in spans] for name, spans in direct.items()
        },
        "track": [
            {
                "time": local_text(day, track.time_of(minute)),
                "azimuth_deg": round(float(track.azimuth_deg[minute]), 4),
                "elevation_deg": round(float(track.elevation_deg[minute]), 4),
                "apparent_elevation_deg": round(float(track.apparent_elevation_deg[minute]), 4),
            }
            for minute in range(0, len(track), every_min)
        ],
    }


def check_record(reading: Reading, opinion: SecondOpinion, moon: MoonPhase) -> Record:
    """Give the summary of a day without faults."""
    day = reading.day
    return {
        **_head(day),
        "place": {
            "name": day.place.name,
            "latitude_deg": day.place.latitude_deg,
            "longitude_deg": day.place.longitude_deg,
            "elevation_m": day.place.elevation_m,
        },
        "hours": {
            field.name: local_text(day, getattr(day.hours, field.name))
            for field in fields(day.hours)
        },
        "spots": [spot.name for spot in day.spots],
        "shots": len(day.shots),
        "weight": sum(shot.weight for shot in day.shots),
        "roll_min": sum(shot.shoot_min for shot in day.shots),
        "taken": list(reading.taken),
        "decisions": list(decision_texts(day)),
        "second_opinion": [
            {
                "event": event.name,
                "ours": local_text(day, event.ours),
                "theirs": local_text(day, event.theirs),
                "difference_s": None
                if event.difference_s is None
                else round(event.difference_s, 1),
            }
            for event in opinion.events
        ],
        "moon": {"phase": moon.name, "illumination": round(moon.illumination, 2)},
        "faults": [],
        "warnings": [fault_record(warning) for warning in reading.warnings],
    }


def fault_record(fault: Fault) -> Record:
    """Give one fault or warning, field by field."""
    return {field.name: getattr(fault, field.name) for field in fields(fault)}


def _head(day: Day) -> Record:
    return {
        "title": day.title,
        "date": day.date.isoformat(),
        "timezone": day.place.timezone,
        "declination_deg": day.declination_deg,
    }


def _planned(day: Day, planned: PlannedShot) -> Record:
    return {
        "id": planned.shot.id,
        "spot": planned.shot.spot,
        "changeover_start": local_text(day, planned.changeover_start),
        "roll_start": local_text(day, planned.roll_start),
        "roll_end": local_text(day, planned.roll_end),
        "sun_azimuth_deg": round(planned.sun_azimuth_deg, 2),
        "sun_elevation_deg": round(planned.sun_elevation_deg, 2),
        "sun_from_lens_deg": round(planned.sun_from_lens_deg, 2),
        "fit": round(planned.fit, 4),
        "points": planned.points,
        "last_start": local_text(day, planned.last_start),
        "why": planned.why,
        **({"list": dict(planned.shot.kept)} if planned.shot.kept else {}),
    }


def _state(day: Day, planned: PlannedShot) -> Record:
    """Say of a day under way whether a shot is made, running or coming."""
    if day.past is None:
        return {}
    made = {one.shot_id for one in day.past.made}
    is_running = planned.shot.id == day.past.running
    return {"state": "running" if is_running else "made" if planned.shot.id in made else "coming"}


def _span(day: Day, span: Span) -> Record:
    return {"start": local_text(day, span.start), "end": local_text(day, span.end)}
