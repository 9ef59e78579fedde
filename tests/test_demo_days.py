"""The three demo days: their plans obey the rules and tell a story that a crew would recognise.

Where a time of day is expected, it follows from the sun and from common practice (no source): faces
and wides in low sun, inserts and lunch around noon, wides first and coverage after.
"""

import re
from dataclasses import replace
from datetime import time, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from sunsched.day.kit.frame import Rig
from sunsched.day.model import MatchBy, Size
from sunsched.day.wish import Band, SunSide, Wish
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_day
from sunsched.plan.plan import Plan
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.show.agenda import LineKind, day_lines
from sunsched.sky.horizon import direct_share
from sunsched.solver.solve import make_plan
from sunsched.solver.solved import solve_day
from sunsched.whatif.price.price import price
from sunsched.whatif.price.request import Asked, read_decision

DATA = Path(__file__).parent.parent / "data"
NAMES = ("last-lamp", "late-ridge", "ferry-light")
CACHE: dict[str, Plan] = {}


def day_named(name):
    """Read one of the demo days."""
    return read_day(DATA / name)


def plan_of(name):
    """Give the plan of a demo day, made once for all tests."""
    if name not in CACHE:
        CACHE[name] = make_plan(day_named(name))
    return CACHE[name]


def planned(name):
    """Give the planned shots of a demo day by their ids."""
    return {one.shot.id: one for one in plan_of(name).shots}


def clock(name, when):
    """Give a moment as local clock time."""
    return when.astimezone(day_named(name).place.zone).time()


@pytest.mark.parametrize("name", NAMES)
def test_demo_plan_obeys_every_rule(name):
    """The judge finds no breach, and counts the points that the plan states."""
    plan = plan_of(name)
    fit = fit_day(plan.day)
    assert breaches(fit, plan.timetable) == ()
    assert score(fit, plan.timetable).total == plan.points <= plan.bound


@pytest.mark.parametrize("name", NAMES)
def test_demo_day_makes_every_shot_and_keeps_its_light(name):
    """Nothing is left out, and at least 95 % of the light is kept."""
    plan = plan_of(name)
    assert plan.left_out == ()
    assert len(plan.shots) == len(plan.day.shots)
    assert plan.light_kept >= 0.95


@pytest.mark.parametrize("name", NAMES)
def test_demo_day_is_proven(name):
    """No order of these days is worth more."""
    assert plan_of(name).status == "proven"
    assert plan_of(name).gap == 0.0


@pytest.mark.parametrize("name", NAMES)
def test_demo_coverage_goes_from_wide_to_tight(name):
    """Within each match no tighter shot is made before a wider one."""
    matches: dict[str, list[int]] = {}
    for one in plan_of(name).shots:
        matches.setdefault(one.shot.match, []).append(one.shot.size.rank)
    matches.pop("", None)
    assert matches
    assert all(ranks == sorted(ranks) for ranks in matches.values())


def test_last_lamp_hides_from_noon_in_the_unwished_shots():
    """Shots that ask nothing roll between 09:30 and 15:30, under a sun above 45°."""
    unwished = [one for one in plan_of("last-lamp").shots if one.shot.wish.asks_nothing]
    assert len(unwished) == 4
    for one in unwished:
        assert time(9, 30) <= clock("last-lamp", one.roll_start)
        assert clock("last-lamp", one.roll_end) <= time(15, 30)
        assert one.sun_elevation_deg > 45.0


def test_last_lamp_keeps_noon_free_of_everything_else():
    """No shot that asks for a sun rolls within two hours of solar noon, about 12:17 local."""
    for one in plan_of("last-lamp").shots:
        if not one.shot.wish.asks_nothing:
            done = clock("last-lamp", one.roll_end) <= time(10, 17)
            assert done or clock("last-lamp", one.roll_start) >= time(14, 17)


def test_last_lamp_makes_its_wides_in_low_sun():
    """The wides stand in their bands: 1 early, 10 below 50°, the held 16 last and low."""
    shots = planned("last-lamp")
    assert 8.0 <= shots["1"].sun_elevation_deg <= 25.0
    assert clock("last-lamp", shots["1"].roll_start) < time(12)
    assert 20.0 <= shots["10"].sun_elevation_deg <= 50.0
    assert 2.0 <= shots["16"].sun_elevation_deg <= 12.0
    assert clock("last-lamp", shots["16"].roll_start) > time(12)
    assert plan_of("last-lamp").shots[-1].shot.id == "16"


