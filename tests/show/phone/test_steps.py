"""What the script of the phone page reads: steps that follow one another without a gap."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from show.phone.days import at, hard_sheet, hostile_sheet, lone_sheet, under_way
from sunsched.show.agenda import day_lines
from sunsched.show.sheets.phone.steps import Step, day_steps, isolated


def steps_of(sheet) -> tuple[Step, ...]:
    """Give the steps of a sheet, its rows numbered."""
    rows = [(str(number), line) for number, line in enumerate(day_lines(sheet.plan))]
    return day_steps(sheet.plan, rows)


@pytest.mark.parametrize("make", [hostile_sheet, hard_sheet, lone_sheet])
def test_steps_fill_the_day(make):
    """From the call to the wrap each begins where the last one ends, and every shot rolls once."""
    sheet = make()
    steps, plan = steps_of(sheet), sheet.plan
    assert steps[0].start == plan.day.hours.crew_call
    assert steps[-1].end == plan.day.hours.wrap
    assert all(one.end == other.start for one, other in pairwise(steps))
    rolls = [step for step in steps if step.kind == "roll"]
    assert [(one.start, one.end) for one in rolls] == [
        (one.roll_start, one.roll_end) for one in plan.shots
    ]
    assert [one.latest for one in rolls] == [one.last_start for one in plan.shots]
    begun = {one.shot.id: one.changeover_start for one in plan.shots}
    for step in steps:
        if step.kind in ("move", "build"):
            assert step.start >= begun[step.shot]


def test_steps_of_a_day_under_way_begin_at_its_moment():
    """What is made is no step; what rolls is."""
    steps = steps_of(under_way(hostile_sheet()))
    assert (steps[0].kind, steps[0].shot, steps[0].start) == ("roll", "3", at("08:30"))
    assert {step.shot for step in steps} == {"", "3", "4", "5"}


def test_second_meal_is_never_what_goes_on():
    """It is eaten as the work goes on: at 14:10 shot 5 rolls."""
    sheet = hostile_sheet()
    fed = replace(sheet, plan=replace(sheet.plan, second_meal_due=at("14:10")))
    lines = [line.text for line in day_lines(fed.plan)]
    assert "second meal, 30 min: hand it out before 5 rolls" in lines  # the last shot
    assert [(one.kind, one.start, one.end) for one in steps_of(fed)] == [
        (one.kind, one.start, one.end) for one in steps_of(sheet)
    ]


def test_only_what_turns_is_held_together():
    """Marks of direction stand around a name that runs the other way, and around no other."""
    assert isolated("quay") == "quay"
    assert isolated("船坞") == "船坞"
    assert isolated("מצפה") == "\u2068מצפה\u2069"
    assert isolated("a\u202eb") == "\u2068a\u202eb\u2069"
