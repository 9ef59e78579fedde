"""What a decision costs on the average day: against every order of small days, and its bounds.

The days have no matches, so that an order has nothing to choose but itself: every order of the day
without the decision and with it is judged by the programme, which has tests of its own.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import permutations

import numpy as np
import pytest
from oracles.days import random_day
from seeds import few_first

from sunsched.average.model.drift import make_drifts
from sunsched.average.model.rest import PIN_POINTS, make_rest
from sunsched.average.order.forecast import Policy, forecast, light_share, make_policy
from sunsched.average.plan import average_plan, plan_of_policy
from sunsched.day.demand import (
    Cut,
    Decision,
    First,
    KeepOrder,
    MealAt,
    ReleaseAt,
    RollAfter,
    RollAt,
    RollBefore,
    WrapAt,
)
from sunsched.day.model import Day, Span
from sunsched.errors import DayImpossible, SunschedError
from sunsched.light.fit import fit_day
from sunsched.plan.score import left_out_cost
from sunsched.show.text.average_day.price import average_price_text
from sunsched.solver.solved import solve_day
from sunsched.whatif.price.price import price
from sunsched.whatif.price_average.price import AveragePrice, average_price

SEEDS = (1, 3)
NO_REFERENCES = np.zeros(0, dtype=np.int64)


@pytest.fixture(scope="module", params=few_first(SEEDS, 1))
def solved(request):
    """Give a random day of four shots without pins, solved."""
    return solve_day(a_small_day(request.param))


@pytest.fixture(scope="module")
def best(solved):
    """Give its plan for the average day."""
    return average_plan(solved)


@pytest.fixture(scope="module")
def one():
    """Give one such day, solved, with its plan for the average day."""
    solved = solve_day(a_small_day(1))
    return solved, average_plan(solved)


def a_small_day(seed: int) -> Day:
    """Give a random day of four shots that has no pins."""
    day = random_day(seed, 4)
    return replace(day, shots=tuple(replace(shot, pin=None) for shot in day.shots))


def policies(day: Day, orders=None):
    """Give the policy of every order of a day, or of some."""
    rest = make_rest(fit_day(day), 1)
    ids = [shot.id for shot in rest.shots]
    drifts = make_drifts(rest)
    for order in permutations(ids) if orders is None else orders:
        places = np.array([ids.index(shot) for shot in order], dtype=np.int64)
        if not any(rest.forbidden[a, b] for i, a in enumerate(places) for b in places[i + 1 :]):
            yield make_policy(rest, drifts, places, NO_REFERENCES)


def most(day: Day, orders=None) -> float:
    """Give what the best order is worth."""
    return max([policy.worth for policy in policies(day, orders)], default=0.0)


def middle(day: Day):
    """Give the moment half-way between the call and the wrap, on a full five minutes."""
    half = (day.hours.wrap - day.hours.crew_call) / 2
    return day.hours.crew_call + timedelta(minutes=half // timedelta(minutes=5) * 5)


def with_pin(policy: Policy) -> float:
    """Give what a policy is worth with the points on top for its pin."""
    (kept,) = (one.on_pin for one in forecast(policy) if one.on_pin is not None)
    return policy.worth + PIN_POINTS * kept


def in_order(found: AveragePrice) -> list[str]:
    """Give the ids of the order that obeys."""
    return [chance.shot.id for chance in found.now.chances]


def changes(day: Day):
    """Give decisions, each with the day that it asks for by hand, and what that leaves out."""
    when = middle(day)
    wrap = replace(day.hours, wrap=when, hard_wrap=when)
    meal = replace(day.meal, earliest=day.meal.latest, latest=day.meal.latest)
    (ana,) = day.cast
    short = replace(ana, here=(Span(start=ana.here[0].start, end=when),))
    cut = day.shots[-1]
    rest = tuple(
        replace(shot, after=tuple(id_ for id_ in shot.after if id_ != cut.id))
        for shot in day.shots[:-1]
    )
    return (
        ((WrapAt(time=when),), replace(day, hours=wrap), 0),
        ((MealAt(time=day.meal.latest),), replace(day, meal=meal), 0),
        ((ReleaseAt(cast="Ana", time=when),), replace(day, cast=(short,)), 0),
        ((Cut(shot=cut.id),), replace(day, shots=rest), left_out_cost(day, cut)),
    )


def test_a_price_is_the_difference_of_two_best_orders(solved, best):
    """Of the day as it is and of the day as the decision has it, each over all of its orders."""
    day = solved.fit.day
    whole = most(day)
    assert best.policy.worth == pytest.approx(whole, abs=0.01)
    for decision, changed, cost in changes(day):
        found = average_price(solved, best, decision)
        assert found.points_lost == pytest.approx(whole - most(changed) + cost, abs=1.01), decision


def test_a_cut_shot_counts_as_left_out_of_the_whole_day(solved, best):
    """Its light is missed in the share of all light, and its chance is no more told."""
    day = solved.fit.day
    decision, changed, cost = changes(day)[-1]
    found = average_price(solved, best, decision)
    policy = max(policies(changed), key=lambda one: one.worth)
    kept = light_share(policy) * sum(s.weight for s in changed.shots)
    assert found.now.light_kept == pytest.approx(kept / sum(s.weight for s in day.shots))
    assert found.now.points == pytest.approx(policy.worth - cost, abs=0.01)
    (pay,) = (pay for pay in found.pays if pay.shot.id == day.shots[-1].id)
    assert pay.now is None
    assert pay.before is not None
    lost = 1000 * pay.shot.weight * pay.before.light + cost * pay.before.made
    assert pay.points_lost == pytest.approx(lost, abs=0.51)


def test_what_is_found_lies_between_the_bounds(solved, best):
    """Least ≤ found ≤ most; the least is not below nothing unless a rule is lifted."""
    day = solved.fit.day
    decisions: list[Decision] = [decision for decision, _, _ in changes(day)]
    decisions += [(First(shot=shot.id),) for shot in day.shots]
    decisions.append((RollBefore(shot=day.shots[0].id, time=middle(day)),))
    priced = 0
    for decision in decisions:
        try:
            found = average_price(solved, best, decision)
        except DayImpossible:
            continue
        priced += 1
        assert found.least_lost is not None
        assert found.most_lost is not None
        assert 0 <= found.least_lost <= found.points_lost <= found.most_lost
        assert found.most_lost - found.points_lost == best.bound - best.points
        assert found.points_lost - found.least_lost < 0.05 * best.points or found.least_lost == 0
        paid = sum(pay.points_lost for pay in found.pays)
        assert paid + found.other_lost == found.points_lost
    assert priced >= 5


def test_what_the_best_order_does_anyway_costs_nothing(solved, best):
    """Its own order, and its own first shot where the crew always begins with it."""
    ids = best.policy.ids
    found = average_price(solved, best, (KeepOrder(shots=ids),))
    assert (found.points_lost, found.least_lost) == (0, 0)
    assert found.light_lost == pytest.approx(0.0)
    assert found.later_min == 0
    text = average_price_text(solved.fit.day, found)
    assert "costs nothing, as found" in text
    assert "as without it" in text


def test_an_order_that_is_asked_for_is_kept(solved, best):
    """The best order turned round, and a shot first, are as good as every such order's best."""
    day = solved.fit.day
    wanted = tuple(reversed(best.policy.ids))[:2]
    orders = [
        order
        for order in permutations(shot.id for shot in day.shots)
        if order.index(wanted[0]) < order.index(wanted[1])
    ]
    try:
        found = average_price(solved, best, (KeepOrder(shots=wanted),))
    except DayImpossible:
        assert any(set(shot.after) & set(wanted) for shot in day.shots)
    else:
        assert in_order(found).index(wanted[0]) < in_order(found).index(wanted[1])
        assert found.now.points == pytest.approx(most(day, orders), abs=0.01)
    for shot in day.shots:
        if shot.after:
            continue
        orders = [o for o in permutations(s.id for s in day.shots) if o[0] == shot.id]
        found = average_price(solved, best, (First(shot=shot.id),))
        assert in_order(found)[0] == shot.id
        # The crew may not leave it out: an order that begins with it is worth no less.
        assert found.now.points <= most(day, orders) + 0.01


