"""What every plan must look like to a crew (design, section 5): one small day for each sentence.

Every expectation is common practice, no source: it is what assistant directors and directors of
photography do, and each test says why. The days are our own.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from practice.days import (
    ANY,
    BACK,
    GOLDEN,
    LATE_LOW,
    MIDWINTER,
    SHORE,
    SIDE,
    a_day,
    a_shot,
    at,
    behind_a_wall,
    hour,
    order,
    planned,
    rolls,
    under_cloud,
    waited,
    waits,
    with_costs,
)
from sunsched.day.model import Changeover, MatchBy, Size
from sunsched.day.wish import Band, Wish

WIDE, FULL, MEDIUM, CLOSE_UP, INSERT = Size
SOLAR_NOON = at("12:02")


def test_faces_under_frames_at_high_noon_and_the_wide_in_late_backlight():
    """Under a frame faces are safe from the noon sun, a wide shows too much ground for any frame.

    So the medium and the close-up are made before lunch, and the wide waits for the low back sun.
    Common practice, no source.
    """
    wide = a_shot("1", WIDE, 285, LATE_LOW)
    medium = a_shot("2", MEDIUM, 180, BACK, rig="tent")
    close = a_shot("3", CLOSE_UP, 180, BACK, rig="tent")
    plan = planned(a_day(wide, medium, close, call="10:00", meal=("12:30", "15:00")))
    assert plan.meal is not None
    for face in (rolls(plan)["2"], rolls(plan)["3"]):
        assert face.roll_end <= plan.meal.start
        assert face.sun_elevation_deg > 60
    assert order(plan)[-1] == "1"
    assert rolls(plan)["1"].sun_elevation_deg < 15
    assert abs(rolls(plan)["1"].sun_from_lens_deg) < 35
    assert min(one.fit for one in plan.shots) > 0.95


def test_a_day_that_asks_nothing_wraps_as_early_as_it_can():
    """Where no light is better than another everybody goes home: changeovers, rolls, no more.

    The day is over before lunch is due, so there is none. Common practice, no source.
    """
    shots = [a_shot(f"{k}", size) for k, size in enumerate((INSERT, CLOSE_UP, MEDIUM, WIDE), 1)]
    plan = planned(a_day(*shots))
    # To set up the wide first is as quick as the medium, and both beat the close-up and the insert.
    builds = min(
        shot.setup_min + sum(other.adjust_min for other in shots if other is not shot)
        for shot in shots
    )
    assert plan.meal is None
    assert waited(plan) == 0
    assert plan.shots[-1].roll_end == at("06:00") + timedelta(minutes=builds + 4 * 20)


def test_a_long_day_that_asks_nothing_stops_for_lunch_alone():
    """Nine long mediums need lunch, and nothing else stands between them.

    Common practice, no source.
    """
    shots = [a_shot(f"{k}", MEDIUM, shoot_min=50) for k in range(1, 10)]
    plan = planned(a_day(*shots))
    assert waited(plan) == 0
    assert plan.shots[-1].roll_end == at("06:00") + timedelta(minutes=20 + 8 * 10 + 9 * 50 + 30)


@pytest.mark.parametrize("size", list(Size))
@pytest.mark.parametrize("call", ["06:00", "11:00", "17:00"])
def test_nobody_waits_for_a_shot_that_any_light_suits(size, call):
    """Low sun or high noon, it asks nothing: it rolls as soon as it is built.

    Common practice, no source.
    """
    plan = planned(a_day(a_shot("1", size), call=call))
    assert waited(plan) == 0
    assert rolls(plan)["1"].fit == 1.0


def test_beside_a_shot_that_waits_the_others_do_not():
    """The wide waits for the evening; what any light suits is made at once, and then one waits.

    Whoever stands on set after lunch with nothing built has been called too early. Common practice,
    no source.
    """
    any_light = [a_shot(f"{k}", FULL) for k in (1, 2, 3)]
    wide = a_shot("4", WIDE, 285, LATE_LOW)
    plan = planned(a_day(*any_light, wide, call="14:00", meal=("14:30", "20:00")))
    assert {one: waits(plan)[one] for one in "123"} == {"1": 0, "2": 0, "3": 0}
    assert order(plan) == ["1", "2", "3", "4"]


def the_talk(matched_by):
    """Give a talk over a table, one lens east and one west, on a day full of other work."""
    sides = [
        a_shot("1", MEDIUM, 90, BACK, match="talk"),
        a_shot("2", MEDIUM, 270, BACK, match="talk"),
    ]
    work = [a_shot(f"{k}", FULL, shoot_min=75) for k in range(3, 9)]
    return a_day(*sides, *work, matches={"talk": matched_by}, call="05:00", wrap="17:30")


def test_both_sides_of_a_talk_are_backlit_when_matched_by_lens():
    """Each has the sun behind the head, one in the morning and one in the afternoon, and they cut.

    The audience sees two rim lights and one hour. Common practice, no source.
    """
    plan = planned(the_talk(MatchBy.LENS))
    assert hour(plan, "1") < 12 < hour(plan, "2")
    for one in "12":
        assert abs(rolls(plan)[one].sun_from_lens_deg) < 45
        assert rolls(plan)[one].fit > 0.75
    assert plan.score.match == {"1": 0, "2": 0}


def test_matched_by_the_sun_the_sides_of_a_talk_stand_together():
    """What must have the same sun in the world is made under it, so one side has no back light.

    Common practice, no source.
    """
    plan = planned(the_talk(MatchBy.SUN))
    assert abs(hour(plan, "1") - hour(plan, "2")) < 3
    both = sum(rolls(plan)[one].fit for one in "12")
    assert both < sum(rolls(planned(the_talk(MatchBy.LENS)))[one].fit for one in "12")


@pytest.mark.parametrize("weight", [5.0, 10.0])
def test_the_hero_wide_gets_the_last_golden_minutes(weight):
    """The wide cannot be helped, so the last sun is its; its close-ups stand around it, in frames.

    All four want the same golden light, and there is not enough of it for all. The day's other work
    is done before. Common practice, no source.
    """
    close = [
        a_shot("5", MEDIUM, 300, GOLDEN, match="hill"),
        a_shot("6", CLOSE_UP, 290, GOLDEN, match="hill"),
        a_shot("7", CLOSE_UP, 310, GOLDEN, match="hill"),
    ]
    hero = a_shot("4", WIDE, 300, GOLDEN, weight=weight, match="hill")
    work = [a_shot("1", INSERT), a_shot("2", FULL), a_shot("3", FULL)]
    plan = planned(a_day(*work, hero, *close, call="14:00", meal=("17:00", "18:00"), wrap="21:00"))
    assert rolls(plan)["4"].fit > 0.98
    assert rolls(plan)["4"].sun_elevation_deg < 4
    assert set(order(plan)[-4:]) == set("4567")
    # An hour or so on either side: what is cut together has the same sun.
    assert all(abs(hour(plan, one) - hour(plan, "4")) < 1.25 for one in "567")
    assert sum(plan.score.match.values()) == 0


def a_scene():
    """Give a day of five shots at two spots, with a match, a move and a change of rig."""
    return a_day(
        a_shot("1", WIDE, 90, BACK, match="gate"),
        a_shot("2", MEDIUM, 100, BACK, match="gate"),
        a_shot("3", CLOSE_UP, 80, SIDE, match="gate", rig="tent"),
        a_shot("4", FULL, 250, BACK, spot="barn"),
        a_shot("5", INSERT, 0, ANY, spot="barn"),
    )


def test_full_cloud_gives_a_plan():
    """Nobody sends a crew home for cloud: everything is made, with one move and no wait.

    Common practice, no source.
    """
    plan = planned(under_cloud(a_scene()))
    assert len(plan.shots) == 5
    assert waited(plan) == 0
    assert sum(one.move_min > 0 for one in plan.shots) == 1


def test_full_cloud_is_like_deep_shade():
    """No sun is no sun, whether a cloud is before it or a cliff of 85°: the same order and times.

    Common practice, no source.
    """
    cloudy, walled = planned(under_cloud(a_scene())), planned(behind_a_wall(a_scene()))
    assert order(cloudy) == order(walled)
    assert [one.roll_start for one in cloudy.shots] == [one.roll_start for one in walled.shots]
    assert cloudy.points == walled.points


def mirrored(plan):
    """Give a plan's rolls turned round solar noon: ids and starts."""
    return [(one.shot.id, SOLAR_NOON + (SOLAR_NOON - one.roll_end)) for one in reversed(plan.shots)]


