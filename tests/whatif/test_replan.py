"""The rest of a day planned anew: what stays, what is best, what is lost, and what is refused.

Outside opinions: the judge, who knows nothing of any table, and brute force over small days.
"""

from __future__ import annotations

import errno
import json
import os
import re
import shutil
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import combinations
from pathlib import Path
from random import Random

import pytest
from builders import kept_in_order
from draws import seeded
from oracles.brute import best_of_all
from oracles.days import random_day
from seeds import few_first
from under_way import as_planned

from sunsched.day.model import Day
from sunsched.day.past import Past
from sunsched.errors import DayImpossible, FolderError
from sunsched.folder.log.event import Event, Kind
from sunsched.folder.read import read_day
from sunsched.folder.store.write import save_revision
from sunsched.plan.plan import Plan, place_changeovers
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable
from sunsched.saved.numbers import revision_numbers
from sunsched.saved.restore import plan_of_revision, revision_day
from sunsched.saved.revisions import newest_revision, read_revision
from sunsched.show.records.saved import revision_record
from sunsched.show.text.headlines.rest import back_words
from sunsched.solver.instance.problem import FORBIDDEN, Problem
from sunsched.solver.solve import make_plan
from sunsched.underway.at_risk import at_risk, slacks
from sunsched.underway.rest import Rest, pose_rest, stopped
from sunsched.underway.state import day_so_far
from sunsched.whatif.replan.changes import change_texts, comebacks
from sunsched.whatif.replan.choices import find_choices
from sunsched.whatif.replan.losses import find_gains
from sunsched.whatif.replan.replan import Replan, replan

DATA = Path(__file__).parents[2] / "data"
DEMOS = ("last-lamp", "late-ridge", "ferry-light")
PLANNED = ("--for", "planned")
PLANS: dict[str, Plan] = {}
MINUTE = timedelta(minutes=1)


def demo_plan(name: str) -> Plan:
    """Give the plan of a demo day, made once for all tests."""
    if name not in PLANS:
        PLANS[name] = make_plan(read_day(DATA / name))
    return PLANS[name]


@pytest.fixture
def folder(tmp_path: Path) -> Callable[[str], Path]:
    """Give a function that copies a demo day and saves its plan as revision 1."""

    def copy(name: str) -> Path:
        shutil.copytree(DATA / name, tmp_path / name)
        plan = demo_plan(name)
        save_revision(tmp_path / name, lambda own: json.dumps(revision_record(plan, own, None)))
        return tmp_path / name

    return copy


def files(folder: Path) -> dict[str, bytes]:
    """Read all that is in a folder."""
    every = (path for path in folder.rglob("*") if path.is_file())
    return {str(path.relative_to(folder)): path.read_bytes() for path in every}


def local(day: Day, clock: str) -> datetime:
    """Give a clock time of the day."""
    hour, minute = map(int, clock.split(":"))
    return datetime(*day.date.timetuple()[:3], hour, minute, tzinfo=day.place.zone)


def demo_replan(name: str, clock: str, late_min: int = 0) -> Replan:
    """Plan the rest of a demo day anew that went as planned up to a moment."""
    plan = demo_plan(name)
    at = local(plan.day, clock)
    return replan(plan.day, as_planned(plan, at), plan.timetable, at=at, late_min=late_min)


@pytest.mark.slow
@pytest.mark.parametrize("name", DEMOS)
def test_replan_without_a_delay_changes_nothing(name):
    """Every half-hour from before the call to after the wrap: the plan itself, minute by minute."""
    plan = demo_plan(name)
    at = plan.day.hours.crew_call - 30 * MINUTE
    while at <= plan.day.hours.hard_wrap + 30 * MINUTE:
        found = replan(plan.day, as_planned(plan, at), plan.timetable, at=at)
        assert found.best.plan.timetable == plan.timetable, at
        assert found.push is not None
        assert found.push.plan.timetable == plan.timetable, at
        assert found.changes(found.best) == ()
        assert found.lost(found.best) == ()
        assert found.best.worth == plan.points
        at += 30 * MINUTE


