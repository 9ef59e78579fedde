"""Hold the solver against brute force with each part of its proof forced in turn; prints Markdown.

    cd tests && python -m benchmarks.soak.truth [--problems 2000] [--every] [--pairs 500]
                                                  [--days 60]

Every problem is solved as it is and in one of the ways below in turn, with `--every` in each; each
answer must be worth what the best of all orders is worth, and proven. A pair is a small problem
changed as a decision, a delay or another shot list changes it: solved from the answer to the first
and from nothing, both must be worth the same. Days are solved on one core and on all of this
machine: every figure must be equal.
The exit code is 1 if anything differs. Takes about a quarter of an hour.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager, nullcontext
from dataclasses import replace
from pathlib import Path
from typing import Any
from unittest.mock import patch

from oracles.answer import worth
from oracles.brute import best_of_all
from oracles.days import burst_day, random_day

from benchmarks.solve import markdown
from sunsched.light.fit import fit_checked
from sunsched.solver.bound import branch_and_bound, tighten
from sunsched.solver.build import make_problem
from sunsched.solver.instance.changes import (
    made_first,
    near_order,
    rolled_between,
)
from sunsched.solver.instance.problem import FORBIDDEN, Problem
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.search.incumbent import Incumbent
from sunsched.solver.solve import solve

GRIDS_MIN = (15, 20, 30)
MATCHES = ((), ("keel",), ("keel", "lamp"))
AS_IT_IS = "as it is"
STRIDE = 100  # problems between two lines on stderr
Patches = Sequence[tuple[Any, str, Any]]
# Each way of solving: what takes the place of which name.
WAYS: dict[str, Patches] = {
    AS_IT_IS: (),
    "no search beside the proof": ((Incumbent, "searching", lambda *_, **__: nullcontext()),),
    "beams of four labels": (
        (branch_and_bound, "ROOM", 4),
        (tighten, "most_room", lambda _shots: 4),
    ),
    "labels late": ((tighten, "_is_worth_a_beam", lambda node, *_: node.rounds > 5),),
    "no memory": ((tighten, "widened", lambda _tables, memory, *_: memory.sets),),
    "memory of one shot": ((tighten, "LARGEST_SET", 1),),
    "no prices of suns": ((branch_and_bound, "_better", lambda *_: 1),),
    "prices of suns": ((branch_and_bound, "_better", lambda *_: 0),),
    "one step of prices": (
        (branch_and_bound, "FIRST_STEPS", 1),
        (branch_and_bound, "WHOLE_STEPS", 1),
        (branch_and_bound, "STEPS", 1),
    ),
    "halved at once": (
        (tighten, "WHOLE_WORTH", 1e9),
        (tighten, "WORTH", 1e9),
        (tighten, "ENOUGH", 0),
    ),
    "no ends cut off": ((tighten, "NARROWEST", 10**9),),
    "one part at a time": ((branch_and_bound, "_worst", lambda nodes: nodes[:1]),),
}
ON_CORES = """
import os, sys
os.sched_setaffinity(0, [int(core) for core in sys.argv[1].split(",")])
from benchmarks.soak.truth import figures_of
for seed in range(int(sys.argv[2])):
    print(figures_of(seed), flush=True)
