"""What an argument says, on days of a few shots, with the figures counted by hand beside them.

Every check here catches a fault that none of the larger days shows.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from oracles.days import at, random_day

from sunsched.day.costs import Costs
from sunsched.day.demand import RollAt
from sunsched.day.model import CastMember, Day, Hours, Meal, Move, Shot, Size, Span, Spot
from sunsched.day.wish import Band, Wish
from sunsched.errors import DayImpossible
from sunsched.light.fit import fit_day
from sunsched.plan.crew import crew_figures
from sunsched.plan.timetable import Roll, Timetable
from sunsched.solver.solve import make_plan
from sunsched.solver.solved import solve_day
from sunsched.whatif.compare.compare import compare, compare_source, compare_two
from sunsched.whatif.compare.hints import Hint, find_hints
from sunsched.whatif.orders.order import Order
from sunsched.whatif.orders.put_on_clock import Desk, put_on_clock
from sunsched.whatif.orders.sides import Source, put_side
from sunsched.whatif.price.cells import Cell, Known
from sunsched.whatif.price.half_hours import price_table
from sunsched.whatif.price.price import price
from sunsched.whatif.price.rules import lifted_days, rule_prices
from sunsched.whatif.price.wrap import wrap_curve


def a_shot(shot_id: str, **changes: Any) -> Shot:
    """Give an insert at the pans in any light: setup 10, adjust 5, roll 20, weight 1."""
    shot = Shot(
        id=shot_id,
        description="a shot",
        size=Size.INSERT,
        spot="pans",
        look_deg=0.0,
        wish=Wish(),
        setup_min=10,
        adjust_min=5,
        shoot_min=20,
        weight=1.0,
        control=0.0,
    )
    return replace(shot, **changes)


def sun_in(low_deg: float, high_deg: float, give_deg: float = 5.0) -> Wish:
    """Ask for the sun in a band of azimuths.

    On the days made here it is east at 07:28, south at 11:57 and west at 16:25.
    """
    return Wish(azimuth=Band(low_deg=low_deg, high_deg=high_deg, give_deg=give_deg))


def a_day(
    *shots: Shot,
    call: int = 360,
    wrap: int = 1080,
    hard_wrap: int | None = None,
    meal: tuple[int, int] = (1080, 1080),
    **changes: Any,
) -> Day:
    """Give a day at latitude 40 on 11 May, in minutes after midnight UTC; moves take 20."""
    day = random_day(0, 3)
    hours = Hours(
        crew_call=at(call),
        first_roll=at(call),
        wrap=at(wrap),
        hard_wrap=at(wrap if hard_wrap is None else hard_wrap),
    )
    facts: dict[str, Any] = {
        "place": replace(day.place, latitude_deg=40.0),
        "spots": (Spot(name="pans"), Spot(name="mill")),
        "shots": shots,
        "hours": hours,
        "meal": Meal(earliest=at(meal[0]), latest=at(meal[1]), length_min=60),
        "cast": (),
        "moves": (),
        "costs": Costs(after_meal=0, wait=0),
    }
    return replace(day, **(facts | changes))


def an_order(*ids: str, times: tuple[int, ...] = (), meal_after: int | None = None) -> Order:
    """Give an order, with times for its first shots."""
    given = (*(at(minute) for minute in times), *(None for _ in ids[len(times) :]))
    return Order(ids=ids, times=given, meal_after=meal_after)


def hints_of(day: Day, order: Order) -> tuple[Hint, ...]:
    """Give the hints for an order on the plan's grid."""
    desk = Desk(fit=fit_day(day), grid_min=5)
    return find_hints(desk, put_on_clock(desk, order))


def changes_of(day: Day, order: Order) -> list[str]:
    """Give what each hint changes, without what it wins."""
    return [hint.text.split(":")[0] for hint in hints_of(day, order)]


def two_builds() -> Day:
    """Give a day of two shots at the pans and one at the mill."""
    return a_day(a_shot("1"), a_shot("2"), a_shot("3", spot="mill"))


# Compare.


