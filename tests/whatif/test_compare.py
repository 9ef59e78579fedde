"""Another order against ours: how it is read, timed, judged, explained and put in words.

The times of an order are checked against every start and every meal that the judge allows, on
invented days of four shots; figures of the crew are counted by hand.
"""

from __future__ import annotations

import json
import zipfile
from dataclasses import replace
from datetime import timedelta
from itertools import combinations
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from odfdo import Cell, Document, Row, Table
from oracles.days import at, random_day
from seeds import few_first
from under_way import soonest_meals

from sunsched.day.costs import Costs
from sunsched.day.model import CastMember, Day, Meal, Shot, Size, Span
from sunsched.day.wish import Band, SunSide, Wish
from sunsched.errors import FolderError
from sunsched.folder.read import read_day
from sunsched.folder.store.write import save_revision
from sunsched.light.fit import DayFit, fit_day
from sunsched.plan.crew import crew_figures
from sunsched.plan.plan import Plan, place_changeovers
from sunsched.plan.rules import breaches, one_camera
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable
from sunsched.show.records.saved import revision_record
from sunsched.show.text.comparison import comparison_record, comparison_text
from sunsched.solver.instance.tables import SCALE, whole_points
from sunsched.solver.solve import make_plan
from sunsched.whatif.compare.compare import Comparison, compare
from sunsched.whatif.orders.best_times import best_timing, value_of
from sunsched.whatif.orders.order import Order, OrderReading, read_order
from sunsched.whatif.orders.put_on_clock import (
    Desk,
    case_of,
    ground_for,
    put_on_clock,
    timetable_of,
)

DATA = Path(__file__).parents[2] / "data"
GRID = 30
AD_ORDER = """\
id,what
1,boat
2,planes
3,Salma
4,Béchir
6,shavings
7,tea
5,mole
LUNCH,
8,plate
9,lamp out
10,crate
11,
12,
13,
14,
15,
16,
"""
CACHE: dict[str, Plan] = {}


def lamp_plan() -> Plan:
    """Give the plan of the demo day last-lamp, made once for all tests."""
    if not CACHE:
        CACHE["last-lamp"] = make_plan(read_day(DATA / "last-lamp"))
    return CACHE["last-lamp"]


def untimed(*ids: str, meal_after: int | None = None) -> Order:
    """Give an order without times."""
    return Order(ids=ids, times=(None,) * len(ids), meal_after=meal_after)


def turned(day: Day, seed: int) -> tuple[str, ...]:
    """Give the ids of a day, begun somewhere else."""
    ids = [shot.id for shot in day.shots]
    return tuple(ids[seed % len(ids) :] + ids[: seed % len(ids)])


def every_timing(fit: DayFit, ids: tuple[str, ...], late_min: int = 0):
    """Yield every timetable of an order on the grid, with the meal in each place and without."""
    day = fit.day
    call, wrap = (fit.minute_of(t) for t in (day.hours.crew_call, day.hours.hard_wrap))
    minutes = range(call - call % GRID, wrap + late_min + 1, GRID)
    shots = [day.shot(shot_id) for shot_id in ids]
    for starts in combinations(minutes, len(ids)):
        if any(b - a < one.shoot_min for a, b, one in zip(starts, starts[1:], shots, strict=False)):
            continue
        rolls = [(one, fit.time_of(m)) for one, m in zip(shots, starts, strict=True)]
        hungry = Timetable(rolls=place_changeovers(day, rolls, None), meal_start=None)
        if any(one_camera(fit, hungry)):
            continue  # nor with a meal between
        for meal in soonest_meals(day, rolls):
            yield Timetable(rolls=place_changeovers(day, rolls, meal), meal_start=meal)


def a_day(seed: int) -> Day:
    """Give a random day of four shots, two or three of them often in one match, without pins.

    Every degree of drift costs on days of even seeds, so that matches pull at the times.
    """
    day = random_day(seed, 4, ("a", "a", "b"), room_min=50)
    if seed % 2 == 0:
        day = replace(day, costs=replace(day.costs, match_free_deg=0.0, match_span_deg=30.0))
    return replace(day, shots=tuple(replace(shot, pin=None, after=()) for shot in day.shots))


