"""Measure the page of the day in a real Chromium, from the command to what a moved shot is worth.

    cd tests && python -m benchmarks.desk [--moves 20] [--prices 5] [--chromium PATH]

Prints Markdown. Each day has its plan saved before. The command is started once without being
measured, so that nothing is compiled. Times of moves are those of the page: from letting a shot go
until the browser shows what that is worth, and the best day with it; the figures of a worth are
those of the plain library, which `tests/desk` checks. Memory is what all processes of the desk have
to themselves, and their share of what they have in common. Linux only.
"""

from __future__ import annotations

import argparse
import csv
import os
import shutil
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, distribution
from importlib.resources import files
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter, sleep
from typing import TYPE_CHECKING, Any

from packaging.requirements import Requirement

import sunsched
from benchmarks.solve import machine, markdown

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

DATA = Path(__file__).parents[2] / "data"
DEMO, MORE_SHOTS = "last-lamp", 8
MUST_FIRST_S, MUST_WORTH_MS, MUST_SLOW_WORTH_MS = 2.5, 100, 200
MUST_BRACKET_S, MUST_NEAR_S, MUST_MB, MUST_ADDED_MB = 0.5, 3.0, 600, 15
NEAR = 0.01  # of the points of the best day found
LONG_MS = 120_000
NO_BYTECODE = "PYTHONDONTWRITEBYTECODE"
MANY = 20  # of which a 95th percentile can be told
WEB = ("starlette", "uvicorn", "segno")  # what the desk is made of, and nothing else here
MOVED_MIN = (-40, 25, 60, -15, 35, -70, 45)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One day at the desk; seconds, and milliseconds of each move."""

    name: str
    shots: int
    first_s: float
    ready_s: float
    worth_ms: list[float]
    bracket_s: list[float]
    near_s: list[float]
    final_s: list[float]
    memory_mb: float


def larger(folder: Path) -> None:
    """Make the demo day one of 24 shots: eight shots again, and all of them rolled more briefly."""
    file = folder / "shots.csv"
    with file.open(encoding="utf-8", newline="") as opened:
        rows = list(csv.DictReader(opened))
    names = list(rows[0])
    rows += [{**row, "id": f"{row['id']}b", "after": "", "hold": ""} for row in rows[:MORE_SHOTS]]
    for row in rows:
        row["shoot_min"] = str(max(10, 2 * int(row["shoot_min"]) // 3))
    with file.open("w", encoding="utf-8", newline="") as opened:
        writer = csv.DictWriter(opened, names)
        writer.writeheader()
        writer.writerows(rows)


def saved(folder: Path) -> int:
    """Save the plan of a day; gives how many shots it has."""
    day = sunsched.read_day(folder)
    plan = sunsched.average_plan(sunsched.solve_day(day))
    sunsched.save_plan(folder, plan, made_at=datetime(2027, 6, 1, tzinfo=UTC))
    return len(day.shots)


@contextmanager
def serving(folder: Path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Run the command, and give its process with the address that it prints."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        port = str(one.getsockname()[1])
    words = ["desk", str(folder), "--no-browser", "--port", port]
    started = subprocess.Popen(
        [sys.executable, "-c", "from sunsched.cli import main; main()", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        # Warm is with its bytecode kept, as it is for anybody.
        env={name: value for name, value in os.environ.items() if name != NO_BYTECODE},
    )
    try:
        assert started.stdout is not None
        yield started, started.stdout.readline().split(" at ")[1].strip()
    finally:
        started.terminate()
        started.wait(10)


def marks(page: Page, name: str) -> list[dict[str, Any]]:
    """Give the moments that the page has marked with a name."""
    found: list[dict[str, Any]] = page.evaluate(
        "name => performance.getEntriesByName(name)"
        ".map((one) => ({ at: one.startTime, detail: one.detail }))",
        name,
    )
    return found


def wait_for_marks(page: Page, name: str, count: int) -> None:
    """Wait until the page has marked so many moments with a name."""
    page.wait_for_function(
        "([name, count]) => performance.getEntriesByName(name).length >= count",
        arg=[name, count],
        timeout=LONG_MS,
    )


def move(page: Page, place: int, minutes: int) -> float:
    """Carry a shot along the clock, let it go, and give the moment on the page's clock."""
    page.evaluate("performance.clearMarks()")
    knob = page.locator("#picture .row:not(.left) .knob").nth(place)
    knob.scroll_into_view_if_needed()
    box, line = knob.bounding_box(), page.locator("#picture .row .on-clock").first.bounding_box()
    assert box is not None
    assert line is not None
    hours = page.evaluate("document.querySelectorAll('#picture .ticks span').length")
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + line["width"] * minutes / 60 / hours, y, steps=5)
    page.mouse.up()
    wait_for_marks(page, "let go", 1)
    return float(marks(page, "let go")[0]["at"])