def test_a_shot_that_comes_first_is_begun_first():
    """No other is begun before it, although an order by itself may leave shots out."""
    solved = solve_day(a_small_day(3))
    best = average_plan(solved)
    last = next(id_ for id_ in reversed(best.policy.ids) if not solved.fit.day.shot(id_).after)
    found = average_price(solved, best, (First(shot=last),))
    chances = {chance.shot.id: chance for chance in found.now.chances}
    own = chances[last]
    assert own.roll_min is not None
    assert all(
        other.roll_min is None or other.roll_min[0] > own.roll_min[0]
        for id_, other in chances.items()
        if id_ != last
    )


def test_a_roll_at_a_time_is_a_pin_whose_points_are_not_shown(one):
    """The crew keeps it on nearly all days; nothing that is shown holds the points on top."""
    solved, best = one
    shot = best.policy.ids[0]
    planned = next(roll for roll in solved.plan.timetable.rolls if roll.shot_id == shot)
    when = planned.roll_start + timedelta(minutes=20)
    found = average_price(solved, best, (RollAt(shot=shot, time=when),))
    ((text, kept),) = found.obeyed
    assert text.startswith(f"{shot} rolls at ")
    assert kept > 0.9
    day = replace(
        solved.fit.day,
        shots=tuple(replace(s, pin=when if s.id == shot else None) for s in solved.fit.day.shots),
    )
    top = max(policies(day), key=with_pin)
    assert found.now.points == pytest.approx(top.worth, abs=0.01)
    figures = (found.points_lost, found.least_lost, found.most_lost, found.other_lost)
    assert all(abs(figure or 0) < PIN_POINTS / 2 for figure in figures)
    assert f"{text} on " in " ".join(average_price_text(solved.fit.day, found).split())