def toward(azimuth):
    """Give a wish for the sun over one point of the horizon, the nearer the better."""
    low, high = (azimuth - 1.0) % 360.0, (azimuth + 1.0) % 360.0
    return Wish(azimuth=Band(low_deg=low, high_deg=high, give_deg=60.0))


@pytest.mark.parametrize("is_full", [True, False])
def test_mirrored_looks_mirror_the_day_about_solar_noon(is_full):
    """East is to the morning what west is to the evening: the order turns round.

    A full day has no minute to wait. A day with room mirrors too once waiting is free: the call
    counts the wait before the first roll, and nobody counts the one after the last. Changeovers
    come before the roll, so the mirror of a day from 05:00 is one to 18:45. Common practice, no
    source.
    """
    suns = {"1": 69, "2": 82, "3": 95, "4": 120, "5": 190, "6": 250, "7": 268, "8": 280, "9": 292}
    if not is_full:
        suns = {one: suns[one] for one in "1379"}

    def plan_of(sign):
        shots = [
            a_shot(one, FULL, sign * sun, toward(sign * sun), setup_min=20, adjust_min=20)
            for one, sun in suns.items()
        ]
        # Full to the last minute.
        shots = [replace(shot, shoot_min=70 if shot.id < "7" else 65) for shot in shots]
        day = a_day(*shots, call="05:00", wrap="18:45", meal=("11:00", "12:35"))
        day = replace(day, changeover=Changeover(turnaround_min=0))
        return planned(day if is_full else with_costs(day, wait=0))

    forth, back = plan_of(1), plan_of(-1)
    assert order(forth) == order(back)[::-1]
    near = timedelta(minutes=10 if is_full else 5)
    for one, (name, start) in zip(back.shots, mirrored(forth), strict=True):
        assert one.shot.id == name
        assert abs(one.roll_start - start) <= near
    assert forth.light_kept == pytest.approx(back.light_kept, abs=0.01)