def test_last_lamp_moves_twice_at_most():
    """Three spots are visited once each."""
    spots = [one.shot.spot for one in plan_of("last-lamp").shots]
    assert sum(a != b for a, b in pairwise(spots)) == 2


def test_last_lamp_eats_around_noon():
    """Lunch starts between 11:00 and 13:00."""
    meal = plan_of("last-lamp").meal
    assert meal is not None
    assert time(11) <= clock("last-lamp", meal.start) <= time(13)


def test_insert_leaves_noon_when_its_wish_does():
    """Noon is no special case: an insert that now wants a low sun behind rolls in a low sun.

    Shot 8 looks west from the road, so its back sun is that of the late afternoon. It is made as
    weighty as a wide and has no frames, so that it is worth the move; with its own wish it stays at
    noon even so.
    """
    day = day_named("last-lamp")
    low = Wish(side=SunSide.BACK, elevation=Band(low_deg=20.0, high_deg=35.0, give_deg=5.0))
    heights = []
    for wish in (day.shot("8").wish, low):
        insert = replace(day.shot("8"), wish=wish, weight=5.0, control=0.0)
        shots = tuple(insert if s.id == "8" else s for s in day.shots)
        plan = make_plan(replace(day, shots=shots))
        heights.append(next(s.sun_elevation_deg for s in plan.shots if s.shot.id == "8"))
    assert day.shot("8").size is Size.INSERT
    assert heights[0] > 60.0
    assert heights[1] < 40.0


def test_late_ridge_makes_the_shade_before_the_ridge_clears():
    """The three shots of the fog are done before direct sun reaches the bridge."""
    day, shots = plan_of("late-ridge").day, planned("late-ridge")
    fit = fit_day(day)
    sunlit = direct_share(day.spot("bridge").horizon, fit.track) > 0.0
    clears = fit.time_of(int(sunlit.argmax()))
    assert time(9) <= clock("late-ridge", clears) <= time(11)
    shade = [one for one in shots.values() if one.shot.wish.side is SunSide.SHADE]
    assert {one.shot.id for one in shade} == {"1A", "1B", "1C"}
    assert all(one.roll_end <= clears for one in shade)


def test_late_ridge_sends_the_child_home_at_one():
    """Every shot with Neža ends by 13:00, though some of the valley's best sun is later."""
    hers = [one for one in plan_of("late-ridge").shots if "Neža" in one.shot.cast]
    assert len(hers) == 4
    assert all(clock("late-ridge", one.roll_end) <= time(13) for one in hers)


def test_late_ridge_ends_in_the_gap():
    """The held wide at the bank is the last, with the sun in its gap at 11° to 18°."""
    last = plan_of("late-ridge").shots[-1]
    assert last.shot.id == "4B"
    assert 11.0 <= last.sun_elevation_deg <= 18.0


def test_late_ridge_backlights_both_sides_of_its_talk():
    """The talk's two faces look opposite ways and have their sun behind, hours apart.

    Seen from its lens the sun stands as far round, to the other side, and as high. Matched by the
    sun in the world, no order has both in that light.
    """
    day, shots = plan_of("late-ridge").day, planned("late-ridge")
    his, hers = shots["3E"], shots["3C"]
    assert abs(his.shot.look_deg - hers.shot.look_deg) == 180.0
    assert hers.roll_start - his.roll_end > timedelta(hours=4)
    assert 35.0 <= his.sun_from_lens_deg <= 70.0
    assert -70.0 <= hers.sun_from_lens_deg <= -35.0
    assert abs(his.sun_from_lens_deg + hers.sun_from_lens_deg) <= 10.0
    assert abs(his.sun_elevation_deg - hers.sun_elevation_deg) <= 10.0
    assert min(his.fit, hers.fit) >= 0.95
    assert day.matched_by("talk") is MatchBy.LENS
    by_sun = make_plan(replace(day, matches={}))
    assert by_sun.status == "proven"
    assert by_sun.points < plan_of("late-ridge").points
    assert min(one.fit for one in by_sun.shots if one.shot.match == "talk") < 0.9


