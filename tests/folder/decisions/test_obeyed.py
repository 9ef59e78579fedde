"""Every command obeys what was decided, and says so; what it costs is what `price` said."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

import sunsched
from sunsched.day.demand import Cut, KeepOrder, MealAt, ReleaseAt, RollAt
from sunsched.folder.keep import keep_decision
from sunsched.folder.read import read_folder
from sunsched.plan.rules import breaches
from sunsched.plan.timetable import meal_within
from sunsched.saved.plan_file import facts_mark
from sunsched.solver.certified import certified_plan

DATA = Path(__file__).parents[3] / "data"


@pytest.fixture
def folder(tmp_path):
    """Give a copy of a demo day of nine shots."""
    made = tmp_path / "ferry-light"
    shutil.copytree(DATA / "ferry-light", made, ignore=shutil.ignore_patterns("plans"))
    return made


def decide(folder):
    """Keep one decision of each kind that moves something in the best plan."""
    day = sunsched.read_day(folder)
    plan = sunsched.make_plan(day)
    first, second, *_, last = [one.shot.id for one in plan.shots]
    cast = next(member.name for member in day.cast)
    rolls = {one.shot.id: one.roll_start for one in plan.shots}
    meal = plan.meal.start if plan.meal is not None else day.meal.latest
    demands = (
        Cut(shot=last),
        KeepOrder(shots=(second, first)),
        MealAt(time=meal.replace(minute=0)),
        ReleaseAt(cast=cast, time=day.hours.hard_wrap.replace(hour=16, minute=30)),
    )
    keep_decision(folder, *demands)
    return plan, demands, rolls


def test_the_plan_is_the_one_that_price_found(folder):
    """Decided in the folder or asked of `price`: the same points, judged and certified."""
    asked = sunsched.read_day(folder)
    _, demands, _ = decide(folder)
    reading = read_folder(folder)
    assert reading.asked == asked
    priced = sunsched.price(sunsched.solve_day(asked), demands)
    plan = sunsched.make_plan(reading.day)
    assert priced.is_proven
    assert (plan.points, plan.light_kept) == (priced.plan.points, priced.plan.light_kept)
    assert certified_plan(reading.day).points == plan.points
    assert breaches(plan.fit, plan.timetable) == ()
    cut, order = demands[:2]
    made = [one.shot.id for one in plan.shots]
    assert {left.shot.id: left.why for left in plan.left_out}[cut.shot] == "cut by decision"
    assert [shot for shot in made if shot in order.shots] == [*order.shots]
    assert plan.meal is not None
    assert plan.meal.start == demands[2].time
    assert meal_within(plan.day) == meal_within(asked)


def test_the_average_day_obeys_too(folder):
    """Its best order is worth what `price` finds on that day."""
    asked = sunsched.read_day(folder)
    _, demands, _ = decide(folder)
    solved = sunsched.solve_day(asked)
    priced = sunsched.average_price(solved, sunsched.average_plan(solved), demands)
    day = sunsched.read_day(folder)
    found = sunsched.average_plan(sunsched.solve_day(day))
    # Both are searches: they find orders worth the same within a hundredth.
    assert found.points == pytest.approx(priced.now.points, rel=0.01)
    assert demands[0].shot not in found.policy.ids
    order = [one for one in found.policy.ids if one in demands[1].shots]
    assert order == [one for one in demands[1].shots if one in order]
    assert breaches(found.likely.fit, found.likely.timetable) == ()


def test_commands_tell_and_obey_decisions(folder, run):
    """In text and in JSON: check, plan, compare, replan, price, log, and a saved plan."""
    assert run("plan", folder, "--for", "planned", "--save").code == 0
    before = json.loads(run("plan", folder, "--for", "planned", "--json").out)
    assert before["decisions"] == []
    last = before["shots"][-1]["id"]
    kept = run("price", folder, "--cut", last, "--for", "planned", "--keep")
    assert kept.code == 0
    assert kept.err == f"kept in decisions.csv: {last} is cut\n"
    told = f"decisions of the day: {last} is cut (decisions.csv)"
    assert told in " ".join(run("check", folder).out.split())
    assert json.loads(run("check", folder, "--json").out)["decisions"] == [f"{last} is cut"]
    after = run("plan", folder, "--for", "planned").out
    assert told in after
    assert f"left out: {last}" in after
    record = json.loads(run("plan", folder, "--for", "planned", "--json").out)
    assert record["decisions"] == [f"{last} is cut"]
    assert last not in [one["id"] for one in record["shots"]]
    theirs = run("compare", folder, "1", "--for", "planned").out
    assert f"breaks a rule (cut): {last} is cut by decision and is made" in theirs
    old = run("plan", folder, "--revision", "1")
    assert (old.code, f"(cut): {last} is cut by decision and is made" in old.err) == (1, True)
    now = before["shots"][0]["roll_start"][11:16]
    best = json.loads(run("replan", folder, "--at", now, "--for", "planned", "--json").out)
    shots = [one["id"] for one in best["choices"]["best"]["shots"]]
    assert last not in shots
    assert json.loads(run("log", folder, "--json").out)["cut"] == [last]
    html = folder.parent / "page.html"
    assert run("plan", folder, "--for", "planned", "--save").code == 0
    assert run("sheet", folder, html).code == 0
    assert told in html.read_text(encoding="utf-8")


def test_price_goes_on_from_what_was_decided(folder, run):
    """Another time for a decided shot sets that aside; what contradicts one is refused."""
    shot, roll = _any_roll(folder)
    clock = f"{roll:%H:%M}"
    later = f"{roll.replace(minute=(roll.minute + 30) % 60):%H:%M}"
    words = ("price", folder, "--for", "planned", "--shot", shot)
    assert run(*words, "--at", clock, "--keep").code == 0
    again = run(*words, "--at", later, "--keep")
    if again.code == 0:
        assert f"sets aside a rule of the day: {shot} rolls at {clock}" in again.out
        assert again.err.endswith(f"in the place of: {shot} rolls at {clock}\n")
    refused = run("price", folder, "--cut", shot)
    assert refused.code == 1
    assert "a decision of the day stands against it" in refused.err


def _any_roll(folder):
    plan = sunsched.make_plan(sunsched.read_day(folder))
    one = plan.shots[1]
    return one.shot.id, one.roll_start.astimezone(plan.day.place.zone)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "it keeps a decision: name one"),
        (("--first", "1"), "a decision of the kind before, after or first is priced"),
    ],
)
def test_what_cannot_be_kept_is_refused_before_it_is_priced(folder, run, words, told):
    """At once, and nothing is written."""
    ran = run("price", folder, *words, "--keep")
    assert ran.code in (1, 2)
    assert told in ran.err
    assert ran.out == ""
    assert not (folder / "decisions.csv").exists()


def test_a_day_under_decisions_is_another_day(folder):
    """A saved plan's mark of the day changes with each decision, and only with them."""
    asked = sunsched.read_day(folder)
    shot = asked.shots[0].id
    cut = keep_decision(folder, Cut(shot=shot)).day
    assert facts_mark(cut) != facts_mark(asked)
    # A mark that was saved before there were decisions is still that of a day without any.
    assert facts_mark(replace(asked, decisions=())) == facts_mark(asked)


def test_a_pin_that_was_decided_is_kept_on_the_average_day(folder):
    """As one of the list is: it is worth more than anything that it costs."""
    shot, roll = _any_roll(folder)
    day = keep_decision(folder, RollAt(shot=shot, time=roll)).day
    found = sunsched.average_plan(sunsched.solve_day(day))
    (chance,) = [one for one in found.chances if one.shot.id == shot]
    assert chance.on_pin is not None
    assert chance.on_pin > 0.5
