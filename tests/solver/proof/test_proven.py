"""Proven must mean proven: days on which an earlier solver was wrong, and many more like them.

Brute force tries every order of every choice of shots, start and meal of small days whose shots may
share a slot, whose pins stand off the grid, whose weights are the largest and whose meal stands at
odd minutes; it solves them from nothing and from the answer to another day, whole and under way.
"""

from __future__ import annotations

import importlib
import json
import os
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from random import Random
from unittest.mock import patch

import numpy as np
import pytest
from benchmarks.soak.truth import WAYS, faults_of, faults_of_pair
from draws import seeded
from oracles.brute import best_of_all
from oracles.days import burst_day
from seeds import few_first
from under_way import by_chance

from sunsched.day.model import Day
from sunsched.errors import DayImpossible, SunschedError
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_checked
from sunsched.plan.plan import Plan
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.solver.answer import Answer
from sunsched.solver.build import make_problem
from sunsched.solver.certified import certified_plan
from sunsched.solver.instance.tables import make_tables, whole_points
from sunsched.solver.solve import make_plan, plan_of, solve

FAULTS = Path(__file__).parents[2] / "faults"
MATCHES = ((), ("keel",), ())
GRID_MIN = 5


def plan_of_folder(name: str, grid_min: int = GRID_MIN) -> Plan:
    """Plan one of the folders on which an earlier solver was wrong; the judge passes the plan."""
    day = read_day(FAULTS / name)
    plan = make_plan(day, grid_min=grid_min)
    fit = fit_checked(day)
    assert breaches(fit, plan.timetable) == ()
    assert score(fit, plan.timetable).total == plan.points
    return plan


def test_two_shots_may_start_in_one_slot():
    """A pin off the grid and a quick roll share a slot; the better plan was 16 points above.

    The independent checker finds no order above it.
    """
    plan = plan_of_folder("burst")
    assert plan.status == "proven"
    assert certified_plan(plan.day).points == plan.points


def test_a_pinned_shot_outweighs_any_weight():
    """With weights of 100 the pinned shot was left out, and its own judge refused the plan."""
    plan = plan_of_folder("w100")
    assert "13" in {one.shot.id for one in plan.shots}
    assert plan.status == "proven"


def test_the_meal_starts_on_any_minute():
    """A meal at 12:02 is the only one; on a grid of five minutes none was possible."""
    plan = plan_of_folder("mealgrid")
    assert plan.meal is not None
    assert plan.meal.start.strftime("%H:%M") == "12:02"
    assert plan.points == plan_of_folder("mealgrid", grid_min=1).points


def test_a_plan_off_the_grid_is_found_where_none_is_on_it():
    """Between pins at odd minutes only a start at an odd minute fits: that is no impossible day."""
    day = read_day(FAULTS / "mealgrid")
    first, second = day.shots
    gap = replace(first, id="3", pin=None, shoot_min=1, setup_min=1, adjust_min=1, after=("1",))
    held = replace(second, pin=first.pin, setup_min=1)
    shots = (replace(first, pin=None), held)
    assert make_plan(replace(day, shots=shots)).status == "proven"
    assert make_plan(replace(day, shots=(*day.shots, gap))).status == "proven"


def test_made_shots_push_no_start_away(run, tmp_path):
    """Twelve quick shots are made by 07:25, and 13 fits at 07:40: it was left out before."""
    folder = tmp_path / "quick"
    shutil.copytree(FAULTS / "quick", folder)
    ran = run("replan", folder, "--for", "planned", "--at", "07:25", "--json")
    assert ran.code == 0, ran.err
    best = json.loads(ran.out)["choices"]["best"]
    starts = {one["id"]: one["roll_start"][11:16] for one in best["shots"]}
    assert starts["13"] in ("07:30", "07:35", "07:40")
    assert best["status"] == "proven"


def agrees(problem, answer: Answer | None) -> None:
    """Check an answer against brute force, to the point."""
    best = best_of_all(problem)
    assert (best is None) == (answer is None)
    if best is not None and answer is not None:
        assert answer.is_proven
        assert whole_points(problem, answer.value) == best[0]


def other_day(day: Day, random: Random) -> Day:
    """Give a day like one: a pin lifted or set, a shot lighter, the meal at another minute."""
    shots = list(day.shots)
    place = random.randrange(len(shots))
    pin = (
        None
        if shots[place].pin
        else day.hours.crew_call + (day.hours.wrap - day.hours.crew_call) / 2
    )
    pin = None if pin is None else pin.replace(second=0, microsecond=0)
    shots[place] = replace(shots[place], pin=pin, weight=1.0, cast=(), after=(), hold=False)
    return replace(day, shots=tuple(shots))


