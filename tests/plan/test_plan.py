"""The plan: last starts, changeovers that wait, the second meal, and the refusal of a bad order.

The sun of these tests is invented: it stands due east and climbs a sixteenth of a degree a minute
from midnight UTC, so minute 400 (6:40) is 25°.
"""

from dataclasses import replace
from datetime import timedelta
from functools import partial
from pathlib import Path

import builders
import numpy as np
import pytest
from builders import a_day, a_place, at, climbing_fit

from sunsched.day.costs import Costs
from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import CastMember, Hours, Meal, Size, Span, Spot
from sunsched.day.past import Made, Past
from sunsched.day.skyline import HorizonPoint
from sunsched.day.wish import Band, SunSide, Wish
from sunsched.errors import SunschedError
from sunsched.folder.read import read_day
from sunsched.light.angles import degrees
from sunsched.light.fit import fit_day
from sunsched.plan.last_start import last_start
from sunsched.plan.plan import describe_plan, place_changeovers
from sunsched.plan.reasons import flat_by
from sunsched.plan.rules import cast_here
from sunsched.plan.score import score
from sunsched.plan.timetable import Roll, Timetable
from sunsched.solver.solve import make_plan

DATA = Path(__file__).parents[2] / "data"
a_shot = partial(builders.a_shot, control=0.0)  # no frames


def latest(shot, planned, **changes):
    """Give the last start of a shot planned at a clock time, as a clock time."""
    when = last_start(climbing_fit(a_day(shot, **changes)), shot, at(planned))
    return when and f"{when:%H:%M}"


def up_to_25(**changes):
    """Give a shot of one minute whose sun stands at 25° or lower, fading over 4°, so 64 minutes."""
    band = Band(low_deg=0.0, high_deg=25.0, give_deg=4.0)
    return a_shot("1", shoot_min=1, wish=Wish(elevation=band), **changes)


def test_last_start_is_where_half_is_left():
    """At minute 432 = 400 + 64/2, 7:12, the fit is 0.5: that is the last; 7:13 has lost it."""
    assert latest(up_to_25(), "6:20") == "07:12"
    assert latest(up_to_25(), "7:12") == "07:12"
    assert latest(up_to_25(), "7:13") is None


def test_last_start_keeps_a_hold():
    """Held, the last is 6:40, where the sun leaves the band itself; 6:41 has none."""
    assert latest(up_to_25(hold=True), "6:20") == "06:40"
    assert latest(up_to_25(hold=True), "6:41") is None


def test_last_start_keeps_the_hold_for_the_whole_roll():
    """A held roll of 30 minutes starts at 6:11 at the latest: its last minute is then 6:40."""
    assert latest(replace(up_to_25(hold=True), shoot_min=30), "6:00") == "06:11"


def test_last_start_ends_by_the_hard_wrap():
    """A shot in any light can start until 19:30, to end with the hard wrap of 20:00."""
    assert latest(a_shot("1"), "12:00") == "19:30"
    assert latest(a_shot("1"), "19:30") == "19:30"
    assert latest(a_shot("1"), "19:31") is None


def test_last_start_ends_with_the_hours_of_cast_and_spot():
    """Who leaves at 10:00 is there for a roll of 30 minutes until 9:30; a spot's hours alike."""
    early, late = Span(start=at("8:00"), end=at("10:00")), Span(start=at("14:00"), end=at("18:00"))
    ana = CastMember(name="Ana", here=(early, late))
    shot = a_shot("1", cast=("Ana", "Bo"))
    assert latest(shot, "9:00", cast=(ana, CastMember(name="Bo"))) == "09:30"
    assert latest(shot, "15:00", cast=(ana,)) == "17:30"
    pans = Spot(name="pans", open=(Span(start=at("6:00"), end=at("9:45")),))
    assert latest(shot, "9:00", cast=(ana,), spots=(pans,)) == "09:15"
    assert latest(a_shot("2", cast=("Bo",)), "9:00", cast=(ana,)) == "19:30"


def test_last_start_of_a_pinned_shot_is_its_pin():
    """What must roll at a given minute has no later start, however good the light."""
    assert latest(a_shot("1", pin=at("9:00")), "9:00") == "09:00"


def test_the_judge_agrees_with_the_last_starts_of_a_demo_day():
    """Everyone is there for a roll at its last start; a minute later Younes has left three."""
    plan = make_plan(read_day(DATA / "last-lamp"))
    fit = fit_day(plan.day)

    def is_missed(planned, minutes):
        when = planned.last_start + timedelta(minutes=minutes)
        roll = Roll(shot_id=planned.shot.id, changeover_start=when, roll_start=when)
        return any(cast_here(fit, Timetable(rolls=(roll,), meal_start=None)))

    assert not any(is_missed(planned, 0) for planned in plan.shots)
    late = {planned.shot.id for planned in plan.shots if is_missed(planned, 1)}
    assert late == {"7", "10", "12"}


