"""Chances and moments of single shots, by hand, and the likely day shot by shot."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log
from statistics import NormalDist

import numpy as np
import pytest
from builders import a_day, a_shot, a_span, at, the_hours

from sunsched.average.likely import likely_day, likely_timetable
from sunsched.average.order.forecast import forecast
from sunsched.average.solve import is_certain, kept_by, policy_of
from sunsched.day.model import CastMember, Changeover, Meal, Move, Size
from sunsched.day.overruns import Overrun
from sunsched.light.fit import fit_day
from sunsched.plan.timetable import Roll, Timetable

NONE = Overrun(changeover_median=1.0, changeover_spread=0.0, roll_median=1.0, roll_spread=0.0)
SLOW = replace(NONE, roll_spread=0.5)
LATE_MEAL = Meal(earliest=at("18:00"), latest=at("18:30"), length_min=30)


def in_list_order(day):
    """Give an order of all shots; its times are not looked at."""
    return Timetable(
        rolls=tuple(
            Roll(shot_id=s.id, changeover_start=at("6:00"), roll_start=at("6:00"))
            for s in day.shots
        )
    )


def chances_of(day):
    """Give the fit and the chances of a day's shots in the order of the list."""
    fit = fit_day(day)
    return fit, forecast(policy_of(fit, in_list_order(day)))


def a_slow_start():
    """Give a day whose first roll takes some 60 minutes by chance, and whose second is Ana's.

    Ana leaves at 8:30: her changeover of 10 minutes and her roll of 30 must have begun by 7:50.
    """
    return a_day(
        a_shot("1", size=Size.WIDE, setup_min=0, shoot_min=60),
        a_shot("2", adjust_min=10, shoot_min=30, cast=("Ana",)),
        cast=(CastMember(name="Ana", here=(a_span("6:00", "8:30"),)),),
        meal=LATE_MEAL,
        overruns={**dict.fromkeys(Size, NONE), Size.WIDE: SLOW},
    )


def test_a_shot_is_begun_as_long_as_it_can_be_made():
    """To the minute: from 7:51 on nothing would come of it but waiting."""
    fit, (_, second) = chances_of(a_slow_start())
    assert second.begin_by_min == fit.minute_of(at("7:50"))
    assert second.made == pytest.approx(NormalDist().cdf(log(110.5 / 60) / 0.5), abs=1e-9)


def test_a_shot_that_is_begun_at_all_times_has_no_such_moment():
    """Nor has the first one, which nothing is before."""
    day = replace(a_slow_start(), cast=(), hours=the_hours("6:00", "18:00"))
    day = replace(day, shots=(day.shots[0], replace(day.shots[1], cast=())))
    _, chances = chances_of(day)
    assert [one.begin_by_min for one in chances] == [None, None]
    assert [one.not_before_min for one in chances] == [None, None]


def test_a_crew_that_eats_first_still_begins_the_shot():
    """Who is late goes to lunch before the second shot: it is left out at no time."""
    day = replace(
        a_slow_start(),
        cast=(),
        meal=Meal(earliest=at("6:30"), latest=at("8:00"), length_min=30),
    )
    day = replace(day, shots=(day.shots[0], replace(day.shots[1], cast=(), shoot_min=60)))
    _, (_, second) = chances_of(day)
    assert second.made == pytest.approx(1.0)
    assert second.begin_by_min is None


def test_a_roll_ends_with_the_hours_it_was_in():
    """Ana leaves at 7:00: a longer roll of hers is lost, and the next shot is begun then."""
    here = CastMember(name="Ana", here=(a_span("6:00", "7:00"),))
    day = a_slow_start()
    shots = (replace(day.shots[0], cast=("Ana",)), replace(day.shots[1], cast=()))
    fit, (first, second) = chances_of(replace(day, cast=(here,), shots=shots))
    assert first.made == pytest.approx(NormalDist().cdf(log(60.5 / 60) / 0.5), abs=1e-9)
    assert second.roll_min is not None
    assert second.roll_min[1:] == (fit.minute_of(at("7:10")),) * 2


def test_two_shots_are_passed_over_for_a_third():
    """2 and 3 are never made, and cost the last one, which must begin by 7:50, no minute."""
    day = a_slow_start()
    ben = CastMember(name="Ben", here=(a_span("6:00", "6:35"),))
    lost = tuple(a_shot(one, adjust_min=10, cast=("Ben",)) for one in ("3", "4"))
    shots = (day.shots[0], *lost, day.shots[1])
    _, chances = chances_of(replace(day, shots=shots, cast=(*day.cast, ben)))
    assert [one.made for one in chances[1:3]] == [0.0, 0.0]
    assert chances[3].made == pytest.approx(NormalDist().cdf(log(110.5 / 60) / 0.5), abs=1e-9)


