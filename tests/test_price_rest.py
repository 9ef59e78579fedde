"""Prices of a day under way: against the judge asked about every rest, and what is said of them."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from random import Random

import pytest
from command_line import Ran
from oracles.days import random_day
from under_way import by_chance, by_plan, every_rest, minutes

from sunsched.change.demand import (
    Cut,
    Demand,
    First,
    KeepOrder,
    MealAt,
    RollAfter,
    RollAt,
    RollBefore,
)
from sunsched.change.price import price
from sunsched.change.price_table import price_table
from sunsched.change.rule_prices import rule_prices
from sunsched.change.solved import Solved, solve_day
from sunsched.change.wrap_curve import wrap_curve
from sunsched.day.folder import read_day
from sunsched.day.model import Day
from sunsched.day.past import over_ids
from sunsched.errors import DayImpossible
from sunsched.order.fit import fit_day
from sunsched.order.solve import make_plan
from sunsched.order.timetable import Timetable
from sunsched.show.drawing import picture_bytes
from sunsched.show.price_chart import curve_figure, table_figure
from sunsched.show.price_record import curve_record, price_record, table_record
from sunsched.show.pricing import curve_text, price_text, table_text

DATA = Path(__file__).parents[1] / "data"
EVENING = datetime(2027, 6, 15, 17, 0, tzinfo=UTC)
Wanted = Callable[[Timetable], bool]


def a_rest(seed: int) -> Day | None:
    """Give a small random day of which at most two shots are to come; None for a day of no plan."""
    try:
        plan = make_plan(random_day(seed, 5, ((), ("keel",))[seed % 2]), grid_min=20)
    except DayImpossible:
        return None
    random = Random(seed)  # noqa: S311  invented days, no secrets
    for _ in range(200):
        day = by_chance(plan, random)
        if len(day.shots) - len(over_ids(day.past)) == 2:
            return day
    return None


def demands_of(day: Day) -> list[tuple[Demand, Wanted]]:
    """Give demands about what is to come, each with what it asks of a timetable."""
    one, other = (shot.id for shot in day.shots if shot.id not in over_ids(day.past))
    assert day.past is not None
    made = len(day.past.made)
    later = day.past.free_at + minutes(90)

    def rolls(table: Timetable) -> list[str]:
        return [roll.shot_id for roll in table.rolls]

    def start(table: Timetable, shot_id: str) -> int:
        starts = {roll.shot_id: roll.roll_start for roll in table.rolls}
        found = starts.get(shot_id)
        return -1 if found is None else int((found - later).total_seconds() // 60)

    return [
        (First(shot=other), lambda table: rolls(table)[made : made + 1] == [other]),
        (
            KeepOrder(shots=(other, one)),
            lambda table: rolls(table)[made:] in ([], [one], [other], [other, one]),
        ),
        (
            RollAfter(shot=one, time=later),
            lambda table: one in rolls(table) and start(table, one) >= 0,
        ),
        (
            RollBefore(shot=one, time=later),
            lambda table: one in rolls(table) and start(table, one) + day.shot(one).shoot_min <= 0,
        ),
        (Cut(shot=other), lambda table: other not in rolls(table)),
    ]


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(16))
def test_prices_of_the_rest_are_the_judges(seed: int) -> None:
    """No table is trusted: of every rest that does what is asked, none is worth more."""
    day = a_rest(seed)
    if day is None:
        return  # a few of the random days are impossible from the start
    solved = solve_day(day, grid_min=20)
    fit = fit_day(day)
    for demand, wanted in demands_of(day):
        best = every_rest(fit, 20, wanted)
        if best is None:
            with pytest.raises(DayImpossible):
                price(solved, (demand,))
            continue
        found = price(solved, (demand,))
        assert found.plan.points == best, demand
        assert found.points_lost == solved.plan.points - best
        assert wanted(found.plan.timetable)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_a_meal_that_moves_is_priced_as_the_judge_does(seed: int) -> None:
    """A meal still to come costs, at a given minute, what the best rest with it there loses."""
    day = a_rest(seed)
    if day is None or day.past is None or day.past.meal_start is not None:
        return
    call = day.hours.crew_call
    for late in (40, 80):
        free = day.past.free_at - call
        when = call + minutes(20 * (int(free.total_seconds() // 60 + late) // 20))
        moved = replace(day, meal=replace(day.meal, earliest=when, latest=when))
        best = every_rest(fit_day(moved), 20, lambda table: table.meal_start is not None)
        solved = solve_day(day, grid_min=20)
        found = price(solved, (MealAt(time=when),))
        assert best is not None
        assert found.plan.points >= best


@pytest.fixture(scope="module")
def lamp() -> Solved:
    """Give a demo day after nine shots, 20 minutes lost, solved for its rest."""
    plan = make_plan(read_day(DATA / "last-lamp"))
    return solve_day(by_plan(plan, 9, late_min=20))


@pytest.mark.parametrize(
    ("demand", "text"),
    [
        (RollAt(shot="1", time=EVENING), "1 rolls at .*, and yet 1 rolled at 06:25"),
        (Cut(shot="1"), "1 is cut, and yet 1 rolled at 06:25"),
        (First(shot="5"), "5 comes next, and yet 5 rolled at"),
        (KeepOrder(shots=("12", "1")), "12, 1 stay in this order, and yet 1 rolled at"),
        (MealAt(time=EVENING), "the meal starts at .*, and yet the meal began at 11:35"),
    ],
)
def test_what_has_happened_cannot_be_asked_for(lamp: Solved, demand: Demand, text: str) -> None:
    """A demand about what is made, cut or eaten is told what happened."""
    with pytest.raises(DayImpossible, match=text):
        price(lamp, (demand,))


def test_a_shot_that_was_cut_stays_cut(lamp: Solved) -> None:
    """A cut shot has no price any more, in a decision or in the table."""
    day = lamp.fit.day
    assert day.past is not None
    without = solve_day(replace(day, past=replace(day.past, cut=("12",))))
    with pytest.raises(DayImpossible, match="12 comes next, and yet 12 was cut"):
        price(without, (First(shot="12"),))
    table = price_table(without)
    assert "12" not in [row.shot_id for row in table.rows]


def test_the_table_of_a_rest_has_what_is_to_come(lamp: Solved) -> None:
    """Rows are the shots to come, times begin when the crew is free, and cells are prices."""
    day = lamp.fit.day
    assert day.past is not None
    table = price_table(lamp)
    coming = [shot.id for shot in day.shots if shot.id not in over_ids(day.past)]
    assert [row.shot_id for row in table.rows] == coming
    assert table.times[0] >= day.past.free_at
    assert table.times[0] - day.past.free_at < minutes(30)
    priced = [
        (row.shot_id, cell)
        for row in table.rows
        for cell in row.cells
        if cell.least == cell.most and cell.most
    ]
    assert len(priced) > 10
    for shot_id, cell in priced[::7]:
        found = price(lamp, (RollAt(shot=shot_id, time=cell.time),))
        assert found.points_lost == cell.most


def test_rules_of_a_rest_win_only_what_is_to_come(lamp: Solved) -> None:
    """A cost that was paid is not won back, and a rule of what is made is none any more."""
    found = {one.rule: one for one in rule_prices(lamp)}
    day = lamp.fit.day
    spots = [roll.shot.spot for roll in lamp.plan.shots]
    assert day.past is not None
    made = len(day.past.made)
    moves = sum(a != b for a, b in pairwise(spots[made - 1 :]))
    whole = sum(a != b for a, b in pairwise(spots))
    assert moves < whole
    price_of_moves = found["a company move costs 500 points"]
    assert price_of_moves.gain == moves * day.costs.move
    assert not any(rule.startswith(("3 comes", "the meal")) for rule in found)
    assert not any(rule.startswith("nothing rolls before") for rule in found)


def test_the_wraps_of_a_rest_are_still_to_come(lamp: Solved) -> None:
    """No wrap of the curve has gone by, and more time never keeps less."""
    past = lamp.fit.day.past
    assert past is not None
    early = replace(lamp.fit.day.hours, wrap=past.free_at + minutes(60))
    solved = solve_day(replace(lamp.fit.day, hours=early))
    points = wrap_curve(solved, step_min=30)
    assert points
    assert all(point.wrap >= past.free_at for point in points)
    worth = [point.plan.points for point in points]
    assert worth == sorted(worth)


def test_texts_tell_how_far_the_day_has_come(lamp: Solved) -> None:
    """Every text, record and picture of a rest names what is made and leaves it out of its rows."""
    day = lamp.fit.day
    found = price(lamp, (First(shot="12"),))
    table, curve = price_table(lamp, step_min=120), wrap_curve(lamp, step_min=120)
    said = "made: 1, 5, 2, 4, 3, 7, 6, 8, 9"
    text = price_text(day, lamp.plan, found)
    for one in (text, table_text(table), curve_text(day, curve)):
        assert said in one
    assert "if 12 comes next:" in text
    rows = [line.split()[0] for line in text.splitlines() if line[:3].strip().isdigit()]
    assert sorted(rows, key=int) == ["10", "12", "13", "14", "15", "16"]  # 11 has no room
    for record in (price_record(day, found), table_record(table, ()), curve_record(day, curve)):
        assert json.loads(json.dumps(record))["made"][:2] == ["1", "5"]
    for figure in (table_figure(table), curve_figure(day, curve)):
        assert said in " ".join(one.get_text() for one in figure.texts)
        assert picture_bytes([figure], "svg")


def test_price_of_a_day_under_way_as_a_crew_asks(tmp_path: Path, run: Callable[..., Ran]) -> None:
    """`--now` takes the log as it stands; without it, a day that has a log is warned of."""
    folder = tmp_path / "lamp"
    shutil.copytree(DATA / "last-lamp", folder)
    run("plan", folder, "--save")
    run("log", folder, "as-planned", "--at", "11:00")
    asked = ("price", folder, "--first", "9")
    found = run(*asked, "--now", "11:20", "--json")
    assert (found.code, found.err) == (0, "")
    told = json.loads(found.out)
    assert told["at"] == "2027-06-15T11:20:00+01:00"
    assert told["made"] == ["1", "5", "2", "4", "3", "7", "6"]
    assert told["decision"] == ["9 comes next"]
    assert [one["id"] for one in told["plan"]["shots"]][7] == "9"
    whole = run(*asked)
    assert whole.code == 0
    assert "does not look at its log; `--now HH:MM` does" in whole.err
    unread = run(*asked, "--now", "25:00")
    assert (unread.code, unread.out) == (1, "")
    assert unread.err.startswith("--now: not a clock time: `25:00`")
    early = run(*asked, "--now", "10:00")
    assert early.code == 1
    assert "its last event is later than 10:00" in early.err
    for shot in read_day(folder).shots:
        if shot.id not in told["made"]:
            run("log", folder, "cut", shot.id, "--at", "11:30")
    over = run(*asked, "--now", "11:40")
    assert (over.code, over.out) == (1, "")
    assert over.err.strip() == "nothing is left to decide: every shot is made or cut"