def test_last_start_does_not_jump_a_gap():
    """Light that goes and comes back later is not waited for.

    Planned below 25° with a second sun from 45° on, the shot still has its last start at 7:12.
    """
    fit = climbing_fit(a_day(up_to_25()))
    own = fit.shots["1"]
    back = np.where(np.arange(len(own.mean)) >= 720, 1.0, own.mean)
    fit = replace(fit, shots={"1": replace(own, mean=back)})
    assert last_start(fit, own.shot, at("6:20")) == at("7:12")
    assert last_start(fit, own.shot, at("12:00")) == at("19:59")


def starts(day, *rolls, meal=None):
    """Give the changeover starts, as clock times, of rolls given as (id, clock time)."""
    placed = place_changeovers(
        day,
        [(day.shot(shot_id), at(clock)) for shot_id, clock in rolls],
        at(meal) if meal else None,
    )
    assert [(roll.shot_id, roll.roll_start) for roll in placed] == [
        (shot_id, at(clock)) for shot_id, clock in rolls
    ]
    return [f"{roll.changeover_start:%H:%M}" for roll in placed]


def test_first_setup_ends_as_the_camera_rolls():
    """Nobody is called to wait: a setup of 20 minutes for a roll at 8:00 starts at 7:40."""
    assert starts(a_day(a_shot("1")), ("1", "8:00")) == ["07:40"]


def test_changeover_starts_at_once_and_waits():
    """The roll of 1 ends at 8:30, so the changeover to 2 starts then, whenever 2 rolls."""
    day = a_day(a_shot("1"), a_shot("2"))
    assert starts(day, ("1", "8:00"), ("2", "8:40")) == ["07:40", "08:30"]
    assert starts(day, ("1", "8:00"), ("2", "10:00")) == ["07:40", "08:30"]


def test_changeover_comes_after_the_meal():
    """Lunch at 9:00 lies in the wait: the changeover starts at 10:00; without room, before it.

    A lunch at 11:00 stands after the roll of 2 and changes nothing.
    """
    day = a_day(a_shot("1"), a_shot("2"))
    assert starts(day, ("1", "8:00"), ("2", "10:10"), meal="9:00") == ["07:40", "10:00"]
    assert starts(day, ("1", "8:00"), ("2", "10:10"), meal="8:30") == ["07:40", "09:30"]
    assert starts(day, ("1", "8:00"), ("2", "10:10"), meal="11:00") == ["07:40", "08:30"]


def test_changeover_waits_for_the_spot_to_open():
    """The mill opens at 9:30 and the move takes 20 minutes, so the company leaves at 9:10."""
    mill = Spot(name="mill", open=(Span(start=at("9:30"), end=at("12:00")),))
    day = a_day(a_shot("1"), a_shot("2", spot="mill"), spots=(Spot(name="pans"), mill))
    assert starts(day, ("1", "8:00"), ("2", "10:00")) == ["07:40", "09:10"]
    always = replace(day, spots=(Spot(name="pans"), Spot(name="mill")))
    assert starts(always, ("1", "8:00"), ("2", "10:00")) == ["07:40", "08:30"]


def test_changeover_uses_the_opening_that_holds_the_roll():
    """Of two openings the one of the roll counts: the setup cannot start in the one before."""
    spans = (
        Span(start=at("6:00"), end=at("9:00")),
        Span(start=at("9:30"), end=at("12:00")),
    )
    day = a_day(a_shot("1"), a_shot("2"), spots=(Spot(name="pans", open=spans),))
    assert starts(day, ("1", "8:00"), ("2", "9:40")) == ["07:40", "09:30"]


def timetable_of(day, *rolls, meal=None):
    """Give the timetable of rolls given as (id, clock time), with changeovers placed."""
    meal_start = at(meal) if meal else None
    listed = [(day.shot(shot_id), at(clock)) for shot_id, clock in rolls]
    return Timetable(rolls=place_changeovers(day, listed, meal_start), meal_start=meal_start)


def plan_of(day, *rolls, meal=None, bound=None):
    """Give the plan of such a timetable; its own points are the bound unless one is given."""
    fit, timetable = climbing_fit(day), timetable_of(day, *rolls, meal=meal)
    own = score(fit, timetable).total
    return describe_plan(fit, timetable, own if bound is None else bound)


def test_second_meal_is_due_as_long_after_the_first():
    """Lunch over at 12:00 and six hours from call to the latest lunch: due at 18:00.

    A last roll that ends at 18:00 does not run past it; one that ends at 18:01 does.
    """
    day = a_day(a_shot("1"))
    assert plan_of(day, ("1", "17:30"), meal="11:00").second_meal_due is None
    assert plan_of(day, ("1", "17:31"), meal="11:00").second_meal_due == at("18:00")
    assert plan_of(day, ("1", "8:00")).second_meal_due is None


