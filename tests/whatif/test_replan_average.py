"""The rest of a day planned anew for the average day.

Outside opinions: drawn days, every order of small days, and every shot left out in turn.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import combinations, permutations
from pathlib import Path

import numpy as np
import pytest
from draws import seeded
from oracles.days import random_day
from seeds import few_first
from under_way import as_planned, by_chance

from sunsched.average.drawn import draw_days, draw_factors
from sunsched.average.ground import Ground
from sunsched.average.near import Near, near_order, turned
from sunsched.average.order.forecast import Policy, forecast
from sunsched.average.plan import HARDLY, average_plan
from sunsched.average.solve import policy_of
from sunsched.day.model import Day
from sunsched.day.past import over_ids
from sunsched.errors import DayImpossible, FolderError
from sunsched.folder.example import example_day
from sunsched.folder.read import read_day
from sunsched.folder.store.write import save_revision
from sunsched.light.fit import fit_checked
from sunsched.plan.plan import Plan
from sunsched.plan.rules import breaches
from sunsched.saved.numbers import revision_numbers
from sunsched.saved.restore import plan_of_revision, revision_day
from sunsched.saved.revisions import newest_revision, read_revision
from sunsched.show.records.saved import revision_record, save_plan
from sunsched.show.text.average_day.replan import replan_average_text
from sunsched.solver.solve import make_plan
from sunsched.solver.solved import solve_day
from sunsched.whatif.replan.average import AverageReplan, replan_average
from sunsched.whatif.replan.shifts import due_soon, find_shifts

DATA = Path(__file__).parents[2] / "data"
MADE_AT = datetime(2027, 6, 1, 12, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
MOST_SHOTS = 6  # to come, where every order is tried


@cache
def demo_plan(name: str) -> Plan:
    """Give the plan of a demo day for planned minutes."""
    return make_plan(read_day(DATA / name))


def local(day: Day, clock: str) -> datetime:
    """Give a clock time of the day."""
    hour, minute = map(int, clock.split(":"))
    return datetime(*day.date.timetuple()[:3], hour, minute, tzinfo=day.place.zone)


@cache
def demo_replan(name: str, clock: str, late_min: int = 0) -> AverageReplan:
    """Plan the rest of a demo day anew that went as planned up to a moment."""
    plan = demo_plan(name)
    at = local(plan.day, clock)
    return replan_average(plan.day, as_planned(plan, at), plan.timetable, at=at, late_min=late_min)


@cache
def small_rest(seed: int) -> tuple[Policy, Near] | None:
    """Give a day that went its own way; None for one with too few or too many shots to come.

    No matches, so that every order can be judged without looking for suns. A few of the random days
    are impossible from the start.
    """
    try:
        plan = make_plan(random_day(seed, 8), grid_min=20)
    except DayImpossible:
        return None
    now = by_chance(plan, seeded(seed))
    if not 2 <= len({shot.id for shot in now.shots} - over_ids(now.past)) <= MOST_SHOTS:
        return None
    followed = policy_of(fit_checked(plan.day), plan.timetable)
    return followed, near_order(fit_checked(now), followed, plan.timetable)


def paid(ground: Ground, order: np.ndarray, kept: Policy) -> float:
    """Give what an order is worth, the pairs paid that it turns round against the kept one."""
    place = {s: k for k, s in enumerate(kept.order.tolist())}
    ids = [s for s in order.tolist() if s in place]
    count = sum(place[a] > place[b] for a, b in combinations(ids, 2))
    cost = ground.fit.day.costs.turned_round * count
    return ground.ordered(order, np.zeros(0, dtype=np.int64)).worth - cost


@pytest.mark.parametrize("seed", few_first(range(60), 10))
def test_best_is_worth_most_of_every_order_with_turned_pairs_paid(seed):
    """All orders of all that is still to come; half a percent is left to the search."""
    found = small_rest(seed)
    if found is None:
        return
    _, near = found
    ground = Ground(near.best.rest.fit)
    n = len(ground.minute.shots)
    orders = [np.array(one, dtype=np.int64) for one in permutations(range(n))]
    allowed = [
        one
        for one in orders
        if not any(ground.minute.forbidden[a, b] for a, b in combinations(one.tolist(), 2))
    ]
    most = max(paid(ground, one, near.kept) for one in allowed)
    mine, push = (paid(ground, one.order, near.kept) for one in (near.best, near.kept))
    assert mine <= max(most, push) + 1e-6
    assert mine >= most - 0.005 * abs(most)
    assert mine >= push - 1e-6
    if near.best is not near.kept:
        assert mine > push
    assert near.bound >= max(one.worth for one in (near.best, near.kept)) - 1e-6


@pytest.mark.slow
def test_some_of_these_days_are_worth_turning_round():
    """Else the tests above and below would be about nothing."""
    rests = [near for seed in range(30) if (found := small_rest(seed)) for near in found[1:]]
    others = [near for near in rests if near.best is not near.kept]
    place = [{one: k for k, one in enumerate(near.kept.ids)} for near in others]
    pairs = [
        turned([known.get(one, -1) for one in near.best.ids])
        for near, known in zip(others, place, strict=True)
    ]
    assert sum(pair > 0 for pair in pairs) >= 3
    assert sum(near.less is not None for near in rests) >= 8


@pytest.mark.parametrize("seed", few_first(range(60), 10))
def test_push_is_the_followed_order_on_the_day_under_way(seed):
    """Its shots in their order, and worth what drawn days are worth from that moment on."""
    found = small_rest(seed)
    if found is None:
        return
    followed, near = found
    day = near.kept.rest.fit.day
    coming = {shot.id for shot in near.kept.rest.shots}
    assert near.kept.ids == tuple(one for one in followed.ids if one in coming)
    drawn = draw_days(near.kept, draw_factors(day, 4000, seed=5))
    error = drawn.points.std() / np.sqrt(4000)
    assert abs(drawn.points.mean() - near.kept.worth) <= 3.5 * error + 1e-6


@pytest.mark.parametrize("seed", few_first(range(60), 10))
def test_drop_is_the_best_of_all_single_shots(seed):
    """Each shot that may be made and is not pinned is left out in turn."""
    found = small_rest(seed)
    if found is None:
        return
    _, near = found
    ground, kept = Ground(near.kept.rest.fit), near.kept
    none = np.zeros(0, dtype=np.int64)
    worths = {
        chance.shot.id: ground.ordered(np.delete(kept.order, place), none).worth
        for place, chance in enumerate(forecast(kept))
        if chance.shot.pin is None and chance.made >= HARDLY
    }
    if not worths:
        assert near.less is None
        return
    assert near.less is not None
    shot, policy = near.less
    assert worths[shot.id] == max(worths.values())
    assert policy.ids == tuple(one for one in kept.ids if one != shot.id)


@pytest.mark.slow
def test_a_dear_turn_keeps_the_order():
    """With turned pairs free the day is turned round; with dear ones best is the push."""
    plan = demo_plan("last-lamp")
    at, found = local(plan.day, "12:10"), {}
    for cost in (0, 50, 100_000):
        day = replace(plan.day, costs=replace(plan.day.costs, turned_round=cost))
        events = as_planned(plan, at)
        found[cost] = replan_average(day, events, plan.timetable, at=at, late_min=25)
    best = {cost: one.best for cost, one in found.items()}
    assert best[0].turned >= best[50].turned > best[100_000].turned == 0
    assert best[0].plan.points >= best[50].plan.points > best[100_000].plan.points
    assert [one.turned_points for one in best.values()] == [0, 50 * best[50].turned, 0]
    assert found[100_000].best is found[100_000].push
    assert best[50].worth > found[50].push.worth


def test_turned_pairs_are_those_of_both_orders():
    """A shot that has no place in the order that was followed turns round with none."""
    assert turned([0, 1, 2]) == 0
    assert turned([2, 1, 0]) == 3
    assert turned([1, -1, 0]) == 1
    assert turned([-1, 0, -1]) == 0


@pytest.mark.parametrize("name", ["example", pytest.param("late-ridge", marks=pytest.mark.slow)])
def test_nothing_late_changes_nothing_of_the_best_average_order(name):
    """At the call with nothing lost the plan stands: same order, same points, nothing lost."""
    day = example_day() if name == "example" else read_day(DATA / name)
    plan = average_plan(solve_day(day))
    found = replan_average(
        day, (), plan.likely.timetable, at=day.hours.crew_call, followed=plan.policy
    )
    assert found.best is found.push
    assert found.best.plan.policy.ids == plan.policy.ids
    assert found.best.plan.points == plan.points
    assert found.best.plan.likely.timetable == plan.likely.timetable
    assert found.changes(found.best) == ()
    assert found.lost(found.best) == ()
    assert found.later_min(found.best) == 0


def test_what_was_made_stands_and_the_likely_rest_obeys():
    """Made shots keep their minutes; nothing begins before the crew is free."""
    found = demo_replan("last-lamp", "12:10", 25)
    past = found.planned.past
    for choice in (found.best, found.push, found.drop_one):
        assert choice is not None
        likely = choice.plan.likely
        assert breaches(likely.fit, likely.timetable) == ()
        rolls = likely.timetable.rolls
        was = [(one.shot_id, one.roll_start) for one in past.made]
        assert [(one.shot_id, one.roll_start) for one in rolls[: len(was)]] == was
        assert all(one.roll_start >= past.free_at for one in rolls[len(was) :])
        assert choice.plan.bound is not None
        assert choice.plan.points <= choice.plan.bound


def test_a_pin_that_cannot_be_kept_is_no_reason_for_no_plan():
    """Hardly any day reaches the ferry after a late lunch: it rolls late, and that is told."""
    found = demo_replan("ferry-light", "11:14", 240)
    assert "11 is pinned to 16:50" in found.collision
    assert "meal" in found.collision
    (pinned,) = [one for one in found.best.plan.chances if one.shot.pin is not None]
    assert pinned.on_pin is not None
    assert pinned.on_pin < 0.2
    assert found.best.plan.best_planned is None
    assert "if every minute holds, no plan exists" in " ".join(
        replan_average_text(found, "best", follows=1).split()
    )


@pytest.mark.slow
def test_a_kept_pin_is_no_part_of_the_bound():
    """Points on top for pins are in neither figure: the bound of a rest with one stays close."""
    plan = make_plan(read_day(DATA / "ferry-light"))
    assert any(shot.pin is not None for shot in plan.day.shots)
    found = replan_average(plan.day, (), plan.timetable, at=plan.day.hours.crew_call, late_min=20)
    assert found.best.plan.bound is not None
    assert 0 <= found.best.plan.bound - found.best.plan.points < 0.1 * found.best.plan.points


def test_losses_are_chances_and_light_against_the_followed_order():
    """Before: its order on the day as it was planned. Now: the choice. Small ones are not told."""
    found = demo_replan("last-lamp", "12:10", 25)
    day = demo_plan("last-lamp").day
    before = {
        one.shot.id: one
        for one in forecast(policy_of(fit_checked(day), demo_plan("last-lamp").timetable))
    }
    now = {one.shot.id: one for one in found.push.plan.chances}
    lost = found.lost(found.push)
    assert lost
    for one in lost:
        assert one.before.light == pytest.approx(before[one.shot.id].light)
        assert one.now.made == pytest.approx(now[one.shot.id].made)
        light, made = one.before.light - one.now.light, one.before.made - one.now.made
        assert max(light, made) >= 0.05
    assert [one.points for one in lost] == sorted(one.points for one in lost)
    told = {one.shot.id for one in lost}
    assert all(before[name].light - now[name].light < 0.05 for name in set(now) - told)


def test_shifts_tell_two_choices_apart():
    """What the dropped shot loses, others win; the points are those of its light."""
    found = demo_replan("last-lamp", "12:10", 25)
    assert found.drop_one is not None
    assert found.drop_one.dropped is not None
    shifts = {one.shot.id: one for one in find_shifts(found.push.plan, found.drop_one.plan)}
    dropped = shifts[found.drop_one.dropped.id]
    assert dropped.now.light == 0.0
    assert dropped.points == -round(1000 * dropped.shot.weight * dropped.before.light)
    assert any(one.points > 0 for one in shifts.values())


def test_what_must_begin_within_the_hour():
    """A changeover that must begin 60 minutes from now is named, one of 61 minutes is not."""
    plan = demo_replan("last-lamp", "12:10", 25).push.plan
    fit = plan.policy.rest.fit
    one = next(one for one in plan.chances if one.begin_by_min is not None)
    by = fit.time_of(one.begin_by_min or 0)
    assert one.shot.id in [due.shot.id for due in due_soon(plan, by - 60 * MINUTE)]
    assert one.shot.id not in [due.shot.id for due in due_soon(plan, by - 61 * MINUTE)]


@pytest.mark.slow
def test_a_meal_before_a_shot_that_was_being_built():
    """Nothing noted by noon: lunch comes at once, and the judge takes the likely day."""
    plan = demo_plan("last-lamp")
    at = local(plan.day, "12:10")
    found = replan_average(plan.day, (), plan.timetable, at=at, late_min=25, limit_s=2)
    assert found.planned.past.building == plan.shots[0].shot.id
    assert found.best.crew.meal_start == local(plan.day, "12:35")


def test_contradictions_are_refused_as_for_planned_minutes():
    """The log is later than the moment."""
    plan = demo_plan("last-lamp")
    events = as_planned(plan, local(plan.day, "08:45"))
    with pytest.raises(FolderError, match="its last event is later than 08:20"):
        replan_average(plan.day, events, plan.timetable, at=local(plan.day, "08:20"))


def test_a_limit_gives_the_best_so_far():
    """With no time for a bound none is said, and the choices are there."""
    plan = demo_plan("late-ridge")
    at = local(plan.day, "08:00")
    found = replan_average(plan.day, as_planned(plan, at), plan.timetable, at=at, limit_s=0.1)
    assert found.best.worth >= found.push.worth


@pytest.fixture
def folder(tmp_path: Path) -> Callable[[str], Path]:
    """Give a function that copies a demo day and saves its plan as revision 1."""

    def copy(name: str) -> Path:
        shutil.copytree(DATA / name, tmp_path / name)
        save_plan(tmp_path / name, demo_plan(name), made_at=MADE_AT)
        return tmp_path / name

    return copy


def files(folder: Path) -> dict[str, bytes]:
    """Read all that is in a folder."""
    every = (path for path in folder.rglob("*") if path.is_file())
    return {str(path.relative_to(folder)): path.read_bytes() for path in every}


def test_text_is_for_the_average_day_and_saves_nothing(run, folder):
    """The choices, what tells them apart, what changes and is lost, the likely rest; 80 wide."""
    day = folder("last-lamp")
    assert run("log", day, "as-planned", "--at", "12:05").code == 0
    before = files(day)
    ran = run("replan", day, "--at", "12:10", "--late", 25)
    assert ran.code == 0, ran.err
    assert files(day) == before
    for said in (
        "12:10, made: 1, 5, 2, 4, 3, 6, 7, 9",
        "the crew is free at 13:10",
        "light kept, average day",
        "likely last roll ends",
        "not even one that decides anew at every moment",
        "push: the order of revision 1, worth",
        "best against revision 1, by likely times:",
        "lost against revision 1, as it was planned:",
        "not before",
        "begin by",
    ):
        assert said in ran.out.replace("\n  ", " "), said
    assert re.search("best +push +drop", ran.out)
    assert "nothing is saved" in ran.err
    assert max(len(line) for line in ran.out.splitlines()) <= 80
    waits = [line for line in ran.out.splitlines() if " min, wait" in line]
    assert waits
    assert all(int(line.split()[1]) >= 5 for line in waits)


def test_json_has_the_choices_for_the_average_day(run, folder):
    """What the text says, for other programs."""
    day = folder("late-ridge")
    run("log", day, "as-planned", "--at", "12:05")
    run("log", day, "cut", "2D", "--at", "12:06")
    record = json.loads(run("replan", day, "--at", "12:10", "--late", 25, "--json").out)
    assert (record["aim"], record["follows"], record["revision"]) == ("average", 1, None)
    assert set(record["choices"]) == {"best", "push", "drop_one"}
    best, drop = record["choices"]["best"], record["choices"]["drop_one"]
    assert best["status"] == "average"
    assert best["worth"] == best["points"] - best["turned_round_points"]
    assert best["points"] <= best["bound"]
    assert drop["dropped"] not in [one["id"] for one in drop["chances"]]
    lost = {one["id"]: one for one in record["lost"]}
    assert lost["2D"]["made"] == 0.0 < lost["2D"]["made_before"]
    assert all(one["begin_by"] <= "2027-10-13T13:10:00+02:00" for one in record["due"])
    assert record["changes"][-1].startswith("the last roll ends")


@pytest.mark.slow
@pytest.mark.parametrize("take", ["best", "push", "drop"])
def test_take_saves_the_order_and_the_next_replan_follows_it(run, folder, take):
    """Its file restores the same chances; at the same moment nothing changes then."""
    name = folder("last-lamp")
    run("log", name, "as-planned", "--at", "13:55")
    words = ("replan", name, "--at", "14:00", "--late", 25, "--json")
    record = json.loads(run(*words, "--take", take).out)
    shown = record["choices"]["drop_one" if take == "drop" else take]
    assert record["revision"] == shown["revision"] == 2
    saved = newest_revision(name)
    assert saved is not None
    assert saved.average is not None
    assert (saved.points, saved.bound) == (shown["points"], shown["bound"])
    again = plan_of_revision(revision_day(name, read_day(name), saved), saved)
    assert again.changes == ()
    assert again.average is not None
    assert again.average.points == shown["points"]
    followed = json.loads(run(*words).out)
    assert followed["follows"] == 2
    push = followed["choices"]["push"]
    assert [one["id"] for one in push["chances"]] == [one["id"] for one in shown["chances"]]
    assert push["points"] >= shown["points"]
    if take == "best":
        assert followed["choices"]["best"]["turned_round"] == 0
        assert (followed["changes"], followed["lost"]) == ([], [])


def test_planned_minutes_on_request(run, folder):
    """`--for planned` says what it always said, and has no aim in its record."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "18:05")
    words = ("replan", day, "--at", "18:06", "--late", 10, "--for", "planned")
    assert "last start" in run(*words).out
    assert "aim" not in json.loads(run(*words, "--json").out)


