"""Measure plans for the average day on seeded days, and on the demo days; prints Markdown.

    cd tests && python -m benchmarks.average [--shots 8 12 16 20 24] [--seeds 6]
        [--long SECONDS] [--long-days 3] [--only 16/1 last-lamp]

Each day is planned in a process of its own, after one that is not counted and leaves byte code
behind: its seconds are those of `sunsched plan DAY --for average` from start to end, its work is
what all its threads took. An evaluation is one of the order found, on slots of five minutes.
`--long` searches for so many seconds of one processor, from that order, the planned one, the list
and the best that the bound suggests in each box, one seed after the other, on the first days
of 16 shots, or on all that are asked for by name; it says what share of the longer search's worth
the first one has. What must be reached is said below the table.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import cycle
from math import inf
from pathlib import Path
from statistics import median
from time import perf_counter, thread_time
from typing import Any

import numpy as np

from benchmarks.drawn.days import day
from benchmarks.solve import machine, markdown
from sunsched.average.beside import bound_of, rounds_of
from sunsched.average.ground import COARSE_MIN, Ground, best_references
from sunsched.average.model.drift import make_drifts
from sunsched.average.model.rest import make_rest
from sunsched.average.order.policy import fill_policy
from sunsched.average.order.search import Ordered, Scratch, search
from sunsched.average.solve import FINE_SHARE, policy_of, refined, suggested_orders
from sunsched.day.model import Day
from sunsched.folder.read import read_day
from sunsched.light.fit import DayFit, IntArray, fit_day
from sunsched.plan.timetable import Roll, Timetable

DATA = Path(__file__).parents[2] / "data"
DEMO = ("last-lamp", "late-ridge", "ferry-light")
EVALUATIONS, LONG_SHOTS = 500, 16
FIRST_SEED = 100  # of a longer search
# What must be reached, by the number of shots: seconds of the process, median and worst gap.
MUST_S = {16: 4.0, 24: 8.0}
MUST_GAP, MUST_WORST_GAP, MUST_SHARE, MUST_MS = 0.03, 0.08, 0.995, 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One day, planned in a process of its own.

    `share` is the share of a longer search's worth, None where none was asked for.
    """

    name: str
    shots: int
    planned_points: int
    points: int
    bound: int
    light: float
    process_s: float
    work_s: float
    evaluation_ms: float
    share: float | None

    @property
    def gap(self) -> float:
        """What the bound has over the points, as a share of them."""
        return (self.bound - self.points) / max(1, abs(self.points))

    @property
    def cells(self) -> tuple[str, ...]:
        """A line of the table."""
        more = (self.points - self.planned_points) / max(1, abs(self.planned_points))
        return (
            *(self.name, str(self.planned_points), str(self.points), f"{more:+.1%}"),
            *(str(self.bound), f"{self.gap:.1%}", f"{self.light:.1%}", f"{self.process_s:.1f} s"),
            *(f"{self.work_s:.1f} s", f"{self.evaluation_ms:.3f} ms"),
            "not asked" if self.share is None else f"{self.share:.2%}",
        )


HEAD = (
    *("day", "planned order", "best order", "more", "bound", "gap", "light", "process", "work"),
    *("evaluation", "of longer"),
)


def asked_day(name: str) -> Day:
    """Give a day by its name: that of a demo day, or its shots and its seed; odd ones match."""
    if "/" not in name:
        return read_day(DATA / name)
    shots, seed = map(int, name.split("/"))
    return day(shots, seed=seed, has_matches=seed % 2 == 1)


def plan_in_child(name: str) -> None:
    """Plan a day as the command does, and print what the parent needs to know."""
    from sunsched.average.beside import bounded_beside
    from sunsched.average.plan import average_plan
    from sunsched.show.text.average_day.plan import average_text
    from sunsched.solver.search.budget import START_WORK
    from sunsched.solver.solved import solve_day

    asked = asked_day(name)
    with bounded_beside(asked) as beside:
        solved = solve_day(asked, work=START_WORK)
        found = average_plan(solved, beside=beside)
    average_text(found)
    known = {
        "points": found.points,
        "bound": found.bound,
        "light": found.light_kept,
        "order": found.policy.order.tolist(),
        "references": found.policy.references.tolist(),
        "planned": [
            (one.shot_id, one.roll_start.isoformat()) for one in solved.plan.timetable.rolls
        ],
    }
    sys.stdout.write(json.dumps(known))


def run_child(name: str) -> tuple[dict[str, Any], float, float]:
    """Plan a day in a process of its own: what it found, its seconds, and those of its work."""
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "benchmarks.average", "--child", name],
        check=True,
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": ""},
        cwd=Path(__file__).parents[1],
    )
    seconds, after = perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN)
    work_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return json.loads(done.stdout), seconds, work_s


def evaluation_ms(fit: DayFit, order: IntArray) -> float:
    """Give what one evaluation of an order takes."""
    rest = make_rest(fit, COARSE_MIN)
    scratch = Scratch(rest, make_drifts(rest))
    arrays = (scratch.free, scratch.fed, scratch.ready)
    fill_policy(rest.odds, order, len(order), *arrays)
    began = perf_counter()
    for _ in range(EVALUATIONS):
        fill_policy(rest.odds, order, len(order), *arrays)
    return 1000 * (perf_counter() - began) / EVALUATIONS


