"""Solves that start from another answer, end early or end without a plan, next to fresh ones."""

import os
import signal
import subprocess
import sys
import threading
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from builders import kept_in_order
from oracles.days import random_day
from seeds import few_first

from sunsched.errors import Undecided
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_day
from sunsched.plan.rules import breaches
from sunsched.solver import solve as solver
from sunsched.solver.answer import CARRIED, carried, timetable_of
from sunsched.solver.build import make_problem
from sunsched.solver.feasibility import is_possible
from sunsched.solver.instance.changes import made_first, near_order, rolled_between
from sunsched.solver.instance.tables import make_tables, whole_points
from sunsched.solver.search.budget import Effort, Stopped
from sunsched.solver.search.incumbent import Incumbent
from sunsched.solver.search.progress import Progress
from sunsched.solver.solve import make_plan, plan_of, solve

DATA = Path(__file__).parents[2] / "data"
GRID_MIN = 15
SEEDS = range(300, 308)


def a_problem(seed):
    """Give the fit of a random day of seven shots with a match, and its problem."""
    fit = fit_day(random_day(seed, 7, ("keel",)))
    return fit, make_problem(fit, GRID_MIN)


def points(problem, answer):
    """Give an answer's points, which must be proven; None without a plan."""
    if answer is None:
        return None
    assert answer.is_proven
    return whole_points(problem, answer.value)


def changed(problem, answer):
    """Give problems that a decision or a delay could make of one that is answered."""
    shot = int(answer.sequence[-1])
    first = problem.origin + problem.slots * GRID_MIN // 3
    yield rolled_between(problem, shot, first, first + 4 * GRID_MIN)
    yield made_first(problem, shot)
    yield kept_in_order(problem, answer.sequence[::-1].tolist())
    yield near_order(problem, answer.sequence[::-1].tolist(), 150)


@pytest.mark.parametrize("seed", few_first(SEEDS, 2))
def test_a_warm_solve_finds_what_a_fresh_one_does(seed):
    """A changed problem has the same best points whether another answer is at hand or not."""
    _, problem = a_problem(seed)
    answer = solve(problem)
    assert answer is not None
    for other in changed(problem, answer):
        assert points(other, solve(other, near=answer)) == points(other, solve(other))


@pytest.mark.parametrize("seed", few_first(SEEDS, 2))
def test_a_warm_solve_takes_another_shot_list(seed):
    """Shots are told by their ids: one gone, and one more, change nothing of the best points."""
    day = random_day(seed, 7, ("keel",))
    day = replace(day, shots=tuple(replace(shot, after=()) for shot in day.shots))
    whole = make_problem(fit_day(day), GRID_MIN)
    short = make_problem(fit_day(replace(day, shots=day.shots[1:])), GRID_MIN)
    for one, other in ((whole, short), (short, whole)):
        answer = solve(one)
        if answer is not None:
            assert points(other, solve(other, near=answer)) == points(other, solve(other))


def test_what_is_carried_over_has_few_states():
    """The largest memories lose shots until few states are left; small ones stay as they are."""
    _, problem = a_problem(300)
    answer = solve(problem)
    assert answer is not None
    for largest, is_kept in ((1, True), (6, True), (9, False)):
        others = tuple(range(1, 1 + largest))
        sets = (others, others, *answer.start.sets[2:])
        known = replace(answer, start=replace(answer.start, sets=sets))
        start = carried(problem, Incumbent(make_tables(problem), problem), known)
        assert sum(1 << len(one) for one in start.sets) <= CARRIED
        assert (start.sets == sets) is is_kept


def test_a_changed_problem_obeys_the_change():
    """A shot rolls when it must, or first; an order is kept; a near one costs by the pair."""
    fit, problem = a_problem(301)
    answer = solve(problem)
    assert answer is not None
    between, first, kept, near = (solve(other) for other in changed(problem, answer))
    shot = int(answer.sequence[-1])
    asked = problem.origin + problem.slots * GRID_MIN // 3
    if between is not None:
        rolls = dict(zip(between.sequence.tolist(), between.starts.tolist(), strict=True))
        assert asked <= problem.start_minute(shot, rolls[shot]) <= asked + 4 * GRID_MIN
    if first is not None:
        assert first.sequence[0] == shot
    assert kept is not None
    backwards = [one for one in answer.sequence[::-1] if one in kept.sequence]
    assert [one for one in kept.sequence if one in answer.sequence] == backwards
    assert near is not None
    order = answer.sequence[::-1].tolist()
    places = [order.index(one) for one in near.sequence.tolist() if one in order]
    turned = sum(a > b for k, a in enumerate(places) for b in places[k + 1 :])
    plan = plan_of(fit, problem, near)
    assert whole_points(problem, near.value) == plan.points - 150 * turned
    assert breaches(fit, timetable_of(fit, problem, near)) == ()


