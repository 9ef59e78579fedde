"""What must hold between a day and one that is a little other, whatever the day.

Each property follows from what a plan is worth: the best plan of a day that allows more, or charges
less, is worth no less. What does not follow is not here: a clear sky, say, need not be worth more
than cloud, which helps a face against the wrong sun. Days are drawn by Hypothesis; for their
figures, common practice, no source.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise, permutations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from practice.days import (
    a_day,
    a_shot,
    at,
    behind_a_wall,
    first_after_meal,
    left_out,
    order,
    planned,
    rolls,
    under_cloud,
    waited,
    waits,
    with_costs,
)
from sunsched.day.model import CastMember, Day, Shot, Size, Span
from sunsched.day.wish import Band, SunSide, Wish
from sunsched.errors import DayImpossible, FolderError
from sunsched.plan.changeover import changeover

pytestmark = pytest.mark.slow  # each solves twenty days

FEW = settings(max_examples=10, deadline=None, derandomize=True)
SIDES = [side for side in SunSide if side is not SunSide.DUSK]
OVERTIME_MIN = 60

bands = st.none() | st.builds(
    lambda low, wide: Band(low_deg=low, high_deg=low + wide, give_deg=5.0),
    st.sampled_from((-4.0, 15.0, 30.0)),
    st.sampled_from((10.0, 30.0)),
)


@st.composite
def days(draw: st.DrawFn, count: int = 4, *, wishes: bool = True, matched: bool = True) -> Day:
    """Draw a short list: any sizes, looks and suns, two spots, a scene of two, a tent, an actor."""
    shots = tuple(
        a_shot(
            f"{number}",
            draw(st.sampled_from(list(Size))),
            draw(st.sampled_from(range(0, 360, 30))),
            Wish(side=draw(st.sampled_from(SIDES)), elevation=draw(bands)) if wishes else Wish(),
            spot=draw(st.sampled_from(("field", "field", "barn"))),
            match="gate" if matched and number < 3 else "",
            rig=draw(st.sampled_from(("", "", "tent"))),
            shoot_min=draw(st.sampled_from((15, 30))),
            cast=("Ana",) if number == 1 else (),
        )
        for number in range(1, count + 1)
    )
    leaves = draw(st.sampled_from(("11:00", "15:00")))
    ana = CastMember(name="Ana", here=(Span(start=at("06:00"), end=at(leaves)),))
    return a_day(*shots, call=draw(st.sampled_from(("06:00", "09:00"))), wrap="19:00", cast=(ana,))


@FEW
@given(days(), st.booleans())
def test_full_cloud_never_makes_a_day_impossible(day, are_held):
    """There is a plan, and only a hold may be left out; nobody waits for light that never comes."""
    shots = day.shots
    if are_held:
        held = Wish(elevation=Band(low_deg=10.0, high_deg=40.0, give_deg=5.0))
        shots = (replace(shots[0], wish=held, hold=True), *shots[1:])
    cloudy = planned(under_cloud(replace(day, shots=shots)))
    assert set(left_out(cloudy)) <= ({"1"} if are_held else set())
    if not are_held:
        assert waited(cloudy) == 0


@FEW
@given(days())
def test_full_cloud_is_worth_what_deep_shade_is(day):
    """No sun is no sun: under the zenith's own hill the plan is the same to the minute.

    No shot of dusk is drawn; a golden one sees the sky below the horizon either way.
    """
    cloudy, walled = planned(under_cloud(day)), planned(behind_a_wall(day))
    assert cloudy.points == walled.points
    assert cloudy.timetable == walled.timetable


@FEW
@given(days())
def test_more_control_is_worth_no_less(day):
    """Frames that make up for more can only help."""
    helped = tuple(replace(shot, control=min(1.0, day.control(shot) + 0.2)) for shot in day.shots)
    assert planned(replace(day, shots=helped)).points >= planned(day).points


@FEW
@given(days())
def test_a_frame_overhead_is_worth_no_less(day):
    """Where the tent has one, no sun is too high."""
    rigs = tuple(replace(rig, overhead=False) for rig in day.rigs)
    assert planned(day).points >= planned(replace(day, rigs=rigs)).points


@FEW
@given(days())
def test_a_wider_give_is_worth_no_less(day):
    """Asking for less of the sun never lowers what the day is worth."""
    softer = tuple(
        replace(
            shot,
            wish=replace(
                shot.wish,
                give_deg=45.0,
                elevation=shot.wish.elevation and replace(shot.wish.elevation, give_deg=12.0),
            ),
        )
        for shot in day.shots
    )
    assert planned(replace(day, shots=softer)).points >= planned(day).points


@FEW
@given(
    days(),
    st.sampled_from(("wait", "match", "after_meal", "wide_to_tight", "move", "rig_change")),
)
def test_a_cost_switched_off_is_worth_no_less(day, cost):
    """Whatever is no longer charged, the old plan is still there and has one cost fewer."""
    assert planned(with_costs(day, **{cost: 0})).points >= planned(day).points


@FEW
@given(days(), st.sampled_from((5, 20)))
def test_a_dearer_wait_is_no_longer(day, price):
    """If minutes cost more, fewer are waited: the best plans of two prices cannot cross."""
    cheap, dear = sorted((day.costs.wait, price))
    long, short = (planned(with_costs(day, wait=cost)) for cost in (cheap, dear))
    assert waited(short) <= waited(long)
    assert short.points <= long.points


@FEW
@given(days(matched=False), st.sampled_from((2.0, 4.0)), st.integers(0, 3))
def test_a_shot_that_matters_more_keeps_no_less_of_its_light(day, times, which):
    """More weight moves a shot toward better light, never away from it.

    Beside matches, whose costs rise with the weight too.
    """
    shots = list(day.shots)
    shots[which] = replace(shots[which], weight=times * shots[which].weight)
    name = shots[which].id
    before, after = (
        rolls(plan)[name].fit if name in rolls(plan) else 0.0
        for plan in (planned(day), planned(replace(day, shots=tuple(shots))))
    )
    assert after >= before - 2e-3  # points are whole: two thousandths may tie


@FEW
@given(days(), st.sampled_from(("actor", "hours", "lunch")))
def test_a_rule_relaxed_is_worth_no_less(day, rule):
    """An actor who stays, a day that may run on, a lunch that may be sooner: none can hurt."""
    freer = {
        "actor": replace(day, cast=()),
        "hours": replace(
            day,
            hours=replace(day.hours, hard_wrap=day.hours.wrap + timedelta(minutes=OVERTIME_MIN)),
        ),
        "lunch": replace(day, meal=replace(day.meal, earliest=day.hours.crew_call)),
    }
    assert planned(freer[rule]).points >= planned(day).points


@FEW
@given(days(), st.integers(0, 3), st.integers(0, 20))
def test_a_pin_is_worth_no_more_and_at_its_own_time_no_less(day, which, later):
    """A pin only forbids: where the plan has the shot anyway it changes nothing."""
    plan = planned(day)
    name = day.shots[which].id
    assume(name in rolls(plan))

    def pinned(start):
        shots = (replace(shot, pin=start) if shot.id == name else shot for shot in day.shots)
        return planned(replace(day, shots=tuple(shots))).points

    start = rolls(plan)[name].roll_start
    assert pinned(start) == plan.points
    with suppress(DayImpossible, FolderError):  # past the day, or without its actor
        assert pinned(start + timedelta(minutes=15 * (later - 10))) <= plan.points


@FEW
@given(days())
def test_one_shot_more_on_the_list_costs_no_more_than_leaving_it_out(day):
    """A line that is added can always be crossed out again."""
    more = a_shot("9", Size.FULL, 210, Wish(side=SunSide.BACK), spot="barn")
    longer = planned(replace(day, shots=(*day.shots, more)))
    assert longer.points >= planned(day).points - 1000 * more.weight


@FEW
@given(days(), st.permutations(range(4)))
def test_the_rows_of_the_list_may_stand_in_any_order(day, places):
    """The order of the rows breaks ties and nothing else."""
    shuffled = tuple(day.shots[place] for place in places)
    assert planned(replace(day, shots=shuffled)).points == planned(day).points


@FEW
@given(days(count=3))
def test_starts_on_any_minute_are_worth_no_less(day):
    """The grid of five minutes is part of every finer one."""
    assert planned(day, grid_min=1).points >= planned(day).points


@FEW
@given(days(matched=False))
def test_a_shot_that_asks_nothing_rolls_as_soon_as_it_is_built(day):
    """What waits is a shot that wants the sun, or the crew for its lunch.

    Before a shot of any light a wait would often cost no more, and still nobody stands round.
    """
    shots = tuple(
        replace(shot, wish=Wish(), cast=()) if shot.id in "24" else replace(shot, cast=())
        for shot in day.shots
    )
    plan = planned(replace(day, shots=shots))
    after_lunch = first_after_meal(plan).shot.id if plan.meal is not None else ""
    of_any_light = set(order(plan)) & {"2", "4"} - {after_lunch}
    assert {one: waits(plan)[one] for one in of_any_light} == dict.fromkeys(of_any_light, 0)


def quickest(day: Day) -> tuple[int, int]:
    """Give the least that moves, rigs and tight shots before wide cost, and the minutes it takes.

    Of every order of a day whose shots ask nothing, without lunch.
    """
    costs = day.costs

    def of_order(shots: tuple[Shot, ...]) -> tuple[int, int]:
        cost = sum(
            costs.move * (a.spot != b.spot) + costs.rig_change * (a.rig != b.rig)
            for a, b in pairwise(shots)
        )
        cost += costs.wide_to_tight * sum(
            bool(a.match and a.match == b.match and a.size.rank > b.size.rank)
            for place, a in enumerate(shots)
            for b in shots[place + 1 :]
        )
        pairs = zip((None, *shots), shots, strict=False)
        return cost, sum(changeover(day, a, b).total_min + b.shoot_min for a, b in pairs)

    return min(of_order(shots) for shots in permutations(day.shots))


@FEW
@given(days(count=5, wishes=False))
def test_a_day_that_asks_nothing_wraps_as_early_as_any_order_can(day):
    """Least cost first, then the earliest end: against every order there is.

    The sun's drift within the match is not charged, so that the clock does not matter.
    """
    day = with_costs(replace(day, cast=()), match=0)
    day = replace(day, meal=replace(day.meal, latest=at("19:00")))
    plan = planned(day)
    cost, minutes = quickest(day)
    assert plan.score.moves + plan.score.rig_changes + plan.score.wide_to_tight == cost
    assert plan.shots[-1].roll_end == day.hours.crew_call + timedelta(minutes=minutes)