def test_half_an_hour_ahead_keeps_the_planned_times():
    """A shot done early moves nothing that could not win by it."""
    plan = demo_plan("last-lamp")
    events = as_planned(plan, local(plan.day, "15:06"))
    early = [
        replace(one, at=one.at - 10 * MINUTE) if one.number == len(events) else one
        for one in events
    ]
    found = replan(plan.day, early, plan.timetable, at=local(plan.day, "15:06"))
    assert [one.roll_start for one in found.best.plan.shots] == [
        one.roll_start for one in plan.shots
    ]


def test_equal_times_are_those_that_were_planned():
    """A shot five minutes later is worth the same, and was said to the crew."""
    plan = demo_plan("last-lamp")
    later = ("8",)
    rolls = [
        (plan.day.shot(r.shot_id), r.roll_start + 5 * MINUTE * (r.shot_id in later))
        for r in plan.timetable.rolls
    ]
    assert plan.meal is not None
    meal = plan.meal.start
    planned = Timetable(rolls=place_changeovers(plan.day, rolls, meal), meal_start=meal)
    at = local(plan.day, "08:46")
    found = replan(plan.day, as_planned(plan, at), planned, at=at)
    assert found.best.plan.points == plan.points
    assert found.best.plan.timetable == planned
    assert found.push is not None
    assert found.push.plan.timetable == planned


def random_past(plan: Plan, random: Random) -> tuple[list[Event], datetime, int]:
    """Give the log of a day that began by its plan and went its own way, a moment and a delay."""
    count = random.randrange(len(plan.shots) + 1)
    clock = plan.day.hours.crew_call + random.randrange(0, 20) * MINUTE
    meal = plan.meal
    events: list[tuple[Kind, str, datetime]] = []
    for place, one in enumerate(plan.shots):
        if meal is not None and meal.start <= one.changeover_start and random.random() < 0.8:
            events.append((Kind.MEAL, "", clock))
            clock += plan.day.meal.length_min * MINUTE
            meal = None
        if place >= count:
            break
        if random.random() < 0.1:
            events.append((Kind.CUT, one.shot.id, clock))
            continue
        clock = max(one.roll_start - 10 * MINUTE, clock + random.randrange(5, 30) * MINUTE)
        events.append((Kind.ROLLED, one.shot.id, clock))
        clock += random.randrange(1, one.shot.shoot_min + 20) * MINUTE
        events.append((Kind.DONE, one.shot.id, clock))
    if events and events[-1][0] is Kind.DONE and random.random() < 0.3:
        events.pop()
    log = [
        Event(number=number, at=when, kind=kind, since=when, subject=subject)
        for number, (kind, subject, when) in enumerate(events, 1)
    ]
    at = max([clock if not log else log[-1].at, plan.day.hours.crew_call])
    return log, at + random.randrange(15) * MINUTE, random.choice((0, 0, 10, 45))


def random_rest(seed: int, *, is_strict: bool = False) -> tuple[Rest, Plan] | None:
    """Give the rest of a small random day, None for a day that is impossible from the start.

    `is_strict` is for matches that hardly allow a drift, so that no sun suits all their shots.
    """
    random = seeded(seed)
    matches = ((), ("keel",), ("keel", "lamp"))[1 if is_strict else seed % 3]
    day = random_day(seed, 5, matches)
    if is_strict:
        costs = replace(day.costs, match=4_000, match_free_deg=1.0, match_span_deg=30.0)
        day = replace(day, costs=costs)
    try:
        plan = make_plan(day, grid_min=20)
    except DayImpossible:
        return None
    events, at, late_min = random_past(plan, random)
    now = day_so_far(plan.day, events, at=at, late_min=late_min, planned=plan.timetable)
    return pose_rest(now, plan.timetable, 20), plan


def only(problem: Problem, ids: Sequence[str], *, must: bool) -> Problem:
    """Give a problem in which no shot but these is made, and all of these are if they must be."""
    gain = problem.gain.copy()
    others = [k for k, shot_id in enumerate(problem.ids) if shot_id not in ids]
    gain[:, others] = FORBIDDEN
    needed = problem.must.copy()
    if must:
        needed[[problem.ids.index(shot_id) for shot_id in ids]] = True
    return replace(problem, gain=gain, must=needed)


def nothing_more(rest: Rest) -> int:
    """Give what the day is worth with nothing more made."""
    return score(rest.fit, stopped(rest.day)).total


