"""What a plan must look like to a crew: small days, and what an experienced one would shoot.

Every expectation is common practice, no source: it is what assistant directors and directors of
photography do, and each test says why. The days are our own.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from practice.days import (
    ANY,
    BACK,
    LATE_LOW,
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
)
from sunsched.day.model import CloudHour, HorizonPoint, MatchBy, Move, Size, Spot
from sunsched.day.wish import Band, SunSide, Wish

WIDE, FULL, MEDIUM, CLOSE_UP, INSERT = Size


def test_frames_at_high_noon_and_the_wide_in_late_backlight():
    """Under an overhead frame faces are safe from the noon sun; the wide is at its mercy.

    So the medium and the close-up are made before lunch, and the wide waits for the low back sun.
    """
    medium = a_shot("2", MEDIUM, 180, BACK, rig="tent")
    close = a_shot("3", CLOSE_UP, 180, BACK, rig="tent")
    wide = a_shot("1", WIDE, 285, LATE_LOW)
    plan = planned(a_day(wide, medium, close, call="10:00", wrap="20:00", meal=("12:30", "15:00")))
    assert order(plan)[-1] == "1"
    assert plan.meal is not None
    assert all(rolls(plan)[one].roll_end <= plan.meal.start for one in ("2", "3"))
    assert all(rolls(plan)[one].sun_elevation_deg > 60 for one in ("2", "3"))
    assert rolls(plan)["1"].sun_elevation_deg < 15
    assert min(one.fit for one in plan.shots) > 0.95


def test_a_day_that_asks_nothing_wraps_as_early_as_it_can():
    """Where no light is better than another, everybody goes home: changeovers and rolls alone."""
    shots = [a_shot(f"{k}", size) for k, size in enumerate((WIDE, MEDIUM, CLOSE_UP, INSERT), 1)]
    plan = planned(a_day(*shots))
    assert waited(plan) == 0
    assert plan.meal is None  # all is done before lunch is due
    built = plan.shots[0].shot.setup_min + sum(one.shot.adjust_min for one in plan.shots[1:])
    least = min(
        shot.setup_min + sum(other.adjust_min for other in shots if other is not shot)
        for shot in shots
    )
    assert built == least
    ends = at("06:00") + timedelta(minutes=least + 80)
    assert plan.shots[-1].roll_end == ends


@pytest.mark.parametrize("size", list(Size))
def test_nobody_waits_for_a_shot_that_any_light_suits(size):
    """High noon or low sun, it asks nothing: it rolls as soon as it is built."""
    for call in ("06:00", "11:00", "17:00"):
        plan = planned(a_day(a_shot("1", size), call=call))
        assert waited(plan) == 0


def test_both_sides_of_a_talk_are_backlit_when_matched_by_lens():
    """A looks east and B west: each has the sun behind the face, hours apart, and they still cut.

    Matched by the sun in the world, one of the two would be front-lit or squeezed around noon. The
    rest of the day's work asks nothing of the sun and stands between.
    """
    looks = {"1": 90.0, "2": 270.0}
    shots = [a_shot(one, MEDIUM, look, BACK, match="talk") for one, look in looks.items()]
    work = [a_shot(f"{k}", FULL, shoot_min=75) for k in range(3, 8)]
    day = a_day(
        *shots, *work, matches={"talk": MatchBy.LENS}, call="05:00", meal=("09:00", "11:00")
    )
    plan = planned(day)
    assert hour(rolls(plan)["1"].roll_start) < 11 < 13 < hour(rolls(plan)["2"].roll_start)
    assert all(abs(rolls(plan)[one].sun_from_lens_deg) < 60 for one in looks)
    assert sum(plan.score.match.values()) == 0


def test_the_hero_wide_gets_the_last_golden_minutes():
    """The shot of the day has the last low sun, its close-ups stand around it with frames."""
    wide = a_shot("1", WIDE, 300, LATE_LOW, weight=10.0, match="hill")
    close = a_shot("2", CLOSE_UP, 300, LATE_LOW, match="hill")
    insert = a_shot("3", INSERT)
    plan = planned(a_day(wide, close, insert, call="13:00", meal=("17:00", "19:00")))
    assert rolls(plan)["1"].fit > 0.99
    assert rolls(plan)["1"].sun_elevation_deg < 14
    apart = abs(rolls(plan)["1"].roll_start - rolls(plan)["2"].roll_start)
    assert apart <= timedelta(minutes=60)
    assert order(plan)[0] == "3"


def scene():
    """Give a scene of five shots at two spots, with a move and a change of rig."""
    return (
        a_shot("1", WIDE, 90, BACK, match="gate"),
        a_shot("2", MEDIUM, 100, BACK, match="gate"),
        a_shot("3", CLOSE_UP, 80, SIDE, match="gate", rig="tent"),
        a_shot("4", FULL, 250, BACK, spot="barn"),
        a_shot("5", INSERT, 0, ANY, spot="barn"),
    )


def test_full_cloud_is_a_day_and_is_like_deep_shade():
    """Without any sun nothing is lost by the clock: builds, moves and matches make the order."""
    day = a_day(*scene())
    cloudy, walled = planned(under_cloud(day)), planned(behind_a_wall(day))
    assert len(cloudy.shots) == 5
    assert order(cloudy) == order(walled)
    assert cloudy.score.light == walled.score.light
    assert sum(one.move_min > 0 for one in cloudy.shots) == 1
    assert waited(cloudy) == 0


def test_the_day_mirrors_about_solar_noon():
    """East is to the morning what west is to the evening: mirrored looks turn the order round."""
    looks = {"1": 60.0, "2": 150.0, "3": 290.0}
    wish = Wish(side=SunSide.BACK, elevation=Band(low_deg=5.0, high_deg=40.0, give_deg=5.0))

    def plan_of(turned):
        shots = [
            a_shot(one, WIDE, -look if turned else look, wish, setup_min=20, adjust_min=20)
            for one, look in looks.items()
        ]
        day = a_day(*shots, call="05:00", wrap="19:04", meal=("11:40", "11:50"))
        return planned(replace(day, costs=replace(day.costs, wait=0)))

    forth, back = plan_of(False), plan_of(True)
    assert order(forth) == order(back)[::-1]
    assert sum(forth.score.light.values()) == pytest.approx(
        sum(back.score.light.values()), rel=0.01
    )


def test_the_other_hemisphere_half_a_year_later_is_the_mirror():
    """At latitude −φ the midwinter sun goes the other way round the same hours, by the north."""
    looks = {"1": 60.0, "2": 170.0, "3": 290.0}
    north = [a_shot(one, MEDIUM, look, BACK) for one, look in looks.items()]
    south = [a_shot(one, MEDIUM, 180.0 - look, BACK) for one, look in looks.items()]
    here = planned(a_day(*north, call="05:00"))
    there = planned(a_day(*south, call="05:00", latitude=-40.0, on=date(2027, 12, 22)))
    assert order(here) == order(there)
    assert here.light_kept == pytest.approx(there.light_kept, abs=0.01)


def test_eight_equal_shots_come_in_the_order_of_the_list():
    """Where nothing tells them apart, nobody wants to explain why 5 comes before 4."""
    shots = [a_shot(f"{k}", MEDIUM) for k in range(1, 9)]
    assert order(planned(a_day(*shots))) == [f"{k}" for k in range(1, 9)]


@pytest.mark.parametrize("avoided", [CLOSE_UP, WIDE])
def test_lunch_is_followed_by_an_insert_and_not_by_a_close_up_or_a_wide(avoided):
    """A crew that comes back from lunch is slow: an insert wakes it, a face or a wide suffers."""
    shots = [a_shot("1", avoided, shoot_min=30), a_shot("2", avoided), a_shot("3", INSERT)]
    plan = planned(a_day(*shots, call="11:00", meal=("12:20", "12:25")))
    assert plan.meal is not None
    after = next(one for one in plan.shots if one.roll_start >= plan.meal.end)
    assert after.shot.id == "3"


def test_inserts_go_to_noon_and_wides_to_the_edges():
    """High sun is worst for what shows most and can be helped least."""
    low = Wish(elevation=Band(low_deg=5.0, high_deg=35.0, give_deg=10.0))
    shots = [
        a_shot("1", WIDE, 80, replace(low, side=SunSide.BACK)),
        a_shot("2", WIDE, 280, replace(low, side=SunSide.BACK)),
        *(a_shot(f"{k}", INSERT, shoot_min=90) for k in (3, 4, 5, 6)),
    ]
    plan = planned(a_day(*shots, call="07:00", wrap="18:30", meal=("11:00", "13:00")))
    assert (order(plan)[0], order(plan)[-1]) == ("1", "2")
    assert any(abs(hour(one.roll_start) - 12) < 1.5 for one in plan.shots[1:-1])


def test_a_company_move_is_not_made_for_nothing():
    """Four shots at two spots in any light: there once, and never back."""
    shots = [a_shot(f"{k}", MEDIUM, spot=("field", "barn")[k % 2]) for k in range(4)]
    plan = planned(a_day(*shots, moves=(Move(between=("field", "barn"), minutes=25),)))
    assert sum(one.move_min > 0 for one in plan.shots) == 1


def test_the_tent_is_built_once():
    """Two shots under the tent and two without stand together, as frames are slow to move."""
    shots = [a_shot(f"{k}", MEDIUM, rig=("", "tent")[k % 2]) for k in range(4)]
    plan = planned(a_day(*shots))
    assert plan.score.rig_changes == plan.day.costs.rig_change


def test_wide_comes_before_tight_in_a_scene():
    """The wide sets the light; what is cut into it is made to match, not the other way round."""
    shots = [
        a_shot("1", CLOSE_UP, match="gate"),
        a_shot("2", MEDIUM, match="gate"),
        a_shot("3", WIDE, match="gate"),
    ]
    assert order(planned(a_day(*shots))) == ["3", "2", "1"]


def test_a_scene_stands_together_under_one_sun():
    """Cut together, a wide, a medium and a close-up stand within an hour or two of each other."""
    shots = [
        a_shot("1", WIDE, 90, BACK, match="gate"),
        a_shot("2", MEDIUM, 90, ANY, match="gate"),
        a_shot("3", FULL, 270, BACK),
    ]
    plan = planned(a_day(*shots))
    apart = abs(rolls(plan)["1"].roll_start - rolls(plan)["2"].roll_start)
    assert apart <= timedelta(hours=2)


def test_a_cloudy_morning_takes_the_shots_that_ask_nothing():
    """The sun comes out at eleven: what needs it is kept for then, the rest is made meanwhile."""
    morning = (
        CloudHour(time=at("06:00"), cover=1.0),
        CloudHour(time=at("10:45"), cover=1.0),
        CloudHour(time=at("11:15"), cover=0.0),
    )
    needs = Wish(azimuth=Band(low_deg=60.0, high_deg=300.0, give_deg=20.0))
    shots = [
        a_shot("1", WIDE, 0, needs, control=0.0),
        *(a_shot(f"{k}", FULL, shoot_min=60) for k in (2, 3, 4)),
    ]
    plan = planned(a_day(*shots, clouds=morning, call="08:00", meal=("12:00", "14:00")))
    assert order(plan)[-1] == "1"
    assert rolls(plan)["1"].fit > 0.5


def test_golden_light_minds_the_hill():
    """A band from −4° to 6° is golden light; behind a hill of 10° there is none while it is up."""
    golden = Wish(elevation=Band(low_deg=-4.0, high_deg=6.0, give_deg=4.0))
    hill = (HorizonPoint(azimuth_deg=0.0, elevation_deg=10.0),)
    spots = (Spot(name="field"), Spot(name="barn", horizon=hill))
    kept = [
        planned(
            a_day(a_shot("1", WIDE, 0, golden, spot=spot), call="18:00", spots=spots, wrap="20:30")
        )
        .shots[0]
        .fit
        for spot in ("field", "barn")
    ]
    assert kept[0] > 0.9
    assert kept[1] < kept[0]


def test_a_shade_shot_goes_to_when_the_hill_hides_the_sun():
    """Open shade is there before the sun clears the hill, and nobody flies a silk that large."""
    hill = tuple(
        HorizonPoint(azimuth_deg=float(azimuth), elevation_deg=40.0 if azimuth < 180 else 0.0)
        for azimuth in range(0, 360, 10)
    )
    shade = Wish(side=SunSide.SHADE)
    shots = [a_shot("1", WIDE, 0, shade), a_shot("2", INSERT, shoot_min=150)]
    plan = planned(a_day(*shots, spots=(Spot(name="field", horizon=hill),)))
    assert order(plan)[0] == "1"
    assert rolls(plan)["1"].fit == 1.0


def test_a_hold_is_left_out_rather_than_made_in_wrong_light():
    """Held for a low back sun, on a day that ends at three: it is not made, and it is said why."""
    held = a_shot("1", WIDE, 300, LATE_LOW, hold=True)
    plan = planned(a_day(held, a_shot("2", MEDIUM), wrap="15:00", meal=("09:00", "11:00")))
    assert [left.shot.id for left in plan.left_out] == ["1"]
    assert "held for its sun" in plan.left_out[0].why


def test_dusk_is_shot_at_dusk():
    """The last shot, with the sun down, whatever the list says."""
    dusk = Wish(side=SunSide.DUSK, elevation=Band(low_deg=-6.0, high_deg=-0.833, give_deg=5.0))
    shots = [a_shot("1", WIDE, 0, dusk), a_shot("2", MEDIUM)]
    plan = planned(a_day(*shots, call="15:00", wrap="20:30", meal=("18:00", "20:00")))
    assert order(plan) == ["2", "1"]
    assert -6 < rolls(plan)["1"].sun_elevation_deg < 0


def test_of_two_bad_times_the_nearer_one_is_taken():
    """The sun never stands behind this lens; where waiting is free it rolls when it is nearest."""
    shot = a_shot("1", WIDE, 0, BACK, control=0.0)
    day = a_day(shot, call="08:00", wrap="16:00", meal=("12:00", "14:00"))
    plan = planned(replace(day, costs=replace(day.costs, wait=0)))
    off = abs(plan.shots[0].sun_from_lens_deg)
    assert off < 110  # at eight the sun is at 87°, at noon it is behind the camera


def test_a_call_that_is_too_early_waits_no_more_than_it_must():
    """Called at five for one back sun in the evening, the plan says what a later call would win."""
    plan = planned(a_day(a_shot("1", WIDE, 285, LATE_LOW), call="14:00", meal=("18:00", "20:00")))
    assert plan.shots[0].fit > 0.9
    assert waited(plan) > 60
    later = planned(a_day(a_shot("1", WIDE, 285, LATE_LOW), call="17:30", meal=("18:00", "23:00")))
    assert later.points > plan.points


def test_a_polar_day_has_sun_at_midnight():
    """In Tromsø at midsummer a low back sun is to be had at any hour: nobody waits for it long."""
    low = Wish(elevation=Band(low_deg=0.0, high_deg=20.0, give_deg=5.0))
    shots = [a_shot("1", WIDE, 0, low), a_shot("2", MEDIUM, 0, low)]
    day = a_day(*shots, latitude=69.6, call="20:00", wrap="23:30", meal=("22:00", "23:00"))
    plan = planned(day)
    assert plan.light_kept == pytest.approx(1.0)
    assert waited(plan) <= 120