def test_a_breaching_timetable_is_refused():
    """No plan is made of an order that breaks the rules; the text names every breach."""
    day = a_day(a_shot("1"), a_shot("2", after=("1",)))
    fit = climbing_fit(day)
    rolls = (
        Roll(shot_id="2", changeover_start=at("6:00"), roll_start=at("6:19")),
        Roll(shot_id="1", changeover_start=at("6:49"), roll_start=at("6:59")),
    )
    with pytest.raises(SunschedError) as error:
        describe_plan(fit, Timetable(rolls=rolls), 0)
    assert str(error.value) == (
        "the changeover to 2 takes 20 min and gets 19; 2 rolls before 1, which must come first"
    )
    fine = (
        replace(rolls[1], shot_id="1", changeover_start=at("6:00"), roll_start=at("6:20")),
        Roll(shot_id="2", changeover_start=at("6:50"), roll_start=at("7:00")),
    )
    assert len(describe_plan(fit, Timetable(rolls=fine), 0).shots) == 2


def test_plan_says_how_good_it_is():
    """Equal to its bound a plan is proven; 175 below a bound of 875, the gap is a fifth.

    One close-up of weight 1 earns 1000, less 300 for coming first after lunch; the other is left
    out, which costs nothing here, as waiting does, so half the light is kept.
    """
    shots = (a_shot("1", size=Size.CLOSE_UP), a_shot("2"))
    day = a_day(*shots, costs=Costs(left_out=0, wait=0))
    proven = plan_of(day, ("1", "13:20"), meal="12:00", bound=700)
    assert (proven.points, proven.status, proven.gap) == (
        700,
        "proven",
        0,
    )
    bounded = plan_of(day, ("1", "13:20"), meal="12:00", bound=875)
    assert (bounded.status, bounded.gap) == ("bounded", 0.2)
    assert proven.light_kept == 0.5
    assert proven.meal == Span(start=at("12:00"), end=at("13:00"))


def test_gap_to_a_bound_of_nothing():
    """A bound of 0 points is taken as 1, so that the gap of 1000 points less is a number."""
    plan = plan_of(a_day(a_shot("1")), bound=0)
    assert (plan.points, plan.gap) == (-1000, 1000)


def test_a_day_with_nothing_but_lunch():
    """Making nothing is a plan too: it keeps no light and is due no second meal."""
    plan = plan_of(a_day(a_shot("1")), meal="12:00")
    assert (plan.shots, plan.light_kept, plan.second_meal_due) == ((), 0, None)


def test_planned_shot_says_what_happens():
    """A shot at the mill after a move: parts, wait, and the sun of the middle minute.

    2 rolls 10:00 to 10:30, so its sun is that of 10:15, minute 615: 38.4375° high at 90°. The lens
    looks at 60°. From 8:30 the move of 20 and the setup of 20 leave a wait of 50 minutes.
    """
    side = Wish(side=SunSide.BACK)
    day = a_day(a_shot("1"), a_shot("2", spot="mill", look_deg=60.0, wish=side))
    second = plan_of(day, ("1", "8:00"), ("2", "10:00")).shots[1]
    assert (second.changeover_start, second.roll_end) == (at("8:30"), at("10:30"))
    assert (second.move_min, second.build_min, second.turnaround_min) == (20, 20, 0)
    assert (second.is_adjust, second.wait_min) == (False, 50)
    assert second.sun_elevation_deg == 38.4375
    assert (second.sun_azimuth_deg, second.sun_from_lens_deg) == (90, 30)
    assert (second.fit, second.points) == (1, 1000)
    assert second.why == "its sun is fully met"


def test_a_wait_counts_what_stands_before_lunch_or_an_opening():
    """From 8:30 to 10:30 lunch takes 60 minutes of 120 and the changeover 10: the rest is waiting.

    Only 20 of these 50 minutes stand after the changeover. At the mill, which opens at 9:30, the
    company moves from 9:10 on and is built at 9:50: of 50 minutes 40 are over by then.
    """
    day = a_day(a_shot("1"), a_shot("2"))
    plan = plan_of(day, ("1", "8:00"), ("2", "10:30"), meal="9:00")
    assert [one.wait_min for one in plan.shots] == [0, 50]
    assert (plan.shots[1].built_at, plan.shots[1].built_wait_min) == (at("10:10"), 20)
    assert plan.score.waiting == day.costs.wait * (120 + 50 + 10)  # 2 hours before the first roll
    mill = Spot(name="mill", open=(Span(start=at("9:30"), end=at("12:00")),))
    day = a_day(a_shot("1"), a_shot("2", spot="mill"), spots=(Spot(name="pans"), mill))
    second = plan_of(day, ("1", "8:00"), ("2", "10:00")).shots[1]
    assert (second.wait_min, second.built_wait_min, second.built_at) == (50, 10, at("9:50"))