def test_a_roll_before_or_after_is_made_then_or_not_at_all(solved, best):
    """It starts at the moment or later, and has ended by it, on every day on which it is made."""
    day, when = solved.fit.day, middle(solved.fit.day)
    minute = solved.fit.minute_of(when)
    priced = 0
    for shot in day.shots:
        for demand in (
            RollAfter(shot=shot.id, time=when),
            RollBefore(shot=shot.id, time=when),
        ):
            try:
                found = average_price(solved, best, (demand,))
            except DayImpossible:
                continue
            priced += 1
            chance = next(c for c in found.now.chances if c.shot.id == shot.id)
            ((_, kept),) = found.obeyed
            assert kept == chance.made
            if chance.roll_min is None:
                continue
            if isinstance(demand, RollAfter):
                assert chance.roll_min[0] >= minute
            else:
                assert chance.roll_min[2] < minute
    assert priced


def test_a_better_order_that_obeys_is_the_best_of_the_day(one):
    """A poor plan to compare with is given up for the order that the decision led to."""
    solved, best = one
    poor = min(policies(solved.fit.day), key=lambda policy: policy.worth)
    assert poor.worth < best.policy.worth - 10
    known = plan_of_policy(poor, best.bound)
    found = average_price(solved, known, (KeepOrder(shots=best.policy.ids),))
    assert found.points_lost == 0
    assert found.before.points == pytest.approx(best.policy.worth, abs=0.01)


def test_a_decision_that_lifts_a_rule_may_win():
    """A day that is cut short wins by a later wrap: the bounds go below nothing."""
    day = a_small_day(1)
    end = day.hours.hard_wrap - timedelta(minutes=90)
    day = replace(day, hours=replace(day.hours, wrap=end, hard_wrap=end))
    solved = solve_day(day)
    best = average_plan(solved)
    later = end + timedelta(minutes=60)
    found = average_price(solved, best, (WrapAt(time=later),))
    won = most(replace(day, hours=replace(day.hours, wrap=later, hard_wrap=later))) - most(day)
    assert won > 100
    assert found.points_lost == pytest.approx(-won, abs=1.01)
    least, largest = found.least_lost, found.most_lost
    assert least is not None
    assert largest is not None
    assert least <= found.points_lost <= largest < 0
    text = " ".join(average_price_text(day, found).split())
    assert "this sets aside a rule of the day: nothing rolls past" in text
    assert f"wins {-found.points_lost} points, as found; the best crew of all wins at " in text
    assert f"least {-largest} and at most {-least}" in text


