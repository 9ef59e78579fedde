"""Prices of a day under way: against the judge asked about every rest, and what is said of them."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from itertools import pairwise
from pathlib import Path

import pytest
from command_line import Ran
from draws import seeded
from oracles.days import random_day
from seeds import few_first
from under_way import by_chance, by_plan, every_rest, minutes

from sunsched.day.demand import (
    Cut,
    Demand,
    First,
    KeepOrder,
    MealAt,
    ReleaseAt,
    RollAfter,
    RollAt,
    RollBefore,
    WrapAt,
)
from sunsched.day.model import Day
from sunsched.day.past import made_ids, over_ids
from sunsched.errors import DayImpossible
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_day
from sunsched.plan.timetable import Timetable
from sunsched.show.charts.prices.half_hours import table_figure
from sunsched.show.charts.prices.wraps import curve_figure
from sunsched.show.drawing.figure import picture_bytes
from sunsched.show.records.price import curve_record, price_record, table_record
from sunsched.show.text.average_day.price import curve_text
from sunsched.show.text.price import price_text, shot_rows, table_text
from sunsched.solver.solve import make_plan
from sunsched.solver.solved import Solved, solve_day
from sunsched.whatif.price.half_hours import price_table
from sunsched.whatif.price.price import price
from sunsched.whatif.price.rules import lifted_days, rule_prices
from sunsched.whatif.price.wrap import wrap_curve

DATA = Path(__file__).parents[3] / "data"
MORNING = datetime(2027, 6, 15, 9, 0, tzinfo=UTC)
EVENING = datetime(2027, 6, 15, 17, 0, tzinfo=UTC)
# Seeds of days that have a plan, and of those on which the meal is still to come.
RESTS = (1, 3, 4, 5, 7, 8, 10, 11, 12, 14, 15)
HUNGRY = (1, 3, 7, 8, 18)
Wanted = Callable[[Timetable], bool]


def a_rest(seed: int) -> Day:
    """Give a small random day of which two shots are to come."""
    plan = make_plan(random_day(seed, 5, ((), ("keel",))[seed % 2]), grid_min=20)
    random = seeded(seed)
    while True:
        day = by_chance(plan, random)
        if len(day.shots) - len(over_ids(day.past)) == 2:
            return day


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


def has_meal_at(when: datetime, table: Timetable) -> bool:
    """Say whether a timetable has its meal at a moment."""
    return table.meal_start == when


@pytest.mark.slow
@pytest.mark.parametrize("seed", RESTS)
def test_prices_of_the_rest_are_the_judges(seed: int) -> None:
    """No table is trusted: of every rest that does what is asked, none is worth more."""
    day = a_rest(seed)
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
        paid = [points for _, points in (*found.pays, *found.shared)]
        assert sum(paid) == found.points_lost


@pytest.mark.slow
@pytest.mark.parametrize("seed", HUNGRY)
def test_a_meal_that_moves_is_priced_as_the_judge_does(seed: int) -> None:
    """A meal still to come costs, at a given minute, what the best rest with it there loses."""
    day = a_rest(seed)
    assert day.past is not None
    solved = solve_day(day, grid_min=20)
    for late in (40, 80):
        free = (day.past.free_at - day.hours.crew_call) // minutes(1)
        when = day.hours.crew_call + minutes((free + late) // 20 * 20)
        moved = replace(day, meal=replace(day.meal, earliest=when, latest=when))
        best = every_rest(fit_day(moved), 20, partial(has_meal_at, when))
        found = price(solved, (MealAt(time=when),))
        assert found.plan.meal is not None
        assert (found.plan.points, found.plan.meal.start) == (best, when)


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
        (MealAt(time=EVENING), "the meal starts at .*, and yet the meal began at 11:45"),
        (RollAt(shot="12", time=MORNING), "12 rolls at 10:00, and yet the crew is free at 13:40"),
        (
            WrapAt(time=MORNING),
            "nothing rolls past a wrap at 10:00, and yet the crew is free at 13:40",
        ),
        (
            ReleaseAt(cast="Salma", time=MORNING),
            "Salma is released at 10:00, and yet Salma is in 9, which rolled until 11:45",
        ),
    ],
)
def test_what_has_happened_cannot_be_asked_for(lamp: Solved, demand: Demand, text: str) -> None:
    """A demand about what is made, cut or eaten is told what happened."""
    with pytest.raises(DayImpossible, match=text):
        price(lamp, (demand,))


def test_an_order_may_begin_with_what_is_made(lamp: Solved) -> None:
    """As it was made it costs nothing; made shots in another order, or behind others, are told."""
    assert price(lamp, (KeepOrder(shots=("1", "4", "7")),)).points_lost == 0
    free = price(lamp, (KeepOrder(shots=("13", "10")),)).points_lost
    assert price(lamp, (KeepOrder(shots=("1", "4", "13", "10")),)).points_lost == free > 0
    for order, text in (
        (("4", "1", "13"), "and yet 4 rolled at 08:20"),
        (("1", "13", "4"), "and yet 1 rolled at 06:25"),
    ):
        with pytest.raises(DayImpossible, match=text):
            price(lamp, (KeepOrder(shots=order),))


def test_a_shot_that_the_decision_drops_is_told_so(lamp: Solved) -> None:
    """What the best rest makes and the decided one does not, the decision has cost."""
    found = price(lamp, (WrapAt(time=EVENING + minutes(45)),))
    made = {one.shot.id for one in lamp.plan.shots}
    lost = {left.shot.id: left.why for left in found.plan.left_out}
    assert set(lost) & made
    for shot_id, why in lost.items():
        assert why.startswith("the decision leaves no place for it") is (shot_id in made)


def test_a_meal_has_to_wait_for_the_crew() -> None:
    """A meal in lost minutes is told when the crew is free."""
    plan = make_plan(read_day(DATA / "last-lamp"))
    solved = solve_day(by_plan(plan, 4, late_min=20))
    past = solved.fit.day.past
    assert past is not None
    early = MealAt(time=past.free_at - minutes(5))
    with pytest.raises(DayImpossible, match="and yet the crew is free at 09:05"):
        price(solved, (early,))


def test_someone_in_the_running_roll_cannot_be_released() -> None:
    """While 9 rolls, Salma stays; from its end on she may go."""
    plan = make_plan(read_day(DATA / "last-lamp"))
    day = by_plan(plan, 8)
    assert day.past is not None
    rolls = replace(day.past, at=day.past.at - minutes(10), running="9")
    solved = solve_day(replace(day, past=rolls))
    until = day.past.made[-1].roll_end
    with pytest.raises(DayImpossible, match="Salma is in 9, which rolls until 11:45"):
        price(solved, (ReleaseAt(cast="Salma", time=until - minutes(1)),))
    assert price(solved, (ReleaseAt(cast="Salma", time=until),)).points_lost > 0


def test_overtime_that_has_run_is_not_won_back() -> None:
    """Two hours past a wrap of 16:00, a wrap of 19:30 saves the overtime still to come.

    The day's best rest ends at 19:15: 195 minutes of overtime at 20 points, of which 125 have run
    when 14 shots are made at 18:05.
    """
    plan = make_plan(read_day(DATA / "last-lamp"))
    day = by_plan(plan, 14)
    wrap = datetime(2027, 6, 15, 15, 0, tzinfo=UTC)
    solved = solve_day(replace(day, hours=replace(day.hours, wrap=wrap)))
    assert solved.plan.score.overtime == 20 * 195
    found = price(solved, (WrapAt(time=day.hours.hard_wrap),))
    assert found.plan.score.overtime == 0
    assert found.points_lost == -20 * 70
    assert found.shared == (("overtime", -20 * 70),)
    rules = {one.rule: one.gain for one in rule_prices(solved)}
    assert rules["overtime costs 20 points a minute"] == 20 * 70


def test_a_wrap_as_soon_as_many_short_shots_are_made() -> None:
    """More shots are made than the grid has starts by then; the rest is left out."""
    plan = make_plan(read_day(DATA / "last-lamp"))
    day = by_plan(plan, 8)
    assert day.past is not None
    call = day.hours.crew_call
    quick = tuple(
        replace(
            one,
            changeover_start=call + minutes(k),
            roll_start=call + minutes(k),
            roll_end=call + minutes(k + 1),
        )
        for k, one in enumerate(day.past.made)
    )
    ids = {one.shot_id for one in quick}
    shots = tuple(replace(s, shoot_min=1) if s.id in ids else s for s in day.shots)
    at = call + minutes(9)
    past = replace(day.past, at=at, free_at=at, made=quick, meal_start=None)
    solved = solve_day(replace(day, shots=shots, past=past))
    found = price(solved, (WrapAt(time=at),))
    assert [one.shot.id for one in found.plan.shots] == [one.shot_id for one in quick]


@pytest.mark.parametrize("seeds", few_first(((29, 1), (*RESTS, 29)), 1))
def test_a_made_shot_whose_match_moves_has_a_row(seeds: tuple[int, ...]) -> None:
    """What a made shot wins or pays by the sun of its match stands in its row too."""
    told = 0
    for seed in seeds:
        day = a_rest(seed)
        solved = solve_day(day, grid_min=20)
        for shot in day.shots:
            if shot.id in over_ids(day.past):
                continue
            found = price(solved, (Cut(shot=shot.id),))
            rows = {row[0] for row in shot_rows(day, solved.plan, found)}
            assert rows >= {one for one, _ in found.pays}
            told += any(one in made_ids(day.past) for one, _ in found.pays)
    assert told > 0


def test_a_shot_that_was_cut_stays_cut(lamp: Solved) -> None:
    """A cut shot has no price any more, in a decision or in the table."""
    day = lamp.fit.day
    assert day.past is not None
    without = solve_day(replace(day, past=replace(day.past, cut=("12",))))
    with pytest.raises(DayImpossible, match="12 comes next, and yet 12 was cut"):
        price(without, (First(shot="12"),))
    table = price_table(without, step_min=120)
    assert "12" not in [row.shot_id for row in table.rows]


@pytest.mark.slow
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
    for later, listed in ((0, False), (30, True)):
        first = day.past.free_at + minutes(later)
        rules = lifted_days(replace(day, hours=replace(day.hours, first_roll=first)))
        assert any(one.rule.startswith("nothing rolls before") for one in rules) is listed


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
    said = "made: 1, 5, 2, 4, 3, 6, 7, 9, 8"
    text = price_text(day, lamp.plan, found)
    for one in (text, table_text(table), curve_text(day, curve)):
        assert said in one
    assert "if 12 comes next:" in text
    rows = [line.split()[0] for line in text.splitlines() if line[:3].strip().isdigit()]
    assert sorted(rows, key=int) == ["10", "11", "12", "13", "14", "15", "16"]
    for record in (
        price_record(day, lamp.plan, found),
        table_record(table, ()),
        curve_record(day, curve),
    ):
        assert json.loads(json.dumps(record))["made"][:2] == ["1", "5"]
    for figure in (table_figure(table), curve_figure(day, curve)):
        assert said in " ".join(one.get_text() for one in figure.texts)
        assert picture_bytes([figure], "svg")


@pytest.mark.slow
def test_price_of_a_day_under_way_as_a_crew_asks(tmp_path: Path, run: Callable[..., Ran]) -> None:
    """`--now` takes the log as it stands; without it, a day that has a log is warned of."""
    folder = tmp_path / "lamp"
    shutil.copytree(DATA / "last-lamp", folder)
    run("plan", "--for", "planned", folder, "--save")
    run("log", folder, "as-planned", "--at", "11:00")
    asked = ("price", folder, "--for", "planned", "--first", "9")
    found = run(*asked, "--now", "11:20", "--json")
    assert (found.code, found.err) == (0, "")
    told = json.loads(found.out)
    assert told["at"] == "2027-06-15T11:20:00+01:00"
    assert told["made"] == ["1", "5", "2", "4", "3", "6", "7"]
    assert told["decision"] == ["9 comes next"]
    assert [one["id"] for one in told["plan"]["shots"]][7] == "9"
    whole = run(*asked)
    assert whole.code == 0
    assert "does not look at its log; `--now HH:MM` does" in whole.err
    unread = run(*asked, "--now", "25:00")
    assert (unread.code, unread.out) == (1, "")
    assert unread.err.startswith("--now: not a clock time: `25:00`")
    shots = (folder / "shots.csv").read_text(encoding="utf-8")
    gone = "\n".join(line for line in shots.splitlines() if not line.startswith("8,"))
    (folder / "shots.csv").write_text(gone, encoding="utf-8")
    less = run(*asked, "--now", "11:20")
    assert less.code == 0
    assert "8 is in revision 1 and no longer in the day" in less.err
    assert "8 is being built" not in less.out
    (folder / "shots.csv").write_text(shots, encoding="utf-8")
    moved = tmp_path / "moved"
    shutil.copytree(folder, moved)
    (moved / "log.csv").unlink()
    settings = (moved / "day.toml").read_text(encoding="utf-8")
    later = settings.replace("2027-06-15", "2027-06-16")
    (moved / "day.toml").write_text(later, encoding="utf-8")
    refused = run("price", moved, "--first", "9", "--now", "08:30")
    assert (refused.code, refused.out) == (1, "")
    assert "a plan of 2027-06-15, and the day is on 2027-06-16 now" in refused.err
    early = run(*asked, "--now", "10:00")
    assert early.code == 1
    assert "its last event is later than 10:00" in early.err
    for shot in read_day(folder).shots:
        if shot.id not in told["made"]:
            run("log", folder, "cut", shot.id, "--at", "11:30")
    over = run(*asked, "--now", "11:40")
    assert (over.code, over.out) == (1, "")
    assert over.err.strip() == "nothing is left to decide: every shot is made or cut"