# On days 14, 20 and 40 the suns of the matches must be looked for.
@pytest.mark.parametrize("seed", few_first([14, 20, 40, 5, *range(6, 14)], 4))
def test_untimed_order_is_timed_as_enumeration_would(seed):
    """No start, wait or meal that the judge allows is worth more; nor is any missed."""
    fit = fit_day(a_day(seed))
    ids = turned(fit.day, seed)
    found = put_on_clock(Desk(fit=fit, grid_min=GRID), untimed(*ids))
    worth = [score(fit, one).total for one in every_timing(fit, ids) if not breaches(fit, one)]
    assert found.obeys == bool(worth)
    if worth:
        assert breaches(fit, found.timetable) == ()
        assert score(fit, found.timetable).total == max(worth)


@pytest.mark.parametrize("seed", [7, 15, 16, 18, 22])
def test_order_that_breaks_rules_breaks_the_fewest(seed):
    """Where no times obey every rule, none with a whole meal break fewer, two hours late or not."""
    fit = fit_day(a_day(seed))
    ids = turned(fit.day, seed)
    found = put_on_clock(Desk(fit=fit, grid_min=GRID), untimed(*ids))
    found_again = [breaches(fit, one) for one in every_timing(fit, ids, late_min=120)]
    kept = ("meal", "one camera")
    counts = [
        len(every)
        for every in found_again
        if not any(one.rule in kept or "starts" in one.text for one in every)
    ]
    assert not found.obeys
    assert len(breaches(fit, found.timetable)) == min(counts)


@pytest.mark.parametrize("seed", [3, 8, 12])
def test_points_are_the_judges_and_differences_add_up(seed):
    """Both sides' points are the judge's; shots and costs together are the whole difference."""
    day = a_day(seed)
    fit, plan = fit_day(day), make_plan(day, grid_min=5)
    found = compare(fit, plan, untimed(*turned(day, seed + 1)))
    assert found.theirs.points == score(fit, found.theirs.timetable).total
    assert found.breaches == breaches(fit, found.theirs.timetable)
    lost = sum(one.points_lost for one in found.differences) + sum(found.costs_lost.values())
    assert lost == found.points_lost == plan.points - found.theirs.points
    assert [one.shot_id for one in found.differences[:4]] == [*turned(day, seed + 1)]


def test_ours_against_ours_is_no_difference():
    """Our own order without times comes out at our own times, and nothing wins anything back."""
    plan = lamp_plan()
    found = compare(fit_day(plan.day), plan, untimed(*(one.shot.id for one in plan.shots)))
    assert found.theirs.timetable == plan.timetable
    assert {one.points_lost for one in found.differences} == {0}
    assert (found.points_lost, found.costs_lost["moves"], found.hints) == (0, 0, ())
    assert found.their_crew == found.our_crew
    assert "both are worth the same" in comparison_text(found)


def lamp_comparison(text: str, tmp_path: Path) -> Comparison:
    """Compare the plan of last-lamp with an order written as CSV."""
    plan = lamp_plan()
    path = tmp_path / "ad.csv"
    path.write_text(text, encoding="utf-8")
    order = read_order(str(path), DATA / "last-lamp", plan.day).order
    return compare(fit_day(plan.day), plan, order)


def test_hint_keeps_its_promise(tmp_path):
    """An order changed as a hint says wins just the light, points and wrap that it promised."""
    found = lamp_comparison(AD_ORDER, tmp_path)
    assert len(found.hints) == 3
    for hint in found.hints:
        then = compare(fit_day(found.ours.day), found.ours, hint.order)
        assert then.theirs.points - found.theirs.points == hint.points_won > 0
        won = then.theirs.light_kept - found.theirs.light_kept
        assert won == pytest.approx(hint.light_won)
        assert won > 0
        crews = (then.their_crew, found.their_crew)
        wraps = [crew.wrap for crew in crews if crew.wrap is not None]
        assert wraps[0] - wraps[1] == timedelta(minutes=hint.wrap_later_min)
        assert crews[0].moves - crews[1].moves == hint.moves_more
        assert then.breaches == ()


