"""Sheets and pictures of a plan for the average day: likely times, chances, waits, last begins."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

import icalendar
import pytest
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from sunsched.average.plan import AveragePlan, average_plan
from sunsched.day.clock import clock
from sunsched.folder.read import read_day
from sunsched.show.agenda import LineKind, Sheet, day_lines
from sunsched.show.charts.day import day_figure
from sunsched.show.drawing.timeline import minutes_of
from sunsched.show.paper_size import Shape
from sunsched.show.proof import verdict
from sunsched.show.prospects import chance, light_text, prospect_texts
from sunsched.show.sheets.calendar import calendar_bytes
from sunsched.show.sheets.html import page_bytes
from sunsched.show.sheets.printed.pages import paper_figures
from sunsched.show.sheets.spreadsheet import csv_bytes
from sunsched.show.stamp import Stamp
from sunsched.solver.solve import make_plan
from sunsched.solver.solved import solve_day

DATA = Path(__file__).parents[2] / "data"
MADE = datetime(2027, 2, 20, 18, 2, tzinfo=UTC)


@cache
def ferry() -> AveragePlan:
    """Give the plan of a demo day for the average day."""
    return average_plan(solve_day(read_day(DATA / "ferry-light")))


def sheet() -> Sheet:
    """Give its sheet."""
    return Sheet(plan=ferry().likely, stamp=Stamp(made_at=MADE, revision=3), paper=Shape.A4)


@pytest.mark.slow
def test_what_is_said_of_the_plan_is_said_of_the_average_day() -> None:
    """Points and bound of the average day, and no word of a proof for planned minutes."""
    found = ferry()
    said = verdict(found.likely)
    assert f"{found.light_kept:.1%} of the light is kept, {found.points} points" in said
    assert str(found.bound) in said
    assert "proven" not in said


def test_table_has_the_chances_of_every_shot_of_the_order() -> None:
    """Also of those that the likely day does not make; times are those of the place."""
    found, text = ferry(), csv_bytes(sheet()).decode("utf-8-sig")
    rows = {row["id"]: row for row in csv.DictReader(io.StringIO(text)) if row["id"]}
    day = found.likely.day
    assert found.likely.outlook is not None
    for one in found.likely.outlook.prospects:
        row = rows[one.shot_id]
        assert float(row["made_percent"]) == pytest.approx(100 * one.made, abs=0.06)
        assert float(row["average_light_percent"]) == pytest.approx(100 * one.light, abs=0.06)
        begin = "" if one.begin_by is None else clock(day, one.begin_by)
        assert row["begin_by_local"][-5:] == begin
        assert one.rolls is not None
        assert row["roll_tenth_local"][-5:] == clock(day, one.rolls.start)
    made = {one.shot.id for one in found.likely.shots}
    seldom = [row for name, row in rows.items() if name not in made]
    assert [row["kind"] for row in seldom] == ["left out"] * len(seldom)
    assert all("made on" in row["why"] or "hardly" in row["why"] for row in seldom)


def test_a_plan_for_planned_minutes_has_no_such_columns() -> None:
    """Its table is what it was."""
    plan = make_plan(read_day(DATA / "ferry-light"))
    planned = Sheet(plan=plan, stamp=Stamp(made_at=MADE, revision=3), paper=Shape.A4)
    assert "made_percent" not in csv_bytes(planned).decode("utf-8-sig").splitlines()[0]
    assert [*prospect_texts(plan, plan.shots[0])] == []
    assert light_text(plan, plan.shots[0]) == f"{plan.shots[0].fit:.0%}"


def test_picture_has_the_likely_starts_of_every_shot() -> None:
    """A band from the tenth to the last tenth, under the strip and clear of every roll and build.

    The key explains it, and the chance stands beside it.
    """
    likely = ferry().likely
    figure = day_figure(likely.fit, likely)
    strips = figure.axes[-1]
    texts = [text.get_window_extent() for text in figure.findobj(Text) if text.get_text().strip()]
    drawn = {str(box.get_label()): box for box in strips.findobj(Rectangle)}
    assert likely.outlook is not None
    for one in likely.outlook.prospects:
        assert one.rolls is not None
        ends = [minutes_of(likely.fit, when) for when in (one.rolls.start, one.rolls.end)]
        band = drawn[f"likely {one.shot_id}"]
        assert [band.get_x(), band.get_x() + band.get_width()] == pytest.approx(ends)
        assert not any(band.get_window_extent().overlaps(box) for box in texts)
        for name, other in drawn.items():
            if name.startswith(("roll ", "build ", "move ", "likely ")) and other is not band:
                assert not band.get_bbox().overlaps(other.get_bbox()), name
    plan = make_plan(read_day(DATA / "ferry-light"))
    labels = [str(one.get_label()) for one in day_figure(plan.fit, plan).findobj()]
    assert "light 1" in labels
    assert not any(label.startswith("likely") for label in labels)


def test_clipboard_page_says_who_waits_and_who_is_left_out() -> None:
    """Not before and begin by under the roll, chances for the light kept."""
    found = ferry()
    day, page = found.likely.day, paper_figures(sheet())[0]
    words = [text.get_text() for text in page.texts]
    assert found.likely.outlook is not None
    for one in found.likely.outlook.prospects:
        if one.shot_id in {p.shot.id for p in found.likely.shots}:
            assert chance(one.made) in words
            if one.begin_by is not None:
                assert f"begin by {clock(day, one.begin_by)}" in words
            if one.not_before is not None:
                assert f"not before {clock(day, one.not_before)}" in words


def test_phone_page_and_calendar_say_it_too() -> None:
    """In the facts of each shot."""
    found = ferry()
    html = page_bytes(sheet()).decode()
    events = icalendar.Calendar.from_ical(calendar_bytes(sheet())).walk("VEVENT")
    told = {str(event["SUMMARY"]).split()[0]: str(event["DESCRIPTION"]) for event in events}
    for planned in found.likely.shots:
        for text in prospect_texts(found.likely, planned):
            assert text in told[planned.shot.id]
            assert text.replace(">", "&gt;") in html


def test_a_wait_that_costs_more_than_it_wins_pays_on_the_average_day() -> None:
    """It is said so; where it wins more, or the plan is for planned minutes, there is no need."""
    plan = ferry().likely
    place = next(k for k, one in enumerate(plan.shots) if one.built_wait_min >= 5)

    def said(wins: int, costs: int, *, is_average: bool = True) -> str:
        bought = f"wins {wins} points, the wait costs {costs}"
        waits = f"for the light of 1 (15% at once, 98% then: {bought})"
        shots = list(plan.shots)
        shots[place] = replace(shots[place], wait_for=waits)
        told = replace(plan, shots=tuple(shots), outlook=plan.outlook if is_average else None)
        return next(line.text for line in day_lines(told) if bought in line.text)

    assert said(100, 450).endswith("costs 450 on the likely day; it pays on the average day)")
    assert said(-3, 450).endswith("it pays on the average day)")
    for text in (said(450, 450), said(100, 450, is_average=False)):
        assert text.endswith("the wait costs 450)")


def test_waits_of_a_few_minutes_are_no_line_of_a_likely_day() -> None:
    """No day keeps to them."""
    waits = [line for line in day_lines(ferry().likely) if line.kind is LineKind.WAIT]
    assert waits
    assert all((line.end - line.start).total_seconds() >= 300 for line in waits)