"""


@contextmanager
def forced(way: str) -> Iterator[None]:
    """Solve in one of the ways while this lasts."""
    with ExitStack() as stack:
        for module, name, instead in WAYS[way]:
            stack.enter_context(patch.object(module, name, instead))
        yield


def problem_of(seed: int) -> Problem:
    """Draw a small problem: four or five shots, up to two matches, shots that share slots."""
    count, matches = 4 + seed % 2, MATCHES[seed % 3]
    draw = burst_day if seed % 5 == 0 else random_day
    grid_min = 20 if len(matches) == 2 else GRIDS_MIN[seed % 4 % 3]
    return make_problem(fit_checked(draw(seed, count, matches)), grid_min)


def answered(problem: Problem) -> tuple[int | None, bool]:
    """Give the points of the answer, added up from the tables, and whether it is proven."""
    answer = solve(problem)
    if answer is None:
        return None, True
    points = whole_points(problem, answer.value)
    sequence, starts = tuple(answer.sequence.tolist()), tuple(answer.starts.tolist())
    if worth(problem, sequence, starts, answer.meal) != points:
        raise ValueError(f"an answer is not worth what it says: {problem.ids}")
    return points, answer.is_proven


def faults_of(seed: int, ways: Sequence[str]) -> dict[str, list[str]]:
    """Solve a problem in some ways, and say in which it differs from the best of all orders."""
    problem = problem_of(seed)
    best = best_of_all(problem)
    found: dict[str, list[str]] = {way: [] for way in ways}
    for way in ways:
        with forced(way):
            points, is_proven = answered(problem)
        if points != (None if best is None else best[0]):
            found[way].append(f"{way}: {points} for {best}, problem {seed}")
        elif not is_proven:
            found[way].append(f"{way}: not proven, problem {seed}")
    return found


def ways_of(seed: int, *, is_every: bool) -> tuple[str, ...]:
    """Give the ways in which a problem is solved: as it is, and one other or all."""
    others = tuple(way for way in WAYS if way != AS_IT_IS)
    return (AS_IT_IS, *(others if is_every else others[seed % len(others) :][:1]))


def pair_of(seed: int) -> tuple[Problem, Problem] | None:
    """Draw a problem of six shots and one like it; None where the first has no plan."""
    day = random_day(seed, 6, MATCHES[1 + seed % 2])
    problem = make_problem(fit_checked(day), 15)
    answer = solve(problem)
    if answer is None:
        return None
    shot, kind = int(answer.sequence[-1]), seed % 6
    backward = answer.sequence[::-1].tolist()
    if kind == 0:
        first = problem.origin + problem.slots * problem.grid_min // 3
        return problem, rolled_between(problem, shot, first, first + 60)
    if kind == 1:
        return problem, made_first(problem, shot)
    if kind == 2:
        return problem, near_order(problem, backward, 150)
    if kind == 3:
        gain = problem.gain.copy()
        gain[:, shot] = FORBIDDEN
        must = problem.must.copy()
        must[shot] = False
        return problem, replace(problem, gain=gain, must=must)
    if kind == 4:
        later = problem.gain.copy()
        later[:, :, : problem.slots // 6] = FORBIDDEN
        return problem, replace(problem, gain=later)
    shots = tuple(replace(one, after=()) for one in day.shots)
    short = make_problem(fit_checked(replace(day, shots=shots[1:])), 15)
    return make_problem(fit_checked(replace(day, shots=shots)), 15), short


def faults_of_pair(seed: int) -> list[str]:
    """Solve a changed problem from the first one's answer and from nothing; say what differs."""
    pair = pair_of(seed)
    if pair is None:
        return []
    first, other = pair
    near = solve(first)
    if near is None:
        return []
    warm, cold = (solve(other, near=start) for start in (near, None))
    told = [None if one is None else (one.value, one.is_proven) for one in (warm, cold)]
    if told[0] != told[1] or (warm is not None and not warm.is_proven):
        return [f"pair {seed}: warm {told[0]}, cold {told[1]}"]
    return []


def figures_of(seed: int) -> str:
    """Give every figure of the answer to a day, as a text."""
    problem = make_problem(fit_checked(random_day(seed, 8 + seed % 3, MATCHES[seed % 3])), 5)
    answer = solve(problem)
    if answer is None:
        return "no plan"
    order = answer.sequence.tolist(), answer.starts.tolist(), answer.meal
    return f"{answer.value} {answer.bound} {order}"


def on_cores(cores: Sequence[int], days: int) -> list[str]:
    """Solve days on some cores alone, in a process of its own."""
    asked = [sys.executable, "-c", ON_CORES, ",".join(map(str, cores)), str(days)]
    here = Path(__file__).parents[2]
    done = subprocess.run(asked, capture_output=True, text=True, check=True, cwd=here)
    return done.stdout.splitlines()


def main(arguments: Sequence[str] | None = None) -> None:
    """Solve everything, then print how much was equal; what differs goes to stderr at once."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--problems", type=int, default=2000, help="against brute force (2000)")
    parser.add_argument("--every", action="store_true", help="each of them in every way")
    parser.add_argument("--pairs", type=int, default=500, help="warm and cold (500)")
    parser.add_argument("--days", type=int, default=60, help="on one core and on all (60)")
    chosen = parser.parse_args(arguments)
    faults: Counter[str] = Counter()
    solved = Counter(dict.fromkeys(WAYS, 0))

    def note(what: str, found: Sequence[str]) -> None:
        faults[what] += len(found)
        for text in found:
            sys.stderr.write(f"{text}\n")

    for seed in range(chosen.problems):
        for way, found in faults_of(seed, ways_of(seed, is_every=chosen.every)).items():
            solved[way] += 1
            note(way, found)
        if (seed + 1) % STRIDE == 0:
            sys.stderr.write(f"{seed + 1} problems\n")
    for seed in range(chosen.pairs):
        note("pairs", faults_of_pair(seed))
    cores = sorted(os.sched_getaffinity(0))
    sides = zip(on_cores(cores[:1], chosen.days), on_cores(cores, chosen.days), strict=True)
    note("cores", [f"day {seed}: {a} / {b}" for seed, (a, b) in enumerate(sides) if a != b])
    solved |= Counter(pairs=chosen.pairs, cores=chosen.days)
    lines = [(what, str(count), str(faults[what])) for what, count in solved.items()]
    sys.stdout.write(f"{markdown([('solved', 'how many', 'not equal or not proven'), *lines])}\n")
    if faults.total():
        sys.exit(1)


if __name__ == "__main__":
    main()