def test_each_crew_is_counted_from_its_own_timetable():
    """Theirs wraps at 07:35; ours makes all in any light and goes home at 07:45."""
    day = two_builds()
    plan = make_plan(day)
    found = compare(fit_day(day), plan, an_order("1", "2", "3", times=(370, 395, 435)))
    assert found.their_crew.wrap == at(455)
    assert found.our_crew.wrap == plan.shots[-1].roll_end == at(465)


def test_order_is_given_only_where_all_its_times_are():
    """One time of three leaves two to be found: the order is timed, not given."""
    day = two_builds()
    fit, plan = fit_day(day), make_plan(day)
    assert compare(fit, plan, an_order("1", "2", "3", times=(370,))).theirs.status == "timed"
    times = (370, 395, 445)
    assert compare(fit, plan, an_order("1", "2", "3", times=times)).theirs.status == "given"


def test_changeovers_of_theirs_start_from_the_shot_before():
    """Setup 10, then an adjust of 5 in the same build, then a move of 20 and a setup of 10."""
    day = two_builds()
    order = an_order("1", "2", "3", times=(370, 395, 455))
    shots = compare(fit_day(day), make_plan(day), order).theirs.shots
    parts = [(one.build_min, one.move_min, one.is_adjust, one.wait_min) for one in shots]
    # 3 may start to move at 06:55 and is built at 07:25; it rolls at 07:35.
    assert parts == [(10, 0, False, 0), (5, 0, True, 0), (10, 20, False, 10)]


def test_sun_of_theirs_is_that_of_the_middle_of_the_roll():
    """From 11:47 to 12:07 the sun goes through the south: it is there at 11:57, not before."""
    day = a_day(a_shot("1", look_deg=90.0))
    (one,) = compare(fit_day(day), make_plan(day), an_order("1", times=(707,))).theirs.shots
    # Noon at longitude 0 is 3.6 minutes before 12:00 on 11 May (equation of time, from memory);
    # a minute is half a degree of azimuth or more there, and the roll starts 7° before.
    assert one.sun_azimuth_deg == pytest.approx(180.0, abs=1.0)
    assert one.sun_from_lens_deg == pytest.approx(90.0, abs=1.0)
    assert one.sun_elevation_deg == pytest.approx(67.9, abs=0.1)  # 90 − 40 + 17.9 of declination


def test_part_that_only_theirs_asks_for_is_whole_in_ours():
    """Their day wants 1 above 30° and rolls it at 06:10, at 14°; ours wants nothing of the sun."""
    ours = a_day(a_shot("1"))
    high = Wish(elevation=Band(low_deg=30.0, high_deg=90.0, give_deg=5.0))
    theirs = replace(ours, shots=(a_shot("1", wish=high),))
    order = an_order("1", times=(370,))
    sides = [
        put_side(Source(name=name, day=day, order=order), 5)
        for name, day in (("a", ours), ("b", theirs))
    ]
    (found,) = compare_two(sides[0], sides[1]).differences
    assert found.lost_to == "elevation"
    assert found.part is not None
    assert found.part[0] == 1.0
    assert found.part[1] == pytest.approx(0.018, abs=0.001)
    second = Source(name="b", day=theirs, order=order)
    (found,) = compare_source(fit_day(ours), make_plan(ours), second).differences
    assert found.lost_to == "elevation"
    assert found.part is not None
    assert found.part[0] == 1.0
    assert found.part[1] == pytest.approx(0.018, abs=0.001)


@pytest.mark.parametrize(("start", "inside_min"), [(-10, 10), (1430, 11)])
def test_part_of_a_roll_that_leaves_the_day_is_nothing_outside(start, inside_min):
    """At the far side of the earth noon is at 00:00 UTC: half of the twenty minutes are in the day.

    The elevation is met in all of them; the minute from 24:00 is the last of the day.
    """
    high = Wish(elevation=Band(low_deg=30.0, high_deg=90.0, give_deg=5.0))
    day = a_day(a_shot("1", wish=high), call=0, wrap=1440, meal=(1440, 1440))
    day = replace(day, place=replace(day.place, longitude_deg=180.0))
    found = compare(fit_day(day), make_plan(day), an_order("1", times=(start,)))
    (one,) = found.differences
    assert (one.lost_to, one.part) == ("elevation", (1.0, inside_min / 20))


# Crew.