def test_a_certain_day_is_replanned_for_planned_minutes(run, folder):
    """All work takes its planned minutes: said on stderr, and shown as `--for planned` shows it."""
    day = folder("ferry-light")
    sure = "changeover_median = 1\nchangeover_spread = 0\nroll_median = 1\nroll_spread = 0\n"
    sizes = ("wide", "full", "medium", "close-up", "insert")
    with (day / "day.toml").open("a", encoding="utf-8") as file:
        file.writelines(f"\n[overrun.{size}]\n{sure}" for size in sizes)
    ran = run("replan", day, "--at", "08:30")
    assert ran.code == 0, ran.err
    assert "all work takes its planned minutes" in ran.err
    assert ran.out == run("replan", day, "--at", "08:30", "--for", "planned").out


def test_nothing_left_to_shoot(run, folder):
    """After the last shot the day is told, and drop is refused."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "18:30")
    run("log", day, "cut", "16", "--at", "18:31")
    ran = run("replan", day, "--at", "18:32")
    assert ran.code == 0, ran.err
    assert "nothing is left to shoot: light kept" in ran.out
    ran = run("replan", day, "--at", "18:32", "--take", "drop")
    assert (ran.code, ran.out) == (1, "")
    assert ran.err == "`drop` cannot be had now\n  hint: there is `best` and `push`\n"
    assert run("replan", day, "--at", "18:32", "--take", "best").code == 0
    assert [roll.id for roll in read_revision(day, 2).shots][-1] == "15"


def test_after_the_hard_wrap_nothing_more_is_likely(run, folder):
    """What is still to come is not made, and nobody is asked to drop it."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "18:05")
    ran = run("replan", day, "--at", "20:00", "--assume", "log")
    assert ran.code == 0, ran.err
    assert "nothing that is still to come is likely to be made" in ran.out
    assert "drop" not in ran.out.split("against revision")[0]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--at", "08:20"), 1, "log.csv: its last event is later than 08:20: `08:45`"),
        (("--at", "2027-06-16T08:50+01:00"), 1, "outside the day"),
        (("--at", "soon"), 1, "`soon`"),
        ((), 1, "and the day is 2027-06-15"),
        (("--at", "09:00", "--late", "-5"), 2, "--late"),
        (("--at", "09:00", "--take", "all"), 2, "--take"),
        (("--at", "09:00", "--for", "luck"), 2, "--for"),
        (("--at", "09:00", "--picture", "now.doc"), 2, "--picture"),
    ],
)
def test_wrong_replans_are_refused_and_write_nothing(run, folder, words, code, said):
    """Each says what was expected."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "08:45")
    before = files(day)
    ran = run("replan", day, *words)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err
    assert files(day) == before


def test_picture_is_that_of_the_likely_rest(run, folder, tmp_path):
    """It is written where it is asked for."""
    day = folder("last-lamp")
    run("log", day, "as-planned", "--at", "16:45")
    ran = run("replan", day, "--at", "16:50", "--picture", tmp_path / "now.png")
    assert ran.code == 0, ran.err
    assert (tmp_path / "now.png").read_bytes().startswith(b"\x89PNG")


def test_a_plan_saved_meanwhile_is_not_passed_over(run, folder, monkeypatch):
    """Two terminals take at once: the second is told, and nothing of it is saved."""
    day, plan = folder("last-lamp"), demo_plan("last-lamp")
    run("log", day, "as-planned", "--at", "16:45")

    def meanwhile(target, text_of):
        save_revision(target, lambda own: json.dumps(revision_record(plan, own, None)))
        return save_revision(target, text_of)

    monkeypatch.setattr("sunsched.show.records.saved.save_revision", meanwhile)
    ran = run("replan", day, "--at", "16:50", "--take", "best")
    assert ran.code == 1
    assert ran.err == "revision 2 was saved meanwhile\n  hint: `replan` again, from that one on\n"
    assert revision_numbers(day) == (1, 2)