def test_why_names_the_part_that_costs_most():
    """A sun 45° from a lens that wants 35° at most is 10° past: a third of a give of 30°."""
    shot = a_shot("1", look_deg=45.0, wish=Wish(side=SunSide.BACK), pin=at("8:00"))
    (planned,) = plan_of(a_day(shot), ("1", "8:00")).shots
    assert planned.why == "pinned; a sun 10° too far round costs it 33%"


def test_why_says_no_nought_degrees():
    """Half a degree past what a lens wants is a loss, and 0° would deny it; so is a band's edge."""
    past = a_shot("1", look_deg=54.5, wish=Wish(side=SunSide.BACK))
    (planned,) = plan_of(a_day(past), ("1", "8:00")).shots
    assert planned.why == "a sun just too far round costs it 2%"
    # From 6:10 to 6:40 the sun climbs from 23.1° to 25°, halfway inside the band.
    band = Wish(elevation=Band(low_deg=23.9, high_deg=24.2, give_deg=5.0))
    (planned,) = plan_of(a_day(a_shot("1", wish=band, setup_min=10)), ("1", "6:10")).shots
    assert planned.why.startswith("a sun just too ")
    assert [degrees(off) for off in (0.99, 1.0, 61.4)] == ["just", "1°", "61°"]


@pytest.mark.parametrize(
    ("cover", "why"),
    [
        # A third of the light of the sun that arrives is lost, and a fifth of that in flat light.
        (0.8, "a sun 10° too far round costs it 7%; flat light under cloud costs it 16%"),
        (0.9, "flat light under cloud costs it 18%"),  # and 3% of 33% for the sun, less than 4.5%
    ],
)
def test_why_leaves_out_the_sun_that_hardly_arrives(cover, why):
    """What is less than a quarter of what flat light costs is not told."""
    shot = a_shot("1", look_deg=45.0, wish=Wish(side=SunSide.BACK))
    clouds = (CloudHour(time=at("6:00"), cover=cover),)
    (planned,) = plan_of(a_day(shot, clouds=clouds), ("1", "8:00")).shots
    assert planned.why == why


def test_left_out_says_why():
    """A shot whose sun never comes is told apart from one that gave way to the others."""
    never = a_shot("2", look_deg=270.0, wish=Wish(side=SunSide.BACK))
    plan = plan_of(a_day(a_shot("1"), never, a_shot("3", weight=0.5)), ("1", "8:00"))
    assert {left.shot.id: left.why for left in plan.left_out} == {
        "2": "its sun is never right within the hours: at best 0% of its light",
        "3": "making it would cost the day more than its 0.5 of weight is worth",
    }


def test_a_wait_names_the_shots_that_would_fit_into_it():
    """Between 8:30 and 10:40, with 10 minutes of adjust on each side, 80 minutes of roll fit."""
    band = Wish(elevation=Band(low_deg=40.0, high_deg=90.0, give_deg=5.0))
    others = (a_shot("3"), a_shot("4", shoot_min=110), a_shot("5", shoot_min=111))
    day = a_day(a_shot("1"), a_shot("2", wish=band), *others)
    second = plan_of(day, ("1", "8:00"), ("2", "10:40")).shots[1]
    assert second.wait_for.endswith("; 3 or 4 would fit into it")
    mill = (replace(others[0], spot="mill"), *others[1:])
    day = a_day(a_shot("1"), a_shot("2", wish=band), *mill)
    second = plan_of(day, ("1", "8:00"), ("2", "10:40")).shots[1]
    away = "; 3 would fit into it, with a move there and back"
    assert second.wait_for.endswith(f"; 4 would fit into it{away}")


def test_a_wait_names_three_shots_and_none_that_is_cut():
    """Those in the same spot first; what will not be made fits into no wait."""
    band = Wish(elevation=Band(low_deg=40.0, high_deg=90.0, give_deg=5.0))
    others = (*(a_shot(one) for one in "34"), *(a_shot(one, spot="mill") for one in "567"))
    day = a_day(a_shot("1"), a_shot("2", wish=band), *others)
    second = plan_of(day, ("1", "8:00"), ("2", "10:40")).shots[1]
    here, away = "3 or 4 would fit into it", "5 would fit into it, with a move there and back"
    assert second.wait_for.endswith(f"; {here}; {away}")
    now = at("8:30")
    begun = Made(shot_id="1", changeover_start=at("7:40"), roll_start=at("8:00"), roll_end=now)
    past = Past(at=now, free_at=now, made=(begun,), cut=("3", "5"))
    second = plan_of(replace(day, past=past), ("1", "8:00"), ("2", "10:40")).shots[1]
    assert "; 4 would fit into it; 6 or 7 would fit into it, with a move" in second.wait_for


