"""Half-hours, rules and wraps on the average day: against single prices, in words and pictures."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from oracles.days import random_day
from seeds import few_first

from sunsched.average.plan import average_plan
from sunsched.day.demand import Cut, RollAfter, WrapAt
from sunsched.day.model import Size
from sunsched.errors import DayImpossible
from sunsched.light.fit import fit_checked
from sunsched.show.charts.prices.axes import draw_price_table
from sunsched.show.charts.prices.half_hours import table_figure
from sunsched.show.charts.prices.wraps import curve_figure
from sunsched.show.drawing.figure import picture_bytes
from sunsched.show.handouts.tables import curve_handout, price_table_handout
from sunsched.show.records.price_average import average_curve_record, average_table_record
from sunsched.show.sheets.frames import to_frame
from sunsched.show.stamp import Stamp
from sunsched.show.text.average_day.price import curve_text, rules_text
from sunsched.show.text.price import table_text
from sunsched.solver.solved import solve_day
from sunsched.whatif.price.cells import Known
from sunsched.whatif.price.rules import lifted_days
from sunsched.whatif.price_average.half_hours import average_price_table
from sunsched.whatif.price_average.price import average_price
from sunsched.whatif.price_average.rules import average_rule_prices
from sunsched.whatif.price_average.wrap import average_wrap_curve
from whatif.price.test_price_average import a_small_day, most

MADE = datetime(2027, 5, 1, 18, 2, tzinfo=UTC)
STAMP = Stamp(made_at=MADE)


@pytest.fixture(scope="module")
def solved():
    """Give a random day of four shots, solved."""
    return solve_day(a_small_day(1))


@pytest.fixture(scope="module")
def best(solved):
    """Give its plan for the average day."""
    return average_plan(solved)


@pytest.fixture(scope="module")
def table(best):
    """Give its table of half-hours."""
    return average_price_table(best)


@pytest.fixture(scope="module")
def rules(best):
    """Give the prices of its rules."""
    return average_rule_prices(best)


@pytest.fixture(scope="module")
def curve(best):
    """Give its curve of wraps."""
    return average_wrap_curve(best, step_min=60)


def test_a_pinned_shot_is_priced_where_its_pin_is(solved):
    """It rolls in no other half-hour, and the text says what a pin does to the others."""
    one, day = solved.plan.shots[0], solved.fit.day
    shots = tuple(
        replace(shot, pin=one.roll_start) if shot.id == one.shot.id else shot for shot in day.shots
    )
    found = average_price_table(average_plan(solve_day(replace(day, shots=shots))))
    row = next(row for row in found.rows if row.shot_id == one.shot.id)
    half_hour = timedelta(minutes=30)
    for cell in row.cells:
        has_pin = cell.time <= one.roll_start < cell.time + half_hour
        assert (cell.known is Known.IMPOSSIBLE) != has_pin
    flat = " ".join(table_text(found).split())
    assert f"a figure is low where {one.shot.id} loses its pin more often" in flat


def test_a_cell_is_the_price_of_rolling_in_it(solved, best):
    """A column from which on the day is over before the next one is the price of rolling after."""
    table = average_price_table(best, step_min=180)
    last = max(k for k, when in enumerate(table.times) if when < solved.fit.day.hours.hard_wrap)
    assert table.times[last] + timedelta(minutes=180) > solved.fit.day.hours.hard_wrap
    priced = 0
    for row in table.rows:
        cell = row.cells[last]
        try:
            single = average_price(
                solved, best, (RollAfter(shot=row.shot_id, time=table.times[last]),)
            )
        except DayImpossible:
            continue
        assert cell.found == pytest.approx(single.points_lost, abs=1)
        priced += 1
    assert priced


@pytest.mark.parametrize("seed", few_first([4, 6], 1))
def test_a_cell_of_a_match_is_no_cheaper_than_rolling_in_it(seed):
    """Suns that move with a shot are paid: a price by itself searches more, and finds no less."""
    day = random_day(seed, 4, ("a",))
    solved = solve_day(replace(day, shots=tuple(replace(one, pin=None) for one in day.shots)))
    best = average_plan(solved)
    table = average_price_table(best, step_min=180)
    last = max(k for k, when in enumerate(table.times) if when < day.hours.hard_wrap)
    priced = as_good = 0
    for row in table.rows:
        decision = (RollAfter(shot=row.shot_id, time=table.times[last]),)
        if not day.shot(row.shot_id).match:
            continue
        try:
            single = average_price(solved, best, decision)
        except DayImpossible:
            continue
        found = row.cells[last].found
        assert found is not None
        assert found >= single.points_lost - 3
        priced += 1
        as_good += found <= single.points_lost + 3
    assert priced
    assert as_good == priced


def test_cells_have_brackets_and_cost_no_more_than_a_cut(solved, best, table):
    """Nothing ≤ found ≤ most; no cell costs more than leaving the shot out, which is a price too.

    On the half-hour in which a shot of the best order mostly rolls, it costs little.
    """
    assert table.is_average
    assert table.is_complete
    assert table.open_points == best.bound - best.points
    for row in table.rows:
        cut = average_price(solved, best, (Cut(shot=row.shot_id),)).points_lost
        assert row.cut == pytest.approx(cut, abs=1)
        for cell in row.cells:
            if cell.known is Known.IMPOSSIBLE:
                continue
            assert cell.known in (Known.FOUND, Known.WORSE_THAN_CUT)
            assert cell.least is not None
            assert cell.found is not None
            assert cell.most == cell.found + table.open_points
            assert 0 <= cell.least <= cell.found <= row.cut
            # As good as none: one in 2000 of all weights. Figures are rounded.
            much = row.cut - cell.found - 0.0005 * table.points
            assert much >= -1 if cell.known is Known.FOUND else much <= 1
        cheapest = min(cell.found for cell in row.cells if cell.found is not None)
        assert cheapest < row.cut
    assert {cell.known for row in table.rows for cell in row.cells} >= {
        Known.FOUND,
        Known.IMPOSSIBLE,
    }


def test_a_table_that_is_ended_tells_what_it_knows(best):
    """Cells that were not looked at are undecided, and the table is not complete."""
    asked = []

    def is_ended() -> bool:
        asked.append(1)
        return len(asked) > 4

    found = average_price_table(best, threads=1, is_ended=is_ended)
    kinds = [cell.known for row in found.rows for cell in row.cells]
    assert not found.is_complete
    assert 0 < kinds.count(Known.UNDECIDED) < len(kinds)
    assert "?" in table_text(found)


def test_several_threads_give_the_same_table(best, table):
    """The same figures, whoever is ready first."""
    assert average_price_table(best, threads=3) == table


def test_what_a_rule_costs_is_what_its_day_without_it_is_worth_more(solved, rules):
    """Each gain is that of the best order of the lifted day, as far as a search finds it."""
    day = solved.fit.day
    whole = most(day)
    assert {one.rule for one in rules} == {one.rule for one in lifted_days(day)}
    lifted = {one.rule: one.day for one in lifted_days(day)}
    for one in rules[:4]:
        won = most(fit_checked(lifted[one.rule]).day) - whole
        assert one.gain == pytest.approx(max(0.0, won), abs=1.01), one.rule
    gains = [one.gain for one in rules]
    assert gains == sorted(gains, reverse=True)
    assert gains[0] > 0


def test_rules_that_were_not_looked_at_say_so(best):
    """Ended at once, every rule has a `?`."""
    found = average_rule_prices(best, is_ended=lambda: True)
    assert {one.gain for one in found} == {None}
    assert rules_text(found).count("  ?") >= len(found)


def test_a_wrap_is_worth_what_its_price_says(solved, best, curve):
    """A later wrap is worth no less; each point agrees with the single price of its wrap."""
    assert len(curve) >= 3
    for earlier, later in pairwise(curve):
        assert earlier.kept.points <= later.kept.points + 1e-6
    for point in curve[::2]:
        single = average_price(solved, best, (WrapAt(time=point.wrap),))
        assert point.kept.points == pytest.approx(single.now.points, abs=1)
        assert point.light_kept == pytest.approx(single.now.light_kept, abs=1e-3)
        assert point.kept.stop <= point.wrap


def test_words_and_pictures_say_that_they_are_of_the_average_day(solved, table, rules, curve):
    """Text, picture and handout alike; no line is wider than a terminal."""
    day = solved.fit.day
    texts = (table_text(table), rules_text(rules), curve_text(day, curve))
    for text in texts:
        assert max(len(line) for line in text.splitlines()) <= 80
        assert "average day" in " ".join(text.split())
    assert "loses from nothing to at most" in " ".join(texts[0].split())
    for figure in (table_figure(table), curve_figure(day, curve)):
        assert "on the average day" in " ".join(one.get_text() for one in figure.texts)
        assert picture_bytes([figure], "svg")
    key = " ".join(one.get_text() for one in table_figure(table).texts)
    assert "no less than leaving the shot out" in key
    for handout in (
        price_table_handout(table, rules, stamp=STAMP),
        curve_handout(day, curve, stamp=STAMP),
    ):
        assert handout.subject.endswith("on the average day")


def test_a_likely_roll_is_marked_in_its_own_half_hour(table):
    """A cell begins with its time, so that a mark in it is as far from its left side."""
    axes = draw_price_table(table)
    marks = {line.get_label(): line for line in axes.lines}
    marked = 0
    for row in table.rows:
        if row.planned is not None:
            place = (row.planned - table.times[0]) / timedelta(minutes=30)
            across = np.asarray(marks[f"plan {row.shot_id}"].get_xdata(), dtype=float).mean()
            assert across == pytest.approx(place)
            marked += 1
    assert marked


def test_records_hold_what_is_found_and_what_is_sure(solved, table, rules, curve):
    """Each says what it is for; a cell that cannot be has no figures."""
    told = json.loads(json.dumps(average_table_record(table, rules)))
    assert told["aim"] == "average"
    assert told["open_points"] == table.open_points
    cells = [cell for row in told["shots"] for cell in row["cells"]]
    found = [cell for cell in cells if cell["known"] == "found"]
    assert found
    assert all(0 == c["least_lost"] <= c["points_lost"] <= c["most_lost"] for c in found)
    shut = [cell for cell in cells if cell["known"] == "impossible"]
    assert all(c["points_lost"] is c["most_lost"] is None for c in shut)
    assert told["rules"][0]["gain"] == rules[0].gain
    wraps = json.loads(json.dumps(average_curve_record(solved.fit.day, curve)))
    assert wraps["aim"] == "average"
    assert [one["points"] for one in wraps["wraps"]] == [round(p.kept.points) for p in curve]


def test_frames_hold_the_same_figures(solved, best, table, rules, curve):
    """A row for each cell, rule, wrap and shot; what shots lose adds up with the rest."""
    frame = to_frame(table)
    assert frame["found_points"].max() == max(
        cell.found for row in table.rows for cell in row.cells if cell.found is not None
    )
    assert to_frame(rules)["found_points"].tolist() == [one.gain for one in rules]
    assert to_frame(curve)["points"].tolist() == [round(one.kept.points) for one in curve]
    found = average_price(solved, best, (Cut(shot=best.policy.ids[0]),))
    assert to_frame(found)["points_lost"].sum() == found.points_lost


def test_a_certain_day_is_priced_for_planned_minutes(run, make_folder, minimal_day):
    """Where all work takes its planned minutes, a note says so, and the prices are those."""
    sure = "changeover_median = 1.0\nchangeover_spread = 0.0\nroll_median = 1.0\nroll_spread = 0.0"
    sizes = "\n".join(f"[overrun.{size}]\n{sure}" for size in Size)
    day = make_folder(f"{minimal_day}\n{sizes}\n")
    for words in (("--first", "1"), ("--wrap-curve",)):
        average, planned = run("price", day, *words), run("price", day, *words, "--for", "planned")
        assert average.code == 0
        assert "all work takes its planned minutes" in average.err
        assert (average.out, planned.err) == (planned.out, "")


@pytest.mark.parametrize(
    "words", few_first([("--first", "1"), (), ("--wrap-curve",)], 1), ids=" ".join
)
def test_the_command_prices_the_average_day_unless_asked_otherwise(
    run, make_folder, tmp_path, words
):
    """JSON says which day it is; planned minutes are what they were, without that key."""
    day = make_folder()
    asked = ("price", day, *words)
    picture = () if words[:1] == ("--first",) else ("--picture", tmp_path / "a.svg")
    found = run(*asked, "--json", "--sheet", tmp_path / "a.csv", *picture)
    assert found.code == 0, found.err
    assert json.loads(found.out)["aim"] == "average"
    assert "average day" in (tmp_path / "a.csv").read_text(encoding="utf-8-sig")
    if picture:
        assert "average" in (tmp_path / "a.svg").read_text(encoding="utf-8")
    planned = run(*asked, "--json", "--for", "planned")
    assert planned.code == 0
    assert "aim" not in json.loads(planned.out)
    text = run(*asked)
    assert text.code == 0
    assert "average day" in " ".join(text.out.split())


def test_the_command_refuses_what_it_cannot_price(run, make_folder):
    """Wrong words, unknown shots and impossible times: no traceback, exit code 1 or 2."""
    day = make_folder()
    for words, text in (
        (("--cut", "99"), "no shot `99`"),
        (("--meal", "25:00"), "not a clock time"),
        (("--shot", "1", "--at", "03:00"), "no plan obeys this"),
        (("--for", "ever"), "--for"),
        (("--cut", "1", "--wrap-curve"), "--wrap-curve"),
    ):
        found = run("price", day, *words)
        assert found.code in (1, 2), words
        assert text in found.err
        assert "Traceback" not in found.err