def test_hint_mends_a_broken_rule_first(tmp_path):
    """16 is held for the evening and comes after 13; at the day's start it breaks two rules.

    The best single change breaks fewer, and says how many are left.
    """
    ids = ["16", "1", "5", "2", "4", "3", "7", "6", "8", "9", "10", "11", "12", "13", "14", "15"]
    found = lamp_comparison("id\n" + "\n".join(ids) + "\n", tmp_path)
    assert [breach.rule for breach in found.breaches] == ["after", "hold"]
    assert not found.second.clocked.obeys
    first = found.hints[0]
    assert first.text.startswith("move 16 to the end of the day: ")
    assert first.text.endswith(", no rule broken, not 2")
    assert first.breaches_more == -2
    text = comparison_text(found)
    assert "breaks a rule (after): 16 rolls before 13, which must come first" in text
    assert "breaks a rule (hold): 16 is held and rolls 25 min outside its sun" in text


@pytest.mark.slow
def test_first_hint_is_the_best_single_change(tmp_path):
    """Of every shot put anywhere else, every two swapped and every other meal, none wins more."""
    found = lamp_comparison(AD_ORDER, tmp_path)
    day = found.ours.day
    fit, desk = fit_day(day), Desk(fit=fit_day(day), grid_min=5)
    row = [*found.order.ids]
    row.insert(found.order.meal_after or 0, "meal")
    rows = set()
    for a in range(len(row)):
        for b in range(len(row)):
            moved = [*row[:a], *row[a + 1 :]]
            moved.insert(b, row[a])
            swapped = [*row]
            if "meal" not in (row[a], row[b]):
                swapped[a], swapped[b] = row[b], row[a]
            rows |= {tuple(moved), tuple(swapped)}
    best = 0
    for changed in rows:
        order = untimed(
            *(one for one in changed if one != "meal"), meal_after=changed.index("meal")
        )
        clocked = put_on_clock(desk, order)
        if not breaches(fit, clocked.timetable):
            worth = score(fit, clocked.timetable)
            if sum(worth.light.values()) > sum(found.theirs.score.light.values()):
                best = max(best, worth.total)
    assert best - found.theirs.points == found.hints[0].points_won


def test_hint_wins_light_and_not_only_points():
    """3 between the others costs a move more and no light, which is no matter of the sun."""
    day = small_day()
    any_light = Wish(elevation=Band(low_deg=-90.0, high_deg=90.0, give_deg=5.0))
    day = replace(day, shots=tuple(replace(shot, wish=any_light) for shot in day.shots))
    found = compare(fit_day(day), make_plan(day), untimed("1", "3", "2"))
    paid = ("moves", "rig_changes", "waiting")
    assert found.points_lost == sum(found.costs_lost[name] for name in paid) > 0
    assert found.hints == ()


def test_hints_are_words_an_ad_would_use(tmp_path):
    """Shot 5 wants the low sun on its side, so it belongs to the morning: that is the first hint.

    Where a side light belongs is common practice, no source; the sun's side is the shot list's.
    """
    text = comparison_text(lamp_comparison(AD_ORDER, tmp_path))
    assert "- move 5 after 1: +5.0% light, +2704 points, wrap unchanged" in text
    assert "- move 7 after the meal: +3.4% light" in text


def test_meal_stands_where_the_order_puts_it(tmp_path):
    """A meal row is kept to its place; without one the meal goes where it is best."""
    bare = AD_ORDER.replace("LUNCH,\n", "")
    found = lamp_comparison(bare.replace("8,plate\n", "8,plate\nLUNCH,\n"), tmp_path)
    meal = found.theirs.meal
    assert meal is not None
    before = [one.shot.id for one in found.theirs.shots if one.roll_end <= meal.start]
    assert before[-1] == "8"
    free = lamp_comparison(bare, tmp_path)
    assert free.theirs.points > found.theirs.points


def test_meal_that_the_order_has_is_had():
    """Three shots from 05:30 are through before lunch is due, yet it stands where it was put."""
    clocked = put_on_clock(Desk(fit=fit_day(small_day()), grid_min=5), untimed("1", "2", "3"))
    assert clocked.timetable.meal_start is None
    order = untimed("1", "2", "3", meal_after=2)
    clocked = put_on_clock(Desk(fit=fit_day(small_day()), grid_min=5), order)
    meal = clocked.timetable.meal_start
    assert meal is not None
    assert [roll.roll_start > meal for roll in clocked.timetable.rolls] == [False, False, True]


