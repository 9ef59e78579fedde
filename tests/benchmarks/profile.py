"""Measure where the time of a proof goes, on days written by hand or drawn; prints Markdown.

    cd tests && python -m benchmarks.profile [--only NAME ...] [--drawn 16 20] [--limit SECONDS]

For each day: processor seconds (a machine with other work to do makes them dearer, but not as much
as those of the clock), sweeps with the cells that they swept, labels that were kept, searches, and
the share of the seconds that each part of the proof takes. Parts of both lanes are added up.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock
from time import process_time, thread_time
from typing import Any
from unittest.mock import patch

from benchmarks.measure import BY_HAND, WARM_UP, Kind, judged
from benchmarks.solve import markdown
from sunsched.day.model import Day
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_day
from sunsched.solver.bound import label_search, lagrangian, tighten
from sunsched.solver.build import make_problem
from sunsched.solver.search import incumbent
from sunsched.solver.solve import solve

LIMIT_S = 60.0
SEEDS = range(1, 6)
# Each part of the proof: the module whose name is called, the name, and the part.
PARTS: tuple[tuple[Any, str, str], ...] = (
    (lagrangian, "sweep_back", "sweeps"),
    (lagrangian, "strike", "fixing"),
    (lagrangian, "charged", "charging"),
    (lagrangian, "push_suns", "charging"),
    (lagrangian, "move_suns", "charging"),
    (lagrangian, "follow", "paths"),
    (label_search, "extend", "labels"),
    (tighten, "make_memory", "memory"),
    (tighten, "carried_over", "memory"),
    (tighten, "without_dead", "memory"),
    (incumbent, "insert_all", "repairs"),
    (incumbent, "ruin_and_recreate", "searches"),
)
NAMES = tuple(dict.fromkeys(part for _, _, part in PARTS))


@dataclass(slots=True)
class Counts:
    """What a solve did: seconds and calls by part, cells swept, labels kept."""

    seconds: defaultdict[str, float] = field(default_factory=lambda: defaultdict(float))
    calls: Counter[str] = field(default_factory=Counter)
    cells: int = 0
    labels: int = 0
    lock: Any = field(default_factory=Lock)


@contextmanager
def watched(counts: Counts) -> Iterator[None]:
    """Count and time every part of the proof while this lasts."""
    with ExitStack() as stack:
        for module, name, part in PARTS:
            timed = _timed(getattr(module, name), part, counts)
            stack.enter_context(patch.object(module, name, timed))
        yield


def _timed(function: Callable[..., Any], part: str, counts: Counts) -> Callable[..., Any]:
    def timed(*given: Any) -> Any:
        begun = thread_time()
        found = function(*given)
        seconds = thread_time() - begun
        with counts.lock:
            counts.seconds[part] += seconds
            counts.calls[part] += 1
            if part == "sweeps":
                counts.cells += len(given[6].state)
            elif part == "labels":
                counts.labels += len(given[1].columns)
        return found

    return timed


def profiled(name: str, day: Day, limit_s: float) -> tuple[str, ...]:
    """Solve a day and give its row."""
    fit = fit_day(day)
    problem = make_problem(fit)
    counts = Counts()
    begun = process_time()
    with watched(counts):
        answer = solve(problem, limit_s=limit_s)
    seconds = process_time() - begun
    if answer is None:
        raise ValueError(f"{name} has no plan")
    plan = judged(fit, problem, answer)
    shares = [f"{counts.seconds[part] / max(seconds, 1e-9):.0%}" for part in NAMES]
    return (
        name,
        str(problem.shots),
        str(len({shot.match for shot in day.shots if shot.match})),
        f"{seconds:.2f} s",
        f"{plan.gap:.1%}",
        str(counts.calls["sweeps"]),
        f"{counts.cells / 1e6:.1f}",
        str(counts.labels),
        str(counts.calls["searches"]),
        *shares,
    )


def main(arguments: Sequence[str] | None = None) -> None:
    """Profile, then print the table; progress goes to stderr."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--only", nargs="+", help="only these days written by hand")
    parser.add_argument("--drawn", type=int, nargs="+", help="drawn days of so many shots")
    parser.add_argument("--limit", type=float, default=LIMIT_S, help="seconds for every solve")
    chosen = parser.parse_args(arguments)
    solve(make_problem(fit_day(WARM_UP.day(0))), limit_s=WARM_UP.limit_s)
    rows = []
    for name, day in _days(chosen.only, chosen.drawn or ()):
        rows.append(profiled(name, day, chosen.limit))
        sys.stderr.write(f"{'  '.join(rows[-1][:6])}\n")
    head = ("day", "shots", "matches", "processor", "gap", "sweeps", "million cells", "labels")
    sys.stdout.write(f"{markdown([(*head, 'searches', *NAMES), *rows])}\n")


def _days(only: Sequence[str] | None, drawn: Sequence[int]) -> Iterator[tuple[str, Day]]:
    for shots in drawn:
        for seed in SEEDS:
            kind = Kind(shots=shots, has_matches=True, limit_s=LIMIT_S)
            yield f"{shots}/{seed}", kind.day(seed)
    if not drawn:
        for folder in by_hand():
            if only is None or folder.name in only:
                yield folder.name, read_day(folder)


def by_hand() -> list[Path]:
    """Give the folders of the days written by hand, in the order of their names."""
    return sorted(path for path in BY_HAND.iterdir() if path.is_dir())


if __name__ == "__main__":
    main()
