"""Measure the order solver of another commit and of these files by turns; prints Markdown.

    cd tests && python -m benchmarks.against COMMIT [--shots 16 20] [--seeds 3] [--limit SECONDS]

The commit is put into a folder of its own for the time, where it compiles anew, and each side runs
its own benchmark on its own days. The two sides take turns row by row, as a machine is not equally
quick all day. A ratio below 1 says that these files are quicker.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmarks.solve import markdown

ROOT = Path(__file__).parents[2]
HEAD = ("shots", "day", "old, median", "new, median", "new / old", "old gap", "new gap", "points")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row that a benchmark has printed; `is_late` if the proof took longer than its limit."""

    shots: str
    day: str
    seconds: float
    is_late: bool
    gap: str
    points: int

    @property
    def time(self) -> str:
        """The median time as the benchmark prints it."""
        return f"{'> ' * self.is_late}{self.seconds:.2f} s"


def read_rows(printed: str) -> list[Row]:
    """Read the table that `benchmarks.solve` prints, by the names of its columns."""
    head, _, *lines = [
        [cell.strip() for cell in line.strip("|").split("|")]
        for line in printed.splitlines()
        if line.startswith("|")
    ]
    rows = []
    for line in lines:
        cells = dict(zip(head, line, strict=True))
        median = cells["proof, median"]
        rows.append(
            Row(
                shots=cells["shots"],
                day=cells["day"],
                seconds=float(median.removeprefix("> ").removesuffix(" s")),
                is_late=median.startswith("> "),
                gap=cells["gap at limit"],
                points=int(cells["points"]),
            )
        )
    return rows


def table(old: Sequence[Row], new: Sequence[Row]) -> str:
    """Lay the rows that both have side by side in Markdown.

    Where one side ran into its limit, the ratio is only known to be above or below a figure. Points
    are those of the middle day; two plans that are both proven must be worth the same.
    """
    lines: list[tuple[str, ...]] = [HEAD]
    known = {(row.shots, row.day): row for row in old}
    for now in new:
        was = known.get((now.shots, now.day))
        if was is None:
            continue
        change = now.points - was.points
        lines.append(
            (
                *(now.shots, now.day, was.time, now.time, _ratio(was, now), was.gap, now.gap),
                f"{change:+d}" if change else "same",
            )
        )
    return markdown(lines)


def _ratio(was: Row, now: Row) -> str:
    if was.is_late and now.is_late:
        return "not known"
    sign = "< " if was.is_late else "> " if now.is_late else ""
    return f"{sign}{now.seconds / max(was.seconds, 0.005):.2f}"  # times are given to 0.01 s


@contextmanager
def files_of(commit: str) -> Iterator[Path]:
    """Give a folder with the files of a commit; it is gone afterwards.

    Raises
    ------
    ValueError
        When there is no such commit.
    """
    with TemporaryDirectory() as folder:
        tree = Path(folder) / "tree"
        made = _git("worktree", "add", "--detach", str(tree), commit)
        if made.returncode:
            raise ValueError(f"no files of `{commit}`: {made.stderr.strip()}")
        try:
            yield tree
        finally:
            _git("worktree", "remove", "--force", str(tree))


def _git(*words: str) -> subprocess.CompletedProcess[str]:
    command = ["git", "-c", f"safe.directory={ROOT}", "-C", str(ROOT), *words]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def measured(tree: Path, words: Sequence[str]) -> list[Row]:
    """Run the benchmark of a tree."""
    return read_rows(said_in(tree, "-m", "benchmarks.solve", *words))


def said_in(tree: Path, *words: str) -> str:
    """Give what this interpreter prints, on the package of a tree."""
    done = subprocess.run(
        [sys.executable, *words],
        cwd=tree / "tests",
        # Before the installed package, which may be that of another tree.
        env={**os.environ, "PYTHONPATH": f"{tree}{os.pathsep}{tree / 'tests'}"},
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    )
    return done.stdout


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure both by turns, then print the table; progress goes to stderr."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("commit", help="what these files are compared with, as git names it")
    parser.add_argument(
        "--shots", type=int, nargs="+", default=[16, 20], help="days of these many shots (16 20)"
    )
    parser.add_argument("--seeds", type=int, default=3, help="days of each kind (3)")
    parser.add_argument("--limit", type=float, help="seconds for every solve")
    chosen = parser.parse_args(arguments)
    words = ["--seeds", str(chosen.seeds)]
    if chosen.limit is not None:
        words += ["--limit", str(chosen.limit)]
    old: list[Row] = []
    new: list[Row] = []
    with files_of(chosen.commit) as tree:
        for shots in chosen.shots:
            row = [*words, "--shots", str(shots)]
            for side, name, rows in ((tree, "old", old), (ROOT, "new", new)):
                sys.stderr.write(f"{name}, days of {shots} shots\n")
                rows += measured(side, row)
    sys.stdout.write(f"`{chosen.commit}` is old; median of {chosen.seeds} days.\n\n")
    sys.stdout.write(f"{table(old, new)}\n")


if __name__ == "__main__":
    main()
