"""Measure how long a sheet takes as a whole process, and how large it is; prints Markdown.

    cd tests && python -m benchmarks.sheet [--times 5] [--only KIND ...]

A demo day of 16 shots, with its plan saved and without one. Processor time is that of all its
processes, which a loaded machine changes less than the seconds. Then the phone pages of made-up
days of 16 and 40 shots with every curve in every picture.
"""

from __future__ import annotations

import argparse
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from statistics import median
from time import perf_counter

from show.phone.days import hard_sheet

from benchmarks.replan import DATA
from benchmarks.solve import machine
from sunsched.show.sheets.sheet import SHEET_KINDS, sheet_bytes

DEMO = "last-lamp"
SAVED_S, UNSAVED_S = 2.0, 4.0  # what a sheet may take at most
PAGES_KB = {16: 350, 40: 800}  # what a phone page may have at most
COMMAND = (sys.executable, "-c", "from sunsched.cli import main; main()")


def run(*words: str) -> tuple[float, float]:
    """Run the command line; gives its seconds and those of the processor."""
    before, began = _processor_s(), perf_counter()
    subprocess.run([*COMMAND, *words], check=True, capture_output=True)
    return perf_counter() - began, _processor_s() - before


def _processor_s() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def sheet_rows(kinds: Sequence[str], times: int) -> list[str]:
    """Give a line of the table for each kind, of a saved plan and of a new one."""
    rows = []
    with tempfile.TemporaryDirectory() as name:
        folder, other = Path(name) / DEMO, Path(name) / "unsaved"
        for one in (folder, other):
            shutil.copytree(DATA / DEMO, one, ignore=shutil.ignore_patterns("plans", "log.csv"))
        run("plan", str(folder), "--save")
        for kind in kinds:
            for what, day, must in (("saved", folder, SAVED_S), ("new", other, UNSAVED_S)):
                file = Path(name) / f"sheet.{kind}"
                took = [run("sheet", str(day), str(file)) for _ in range(times)]
                seconds, processor = (median(one) for one in zip(*took, strict=True))
                rows.append(
                    f"| .{kind} | {what} | {seconds:.2f} s | {processor:.2f} s | {must:g} s "
                    f"| {file.stat().st_size / 1024:.0f} KB |"
                )
    return rows


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, then print the tables."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--times", type=int, default=5, help="runs of which the median counts (5)")
    parser.add_argument("--only", choices=SHEET_KINDS, nargs="+", default=SHEET_KINDS)
    asked = parser.parse_args(arguments)
    pages = [
        f"| {count} | {len(sheet_bytes(hard_sheet(count), 'html')) / 1024:.0f} KB | {most} KB |"
        for count, most in PAGES_KB.items()
    ]
    lines = [
        machine(),
        "",
        "| sheet | plan | process, median | processor | must | file |",
        "|---|---|---|---|---|---|",
        *sheet_rows(asked.only, asked.times),
        "",
        "| shots | phone page | must |",
        "|---|---|---|",
        *pages,
    ]
    sys.stdout.write("\n".join([*lines, ""]))


if __name__ == "__main__":
    main()
