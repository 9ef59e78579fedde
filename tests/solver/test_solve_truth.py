"""The whole truth on tiny days: every subset, order, start and meal, against the solver's one plan.

The enumeration knows the fit of each shot and the judge's figures, and nothing of the solver.
Starts stand on the same grid as the solver's, the meal on any minute; a pinned shot stands at its
pin.
"""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from draws import seeded
from seeds import few_first

from sunsched.day.costs import Costs
from sunsched.day.model import (
    DEFAULT_SIZES,
    CastMember,
    Day,
    Hours,
    Meal,
    Place,
    Shot,
    Size,
    Span,
    Spot,
)
from sunsched.day.wish import Band, SunSide, Wish
from sunsched.errors import DayImpossible
from sunsched.light.fit import fit_day
from sunsched.plan.changeover import changeover
from sunsched.plan.rules import breaches
from sunsched.plan.score import drift_costs, score
from sunsched.plan.timetable import Roll, Timetable
from sunsched.solver.solve import make_plan

MIDNIGHT = datetime(2027, 4, 20, tzinfo=UTC)
SEEDS = range(60)
SIDES = [side for side in SunSide if side is not SunSide.DUSK]


def at(minute):
    """Give the moment this many minutes after the day's midnight."""
    return MIDNIGHT + timedelta(minutes=minute)


