"""Days and shots by hand, for tests that need only a fact or two of them: the rest is plain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np
import pytest

import sunsched.light.day_sun
from sunsched.day.model import Day, Hours, Meal, Place, Shot, Size, Span, Spot
from sunsched.day.wish import Wish
from sunsched.light.fit import DayFit, fit_checked
from sunsched.sky.track import SunTrack
from sunsched.solver.instance.problem import Problem

JUNE = date(2027, 6, 9)
CLIMB_DEG = 1 / 16  # a minute; a power of two, so that elevations are exact


def at(clock: str, on: date = JUNE) -> datetime:
    """Give a clock time of a day, UTC; 24:10 is ten past midnight on the next one."""
    hour, minute = clock.split(":")
    start = datetime(on.year, on.month, on.day, tzinfo=UTC)
    return start + timedelta(hours=int(hour), minutes=int(minute))


def a_span(start: str, end: str, on: date = JUNE) -> Span:
    """Give a stretch between two clock times."""
    return Span(start=at(start, on), end=at(end, on))


def the_hours(start: str, end: str, on: date = JUNE) -> Hours:
    """Give the hours of a day without overtime."""
    first, last = at(start, on), at(end, on)
    return Hours(crew_call=first, first_roll=first, wrap=last, hard_wrap=last)


def a_place(**changes: Any) -> Place:
    """Give a place on the equator and the prime meridian."""
    nowhere = Place(name="Nowhere", latitude_deg=0, longitude_deg=0, elevation_m=0, timezone="UTC")
    return replace(nowhere, **changes)


def a_shot(shot_id: str, **changes: Any) -> Shot:
    """Give an insert that asks nothing: setup 20, adjust 10, roll 30 minutes, weight 1."""
    facts: dict[str, Any] = {
        "id": shot_id,
        "description": "a shot",
        "size": Size.INSERT,
        "spot": "pans",
        "look_deg": 0.0,
        "wish": Wish(),
        "setup_min": 20,
        "adjust_min": 10,
        "shoot_min": 30,
        "weight": 1.0,
    }
    return Shot(**(facts | changes))


def a_day(*shots: Shot, on: date = JUNE, **changes: Any) -> Day:
    """Give a day from 06:00 to 19:00, at the latest 20:00, with lunch from 09:00 to 12:00."""
    facts: dict[str, Any] = {
        "title": "A day",
        "date": on,
        "shots": shots,
        "hours": replace(the_hours("6:00", "19:00", on), hard_wrap=at("20:00", on)),
        "meal": Meal(earliest=at("9:00", on), latest=at("12:00", on), length_min=60),
        "spots": (Spot(name="pans"), Spot(name="mill")),
        "place": a_place(),
    }
    return Day(**(facts | changes))


def climbing_fit(day: Day) -> DayFit:
    """Give the fit of a day whose sun stands due east and climbs from midnight UTC on."""

    def climbing(_place: Place, start: datetime, end: datetime) -> SunTrack:
        minutes = np.arange((end - start) // timedelta(minutes=1) + 1, dtype=np.float64)
        return SunTrack(
            start=start,
            azimuth_deg=np.full(len(minutes), 90.0),
            elevation_deg=minutes * CLIMB_DEG,
            apparent_elevation_deg=minutes * CLIMB_DEG,
        )

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sunsched.light.day_sun, "sun_track", climbing)
        return fit_checked(day)


def kept_in_order(problem: Problem, order: Sequence[int]) -> Problem:
    """Make shots come in an order, those of them that are made."""
    forbidden = problem.forbidden_pair.copy()
    for place, shot in enumerate(order):
        forbidden[order[place + 1 :], shot] = True
    return replace(problem, forbidden_pair=forbidden)