def test_nobody_waits_for_a_shot_that_any_light_suits():
    """Planned late, such a shot says no light for it."""
    day = a_day(a_shot("1"), a_shot("2"))
    second = plan_of(day, ("1", "8:00"), ("2", "10:40")).shots[1]
    assert (second.wait_min, second.wait_for) == (120, "")


def test_why_says_who_has_the_better_minutes():
    """2's sun is best until 6:40, when 1 rolls, which keeps half of its light only until 7:12."""
    low = up_to_25().wish
    day = a_day(
        a_shot("1", wish=low, setup_min=10),
        a_shot("2", wish=low, setup_min=10, adjust_min=10),
        a_shot("3"),
    )
    first, second, third = plan_of(day, ("1", "6:10"), ("2", "6:50"), ("3", "7:30")).shots
    assert first.why == "its sun is fully met"
    assert second.why.startswith("a sun 2° too high costs it ")
    assert second.why.endswith("; its best minutes, from 06:10, go to 1")
    assert third.why == "any light suits it; after 2, which keeps its light only until 07:27"


def test_why_tells_the_grid_and_the_changeover_from_a_wait():
    """The sun of 2 stands at 24° at 6:24, between two starts of the grid; nobody waits for it.

    With a changeover from 6:11 to 6:36, a sun that is right from 6:08 to 6:24 goes by meanwhile.
    """
    first = a_shot("1", shoot_min=1, setup_min=5)
    band = Band(low_deg=24.0, high_deg=24.0, give_deg=0.2)
    quick = a_shot("2", wish=Wish(elevation=band), shoot_min=1, adjust_min=5)
    second = plan_of(a_day(first, quick), ("1", "6:10"), ("2", "6:25")).shots[1]
    between = "begin between two starts, which stand every 5 minutes"
    assert second.why.endswith(f" costs it 31%; its best minutes, from 06:24, {between}")
    band = Band(low_deg=23.0, high_deg=24.0, give_deg=2.0)
    slow = replace(quick, wish=Wish(elevation=band), adjust_min=25)
    second = plan_of(a_day(first, slow), ("1", "6:10"), ("2", "6:40")).shots[1]
    assert second.why.endswith("; its best minutes, from 06:20, go to its own changeover")
    # Nothing at all stands at 6:25, so it is the wait or the way there.
    second = plan_of(a_day(first, quick), ("1", "6:40"), ("2", "8:00")).shots[1]
    assert second.why.endswith("are not worth the wait or the way there")


def test_why_says_what_frames_make_up_for():
    """Under full cloud an insert keeps 80 % of its light; frames make up for 90 % of the rest."""
    side = Wish(side=SunSide.BACK)
    cloud = (CloudHour(time=at("6:00"), cover=1.0),)
    shot = a_shot("1", wish=side, control=0.9)
    (planned,) = plan_of(a_day(shot, clouds=cloud), ("1", "8:00")).shots
    assert planned.why == "flat light under cloud costs it 2%; frames make up for 18%"
    wall = (Spot(name="pans", horizon=(HorizonPoint(azimuth_deg=0, elevation_deg=85.0),)),)
    bare = replace(shot, control=0.0)
    (planned,) = plan_of(a_day(bare, spots=wall), ("1", "8:00")).shots
    assert planned.why == "flat light behind the skyline costs it 20%"


ABOVE_5 = Wish(elevation=Band(low_deg=5.0, high_deg=90.0, give_deg=5.0))
UP_TO_36 = Wish(elevation=Band(low_deg=5.0, high_deg=36.0, give_deg=8.0))
FROM_42 = Wish(elevation=Band(low_deg=42.5, high_deg=90.0, give_deg=0.0))


