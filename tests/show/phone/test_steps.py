"""What the script of the phone page reads: steps that follow one another without a gap."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest

from show.phone.days import at, hard_sheet, hostile_sheet, lone_sheet, under_way
from sunsched.day.model import CastMember, Span, Spot
from sunsched.day.past import Made, Past
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


def test_nothing_is_begun_before_what_it_needs():
    """Before its person is here, its spot open, its pin, or the minute that the plan waits for."""
    sheet = hostile_sheet()
    plan = sheet.plan
    shots = {one.shot.id: one.shot for one in plan.shots}
    late = Span(start=at("07:35"), end=at("19:00"))
    changed = {
        "2": replace(shots["2"], cast=("Bo",)),
        "3": replace(shots["3"], pin=at("08:20")),
        "4": replace(shots["4"], pin=None),
    }
    day = replace(
        plan.day,
        cast=(CastMember(name="Bo", here=(late,)),),
        spots=(Spot(name="pans"), Spot(name="mill <b>", open=(late,))),
        shots=tuple(changed.get(name, shot) for name, shot in shots.items()),
    )
    plan = replace(
        plan,
        fit=replace(plan.fit, day=day),
        shots=tuple(replace(one, shot=changed.get(one.shot.id, one.shot)) for one in plan.shots),
    )
    soonest = {
        step.shot: step.soonest
        for step in steps_of(replace(sheet, plan=plan))
        if step.kind == "roll"
    }
    first = plan.day.hours.first_roll
    expected = {"1": first, "2": at("07:35"), "3": at("08:20"), "4": first, "5": at("07:35")}
    assert soonest == expected


def test_on_the_average_day_nothing_rolls_before_it_may():
    """Not before is kept by a crew that is ready earlier."""
    sheet = hard_sheet(2, has_meal=False)
    outlook = sheet.plan.outlook
    assert outlook is not None
    first, second = outlook.prospects
    waits = replace(second, not_before=sheet.plan.shots[1].roll_start)
    plan = replace(sheet.plan, outlook=replace(outlook, prospects=(first, waits)))
    rolls = [step for step in steps_of(replace(sheet, plan=plan)) if step.kind == "roll"]
    assert rolls[1].soonest == sheet.plan.shots[1].roll_start
    assert rolls[1].begin_by == second.begin_by
    assert rolls[0].soonest == plan.day.hours.first_roll


def test_minutes_that_were_lost_are_not_made_up_for():
    """A plan made as half an hour was lost: nobody begins before that is over."""
    sheet = hard_sheet(2, has_meal=False)
    first, second = sheet.plan.shots
    lost = timedelta(minutes=30)
    later = replace(
        second,
        changeover_start=second.changeover_start + lost,
        roll_start=second.roll_start + lost,
        roll_end=second.roll_end + lost,
    )
    made = Made(
        shot_id=first.shot.id,
        changeover_start=first.changeover_start,
        roll_start=first.roll_start,
        roll_end=first.roll_end,
    )
    free_at = first.roll_end + lost
    day = replace(sheet.plan.day, past=Past(at=first.roll_end, free_at=free_at, made=(made,)))
    plan = replace(sheet.plan, fit=replace(sheet.plan.fit, day=day), shots=(first, later))
    waits = [step for step in steps_of(replace(sheet, plan=plan)) if step.kind == "wait"]
    assert [(one.start, one.end, one.soonest) for one in waits] == [
        (first.roll_end, free_at, free_at)
    ]


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
