"""The proof without help: with no good plan to start from, a false bound shows as a wrong optimum.

Outside opinion: brute force over every order, subset, start and choice of references.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from benchmarks.drawn.days import day
from oracles.brute import best_of_all
from oracles.days import random_day
from seeds import few_first

from sunsched.light.fit import IntArray, fit_day
from sunsched.solver.bound import branch_and_bound, tighten
from sunsched.solver.bound.branch_and_bound import first_start, prove
from sunsched.solver.bound.label_search import search_apart, search_together
from sunsched.solver.bound.lagrangian import make_sweep, swept_value
from sunsched.solver.bound.ng_states import make_memory, widened
from sunsched.solver.bound.node import Node, balanced, charged
from sunsched.solver.build import make_problem
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import NEVER, SCALE, make_tables, whole_points
from sunsched.solver.search.budget import Effort, Stopped
from sunsched.solver.search.incumbent import Incumbent
from sunsched.solver.solve import solve

MATCHES = (("keel",), ("keel", "lamp"), ("keel",))


def small_problem(seed: int) -> Problem:
    """Give a day of five or six shots with a match or two, most of them in one."""
    matches = MATCHES[seed % 3]
    grid_min = 20 if len(matches) == 2 else 10
    return make_problem(fit_day(random_day(seed, 5 + seed % 2, matches)), grid_min)


def node_of(problem: Problem, best: Incumbent, low: int, high: int, seed: int) -> Node:
    """Give the part with its first match between two references, at any prices whatever."""
    groups = int(problem.match.max()) + 1
    suns = problem.drift.shape[2]
    numbers = np.random.default_rng(seed)
    pushed = numbers.integers(-1500, 1500, size=(problem.shots, 1)) * SCALE
    pushed = pushed + numbers.integers(-200, 200, size=(problem.shots, suns)) * SCALE
    memory = make_memory(best.tables, first_start(best).sets)
    return Node(
        low=(low, *[0] * (groups - 1)),
        high=(high, *[suns] * (groups - 1)),
        bound=-NEVER,
        reached=-NEVER,
        prices=numbers.integers(0, 6000, size=problem.shots) * SCALE,
        sun_prices=balanced(problem.match, pushed),
        memory=memory,
        alive=np.ones((problem.slots, 2, memory.states), dtype=np.bool_),
        are_suns_priced=True,
        length=1.0,
        rounds=0,
        depth=0,
        is_solved=False,
        room=50_000,
        beam_left=0.0,
        tried_cells=0,
    )


@pytest.mark.parametrize("seed", few_first(range(600, 614), 3))
@pytest.mark.parametrize("is_whole", [True, False])
def test_labels_find_the_best_order_of_a_part(seed: int, is_whole: bool) -> None:
    """From a value one below the best, labels find it; from the best itself, nothing beats it.

    The references of one match stand in an interval; any prices give a bound.
    """
    problem = small_problem(seed)
    if problem.match.max() < 0:
        return  # a few of the random days have no match of two shots
    best = Incumbent(make_tables(problem), problem)
    low, high = (problem.drift.shape[2] // 4, problem.drift.shape[2] // 2)
    low, high = (0, problem.drift.shape[2]) if seed % 2 else (low, high)
    part = node_of(problem, best, low, high, seed)
    # Brute force is told that no reference of the match stands outside the interval.
    drift = problem.drift.copy()
    drift[problem.match == 0] = 10**6
    drift[problem.match == 0, :, low:high] = problem.drift[problem.match == 0, :, low:high]
    optimum = best_of_all(replace(problem, drift=drift))
    earned, tables = charged(best.tables, problem, part), best.tables
    swept = make_sweep(tables.gain, part)
    swept_value(tables, part, earned, swept)
    search = search_together if is_whole else search_apart
    found = search(tables, problem, part, earned, swept, NEVER // 2, lambda _: None)
    assert found.is_exact
    if optimum is None:
        assert whole_points(problem, found.bound - best.must_worth) < -100_000
        return
    if is_whole:
        assert whole_points(problem, found.bound - best.must_worth) == optimum[0]
        again = search_together(tables, problem, part, earned, swept, found.bound, lambda _: None)
        assert again.bound == found.bound
        assert again.path is None
    else:
        assert whole_points(problem, found.bound - best.must_worth) >= optimum[0]


@pytest.mark.parametrize("seed", few_first(range(640, 660), 3))
@pytest.mark.parametrize("room", [None, 4])
def test_a_proof_finds_the_optimum_by_itself(
    seed: int, room: int | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without any search for good plans, all that the proof strikes out is worth no more.

    With room for four labels no beam ends the proof early: states must remember more and intervals
    be halved until nothing is left.
    """
    problem = small_problem(seed)
    optimum = best_of_all(problem)
    monkeypatch.setattr(Incumbent, "_searched", lambda best, *_args: best.nothing)
    if room is not None:
        monkeypatch.setattr(branch_and_bound, "ROOM", room)
        monkeypatch.setattr(tighten, "DRIFTS", room)
    best = Incumbent(make_tables(problem), problem)
    prove(best, first_start(best), Effort(60.0, lambda: None), 30)
    if optimum is None:
        assert not best.is_plan
    else:
        assert whole_points(problem, best.value - best.must_worth) == optimum[0]
        assert best.bound == best.value