@pytest.mark.parametrize("seed", few_first(range(60), 8))
def test_choices_are_what_brute_force_finds(seed):
    """Best, the push with the fewest let go, and the shot to drop, on random days gone astray."""
    found = random_rest(seed)
    if found is None:
        return  # a few of the random days are impossible from the start
    rest, _ = found
    made = [roll.shot_id for roll in stopped(rest.day).rolls]
    best = best_of_all(rest.near)
    try:
        choices = find_choices(rest)
    except DayImpossible:
        assert best is None
        return
    assert choices.best.worth == (nothing_more(rest) if best is None else best[0])
    assert choices.best.plan.status == "proven"
    in_order = kept_in_order(rest.problem, [rest.problem.ids.index(one) for one in rest.order])
    push_ids, push_points = fewest_let_go(rest, in_order, made)
    assert choices.push is not None
    assert choices.push.plan.points == push_points
    assert len(choices.push.plan.shots) == push_ids
    assert choices.push.turned == 0
    kept = [one.shot.id for one in choices.push.plan.shots]
    droppable = [
        one
        for one in kept
        if one not in made and not rest.problem.must[rest.problem.ids.index(one)]
    ]
    less = [
        worth
        for drop in droppable
        if (worth := best_of_all(only(in_order, [one for one in kept if one != drop], must=True)))
    ]
    if less:
        assert choices.drop_one is not None
        assert choices.drop_one.plan.points == max(less)[0]
        assert choices.best.worth >= choices.drop_one.worth
    assert choices.best.worth >= choices.push.worth


@pytest.mark.parametrize("seed", [1378, 1379, 1380])
def test_push_is_exact_where_no_sun_suits_a_whole_match(seed):
    """On the first of these the row that promises most is not the one that is worth most."""
    found = random_rest(seed, is_strict=True)
    assert found is not None
    rest, _ = found
    made = [roll.shot_id for roll in stopped(rest.day).rolls]
    in_order = kept_in_order(rest.problem, [rest.problem.ids.index(one) for one in rest.order])
    push = find_choices(rest).push
    assert push is not None
    assert (len(push.plan.shots), push.plan.points) == fewest_let_go(rest, in_order, made)


def fewest_let_go(rest: Rest, in_order: Problem, made: list[str]) -> tuple[int, int]:
    """Give how many shots the fullest push makes, and its most points, by trying every choice."""
    for count in range(len(rest.order), -1, -1):
        points = [
            found[0]
            for kept in combinations(rest.order, count)
            if (found := best_of_all(only(in_order, [*made, *kept], must=True))) is not None
        ]
        if points:
            return len(made) + count, max(points)
    return len(made), nothing_more(rest)


@pytest.mark.parametrize("seed", few_first(range(60, 100), 12))
def test_every_choice_obeys_and_moves_nothing_made(seed):
    """The judge finds no breach, made shots stand as they were, and nothing cut is made."""
    found = random_rest(seed)
    if found is None:
        return
    rest, _ = found
    past = rest.day.past
    assert past is not None
    try:
        choices = find_choices(rest)
    except DayImpossible:
        return
    for choice in (choices.best, choices.push, choices.drop_one):
        if choice is None:
            continue
        timetable = choice.plan.timetable
        assert breaches(rest.fit, timetable) == ()
        was = [(one.shot_id, one.roll_start) for one in past.made]
        assert [(r.shot_id, r.roll_start) for r in timetable.rolls[: len(was)]] == was
        coming = timetable.rolls[len(was) :]
        assert all(roll.roll_start >= past.free_at for roll in coming)
        assert not {roll.shot_id for roll in coming} & set(past.cut)
        assert choice.plan.points == score(rest.fit, timetable).total


def test_a_dear_turn_keeps_the_order():
    """With turned pairs free the day is turned round; with dear ones best is the push."""
    plan = demo_plan("late-ridge")
    at = local(plan.day, "09:00")
    found = {}
    for cost in (0, 50, 100_000):
        day = replace(plan.day, costs=replace(plan.day.costs, turned_round=cost))
        found[cost] = replan(day, as_planned(plan, at), plan.timetable, at=at, late_min=50).best
    assert found[0].turned >= found[50].turned > found[100_000].turned == 0
    assert found[0].plan.points >= found[50].plan.points > found[100_000].plan.points
    assert [found[cost].turned_points for cost in found] == [0, 50 * found[50].turned, 0]