def test_likely_starts_are_the_tenths_of_the_work_before():
    """Ten minutes after a log-normal roll from 6:00 on, of 60 minutes in the middle."""
    day = a_slow_start()
    day = replace(day, cast=(), shots=(day.shots[0], replace(day.shots[1], cast=())))
    fit, (first, second) = chances_of(day)
    six = fit.minute_of(at("6:00"))
    assert first.roll_min == (six, six, six)
    z = NormalDist().inv_cdf(0.9)
    tenths = [round(60 * exp(0.5 * k)) for k in (-z, 0.0, z)]
    assert second.roll_min == tuple(six + one + 10 for one in tenths)


def test_a_crew_that_is_early_waits():
    """For Ana, who comes at 7:00; where nothing is waited for, no moment is said."""
    here = (a_span("7:00", "12:00"),)
    day = a_day(
        a_shot("1", cast=("Ana",)),
        cast=(CastMember(name="Ana", here=here),),
        meal=LATE_MEAL,
        overruns=dict.fromkeys(Size, replace(NONE, changeover_spread=0.2)),
    )
    fit, (chance,) = chances_of(day)
    assert chance.not_before_min == fit.minute_of(at("7:00"))
    _, (chance,) = chances_of(replace(day, cast=(), shots=(a_shot("1"),)))
    assert chance.not_before_min is None


def test_half_the_light_is_a_deadline():
    """Light for 45 minutes: a roll of up to 90 keeps half of it."""
    day = a_day(
        a_shot("1", size=Size.WIDE, setup_min=0, shoot_min=60),
        meal=LATE_MEAL,
        hours=the_hours("6:00", "18:30"),
        overruns=dict.fromkeys(Size, SLOW),
    )
    fit = fit_day(day)
    six = fit.minute_of(at("6:00"))
    lit = np.zeros(len(fit.track))
    lit[six : six + 45] = 1.0
    fit = replace(fit, shots={"1": replace(fit.shots["1"], fit=lit)})
    (chance,) = forecast(policy_of(fit, in_list_order(day)))
    assert chance.half == pytest.approx(NormalDist().cdf(log(90.5 / 60) / 0.5), abs=1e-9)
    assert chance.made == pytest.approx(1.0)


def test_the_crew_has_stopped_on_half_of_the_days():
    """After 60 minutes, the median of the one roll there is."""
    day = a_day(
        a_shot("1", size=Size.WIDE, setup_min=0, shoot_min=60),
        meal=LATE_MEAL,
        overruns=dict.fromkeys(Size, SLOW),
    )
    assert kept_by(policy_of(fit_day(day), in_list_order(day))).stop == at("7:00")


def test_a_likely_day_has_its_medians():
    """Each shot by its size; moves and turnarounds by the mean of the changeovers' medians."""
    overruns = {
        **dict.fromkeys(Size, NONE),
        Size.WIDE: replace(NONE, changeover_median=1.5, roll_median=2.0),
        Size.INSERT: replace(NONE, changeover_median=0.5, roll_median=0.9),
    }
    day = a_day(
        a_shot("1", size=Size.WIDE, setup_min=20, adjust_min=10, shoot_min=30),
        a_shot("2", size=Size.INSERT, setup_min=20, adjust_min=10, shoot_min=30),
        a_shot("3", size=Size.WIDE, setup_min=0, adjust_min=1, shoot_min=1),
        moves=(Move(between=("pans", "mill"), minutes=36),),
        changeover=Changeover(move_min=24, turnaround_min=12),
        overruns=overruns,
    )
    likely = likely_day(day)
    minutes = [(one.setup_min, one.adjust_min, one.shoot_min) for one in likely.shots]
    # Halves are rounded up.
    assert minutes == [(30, 15, 60), (10, 5, 27), (0, 2, 2)]
    # The mean of 1.5, 0.5 and 1.5 is 7/6.
    assert [one.minutes for one in likely.moves] == [42]
    assert (likely.changeover.move_min, likely.changeover.turnaround_min) == (28, 14)


def test_a_likely_meal_begins_with_its_hours():
    """The crew is free at 7:00, eats at 9:00 and rolls when Ana comes, at 10:00."""
    day = replace(
        a_slow_start(),
        cast=(CastMember(name="Ana", here=(a_span("10:00", "12:00"),)),),
        meal=Meal(earliest=at("9:00"), latest=at("9:45"), length_min=30),
    )
    _, timetable = likely_timetable(policy_of(fit_day(day), in_list_order(day)))
    assert timetable.meal_start == at("9:00")
    assert [roll.roll_start for roll in timetable.rolls] == [at("6:00"), at("10:00")]


@pytest.mark.parametrize(
    "changes",
    [
        {"changeover_median": 1.1},
        {"changeover_spread": 0.1},
        {"roll_median": 0.9},
        {"roll_spread": 0.1},
    ],
)
def test_a_day_with_any_chance_is_not_certain(changes):
    """One figure of one size is enough."""
    day = a_day(a_shot("1"), overruns=dict.fromkeys(Size, NONE))
    assert is_certain(day)
    unsure = {**day.overruns, Size.FULL: replace(NONE, **changes)}
    assert not is_certain(replace(day, overruns=unsure))