def small_day(**changes) -> Day:
    """Give a day of three inserts in any light from 05:30 UTC, lunch from 08:00, and Ana.

    Setup 10, adjust 5, roll 20; 1 and 2 at the pans, 3 at the mill, 20 minutes away.
    """
    day = random_day(0, 3)
    shots = tuple(
        Shot(
            id=shot_id,
            description="a shot",
            size=Size.INSERT,
            spot=spot,
            look_deg=0.0,
            wish=Wish(),
            setup_min=10,
            adjust_min=5,
            shoot_min=20,
            weight=1.0,
            rig=rig,
            cast=cast,
        )
        for shot_id, spot, rig, cast in (
            ("1", "pans", "", ("Ana",)),
            ("2", "pans", "", ()),
            ("3", "mill", "silk", ("Ana",)),
        )
    )
    hours = replace(
        day.hours, crew_call=at(330), first_roll=at(330), wrap=at(620), hard_wrap=at(900)
    )
    facts: dict[str, Any] = {
        "shots": shots,
        "hours": hours,
        "meal": Meal(earliest=at(480), latest=at(600), length_min=30),
        "spots": tuple(replace(spot, open=()) for spot in day.spots),
        "cast": (CastMember(name="Ana"),),
        "moves": (),
    }
    return replace(day, **(facts | changes))


def timed(*rolls: tuple[str, int], meal: int | None = None, meal_after: int | None = None) -> Order:
    """Give an order with times in minutes after midnight UTC."""
    return Order(
        ids=tuple(shot_id for shot_id, _ in rolls),
        times=tuple(at(minute) for _, minute in rolls),
        meal_after=meal_after,
        meal_start=None if meal is None else at(meal),
    )


def test_crew_figures_by_hand():
    """1 rolls 07:00 to 07:20, 2 at 08:00, lunch 08:20, 3 at 10:10 to 10:30: ten minutes over.

    2 is built by 07:25 and waits 35 minutes; 3 takes 20 of moving and 10 of setup from 08:50, so it
    waits 50. From the call at 05:30 to the first build at 06:50 nobody has anything to do. Ana is
    on set for 3 h 30, of which 40 minutes are her rolls and 30 lunch: 140 wait.
    """
    day = small_day()
    order = timed(("1", 420), ("2", 480), ("3", 610), meal=500, meal_after=2)
    clocked = put_on_clock(Desk(fit=fit_day(day), grid_min=5), order)
    crew = crew_figures(day, clocked.timetable)
    assert (crew.wrap, crew.overtime_min, crew.meal_start) == (at(630), 10, at(500))
    assert (crew.moves, crew.rig_changes) == (1, 1)
    assert (crew.waiting_min, crew.idle_min) == (85, 80)
    # Three changeovers of 10, 5 and 30 minutes are paid for too.
    assert score(fit_day(day), clocked.timetable).waiting == 10 * (85 + 80 + 45)
    (ana,) = crew.cast
    assert (ana.first_call, ana.last_release, ana.waiting_min) == (at(420), at(630), 140)
    assert crew.cast_wait_min == 140


def test_idle_is_a_wait_with_nothing_to_build():
    """The mill opens at 09:00: from 07:20 the crew has nothing to do until it moves at 08:40.

    Nor has it from the call at 05:30 to 06:50.
    Lunch is due by 10:00 at the latest, and the day ends before. Were waiting not free here, they
    would eat meanwhile.
    """
    day = replace(small_day(), costs=Costs(wait=0))
    spots = tuple(
        replace(spot, open=(Span(start=at(540), end=at(800)),) if spot.name == "mill" else ())
        for spot in day.spots
    )
    day = replace(day, spots=spots)
    clocked = put_on_clock(Desk(fit=fit_day(day), grid_min=5), timed(("1", 420), ("3", 560)))
    crew = crew_figures(day, clocked.timetable)
    assert (crew.idle_min, crew.waiting_min, crew.meal_start) == (80 + 80, 10, None)


