"""Small days of our own, posed as a crew would pose them, and what is looked at in their plans.

The places are real, the scenes are invented. What a crew expects of the light there is common
practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

from sunsched.day.kit.frame import Rig
from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import (
    DEFAULT_SIZES,
    Day,
    Hours,
    Meal,
    Place,
    Shot,
    Size,
    Spot,
)
from sunsched.day.skyline import HorizonPoint
from sunsched.day.wish import Band, SunSide, Wish
from sunsched.plan.changeover import changeover
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.solver.solve import make_plan

MIDSUMMER, MIDWINTER, EQUINOX = date(2027, 6, 21), date(2027, 12, 22), date(2027, 3, 20)


def a_place(name: str, latitude: float, longitude: float, timezone: str) -> Place:
    """Give a place at sea level."""
    return Place(
        name=name,
        latitude_deg=latitude,
        longitude_deg=longitude,
        elevation_m=0.0,
        timezone=timezone,
    )


# On the meridian, so that its clock, kept in UTC, is solar time within two minutes at midsummer.
SHORE = a_place("the shore of Castelló", 39.97, 0.02, "UTC")
TROMSO = a_place("Tromsø", 69.65, 18.96, "Europe/Oslo")
INVERNESS = a_place("Inverness", 57.48, -4.22, "Europe/London")
QUITO = a_place("Quito", -0.18, -78.47, "America/Guayaquil")
CAPE_TOWN = a_place("Cape Town", -33.93, 18.42, "Africa/Johannesburg")

ANY = Wish()
BACK = Wish(side=SunSide.BACK)
SIDE = Wish(side=SunSide.SIDE)
LATE_LOW = Wish(side=SunSide.BACK, elevation=Band(low_deg=0.0, high_deg=12.0, give_deg=5.0))
GOLDEN = Wish(side=SunSide.BACK, elevation=Band(low_deg=-4.0, high_deg=6.0, give_deg=4.0))


def at(clock: str, on: date = MIDSUMMER, place: Place = SHORE) -> datetime:
    """Give a local clock time; 24:10 is ten past midnight on the next day."""
    hours, minutes = map(int, clock.split(":"))
    midnight = datetime(on.year, on.month, on.day, tzinfo=place.zone)
    return midnight.astimezone(UTC) + timedelta(hours=hours, minutes=minutes)


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
    place: Place = SHORE,
    on: date = MIDSUMMER,
    meal: tuple[str, str] | None = None,
    **changes: Any,
) -> Day:
    """Give a day with a field and a barn; lunch is 30 minutes, four to six hours after the call.

    The rig "tent" has a frame overhead.
    """
    begins, ends = at(call, on, place), at(wrap, on, place)
    first, last = begins + timedelta(hours=4), begins + timedelta(hours=6)
    if meal is not None:
        first, last = (at(clock, on, place) for clock in meal)
    day = Day(
        title="A day of practice",
        date=on,
        place=place,
        hours=Hours(crew_call=begins, first_roll=begins, wrap=ends, hard_wrap=ends),
        meal=Meal(earliest=first, latest=last, length_min=30),
        spots=(Spot(name="field"), Spot(name="barn")),
        shots=shots,
        rigs=(Rig(name="tent", overhead=True),),
    )
    return replace(day, **changes)


def with_costs(day: Day, **costs: int) -> Day:
    """Give a day with other costs."""
    return replace(day, costs=replace(day.costs, **costs))


def under_cloud(day: Day, cover: float = 1.0) -> Day:
    """Give the day under a sky like this from first to last."""
    return replace(day, clouds=(CloudHour(time=day.hours.crew_call, cover=cover),))


def behind_a_wall(day: Day, height_deg: float = 85.0) -> Day:
    """Give the day with every spot under a skyline as high as this all around."""
    wall = (HorizonPoint(azimuth_deg=0.0, elevation_deg=height_deg),)
    return replace(day, spots=tuple(replace(spot, horizon=wall) for spot in day.spots))


def planned(day: Day, grid_min: int = 5) -> Plan:
    """Give the proven plan of a day; every small day is proven."""
    plan = make_plan(day, grid_min=grid_min)
    assert plan.status == "proven"
    return plan


def rolls(plan: Plan) -> dict[str, PlannedShot]:
    """Give the planned shots by their ids."""
    return {one.shot.id: one for one in plan.shots}


def order(plan: Plan) -> list[str]:
    """Give the ids of a plan in shooting order."""
    return [one.shot.id for one in plan.shots]


def left_out(plan: Plan) -> list[str]:
    """Give the ids of the shots that are not made."""
    return [one.shot.id for one in plan.left_out]


def hour(plan: Plan, shot_id: str) -> float:
    """Give the middle of a shot's roll as local hours of the clock."""
    one = rolls(plan)[shot_id]
    middle = one.roll_start + (one.roll_end - one.roll_start) / 2
    local = middle.astimezone(plan.day.place.zone)
    return local.hour + local.minute / 60


def first_after_meal(plan: Plan) -> PlannedShot:
    """Give the shot that the crew comes back to from lunch."""
    assert plan.meal is not None
    return next(one for one in plan.shots if one.roll_start >= plan.meal.end)


def waited(plan: Plan) -> int:
    """Give the minutes that a plan waits, whatever a minute costs."""
    return sum(waits(plan).values())


def waits(plan: Plan) -> dict[str, int]:
    """Give the minutes before each roll in which the crew neither changes over nor eats.

    Counted from the clock, the first ones from the call, whatever the plan says that they cost.
    """
    found, free, before = {}, plan.day.hours.crew_call, None
    for one in plan.shots:
        work = timedelta(minutes=changeover(plan.day, before, one.shot).total_min)
        if plan.meal is not None and free <= plan.meal.start < one.roll_start:
            work += plan.meal.end - plan.meal.start
        found[one.shot.id] = (one.roll_start - free - work) // timedelta(minutes=1)
        free, before = one.roll_end, one.shot
    return found
