"""Days under way, for tests and benchmarks."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise, permutations, product
from random import Random

from sunsched.day.model import Day, Shot
from sunsched.day.past import Made, Past
from sunsched.folder.log.event import Event, Kind
from sunsched.light.fit import DayFit
from sunsched.plan.plan import Plan, place_changeovers
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable


def as_planned(plan: Plan, at: datetime) -> list[Event]:
    """Give the events by which a day went by its plan up to a moment."""
    found: list[tuple[datetime, Kind, str]] = []
    for one in plan.shots:
        if one.roll_start <= at:
            found.append((one.roll_start, Kind.ROLLED, one.shot.id))
        if one.roll_end <= at:
            found.append((one.roll_end, Kind.DONE, one.shot.id))
    if plan.meal is not None and plan.meal.start <= at:
        found.append((plan.meal.start, Kind.MEAL, ""))
    found.sort(key=lambda one: one[0])
    return [
        Event(number=number, at=when, kind=kind, since=when, subject=subject)
        for number, (when, kind, subject) in enumerate(found, 1)
    ]


def minutes(count: int) -> timedelta:
    """Give a length of time."""
    return timedelta(minutes=count)


def by_plan(plan: Plan, made: int, *, late_min: int = 0) -> Day:
    """Give the day as it stands when so many shots have rolled as planned, and time is lost."""
    done = plan.shots[:made]
    at = done[-1].roll_end if done else plan.day.hours.crew_call
    meal = None
    free_at = at + minutes(late_min)
    if plan.meal is not None and plan.meal.start <= at:
        meal = plan.meal.start
        free_at = max(free_at, plan.meal.end)
    rolled = tuple(
        Made(
            shot_id=one.shot.id,
            changeover_start=one.changeover_start,
            roll_start=one.roll_start,
            roll_end=one.roll_end,
        )
        for one in done
    )
    return replace(plan.day, past=Past(at=at, free_at=free_at, made=rolled, meal_start=meal))


def by_chance(plan: Plan, random: Random) -> Day:
    """Give the day as it stands after some shots that rolled at other times than planned."""
    made: list[Made] = []
    shots = {shot.id: shot for shot in plan.day.shots}
    clock = plan.day.hours.crew_call + minutes(random.randrange(5))
    order = list(plan.shots)
    if random.random() < 0.3:
        random.shuffle(order)
    count = random.randrange(1, len(order) + 1)
    eaten_after = random.randrange(1, count + 1) if random.random() < 0.5 else -1
    meal = None
    for one in order[:count]:
        begun, roll = clock, clock + minutes(random.randrange(5, 40))
        rolled_min = random.randrange(1, 40)
        clock = roll + minutes(rolled_min)
        shots[one.shot.id] = replace(one.shot, shoot_min=rolled_min)
        made.append(
            Made(
                shot_id=one.shot.id,
                changeover_start=begun,
                roll_start=roll,
                roll_end=clock,
            )
        )
        if len(made) == eaten_after:
            meal, clock = clock, clock + minutes(plan.day.meal.length_min)
    rest = [one.shot.id for one in order[count:]]
    at = clock + minutes(random.randrange(12))
    building = rest[0] if rest and random.random() < 0.4 else None
    behind = Past(
        at=at,
        free_at=at + minutes(random.choice((0, 0, 7, 20))),
        made=tuple(made),
        building=building,
        built_since=None if building is None else clock,
        cut=tuple(rest[1:2]) if random.random() < 0.3 else (),
        meal_start=meal,
    )
    # A late start of the meal that has gone by would leave no plan at all.
    latest = max(plan.day.meal.latest, behind.free_at + minutes(25))
    unpinned = tuple(
        shot if shot.id in {one.shot_id for one in made} else replace(shot, pin=None)
        for shot in shots.values()
    )
    return replace(
        plan.day,
        shots=unpinned,
        past=behind,
        meal=replace(plan.day.meal, latest=latest),
    )


def every_rest(
    fit: DayFit, step_min: int, wanted: Callable[[Timetable], bool] = lambda _: True
) -> int | None:
    """Give the most points that the judge gives to any rest of the day with starts on a grid.

    None where there is none that is wanted.
    """
    day, behind = fit.day, fit.day.past
    assert behind is not None
    stands = [(day.shot(one.shot_id), one.roll_start) for one in behind.made]
    gone = {*(one.shot_id for one in behind.made), *behind.cut}
    rest = [shot for shot in day.shots if shot.id not in gone]
    call = fit.minute_of(day.hours.crew_call)
    grid = range(call - call % step_min, fit.minute_of(day.hours.hard_wrap) + 1, step_min)
    clock = [fit.time_of(minute) for minute in grid if fit.time_of(minute) >= behind.free_at]
    best: int | None = None
    for count in range(len(rest) + 1):
        for order, starts in product(permutations(rest, count), product(clock, repeat=count)):
            if any(b <= a for a, b in pairwise(starts)):
                continue
            rolls = [*stands, *zip(order, starts, strict=True)]
            for meal in [behind.meal_start] if behind.meal_start else soonest_meals(day, rolls):
                table = Timetable(rolls=place_changeovers(day, rolls, meal), meal_start=meal)
                if wanted(table) and not breaches(fit, table):
                    points = score(fit, table).total
                    best = points if best is None else max(best, points)
    return best


def soonest_meals(day: Day, rolls: Sequence[tuple[Shot, datetime]]) -> list[datetime | None]:
    """List no meal, and the meal in each place as soon as it can be: later ones win nothing."""
    ends = [start + timedelta(minutes=shot.shoot_min) for shot, start in rolls]
    free = day.hours.crew_call if day.past is None else day.past.free_at
    starts = {max(day.meal.earliest, end) for end in (free, *ends)}
    return [None, *sorted(start for start in starts if start <= day.meal.latest)]
