"""Days drawn from a seed: a shot list, and hours, spots, cast and weather to shoot it in.

Every figure is invented; none comes from a real production. Only `Random.random` of a text seed is
drawn, which Python promises to keep, so that a seed gives one day for ever.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from random import Random

from draws import seeded

from benchmarks.drawn.shots import NAMES, SPOTS, Scene, Sun, cover, draw_scenes, paces_min, pick
from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import (
    CastMember,
    Day,
    Hours,
    Meal,
    Move,
    Place,
    Shot,
    Size,
    Span,
    Spot,
)
from sunsched.day.skyline import HorizonPoint

# Days long enough for any list: latitude and longitude in degrees, zone, date.
PLACES = (
    (43.2, 5.3, "Europe/Paris", date(2027, 6, 9)),
    (37.1, -3.6, "Europe/Madrid", date(2027, 5, 19)),
    (50.4, 14.4, "Europe/Prague", date(2027, 7, 28)),
    (-33.9, 18.4, "Africa/Johannesburg", date(2027, 12, 2)),
)
MEAL_MIN = 60
LOOSE = 0.85  # minutes of work in a minute of the day: room to wait for light
FULL = 1.3  # more than fits, so that a quarter of the list must be left out
SHORTEST_MIN, LONGEST_MIN = 8 * 60, 14 * 60 + 30


def day(shots: int, *, seed: int, has_matches: bool, is_full: bool = False) -> Day:
    """Draw a day.

    Parameters
    ----------
    shots : length of the shot list, 8 to 40
    seed : which day; the same shots and hours of sun with and without matches
    has_matches : whether the shots of a scene want a common sun
    is_full : whether the list is longer than the day, so that several shots must be left out
    """
    random = seeded(f"{shots} shots, day {seed}")
    latitude_deg, longitude_deg, zone, on = pick(random, PLACES)
    noon = datetime(on.year, on.month, on.day, 12, tzinfo=UTC) - timedelta(
        minutes=5 * round(longitude_deg * 4 / 5)
    )
    scenes = draw_scenes(random, shots)
    moves = tuple(
        Move(between=pair, minutes=pick(random, (10, 15, 20, 25)))
        for pair in ((SPOTS[0], SPOTS[1]), (SPOTS[0], SPOTS[2]), (SPOTS[1], SPOTS[2]))
    )
    sun = Sun(latitude_deg=latitude_deg, on=on, length_min=_clamped(120 + 30 * shots))
    listed: list[Shot] = []
    for scene, count in scenes:
        listed += cover(random, scene, count, len(listed) + 1, sun, paces_min(shots))
    length_min = _length_min(listed, len(scenes), FULL if is_full else LOOSE)
    call = noon - timedelta(minutes=5 * round(length_min / 10) - pick(random, (0, 30, 60)))
    wrap = call + timedelta(minutes=length_min)
    hours = Hours(
        crew_call=call,
        first_roll=call + timedelta(minutes=pick(random, (0, 0, 30))),
        wrap=wrap,
        hard_wrap=wrap + timedelta(minutes=pick(random, (30, 45, 60))),
    )
    made = Day(
        title=f"{shots} shots, day {seed}",
        date=on,
        place=Place(
            name="Somewhere",
            latitude_deg=latitude_deg,
            longitude_deg=longitude_deg,
            elevation_m=100.0,
            timezone=zone,
        ),
        hours=hours,
        meal=Meal(
            earliest=call + timedelta(minutes=pick(random, (180, 210, 240))),
            latest=call + timedelta(minutes=360),
            length_min=MEAL_MIN,
        ),
        spots=_spots(random, hours, {scene.spot for scene, _ in scenes if scene.hour > 0.5}),
        shots=tuple(listed),
        moves=moves,
        cast=_cast(random, hours, [scene for scene, _ in scenes]),
        clouds=_clouds(random, hours),
    )
    made = _pinned(random, made)
    if has_matches:
        return made
    return replace(made, shots=tuple(replace(shot, match="") for shot in made.shots))


def _length_min(shots: Sequence[Shot], scenes: int, load: float) -> int:
    """Give the length of a day that this list fills by `load`, within what a crew can work."""
    rolls = sum(shot.shoot_min + shot.adjust_min for shot in shots)
    work_min = rolls + scenes * 10 + (len({shot.spot for shot in shots}) - 1) * 18 + MEAL_MIN
    return _clamped(15 * round(work_min / load / 15))


def _clamped(length_min: int) -> int:
    """Keep the length of a day within what crews work."""
    return max(SHORTEST_MIN, min(length_min, LONGEST_MIN))


def _spots(random: Random, hours: Hours, late: set[str]) -> tuple[Spot, ...]:
    """Give the spots: on some days one has a hill to one side, on some one closes early.

    Nobody takes a spot that closes early for late sun, so those of `late` stay open.
    """
    hill_deg = pick(random, (8.0, 12.0, 16.0))
    ends = pick(random, (((40.0, 0.0), (60.0, 1.0), (110.0, 1.0), (130.0, 0.0)), None))
    west = (230.0, 0.0), (250.0, 1.0), (300.0, 1.0), (320.0, 0.0)
    horizon = tuple(
        HorizonPoint(azimuth_deg=azimuth_deg, elevation_deg=share * hill_deg)
        for azimuth_deg, share in (ends or west)
    )
    hilly, closes = pick(random, (0, 1, 2, None)), pick(random, (0, 1, 2, *(None,) * 3))
    closing = hours.crew_call + 0.7 * (hours.wrap - hours.crew_call)
    open_spans = (Span(start=hours.crew_call, end=_on_five(closing)),)
    return tuple(
        Spot(
            name=name,
            horizon=horizon if index == hilly else (),
            open=open_spans if index == closes and name not in late else (),
        )
        for index, name in enumerate(SPOTS)
    )


def _cast(random: Random, hours: Hours, scenes: Sequence[Scene]) -> tuple[CastMember, ...]:
    """Give the cast: one comes late or leaves early, unless a scene's sun stands then."""
    who, leaves = pick(random, NAMES), random.random() < 0.5
    length = hours.wrap - hours.crew_call
    if leaves:
        here = Span(start=hours.crew_call, end=_on_five(hours.crew_call + 0.65 * length))
    else:
        here = Span(start=_on_five(hours.crew_call + 0.25 * length), end=hours.hard_wrap)
    is_free = not any(
        who in scene.cast and (scene.hour > 0.5 if leaves else scene.hour < 0.35)
        for scene in scenes
    )
    return tuple(
        CastMember(name=name, here=(here,) if name == who and is_free else ()) for name in NAMES
    )