def test_best_beats_push_where_the_order_no_longer_fits():
    """Twenty minutes after lunch: the push lets a shot go that another order makes."""
    found = demo_replan("late-ridge", "14:00", 20)
    assert found.push is not None
    assert found.push.plan.left_out
    assert not found.best.plan.left_out
    assert found.best.worth > found.push.worth


def test_a_shot_that_stands_built_does_not_roll_in_lost_minutes():
    """Built and waiting since before the delay, 10 rolls when the lost minutes are over."""
    found = demo_replan("last-lamp", "14:30", 70)
    assert found.past.building == "10"
    ten = next(one for one in found.best.plan.shots if one.shot.id == "10")
    assert ten.roll_start >= found.past.free_at == local(found.day, "15:40")


def test_lunch_comes_at_once_when_its_time_has_gone_by():
    """Free at 12:02, two minutes past the latest lunch and off the grid: lunch at 12:02."""
    found = demo_replan("last-lamp", "10:56", 66)
    assert found.best.plan.meal is not None
    assert found.best.plan.meal.start == local(found.day, "12:02")
    assert not found.best.plan.left_out


def test_late_start_that_a_pin_and_the_meal_do_not_allow():
    """The ferry at 16:50 and a meal first: the text names both, and each alone would do."""
    with pytest.raises(DayImpossible) as refused:
        demo_replan("ferry-light", "11:14", 240)
    text = str(refused.value)
    assert "11 is pinned to 16:50" in text
    assert "the meal and its latest start" in text


def test_time_before_the_last_event_is_refused():
    """A moment that the log has passed already."""
    plan = demo_plan("last-lamp")
    with pytest.raises(FolderError, match=r"its last event is later than 08:20: `08:45`"):
        replan(
            plan.day,
            as_planned(plan, local(plan.day, "08:45")),
            plan.timetable,
            at=local(plan.day, "08:20"),
        )


def test_after_the_hard_wrap_nothing_more_is_made():
    """What is still to come is left out, and the made shots stand."""
    plan = demo_plan("last-lamp")
    events = as_planned(plan, local(plan.day, "18:05"))
    found = replan(plan.day, events, plan.timetable, at=local(plan.day, "20:00"))
    assert [left.shot.id for left in found.best.plan.left_out] == ["15", "16"]
    assert found.drop_one is None
    assert len(found.coming) == 2


def test_all_cut_before_lunch_has_no_lunch():
    """A day that is called off at dawn: no shot, no meal, nothing to drop."""
    plan = demo_plan("last-lamp")
    at = local(plan.day, "06:10")
    cuts = [
        Event(number=number, at=at, kind=Kind.CUT, since=at, subject=shot.id)
        for number, shot in enumerate(plan.day.shots, 1)
    ]
    found = replan(plan.day, cuts, plan.timetable, at=at)
    assert (found.coming, found.drop_one) == ((), None)
    assert found.best.plan.timetable == Timetable(rolls=())


def test_before_anything_is_made_a_lost_day_is_empty():
    """Nothing made and no time left: no plan is refused, every shot is left out."""
    found = demo_replan("last-lamp", "05:30", 1_000)
    assert found.best.plan.shots == ()
    assert len(found.best.plan.left_out) == 16


def plan_with(day: Day, starts: dict[str, str], meal: str | None = None) -> Plan:
    """Give a plan with these starts, judged loosely: only its timetable and day are looked at."""
    plan = demo_plan("last-lamp")
    rolls = [(day.shot(shot_id), local(day, clock)) for shot_id, clock in starts.items()]
    meal_start = None if meal is None else local(day, meal)
    placed = place_changeovers(day, rolls, meal_start)
    return replace(
        plan,
        fit=replace(plan.fit, day=day),
        timetable=Timetable(rolls=placed, meal_start=meal_start),
    )


def texts(
    before: dict[str, str],
    now: dict[str, str],
    meals: tuple[str | None, str | None] = (None, None),
    past: Past | None = None,
) -> tuple[str, ...]:
    """Give the changes from one row of starts to another."""
    day = demo_plan("last-lamp").day
    was = plan_with(day, before, meals[0])
    return change_texts(was.day, was.timetable, plan_with(replace(day, past=past), now, meals[1]))


def dawn() -> Past:
    """Give a past in which nothing has happened."""
    when = local(demo_plan("last-lamp").day, "06:00")
    return Past(at=when, free_at=when)