def test_given_times_are_kept_and_their_breaches_named():
    """2 at 07:22 has two minutes for an adjust of five; the meal goes where it breaks nothing."""
    day = small_day()
    fit = fit_day(day)
    order = timed(("1", 420), ("2", 442), ("3", 700))
    clocked = put_on_clock(Desk(fit=fit, grid_min=5), order)
    assert [roll.roll_start for roll in clocked.timetable.rolls] == [at(420), at(442), at(700)]
    assert [one.text for one in breaches(fit, clocked.timetable)] == [
        "the changeover to 2 takes 5 min and gets 2"
    ]
    assert clocked.timetable.meal_start == at(480)
    assert not clocked.is_exact


def test_times_off_the_grid_are_taken_to_the_minute():
    """07:03 is no start of ours, yet theirs rolls then; shots without times stand on the grid."""
    fit = fit_day(small_day())
    order = replace(untimed("1", "2", "3"), times=(at(423), None, None))
    clocked = put_on_clock(Desk(fit=fit, grid_min=5), order)
    assert clocked.obeys
    assert clocked.timetable.rolls[0].roll_start == at(423)
    assert all(fit.minute_of(r.roll_start) % 5 == 0 for r in clocked.timetable.rolls[1:])


def test_overlapping_rolls_are_named_without_negative_minutes():
    """2 at 07:10 starts while 1 still rolls: its changeover gets nothing."""
    fit = fit_day(small_day())
    clocked = put_on_clock(Desk(fit=fit, grid_min=5), timed(("1", 420), ("2", 430)))
    assert [one.text for one in breaches(fit, clocked.timetable)] == [
        "the changeover to 2 starts 10 min before 1 is done",
        "the changeover to 2 takes 5 min and gets 0",
    ]


def test_meal_too_late_is_as_little_late_as_can_be():
    """Lunch after shots of 140 minutes from 05:30 cannot start by 07:00: 07:50 is the next time."""
    day = small_day(meal=Meal(earliest=at(330), latest=at(420), length_min=30))
    day = replace(day, shots=tuple(replace(shot, shoot_min=60) for shot in day.shots))
    fit = fit_day(day)
    clocked = put_on_clock(Desk(fit=fit, grid_min=5), untimed("1", "2", "3", meal_after=2))
    assert not clocked.obeys
    # Setup 10, roll 60, adjust 5, roll 60, from 05:30: 07:45.
    assert clocked.timetable.meal_start == at(465)
    assert [one.text for one in breaches(fit, clocked.timetable)] == [
        "the meal starts 45 min too late"
    ]


def test_order_against_after_is_timed_and_named():
    """A pair the wrong way round says nothing against the times, which are as good as can be."""
    day = small_day()
    shots = (day.shots[0], replace(day.shots[1], after=("1",)), day.shots[2])
    fit = fit_day(replace(day, shots=shots))
    clocked = put_on_clock(Desk(fit=fit, grid_min=5), untimed("2", "1", "3"))
    assert clocked.obeys
    assert [one.text for one in breaches(fit, clocked.timetable)] == [
        "2 rolls before 1, which must come first"
    ]


def test_pair_the_wrong_way_round_is_worth_less_than_any_light():
    """A hint that mends it then comes before one that wins light; the times stay as they are."""
    day = small_day()
    shots = (day.shots[0], replace(day.shots[1], after=("1",)), day.shots[2])
    order = untimed("2", "1", "3")
    desks = [Desk(fit=fit_day(one), grid_min=5) for one in (day, replace(day, shots=shots))]
    free, bound = (put_on_clock(desk, order) for desk in desks)
    assert free.timetable == bound.timetable
    ground = ground_for(desks[1], order, lenient=False)
    assert ground.breach_cost > 2 * ground.problem.span
    assert free.value - bound.value == ground.breach_cost * SCALE


@pytest.mark.parametrize("seed", [3, 8, 14, 20, 40])
def test_times_are_worth_what_they_are_counted_to_be(seed):
    """Counting given times gives the value that the search for them has, and so does the judge."""
    fit = fit_day(a_day(seed))
    desk = Desk(fit=fit, grid_min=GRID)
    ids, timed = turned(fit.day, seed), 0
    for meal_after in (None, 1, 2, 3):
        order = untimed(*ids, meal_after=meal_after)
        ground = ground_for(desk, order, lenient=False)
        case = case_of(ground, order)
        times = best_timing(case)
        if times is None:
            continue
        timed += 1
        assert value_of(case, times.starts, times.meal) == times.value
        judged = score(fit, timetable_of(fit, ground.problem, order, times))
        assert whole_points(ground.problem, times.value) == judged.total
    assert timed