@pytest.mark.parametrize("seed", few_first(range(1, 6), 2))
def test_no_part_of_a_day_is_lost(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """With plans from beams of four labels alone, many parts end at what a full solve proves.

    Paths of prices would guess the best order whatever part had been lost.
    """
    problem = make_problem(fit_day(day(8, seed=seed, has_matches=True)))
    known = solve(problem)
    assert known is not None
    assert known.is_proven
    monkeypatch.setattr(Incumbent, "_searched", lambda best, *_args: best.nothing)
    monkeypatch.setattr(branch_and_bound, "ROOM", 4)
    monkeypatch.setattr(tighten, "DRIFTS", 4)
    offer_path, beamed, beaming = Incumbent.offer_path, tighten._beamed, set()

    def offer(best: Incumbent, path: IntArray) -> int:
        return offer_path(best, path) if id(best) in beaming else best.value

    def beam(part: Node, best: Incumbent, *rest: Any) -> Any:
        beaming.add(id(best))
        found = beamed(part, best, *rest)
        beaming.discard(id(best))
        return found

    monkeypatch.setattr(Incumbent, "offer_path", offer)
    monkeypatch.setattr(tighten, "_beamed", beam)
    best = Incumbent(make_tables(problem), problem)
    prove(best, first_start(best), Effort(60.0, lambda: None), 30)
    assert best.bound == best.value == known.value


@pytest.mark.parametrize("count", [1, 2, 8])
def test_each_part_is_worked_on_once(count: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """However many parts are dealt to the lanes, each comes back."""
    problem = small_problem(601)
    best = Incumbent(make_tables(problem), problem)
    parts = [node_of(problem, best, 0, 1 + number, 601) for number in range(count)]
    monkeypatch.setattr(branch_and_bound, "tightened", lambda part, *_rest: [part])
    with ThreadPoolExecutor(1) as pool:
        effort = Effort(60.0, lambda: None)
        here, there = branch_and_bound._side_by_side(parts, (best, best.twin()), pool, effort, 1)
    assert sorted(id(part) for part in here + there) == sorted(id(part) for part in parts)


@pytest.mark.parametrize(("gap", "is_kept"), [(80, True), (90, False), (110, False)])
def test_prices_of_suns_stay_only_where_they_earn(gap: int, is_kept: bool) -> None:
    """Next to a gap of 100 without them they must leave 85 at most."""
    problem = small_problem(601)
    best = Incumbent(make_tables(problem), problem)
    part = replace(node_of(problem, best, 0, 2, 601), are_suns_priced=False)
    priced = [
        replace(part, reached=1000 + gap - 50, are_suns_priced=True),
        replace(part, reached=1000 + gap, are_suns_priced=True),
    ]
    plain = [replace(part, reached=1100), replace(part, reached=1000)]
    # A round may halve the day: both halves of what is chosen must stay.
    kept = branch_and_bound._better(priced, plain, 1000)
    assert kept == (0 if is_kept else 1)
    assert (
        branch_and_bound._better(priced, [], 1000),
        branch_and_bound._better([], plain, 1000),
    ) == (1, 0)


@pytest.mark.parametrize(("shots", "is_full"), [(12, False), (20, True)])
def test_a_day_is_proven_with_prices_of_suns_and_without(
    shots: int, is_full: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever is chosen at the start, the order is the same, and its choice is handed on."""
    problem = make_problem(fit_day(day(shots, seed=1, has_matches=True, is_full=is_full)))
    values = []
    for choice in (0, 1):
        monkeypatch.setattr(branch_and_bound, "_better", lambda *_, choice=choice: choice)
        best = Incumbent(make_tables(problem), problem)
        learnt = prove(best, first_start(best), Effort(60.0, lambda: None), 100)
        assert best.bound == best.value
        assert learnt.are_suns_priced is (choice == 0)
        assert learnt.sun_prices.any() == (choice == 0)
        values.append(best.value)
    assert values[0] == values[1]


def test_a_search_ends_with_the_proof() -> None:
    """A search that would last for hours ends when nothing better is left to be found."""
    problem = small_problem(601)
    best = Incumbent(make_tables(problem), problem)
    best.search(50, 1, best.nothing)
    with best.searching(10**9, (1,), best.nothing, Effort(None, lambda: None)):
        best.bound = best.value
    assert best.is_plan


@pytest.mark.parametrize(("limit_s", "is_kept"), [(60.0, True), (None, False)])
def test_what_a_search_found_is_kept_when_a_clock_ends_it(
    limit_s: float | None, is_kept: bool
) -> None:
    """When counted work ends a solve, how far a thread came must not decide the plan."""
    problem = small_problem(601)
    best = Incumbent(make_tables(problem), problem)
    with (
        pytest.raises(Stopped),
        best.searching(50, (1,), best.nothing, Effort(limit_s, lambda: None)),
    ):
        raise Stopped
    assert best.is_plan is is_kept


def test_the_clock_is_looked_at_within_a_beam() -> None:
    """A beam with much room takes many seconds; when the time is over it ends at once."""
    problem = small_problem(601)
    best = Incumbent(make_tables(problem), problem)
    part = node_of(problem, best, 0, problem.drift.shape[2], 601)
    earned = charged(best.tables, problem, part)
    swept = make_sweep(best.tables.gain, part)
    swept_value(best.tables, part, earned, swept)

    def spend(_steps: int) -> None:
        raise Stopped

    for search in (search_apart, search_together):
        with pytest.raises(Stopped):
            search(best.tables, problem, part, earned, swept, NEVER // 2, spend)


@pytest.mark.parametrize("is_priced", [True, False])
def test_a_day_like_a_known_one_does_not_choose_again(
    is_priced: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was chosen for prices of suns holds where a solve starts from another's prices."""
    monkeypatch.setattr(branch_and_bound, "_better", None)
    problem = small_problem(601)
    best = Incumbent(make_tables(problem), problem)
    start = replace(first_start(best), are_suns_priced=is_priced)
    assert branch_and_bound.whole_day(best, start).are_suns_priced is is_priced
    prove(best, start, Effort(60.0, lambda: None), 60)
    assert best.bound == best.value


def path_of(*shots: int) -> IntArray:
    """Give a path that makes these shots, one in each slot."""
    return np.array([(shot, slot) for slot, shot in enumerate(shots)], dtype=np.int64)


def test_memory_grows_by_what_any_path_forgets():
    """The best path may be an order while another one goes in a circle: that one is remembered."""
    problem = small_problem(600)
    tables = make_tables(problem)
    tables = tables._replace(far=np.zeros_like(tables.far))
    memory = make_memory(tables, ((),) * problem.shots)
    order, circle = (
        np.array([(s, t) for t, s in enumerate(shots)]) for shots in ((0, 1, 2), (3, 4, 3))
    )
    assert widened(tables, memory, [order], 9) == memory.sets
    sets = widened(tables, memory, [order, circle], 9)
    assert [s for s, one in enumerate(sets) if one] == [4]
    assert sets[4] == (3,)


def test_memory_takes_what_is_forgotten_soonest_first():
    """Of a circle of two and one of four, there is room for the short one only."""
    problem = small_problem(600)
    tables = make_tables(problem)
    tables = tables._replace(far=np.zeros_like(tables.far))
    memory = make_memory(tables, ((),) * problem.shots)
    long, short = path_of(0, 1, 2, 4, 0), path_of(3, 4, 3)
    sets = widened(tables, memory, [long, long, short], 1)
    assert sets[4] == (3,)  # the long circle finds no room there


def test_a_price_below_zero_is_refused():
    """Charging less than nothing for a shot would bound no plan at all."""
    problem = small_problem(600)
    best = Incumbent(make_tables(problem), problem)
    node = node_of(problem, best, 0, problem.drift.shape[2], 1)
    make_sweep(best.tables.gain, node)
    below = replace(node, prices=node.prices - node.prices.max() - 1)
    with pytest.raises(ValueError, match="below zero"):
        make_sweep(best.tables.gain, below)


def test_where_nothing_is_owed_the_widest_interval_is_cut():
    """In its middle; a node whose matches have one reference each is not cut at all."""
    problem = small_problem(601)
    best = Incumbent(make_tables(problem), problem)
    node = node_of(problem, best, 0, problem.drift.shape[2], 1)
    group, middle = tighten._widest_cut(replace(node, low=(3, 10), high=(7, 20))) or (None, None)
    assert (group, middle) == (1, 15)
    assert tighten._widest_cut(replace(node, low=(3, 10), high=(4, 11))) is None
    assert tighten._widest_cut(replace(node, low=(), high=())) is None
