"""What each call keeps of the light, in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence

from sunsched.day.clock import clock, local_text
from sunsched.day.model import Day
from sunsched.show.layout import heading, table, wrapped
from sunsched.show.records.day import Record
from sunsched.whatif.price_average.call import CallPoint
from sunsched.whatif.price_average.wrap import SELDOM

WIDTH = 80
HEADER = ("call", "light", "ended by", "overtime", "left out on most days", "points")
NOTE = (
    "On the average day, for the best order found at each call; overtime and waiting are counted. "
    "Ended by: work has ended by then on half of the days. Rest between two days, travel and hours "
    "of cast and crew are for the agreements in force."
)


def call_curve_text(day: Day, found: Sequence[CallPoint], width: int = WIDTH) -> str:
    """Lay out what each call keeps of the light; `<` marks the day's own call."""
    best = max(found, key=lambda one: one.kept.points, default=None)
    rows = []
    for one in found:
        own = " <" if one.call == day.hours.crew_call else ""
        over = f"{one.kept.overtime_min:.0f} min" if one.kept.overtime_min >= 1 else ""
        left = ", ".join(seldom(one))
        rows.append(
            (
                f"{clock(day, one.call)}{own}",
                f"{one.kept.light_kept:6.1%}",
                clock(day, one.kept.stop),
                over,
                left,
                f"{round(one.kept.points)}",
            )
        )
    lines = [*heading(day, width), "", *table(HEADER, rows, width, flexible=4), ""]
    if best is not None:
        lines += wrapped(f"most points with the call at {clock(day, best.call)}", width)
    return "\n".join([*lines, *wrapped(NOTE, width)])


def seldom(one: CallPoint) -> list[str]:
    """Give the shots that are not made on most of the days."""
    return [chance.shot.id for chance in one.kept.chances if chance.made < SELDOM]


def call_curve_record(day: Day, found: Sequence[CallPoint]) -> Record:
    """Give what each call keeps of the light."""
    return {
        "title": day.title,
        "date": day.date.isoformat(),
        "timezone": day.place.timezone,
        "aim": "average",
        "calls": [
            {
                "call": local_text(day, one.call),
                "light_kept": round(one.kept.light_kept, 4),
                "points": round(one.kept.points),
                "stop_median": local_text(day, one.kept.stop),
                "overtime_min": round(one.kept.overtime_min, 1),
                "left_out": seldom(one),
            }
            for one in found
        ],
    }