def test_lost_light_names_its_part():
    """A shot that wants the sun above 30° loses its light to the elevation when made at dawn."""
    day = small_day()
    high = Wish(elevation=Band(low_deg=30.0, high_deg=90.0, give_deg=5.0))
    shots = (replace(day.shots[0], wish=high, control=0.0), *day.shots[1:])
    day = replace(day, shots=shots)
    plan, fit = make_plan(day), fit_day(day)
    found = compare(fit, plan, timed(("1", 340), ("2", 365), ("3", 415)))
    # Ours gives reasons; another's order has its own, which nobody told us.
    assert {one.why for one in found.theirs.shots} == {"as the order has it"}
    one = found.differences[0]
    assert (one.shot_id, one.lost_to) == ("1", "elevation")
    assert one.part is not None
    assert one.part[0] > 0.5
    assert 0.0 < one.part[1] < 0.02
    assert f"elevation {one.part[0]:.0%} to {one.part[1]:.0%}" in comparison_text(found)


def test_lost_light_names_the_match():
    """Two wides cut together, one at dawn and one at noon, lose what they lose to their match."""
    day = small_day()
    pair = [replace(shot, match="a", size=Size.WIDE, weight=5.0) for shot in day.shots[:2]]
    side = Wish(side=SunSide.ANY)
    day = replace(day, shots=(*(replace(one, wish=side) for one in pair), day.shots[2]))
    found = compare(fit_day(day), make_plan(day), timed(("1", 345), ("3", 500), ("2", 720)))
    lost = {one.shot_id: one.lost_to for one in found.differences}
    assert "match" in (lost["1"], lost["2"])
    assert "drift in its match" in comparison_text(found)


def test_second_meal_is_due_only_while_the_camera_rolls():
    """Lunch ends at 08:30, and the first may start 4 h 30 after the call: 13:00 for the second."""
    day = small_day()
    plan, fit = make_plan(day), fit_day(day)
    for last, due in ((760, None), (770, at(780))):
        order = timed(("1", 420), ("2", 445), ("3", last), meal=480, meal_after=2)
        assert compare(fit, plan, order).theirs.second_meal_due == due


def test_missing_shot_counts_as_left_out():
    """A shot not in the order loses its points and pays for being left out."""
    day = small_day()
    plan = make_plan(day)
    found = compare(fit_day(day), plan, untimed("1", "2"))
    lost = found.differences[-1]
    ours = next(one.points for one in plan.shots if one.shot.id == "3")
    paid = found.theirs.score.left_out["3"]
    assert (lost.shot_id, lost.theirs, lost.points_lost) == ("3", None, ours + paid)
    assert [left.shot.id for left in found.theirs.left_out] == ["3"]


@pytest.mark.parametrize("width", [60, 80, 120])
def test_text_fits_its_width(tmp_path, width):
    """No line is longer than asked for, and every shot of the day has its row."""
    found = lamp_comparison(AD_ORDER, tmp_path)
    lines = comparison_text(found, width).splitlines()
    assert max(map(len, lines)) <= width
    firsts = {line.split()[0] for line in lines if line.strip()}
    assert firsts >= {shot.id for shot in found.ours.day.shots}


def test_record_is_plain_json(tmp_path):
    """The record holds both plans with crews, the differences in their order, and the hints."""
    found = lamp_comparison(AD_ORDER, tmp_path)
    record = json.loads(json.dumps(comparison_record(found)))
    assert {*record} >= {"ours", "theirs", "difference", "breaches", "hints"}
    assert record["ours"]["points"] - record["theirs"]["points"] == record["points_lost"]
    assert record["theirs"]["crew"]["moves"] == 2
    assert record["theirs"]["shots"][0]["roll_start"] == "2027-06-15T06:25:00+01:00"
    assert [one["id"] for one in record["difference"]][:6] == ["1", "2", "3", "4", "6", "7"]
    assert record["hints"][0]["points_won"] == 2704
    assert record["theirs"]["status"] == "timed"


