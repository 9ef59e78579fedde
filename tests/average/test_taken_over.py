"""A day like one that is known is told by it, and is the same as one that is tabulated anew."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import timedelta

import numpy as np
import pytest

from average.chances import a_small_day
from sunsched.average.likely import likely_day
from sunsched.average.model.rest import make_rest
from sunsched.day.decided import decided_day
from sunsched.day.demand import Cut, KeepOrder, MealAt, RollAt, RollBefore, WrapAt
from sunsched.light.fit import fit_again, fit_checked

SEEDS = (1, 2, 3)


def decisions_of(day):
    """Give one decision of each kind that changes something else of a day."""
    ids, noon = [shot.id for shot in day.shots], day.meal.latest - timedelta(minutes=30)
    return [
        (),
        (RollAt(shot=ids[1], time=noon),),
        (KeepOrder(shots=(ids[2], ids[0])),),
        (Cut(shot=ids[0]),),
        (MealAt(time=noon),),
        (WrapAt(time=day.hours.wrap - timedelta(hours=1)),),
        (RollBefore(shot=ids[2], time=noon), RollAt(shot=ids[0], time=noon)),
    ]


def assert_same(found, expected):
    """Compare all arrays of two records, whole."""
    for one in fields(expected) if hasattr(expected, "__dataclass_fields__") else ():
        assert_same(getattr(found, one.name), getattr(expected, one.name))
    if isinstance(expected, np.ndarray):
        np.testing.assert_array_equal(found, expected)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_likely_day_has_the_light_that_it_would_have_anew(seed):
    """Its rolls take other minutes: the light of the minutes is the same, that of rolls is not."""
    day = a_small_day(seed, shots=5, matches=("a", "a"))
    slow = {size: replace(one, roll_median=1.4) for size, one in day.overruns.items()}
    day = replace(day, overruns=slow)
    fit, likely = fit_checked(day), likely_day(day)
    found, anew = fit_again(fit, likely), fit_checked(likely)
    assert found.track is fit.track
    assert [one.shoot_min for one in likely.shots] != [one.shoot_min for one in day.shots]
    assert found.day == anew.day
    for shot in likely.shots:
        assert_same(found.shots[shot.id], anew.shots[shot.id])
        assert found.shots[shot.id].shot == shot


@pytest.mark.parametrize("seed", SEEDS)
def test_a_day_with_other_light_is_computed_anew(seed):
    """A look, a weight or the spots are no minutes of work."""
    day = a_small_day(seed, shots=3)
    fit = fit_checked(day)
    turned = replace(day.shots[0], look_deg=(day.shots[0].look_deg + 90) % 360, weight=7.5)
    changed = replace(day, shots=(turned, *day.shots[1:]))
    found, anew = fit_again(fit, changed), fit_checked(changed)
    assert found.track is not fit.track
    for shot in changed.shots:
        assert_same(found.shots[shot.id], anew.shots[shot.id])


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kind", range(7))
def test_what_is_taken_over_of_a_rest_is_what_it_would_be_anew(seed, kind):
    """Under each kind of decision, also where nothing can be taken over."""
    day = a_small_day(seed, shots=5, matches=("a", "a"))
    near = make_rest(fit_checked(day), 1)
    decision = decisions_of(day)[kind]
    fit = fit_again(near.fit, decided_day(day, decision))
    within = {one.shot: (0, 900) for one in decision if isinstance(one, RollBefore)}
    found, anew = make_rest(fit, 1, within, near), make_rest(fit, 1, within)
    is_as_long = not isinstance(decision[0] if decision else None, Cut | WrapAt)
    assert (found.work is near.work) == is_as_long
    assert found.rooms == anew.rooms
    assert found.settled == anew.settled
    for name in anew.odds._fields:
        np.testing.assert_array_equal(getattr(found.odds, name), getattr(anew.odds, name))
    assert_same(found.work, anew.work)


def test_slots_of_another_length_are_not_taken_over():
    """The search works on coarse slots."""
    day = a_small_day(1, shots=4)
    near = make_rest(fit_checked(day), 1)
    found, anew = make_rest(near.fit, 5, near=near), make_rest(near.fit, 5)
    assert found.slots == anew.slots != near.slots
    np.testing.assert_array_equal(found.odds.gain, anew.odds.gain)