@pytest.mark.parametrize(
    ("meal", "idle_min"),
    [
        (430, 40),  # ten of its minutes while 1 still rolls: 20 in the gap, to 07:20, 07:40
        (450, 30),  # all 30 in the gap
        (490, 50),  # from 08:10, and at 08:20 the gap is over
        (300, 60),  # before all of it
        (510, 60),  # after all of it
    ],
)
def test_only_the_meal_in_a_gap_is_taken_from_it(meal, idle_min):
    """1 rolls to 07:20 and the build of 2 starts at 08:20: an hour, less the meal in it."""
    day = a_day(a_shot("1"), a_shot("2"), call=410)
    day = replace(day, meal=replace(day.meal, length_min=30))
    rolls = (
        Roll(shot_id="1", changeover_start=at(410), roll_start=at(420)),
        Roll(shot_id="2", changeover_start=at(500), roll_start=at(505)),
    )
    assert crew_figures(day, Timetable(rolls=rolls, meal_start=at(meal))).idle_min == idle_min


def test_actor_does_not_wait_less_for_a_meal_after_the_release():
    """Ana rolls 07:00 to 07:20 and 08:25 to 08:45; of lunch at 08:30 15 minutes are in her day."""
    day = a_day(a_shot("1", cast=("Ana",)), a_shot("2", cast=("Ana",)))
    day = replace(day, cast=(CastMember(name="Ana"),))
    rolls = (
        Roll(shot_id="1", changeover_start=at(410), roll_start=at(420)),
        Roll(shot_id="2", changeover_start=at(500), roll_start=at(505)),
    )
    (late,) = crew_figures(day, Timetable(rolls=rolls, meal_start=at(510))).cast
    (none,) = crew_figures(day, Timetable(rolls=rolls)).cast
    assert (none.waiting_min, late.waiting_min) == (65, 50)


# Hints.


def test_three_hints_at_the_most():
    """Four pairs the wrong way round, at dawn: three swaps mend two each, and times let go win."""
    shots = [a_shot(f"{k}", after=() if k % 2 else (f"{k - 1}",)) for k in range(1, 9)]
    ids = ("2", "1", "4", "3", "6", "5", "8", "7")
    order = an_order(*ids, times=tuple(range(370, 570, 25)))
    assert changes_of(a_day(*shots), order) == [
        f"timed anew, swap {one} and {one + 1}" for one in (2, 4, 6)
    ]


def test_hint_says_that_a_shot_comes_first_after_the_meal():
    """1 wants the early afternoon, 2 and 3 the morning, and no row of the order is the meal."""
    shots = (
        a_shot("1", wish=sun_in(200, 230)),
        a_shot("2", wish=sun_in(110, 170)),
        a_shot("3", wish=sun_in(110, 170), after=("2",)),
    )
    day = a_day(*shots, call=540, meal=(720, 720))
    assert changes_of(day, an_order("1", "2", "3")) == [
        "move 1 to the end of the day, first after the meal"
    ]
    moved = an_order("1", "2", "3", meal_after=0)
    assert not any("first after the meal" in text for text in changes_of(day, moved))


def test_hint_counts_company_moves_in_words():
    """1 and 2 want the morning at the pans, 3 and 4 any of it at the mill: one move is enough."""
    low, wide = sun_in(75, 85), sun_in(75, 120)
    shots = (
        a_shot("1", wish=low),
        a_shot("2", wish=low),
        a_shot("3", wish=wide, spot="mill"),
        a_shot("4", wish=wide, spot="mill"),
    )
    (hint,) = hints_of(a_day(*shots[:3]), an_order("1", "3", "2"))
    assert (hint.moves_more, hint.text.split(", ")[-1]) == (-1, "1 company move fewer")
    (hint,) = hints_of(a_day(*shots), an_order("1", "3", "2", "4"))
    assert (hint.moves_more, hint.text.split(", ")[-1]) == (-2, "2 company moves fewer")
    # Where the sun wants 1 and 3 first, a move more is worth its 500 points.
    mill = a_shot("3", wish=low, spot="mill", after=("1",))
    late = (shots[0], a_shot("2", wish=sun_in(100, 130)), mill)
    (hint,) = hints_of(a_day(*late), an_order("1", "2", "3"))
    assert (hint.moves_more, hint.text.split(", ")[-1]) == (1, "1 company move more")