def test_a_pin_of_a_day_is_no_part_of_the_bounds_of_a_lifted_rule():
    """Points on top for pins are in neither, also where a later wrap may win."""
    day = a_small_day(1)
    rolls = solve_day(day).plan.timetable.rolls
    end = day.hours.hard_wrap - timedelta(minutes=90)
    shots = tuple(
        replace(shot, pin=rolls[0].roll_start if shot.id == rolls[0].shot_id else None)
        for shot in day.shots
    )
    day = replace(day, shots=shots, hours=replace(day.hours, wrap=end, hard_wrap=end))
    solved = solve_day(day)
    found = average_price(solved, average_plan(solved), (WrapAt(time=end + timedelta(minutes=60)),))
    assert found.sets_aside
    assert found.least_lost is not None
    assert found.points_lost - PIN_POINTS / 10 < found.least_lost <= found.points_lost


def test_a_decision_that_lifts_nothing_cannot_win_a_pinned_day():
    """Where the pin is kept as often, the least is nothing; where it is not, a line says so."""
    day = a_small_day(1)
    solved = solve_day(day)
    rolls = {roll.shot_id: roll.roll_start for roll in solved.plan.timetable.rolls}
    last = max(rolls, key=lambda one: rolls[one])
    pinned = replace(
        day,
        shots=tuple(replace(s, pin=rolls[last] if s.id == last else None) for s in day.shots),
    )
    solved = solve_day(pinned)
    best = average_plan(solved)
    found = average_price(solved, best, (KeepOrder(shots=best.policy.ids),))
    assert (found.points_lost, found.least_lost) == (0, 0)
    other = next(shot.id for shot in day.shots if shot.id != last)
    late = average_price(solved, best, (MealAt(time=day.meal.latest),))
    was, now = (
        next(chance.on_pin for chance in side.chances if chance.shot.id == last)
        for side in (late.before, late.now)
    )
    assert was is not None
    assert now is not None
    text = " ".join(average_price_text(pinned, late).split())
    assert (f"{last} rolls at its pin" in text) == (now < was - 0.005)
    cut = average_price(solved, best, (Cut(shot=other),))
    assert cut.least_lost is not None
    assert cut.least_lost <= cut.points_lost


def test_without_time_there_is_no_bracket_and_the_text_says_so(one):
    """A bound that was not looked for is None, not a figure."""
    solved, best = one
    found = average_price(solved, replace_bound(best), (Cut(shot="01"),), limit_s=0.0)
    assert found.most_lost is None
    text = " ".join(average_price_text(solved.fit.day, found).split())
    assert "there was no time to say what the best crew of all would lose by it" in text


def replace_bound(best):
    """Give a plan without its bound."""
    return plan_of_policy(best.policy, None)


@pytest.mark.parametrize(
    "decision",
    [
        (Cut(shot="99"),),
        (ReleaseAt(cast="Anna", time=middle(a_small_day(1))),),
        (Cut(shot="01"), First(shot="01")),
        (First(shot="01"), First(shot="02")),
        (KeepOrder(shots=("01", "01")),),
        (RollBefore(shot="01", time=a_small_day(1).hours.crew_call),),
        (MealAt(time=a_small_day(1).hours.hard_wrap + timedelta(minutes=1)),),
    ],
)
def test_what_is_refused_for_planned_minutes_is_refused_alike(one, decision):
    """Unknown names, contradictions and what no plan obeys: the same error, the same words."""
    solved, best = one
    with pytest.raises(SunschedError) as expected:
        price(solved, decision)
    with pytest.raises(type(expected.value)) as raised:
        average_price(solved, best, decision)
    assert str(raised.value) == str(expected.value)
