"""What a crew expects of hills, holds, dusk, early calls and other latitudes, one small day each.

Every expectation is common practice, no source, and each test says why.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from practice.days import (
    BACK,
    CAPE_TOWN,
    EQUINOX,
    GOLDEN,
    INVERNESS,
    LATE_LOW,
    MIDSUMMER,
    MIDWINTER,
    QUITO,
    TROMSO,
    a_day,
    a_shot,
    at,
    hour,
    left_out,
    order,
    planned,
    rolls,
    under_cloud,
    waited,
    waits,
    with_costs,
)
from sunsched.day.model import Size, Spot
from sunsched.day.skyline import HorizonPoint
from sunsched.day.wish import Band, SunSide, Wish
from sunsched.light.fit import fit_day

WIDE, FULL, MEDIUM, CLOSE_UP, INSERT = Size


def a_hill(first_deg, last_deg, height_deg):
    """Give a skyline with a hill between two azimuths, and sea elsewhere."""
    return tuple(
        HorizonPoint(
            azimuth_deg=float(azimuth),
            elevation_deg=height_deg if first_deg <= azimuth <= last_deg else 0.0,
        )
        for azimuth in range(0, 360, 5)
    )


def test_golden_light_minds_the_hill_and_the_cloud():
    """A band from −4° to 6° is golden light: behind a hill or a cloud there is none of it.

    Once the sun is down neither matters: the sky glows over the hill. Common practice, no source.
    """
    spots = (Spot(name="field"), Spot(name="barn", horizon=a_hill(270, 330, 8.0)))
    shots = [a_shot("1", WIDE, 300, GOLDEN), a_shot("2", WIDE, 300, GOLDEN, spot="barn")]
    day = a_day(*shots, call="17:00", wrap="20:30", spots=spots)
    fit = fit_day(day)
    low, down = fit.minute_of(at("19:05")), fit.minute_of(at("19:45"))
    assert fit.track.elevation_deg[low] > 2 > -1 > fit.track.elevation_deg[down]
    in_the_open, hidden = (fit.shots[one].fit for one in "12")
    cloudy = fit_day(under_cloud(day)).shots["1"].fit
    assert in_the_open[low] == 1.0
    assert hidden[low] < 0.3
    assert cloudy[low] < 0.3
    assert in_the_open[down] == hidden[down] == cloudy[down] == 1.0


def test_behind_a_hill_golden_light_is_shot_once_the_sun_is_down():
    """Where the hill takes the last sun, what is left of golden light is the glow after it.

    Common practice, no source.
    """
    shot = a_shot("1", WIDE, 300, GOLDEN, shoot_min=10)
    spots = (Spot(name="field", horizon=a_hill(270, 330, 8.0)),)
    plan = planned(a_day(shot, call="18:00", wrap="20:30", spots=spots))
    assert rolls(plan)["1"].sun_elevation_deg < -0.5
    assert rolls(plan)["1"].fit > 0.95


@pytest.mark.parametrize(("first_deg", "last_deg", "place"), [(45, 135, 0), (225, 315, -1)])
def test_a_shade_shot_goes_to_when_the_hill_hides_the_sun(first_deg, last_deg, place):
    """Open shade stands behind the hill for some hours, and nobody flies a silk that large.

    An eastern hill shades the morning, a western one the evening. Common practice, no source.
    """
    shade = a_shot("1", WIDE, 0, Wish(side=SunSide.SHADE))
    work = [a_shot(one, FULL, shoot_min=90) for one in "2345"]
    spots = (Spot(name="field", horizon=a_hill(first_deg, last_deg, 30.0)),)
    plan = planned(a_day(*work, shade, spots=spots, wrap="17:30"))
    assert order(plan)[place] == "1"
    assert rolls(plan)["1"].fit == 1.0


def test_a_hold_is_left_out_rather_than_made_in_wrong_light():
    """Held for a low back sun, on a day that ends at three: it is not made, and it is said why.

    Common practice, no source.
    """
    held = a_shot("1", WIDE, 300, LATE_LOW, hold=True)
    day = a_day(held, a_shot("2", MEDIUM), wrap="15:00", meal=("09:00", "11:00"))
    plan = planned(day)
    assert left_out(plan) == ["1"]
    assert "held for its sun" in plan.left_out[0].why
    free = replace(day, shots=(replace(held, hold=False), day.shots[1]))
    assert left_out(planned(free)) == []


def test_dusk_is_shot_at_dusk():
    """The last shot, with the sun down, whatever the list says; not before sunrise either.

    Common practice, no source.
    """
    dusk = Wish(side=SunSide.DUSK, elevation=Band(low_deg=-6.0, high_deg=-0.833, give_deg=5.0))
    shots = [a_shot("1", WIDE, 0, dusk), a_shot("2", MEDIUM), a_shot("3", INSERT)]
    plan = planned(a_day(*shots, call="15:00", wrap="20:30", meal=("18:00", "20:00")))
    assert order(plan)[-1] == "1"
    assert -6 < rolls(plan)["1"].sun_elevation_deg < 0


@pytest.mark.parametrize(("look", "place"), [(15, 0), (345, -1)])
def test_of_two_bad_times_the_nearer_one_is_taken(look, place):
    """The sun never stands behind these lenses; near is better than far, morning or evening.

    By eight it is 75° right of the first lens and more every hour, by four as near to the second
    from the left. Common practice, no source.
    """
    work = [a_shot(one, FULL, shoot_min=90) for one in "2345"]
    shot = a_shot("1", WIDE, look, BACK)
    plan = planned(a_day(*work, shot, call="07:30", wrap="16:30", meal=("11:00", "13:30")))
    assert order(plan)[place] == "1"


def test_for_light_that_never_comes_nobody_waits():
    """A wide at noon against the sun is bad at any hour of this day: it is made and done with.

    Common practice, no source.
    """
    day = a_day(a_shot("1", WIDE, 0, BACK), call="10:30", wrap="14:00", meal=("13:00", "14:00"))
    assert waited(planned(day)) == 0


def test_a_call_that_is_too_early_wastes_no_more_than_it_must():
    """Called at two for an evening wide, the crew waits for the low sun, and not a minute more.

    A call as much later wins all of it. Common practice, no source.
    """
    shots = [a_shot("1", WIDE, 285, LATE_LOW), a_shot("2", INSERT)]
    early = planned(a_day(*shots, call="14:00", meal=("18:00", "20:00")))
    late = planned(a_day(*shots, call="17:00", meal=("21:00", "23:00")))
    assert rolls(early)["1"].fit > 0.9
    assert rolls(early)["1"].sun_elevation_deg > 8  # the first minutes that are low enough
    assert waits(early)["2"] == 0
    assert rolls(early)["1"].roll_start == rolls(late)["1"].roll_start
    assert late.points - early.points == early.score.waiting - late.score.waiting == 1800


def test_when_minutes_cost_nothing_the_crew_waits_for_the_best_light():
    """Waiting is a price and no rule: without it the wide has all of its light.

    Common practice, no source.
    """
    day = a_day(a_shot("1", WIDE, 285, LATE_LOW), call="14:00", meal=("18:00", "20:00"))
    assert rolls(planned(with_costs(day, wait=0)))["1"].fit == 1.0


def test_under_the_midnight_sun_a_backlit_wide_looks_north_at_midnight():
    """At Tromsø at midsummer the sun goes round: west in the evening, north at night, east later.

    The day runs past midnight, and each lens has its back sun when the sun is there. Common
    practice, no source.
    """
    looks = {"1": 40, "2": 0, "3": 310}
    wides = [a_shot(one, WIDE, look, BACK, shoot_min=45) for one, look in looks.items()]
    day = a_day(*wides, place=TROMSO, call="20:00", wrap="28:30", meal=("22:00", "26:00"))
    plan = planned(day)
    assert order(plan) == ["3", "2", "1"]
    assert rolls(plan)["2"].sun_elevation_deg < 8
    assert plan.light_kept > 0.95
    assert left_out(plan) == []


def test_at_the_cape_in_winter_a_backlit_wide_looks_north_at_noon():
    """South of the tropics the noon sun stands in the north: east early, north at noon, west late.

    Common practice, no source.
    """
    looks = {"1": 300, "2": 0, "3": 60}
    wides = [a_shot(one, WIDE, look, BACK, shoot_min=45) for one, look in looks.items()]
    work = [a_shot(one, FULL, shoot_min=60) for one in "456"]
    plan = planned(a_day(*wides, *work, place=CAPE_TOWN, on=MIDSUMMER, call="08:00", wrap="17:30"))
    assert [one for one in order(plan) if one in looks] == ["3", "2", "1"]
    assert 10 < hour(plan, "2") < 15
    assert rolls(plan)["2"].sun_elevation_deg < 35  # low all day: no need to leave noon alone
    assert all(rolls(plan)[one].fit > 0.95 for one in looks)


def test_on_the_equator_wides_keep_away_from_noon():
    """At the equinox the sun stands overhead at noon: wides early and late, inserts and lunch then.

    No shot asks for a height: from above the light is bad for all that no frame covers. Common
    practice, no source.
    """
    wides = [a_shot("1", WIDE, 180, Wish(side=SunSide.SIDE)), a_shot("2", WIDE, 90, BACK)]
    wides += [a_shot("3", WIDE, 270, BACK)]
    tight = [a_shot(one, INSERT, shoot_min=80) for one in "4567"]
    plan = planned(a_day(*wides, *tight, place=QUITO, on=EQUINOX, call="06:30", wrap="18:00"))
    assert all(rolls(plan)[one].sun_elevation_deg < 50 for one in "123")
    assert hour(plan, "2") < 12 < hour(plan, "3")


def test_a_northern_winter_day_is_for_wides_from_morning_to_night():
    """At Inverness at midwinter the sun stays below 10°: a wide is as good at noon as ever.

    Six hours of daylight hold no more than its wides, and nothing rolls in the dark. Common
    practice, no source.
    """
    wides = [
        a_shot(one, WIDE, look, BACK) for one, look in zip("123", (140, 180, 215), strict=True)
    ]
    work = [a_shot(one, MEDIUM, shoot_min=45) for one in "4567"]
    day = a_day(*wides, *work, place=INVERNESS, on=MIDWINTER, call="08:00", wrap="18:00")
    plan = planned(day)
    assert [one for one in order(plan) if one in "123"] == ["1", "2", "3"]
    assert all(rolls(plan)[one].fit > 0.99 for one in "123")
    assert all(one.fit > 0.9 for one in plan.shots)
