"""Small days of our own, posed as a crew would pose them, and what is looked at in their plans."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

from sunsched.day.model import (
    DEFAULT_SIZES,
    CloudHour,
    Day,
    HorizonPoint,
    Hours,
    Meal,
    Place,
    Rig,
    Shot,
    Size,
    Spot,
)
from sunsched.day.wish import Band, SunSide, Wish
from sunsched.order.plan import Plan, PlannedShot
from sunsched.order.solve import make_plan

MIDSUMMER = date(2027, 6, 21)
BACK = Wish(side=SunSide.BACK)
SIDE = Wish(side=SunSide.SIDE)
ANY = Wish()
LATE_LOW = Wish(side=SunSide.BACK, elevation=Band(low_deg=0.0, high_deg=12.0, give_deg=5.0))
OVERCAST = 1.0


def at(clock: str, on: date = MIDSUMMER) -> datetime:
    """Give a clock time of the day in UTC, which is solar time at longitude 0 within minutes."""
    hour, minute = map(int, clock.split(":"))
    return datetime(on.year, on.month, on.day, tzinfo=UTC) + timedelta(hours=hour, minutes=minute)


def a_shot(shot_id: str, size: Size, look: float = 0.0, wish: Wish = ANY, **changes: Any) -> Shot:
    """Give a shot with what its size implies; it rolls 20 minutes at the field."""
    facts = DEFAULT_SIZES[size]
    shot = Shot(
        id=shot_id,
        description=f"shot {shot_id}",
        size=size,
        spot="field",
        look_deg=look % 360.0,
        wish=wish,
        setup_min=facts.setup_min,
        adjust_min=facts.adjust_min,
        shoot_min=20,
        weight=facts.weight,
    )
    return replace(shot, **changes)


def a_day(
    *shots: Shot,
    call: str = "06:00",
    wrap: str = "20:00",
    latitude: float = 40.0,
    on: date = MIDSUMMER,
    meal: tuple[str, str] | None = None,
    **changes: Any,
) -> Day:
    """Give a day at longitude 0; lunch is 30 minutes, between four and six hours after the call."""
    begins = at(call, on)
    first, last = begins + timedelta(hours=4), begins + timedelta(hours=6)
    if meal is not None:
        first, last = at(meal[0], on), at(meal[1], on)
    ends = at(wrap, on)
    day = Day(
        title="A day of practice",
        date=on,
        place=Place(
            name="Nowhere",
            latitude_deg=latitude,
            longitude_deg=0.0,
            elevation_m=0.0,
            timezone="UTC",
        ),
        hours=Hours(crew_call=begins, first_roll=begins, wrap=ends, hard_wrap=ends),
        meal=Meal(earliest=first, latest=last, length_min=30),
        spots=(Spot(name="field"), Spot(name="barn")),
        shots=shots,
        rigs=(Rig(name="tent", overhead=True),),
    )
    return replace(day, **changes)


def under_cloud(day: Day, cover: float = OVERCAST) -> Day:
    """Give the day under a sky like this from first to last."""
    return replace(day, clouds=(CloudHour(time=day.hours.crew_call, cover=cover),))


def behind_a_wall(day: Day, height_deg: float = 85.0) -> Day:
    """Give the day with every spot under a skyline as high as this all around."""
    wall = (HorizonPoint(azimuth_deg=0.0, elevation_deg=height_deg),)
    return replace(day, spots=tuple(replace(spot, horizon=wall) for spot in day.spots))


def rolls(plan: Plan) -> dict[str, PlannedShot]:
    """Give the planned shots by their ids."""
    return {one.shot.id: one for one in plan.shots}


def order(plan: Plan) -> list[str]:
    """Give the ids of a plan in shooting order."""
    return [one.shot.id for one in plan.shots]


def planned(day: Day) -> Plan:
    """Give the proven plan of a day; every small day is proven."""
    plan = make_plan(day)
    assert plan.status == "proven"
    return plan


def hour(when: datetime) -> float:
    """Give a moment as hours of the clock."""
    return when.hour + when.minute / 60


def waited(plan: Plan) -> int:
    """Give the minutes that a plan waits."""
    return plan.score.waiting // plan.day.costs.wait