@pytest.mark.parametrize(
    ("changes", "rolls_at", "text"),
    [
        (
            {},
            "10:40",
            "for the light of 2 (2% at once, 100% then: wins 980 points, the wait costs 1200)",
        ),
        ({}, "8:40", ""),  # no wait
        ({"hold": True}, "10:40", "for the sun that 2 is held for"),
        ({"pin": at("10:40")}, "10:40", "for 2, which is pinned"),
        ({"cast": ("Bo", "Ada"), "wish": ABOVE_5}, "9:00", "for Ada"),
        # Ada is there from 9:00 on, at 3% of the light: it is not for her that they wait till then.
        (
            {"cast": ("Bo", "Ada")},
            "10:40",
            "for the light of 2 (3% at first, 100% then: wins 967 points, the wait costs 1000)",
        ),
        ({"wish": ABOVE_5}, "10:40", ""),  # as good at once: it is for others
        ({"wish": UP_TO_36}, "9:40", ""),  # better at once
    ],
)
def test_a_wait_says_what_it_is_for(changes, rolls_at, text):
    """Built at 8:40 under a sun of 32.5°, it asks for 40°, which are there at 10:40.

    5° less are hardly any light: a roll from 9:00 on, 33.75° to 35.6°, keeps 3 %.
    """
    ada = CastMember(name="Ada", here=(Span(start=at("9:00"), end=at("19:00")),))
    band = Wish(elevation=Band(low_deg=40.0, high_deg=90.0, give_deg=5.0))
    shot = a_shot("2", **({"wish": band} | changes))
    day = a_day(a_shot("1"), shot, cast=(ada, CastMember(name="Bo")))
    second = plan_of(day, ("1", "8:00"), ("2", rolls_at)).shots[1]
    assert (second.wait_min > 0) is (rolls_at != "8:40")
    assert second.wait_for == text


@pytest.mark.parametrize(
    ("changes", "price"),
    [
        ({}, "the wait costs 1200"),  # any light suits it, so the day would end two hours earlier
        ({"pin": at("11:20")}, "the time would be waited later in any case"),
        # 42.5° are there at 11:20: 5 minutes earlier lose 5/30 of 5000 points, and save 50.
        ({"wish": FROM_42, "weight": 5.0}, "the time would be waited later in any case"),
        ({"wish": FROM_42, "weight": 0.1}, "the wait costs 1200"),  # all of its light is 100
        ({"cast": ("Ada",)}, "the wait costs 200, the rest would be waited later in any case"),
    ],
)
def test_a_wait_costs_what_the_day_without_it_would_win(changes, price):
    """From 8:40 to 10:40 the crew waits for 2; 3 rolls next, at 11:20 if it is built at once."""
    ada = CastMember(name="Ada", here=(Span(start=at("11:00"), end=at("19:00")),))
    band = Wish(elevation=Band(low_deg=40.0, high_deg=90.0, give_deg=5.0))
    day = a_day(a_shot("1"), a_shot("2", wish=band), a_shot("3", **changes), cast=(ada,))
    second = plan_of(day, ("1", "8:00"), ("2", "10:40"), ("3", "11:20")).shots[1]
    assert f", {price})" in second.wait_for


def test_a_wait_before_lunch_ends_no_sooner_than_lunch_can_begin():
    """Lunch at 11:10 could begin 10 minutes earlier, so of 120 minutes of wait 110 would stay."""
    band = Wish(elevation=Band(low_deg=40.0, high_deg=90.0, give_deg=5.0))
    meal = Meal(earliest=at("11:00"), latest=at("12:00"), length_min=60)
    day = a_day(a_shot("1"), a_shot("2", wish=band), a_shot("3"), meal=meal)
    rolls = (("1", "8:00"), ("2", "10:40"), ("3", "12:20"))
    second = plan_of(day, *rolls, meal="11:10").shots[1]
    assert ", the wait costs 100, the rest would be waited later in any case)" in second.wait_for


def test_flat_light_is_a_thing_of_the_day():
    """Under full cloud a wide is flat at noon; before sunrise it is dark, and no cloud is told."""
    shot = a_shot("1", size=Size.WIDE, wish=Wish(side=SunSide.BACK))
    clouds = (CloudHour(time=at("0:00"), cover=1.0),)
    fit = fit_day(a_day(shot, clouds=clouds, place=a_place(latitude_deg=36.0)))
    own = fit.shots["1"]
    assert flat_by(own, fit.minute_of(at("12:00"))) == "under cloud"
    assert flat_by(own, fit.minute_of(at("3:00"))) == ""


def test_no_light_is_counted_while_nothing_can_roll():
    """Built at 8:40, and the crew is free again at 10:30: that is the first light it could have."""
    band = Wish(elevation=Band(low_deg=40.0, high_deg=90.0, give_deg=5.0))
    day = a_day(a_shot("1"), a_shot("2", wish=band))
    made = Made(
        shot_id="1",
        changeover_start=at("7:40"),
        roll_start=at("8:00"),
        roll_end=at("8:30"),
    )
    past = Past(
        at=at("8:45"), free_at=at("10:30"), made=(made,), building="2", built_since=at("8:30")
    )
    second = plan_of(replace(day, past=past), ("1", "8:00"), ("2", "10:40")).shots[1]
    # At 10:30, 39.4°, the roll would keep 98.9 %; at 10:30 it could begin, and not before.
    bought = "wins 23 points, the wait costs 100"
    assert second.wait_for == f"for the light of 2 (98% at once, 100% then: {bought})"