@pytest.mark.parametrize(
    ("before", "now", "said"),
    [
        ({"1": "07:00", "2": "08:00"}, {"1": "07:00", "2": "08:00"}, ()),
        (
            {"1": "07:00", "2": "08:00", "3": "09:00"},
            {"1": "07:00", "2": "08:25", "3": "09:25"},
            ("2 and 3 roll 25 min later", "the last roll ends 25 min later: 09:50"),
        ),
        (
            {"1": "07:00", "2": "08:00", "3": "09:00"},
            {"2": "08:00", "3": "09:00", "1": "10:00"},
            (
                "1 moves after 3: 10:00 instead of 07:00",
                "the last roll ends 1 h 00 later: 10:25",
            ),
        ),
        (
            {"1": "07:00", "2": "08:00", "3": "09:00"},
            {"3": "06:30", "1": "07:00", "2": "08:00"},
            (
                "3 moves before 1: 06:30 instead of 09:00",
                "the last roll ends 55 min earlier: 08:30",
            ),
        ),
        (
            {"1": "07:00", "2": "08:00", "3": "09:00", "4": "10:00"},
            {"1": "07:00", "3": "07:25", "4": "07:50", "2": "08:00"},
            (
                "2 moves after 4 and still rolls at 08:00",
                "3 rolls 1 h 35 earlier: 07:25",
                "4 rolls 2 h 10 earlier: 07:50",
                "the last roll ends 1 h 55 earlier: 08:30",
            ),
        ),
        ({"1": "07:00", "2": "08:00"}, {"2": "08:00"}, ("1 is left out",)),
        ({"2": "08:00"}, {"1": "07:00", "2": "08:00"}, ("1 comes back in, at 07:00 before 2",)),
        (
            {"1": "07:00", "2": "08:00"},
            {"1": "07:05", "2": "08:00"},
            ("1 rolls 5 min later: 07:05",),
        ),
    ],
)
def test_changes_are_said_in_words(before, now, said):
    """Moved, later, left out, back in: one text each, and none for what stays."""
    assert texts(before, now) == said


def test_changes_of_the_meal():
    """Later, gone and come in; none once it is had."""
    day = {"1": "07:00"}
    assert texts(day, day, ("12:00", "12:25")) == ("lunch is 25 min later: 12:25",)
    assert texts(day, day, ("12:00", None)) == (
        "there is no lunch any more: it was to be at 12:00",
    )
    assert texts(day, day, (None, "12:00")) == ("lunch comes in at 12:00",)
    had = local(demo_plan("last-lamp").day, "12:25")
    assert texts(day, day, ("12:00", "12:25"), replace(dawn(), meal_start=had)) == ()


def test_a_cut_shot_is_said_to_be_cut():
    """Not left out: somebody decided it."""
    assert texts(
        {"1": "07:00", "2": "08:00"}, {"2": "08:00"}, past=replace(dawn(), cut=("1",))
    ) == ("1 is cut",)


def test_at_risk_is_what_must_start_within_the_hour():
    """A last start 60 minutes away is at risk, one 61 minutes away is not."""
    plan = demo_plan("last-lamp")
    sixteen = next(one for one in plan.shots if one.shot.id == "16")
    assert sixteen.last_start is not None
    slack = (sixteen.last_start - sixteen.roll_start) // MINUTE
    found = at_risk(plan, sixteen.last_start - 60 * MINUTE)
    assert [(one.shot_id, one.slack_min) for one in found][-1] == ("16", slack)
    later = at_risk(plan, sixteen.last_start - 61 * MINUTE)
    assert "16" not in [one.shot_id for one in later]


def test_lost_names_the_part_that_fails():
    """Forty minutes late at dawn: the wide has lost its height, a close-up comes to top light."""
    found = demo_replan("last-lamp", "05:30", 40)
    losses = {one.shot_id: one for one in found.lost(found.best)}
    assert losses["1"].lost_to == "elevation"
    assert losses["1"].before == 1.0
    assert losses["3"].lost_to == "top light"
    for one in losses.values():
        assert one.points > 0
        assert one.now is not None
        assert one.before is not None
        assert one.before >= one.now
    assert sorted((one.points for one in losses.values()), reverse=True) == [
        one.points for one in found.lost(found.best)
    ]


