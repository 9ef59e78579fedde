"""The programme against drawn days, the judge, closed forms and a theorem of stochastic scheduling.

M. H. Rothkopf, "Scheduling with random service times", Management Science 12(9), 1966, pages 707 to
713: one machine, nothing but expected costs that grow evenly with the time of completion. Then the
jobs stand best by weight over expected minutes, the largest first, whatever the distributions.
(Reference and result from memory; the same result is theorem 10.1.1 of M. Pinedo, Scheduling,
chapter on single machine models with release dates.)
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import permutations
from math import log
from pathlib import Path
from statistics import NormalDist

import numpy as np
import pytest
from benchmarks.drawn.days import day as an_invented_day
from builders import a_day, a_shot, at, the_hours
from seeds import few_first

from average.chances import a_small_day
from sunsched.average.drawn import draw_days, draw_factors
from sunsched.average.ground import Ground
from sunsched.average.likely import likely_day, likely_timetable
from sunsched.average.model.drift import make_drifts
from sunsched.average.model.minutes import law_of
from sunsched.average.model.rest import make_rest
from sunsched.average.order.forecast import forecast, light_share
from sunsched.average.order.search import Ordered, Scratch, search
from sunsched.average.solve import is_certain, on_average, policy_of
from sunsched.day.costs import Costs
from sunsched.day.model import Day, Size
from sunsched.day.overruns import Overrun
from sunsched.day.wish import Band, Wish
from sunsched.folder.read import read_day
from sunsched.light.fit import DayFit, fit_day
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.plan.timetable import Roll, Timetable, roll_end
from sunsched.solver.solve import make_plan

DATA = Path(__file__).parents[2] / "data"
NONE = Overrun(changeover_median=1.0, changeover_spread=0.0, roll_median=1.0, roll_spread=0.0)
NO_COSTS = Costs(
    left_out=0,
    wait=0,
    match=0,
    after_meal=0,
    wide_to_tight=0,
    overtime=0,
    move=0,
    rig_change=0,
    turned_round=0,
)


def in_list_order(day: Day) -> Timetable:
    """Give an order of all shots; its times are not looked at."""
    rolls = (
        Roll(shot_id=s.id, changeover_start=at("6:00"), roll_start=at("6:00")) for s in day.shots
    )
    return Timetable(rolls=tuple(rolls))


@pytest.mark.slow
@pytest.mark.parametrize("name", ["last-lamp", "late-ridge", "ferry-light", "16", "12"])
def test_drawn_days_are_worth_what_the_programme_says(name):
    """200,000 days: the mean of the points, and each shot's chance, within standard errors."""
    day = (
        an_invented_day(int(name), seed=3, has_matches=True)
        if name.isdigit()
        else read_day(DATA / name)
    )
    policy = policy_of(fit_day(day), make_plan(day, limit_s=5).timetable)
    assert_as_drawn(policy, day, 200_000)


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_drawn_small_days_are_worth_what_the_programme_says(seed):
    """The same for small days with every rule there is."""
    day = a_small_day(seed, matches=("a", "b"))
    assert_as_drawn(policy_of(fit_day(day), in_list_order(day)), day, 20_000)


def assert_as_drawn(policy, day, days):
    drawn = draw_days(policy, draw_factors(day, days, seed=5))
    error = drawn.points.std() / np.sqrt(days)
    assert abs(drawn.points.mean() - policy.worth) <= 3 * error + 1e-6
    for place, chance in enumerate(forecast(policy)):
        for found, expected in (
            (drawn.made[place].mean(), chance.made),
            (drawn.light[place].mean(), chance.light),
        ):
            spread = np.sqrt(max(expected * (1 - expected), 0.0) / days)
            assert abs(found - expected) <= 4.5 * spread + 1e-4
    weights = np.array([shot.weight for shot in policy.shots])
    kept = weights @ drawn.light / sum(shot.weight for shot in day.shots)
    assert kept.mean() == pytest.approx(light_share(policy), abs=0.005)


