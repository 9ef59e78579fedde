"""How far a day under way has come, with `--json`."""

from __future__ import annotations

from sunsched.day.clock import local_text
from sunsched.day.model import Day
from sunsched.show.records.day import Record


def past_record(day: Day) -> Record:
    """Give what has happened by now; empty before the day began."""
    past = day.past
    if past is None:
        return {}
    return {
        "at": local_text(day, past.at),
        "free_at": local_text(day, past.free_at),
        "made": [one.shot_id for one in past.made if one.shot_id != past.running],
        "running": past.running,
        "building": past.building,
        "cut": list(past.cut),
        "meal_due": local_text(day, past.meal_due),
        "unpinned": list(past.unpinned),
    }