def test_gains_are_the_shots_that_a_drop_helps():
    """At the ridge, dropping one lets others roll in better light than in the push."""
    found = demo_replan("late-ridge", "09:30", 50)
    assert found.push is not None
    assert found.drop_one is not None
    gains = find_gains(found.push, found.drop_one)
    push = {one.shot.id: one.points for one in found.push.plan.shots}
    drop = {one.shot.id: one.points for one in found.drop_one.plan.shots}
    assert {one.shot_id for one in gains} <= set(push) & set(drop)
    assert all(drop[one.shot_id] - push[one.shot_id] == one.points > 0 for one in gains)


def test_replan_shows_choices_and_saves_nothing(run, folder):
    """The text has all three, what changes and what is lost; the folder is as it was."""
    day = folder("last-lamp")
    assert run("log", day, "as-planned", "--at", "08:45").code == 0
    before = files(day)
    ran = run("replan", day, *PLANNED, "--at", "08:46", "--late", 40)
    assert ran.code == 0, ran.err
    assert files(day) == before
    for said in (
        "08:46, made: 1, 5, 2, 4",
        "the crew is free at 09:26",
        "best    push    drop",
        "best against revision 1:",
        "lost against revision 1:",
        "last start",
        "nothing is at risk by 09:46",
    ):
        assert said in ran.out
    assert "nothing is saved" in ran.err
    assert max(len(line) for line in ran.out.splitlines()) <= 80


@pytest.mark.parametrize("take", ["best", "push", "drop"])
def test_take_saves_the_choice_as_the_next_revision(run, folder, take):
    """Its file says what it knew, and it is a plan again that the judge accepts."""
    name = folder("late-ridge")
    run("log", name, "as-planned", "--at", "08:55")
    run("log", name, "late", "10", "--at", "09:05")
    first = files(name)
    ran = run("replan", name, *PLANNED, "--at", "09:10", "--late", 40, "--take", take, "--json")
    assert ran.code == 0, ran.err
    record = json.loads(ran.out)
    assert record["revision"] == 2
    assert files(name).items() >= first.items()
    saved = json.loads((name / "plans" / "0002.json").read_text(encoding="utf-8"))
    shown = record["choices"]["drop_one" if take == "drop" else take]
    assert {key: saved[key] for key in ("shots", "points", "bound", "left_out", "meal")} == {
        key: shown[key] for key in ("shots", "points", "bound", "left_out", "meal")
    }
    assert saved["past"] == {
        "at": "2027-10-13T09:10:00+02:00",
        "late_min": 40,
        "events": len((name / "log.csv").read_text(encoding="utf-8").splitlines()) - 1,
    }
    assert [one["state"] for one in saved["shots"]][:3] == ["made"] * 3
    assert {one["state"] for one in saved["shots"]} == {"made", "coming"}
    revision = newest_revision(name)
    assert revision is not None
    again = plan_of_revision(revision_day(name, read_day(name), revision), revision)
    assert again.changes == ()
    assert again.plan.points == shown["points"]


def test_losses_are_against_what_the_last_plan_knew(run, folder):
    """A cloud bank is a loss against the plan before it, and none against the one that knew it."""
    day = folder("late-ridge")
    run("log", day, "as-planned", "--at", "14:55")
    run("log", day, "cloud", "0.9", "--at", "14:56")
    words = ("replan", day, *PLANNED, "--at", "14:57", "--json")
    assert "3C" in [one["id"] for one in json.loads(run(*words, "--take", "best").out)["lost"]]
    again = json.loads(run(*words).out)
    assert again["follows"] == 2
    assert (again["lost"], again["changes"]) == ([], [])