@pytest.mark.parametrize(
    ("meal_after", "text"),
    [
        (0, "move 3 before the meal"),
        (1, "move 3 to the start of the day"),
        (3, "move 3 to the start of the day"),
    ],
)
def test_hint_names_the_meal_only_where_it_stands_beside(meal_after, text):
    """1 comes after 3, and 2 after 1: 3 has to come before both, wherever the meal is."""
    shots = (a_shot("1", after=("3",)), a_shot("2", after=("1",)), a_shot("3"))
    day = a_day(*shots, meal=(360, 1080))
    assert changes_of(day, an_order("1", "2", "3", meal_after=meal_after)) == [text]


def test_hint_that_wins_light_and_loses_points_is_none():
    """A shot that ends at the wrap, 08:02, wins light on the grid at 08:05 and pays overtime.

    The sun climbs 0.19° a minute over a give of 20°: 10 points a minute of a shot worth 1000, 12
    for each past wrap. Five minutes later win 28 and pay 36 for three of them over.
    """
    high = Wish(elevation=Band(low_deg=50.0, high_deg=90.0, give_deg=20.0))
    day = a_day(a_shot("1", wish=high), wrap=482, hard_wrap=600)
    order = an_order("1", times=(462,))
    day = replace(day, costs=Costs(after_meal=0, wait=0, overtime=12))
    assert hints_of(day, order) == ()
    day = replace(day, costs=Costs(after_meal=0, wait=0, overtime=6))  # 28 for 18
    assert changes_of(day, order) == ["same order, timed anew"]


# Price.


def test_nearest_time_is_named_however_far_it_is():
    """7 is asked for at 00:20, and its spot opens at 17:00 for a setup of 10: 17:10 or 17:20.

    The overtime from 16:00 on costs more than 7 is worth, which is no matter of what is possible.
    """
    open_late = Spot(name="mill", open=(Span(start=at(1020), end=at(1060)),))
    day = a_day(
        a_shot("7", spot="mill", wish=sun_in(270, 276)),
        a_shot("8"),
        call=0,
        wrap=960,
        hard_wrap=1430,
        meal=(700, 1430),
        spots=(Spot(name="pans"), open_late),
    )
    with pytest.raises(DayImpossible, match=r"nearest that is possible: 7 rolls at 17:10$"):
        price(solve_day(day), (RollAt(shot="7", time=at(20)),))


def test_nearest_time_is_nearest_even_where_light_is_better_later():
    """7 wants the afternoon sun and its spot opens at 12:00: six hours late is nearer than ten."""
    day = a_day(
        a_shot("7", spot="mill", wish=sun_in(270, 276)),
        a_shot("8"),
        call=300,
        wrap=1140,
        hard_wrap=1140,
        meal=(700, 1140),
        spots=(Spot(name="pans"), Spot(name="mill", open=(Span(start=at(720), end=at(1140)),))),
    )
    with pytest.raises(DayImpossible, match=r"nearest that is possible: 7 rolls at 12:10$"):
        price(solve_day(day), (RollAt(shot="7", time=at(360)),))


def test_nearest_time_is_nearest_even_where_it_costs_another_shot():
    """8 can start at 09:45 alone and is worth five others; 7 may have that time all the same."""
    azimuth = fit_day(a_day(a_shot("1"))).track.azimuth_deg
    wish = sun_in(float(azimuth[585]) - 0.01, float(azimuth[588]) + 0.01, 0.0)
    day = a_day(
        a_shot("7", shoot_min=4, adjust_min=1, wish=sun_in(60, 200)),
        a_shot("8", shoot_min=4, adjust_min=1, wish=wish, hold=True, weight=5.0),
        call=575,
        wrap=800,
        hard_wrap=800,
        meal=(800, 800),
    )
    with pytest.raises(DayImpossible, match=r"nearest that is possible: 7 rolls at 09:45$"):
        price(solve_day(day), (RollAt(shot="7", time=at(580)),))


