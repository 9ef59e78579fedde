"""What must hold between a day and one that is a little other, whatever the day.

The properties are those that follow from what a plan is worth: the best plan of a day that gives
more is worth no less. Days are drawn by Hypothesis; common practice, no source, for their figures.
"""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from practice.days import a_day, a_shot, order, planned, under_cloud, waited
from sunsched.day.model import Day, Shot, Size
from sunsched.day.wish import Band, SunSide, Wish

FEW = settings(max_examples=12, deadline=None, derandomize=True)
SIDES = (SunSide.ANY, SunSide.BACK, SunSide.THREE_QUARTER_BACK, SunSide.SIDE, SunSide.FRONT)

heights = st.none() | st.builds(
    lambda low, wide: Band(low_deg=low, high_deg=low + wide, give_deg=5.0),
    st.sampled_from((0.0, 15.0, 30.0)),
    st.sampled_from((10.0, 30.0)),
)


@st.composite
def shots(draw: st.DrawFn, count: int = 4) -> tuple[Shot, ...]:
    """Draw a short list: any sizes, looks and suns, two spots, a scene of two and a tent."""
    return tuple(
        a_shot(
            f"{number}",
            draw(st.sampled_from(list(Size))),
            draw(st.sampled_from(range(0, 360, 30))),
            Wish(side=draw(st.sampled_from(SIDES)), elevation=draw(heights)),
            spot=draw(st.sampled_from(("field", "field", "barn"))),
            match="gate" if number < 2 else "",
            rig=draw(st.sampled_from(("", "tent"))),
            shoot_min=draw(st.sampled_from((15, 30))),
        )
        for number in range(count)
    )


def with_costs(day: Day, **costs: int) -> Day:
    """Give a day with other costs."""
    return replace(day, costs=replace(day.costs, **costs))


@FEW
@given(shots())
def test_full_cloud_never_makes_a_day_impossible(drawn):
    """There is a plan, it makes every shot that the clear day makes, and nobody waits for light."""
    day = a_day(*drawn)
    cloudy = planned(under_cloud(day))
    assert sorted(order(cloudy)) == sorted(shot.id for shot in drawn)
    assert waited(cloudy) <= waited(planned(day))


@FEW
@given(shots())
def test_more_control_is_worth_no_less(drawn):
    """Frames that make up for more can only help."""
    day = a_day(*drawn)
    helped = tuple(replace(shot, control=min(1.0, day.control(shot) + 0.2)) for shot in drawn)
    assert planned(replace(day, shots=helped)).points >= planned(day).points


@FEW
@given(shots())
def test_a_frame_overhead_is_worth_no_less(drawn):
    """Where each rig has one, no sun is too high."""
    day = a_day(*drawn)
    rigs = tuple(replace(rig, overhead=False) for rig in day.rigs)
    assert planned(day).points >= planned(replace(day, rigs=rigs)).points


@FEW
@given(shots(), st.sampled_from((5, 20)))
def test_a_dearer_wait_is_no_longer(drawn, price):
    """If minutes cost more, fewer are waited: the best plans of two prices cannot cross."""
    day = a_day(*drawn)
    cheap, dear = sorted((day.costs.wait, price))
    long, short = (planned(with_costs(day, wait=cost)) for cost in (cheap, dear))
    assert short.score.waiting // dear <= long.score.waiting // cheap
    assert short.points <= long.points
    assert planned(with_costs(day, wait=0)).points >= long.points


@FEW
@given(shots())
def test_a_wider_give_is_worth_no_less(drawn):
    """Asking for less of the sun never lowers what the day is worth."""
    day = a_day(*drawn)
    softer = tuple(replace(shot, wish=replace(shot.wish, give_deg=40.0)) for shot in drawn)
    assert planned(replace(day, shots=softer)).points >= planned(day).points


@FEW
@given(shots(count=3), st.integers(min_value=0, max_value=2))
def test_a_shot_that_matters_more_keeps_no_less_of_its_light(drawn, which):
    """Twice the weight moves a shot toward better light, never away from it.

    Beside a match, whose cost rises with the weight too.
    """
    free = tuple(replace(shot, match="") for shot in drawn)
    heavy = tuple(
        replace(shot, weight=2 * shot.weight) if place == which else shot
        for place, shot in enumerate(free)
    )
    name = free[which].id
    before, after = (
        {one.shot.id: one.fit for one in planned(a_day(*some)).shots}.get(name, 0.0)
        for some in (free, heavy)
    )
    assert after >= before - 1e-3  # points are whole: a thousandth may tie