def test_json_has_choices_changes_and_risks(run, folder):
    """What the text says, for other programs."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "18:05")
    record = json.loads(run("replan", day, *PLANNED, "--at", "18:06", "--late", 10, "--json").out)
    assert record["follows"] == 1
    assert record["revision"] is None
    assert set(record["choices"]) == {"best", "push", "drop_one"}
    assert record["choices"]["drop_one"]["dropped"] == "16"
    assert record["at_risk"] == ["16"]
    best = record["choices"]["best"]
    assert best["worth"] == best["points"] - best["turned_round_points"]
    assert best["crew"]["wrap"] == "2027-06-15T19:10:00+01:00"
    assert [one["state"] for one in best["shots"]][-2:] == ["made", "coming"]
    assert [one["id"] for one in record["lost"]] == ["15"]
    assert record["changes"] == [
        "15 is left out",
        "16 rolls 5 min earlier: 18:45",
        "the last roll ends 5 min earlier: 19:10",
    ]


def test_shots_that_come_back_are_named():
    """Those that the plan that was followed left out; not new ones, nor those that it made."""
    plan = demo_plan("ferry-light")
    ids = [one.shot.id for one in plan.shots]
    fewer = replace(plan.timetable, rolls=plan.timetable.rolls[2:])
    assert comebacks(plan.day, plan.timetable, plan) == ()
    assert comebacks(plan.day, fewer, plan) == tuple(ids[:2])
    known = replace(plan.day, shots=tuple(one for one in plan.day.shots if one.id != ids[0]))
    assert comebacks(known, fewer, plan) == (ids[1],)
    assert back_words([]) == []
    assert back_words(["5"]) == ["5 comes back in"]
    assert back_words(["5", "7"]) == ["5 and 7 come back in"]


def test_slack_is_the_least_of_what_is_pushed():
    """A later shot that must start soon bounds it, waits between them are used up first."""
    plan = demo_plan("ferry-light")
    none = [replace(one, last_start=None) for one in plan.shots]
    assert slacks(replace(plan, shots=tuple(none), meal=None)) == [None] * len(none)
    first, second, third = none[:3]
    waits = second.wait_min, third.wait_min
    hard = replace(third, last_start=third.roll_start + 4 * MINUTE)
    soft = replace(first, last_start=first.roll_start + 600 * MINUTE)
    three = replace(plan, shots=(soft, second, hard), meal=None)
    assert slacks(three) == [
        (4 + sum(waits), third.shot.id),
        (4 + waits[1], third.shot.id),
        (4, third.shot.id),
    ]
    own = replace(soft, last_start=first.roll_start)
    assert slacks(replace(three, shots=(own, second, hard)))[0] == (0, first.shot.id)


def test_text_names_what_is_at_risk_and_what_has_lost_its_light(run, folder):
    """The slack of a held shot at dusk, and a held wide under a cloud bank."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "18:25")
    out = run("replan", day, *PLANNED, "--at", "18:26").out
    assert "at risk by 19:26:\n- 16 rolls at 18:50, at the latest at 18:57: 7 min of slack" in out
    other = folder("late-ridge")
    run("log", other, "as-planned", "--at", "16:30")
    run("log", other, "cloud", "0.9", "--at", "16:31")
    out = run("replan", other, *PLANNED, "--at", "16:32").out
    assert "\n- 4B rolls at 16:40 with 10% of its light" in out.split("at risk by 17:32:")[1]
    assert re.search(r"- 4B has 10% of its light, not 89% \(\d+ points\): clear sky", out)


def test_picture_is_written(run, folder, tmp_path):
    """The day picture of the choice that is shown."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "08:45")
    ran = run("replan", day, *PLANNED, "--at", "08:46", "--picture", tmp_path / "now.png")
    assert ran.code == 0, ran.err
    assert (tmp_path / "now.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--at", "08:20"), 1, "log.csv: its last event is later than 08:20: `08:45`"),
        (("--at", "2027-06-16T08:50+01:00"), 1, "outside the day"),
        (("--at", "soon"), 1, "`soon`"),
        ((), 1, "and the day is 2027-06-15"),
        (("--at", "09:00", "--late", "-5"), 2, "--late"),
        (("--at", "09:00", "--take", "all"), 2, "--take"),
        (("--at", "09:00", "--picture", "now.doc"), 2, "--picture"),
    ],
)
def test_wrong_replans_are_refused_and_write_nothing(run, folder, words, code, said):
    """Each says what was expected."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "08:45")
    before = files(day)
    ran = run("replan", day, *PLANNED, *words)
    assert ran.code == code
    assert said in ran.err
    assert ran.out == ""
    assert files(day) == before