def longer(fit: DayFit, planned: Timetable, found: Ordered, long_s: float) -> float:
    """Give the points of the best order that a longer search finds."""
    ground = Ground(fit)
    rough, drifts = ground.rough(), ground.drifts
    order = ground.whole([roll.shot_id for roll in planned.rolls])
    starts = [
        found,
        ground.ordered(order, best_references(fit, drifts, planned)),
        ground.ordered(ground.whole([]), found.references),
        *suggested_orders(ground, rough, bound_of(ground, lambda: True)),
    ]
    rounds = rounds_of(len(rough.shots))
    fine, best, began = rounds // FINE_SHARE, -inf, thread_time()
    for seed, start in enumerate(cycle(starts), FIRST_SEED):
        if thread_time() - began > long_s:
            break
        near = search(rough, drifts, start, rounds - fine, seed, lambda: True)[0]
        for one in refined(ground.coarse, drifts, near, fine, seed, lambda: True):
            best = max(best, ground.policy(one).worth)
    return best


def measured(name: str, long_s: float | None) -> Measured:
    """Measure one day."""
    known, process_s, work_s = run_child(name)
    fit = fit_day(asked_day(name))
    order = np.array(known["order"], dtype=np.int64)
    references = np.array(known["references"], dtype=np.int64)
    starts = [(one, datetime.fromisoformat(start)) for one, start in known["planned"]]
    planned = Timetable(
        rolls=tuple(Roll(shot_id=one, changeover_start=at, roll_start=at) for one, at in starts),
        meal_start=None,
    )
    share = None
    if long_s is not None:
        best = longer(fit, planned, Ordered(order=order, references=references, worth=0.0), long_s)
        share = known["points"] / max(best, known["points"])
    return Measured(
        name=name,
        shots=len(order),
        planned_points=round(policy_of(fit, planned).worth),
        points=known["points"],
        bound=known["bound"],
        light=known["light"],
        process_s=process_s,
        work_s=work_s,
        evaluation_ms=evaluation_ms(fit, order),
        share=share,
    )


def reached(days: Sequence[Measured]) -> str:
    """Say what must be reached, and what is."""
    lines: list[tuple[str, ...]] = [("shots", "what", "median", "worst", "must")]
    for shots in sorted({one.shots for one in days}):
        mine = [one for one in days if one.shots == shots]
        must = f"{MUST_S[shots]:g} s" if shots in MUST_S else ""
        lines.append(_line(shots, "process", [one.process_s for one in mine], "{:.1f} s", must))
        lines.append(_line(shots, "work", [one.work_s for one in mine], "{:.1f} s", ""))
        gaps = f"{MUST_GAP:.0%}, {MUST_WORST_GAP:.0%}" if shots == LONG_SHOTS else ""
        lines.append(_line(shots, "gap", [one.gap for one in mine], "{:.1%}", gaps))
        must = f"{MUST_MS} ms" if shots == LONG_SHOTS else ""
        lines.append(
            _line(shots, "evaluation", [one.evaluation_ms for one in mine], "{:.3f} ms", must)
        )
        shares = [1.0 - one.share for one in mine if one.share is not None]
        if shares:
            least = f"{1.0 - MUST_SHARE:.1%}"
            lines.append(_line(shots, "less than of longer", shares, "{:.2%}", least))
    return markdown(lines)


def _line(shots: int, what: str, figures: list[float], form: str, must: str) -> tuple[str, ...]:
    return (str(shots), what, form.format(median(figures)), form.format(max(figures)), must)


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, then print the tables; progress goes to stderr."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--shots", type=int, nargs="*", default=[8, 12, 16, 20, 24])
    parser.add_argument("--seeds", type=int, default=6)
    parser.add_argument("--only", nargs="*", metavar="DAY", help="such as last-lamp, or 16/1")
    parser.add_argument("--long", type=float, metavar="SECONDS")
    parser.add_argument("--long-days", type=int, default=3, metavar="N")
    parser.add_argument("--child", metavar="DAY", help=argparse.SUPPRESS)
    asked = parser.parse_args(arguments)
    if asked.child is not None:
        plan_in_child(asked.child)
        return
    seeded = [f"{shots}/{seed}" for shots in asked.shots for seed in range(1, asked.seeds + 1)]
    names = asked.only or [*DEMO, *seeded]
    days, longs = [], 0
    if not asked.only:
        run_child(names[0])
    for name in names:
        is_long = asked.long is not None and longs < asked.long_days
        is_long &= bool(asked.only) or len(asked_day(name).shots) == LONG_SHOTS
        longs += is_long
        days.append(measured(name, asked.long if is_long else None))
        sys.stderr.write(" | ".join(days[-1].cells) + "\n")
    lines = markdown([HEAD, *(one.cells for one in days)])
    sys.stdout.write(f"{machine()}\n\n{lines}\n\n{reached(days)}\n")


if __name__ == "__main__":
    main()
