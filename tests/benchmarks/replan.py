"""Measure how long a replan takes through the demo days; prints Markdown.

    cd tests && python -m benchmarks.replan [--late 60] [--every 60] [--only DAY ...]

With `--for average` it measures replans for the average day.

The day went by its plan up to each moment, and loses as many minutes from then on. Seconds are
those of `replan` alone: the plan is made before.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from statistics import median
from time import perf_counter

from under_way import as_planned

from benchmarks.solve import machine
from sunsched.errors import DayImpossible
from sunsched.folder.read import read_day
from sunsched.solver.solve import make_plan
from sunsched.whatif.replan.average import replan_average
from sunsched.whatif.replan.replan import replan

DATA = Path(__file__).parents[2] / "data"
DEMOS = ("last-lamp", "late-ridge", "ferry-light")
MUST_S = {"planned": 1.0, "average": 3.0}


def measure(name: str, every_min: int, late_min: int, aim: str) -> list[tuple[str, float]]:
    """Give the local time and the seconds of a replan at each moment of a day."""
    day = read_day(DATA / name)
    plan = make_plan(day)
    at, took = day.hours.crew_call, []
    while at < plan.shots[-1].roll_end:
        began, events = perf_counter(), as_planned(plan, at)
        try:
            if aim == "average":
                replan_average(day, events, plan.timetable, at=at, late_min=late_min)
            else:
                replan(day, events, plan.timetable, at=at, late_min=late_min)
        except DayImpossible:
            sys.stderr.write(f"{name} at {at:%H:%M} UTC: what is pinned cannot be reached\n")
        else:
            took.append((f"{at.astimezone(day.place.zone):%H:%M}", perf_counter() - began))
        at += timedelta(minutes=every_min)
    return took


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, then print the table."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--late", type=int, default=60, help="minutes lost (60)")
    parser.add_argument("--only", choices=DEMOS, nargs="+", default=DEMOS, help="of the days")
    parser.add_argument("--every", type=int, default=60, help="minutes between moments (60)")
    parser.add_argument("--for", dest="aim", choices=[*MUST_S], default="planned", help="(planned)")
    asked = parser.parse_args(arguments)
    rows = []
    for name in asked.only:
        took = measure(name, asked.every, asked.late, asked.aim)
        slowest = max(took, key=lambda one: one[1])
        rows.append(
            f"| {name} | {len(took)} | {median(seconds for _, seconds in took):.2f} s "
            f"| {slowest[1]:.2f} s at {slowest[0]} | {MUST_S[asked.aim]:g} s |"
        )
    lines = [
        machine(),
        "",
        "| day | moments | median | slowest | must |",
        "|---|---|---|---|---|",
        *rows,
    ]
    sys.stdout.write("\n".join([*lines, ""]))


if __name__ == "__main__":
    main()