def test_machine_clock_is_the_default(run, folder, monkeypatch):
    """On the day itself nothing need be said of the time."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "08:45")
    now = local(read_day(day), "08:52").timestamp()
    monkeypatch.setattr(time, "time", lambda: now + 31)
    ran = run("replan", day, *PLANNED, "--json")
    assert json.loads(ran.out)["at"] == "2027-06-15T08:52:00+01:00"


def test_replan_needs_a_saved_plan(run, folder):
    """Without one there is nothing to stay near to."""
    day = folder("last-lamp")
    shutil.rmtree(day / "plans")
    ran = run("replan", day, *PLANNED, "--at", "09:00")
    assert (ran.code, ran.out) == (1, "")
    assert ran.err == (
        "no plan is saved that the day could have gone by\n"
        "  hint: `sunsched plan DAY --save` saves one\n"
    )


def test_impossible_rest_is_refused_with_its_reasons(run, folder):
    """The ferry cannot be reached after a late lunch: exit code 1, nothing written."""
    day = folder("ferry-light")
    run("log", day, "as-planned", "--at", "11:12")
    before = files(day)
    ran = run("replan", day, *PLANNED, "--at", "11:14", "--late", 240, "--take", "best")
    assert (ran.code, ran.out) == (1, "")
    assert "11 is pinned to 16:50" in ran.err
    assert files(day) == before


def test_nothing_left_to_shoot(run, folder):
    """After the last shot the day is told, and drop is refused."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "18:30")
    run("log", day, "cut", "16", "--at", "18:31")
    ran = run("replan", day, *PLANNED, "--at", "18:32")
    assert ran.code == 0
    assert "nothing is left to shoot: light kept 90.2%, 37027 points" in ran.out
    assert "the last roll ends at\n  18:25\n" in ran.out
    ran = run("replan", day, *PLANNED, "--at", "18:32", "--take", "drop")
    assert (ran.code, ran.out) == (1, "")
    assert ran.err == "`drop` cannot be had now\n  hint: there is `best` and `push`\n"
    assert run("replan", day, *PLANNED, "--at", "18:32", "--take", "best").code == 0
    assert revision_numbers(day) == (1, 2)


def test_grid_is_that_of_the_last_plan(run, folder):
    """A plan by the minute is replanned by the minute, unless another grid is asked for."""
    day = folder("last-lamp")
    text = (day / "plans" / "0001.json").read_text(encoding="utf-8")
    by_minute = text.replace('"grid_min": 5', '"grid_min": 1')
    (day / "plans" / "0001.json").write_text(by_minute, encoding="utf-8")
    run("log", day, "as-planned", "--at", "18:05")
    record = json.loads(run("replan", day, *PLANNED, "--at", "18:06", "--json").out)
    assert record["choices"]["best"]["grid_min"] == 1
    record = json.loads(run("replan", day, *PLANNED, "--at", "18:06", "--json", "--grid", 5).out)
    assert record["choices"]["best"]["grid_min"] == 5


def test_a_plan_saved_meanwhile_is_not_passed_over(run, folder, monkeypatch):
    """Two terminals take at once: the second is told, and nothing of it is saved."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "08:45")
    plan = demo_plan("last-lamp")

    def meanwhile(target, text_of):
        save_revision(target, lambda own: json.dumps(revision_record(plan, own, None)))
        return save_revision(target, text_of)

    monkeypatch.setattr("sunsched.show.records.saved.save_revision", meanwhile)
    ran = run("replan", day, *PLANNED, "--at", "08:50", "--take", "best")
    assert ran.code == 1
    assert ran.err == ("revision 2 was saved meanwhile\n  hint: `replan` again, from that one on\n")
    assert revision_numbers(day) == (1, 2)
    assert not list((day / "plans").glob(".*"))


@pytest.mark.parametrize("place", ["fsync", "write", "rename"])
def test_full_disk_leaves_the_old_plans(run, folder, monkeypatch, place):
    """No room while the revision is written: it is refused, and the next try works."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "08:45")
    before = files(day)

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        if place == "fsync":
            patch.setattr(os, "fsync", full)
        elif place == "rename":
            patch.setattr(Path, "rename", full)
        else:
            patch.setattr("sunsched.folder.store.write._write_whole", full)
        ran = run("replan", day, *PLANNED, "--at", "08:50", "--take", "best")
    assert ran.code == 1
    assert "cannot be written (no space left on device)" in ran.err
    assert files(day) == before
    assert run("replan", day, *PLANNED, "--at", "08:50", "--take", "best").code == 0
    assert read_revision(day, 2).number == 2
