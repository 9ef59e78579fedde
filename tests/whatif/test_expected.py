"""What is expected of an order on the average day, by hand."""

from __future__ import annotations

from dataclasses import replace
from math import log
from statistics import NormalDist

import pytest
from builders import a_day, a_shot, at, the_hours

from sunsched.average.plan import average_plan
from sunsched.average.solve import policy_of
from sunsched.day.model import Meal, Size
from sunsched.day.overruns import Overrun
from sunsched.light.fit import fit_day
from sunsched.plan.outlook import Outlook
from sunsched.plan.timetable import Roll, Timetable
from sunsched.solver.solved import solve_day
from sunsched.whatif.price_average.look import expected
from sunsched.whatif.price_average.wrap import average_wrap_curve

SPREAD = 0.5


def one_roll_past_the_wrap():
    """Give a day of one roll of some 60 minutes by chance, whose wrap is after 60 minutes."""
    sure = Overrun(changeover_median=1.0, changeover_spread=0.0, roll_median=1.0, roll_spread=0.0)
    return a_day(
        a_shot("1", setup_min=0, shoot_min=60, weight=4.0),
        hours=replace(the_hours("6:00", "12:00"), wrap=at("7:00")),
        meal=Meal(earliest=at("18:00"), latest=at("18:30"), length_min=30),
        overruns=dict.fromkeys(Size, replace(sure, roll_spread=SPREAD)),
    )


def share_by(minutes: int) -> float:
    """Give the chance that the roll takes no more minutes."""
    return NormalDist().cdf(log((minutes + 0.5) / 60) / SPREAD)


def test_overtime_is_expected_past_the_wrap():
    """A roll of 60 minutes ends at the wrap: only a longer one has overtime."""
    day = one_roll_past_the_wrap()
    order = Timetable(
        rolls=(Roll(shot_id="1", changeover_start=at("6:00"), roll_start=at("6:00")),)
    )
    found = expected(day, policy_of(fit_day(day), order))
    assert found.overtime_days == pytest.approx(1 - share_by(60), abs=1e-9)
    # Each minute past the wrap counts on the days that are still longer; 269 is three spreads.
    minutes = sum(1 - share_by(minute) for minute in range(60, 269))
    assert found.overtime_min == pytest.approx(minutes, abs=0.02)
    assert found.stop == at("7:00")


def test_overtime_of_a_wrap_is_charged_by_the_minute():
    """What the day charges for the expected minutes past its own wrap."""
    day = one_roll_past_the_wrap()
    day = replace(day, costs=replace(day.costs, overtime=50))
    curve = average_wrap_curve(average_plan(solve_day(day)), step_min=60)
    assert any(one.overtime_min > 5 for one in curve)
    for one in curve:
        assert one.overtime_points == round(50 * one.kept.overtime_min)
        assert one.overtime_min == round(one.kept.overtime_min)


@pytest.mark.parametrize(
    ("points", "bound", "gap"), [(200, 250, 0.25), (-100, -50, 0.5), (0, 3, 3.0), (7, None, None)]
)
def test_a_gap_is_a_share_of_the_points(points, bound, gap):
    """Also of points below nothing; above the order, never below it."""
    found = Outlook(points=points, bound=bound, light_kept=0.5, prospects=())
    assert found.gap == gap