def _clouds(random: Random, hours: Hours) -> tuple[CloudHour, ...]:
    """Give the forecast: on one day in three a bank of cloud passes for some two hours."""
    has_clouds = random.random() < 1 / 3
    share, cover = 0.1 + 0.7 * random.random(), pick(random, (0.4, 0.6, 0.9))
    middle = _on_five(hours.crew_call + share * (hours.wrap - hours.crew_call))
    bank = ((-120, 0.0), (-45, cover), (45, cover), (120, 0.0))
    return tuple(
        CloudHour(time=middle + timedelta(minutes=minutes), cover=part)
        for minutes, part in (bank if has_clouds else ())
    )


def _pinned(random: Random, made: Day) -> Day:
    """Pin a shot without cast on one day in five, at the time after the meal when something runs.

    An insert is pinned and never a held shot, so that the day stays possible whatever was drawn.
    """
    is_pinned = random.random() < 0.2
    share = 0.72 + 0.2 * random.random()
    pin = _on_five(made.hours.crew_call + share * (made.hours.wrap - made.hours.crew_call))
    open_all_day = {spot.name for spot in made.spots if not spot.open}
    inserts = [s for s in made.shots if s.size is Size.INSERT and s.spot in open_all_day]
    if not is_pinned or not inserts:
        return made
    chosen = inserts[0].id
    return replace(
        made, shots=tuple(replace(s, pin=pin) if s.id == chosen else s for s in made.shots)
    )


def _on_five(when: datetime) -> datetime:
    """Round a moment to five minutes."""
    midnight = when.replace(hour=0, minute=0, second=0, microsecond=0)
    return midnight + timedelta(minutes=5 * round((when - midnight).total_seconds() / 300))
