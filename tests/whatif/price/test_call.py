"""A call that is moved is the day with that call in its folder, and a curve of calls agrees."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from builders import a_day, a_place, a_shot, at, the_hours

from sunsched.average.plan import average_plan
from sunsched.day.call import called_day
from sunsched.day.demand import CallAt
from sunsched.day.past import Past
from sunsched.errors import DayImpossible, SunschedError
from sunsched.folder.read import read_day
from sunsched.solver.solve import make_plan
from sunsched.solver.solved import solve_day
from sunsched.whatif.price.decision import check_decision
from sunsched.whatif.price.price import price
from sunsched.whatif.price.request import Asked, read_decision
from sunsched.whatif.price_average.call import average_call_curve, calls_of

DATA = Path(__file__).parents[3] / "data"


@pytest.fixture(scope="module")
def solved():
    """Give a demo day, solved for planned minutes."""
    return solve_day(read_day(DATA / "ferry-light"))


def edited(folder, call):
    """Read a demo day with another call in its folder, and no first roll that is before it."""
    text = (folder / "day.toml").read_text(encoding="utf-8")
    lines = [
        f'crew_call = "{call}"' if line.startswith("crew_call") else line
        for line in text.splitlines()
        if not (line.startswith("first_roll") and line.split('"')[1] < call)
    ]
    (folder / "day.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return read_day(folder)


@pytest.mark.parametrize("name", ["ferry-light", "last-lamp", "late-ridge"])
@pytest.mark.parametrize("later_min", [-60, 45, 90])
def test_a_moved_call_is_the_day_with_that_call(tmp_path, name, later_min):
    """Lunch, the first roll and all that counts from the call are as the reader has them."""
    folder = tmp_path / "day"
    shutil.copytree(DATA / name, folder, ignore=shutil.ignore_patterns("plans"))
    day = read_day(folder)
    call = day.hours.crew_call + timedelta(minutes=later_min)
    local = call.astimezone(day.place.zone)
    assert called_day(day, call) == edited(folder, f"{local:%H:%M}")


def test_its_price_is_what_the_two_plans_differ_by(solved):
    """A later call loses what the best plan of that day is worth less; proven on both sides."""
    day = solved.fit.day
    call = day.hours.crew_call + timedelta(minutes=45)
    asked = Asked(call=f"{call.astimezone(day.place.zone):%H:%M}")
    found = price(solved, read_decision(day, asked))
    other = make_plan(called_day(day, call))
    assert found.is_proven
    assert found.points_lost == solved.plan.points - other.points
    (lifted,) = found.sets_aside
    assert lifted.startswith("the call is at")


def test_a_call_before_the_days_own_is_of_the_same_morning(solved):
    """Any other time before the call is the next day's."""
    day = solved.fit.day
    earlier = day.hours.crew_call - timedelta(hours=1)
    text = f"{earlier.astimezone(day.place.zone):%H:%M}"
    assert read_decision(day, Asked(call=text)) == (CallAt(time=earlier),)


def test_a_call_that_leaves_no_day_is_refused(solved):
    """The calls that there can be are named."""
    day = solved.fit.day
    late = f"{day.hours.wrap.astimezone(day.place.zone):%H:%M}"
    with pytest.raises(DayImpossible, match="it can be from"):
        read_decision(day, Asked(call=late))


def test_a_call_at_the_edge_of_what_can_be():
    """A day of twenty-four hours at most, and not called when it is over."""
    day = a_day(a_shot("1"))
    minute, hours = timedelta(minutes=1), day.hours
    for call in (hours.hard_wrap - timedelta(hours=24), hours.wrap - minute):
        check_decision(day, (CallAt(time=call),))
    for call in (hours.hard_wrap - timedelta(hours=24) - minute, hours.wrap):
        with pytest.raises(DayImpossible, match="from 20:00-1 to before the wrap at 19:00"):
            check_decision(day, (CallAt(time=call),))
    begun = replace(day, past=Past(at=at("6:10"), free_at=at("6:10")))
    with pytest.raises(DayImpossible, match="and yet the crew was called at 06:00"):
        check_decision(begun, (CallAt(time=at("7:00")),))


def test_what_is_told_a_time_stays_as_far_as_it_can():
    """A first roll of its own is no earlier than the call, and lunch no later than its latest."""
    day = a_day(a_shot("1"))
    own = replace(day, hours=replace(day.hours, first_roll=at("8:00")))
    for call, first in (("5:00", "8:00"), ("8:00", "8:00"), ("8:01", "8:01")):
        assert called_day(own, at(call)).hours.first_roll == at(first)
    assert called_day(day, at("5:00")).hours.first_roll == at("5:00")
    late = replace(day, meal=replace(day.meal, earliest=at("11:30")))
    for call, earliest, latest in (("5:00", "11:00", "11:00"), ("7:00", "11:30", "13:00")):
        meal = called_day(late, at(call)).meal
        assert (meal.earliest, meal.latest) == (at(earliest), at(latest))


@pytest.mark.parametrize(
    ("hours", "step_min", "calls"),
    [
        (("6:00", "19:00"), 60, ("4:00", "5:00", "6:00", "7:00", "8:00", "9:00", "10:00")),
        (("6:10", "19:00"), 120, ("4:15", "6:10", "6:15", "8:15")),
        (("6:00", "11:00"), 60, ("4:15", "5:15", "6:00", "6:15")),
        (("6:00", "9:00"), 60, ("4:15", "6:00")),
        (("6:00", "29:30"), 60, ("6:00", "6:15", "7:15", "8:15", "9:15")),
    ],
)
def test_calls_of_a_curve_are_full_steps_of_the_local_clock(hours, step_min, calls):
    """Two hours before to four after, on a day of four hours to twenty-four; and the day's own.

    The clocks of Nepal are 5:45 ahead of UTC: 4:15 UTC is ten there.
    """
    zone = "UTC" if calls[0] == "4:00" else "Asia/Kathmandu"
    day = a_day(a_shot("1"), hours=the_hours(*hours), place=a_place(timezone=zone))
    assert calls_of(day, step_min) == [at(call) for call in calls]


@pytest.mark.slow
@pytest.mark.parametrize("step_min", [0, -30, 361])
def test_steps_that_are_none_are_refused(solved, step_min):
    """Of no minutes, backwards, and longer than the curve; the limits are told."""
    with pytest.raises(SunschedError, match=rf"step_min: out of range: `{step_min}` .*1 to 360"):
        calls_of(solved.fit.day, step_min)
    with pytest.raises(SunschedError, match="step_min"):
        average_call_curve(average_plan(solved), step_min=step_min)


def test_the_curve_has_the_days_own_call_and_what_the_plan_keeps(solved):
    """At the day's call it is worth what the plan is; every other call is a day of its own."""
    best = average_plan(solved)
    found = average_call_curve(best, step_min=60)
    assert [one.call for one in found] == calls_of(solved.fit.day, 60)
    (own,) = [one for one in found if one.call == solved.fit.day.hours.crew_call]
    assert round(own.kept.points) == best.points
    assert {one.kept.fit.day.hours.crew_call for one in found} == {one.call for one in found}


@pytest.mark.slow
def test_the_command_says_what_a_call_costs(run, tmp_path):
    """As text and as JSON; a curve goes alone."""
    day = shutil.copytree(DATA / "ferry-light", tmp_path / "day")
    code, out, err = run("price", day, "--call", "10:00", "--json")
    assert (code, err) == (0, "")
    record = json.loads(out)
    assert record["decision"] == ["the call is at 10:00"]
    assert run("price", day, "--call-curve", "--wrap", "18:00")[0] == 2
