"""Orders that an experienced crew would shoot in: one small day of our own for each habit.

Every expectation is common practice, no source, and each test says why.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from practice.days import (
    BACK,
    LATE_LOW,
    SIDE,
    a_day,
    a_shot,
    at,
    first_after_meal,
    hour,
    left_out,
    order,
    planned,
    rolls,
    under_cloud,
    waited,
)
from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import CastMember, Move, Size, Span, Spot
from sunsched.day.wish import Band, SunSide, Wish

WIDE, FULL, MEDIUM, CLOSE_UP, INSERT = Size


@pytest.mark.parametrize("kind", [INSERT, MEDIUM, FULL])
@pytest.mark.parametrize("avoided", [CLOSE_UP, WIDE])
def test_after_lunch_comes_an_insert_a_medium_or_a_full(avoided, kind):
    """A crew back from lunch is slow: never straight into a close-up or a big wide.

    Common practice, no source.
    """
    shots = [a_shot(one, avoided, shoot_min=40) for one in "123"]
    plan = planned(a_day(*shots, a_shot("4", kind), meal=("06:40", "07:30")))
    assert first_after_meal(plan).shot.id == "4"
    assert plan.score.after_meal == 0


def test_inserts_go_to_noon_and_wides_to_the_edges_of_the_day():
    """High sun is worst for what shows most and can be helped least.

    Both wides have their side light early and late. Common practice, no source.
    """
    wides = [a_shot("1", WIDE, 170, SIDE), a_shot("2", WIDE, 190, SIDE)]
    tight = [a_shot(one, INSERT, 100, SIDE, shoot_min=90) for one in "3456"]
    plan = planned(a_day(*wides, *tight, call="07:30", wrap="16:30", meal=("11:00", "12:30")))
    assert {order(plan)[0], order(plan)[-1]} == {"1", "2"}
    assert all(rolls(plan)[one].sun_elevation_deg < 52 for one in "12")
    assert any(rolls(plan)[one].sun_elevation_deg > 65 for one in "3456")


def test_a_close_up_under_a_frame_takes_noon_from_one_in_the_open():
    """The frame makes high sun soft; without one a face has black eyes at noon.

    Common practice, no source.
    """
    framed, bare = a_shot("1", CLOSE_UP, 180, BACK, rig="tent"), a_shot("2", CLOSE_UP, 90, BACK)
    work = [a_shot(one, FULL, shoot_min=60) for one in "345"]
    plan = planned(a_day(bare, framed, *work, meal=("10:00", "13:30")))
    assert rolls(plan)["2"].sun_elevation_deg < 47
    assert rolls(plan)["1"].sun_elevation_deg > 60
    assert rolls(plan)["1"].fit > 0.95


def test_cloud_helps_a_face_that_noon_would_burn():
    """An overcast sky is one large frame: a close-up against the wrong sun is better for it.

    Common practice, no source.
    """
    day = a_day(a_shot("1", CLOSE_UP, 0, BACK), call="11:00", wrap="13:30", meal=("12:00", "13:30"))
    assert rolls(planned(under_cloud(day)))["1"].fit > rolls(planned(day))["1"].fit


TWO_SPOTS = (Move(between=("field", "barn"), minutes=25),)


def test_a_company_move_is_not_made_for_nothing():
    """Four shots at two spots in any light: there once, and never back.

    Common practice, no source.
    """
    shots = [a_shot(f"{k}", MEDIUM, spot=("field", "barn")[k % 2]) for k in range(1, 5)]
    assert planned(a_day(*shots, moves=TWO_SPOTS)).score.moves == 500


def test_a_scene_is_finished_before_the_company_moves():
    """Two scenes at two spots, both backlit in the morning: one whole, then the other whole.

    Common practice, no source.
    """
    shots = [
        a_shot(f"{scene}{place}", size, 80, BACK, spot=spot, match=spot)
        for scene, spot in enumerate(("field", "barn"), 1)
        for place, size in enumerate((WIDE, MEDIUM, CLOSE_UP), 1)
    ]
    plan = planned(a_day(*shots, moves=TWO_SPOTS))
    scenes = [one[0] for one in order(plan)]
    assert scenes in (list("111222"), list("222111"))
    assert [one[1] for one in order(plan)] == list("123123")


@pytest.mark.parametrize("minutes", [20, 45, 90])
def test_a_move_is_not_made_to_pass_the_time(minutes):
    """The day waits for the evening anyway; all the same nobody packs trucks to look busy.

    The barn's two shots ask nothing, the field's wide is for the last sun: the barn first, one
    move. Common practice, no source.
    """
    field = [a_shot(one, MEDIUM) for one in "123"] + [a_shot("4", WIDE, 285, LATE_LOW)]
    barn = [a_shot(one, FULL, spot="barn") for one in "56"]
    moves = (Move(between=("field", "barn"), minutes=minutes),)
    plan = planned(a_day(*field, *barn, call="09:00", meal=("13:00", "15:00"), moves=moves))
    assert plan.score.moves == 500
    assert order(plan)[:2] == ["5", "6"]


def test_lights_are_not_turned_round_to_pass_the_time():
    """Two shots look north and two south: one turnaround, however long the wide makes all wait.

    Common practice, no source.
    """
    looks = {"1": 0, "2": 0, "3": 180, "4": 180}
    shots = [a_shot(one, MEDIUM, look) for one, look in looks.items()]
    wide = a_shot("5", WIDE, 285, LATE_LOW)
    plan = planned(a_day(*shots, wide, call="12:00", meal=("15:00", "17:00")))
    assert sum(one.turnaround_min > 0 for one in plan.shots if one.shot.id != "5") == 1


def test_a_quicker_crew_is_worth_no_less():
    """Who builds in half the time can still stand and wait: the day cannot be worse for it.

    Common practice, no source.
    """
    slow = [a_shot(one, MEDIUM) for one in "123"] + [a_shot("4", WIDE, 285, LATE_LOW)]
    quick = [replace(shot, adjust_min=5, setup_min=10) for shot in slow]
    was, now = (planned(a_day(*shots, call="12:00")) for shots in (slow, quick))
    assert now.points >= was.points


def test_the_tent_is_built_once():
    """Two shots under the tent and two without stand together, as frames are slow to move.

    Common practice, no source.
    """
    shots = [a_shot(f"{k}", MEDIUM, rig=("", "tent")[k % 2]) for k in range(4)]
    assert planned(a_day(*shots)).score.rig_changes == 100


def test_all_that_looks_one_way_is_shot_before_turning_round():
    """To turn round is to move every stand behind the lens: once, not after every shot.

    Common practice, no source.
    """
    shots = [a_shot(f"{k}", MEDIUM, (0, 180)[k % 2]) for k in range(6)]
    plan = planned(a_day(*shots))
    assert sum(one.turnaround_min > 0 for one in plan.shots) == 1


def test_wide_comes_before_tight_in_a_scene():
    """The wide sets the light; what is cut into it is made to match, not the other way round.

    Common practice, no source.
    """
    shots = [
        a_shot("1", CLOSE_UP, match="gate"),
        a_shot("2", MEDIUM, match="gate"),
        a_shot("3", WIDE, match="gate"),
    ]
    assert order(planned(a_day(*shots))) == ["3", "2", "1"]


def test_what_is_matched_by_the_sun_stands_together():
    """A medium that any light suits is still cut into the wide: it is made beside it.

    Without the match it has no reason to be there. Common practice, no source.
    """
    wide = a_shot("1", WIDE, 285, LATE_LOW, match="gate")
    medium = a_shot("2", MEDIUM, match="gate")
    work = [a_shot(one, FULL, shoot_min=60) for one in "3456"]
    plan = planned(a_day(wide, medium, *work, call="11:00", meal=("14:00", "16:00")))
    assert abs(hour(plan, "1") - hour(plan, "2")) < 2.5
    assert sum(plan.score.match.values()) == 0
    loose = a_day(replace(wide, match=""), replace(medium, match=""), *work, call="11:00")
    assert hour(planned(loose), "1") - hour(planned(loose), "2") > 3


def test_a_cloudy_morning_takes_the_shots_that_ask_nothing():
    """The sun comes out at eleven: what needs it is kept for then, the rest is made meanwhile.

    On a clear day the wide is first on the list and first made. Common practice, no source.
    """
    wide = a_shot("1", WIDE, 180, Wish(azimuth=Band(low_deg=60, high_deg=300, give_deg=20)))
    work = [a_shot(one, FULL, shoot_min=60) for one in "234"]
    day = a_day(wide, *work, call="08:00", meal=("12:00", "14:00"))
    covers = {"08:00": 1.0, "10:45": 1.0, "11:15": 0.0}
    morning = tuple(CloudHour(time=at(clock), cover=cover) for clock, cover in covers.items())
    assert order(planned(day))[0] == "1"
    plan = planned(replace(day, clouds=morning))
    assert order(plan) == ["2", "3", "4", "1"]
    assert rolls(plan)["1"].roll_start >= at("11:00")


def test_an_actor_who_leaves_is_shot_first():
    """Ana is released at nine: her two shots are made before, though they are last on the list.

    Common practice, no source.
    """
    ana = CastMember(name="Ana", here=(Span(start=at("06:00"), end=at("09:00")),))
    shots = [a_shot(one, MEDIUM, shoot_min=45) for one in "123"]
    hers = [a_shot(one, MEDIUM, shoot_min=45, cast=("Ana",)) for one in "45"]
    plan = planned(a_day(*shots, *hers, cast=(ana,)))
    assert all(rolls(plan)[one].roll_end <= at("09:00") for one in "45")
    assert left_out(plan) == []


def test_a_spot_that_closes_is_shot_while_it_is_open():
    """The barn is needed for the animals at half past nine: both of its shots come first.

    Common practice, no source.
    """
    barn = Spot(name="barn", open=(Span(start=at("06:00"), end=at("09:30")),))
    shots = [a_shot(one, MEDIUM, shoot_min=60) for one in "12"]
    inside = [a_shot(one, MEDIUM, shoot_min=45, spot="barn") for one in "34"]
    plan = planned(a_day(*shots, *inside, spots=(Spot(name="field"), barn)))
    assert order(plan)[:2] == ["3", "4"]


def test_what_is_dropped_from_a_short_day_is_the_insert():
    """There is no time for all: the wide tells the story, an insert is picked up another day.

    Common practice, no source.
    """
    shots = [a_shot(f"{k}", size, shoot_min=40) for k, size in enumerate(Size, 1)]
    plan = planned(a_day(*shots, call="09:00", wrap="12:30", meal=("12:00", "13:00")))
    assert left_out(plan) == ["5"]


@pytest.mark.parametrize(("size", "is_worth_it"), [(WIDE, True), (INSERT, False)])
def test_overtime_is_worked_for_a_wide_and_not_for_an_insert(size, is_worth_it):
    """The low back sun comes an hour past wrap: for the picture of the day the crew stays.

    Common practice, no source.
    """
    late = a_shot("1", size, 285, LATE_LOW)
    work = [a_shot(one, FULL, shoot_min=60) for one in "234"]
    day = a_day(late, *work, call="13:00", wrap="17:30", meal=("16:00", "18:00"))
    day = replace(day, hours=replace(day.hours, hard_wrap=at("20:00")))
    assert (planned(day).score.overtime > 0) is is_worth_it


def test_a_pinned_stunt_is_worked_around():
    """The road is closed at eight for twenty minutes: the pin stands and the rest goes about it.

    Common practice, no source.
    """
    stunt = a_shot("6", WIDE, pin=at("08:00"))
    plan = planned(a_day(*(a_shot(one, MEDIUM) for one in "12345"), stunt))
    assert rolls(plan)["6"].roll_start == at("08:00")
    assert left_out(plan) == []
    assert waited(plan) < 30  # less than one more medium would take


def test_the_crew_works_while_it_can_and_waits_later():
    """Inserts under the tent suit any hour: made first, nobody sits in the morning for nothing.

    Frames make high noon safe for the medium, and the wide has the last sun whatever is done. One
    insert stays for after lunch, so that the crew does not come back on the wide.
    """
    low = Wish(side=SunSide.BACK, elevation=Band(low_deg=2.0, high_deg=15.0, give_deg=5.0))
    shots = (
        a_shot("1", WIDE, 290, low, weight=10.0),
        a_shot("2", MEDIUM, 180, BACK, rig="tent"),
        a_shot("3", INSERT, rig="tent"),
        a_shot("4", INSERT, rig="tent"),
        a_shot("5", INSERT, rig="tent"),
    )
    plan = planned(a_day(*shots, call="08:00", meal=("12:30", "14:00")))
    assert order(plan)[:2] == ["3", "4"]
    assert order(plan)[-2:] == ["5", "1"]
    assert hour(plan, "4") < 10