def put_back(page: Page) -> None:
    """Forget what was moved."""
    page.click("#put-back")
    page.wait_for_selector("#panel", state="hidden")


def measure(name: str, folder: Path, shots: int, browser: Browser, asked: Any) -> Measured:
    """Measure one day from the command on."""
    page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    page.set_default_timeout(LONG_MS)
    page.goto("about:blank")
    began = perf_counter()
    with serving(folder) as (process, address):
        page.goto(address)
        page.wait_for_selector("#picture .row")
        first_s = perf_counter() - began
        wait_for_marks(page, "ready", 1)
        ready_s = perf_counter() - began
        free = page.locator("#picture .row:not(.left) .knob").count()
        move(page, 1, 20)
        wait_for_marks(page, "worth", 1)
        put_back(page)
        worth: list[float] = []
        bracket: list[float] = []
        near: list[float] = []
        final: list[float] = []
        for number in range(asked.moves):
            sleep(0.5)
            at = move(page, number % free, MOVED_MIN[number % len(MOVED_MIN)])
            wait_for_marks(page, "worth", 1)
            worth.append(marks(page, "worth")[0]["at"] - at)
            wait_for_marks(page, "best", 1)
            bracket.append((marks(page, "best")[0]["at"] - at) / 1000)
            put_back(page)
        for number in range(2 * asked.prices):
            if len(near) == asked.prices:
                break
            sleep(1.5)
            at = move(page, (3 * number + 2) % free, MOVED_MIN[number % len(MOVED_MIN)])
            wait_for_marks(page, "asked", 1)
            found = marks(page, "best")
            # What no plan obeys has no price.
            if marks(page, "asked")[0]["detail"]["refused"]:
                put_back(page)
                continue
            points = found[-1]["detail"]["points"]
            good = next(o for o in found if o["detail"]["points"] >= points - NEAR * abs(points))
            near.append((good["at"] - at) / 1000)
            final.append((found[-1]["at"] - at) / 1000)
            put_back(page)
        memory_mb = sum(map(own_mb, family(process.pid)))
    page.context.close()
    return Measured(
        name=name,
        shots=shots,
        first_s=first_s,
        ready_s=ready_s,
        worth_ms=worth,
        bracket_s=bracket,
        near_s=near,
        final_s=final,
        memory_mb=memory_mb,
    )


def family(pid: int) -> list[int]:
    """Give a process and all that it has started."""
    found = [pid]
    for task in Path(f"/proc/{pid}/task").iterdir():
        for child in (task / "children").read_text().split():
            found += family(int(child))
    return found


def own_mb(pid: int) -> float:
    """Give the memory of a process, with its share of what it has in common with others."""
    lines = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    return sum(int(line.split()[1]) for line in lines if line.startswith("Pss:")) * 1024 / 1e6


