"""Measure plans for the average day on seeded days, and on the demo days; prints Markdown.

    cd tests && python -m benchmarks.average [--shots 8 12 16 20 24] [--seeds 3] [--long ROUNDS]

Seconds are those of the search with its bound, and of one evaluation of an order on slots of five
minutes; the plan for planned minutes is made before. `--long` looks on from the order found, for so
many rounds, and says what share of that longer search's worth the first one has.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np

from benchmarks.days import day
from benchmarks.solve import machine
from sunsched.average.model.drift import make_drifts
from sunsched.average.model.rest import make_rest
from sunsched.average.order.forecast import light_share, make_policy
from sunsched.average.order.policy import fill_policy
from sunsched.average.order.search import Ordered, Scratch, search
from sunsched.average.solve import COARSE_MIN, OnAverage, on_average, policy_of
from sunsched.day.model import Day
from sunsched.folder.read import read_day
from sunsched.light.fit import DayFit, fit_day
from sunsched.solver.solve import make_plan

DATA = Path(__file__).parents[2] / "data"
LIMIT_S = 20.0  # for the plan that the search begins with
EVALUATIONS = 200


def evaluation_ms(fit: DayFit, found: OnAverage) -> float:
    """Give what one evaluation of the order takes."""
    rest = make_rest(fit, COARSE_MIN)
    scratch, order = Scratch(rest, make_drifts(rest)), found.policy.order
    began = perf_counter()
    for _ in range(EVALUATIONS):
        fill_policy(rest.odds, order, len(order), scratch.free, scratch.fed, scratch.ready)
    return 1000 * (perf_counter() - began) / EVALUATIONS


def longer(fit: DayFit, found: OnAverage, rounds: int) -> float:
    """Give the share of a longer search's worth that the first one has."""
    coarse, minute = make_rest(fit, COARSE_MIN), make_rest(fit, 1)
    drifts = make_drifts(minute)
    policy = found.policy
    first = Ordered(order=policy.order, references=policy.references, worth=-np.inf)
    met = search(coarse, drifts, first, rounds, 7, lambda: True)
    best = max(make_policy(minute, drifts, one.order, one.references).worth for one in met[:5])
    return policy.worth / max(best, policy.worth)


def row(name: str, asked: Day, rounds: int) -> tuple[str, float, float]:
    """Measure one day: its line of the table, the gap, and the seconds."""
    fit = fit_day(asked)
    plan = make_plan(asked, limit_s=LIMIT_S)
    planned = policy_of(fit, plan.timetable).worth
    began = perf_counter()
    found = on_average(fit, plan.timetable)
    seconds = perf_counter() - began
    worth = found.policy.worth
    share = f"{longer(fit, found, rounds):.2%}" if rounds else "not asked"
    line = (
        f"| {name} | {planned:.0f} | {worth:.0f} | {(worth - planned) / abs(planned):+.1%} "
        f"| {found.bound:.0f} | {found.gap:.1%} | {light_share(found.policy):.1%} "
        f"| {seconds:.1f} s | {evaluation_ms(fit, found):.2f} ms | {share} |"
    )
    return line, found.gap, seconds


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, then print the table."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--shots", type=int, nargs="*", default=[8, 12, 16, 20, 24])
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--long", type=int, default=0, metavar="ROUNDS")
    parser.add_argument("--demo", nargs="*", default=["last-lamp", "late-ridge", "ferry-light"])
    asked = parser.parse_args(arguments)
    days = [(name, read_day(DATA / name)) for name in asked.demo]
    days += [
        (f"{shots} shots, seed {seed}", day(shots, seed=seed, has_matches=seed % 2 == 1))
        for shots in asked.shots
        for seed in range(1, asked.seeds + 1)
    ]
    heads = (
        "day|planned order|best order|more|bound|gap|light|search and bound|evaluation|of longer"
    )
    lines = [machine(), "", f"| {heads.replace('|', ' | ')} |", "|---" * 10 + "|"]
    rows = [row(name, one, asked.long) for name, one in days]
    gaps, seconds = [gap for _, gap, _ in rows], [took for _, _, took in rows]
    lines += [line for line, _, _ in rows]
    lines += [
        "",
        f"gap: median {median(gaps):.1%}, worst {max(gaps):.1%}; slowest {max(seconds):.1f} s",
    ]
    sys.stdout.write("\n".join([*lines, ""]))


if __name__ == "__main__":
    main()