def reading_of(tmp_path: Path, text: str, name: str = "ad.csv") -> OrderReading:
    """Read an order for the small day from a file."""
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return read_order(str(path), tmp_path, small_day())


def faults_of(tmp_path: Path, text: str) -> list[str]:
    """Give the text of each fault of an order."""
    with pytest.raises(FolderError) as error:
        reading_of(tmp_path, text)
    return [str(fault) for fault in error.value.faults]


def test_order_of_ids_alone(tmp_path):
    """Ids in a column are an order without times; blank lines and a title above do no harm."""
    found = reading_of(tmp_path, "Day 2 of 3\n\nID,notes\n3,\n\n1,first\n2,\n")
    assert found.order == untimed("3", "1", "2")
    assert found.warnings == ()


@pytest.mark.parametrize("head", ["No,Shot", "Shot,No", "shot,number"])
def test_a_list_of_ones_own_is_an_order(tmp_path, head):
    """Of two columns that may hold ids, the one that does is read; the other tells what is seen."""
    is_first = not head.casefold().startswith("shot")
    rows = [("3", "The mill"), ("1", "The pans"), ("2", "Her hands")]
    lines = [f"{a},{b}" if is_first else f"{b},{a}" for a, b in rows]
    found = reading_of(tmp_path, "\n".join([head, *lines]) + "\n")
    assert found.order == untimed("3", "1", "2")


def test_order_with_times_and_a_meal(tmp_path):
    """Times are clock times, spans or dated; lunch is a row; what has no time has none."""
    text = "shot;start\n1;7:00\nLunch;08:00\n2;9:00-9:20\n3;2027-05-11 10:10\n"
    order = reading_of(tmp_path, text).order
    assert order == timed(("1", 420), ("2", 540), ("3", 610), meal=480, meal_after=1)
    part = reading_of(tmp_path, "id,time\n1,\n2,09:00\n3,\n").order
    assert part.times == (None, at(540), None)


def test_faults_of_an_order_are_told_at_once(tmp_path):
    """Unknown ids with the nearest, doubled ones, bad times and times that run back."""
    assert faults_of(tmp_path, "id,time\n1,09:00\n03,\n1,\n2,9 o'clock\n3,08:00\n") == [
        "ad.csv:3, id: no shot of this id: `03`\n  hint: did you mean `3`?",
        "ad.csv:4, id: a shot that stands twice: `1`\n  hint: it is also on line 2",
        "ad.csv:5, time: not a clock time: `9 o'clock` (expected a clock time such as 06:25)",
        (
            "ad.csv:6, time: earlier than a row above it: `08:00`"
            "\n  hint: the rows stand in shooting order: sort them by time"
        ),
    ]


def test_title_above_a_table_does_not_set_its_separator(tmp_path):
    """A title with commas stands above columns set apart by semicolons."""
    order = reading_of(tmp_path, "Day 2, draft, v3\nid;time\n1;07:00\n2;07:30\n3;\n").order
    assert order.times == (at(420), at(450), None)


def test_times_of_another_date_are_faults(tmp_path):
    """A dated time that is not of this day, or of no calendar, is told; the night after is fine."""
    text = "id,time\n1,2027-05-12T01:00:00+00:00\n2,2026-05-11T07:00+00:00\n3,2027-02-30T07:00Z\n"
    assert faults_of(tmp_path, text) == [
        "ad.csv:3, time: not a time of 2027-05-11 or the day after: `2026-05-11`",
        "ad.csv:4, time: not a time: `2027-02-30T07:00Z` (expected a clock time such as 06:25)",
    ]
    order = reading_of(tmp_path, "id,time\n1,07:00\n2,2027-05-12T23:50Z\n3,\n").order
    clocked = put_on_clock(Desk(fit=fit_day(small_day()), grid_min=5), order)
    assert [one.rule for one in breaches(fit_day(small_day()), clocked.timetable)] == [
        "hours",
        "hours",
    ]


def test_order_without_an_id_column(tmp_path):
    """A list without a header is told how to get one; an empty order is told too."""
    assert faults_of(tmp_path, "1\n2\n") == [
        (
            "ad.csv: no column `id` (expected a header line)"
            "\n  hint: put a first line such as `id,time` above the rows"
        )
    ]
    assert faults_of(tmp_path, "id\n") == [
        "ad.csv: no shots (expected one row a shot below the header)"
    ]
    assert faults_of(tmp_path, "id\nmeal\n") == [
        "ad.csv: no shots (expected one row a shot below the header)"
    ]


