"""Demands that contradict each other, the hours, or what has happened: their words alone say so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from sunsched.day.call import LONGEST
from sunsched.day.clock import clock
from sunsched.day.decided import demand_text
from sunsched.day.demand import (
    CallAt,
    Cut,
    Decision,
    Demand,
    KeepOrder,
    MealAt,
    ReleaseAt,
    RollAt,
    RollBefore,
    WrapAt,
    shots_of,
    subject_of,
)
from sunsched.day.model import Day, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Contradiction:
    """Why demands of a decision cannot be met; `places` are theirs in it, the later one last."""

    places: tuple[int, ...]
    text: str


def contradictions(day: Day, decision: Decision) -> Iterator[Contradiction]:
    """Find what no plan can obey because of what is demanded, or of what has happened already.

    Parameters
    ----------
    day : the day, with its past if it has one
    decision : about shots and cast members that the day has
    """
    wraps = [demand.time for demand in decision if isinstance(demand, WrapAt)]
    calls = [demand.time for demand in decision if isinstance(demand, CallAt)]
    hours = Span(start=min([day.hours.crew_call, *calls]), end=max([day.hours.hard_wrap, *wraps]))
    cut = {one.shot: place for place, one in enumerate(decision) if isinstance(one, Cut)}
    said: dict[tuple[str, ...], int] = {}
    for place, demand in enumerate(decision):
        text = demand_text(day, demand)
        lost = [shot for shot in shots_of(demand) if shot in cut and not isinstance(demand, Cut)]
        if lost:
            places = tuple(sorted((cut[lost[0]], place)))
            yield Contradiction(places=places, text=f"{text}, and yet {lost[0]} is cut")
        alone = _objection(day, demand, hours)
        if alone:
            yield Contradiction(places=(place,), text=f"{text}{alone}")
        first = said.setdefault(subject_of(demand), place)
        if decision[first] != demand:
            both = f"{demand_text(day, decision[first])}, and yet {text}"
            yield Contradiction(places=(first, place), text=both)


def call_objection(day: Day, call: datetime) -> str:
    """Say why a call leaves no day, or one longer than a day can be; "" where it does neither."""
    hours = day.hours
    if day.past is not None:
        return f", and yet the crew was called at {clock(day, hours.crew_call)}"
    if hours.hard_wrap - LONGEST <= call < hours.wrap:
        return ""
    first, wrap = clock(day, hours.hard_wrap - LONGEST), clock(day, hours.wrap)
    return f"; it can be from {first} to before the wrap at {wrap}"


def _objection(day: Day, demand: Demand, hours: Span) -> str:
    """Say what speaks against one demand alone; "" for nothing."""
    if isinstance(demand, CallAt):
        return call_objection(day, demand.time)
    happened = _happened(day, demand)
    if happened:
        return f", and yet {happened}"
    if isinstance(demand, MealAt | ReleaseAt) and not hours.start <= demand.time <= hours.end:
        call, end = clock(day, hours.start), clock(day, hours.end)
        return f", and the hours are from {call} to {end}"
    return ""


def _happened(day: Day, demand: Demand) -> str:
    """Say what has happened that a demand would undo; nothing where it is about what is to come."""
    past = day.past
    if past is None:
        return ""
    made = {one.shot_id: one.roll_start for one in past.made}
    for shot in _undone(demand, tuple(made)):
        return f"{shot} rolled at {clock(day, made[shot])}"
    for shot in shots_of(demand):
        if shot in past.cut and not isinstance(demand, Cut):
            return f"{shot} was cut"
    if isinstance(demand, MealAt) and past.meal_start is not None:
        return f"the meal began at {clock(day, past.meal_start)}"
    if isinstance(demand, RollAt | RollBefore | MealAt | WrapAt) and demand.time < past.free_at:
        return f"the crew is free at {clock(day, past.free_at)}"
    if isinstance(demand, ReleaseAt):
        for one in reversed(past.made):
            if demand.cast in day.shot(one.shot_id).cast and one.roll_end > demand.time:
                rolls = "rolls" if one.shot_id == past.running else "rolled"
                until = clock(day, one.roll_end)
                return f"{demand.cast} is in {one.shot_id}, which {rolls} until {until}"
    return ""


def _undone(demand: Demand, made: tuple[str, ...]) -> tuple[str, ...]:
    """Give the made shots that a demand wants otherwise; an order may begin with them as it was."""
    named = tuple(shot for shot in shots_of(demand) if shot in made)
    if isinstance(demand, KeepOrder):
        was = tuple(shot for shot in made if shot in named)
        if named == was == demand.shots[: len(was)]:
            return ()
    return named