def test_late_ridge_waits_for_the_face_whose_frame_stands_far_off():
    """Built at 09:25, 3E waits for the sun; frames that stood nearer would make up for more."""
    day, his = plan_of("late-ridge").day, planned("late-ridge")["3E"]
    assert his.wait_min == 25
    nearer = tuple(replace(s, control=None) if s.id == "3E" else s for s in day.shots)
    far, near = fit_day(day), fit_day(replace(day, shots=nearer))
    built = far.minute_of(his.roll_start) - his.wait_min
    assert far.shots["3E"].mean[built] < 0.7
    assert near.shots["3E"].mean[built] > 0.8


def test_late_ridge_hangs_its_frame_where_the_faces_are_around_noon():
    """Under it roll the shots from half past eleven to one; the wide stands before, in its sun.

    In October the sun stays below 45° and the frame changes no point. At half past eight, when the
    sun has not been on the barn yet, it would have to stand too far off to be of any use.
    """
    plan = plan_of("late-ridge")
    under = [one for one in plan.shots if plan.day.is_under_overhead(one.shot)]
    assert [one.shot.id for one in under] == ["2B", "2C", "2E", "2D"]
    assert all(time(11, 30) <= clock("late-ridge", one.roll_start) <= time(13) for one in under)
    rigs = tuple(Rig(name=rig.name, overhead=False) for rig in plan.day.rigs)
    bare = score(fit_day(replace(plan.day, rigs=rigs)), plan.timetable)
    assert bare.total == plan.points
    fit = fit_day(plan.day)
    for one in under:
        control = fit.shots[one.shot.id].control
        assert control[fit.minute_of(one.roll_start)] == plan.day.control(one.shot) > 0.0
        assert control[fit.minute_of(plan.day.hours.crew_call) + 90] == 0.0


def test_ferry_waits_for_no_film():
    """The pinned shot rolls at ten to five."""
    assert clock("ferry-light", planned("ferry-light")["11"].roll_start) == time(16, 50)


def test_ferry_light_makes_its_dusk_after_sunset():
    """Both dusk shots roll with the sun below the horizon, all others above it."""
    for one in plan_of("ferry-light").shots:
        assert (one.sun_elevation_deg < -0.8) == (one.shot.wish.side is SunSide.DUSK)


def test_ferry_light_has_no_noon_to_hide_from():
    """At 69° north in February the sun stays below 15°: top light costs no shot anything."""
    assert max(one.sun_elevation_deg for one in plan_of("ferry-light").shots) < 15.0
    for shot in fit_day(plan_of("ferry-light").day).shots.values():
        assert shot.parts.get("top light", shot.fit[:0] + 1.0).min(initial=1.0) == 1.0


def test_an_actor_who_leaves_is_named_and_not_the_light():
    """Shot 9 stands after 8, whose sun is right for an hour more, as Eilert leaves at 15:30."""
    why = planned("ferry-light")["9"].why
    assert why.endswith("after 8, for which Eilert is here only until 15:30")


@pytest.mark.parametrize(
    ("name", "shot_id", "at_once", "says"),
    [
        ("last-lamp", "10", "13:45", "wins 4925 points, the wait costs 200, the rest would be"),
        ("late-ridge", "3E", "09:25", "wins 1040 points, the wait costs 150, the rest would be"),
        ("ferry-light", "7", "13:40", "wins 328 points, the time would be waited later in any"),
    ],
)
def test_what_a_wait_costs_is_what_the_day_without_it_wins(name, shot_id, at_once, says):
    """The solver asked for the shot at once wins as much waiting back as the plan says it costs."""
    told = planned(name)[shot_id].wait_for
    assert says in told
    solved = solve_day(day_named(name))
    asked = Asked(shots=(shot_id,), at=(at_once,))
    found = price(solved, read_decision(solved.fit.day, asked))
    told_cost = re.search(r"the wait costs (\d+)", told)
    cost = int(told_cost.group(1)) if told_cost else 0
    assert found.plan.score.waiting == plan_of(name).score.waiting - cost


def test_nobody_eats_while_the_last_light_rolls():
    """The second meal falls due as 16, held and last, begins: it is handed out before."""
    plan = plan_of("last-lamp")
    lines = {line.kind: line.text for line in day_lines(plan)}
    assert lines[LineKind.SECOND_MEAL] == "second meal, 30 min: hand it out before 16 rolls"
    early = replace(plan, second_meal_due=plan.shots[0].roll_start)
    lines = {line.kind: line.text for line in day_lines(early)}
    assert lines[LineKind.SECOND_MEAL] == "second meal, 30 min, eaten as the work goes on"
