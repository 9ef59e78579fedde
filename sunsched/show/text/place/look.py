"""Which way the lens looks: by time, by a sun, between two points, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sunsched.day.clock import clock, local_text
from sunsched.day.model import Day, Shot, Span
from sunsched.light.looks import Arc, Turn
from sunsched.show.agenda import CAUTIONS
from sunsched.show.layout import (
    bearing_text,
    bearings_note,
    heading,
    side,
    span_times,
    table,
    wrapped,
)
from sunsched.show.records.day import Record

WIDTH = 80
LEAST_DEG = 0.5  # a smaller turn is none
HEADER = ("time", "sun at", "height", "from the lens", "light", "turn the lens", "to look")
NOTE = (
    "from the lens: how far the sun stands from where the lens looks, camera left or right; light: "
    "what a roll at that minute keeps; turn the lens: the least turn that brings the sun to the "
    "side asked for. The height of the sun, and what hides it, no turn can change."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """The sun at one time, seen from a shot's lens; `turn` is None where no side is asked for."""

    time: datetime
    azimuth_deg: float
    elevation_deg: float
    from_lens_deg: float
    light: float
    turn: Turn | None


def shot_text(
    day: Day, shot: Shot, spans: Sequence[Span], found: Sequence[Moment], width: int = WIDTH
) -> str:
    """Lay out a shot's sun and its cheats through the day."""
    met = span_times(day, spans) if spans else "never"
    told = (
        f"{shot.id} ({shot.size}) looks {bearing_text(day, shot.look_deg)}; its sun is right: {met}"
    )
    rows = [
        (
            clock(day, one.time),
            bearing_text(day, one.azimuth_deg),
            f"{one.elevation_deg:.0f}°",
            side(one.from_lens_deg),
            f"{one.light:.0%}",
            _turn_text(one.turn),
            "" if one.turn is None else bearing_text(day, one.turn.look_deg),
        )
        for one in found
    ]
    lines = [*heading(day, width), "", *wrapped(told, width), ""]
    if rows:
        lines += [*table(HEADER, rows, width, flexible=None), ""]
    else:
        lines += ["the sun is not up at that time" if spans else "the sun is never up", ""]
    return "\n".join([*lines, *wrapped(NOTE, width), *_note(day, width), CAUTIONS[0]])


def _turn_text(turn: Turn | None) -> str:
    if turn is None:
        return "any will do"
    if abs(turn.turn_deg) < LEAST_DEG:
        return "as it is"
    return f"{abs(turn.turn_deg):.0f}° {'right' if turn.turn_deg > 0 else 'left'}"


def sun_look_text(
    day: Day,
    when: datetime,
    azimuth_deg: float,
    elevation_deg: float,
    asked: str,
    looks: Sequence[Arc],
    width: int = WIDTH,
) -> str:
    """Say which way to look at a time for the sun to stand as asked."""
    sun = (
        f"at {clock(day, when)} the sun stands at {bearing_text(day, azimuth_deg)}, "
        f"{elevation_deg:.0f}° high" + ("" if elevation_deg > 0 else ": below the horizon")
    )
    told = " or ".join(_arc_text(day, arc) for arc in looks)
    lines = [*heading(day, width), "", *wrapped(sun, width)]
    lines += [*wrapped(f"{asked}: look {told}", width), *_note(day, width)]
    return "\n".join([*lines, CAUTIONS[0]])


def _arc_text(day: Day, arc: Arc) -> str:
    low, high = arc
    if (high - low) % 360.0 < LEAST_DEG:
        return bearing_text(day, low)
    middle = (low + ((high - low) % 360.0) / 2.0) % 360.0
    ends = f"from {bearing_text(day, low)} clockwise to {bearing_text(day, high)}"
    return f"{ends}, the middle {bearing_text(day, middle)}"


def bearing_line(day: Day, what: str, look_deg: float, width: int = WIDTH) -> str:
    """Say one bearing, and how to write it in the shot list."""
    shown = (look_deg - (day.declination_deg or 0.0)) % 360.0
    lines = wrapped(f"{what}: {bearing_text(day, look_deg)}", width)
    return "\n".join([*lines, f"in the shot list: look {shown:.1f}", *_note(day, width)])


def _note(day: Day, width: int) -> list[str]:
    note = bearings_note(day)
    return wrapped(note, width) if note else []


def shot_record(day: Day, shot: Shot, spans: Sequence[Span], found: Sequence[Moment]) -> Record:
    """Give a shot's sun and its cheats; bearings from true north."""
    return {
        "shot": shot.id,
        "look_deg": shot.look_deg,
        "right": [
            {"start": local_text(day, one.start), "end": local_text(day, one.end)} for one in spans
        ],
        "moments": [
            {
                "time": local_text(day, one.time),
                "sun_azimuth_deg": round(one.azimuth_deg, 2),
                "sun_elevation_deg": round(one.elevation_deg, 2),
                "sun_from_lens_deg": round(one.from_lens_deg, 2),
                "light": round(one.light, 4),
                "turn_deg": None if one.turn is None else round(one.turn.turn_deg, 2),
                "turned_look_deg": None if one.turn is None else round(one.turn.look_deg, 2),
            }
            for one in found
        ],
    }


def sun_look_record(
    day: Day, when: datetime, azimuth_deg: float, elevation_deg: float, looks: Sequence[Arc]
) -> Record:
    """Give the looks at which the sun stands as asked; bearings from true north."""
    return {
        "time": local_text(day, when),
        "sun_azimuth_deg": round(azimuth_deg, 2),
        "sun_elevation_deg": round(elevation_deg, 2),
        "looks": [{"from_deg": round(low, 2), "to_deg": round(high, 2)} for low, high in looks],
    }