def test_the_plan_itself_is_found_again_at_once():
    """Solving a day near its own answer proves the same plan."""
    problem = make_problem(fit_day(read_day(DATA / "last-lamp")))
    answer = solve(problem)
    assert answer is not None
    again = solve(problem, near=answer)
    assert again is not None
    assert (again.value, again.bound) == (answer.value, answer.bound)
    assert again.sequence.tolist() == answer.sequence.tolist()


def test_a_limit_gives_the_best_so_far_with_an_honest_bound():
    """However short the limit, the plan is judged and the proven points are not above the bound."""
    day = read_day(DATA / "last-lamp")
    best = make_plan(day)
    assert best.status == "proven"
    for limit_s in (0.1, 0.5):
        plan = make_plan(day, limit_s=limit_s)
        assert plan.points <= best.points <= plan.bound


def test_progress_changes_nothing_and_sees_the_gap_close():
    """Who is told sees points that rise and a bound that falls, and the plan is the same."""
    day = read_day(DATA / "last-lamp")
    seen: list[Progress] = []
    plan = make_plan(day, progress=seen.append)
    assert plan.points == make_plan(day).points
    best, bounds = ([one.points for one in seen], [one.bound for one in seen])
    assert best == sorted(best)
    assert bounds == sorted(bounds, reverse=True)
    assert len(set(bounds)) > 1
    assert best[-1] <= bounds[-1]
    assert seen[-1].gap == (bounds[-1] - best[-1]) / bounds[-1]


def test_an_interrupt_gives_the_best_so_far():
    """Ctrl-C while a plan is sought gives a plan, and not the proof."""
    day = read_day(DATA / "last-lamp")
    make_plan(day)  # nothing is left to compile
    calls = []

    def interrupt(now):
        calls.append(now)
        if len(calls) == 30:
            raise KeyboardInterrupt

    plan = make_plan(day, progress=interrupt)
    assert plan.status == "bounded"
    assert plan.bound > plan.points > 0


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGINT for one process on Windows")
@pytest.mark.slow
def test_an_interrupted_command_prints_a_plan():
    """SIGINT to `plan` in its search still prints a judged plan; exit code 0."""
    run = "import sys; sys.argv[0] = 'sunsched'; from sunsched.cli import main; main()"
    folder = str(DATA / "last-lamp")
    with subprocess.Popen(
        [sys.executable, "-c", run, "plan", folder, "--for", "planned", "--grid", "1"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"COLUMNS": "80"},
    ) as command:
        stop = threading.Timer(8, command.send_signal, [signal.SIGINT])
        stop.start()
        out, errors = command.communicate(timeout=120)
        stop.cancel()
    assert command.returncode == 0, errors
    assert "light kept" in out
    assert "Traceback" not in errors


def colliding():
    """Give a day with two shots pinned to one minute and no other rule."""
    day = random_day(302, 6)
    pin = day.hours.first_roll + timedelta(hours=2)
    shots = tuple(
        replace(shot, pin=pin if k < 2 else None, cast=(), after=(), hold=False)
        for k, shot in enumerate(day.shots)
    )
    return replace(day, shots=shots, spots=tuple(replace(spot, open=()) for spot in day.spots))


def test_an_impossible_problem_is_proven_so():
    """Two pins that cannot both be kept leave no plan, by proof and not for want of time."""
    day = colliding()
    assert solve(make_problem(fit_day(day), GRID_MIN)) is None
    assert not is_possible(day)


def test_a_solve_that_cannot_tell_says_so():
    """When no plan is found and the proof is cut short, nothing is claimed."""
    with pytest.raises(Undecided, match="not proven"):
        solve(make_problem(fit_day(colliding()), GRID_MIN), limit_s=1e-9)


def test_effort_is_spent_by_work_or_by_the_clock():
    """Without a limit work ends it, with one the clock alone."""
    now = [0.0]
    timed = Effort(5.0, lambda: None, lambda: now[0])
    timed.spend(10**12)
    now[0] = 5.0
    with pytest.raises(Stopped):
        timed.spend(0)
    counted = Effort(None, lambda: None, lambda: 10.0**9)
    counted.spend(10**6)
    with pytest.raises(Stopped):
        counted.spend(10**12)


def test_a_limit_in_seconds_is_not_cut_short_by_the_work_of_a_day_without_one(monkeypatch):
    """Where someone gives the time, the proof goes on; without a limit the work ends it."""
    _, problem = a_problem(SEEDS[0])
    monkeypatch.setattr(solver, "WORK", 1)
    limited = solve(problem, limit_s=60.0)
    assert limited is not None
    assert limited.is_proven
    counted = solve(problem)
    assert counted is not None
    assert counted.bound > counted.value