def test_the_other_hemisphere_half_a_year_later_is_the_mirror():
    """At latitude −φ the sun of midwinter goes the same hours round by the north.

    A lens that looks as far west of north as it looked west of south sees the same day. Common
    practice, no source.
    """
    wishes = {"1": (60, BACK), "2": (170, SIDE), "3": (290, LATE_LOW), "4": (200, BACK)}
    sizes = dict(zip("1234", (WIDE, MEDIUM, WIDE, CLOSE_UP), strict=True))
    north, south = (
        [a_shot(one, sizes[one], sign * look + turn, wish) for one, (look, wish) in wishes.items()]
        for sign, turn in ((1, 0), (-1, 180))
    )
    below = replace(SHORE, latitude_deg=-SHORE.latitude_deg)
    here = planned(a_day(*north, call="05:00"))
    there = planned(a_day(*south, call="05:00", place=below, on=MIDWINTER))
    assert order(here) == order(there)
    assert all(hour(here, one) == pytest.approx(hour(there, one), abs=0.1) for one in wishes)
    assert here.light_kept == pytest.approx(there.light_kept, abs=0.005)


def test_eight_equal_shots_come_in_the_order_of_the_list():
    """Where nothing tells them apart, nobody wants to explain why 5 comes before 4.

    Common practice, no source.
    """
    shots = [a_shot(f"{k}", MEDIUM) for k in range(1, 9)]
    assert order(planned(a_day(*shots))) == [f"{k}" for k in range(1, 9)]


@pytest.mark.parametrize("of_barn", [{"spot": "barn"}, {"rig": "tent"}])
def test_two_equal_groups_come_in_the_order_of_the_list(of_barn):
    """The list begins at the field: where the barn is no better, the day begins at the field too.

    Common practice, no source.
    """
    field, barn = "123", "456"
    shots = [a_shot(one, MEDIUM) for one in field]
    shots += [a_shot(one, MEDIUM, **of_barn) for one in barn]
    assert order(planned(a_day(*shots))) == list(field + barn)