def test_left_out_says_whose_hours_keep_it_from_its_sun():
    """The sun is right until 7:12. Ada comes at 12:00; Bo leaves at 6:50.

    The mill opens at 6:30, so that a roll there, after 20 minutes of setup, begins as Bo leaves.
    """
    cast = (
        CastMember(name="Ada", here=(Span(start=at("12:00"), end=at("15:00")),)),
        CastMember(name="Bo", here=(Span(start=at("6:00"), end=at("6:50")),)),
    )
    low = replace(up_to_25(), shoot_min=30)
    day = a_day(
        a_shot("1"),
        replace(low, id="2", cast=("Ada",)),
        replace(low, id="3", cast=("Bo",), spot="mill"),
        replace(low, id="4", cast=("Bo",)),
        cast=cast,
        spots=(
            Spot(name="pans"),
            Spot(name="mill", open=(Span(start=at("6:30"), end=at("19:00")),)),
        ),
    )
    assert {left.shot.id: left.why for left in plan_of(day, ("1", "8:00")).left_out} == {
        "2": "its sun is right only while Ada is not here",
        "3": "its sun is right only while Bo is not here or mill is not open",
        "4": "making it would cost the day more than its 1 of weight is worth",
    }


@pytest.mark.parametrize(
    ("first_roll", "shoot_min", "why"),
    [
        ("6:20", 30, "its sun is fully met only 06:20–06:41, too short for 30 min of roll"),
        # 41 minutes of sun, of which the first 10 go to the build
        ("6:00", 40, "its sun is fully met only 06:00–06:41, too short for its build and 40 min"),
        ("6:41", 30, "it is held for its sun, and that is never fully met within the hours"),
    ],
)
def test_left_out_says_how_long_a_hold_is_met(first_roll, shoot_min, why):
    """The sun of the hold is met up to 6:40, in minutes that the roll does not fit into, if any."""
    held = replace(up_to_25(hold=True), id="2", shoot_min=shoot_min)
    hours = Hours(
        crew_call=at("6:00"), first_roll=at(first_roll), wrap=at("19:00"), hard_wrap=at("20:00")
    )
    (left,) = plan_of(a_day(a_shot("1"), held, hours=hours), ("1", "8:00")).left_out
    assert left.why.startswith(why)


def test_left_out_names_the_longest_sun_of_a_hold():
    """Of two stretches that are too short, the one that comes nearest is told."""
    fit = climbing_fit(a_day(replace(up_to_25(hold=True), shoot_min=30)))
    held = np.zeros_like(fit.shots["1"].held)
    for clock, minutes in (("8:00", 10), ("10:00", 25)):
        start = fit.minute_of(at(clock))
        held[start : start + minutes] = True
    fit = replace(fit, shots={"1": replace(fit.shots["1"], held=held)})
    (left,) = describe_plan(fit, Timetable(rolls=()), 0).left_out
    text = "its sun is fully met 10:00–10:25 at the longest, too short for 30 min of roll"
    assert left.why == text


def test_left_out_says_that_a_held_sun_lacks_light():
    """A hold asks for no clear sky: it is met till 6:40, and the cloud leaves 30 % of the light."""
    held = replace(up_to_25(hold=True), id="2", shoot_min=5)
    held = replace(held, wish=replace(held.wish, side=SunSide.SIDE))
    day = a_day(a_shot("1"), held, clouds=(CloudHour(time=at("0:00"), cover=0.7),))
    (left,) = plan_of(day, ("1", "8:00")).left_out
    text = "its sun is never right within the hours: at best 30% of its light while it may be held"
    assert left.why == text


def test_left_out_says_that_there_is_no_time():
    """Built from 19:10 on, 20 minutes of setup leave no roll of 31 until 20:00; one of 30 is left.

    Where a shot before it may stand in the same rig, 10 minutes of adjust are enough.
    """
    hours = Hours(
        crew_call=at("19:10"), first_roll=at("19:10"), wrap=at("20:00"), hard_wrap=at("20:00")
    )
    meal = Meal(earliest=at("20:00"), latest=at("20:00"), length_min=60)
    gave_way = "with it the day would run past the wrap at 20:00"
    no_time = "there is no time for it within the hours"
    for minutes, rig, why in ((30, "silk", gave_way), (31, "silk", no_time), (31, "", gave_way)):
        shot = a_shot("2", shoot_min=minutes, rig=rig)
        day = a_day(a_shot("1", shoot_min=10), shot, hours=hours, meal=meal)
        (left,) = plan_of(day, ("1", "19:40")).left_out
        assert left.why == why


