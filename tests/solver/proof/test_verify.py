"""The checker of proofs: it accepts what is so, and refuses what is not.

The checker shares no code with the solver. That it accepts no false claim is tried on certificates
of true proofs that claim a point too much, and on ones with a part or a price tampered with.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from oracles.brute import best_of_all
from oracles.days import burst_day, random_day
from seeds import few_first

from sunsched.light.fit import fit_day
from sunsched.solver.build import make_problem
from sunsched.solver.certificate.record import (
    Certificate,
    Note,
    Priced,
    Remembered,
    Searched,
    size_of,
)
from sunsched.solver.certificate.verify import verify
from sunsched.solver.instance.problem import Problem
from sunsched.solver.solve import solve

MATCHES = ((), ("keel",), (), ("keel", "lamp"))


def a_problem(seed: int) -> Problem:
    """Give a day of five to eight shots, a quick one now and then."""
    matches = MATCHES[seed % 4]
    if seed % 2 and len(matches) < 2:
        return make_problem(fit_day(burst_day(seed, 5 + seed % 4, matches)), 5)
    return make_problem(fit_day(random_day(seed, 5 + seed % 4, matches)), 15)


def proof_of(problem: Problem) -> Certificate | None:
    """Give the certificate of a problem's proof; None where it has no plan."""
    answer = solve(problem, with_certificate=True)
    return None if answer is None else answer.certificate


@pytest.mark.parametrize("seed", few_first(range(30), 3))
def test_proofs_hold_and_no_more_is_believed(seed):
    """The proof of a day is accepted, and the same proof of one point less is refused."""
    problem = a_problem(seed)
    proof = proof_of(problem)
    if proof is None:
        return
    assert verify(problem, proof) is None
    less = replace(proof, points=proof.points - 1, bound=proof.bound - 1)
    assert verify(problem, less) is not None


@pytest.mark.parametrize("seed", [0, 2, 4, 8])
def test_a_bound_by_hand_is_what_brute_force_knows(seed):
    """With all shots remembered and nothing priced, the best path is the best order."""
    problem = a_problem(seed)
    best = best_of_all(problem)
    if best is None or problem.shots > 6:
        return
    n, _, suns = problem.drift.shape
    everything = tuple(tuple(x for x in range(n) if x != a) for a in range(n))
    root = Note(low=(), high=())
    # What must be made must pay to be left out, or the best path would leave it out.
    prices = np.where(problem.must, -problem.span * 4096 * 4, 0)
    nothing = np.zeros((n, suns), dtype=np.int64)
    root.steps += [Remembered(sets=everything), Priced(prices=prices, sun_prices=nothing)]
    proof = Certificate(scale=2048, points=best[0], bound=best[0], root=root)
    assert verify(problem, proof) is None
    assert verify(problem, replace(proof, points=best[0] - 1, bound=best[0] - 1)) is not None


def parted_proof() -> tuple[Problem, Certificate]:
    """Give a proof whose references were parted."""
    for seed in range(3, 200, 4):
        problem = a_problem(seed)
        proof = proof_of(problem)
        if proof is not None and size_of(proof.root)[0] > 2:
            return problem, proof
    raise AssertionError("no day was parted")


def test_a_part_that_is_left_out_is_told():
    """Without one of the children, references are not covered."""
    problem, proof = parted_proof()
    proof.root.children.pop()
    assert "leave references out" in str(verify(problem, proof))


def test_a_gap_between_parts_is_told():
    """With three children, the one in the middle may not be missing."""
    problem, proof = parted_proof()
    root = proof.root
    group = next(g for g in range(len(root.low)) if root.children[0].high[g] < root.high[g])
    root.children.clear()
    third = root.high[group] // 3
    root.parted(group, (0, third, 2 * third, root.high[group]))
    assert "leave references out" not in str(verify(problem, proof))
    del root.children[1]
    assert "leave references out" in str(verify(problem, proof))


def test_children_that_overlap_in_two_matches_are_told():
    """Halves of one match cover all; a quarter of two does not."""
    tried = (a_problem(seed) for seed in range(3, 300, 4))
    problem, proof = next(
        (one, found)
        for one in tried
        if int(one.match.max()) == 1 and (found := proof_of(one)) is not None
    )
    suns = problem.drift.shape[2]
    proof.root.steps.clear()
    proof.root.children[:] = [
        Note(low=(0, 0), high=(suns, 1)),
        Note(low=(0, 1), high=(1, suns)),
    ]
    assert verify(problem, proof) == "children differ in more than one match"


@pytest.mark.parametrize("is_whole", [True, False])
def test_a_search_that_only_claims_to_find_nothing_is_told(is_whole):
    """Labels are extended anew: a certificate cannot close a part by saying that none beats it."""
    problem = a_problem(8)
    best = best_of_all(problem)
    assert best is not None
    nothing = np.zeros((problem.shots, problem.drift.shape[2]), dtype=np.int64)
    prices = np.zeros(problem.shots, dtype=np.int64)
    claim = Searched(bound=-(1 << 40), is_whole=is_whole)
    for points, is_believed in ((best[0] - 1, False), (best[0], True)):
        groups = int(problem.match.max()) + 1
        root = Note(low=(0,) * groups, high=(problem.drift.shape[2],) * groups)
        root.steps += [Priced(prices=prices, sun_prices=nothing), claim]
        proof = Certificate(scale=2048, points=points, bound=points, root=root)
        assert (verify(problem, proof) is None) == is_believed
        root.steps.pop(0)
        assert verify(problem, proof) == "labels before any prices"


def test_a_memory_that_forgets_is_told():
    """Cells struck out for states that remember more say nothing of states that remember less."""
    problem = a_problem(8)
    root = Note(low=(), high=())
    everything = tuple(
        tuple(x for x in range(problem.shots) if x != a) for a in range(problem.shots)
    )
    less = Remembered(sets=((),) * problem.shots)
    root.steps += [Remembered(sets=everything), less]
    proof = Certificate(scale=2048, points=0, bound=0, root=root)
    assert verify(problem, proof) == "a memory forgets what it knew"


def test_tables_that_the_checker_does_not_know_are_refused():
    """Where a later start can be better for what follows, fewer labels would be no proof."""
    problem = a_problem(8)
    proof = proof_of(problem)
    assert proof is not None
    falling = problem.end_cost.copy()
    falling[0, 0] = falling.max() + 1
    skips = np.zeros_like(problem.can_skip_meal)
    skips[0, -1] = True
    for wrong in (
        replace(problem, end_cost=falling),
        replace(problem, can_skip_meal=skips),
        replace(problem, pair_cost=problem.pair_cost - 1),
        replace(problem, lag=problem.lag - 1000),
    ):
        assert "an earlier start may be worth less" in str(verify(wrong, proof))


def test_prices_that_are_none_are_told():
    """A price below zero and prices of references that do not cancel bound nothing."""
    problem, proof = parted_proof()
    priced = next(step for step in proof.root.steps if isinstance(step, Priced))
    below = replace(priced, prices=np.where(problem.must, priced.prices, -1))
    proof.root.steps.insert(0, below)
    assert verify(problem, proof) == "a price is below zero"
    uneven = priced.sun_prices.copy()
    uneven[problem.match >= 0, 0] += 1
    proof.root.steps[0] = replace(priced, sun_prices=uneven)
    assert verify(problem, proof) == "prices of references do not add up to nothing"
    huge = np.where(problem.must, priced.prices, 1 << 60)
    proof.root.steps[0] = replace(priced, prices=huge)
    assert verify(problem, proof) == "figures too large to be added exactly"
