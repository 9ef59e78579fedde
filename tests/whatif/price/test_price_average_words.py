"""What is said of a price on the average day: signs, bounds and who pays; and prices under way."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import a_day, a_shot, at
from under_way import by_plan

from sunsched.average.plan import average_plan, plan_of_policy
from sunsched.average.solve import policy_of
from sunsched.day.clock import clock
from sunsched.day.demand import Cut
from sunsched.day.model import Meal, Size
from sunsched.day.overruns import Overrun
from sunsched.light.fit import fit_checked
from sunsched.show.text.average_day.price import average_loss_texts, pay_rows
from sunsched.solver.solve import make_plan
from sunsched.solver.solved import solve_day
from sunsched.whatif.price_average.price import average_price
from sunsched.whatif.price_average.rules import average_rule_prices
from whatif.price.test_price_average import a_small_day

NONE = Overrun(changeover_median=1.0, changeover_spread=0.0, roll_median=1.0, roll_spread=0.0)


@pytest.fixture(scope="module")
def cut():
    """Give the price of cutting a shot that the best order mostly makes."""
    solved = solve_day(a_small_day(1))
    best = average_plan(solved)
    shot = max(best.chances, key=lambda one: one.made * one.shot.weight).shot
    return average_price(solved, best, (Cut(shot=shot.id),)), shot


def test_rows_have_a_minus_where_points_are_lost(cut):
    """The shot that is cut loses most and stands first; what others win has a plus."""
    found, shot = cut
    rows = list(pay_rows(found))
    assert rows[0][0] == shot.id
    assert int(rows[0][-1]) < -1000
    own = {pay.shot.id: pay.points_lost for pay in found.pays}
    assert all(int(row[-1]) == -own[row[0]] for row in rows)
    assert all(row[-1].strip()[0] in "+-" for row in rows)


@pytest.mark.parametrize(
    ("points", "least", "most", "said"),
    [
        (40, 10, 90, "costs 40 points, as found; the best crew of all loses at least 10 and at "),
        (40, 0, 90, "costs 40 points, as found; the best crew of all loses at most 90"),
        (40, 40, 40, "costs 40 points, as found; the best crew of all loses exactly that"),
        (0, 0, 0, "costs nothing, as found; the best crew of all loses nothing either"),
        (-40, -90, -10, "wins 40 points, as found; the best crew of all wins at least 10 and at "),
        (-40, -90, 0, "wins 40 points, as found; the best crew of all wins at least 0 and at "),
        (-40, -90, 5, "wins 40 points, as found; the best crew of all wins at most 90 and loses "),
        (40, None, 90, "costs 40 points, as found; there was no time to say what the best crew"),
    ],
)
def test_bounds_are_said_with_their_signs(cut, points, least, most, said):
    """A loss below nothing is a win, of the best crew too."""
    found = replace(cut[0], points_lost=points, least_lost=least, most_lost=most)
    assert any(text.startswith(said) for text in average_loss_texts(found))


@pytest.mark.parametrize(
    ("others", "over_min", "said"),
    [
        (300, 10.0, "overtime: 200 points, other costs (waiting, moves, rigs, matches, the order "),
        (300, 10.0, "the order of sizes): 100 points"),
        (200, 10.0, "overtime: 200 points"),
        (-90, 10.0, "the order of sizes): 290 points"),
        (-90, -2.0, "overtime: 40 points, other costs (waiting, moves, rigs, matches, the order "),
        (-90, 0.0, "the order of sizes): 90 points"),
    ],
)
def test_other_costs_are_named(cut, others, over_min, said):
    """Overtime by its expected minutes, the rest by their names."""
    found = replace(cut[0], points_lost=others + sum(pay.points_lost for pay in cut[0].pays))
    assert found.now.fit.day.costs.overtime == 20
    now = replace(found.now, overtime_min=found.before.overtime_min + over_min)
    texts = [*average_loss_texts(replace(found, now=now))]
    assert any(said in text for text in texts if text.startswith(("pay:", "win:"))), texts


def test_likely_times_are_told_of_shots_that_move(cut):
    """From a quarter of an hour on, in the middle of the days on which they roll."""
    found = cut[0]
    one = next(one for one in found.now.chances if one.roll_min is not None and one.made > 0.5)
    first, middle, last = one.roll_min
    told: list[str] = []
    for by, is_told in ((14, False), (15, True), (-15, True)):
        was = replace(one, roll_min=(first, middle - by, last))
        sides = replace(found.before, chances=(was,)), replace(found.now, chances=(one,))
        texts = [*average_loss_texts(replace(found, before=sides[0], now=sides[1]))]
        told = [text for text in texts if text.startswith("likely: ")]
        assert bool(told) is is_told
    fit, day = found.now.fit, found.now.fit.day
    then, now = (clock(day, fit.time_of(minute)) for minute in (middle + 15, middle))
    assert told == [f"likely: {one.shot.id} rolls at {now}, not {then}"]


def test_what_is_made_already_is_not_won_by_lifting_a_rule():
    """Of two shots one is made, after a changeover of 20 minutes; that of 10 is still to come."""
    day = a_day(
        a_shot("1"),
        a_shot("2"),
        meal=Meal(earliest=at("18:00"), latest=at("18:30"), length_min=30),
        overruns=dict.fromkeys(Size, NONE),
    )
    plan = make_plan(day)
    now = by_plan(plan, 1)
    assert now.past is not None
    assert now.past.free_at == at("6:50")
    policy = policy_of(fit_checked(now), plan.timetable)
    gains = {one.rule: one.gain for one in average_rule_prices(plan_of_policy(policy, None))}
    (waits,) = (gain for rule, gain in gains.items() if "each minute" in rule)
    assert waits == 10 * now.costs.wait