def test_odd_orders_are_read_with_a_warning(tmp_path):
    """Missing shots, rows without ids, and a time column with a slip in its name."""
    found = reading_of(tmp_path, "id,tme\n1,09:00\n2,\n")
    assert [str(one) for one in found.warnings] == [
        "ad.csv:1: a column that is not read: `tme`\n  hint: did you mean `time`?",
        "ad.csv: 3 is not in the order: counted as left out",
    ]
    found = reading_of(tmp_path, "id,time,what\n1,,\n2,,\n,08:00,eat\n3,,\n")
    assert [str(one) for one in found.warnings] == [
        "ad.csv:4, id: a row without an id: not read\n  hint: lunch is a row with the id `meal`"
    ]


def test_no_such_order(tmp_path):
    """A file that is not there names the nearest one; a revision says which there are."""
    (tmp_path / "monday.csv").write_text("id\n1\n", encoding="utf-8")
    with pytest.raises(FolderError, match=r"did you mean `monday\.csv`"):
        read_order(str(tmp_path / "mondy.csv"), tmp_path, small_day())
    with pytest.raises(FolderError, match="`sunsched plan DAY --save` saves one"):
        read_order("2", tmp_path, small_day())


def test_workbook_is_an_order_too(tmp_path):
    """A spreadsheet's own times and numbers are read; a date elsewhere in it does no harm."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (("id", "time", "booked"), (1, at(420).time(), at(0).date()), ("2", None, None)):
        sheet.append(row)
    book.save(tmp_path / "ad.xlsx")
    assert zipfile.is_zipfile(tmp_path / "ad.xlsx")
    order = read_order(str(tmp_path / "ad.xlsx"), tmp_path, small_day()).order
    assert (order.ids, order.times) == (("1", "2"), (at(420), None))


def test_open_document_is_an_order_too(tmp_path):
    """Its clock times are lengths of time since midnight."""
    book = Document("spreadsheet")
    book.body.clear()
    sheet = Table("order")
    for cells in (("id", "time"), (1, timedelta(hours=7)), ("2", None)):
        row = Row()
        for value in cells:
            row.append_cell(Cell(value))
        sheet.append_row(row)
    book.body.append(sheet)
    book.save(str(tmp_path / "ad.ods"))
    order = read_order(str(tmp_path / "ad.ods"), tmp_path, small_day()).order
    assert (order.ids, order.times) == (("1", "2"), (at(420), None))


def test_saved_revision_is_an_order(tmp_path):
    """A saved plan comes back with its times and its meal, and is worth what it was."""
    meal = Meal(earliest=at(480), latest=at(540), length_min=30)
    day = small_day(hours=replace(small_day().hours, first_roll=at(500)), meal=meal)
    plan = make_plan(day)
    assert plan.meal is not None
    number = save_revision(tmp_path, lambda own: json.dumps(revision_record(plan, own, at(0))))
    order = read_order(str(number), tmp_path, day).order
    assert order.times == tuple(one.roll_start for one in plan.shots)
    assert order.meal_start == plan.meal.start
    found = compare(fit_day(day), plan, order)
    assert (found.points_lost, found.theirs.timetable) == (0, plan.timetable)
    with pytest.raises(FolderError, match="expected one that is saved: there is 1"):
        read_order("4", tmp_path, day)


def test_revision_of_another_shot_list(tmp_path):
    """A file that no `--save` wrote, and one of another shot list, are refused in words."""
    (tmp_path / "plans").mkdir()
    (tmp_path / "plans" / "0001.json").write_text('{"shots": 3}', encoding="utf-8")
    with pytest.raises(FolderError, match="not what a saved plan has"):
        read_order("1", tmp_path, small_day())
    plan = make_plan(small_day())
    text = json.dumps(revision_record(plan, 2, at(0))).replace('"id": "1"', '"id": "1A"')
    (tmp_path / "plans" / "0002.json").write_text(text, encoding="utf-8")
    with pytest.raises(FolderError, match="no shot of this id: `1A`"):
        read_order("2", tmp_path, small_day())