@pytest.mark.parametrize("seed", few_first([1, 4, 5, 8, 10, 12, 14, 16], 3))
def test_the_judge_counts_a_drawn_day_as_the_programme_does(seed):
    """On days on which all shots are made; light is rounded by the judge alone."""
    day = a_small_day(seed, shots=3)
    fit = fit_day(day)
    policy = policy_of(fit, in_list_order(day))
    factors = draw_factors(day, 60, seed=seed)
    drawn = draw_days(policy, factors)
    judged = 0
    for number in range(60):
        real = tuple(
            replace(shot, shoot_min=max(1, int(shot.shoot_min * factors[k, 1, number] + 0.5)))
            for k, shot in enumerate(day.shots)
        )
        starts = drawn.start[:, number]
        made = [p for p in range(len(starts)) if not np.isnan(starts[p])]
        if len(made) < len(starts) or drawn.stop[number] != drawn.end[:, number].max():
            continue  # something was begun in vain, or a meal was the last
        rolls = tuple(
            Roll(
                shot_id=policy.ids[p],
                changeover_start=fit.time_of(int(starts[p])),
                roll_start=fit.time_of(int(starts[p])),
            )
            for p in made
        )
        eaten = drawn.meal[number]
        meal = None if np.isnan(eaten) else fit.time_of(int(eaten))
        rolls = tuple(_begun(day, rolls, meal, k) for k in range(len(rolls)))
        own = fit_day(replace(day, shots=real))
        worth = score(own, Timetable(rolls=rolls, meal_start=meal))
        assert drawn.points[number] == pytest.approx(worth.total, abs=len(rolls))
        judged += 1
    assert judged >= 5


def _begun(day, rolls, meal, k):
    """Give a roll with the changeover that stands after the meal, if the meal is before it."""
    start = rolls[k].roll_start
    before = rolls[k - 1].roll_start if k else day.hours.crew_call
    if meal is not None and before <= meal < start:
        start = min(start, meal + timedelta(minutes=day.meal.length_min))
    return replace(rolls[k], changeover_start=start)


def test_one_shot_and_one_deadline_have_their_closed_form():
    """Rolled in 20 minutes with 30 left before the hard wrap: a factor up to 30½ in 20."""
    day = a_day(
        a_shot("1", setup_min=0, shoot_min=20, size=Size.MEDIUM),
        hours=the_hours("8:00", "8:30"),
        overruns=dict.fromkeys(Size, replace(NONE, roll_median=1.2, roll_spread=0.3)),
    )
    (chance,) = forecast(policy_of(fit_day(day), in_list_order(day)))
    assert chance.made == pytest.approx(NormalDist().cdf(log(30.5 / 20 / 1.2) / 0.3), abs=1e-9)


def test_two_shots_and_a_deadline_are_a_sum_of_normals():
    """With little spread minutes are near normal, and the sum of two long rolls is too."""
    shots = (
        a_shot("1", setup_min=0, adjust_min=0, shoot_min=200),
        a_shot("2", setup_min=0, adjust_min=0, shoot_min=300),
    )
    day = a_day(
        *shots,
        hours=the_hours("6:00", "14:30"),
        meal=replace(a_day().meal, latest=at("15:00"), earliest=at("14:59")),
        overruns=dict.fromkeys(Size, replace(NONE, roll_spread=0.02)),
    )
    chance = forecast(policy_of(fit_day(day), in_list_order(day)))[1]
    total = NormalDist(500, (4**2 + 6**2) ** 0.5)
    assert chance.made == pytest.approx(total.cdf(510.5), abs=0.01)


def fading(day: Day, loss_per_min: dict[str, float]) -> DayFit:
    """Give a fit in which each shot's light falls evenly through the day, down from one."""
    fit = fit_day(day)
    minutes = np.arange(len(fit.track), dtype=np.float64)
    return replace(
        fit,
        shots={
            name: replace(own, fit=1.0 - loss_per_min[name] * minutes)
            for name, own in fit.shots.items()
        },
    )


