"""The list as it would be: its faults by cell, and the light of each row through the day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from sunsched.day.clock import instant_ms
from sunsched.day.model import Day
from sunsched.desk.answers.shots.edits import edits_of
from sunsched.desk.answers.view import light_along, time_axis
from sunsched.desk.work.worker import Memory
from sunsched.folder.editing.saved import ListChanged
from sunsched.folder.editing.trial import CellFault, check_edits
from sunsched.light.day_sun import DaySun, day_sun
from sunsched.light.fit import fit_checked

SUN_STEP_MIN = 15  # between two bearings of the sun on the dial
Record = dict[str, Any]


def answer(
    memory: Memory, *, folder: str, version: str, edits: Sequence[Mapping[str, Any]]
) -> Iterator[Record]:
    """Try edits out; of a list that was changed meanwhile, only that it was."""
    try:
        trial = check_edits(Path(folder), version, edits_of(edits))
    except ListChanged:
        yield {"changed": True}
        return
    yield {
        "changed": False,
        "faults": [_fault(one) for one in trial.faults],
        "warnings": [_fault(one) for one in trial.warnings],
        "taken": list(trial.taken),
        **({} if trial.readable is None else _light(memory, trial.readable, trial.shots)),
    }


def _fault(found: CellFault) -> Record:
    whole = found.row is None and found.column is None
    return {
        "row": found.row,
        "column": found.column,
        "text": str(found.fault) if whole else found.text,
    }


def _light(memory: Memory, day: Day, rows: Mapping[str, str]) -> Record:
    known: DaySun = memory.keep(("sun", day.place, day.date), lambda: day_sun(day))
    sun = known if known.is_of(day) else day_sun(day)
    fit = fit_checked(day, sun)
    track, hours = sun.track, day.hours
    first, last = fit.minute_of(hours.crew_call), fit.minute_of(hours.hard_wrap)
    return {
        "rows": {
            rows[shot.id]: {"light": light_along(fit, shot.id), "look_deg": shot.look_deg}
            for shot in day.shots
            if shot.id in rows
        },
        "axis": time_axis(day),
        # What a compass needs beside true north where the day is written for one.
        "declination_deg": day.declination_deg or 0.0,
        "sun": [
            {
                "at": instant_ms(track.time_of(minute)),
                "azimuth": round(float(track.azimuth_deg[minute]), 1),
                "elevation": round(float(track.apparent_elevation_deg[minute]), 1),
            }
            for minute in range(max(0, first), min(len(track), last + 1), SUN_STEP_MIN)
        ],
        "words": {
            "spot": [spot.name for spot in day.spots],
            "cast": [member.name for member in day.cast],
            "rig": sorted({shot.rig for shot in day.shots if shot.rig}),
            "match": sorted({shot.match for shot in day.shots if shot.match}),
        },
    }