def tiny_shot(random, number, call, end, grid):
    """Give one random shot; `end` is the hard wrap, both in minutes after midnight."""
    size = random.choice(list(Size))
    low = random.choice((0, 10, 20, 30, 40))
    band = Band(low_deg=low, high_deg=low + random.choice((10, 20)), give_deg=10.0)
    facts = DEFAULT_SIZES[size]
    shot = Shot(
        id=str(number),
        description="a shot",
        size=size,
        spot=random.choice(("pans", "mill")),
        look_deg=float(random.randrange(0, 360, 15)),
        wish=Wish(side=random.choice(SIDES), elevation=random.choice((None, None, band))),
        setup_min=random.choice((grid // 2, grid, grid + 5)),
        adjust_min=random.choice((5, grid // 2)),
        shoot_min=random.choice((grid // 2, grid, grid + 7)),
        weight=facts.weight,
        rig=random.choice(("", "silk")),
        match=random.choice(("", "keel", "keel", "lamp")),
        after=(str(random.randrange(1, number)),) if number > 1 and random.random() < 0.3 else (),
        cast=("Ana",) if random.random() < 0.4 else (),
    )
    if random.random() < 0.15:
        return replace(shot, pin=at(random.randrange(call + 40, end - 60)))
    if random.random() < 0.15:
        held = Band(low_deg=10.0, high_deg=random.choice((35.0, 60.0)), give_deg=5.0)
        return replace(shot, wish=Wish(elevation=held), hold=True)
    return shot


def tiny_day(seed):
    """Give a random day of three or four shots and at most 17 slots, and its grid in minutes."""
    random = seeded(seed)
    grid = random.choice((15, 20, 30))
    call = random.choice((360, 430, 600, 815))
    count = random.choice((3, 4, 4))
    slots = 16 if count == 3 else 11
    end = call + slots * grid
    wrap = end - random.choice((0, grid, 3 * grid))
    latest = call + random.randrange(slots // 4, slots + 2) * grid + random.choice((0, 5))
    earliest = latest - random.choice((0, 45, 120))
    open_from = call + random.randrange(0, 6) * grid
    here_from = call + random.randrange(0, 8) * grid
    day = Day(
        title="A tiny day",
        date=date(2027, 4, 20),
        place=Place(
            name="Nowhere",
            latitude_deg=random.choice((-35.0, 0.0, 36.0, 60.0)),
            longitude_deg=0.0,
            elevation_m=0.0,
            timezone="UTC",
        ),
        hours=Hours(
            crew_call=at(call),
            first_roll=at(call + random.choice((0, 40))),
            wrap=at(wrap),
            hard_wrap=at(end),
        ),
        meal=Meal(earliest=at(earliest), latest=at(latest), length_min=random.choice((30, 45))),
        spots=(
            Spot(name="pans"),
            Spot(
                name="mill",
                open=random.choice(
                    ((), (Span(start=at(open_from), end=at(open_from + 8 * grid)),))
                ),
            ),
        ),
        cast=(
            CastMember(name="Ana", here=(Span(start=at(here_from), end=at(here_from + 6 * grid)),)),
        ),
        shots=tuple(tiny_shot(random, number, call, end, grid) for number in range(1, count + 1)),
        costs=Costs(match_free_deg=random.choice((5.0, 15.0)), overtime=random.choice((5, 20))),
    )
    return day, grid


class Enumeration:
    """Every plan of a day on a grid, one by one; minutes are those of the fit's track."""

    def __init__(self, day, grid):
        self.day, self.fit = day, fit_day(day)
        self.call = self.fit.minute_of(day.hours.crew_call)
        self.first = self.fit.minute_of(day.hours.first_roll)
        self.wrap = self.fit.minute_of(day.hours.wrap)
        self.end = self.fit.minute_of(day.hours.hard_wrap)
        self.clock = range(self.call - self.call % grid, self.end + 1, grid)
        self.meals = range(
            self.fit.minute_of(day.meal.earliest), self.fit.minute_of(day.meal.latest) + 1
        )
        self.starts = {shot.id: self.starts_of(shot) for shot in day.shots}
        self.drift = {
            (shot.id, start): drift_costs(self.fit, shot, np.array([start]))[0]
            for shot in day.shots
            if shot.match
            for start in self.starts[shot.id]
        }

    def starts_of(self, shot):
        """List the starts that the hours, the cast, the pin and the hold leave to a shot."""
        spans = [s for m in self.day.cast if m.name in shot.cast for s in m.here]
        pinned = None if shot.pin is None else self.fit.minute_of(shot.pin)
        return [
            start
            for start in (self.clock if pinned is None else [pinned])
            if self.first <= start
            and start + shot.shoot_min <= self.end
            and (not spans or any(self.within(s, start, start + shot.shoot_min) for s in spans))
            and (
                not shot.hold or self.fit.shots[shot.id].held[start : start + shot.shoot_min].all()
            )
        ]

    def within(self, span, start, end):
        """Say whether a stretch of minutes lies in a span."""
        return self.fit.minute_of(span.start) <= start and end <= self.fit.minute_of(span.end)

    def is_lit(self):
        """Say whether any start that a shot may have gives it any light."""
        return any(
            self.fit.shots[name].points[start]
            for name, starts in self.starts.items()
            for start in starts
        )

    def plans(self, made=(), free=None, meal=None):
        """Yield (((shot, start), …), meal) for each plan that obeys the rules, from a prefix on."""
        free = self.call if free is None else free
        if made and self.is_whole(made, free, meal):
            yield made, meal
        ids = [shot.id for shot, _ in made]
        for shot in self.day.shots:
            if shot.id in ids or any(shot.id in other.after for other, _ in made):
                continue
            parts = changeover(self.day, made[-1][0] if made else None, shot)
            spans = self.day.spot(shot.spot).open
            for start in self.starts[shot.id]:
                build, done = start - parts.total_min, start + shot.shoot_min
                there = build + parts.move_min
                if build < free or (spans and not any(self.within(s, there, done) for s in spans)):
                    continue
                then = (*made, (shot, start))
                yield from self.plans(then, done, meal)
                lunch = [
                    m for m in self.meals if free <= m and m + self.day.meal.length_min <= build
                ]
                if meal is None and lunch:
                    yield from self.plans(then, done, (len(made), lunch[0]))

    def is_whole(self, made, free, meal):
        """Say whether a day may end here: lunch had or not yet due, each pinned shot made."""
        if meal is None and free > self.fit.minute_of(self.day.meal.latest):
            return False
        ids = [shot.id for shot, _ in made]
        return all(shot.pin is None or shot.id in ids for shot in self.day.shots)

    def points(self, made, meal):
        """Add up what a plan is worth."""
        costs, day = self.day.costs, self.day
        total = sum(int(self.fit.shots[shot.id].points[start]) for shot, start in made)
        ids = [shot.id for shot, _ in made]
        total -= sum(round(costs.left_out * s.weight) for s in day.shots if s.id not in ids)
        for name in {shot.match for shot, _ in made if shot.match}:
            group = [(shot, start) for shot, start in made if shot.match == name]
            if len(group) > 1:
                total -= int(sum(self.drift[shot.id, start] for shot, start in group).min())
            ranks = [shot.size.rank for shot, _ in group]
            total -= costs.wide_to_tight * sum(
                ranks[i] > ranks[j] for j in range(len(ranks)) for i in range(j)
            )
        for (a, _), (b, _) in pairwise(made):
            total -= costs.move * (a.spot != b.spot) + costs.rig_change * (a.rig != b.rig)
        if meal is not None and made[meal[0]][0].size in (Size.WIDE, Size.CLOSE_UP):
            total -= costs.after_meal
        busy = sum(shot.shoot_min for shot, _ in made)
        busy += 0 if meal is None else day.meal.length_min
        total -= costs.wait * (self.finish(made) - self.call - busy)
        return total - costs.overtime * max(0, self.finish(made) - self.wrap)

    def finish(self, made):
        """Give the minute when the last roll ends."""
        shot, start = made[-1]
        return start + shot.shoot_min

    def timetable(self, made, meal):
        """Give a plan as the judge reads it, each changeover as late as it can be."""
        rolls, before = [], None
        for shot, start in made:
            build = start - changeover(self.day, before, shot).total_min
            rolls.append(
                Roll(
                    shot_id=shot.id,
                    changeover_start=self.fit.time_of(build),
                    roll_start=self.fit.time_of(start),
                )
            )
            before = shot
        return Timetable(
            rolls=tuple(rolls), meal_start=None if meal is None else self.fit.time_of(meal[1])
        )


@pytest.mark.parametrize("seed", few_first(SEEDS, 8))
def test_no_plan_of_a_tiny_day_is_worth_more(seed):
    """The plan's points, and the earliest finish that they allow, are those of the enumeration."""
    day, grid = tiny_day(seed)
    every = Enumeration(day, grid)
    best = None
    sample = []
    for count, (made, meal) in enumerate(every.plans()):
        worth = (every.points(made, meal), -every.finish(made))
        best = worth if best is None else max(best, worth)
        if count % 997 == 0:
            sample.append((made, meal, worth[0]))
    for made, meal, points in sample:
        timetable = every.timetable(made, meal)
        assert breaches(every.fit, timetable) == ()
        assert score(every.fit, timetable).total == points
    if best is None or not every.is_lit():
        with pytest.raises(DayImpossible):
            make_plan(day, grid_min=grid)
        return
    plan = make_plan(day, grid_min=grid)
    finish = every.fit.minute_of(plan.shots[-1].roll_end)
    assert (plan.points, -finish) == best
    assert plan.bound >= best[0]
    assert breaches(every.fit, plan.timetable) == ()
    assert score(every.fit, plan.timetable).total == plan.points


def test_tiny_days_are_of_every_kind():
    """Among the tiny days are some with pins, holds, matches, orders, hours and lost shots."""
    days = [tiny_day(seed)[0] for seed in SEEDS]
    shots = [shot for day in days for shot in day.shots]
    assert any(shot.pin for shot in shots)
    assert any(shot.hold for shot in shots)
    assert any(shot.after for shot in shots)
    assert any(shot.cast for shot in shots)
    assert any(day.spot("mill").open for day in days)
    assert any(day.hours.wrap < day.hours.hard_wrap for day in days)
    assert {len(day.shots) for day in days} == {3, 4}