def crowded_cells() -> dict[str, dict[int, Cell]]:
    """Give the half-hours of a day of one hour, in which only one of two shots can be made."""
    wish = sun_in(60, 110)
    shots = (
        a_shot("1", wish=wish, weight=2.0, shoot_min=30),
        a_shot("2", wish=wish, shoot_min=30, spot="mill"),
    )
    table = price_table(solve_day(a_day(*shots, call=420, wrap=480)))
    minutes = (420, 450, 480)
    return {row.shot_id: dict(zip(minutes, row.cells, strict=True)) for row in table.rows}


def test_shot_that_is_left_out_has_the_price_of_its_times():
    """1 is worth 2000 points and costs as many left out, 2 half of that: 2 for 1 loses 2000."""
    cells = crowded_cells()
    assert (cells["2"][450].known, cells["2"][450].least, cells["2"][450].most) == (
        Known.EXACT,
        2000,
        2000,
    )
    assert cells["1"][450].most == 0


def test_time_between_two_that_are_worse_than_a_cut_may_be_better():
    """2 is held for the hour from 10:00, 3 for 25 minutes from 11:30; each costs 6000 to lose.

    1 at 10:00, 10:30 or 11:30 loses one of them, a cut of 1 loses 2000. At 11:00, once 2 is done
    by 10:50, 1 loses some of its own 1000 points.
    """
    shots = (
        a_shot("1", wish=sun_in(80, 90, give_deg=100.0)),
        a_shot("2", wish=sun_in(122.8, 147.2, 0.0), hold=True, weight=3.0, shoot_min=50),
        a_shot("3", wish=sun_in(163.5, 182.0, 0.0), hold=True, weight=3.0),
    )
    solved = solve_day(a_day(*shots, wrap=715, meal=(715, 715)))
    row = price_table(solved).rows[0]
    cells = {cell.time: cell for cell in row.cells}
    assert row.cut == 2000
    worse = [cells[at(minute)].known for minute in (600, 630, 690)]
    assert worse == [Known.WORSE_THAN_CUT] * 3
    kept = int(solved.fit.shots["1"].points[660])
    assert 0 < kept < 1000
    assert (cells[at(660)].known, cells[at(660)].most) == (Known.EXACT, 1000 - kept)


# The prices of the rules.


def ruled_day(hard_wrap: int) -> Day:
    """Give a day with a rule of each kind that a day can be without, and three moves."""
    moves = (
        Move(between=("pans", "mill"), minutes=25),
        Move(between=("pans", "quay"), minutes=35),
        Move(between=("mill", "quay"), minutes=0),
    )
    day = a_day(
        a_shot("1"),
        a_shot("2", after=("1",)),
        hard_wrap=hard_wrap,
        meal=(480, 720),
        moves=moves,
        spots=(Spot(name="pans"), Spot(name="mill"), Spot(name="quay")),
        costs=Costs(wait=0, match=0, after_meal=0, wide_to_tight=0, rig_change=0),
    )
    return replace(day, hours=replace(day.hours, first_roll=at(390)))


def test_every_rule_of_a_day_is_priced_and_no_other():
    """Overtime costs nothing where the hard wrap leaves no minute of it; a move of 0 is no rule."""
    rules = [
        "2 comes after 1",
        "the meal and its latest start",
        "the meal starts at 08:00 or later",
        "nothing rolls before 06:30",
        "nothing rolls past 18:00",
        "the move from pans to mill takes 25 min",
        "the move from pans to quay takes 35 min",
        "a company move costs 500 points",
    ]
    assert [lifted.rule for lifted in lifted_days(ruled_day(1080))] == rules
    later = [lifted.rule for lifted in lifted_days(ruled_day(1081))]
    assert later[4:5] + later[7:8] == [
        "nothing rolls past 18:01",
        "overtime costs 20 points a minute",
    ]


def test_rule_is_lifted_alone():
    """Without one rule the day has all others, and two of its three moves take what they took."""
    day = ruled_day(1080)
    lifted = {one.rule: one.day for one in lifted_days(day)}
    for rule, minutes in (
        ("the move from pans to mill takes 25 min", [0, 35, 0]),
        ("the move from pans to quay takes 35 min", [25, 0, 0]),
    ):
        assert [move.minutes for move in lifted[rule].moves] == minutes
        assert replace(lifted[rule], moves=day.moves) == day
    meal = replace(day.meal, earliest=at(360))
    assert lifted["the meal starts at 08:00 or later"] == replace(day, meal=meal)
    hours = replace(day.hours, first_roll=at(360))
    assert lifted["nothing rolls before 06:30"] == replace(day, hours=hours)
    hours = replace(day.hours, hard_wrap=at(360 + 24 * 60))
    assert lifted["nothing rolls past 18:00"] == replace(day, hours=hours)