@pytest.mark.parametrize(
    ("roll", "meal", "why"),
    [
        # 30 of roll, 10 of adjust: with 10 minutes of roll and as much of adjust 20 more.
        ("11:10", None, "with it the day would run past 12:00, when lunch falls due"),
        ("18:10", "11:00", "with it the day would run past the wrap at 19:00"),
        ("19:10", "11:00", "with it the day would run past the hard wrap at 20:00"),
        ("18:00", "11:00", "making it would cost the day more than its 1 of weight is worth"),
    ],
)
def test_left_out_says_what_the_day_would_run_past(roll, meal, why):
    """Full from the first roll to the last, it ends 20 minutes too late with a shot of 10 more.

    The last case ends at 19:00 sharp. The first shot fills the time between the call and the last.
    """
    last = at(roll)
    start = at("6:20")
    lunch_min = 0 if meal is None else 60
    first_min = round((last - start) / timedelta(minutes=1)) - 10 - lunch_min
    early_min = first_min if meal is None else round((at(meal) - start) / timedelta(minutes=1))
    shots = [a_shot("1", shoot_min=early_min), a_shot("3", shoot_min=40)]
    rolls = [("1", "6:20"), ("3", roll)]
    if meal is not None:
        shots.append(a_shot("2", shoot_min=first_min - early_min - 10))
        rolls.insert(1, ("2", "12:10"))
    more = a_shot("4", shoot_min=10)
    (left,) = plan_of(a_day(*shots, more), *rolls, meal=meal).left_out
    assert left.why == why


def test_left_out_counts_the_grid():
    """Starts stand on five minutes: 4 more before or after the roll ends at 12:01, not at 11:57."""
    day = a_day(a_shot("1", shoot_min=301), a_shot("4", shoot_min=26))
    (left,) = plan_of(day, ("1", "6:20")).left_out
    assert left.why == "with it the day would run past 12:00, when lunch falls due"


def test_left_out_fits_into_a_wait():
    """Before the last roll, which ends as the hours do, stands a wait that has room for it."""
    day = a_day(a_shot("1"), a_shot("2"), a_shot("3"))
    (left,) = plan_of(day, ("1", "8:00"), ("2", "19:30"), meal="10:00").left_out
    assert left.why == "making it would cost the day more than its 1 of weight is worth"


def test_left_out_of_a_day_that_runs_past_the_wrap_anyway():
    """The wrap is no reason where the plan passes it; the hard wrap, 40 minutes on, is not met."""
    day = a_day(a_shot("1", shoot_min=740), a_shot("2", shoot_min=10), a_shot("3", shoot_min=10))
    day = replace(day, meal=Meal(earliest=at("6:00"), latest=at("19:59"), length_min=60))
    (left,) = plan_of(day, ("1", "6:20"), ("2", "18:50")).left_out
    assert left.why == "with it the day would run past the wrap at 19:00"
    (left,) = plan_of(day, ("1", "6:20"), ("2", "19:00")).left_out
    assert left.why == "making it would cost the day more than its 1 of weight is worth"


def test_left_out_counts_the_build_in_a_spots_hours():
    """A mill open for 49 minutes has no room for 20 of setup and 30 of roll."""
    spots = (Spot(name="pans"), Spot(name="mill", open=(Span(start=at("9:00"), end=at("9:49")),)))
    day = a_day(a_shot("1"), a_shot("2", spot="mill"), spots=spots)
    (left,) = plan_of(day, ("1", "8:00")).left_out
    assert left.why == "mill is not open for it within the hours"


def test_left_out_of_an_order_that_is_not_proven_claims_no_more():
    """Where a better order may exist, only this one is spoken of."""
    day = a_day(a_shot("1"), a_shot("2"))
    order = Timetable(
        rolls=place_changeovers(day, [(day.shots[0], at("8:00"))], at("9:00")),
        meal_start=at("9:00"),
    )
    (left,) = describe_plan(climbing_fit(day), order, 10**6).left_out
    assert left.why == "this order has no place for it that is worth its 1 of weight"


def test_left_out_says_who_is_not_there():
    """Built in 10 minutes from 06:00 on, a roll of 30 ends by 06:40 and one of 31 does not."""
    early = (Span(start=at("5:00"), end=at("6:40")),)
    cast = (CastMember(name="Ada", here=early), CastMember(name="Bo"))
    day = a_day(
        a_shot("1"),
        a_shot("2", cast=("Bo", "Ada"), shoot_min=31),
        a_shot("3", cast=("Bo", "Ada")),
        a_shot("4", spot="mill", shoot_min=31),
        cast=cast,
        spots=(Spot(name="pans"), Spot(name="mill", open=early)),
    )
    gave_way = "making it would cost the day more than its 1 of weight is worth"
    assert {left.shot.id: left.why for left in plan_of(day, ("1", "8:00")).left_out} == {
        "2": "Ada is not here for it within the hours",
        "3": gave_way,
        "4": "mill is not open for it within the hours",
    }