def needed(names: Sequence[str], known: set[str]) -> set[str]:
    """Give all packages that some need, themselves among them; those that are known are not gone
    through again.
    """
    for name in names:
        if name.lower() in known:
            continue
        try:
            lines = distribution(name).requires or []
        except PackageNotFoundError:
            continue
        known.add(name.lower())
        wanted = [Requirement(line) for line in lines]
        needed([one.name for one in wanted if one.marker is None or one.marker.evaluate()], known)
    return known


def added_mb() -> float:
    """Give the size of what only the desk needs: packages, and its own room."""
    lines = [Requirement(line) for line in distribution("sunsched").requires or []]
    own = [one.name for one in lines if one.marker is None or one.marker.evaluate()]
    others = needed([name for name in own if name not in WEB], set())
    size = 0
    for name in needed(WEB, set(others)) - others:
        for file in distribution(name).files or []:
            path = Path(str(file.locate()))
            size += path.stat().st_size if path.is_file() else 0
    room = Path(str(files("sunsched.desk")))
    size += sum(path.stat().st_size for path in room.rglob("*") if path.is_file())
    return size / 1e6


def _middle(figures: Sequence[float], form: str) -> str:
    slow = max(figures) if len(figures) < MANY else quantiles(figures, n=20)[-1]
    return f"{form.format(median(figures))}, {form.format(slow)}"


def report(days: Sequence[Measured], size_mb: float) -> str:
    """Give the table."""
    lines: list[tuple[str, ...]] = [("what", *(f"{one.shots} shots" for one in days), "must")]

    def row(what: str, cells: list[str], must: str) -> None:
        lines.append((what, *cells, must))

    must = f"{MUST_FIRST_S} s"
    row("first page after the command", [f"{one.first_s:.2f} s" for one in days], must)
    row("the day is solved for prices", [f"{one.ready_s:.1f} s" for one in days], "")
    must = f"{MUST_WORTH_MS} ms, {MUST_SLOW_WORTH_MS} ms"
    cells = [_middle(one.worth_ms, "{:.0f} ms") for one in days]
    row("worth of a moved shot: median, 95th percentile", cells, must)
    cells = [_middle(one.bracket_s, "{:.2f} s") for one in days]
    row("first bracket: median, 95th percentile", cells, f"{MUST_BRACKET_S} s")
    cells = [_middle(one.near_s, "{:.2f} s") for one in days]
    row("within 1% of the best found: median, slowest", cells, f"{MUST_NEAR_S:g} s")
    cells = [_middle(one.final_s, "{:.1f} s") for one in days]
    row("the price: median, slowest", cells, "")
    row("memory of all processes", [f"{one.memory_mb:.0f} MB" for one in days], f"{MUST_MB} MB")
    row("added to the installation", [f"{size_mb:.1f} MB"] * len(days), f"{MUST_ADDED_MB} MB")
    return markdown(lines)


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, then print the table."""
    from playwright.sync_api import sync_playwright

    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--moves", type=int, default=20)
    parser.add_argument("--prices", type=int, default=5)
    parser.add_argument("--chromium", default=shutil.which("chromium"))
    asked = parser.parse_args(arguments)
    days = []
    with tempfile.TemporaryDirectory() as holder, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=asked.chromium, args=["--no-sandbox"])
        for name in ("sixteen", "twenty-four"):
            folder = Path(holder) / name
            shutil.copytree(DATA / DEMO, folder, ignore=shutil.ignore_patterns("plans"))
            if name == "twenty-four":
                larger(folder)
            shots = saved(folder)
            with serving(folder) as (_, address):
                page = browser.new_page()
                page.goto(address)
                page.wait_for_selector("#picture .row", timeout=LONG_MS)
                page.close()
            days.append(measure(name, folder, shots, browser, asked))
            sys.stderr.write(f"{days[-1]}\n")
        browser.close()
    sys.stdout.write(f"{machine()}\n\n{report(days, added_mb())}\n")


if __name__ == "__main__":
    main()