def counted(no: int) -> Callable[[], bool]:
    """Give a question that is answered with no this many times, and then with yes."""
    asked = 0

    def is_ended() -> bool:
        nonlocal asked
        asked += 1
        return asked > no

    return is_ended


def test_rule_whose_solve_is_ended_keeps_its_bound():
    """A solve ended at its first look says at most how much may be won, and that it is open."""
    solved = solve_day(random_day(4, 5, ("a", "a")))
    found = rule_prices(solved, is_ended=counted(1))  # the first rule is begun, the others are not
    tried = [one for one in found if one.most is not None]
    first = lifted_days(solved.fit.day)[0]
    assert [one.rule for one in tried] == [first.rule]
    assert tried[0].gain == 0
    assert tried[0].most is not None
    assert tried[0].most > 0
    assert not tried[0].is_proven
    assert not any(one.is_proven for one in found)


def test_rule_that_cannot_win_wins_nothing_and_no_less():
    """A pin at 07:33 has its three minutes of sun, which no start on the grid has: 0 is won.

    The sun stands in its band from 07:32 to 07:36; at 07:30 and 07:35 a third and two are
    met, and the little that is left past a band gives 6 points more.
    """
    day = a_day(a_shot("1"))
    azimuth = fit_day(day).track.azimuth_deg
    wish = sun_in(float(azimuth[452]) - 0.01, float(azimuth[456]) + 0.01, give_deg=0.0)
    day = replace(day, shots=(a_shot("1", wish=wish, pin=at(453), shoot_min=3),))
    solved = solve_day(day)
    assert solved.plan.points == 1000
    (free,) = (one for one in rule_prices(solved) if one.rule == "1 is pinned to 07:33")
    assert make_plan(replace(day, shots=(replace(day.shots[0], pin=None),))).points == 673
    assert (free.gain, free.most, free.is_proven, free.plan) == (0, 0, True, None)


# The curve of wraps.


def test_wraps_start_at_the_first_roll_and_have_no_overtime_before_wrap():
    """From 06:00 to 08:30, an hour past the hard wrap, are 11 quarters of an hour.

    A roll of 20 after a setup of 10 needs until 06:30; two with an adjust of 5 until 06:55.
    """
    wish = sun_in(60, 90)  # to 07:28
    shots = (a_shot("1", wish=wish), a_shot("2", wish=sun_in(95, 180)))  # from 07:57
    told: list[tuple[int, int]] = []
    found = wrap_curve(
        solve_day(a_day(*shots, wrap=420, hard_wrap=450)),
        progress=lambda now: told.append((now.done, now.whole)),
    )
    assert told == [(done, 11) for done in range(1, 12)]
    assert [point.wrap for point in found] == [at(minute) for minute in range(390, 511, 15)]
    overtime = {point.wrap: (point.overtime_min, point.overtime_points) for point in found}
    # Up to 07:30 only 1 has any light, and it is through at 06:30: no overtime, nor less than none.
    assert [overtime[at(minute)] for minute in (390, 405, 420)] == [(0, 0)] * 3
    # 2 has its sun from 08:00 to 08:20, 80 minutes past 07:00, at 20 each.
    assert overtime[at(510)] == (80, 1600)


def test_wraps_stand_on_the_steps_of_the_local_clock():
    """Kathmandu is 5 h 45 before UTC: wraps at :00 and :30 there are :15 and :45 here."""
    day = a_day(a_shot("1"), call=60, wrap=242, meal=(242, 242))  # 06:45 to 09:47 on its clock
    place = replace(day.place, timezone="Asia/Kathmandu", latitude_deg=27.7, longitude_deg=85.3)
    found = wrap_curve(solve_day(replace(day, place=place)), step_min=30)
    assert [point.wrap for point in found] == [at(minute) for minute in range(105, 286, 30)]
