"""When a shot may roll: the table of needs against the judge, which says every rule by itself."""

from datetime import timedelta

import numpy as np
import pytest
from builders import a_day, a_shot, a_span, at, climbing_fit, the_hours

from sunsched.day.model import CastMember, Spot
from sunsched.day.wish import Band, Wish
from sunsched.plan.availability import can_roll_at, may_roll_at, needs
from sunsched.plan.rules import breaches
from sunsched.plan.timetable import Roll, Timetable

CAST = (
    CastMember(name="Ana", here=(a_span("7:00", "9:00"), a_span("10:03", "12:00"))),
    CastMember(name="Ben", here=(a_span("8:00", "14:00"),)),
)
SPOTS = (Spot(name="pans", open=(a_span("6:30", "10:31"), a_span("10:40", "13:00"))),)
SUN = Wish(elevation=Band(low_deg=30.0, high_deg=45.0, give_deg=4.0))  # 8:00 to 12:00


@pytest.mark.parametrize(
    ("asked", "rule"),
    [
        ({}, "hours"),
        ({}, "spot open"),
        ({"cast": ("Ana", "Ben")}, "cast here"),
        ({"wish": SUN, "hold": True}, "hold"),
        ({"pin": at("9:07")}, "pin"),
    ],
)
def test_needs_allow_the_starts_that_the_judge_passes(asked, rule):
    """Each minute from an hour before the day to an hour past it, for each need by itself.

    Every need that the shot has is looked at, so that one of a new rule is too.
    """
    shot = a_shot("1", **asked)
    fit = climbing_fit(a_day(shot, cast=CAST, spots=SPOTS, hours=the_hours("5:30", "14:00")))
    starts = np.arange(fit.minute_of(at("4:30")), fit.minute_of(at("15:00")))
    wrong = [broken_rules(fit, shot, start) for start in starts.tolist()]
    needed = list(needs(fit, shot))
    for name in {need.rule for need in needed}:
        own = [need for need in needed if need.rule == name]
        passed = [name not in broken for broken in wrong]
        assert may_roll_at(shot, own, shot.setup_min, starts).tolist() == passed
    assert len({rule in broken for broken in wrong}) == 2


def broken_rules(fit, shot, start):
    """Give the rules that a day breaks which makes one shot at a minute, built just before."""
    roll_start = fit.time_of(start)
    begun = roll_start - timedelta(minutes=shot.setup_min)
    roll = Roll(shot_id=shot.id, changeover_start=begun, roll_start=roll_start)
    found = breaches(fit, Timetable(rolls=(roll,)))
    # How long a build takes after the call is not asked of a need.
    return {one.rule for one in found if "crew call" not in one.text}


def test_a_shot_that_needs_two_people_needs_them_at_once():
    """Ana is there from 7 to 9, Ben from 8 to 14: a roll of 30 minutes begins from 8:00 to 8:30."""
    shot = a_shot("1", cast=("Ana", "Ben"))
    fit = climbing_fit(a_day(shot, cast=(CastMember(name="Ana", here=CAST[0].here[:1]), CAST[1])))
    can_roll = np.flatnonzero(can_roll_at(fit, shot, needs(fit, shot)))
    assert (fit.time_of(int(can_roll[0])), fit.time_of(int(can_roll[-1]))) == (
        at("8:00"),
        at("8:30"),
    )