@pytest.mark.parametrize("seed", range(6))
def test_weight_over_expected_minutes_is_the_best_order(seed):
    """Rothkopf's theorem, and no other of the 120 orders is worth more."""
    random = np.random.default_rng(seed)
    minutes, spreads = random.integers(10, 90, 5), random.uniform(0.1, 0.7, 5)
    sizes = list(Size)
    shots = [
        a_shot(
            str(k),
            size=sizes[k],
            setup_min=0,
            adjust_min=0,
            shoot_min=int(minutes[k]),
            weight=float(random.integers(1, 9)),
        )
        for k in range(5)
    ]
    overruns = {
        size: replace(NONE, roll_spread=float(spread))
        for size, spread in zip(sizes, spreads, strict=True)
    }
    hours = replace(the_hours("00:00", "24:00"))
    meal = replace(a_day().meal, earliest=at("23:58"), latest=at("23:59"))
    day = a_day(*shots, hours=hours, meal=meal, overruns=overruns, costs=NO_COSTS)
    loss = 1 / 3000
    fit = fading(day, {shot.id: loss for shot in day.shots})
    rest = make_rest(fit, 1)
    drifts = make_drifts(rest)
    expected = []
    for k, shot in enumerate(day.shots):
        law = law_of(int(minutes[k]), 1.0, float(spreads[k]))
        mean = float(law.chances @ (law.first + np.arange(len(law.chances))))
        expected.append(shot.weight / mean)
    none = np.zeros(0, dtype=np.int64)
    scratch = Scratch(rest, drifts)
    by_index = np.argsort(-np.array(expected), kind="stable")
    best = max(scratch.worth(np.array(order), none) for order in permutations(range(5)))
    assert scratch.worth(by_index, none) == pytest.approx(best, abs=1e-6)
    first = Ordered(order=by_index[::-1].copy(), references=none, worth=-np.inf)
    found = search(make_rest(fit, 5), drifts, first, 100, 1, lambda: True)[0]
    assert scratch.worth(found.order, none) == pytest.approx(best, rel=0.001)


@pytest.mark.parametrize("name", few_first(["ferry-light", "last-lamp", "late-ridge"], 1))
def test_the_likely_day_breaks_no_rule_and_the_bound_is_above(name):
    """And the order is worth at least the planned one, which the search begins with."""
    day = read_day(DATA / name)
    fit, plan = fit_day(day), make_plan(day, limit_s=5)
    found = on_average(Ground(fit), plan.timetable)
    likely, timetable = likely_timetable(found.policy)
    assert breaches(likely, timetable) == ()
    assert likely.day == likely_day(day)
    assert found.policy.worth >= policy_of(fit, plan.timetable).worth - 1e-6
    assert found.policy.worth <= found.bound
    assert found.gap < 0.1


@pytest.mark.slow
def test_the_same_order_is_found_again():
    """The work is counted, not timed."""
    day = an_invented_day(8, seed=2, has_matches=True)
    plan = make_plan(day)
    one, two = (on_average(Ground(plan.fit), plan.timetable) for _ in range(2))
    assert one.policy.ids == two.policy.ids
    assert (one.policy.worth, one.bound) == (two.policy.worth, two.bound)


def test_a_limit_ends_the_search_with_what_there_is():
    """Without time there is an order all the same, and a bound that says so or is infinite."""
    day = an_invented_day(12, seed=1, has_matches=True)
    plan = make_plan(day)
    found = on_average(Ground(plan.fit), plan.timetable, limit_s=0.0)
    assert found.policy.worth <= found.bound


def test_a_certain_day_is_known():
    """No factor but one, and no spread."""
    day = a_day(a_shot("1"))
    assert not is_certain(day)
    assert is_certain(replace(day, overruns=dict.fromkeys(Size, NONE)))


def test_a_shot_that_any_light_suits_is_never_waited_for():
    """Held up by the last shot's light, the crew makes the others as soon as it can."""
    west = Band(low_deg=270.0, high_deg=330.0, give_deg=5.0)
    afternoon = Wish(azimuth=west, elevation=Band(low_deg=20.0, high_deg=40.0, give_deg=5.0))
    day = a_day(
        *(a_shot(name, size=Size.MEDIUM, weight=5.0) for name in ("1", "2")),
        a_shot("9", size=Size.WIDE, wish=afternoon, weight=20.0, after=("1", "2")),
        costs=Costs(after_meal=0),
    )
    policy = on_average(Ground(fit_day(day)), make_plan(day).timetable).policy
    chances = {one.shot.id: one for one in forecast(policy)}
    assert chances["1"].not_before_min is None
    assert chances["2"].not_before_min is None
    assert chances["9"].not_before_min is not None
    fit, likely = likely_timetable(policy)
    begun = [roll.changeover_start for roll in likely.rolls]
    ends = [roll_end(fit.day, roll) for roll in likely.rolls]
    assert begun[0] == day.hours.crew_call
    assert begun[1] == ends[0]
