"""Measure how long drawn days take on seeded days of 20 shots; prints Markdown.

    cd tests && python -m benchmarks.stress [--days 10000] [--seeds 3]

Seconds are those of `stress` alone: its plan and the day's sun are made before.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from statistics import median
from time import perf_counter

from benchmarks.drawn.days import day
from benchmarks.solve import machine
from sunsched.light.fit import fit_day
from sunsched.solver.solve import make_plan
from sunsched.whatif.stress.stress import stress

SHOTS = 20
MUST_S = 2.0  # for 10,000 days
LIMIT_S = 2.0  # for the plan, which need not be the best one here


def measure(days: int, seed: int, *, has_matches: bool) -> tuple[int, float]:
    """Give the number of shots in the plan of a seeded day, and the seconds that its days take."""
    drawn = day(SHOTS, seed=seed, has_matches=has_matches)
    fit, plan = fit_day(drawn), make_plan(drawn, limit_s=LIMIT_S)
    began = perf_counter()
    stress(fit, plan.timetable, days=days)
    return len(plan.shots), perf_counter() - began


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, then print the table."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--days", type=int, default=10_000)
    parser.add_argument("--seeds", type=int, default=3)
    asked = parser.parse_args(arguments)
    rows = []
    for has_matches in (False, True):
        runs = [
            measure(asked.days, seed, has_matches=has_matches) for seed in range(1, asked.seeds + 1)
        ]
        seconds = [one for _, one in runs]
        rows.append(
            f"| {SHOTS} | {'with' if has_matches else 'without'} matches "
            f"| {min(made for made, _ in runs)} | {asked.days} | {median(seconds):.2f} s "
            f"| {max(seconds):.2f} s | {MUST_S:g} s |"
        )
    lines = [
        machine(),
        "",
        "| shots | day | fewest in the plan | drawn days | median | slowest | must |",
        "|---|---|---|---|---|---|---|",
        *rows,
    ]
    sys.stdout.write("\n".join([*lines, ""]))


if __name__ == "__main__":
    main()
