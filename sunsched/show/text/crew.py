"""What the crew and the cast see of two plans, as rows of a table for a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from sunsched.day.clock import clock
from sunsched.day.model import Day
from sunsched.plan.crew import Crew

NONE = "–"
# The costs of an order that belong to no single shot, by their names in `Score`.
COST_NAMES = {
    "waiting": "waiting",
    "after_meal": "the first shot after the meal",
    "wide_to_tight": "tight before wide",
    "overtime": "overtime",
    "moves": "moves",
    "rig_changes": "rig changes",
}


def crew_rows(day: Day, first: Crew, second: Crew) -> Iterator[tuple[str, str, str]]:
    """Yield the name and both figures of each thing that an assistant director counts."""
    crews = (first, second)

    def row(name: str, *texts: str) -> tuple[str, str, str]:
        one, other = texts
        return (name, one, other)

    yield row("meal", *(_clock(day, crew.meal_start) for crew in crews))
    yield row("wrap", *(_clock(day, crew.wrap) for crew in crews))
    yield row("overtime", *(duration(crew.overtime_min) for crew in crews))
    yield row("company moves", *(f"{crew.moves}" for crew in crews))
    yield row("rig changes", *(f"{crew.rig_changes}" for crew in crews))
    yield row("built, waiting for light", *(duration(crew.waiting_min) for crew in crews))
    yield row("idle, nothing to build", *(duration(crew.idle_min) for crew in crews))
    for name in dict.fromkeys(member.name for crew in crews for member in crew.cast):
        yield row(name, *(_cast_text(day, crew, name) for crew in crews))


def duration(minutes: int) -> str:
    """Write minutes as a crew says them: `45 min`, `2 h 05`."""
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest:02}" if hours else f"{rest} min"


def _cast_text(day: Day, crew: Crew, name: str) -> str:
    for member in crew.cast:
        if member.name == name:
            span = f"{clock(day, member.first_call)}–{clock(day, member.last_release)}"
            return f"{span}, waits {duration(member.waiting_min)}"
    return NONE


def _clock(day: Day, when: datetime | None) -> str:
    return NONE if when is None else clock(day, when)