@pytest.mark.parametrize("seed", few_first(range(240), 10))
def test_quick_shots_are_proven_as_brute_force_finds(seed):
    """From nothing, from the answer to another day, and under way: the best of every plan."""
    random = seeded(seed)
    day = burst_day(seed, 5, MATCHES[seed % 3])
    fit = fit_checked(day)
    problem = make_problem(fit, GRID_MIN)
    answer = solve(problem)
    agrees(problem, answer)
    if answer is None:
        return
    changed = make_problem(fit_checked(other_day(day, random)), GRID_MIN)
    agrees(changed, solve(changed, near=answer))
    plan = plan_of(fit, problem, answer)
    if len(plan.shots) > 1:
        rest = make_problem(fit_checked(by_chance(plan, random)), GRID_MIN)
        agrees(rest, solve(rest, near=answer))


@pytest.mark.parametrize("way", WAYS)
def test_each_way_of_proving_finds_the_best_of_all_orders(way):
    """With parts of the proof left out, or forced; `proofs.truth` does so on thousands."""
    for seed in (1, 2, 5):
        assert faults_of(seed, [way]) == {way: []}


def test_a_way_that_proves_nothing_is_seen():
    """Where the proof does nothing the answer is not proven, and the comparison says so."""
    solver = importlib.import_module("sunsched.solver.solve")
    idle = {"idle": ((solver, "prove", lambda _best, start, *_, **__: start),)}
    with patch.dict(WAYS, idle):
        assert faults_of(1, ["idle"]) == {"idle": ["idle: not proven, problem 1"]}


@pytest.mark.parametrize("seed", range(6))
def test_a_warm_answer_is_the_cold_one(seed):
    """Of each kind of change one pair: a time, a first shot, an order, a cut, a delay, a list."""
    assert faults_of_pair(seed) == []


ON_CORES = """
import os, sys
os.sched_setaffinity(0, [int(core) for core in sys.argv[1].split(",")])
from oracles.days import burst_day
from benchmarks.drawn.days import day
from sunsched.light.fit import fit_checked
from sunsched.solver.build import make_problem
from sunsched.solver.solve import solve
days = [day(12, seed=seed, has_matches=seed % 2 == 0) for seed in range(6)]
for one in (*days, *(burst_day(seed, 7, ("keel",)) for seed in range(20))):
    answer = solve(make_problem(fit_checked(one)))
    print(answer and (answer.value, answer.bound, answer.sequence.tolist(), answer.starts.tolist()))
"""


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "sched_setaffinity"), reason="needs a choice of cores")
def test_one_core_gives_what_two_give():
    """Two lanes help each other at fixed points of the work, whichever is faster."""
    cores = sorted(os.sched_getaffinity(0))
    said = [
        subprocess.run(
            [sys.executable, "-c", ON_CORES, ",".join(map(str, some))],
            capture_output=True,
            text=True,
            check=True,
            cwd=Path(__file__).parents[2],
        ).stdout
        for some in (cores[:1], cores)
    ]
    assert said[0] == said[1]
    assert said[0].count("\n") == 26


def test_quick_days_are_of_every_kind():
    """Among them are shared slots, pins off the grid, heavy shots, and days without a plan."""
    problems = [
        make_problem(fit_checked(burst_day(seed, 5, MATCHES[seed % 3]))) for seed in range(60)
    ]
    assert sum((problem.lag[:-1] == 0).any() for problem in problems) > 5
    assert any(problem.must.sum() > 1 for problem in problems)
    assert any(problem.span > 1_000_000 for problem in problems)
    assert any((problem.offset > 0).any() for problem in problems)


def test_prices_below_zero_are_cut_off_where_they_enter():
    """A price of a shot that had to be made means less than nothing where it need not be."""
    problem = make_problem(fit_checked(burst_day(2, 5)), GRID_MIN)
    answer = solve(problem)
    assert answer is not None
    below = replace(answer.start, prices=np.full(problem.shots, -(10**7)))
    agrees(problem, solve(problem, near=replace(answer, start=below)))


def test_sums_that_could_overflow_are_refused():
    """Figures too large to be added exactly are no plan with a wrong proof."""
    problem = make_problem(fit_checked(burst_day(2, 5)), GRID_MIN)
    huge = replace(problem, gain=problem.gain * 10**9)
    with pytest.raises(SunschedError, match="too large to be added exactly"):
        make_tables(huge)


def test_impossible_days_name_rules_that_collide():
    """Two pins in one minute: no solver is asked for the reason, and it is given at once."""
    day = read_day(FAULTS / "mealgrid")
    first, second = day.shots
    with pytest.raises(DayImpossible, match=r"these alone:\n  1 is pinned .*\n  2 is pinned"):
        make_plan(replace(day, shots=(first, replace(second, pin=first.pin))))
