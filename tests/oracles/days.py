"""Random days for the oracles: every rule and cost there is, in a day that is often too full."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from random import Random

from draws import seeded

from sunsched.day.costs import Costs
from sunsched.day.model import (
    DEFAULT_SIZES,
    CastMember,
    Changeover,
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
from sunsched.day.wish import Band, SunSide, Wish

SIDES = (SunSide.ANY, *(side for side in SunSide if side is not SunSide.DUSK))


def at(minute: int) -> datetime:
    """Give the moment this many minutes after the days' midnight."""
    return datetime(2027, 5, 11, tzinfo=UTC) + timedelta(minutes=minute)


def random_day(seed: int, count: int, matches: tuple[str, ...] = (), room_min: int = 40) -> Day:
    """Give a random day of `count` shots, each of which may be of one of the matches.

    Parameters
    ----------
    room_min : minutes of the day for each shot, beside an hour or more
    """
    random = seeded(seed)
    call = random.choice((330, 420, 484, 555))
    length = count * room_min + random.choice((60, 120, 240))
    end = call + length
    wrap = end - random.choice((0, 30, 60))
    latest = call + random.randrange(length // 3, length + 30, 5)
    half = call + random.randrange(60, length - 60, 5)
    mill = random.choice(
        ((), (Span(start=at(call), end=at(half)), Span(start=at(half + 20), end=at(end))))
    )
    here = Span(
        start=at(call + random.randrange(0, 120, 5)), end=at(end - random.randrange(0, 90, 5))
    )
    day = Day(
        title="A day for the oracles",
        date=date(2027, 5, 11),
        place=Place(
            name="Nowhere",
            latitude_deg=random.choice((-35.0, 8.0, 36.0, 58.0)),
            longitude_deg=0.0,
            elevation_m=0.0,
            timezone="UTC",
        ),
        hours=Hours(
            crew_call=at(call),
            first_roll=at(call + random.choice((0, 30))),
            wrap=at(wrap),
            hard_wrap=at(end),
        ),
        meal=Meal(
            earliest=at(latest - random.choice((0, 45, 120))),
            latest=at(latest),
            length_min=random.choice((30, 45)),
        ),
        spots=(Spot(name="pans"), Spot(name="mill", open=mill), Spot(name="quay")),
        moves=(Move(between=("pans", "quay"), minutes=35),),
        cast=(CastMember(name="Ana", here=(here,)),),
        shots=tuple(_shot(random, number, matches) for number in range(1, count + 1)),
        costs=Costs(
            match_free_deg=random.choice((5.0, 15.0)),
            overtime=random.choice((5, 20)),
            move=random.choice((200, 500)),
            left_out=random.choice((0, 1000)),
        ),
        changeover=Changeover(move_min=20, turnaround_min=random.choice((0, 10))),
    )
    return _with_a_pin(day, random, call, end) if random.random() < 0.4 else day


def burst_day(seed: int, count: int, matches: tuple[str, ...] = ()) -> Day:
    """Give a random day of quick shots: rolls of 1 to 10 min, adjusts of 0 to 2, pins off the grid.

    Several shots may start in one slot of five minutes. Its meal is at odd minutes, its weights now
    and then the largest.
    """
    random = seeded(seed)
    day = random_day(seed, count, matches, room_min=20)
    call, end = day.hours.crew_call, day.hours.hard_wrap
    room_min = int((end - call).total_seconds()) // 60
    latest = call + timedelta(minutes=random.randrange(20, room_min))
    heavy = random.choice((1.0, 1.0, 100.0))
    shots = [
        replace(
            shot,
            setup_min=random.choice((1, 2, 4, 7)),
            adjust_min=random.choice((0, 0, 1, 2)),
            shoot_min=random.choice((1, 1, 2, 3, 5, 10)),
            spot=random.choice(("pans", "pans", "pans", "quay")),
            rig=random.choice(("", "", "", "silk")),
            weight=heavy * shot.weight if heavy * shot.weight <= 100.0 else 100.0,
            pin=None,
        )
        for shot in day.shots
    ]
    near = random.randrange(15, room_min - 15)
    for place in random.sample(range(count), random.choice((0, 1, 2, 3))):
        pin = call + timedelta(minutes=near + random.randrange(0, 12))
        shots[place] = replace(shots[place], pin=pin, cast=(), after=(), hold=False)
    return replace(
        day,
        shots=tuple(shots),
        meal=Meal(
            earliest=latest - timedelta(minutes=random.choice((0, 3, 20))),
            latest=latest,
            length_min=random.choice((10, 17, 30)),
        ),
    )


def _shot(random: Random, number: int, matches: tuple[str, ...]) -> Shot:
    size = random.choice(list(Size))
    facts = DEFAULT_SIZES[size]
    low = random.choice((0, 10, 20, 30, 40))
    band = Band(low_deg=low, high_deg=low + random.choice((10, 20)), give_deg=8.0)
    shot = Shot(
        id=f"{number:02d}",
        description="a shot",
        size=size,
        spot=random.choice(("pans", "pans", "mill", "quay")),
        look_deg=float(random.randrange(0, 360, 15)),
        wish=Wish(side=random.choice(SIDES), elevation=random.choice((None, None, band))),
        setup_min=facts.setup_min,
        adjust_min=facts.adjust_min,
        shoot_min=random.choice((12, 15, 20, 30)),
        weight=facts.weight,
        rig=random.choice(("", "", "silk")),
        match=random.choice(("", *matches)),
        after=(f"{random.randrange(1, number):02d}",)
        if number > 1 and random.random() < 0.2
        else (),
        cast=("Ana",) if random.random() < 0.3 else (),
    )
    if random.random() < 0.1:
        held = Band(low_deg=5.0, high_deg=random.choice((35.0, 60.0)), give_deg=5.0)
        return replace(shot, wish=Wish(elevation=held), hold=True)
    return shot


def _with_a_pin(day: Day, random: Random, call: int, end: int) -> Day:
    """Pin one shot to a minute on the grid or off it, where little can stand in its way."""
    pinned = random.randrange(len(day.shots))
    minute = random.randrange(call + 70, end - 60)
    shots = list(day.shots)
    shots[pinned] = replace(
        shots[pinned], pin=at(minute), spot="pans", cast=(), after=(), hold=False
    )
    return replace(day, shots=tuple(shots))
