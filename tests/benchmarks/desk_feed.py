"""Measure how soon a tap is seen on every page, and what idle pages cost; prints Markdown.

    cd tests && python -m benchmarks.desk_feed [--pages 20] [--taps 20] [--idle 30]

One page is a real browser's, the others do over plain sockets what it does: they follow the news
and ask for the day at each. The desk runs in processes of its own, on Linux.
"""

from __future__ import annotations

import argparse
import http.client
import json
import os
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from datetime import timedelta
from functools import partial
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

from desk.conftest import DATA, KEYS
from desk.on_set.own_process import OwnProcess

from benchmarks.solve import machine
from sunsched.day.clock import instant_ms
from sunsched.folder.read import read_day
from sunsched.show.records.saved import save_plan
from sunsched.solver.solve import make_plan

if TYPE_CHECKING:
    from playwright.sync_api import Page

DAY = "last-lamp"
MUST_S = 2.0  # from a tap to the last of 20 pages
BETWEEN_S = 1.0  # between two taps
PATIENCE_S = 60.0
SETTLE_S = 20.0  # until the process for long answers has loaded, unless less is asked


@dataclass(slots=True, kw_only=True)
class Run:
    """What was measured: seconds until the last socket and the browser had each tap, and cost.

    `idle_share` is the processor time of all processes of the desk in a second without news,
    `memory_mb` what they hold together.
    """

    last_s: list[float] = field(default_factory=list)
    browser_s: list[float] = field(default_factory=list)
    idle_share: float = 0.0
    memory_mb: float = 0.0


class Follower(threading.Thread):
    """Follows the news as a page does; `seen` holds the moment at which so many events were."""

    def __init__(self, port: int) -> None:
        super().__init__(daemon=True)
        self.port = port
        self.seen: dict[int, float] = {}

    def run(self) -> None:
        """Ask for the day at each piece of news."""
        # The desk ends before its pages; what is cut short is no number of bytes.
        gone = suppress(OSError, http.client.HTTPException, ValueError)
        with gone, asked(self.port, f"/api/{DAY}/news") as news:
            for text in news:
                if text.startswith(b"data:"):
                    self._look()

    def _look(self) -> None:
        with asked(self.port, f"/api/{DAY}/view") as answer:
            view = json.loads(answer.read())
        self.seen.setdefault(len(view["log"]["events"]), time.monotonic())


@contextmanager
def asked(port: int, path: str, body: object = None) -> Iterator[http.client.HTTPResponse]:
    """Ask the desk as a page of its own does."""
    host = f"127.0.0.1:{port}"
    line = http.client.HTTPConnection(host, timeout=PATIENCE_S)
    headers = {"origin": f"http://{host}", "cookie": f"sunsched-desk-{port}={KEYS.all}"}
    content = None if body is None else json.dumps(body)
    with closing(line):
        line.request("GET" if body is None else "POST", path, content, headers)
        with line.getresponse() as answer:
            yield answer


@contextmanager
def served() -> Iterator[OwnProcess]:
    """Serve a demo day with a saved plan, half an hour after its call."""
    with tempfile.TemporaryDirectory(prefix="sunsched-") as holder:
        ignored = shutil.ignore_patterns("plans", "log.csv")
        folder = Path(shutil.copytree(DATA / DAY, Path(holder) / DAY, ignore=ignored))
        day = read_day(folder)
        save_plan(folder, make_plan(day), made_at=day.hours.crew_call)
        desk = OwnProcess(folder, day.hours.crew_call + timedelta(minutes=30))
        try:
            wait(lambda: is_answering(desk.port))
            yield desk
        finally:
            desk.kill()


@contextmanager
def opened(port: int) -> Iterator[Page]:
    """Open the page on set in Debian's Chromium, as wide as a phone."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        page = browser.new_page(viewport={"width": 360, "height": 740})
        page.goto(f"http://127.0.0.1:{port}/?key={KEYS.all}")
        page.goto(f"http://127.0.0.1:{port}/day/{DAY}/set")
        page.wait_for_selector("#says:not(:empty)")
        yield page
        browser.close()


def measure(pages: int, taps: int, idle_s: float, settle_s: float) -> Run:
    """Connect the pages, let them idle, then tap."""
    found = Run()
    with served() as desk, opened(desk.port) as page:
        followers = [Follower(desk.port) for _ in range(pages - 1)]
        for one in followers:
            one.start()
        wait(partial(all_have_seen, followers, 0))
        page.wait_for_timeout(settle_s * 1000)
        before = busy_s(desk)
        page.wait_for_timeout(idle_s * 1000)
        found.idle_share = (busy_s(desk) - before) / idle_s
        found.memory_mb = sum(held_mb(one) for one in (desk.process.pid, *desk.workers()))
        at = instant_ms(desk.now)
        for number in range(1, taps + 1):
            tap = {"uid": f"benchmark-{number}", "event": "note", "subject": f"tap {number}."}
            began = time.monotonic()
            body = {**tap, "at": at, "seen": number - 1}
            with asked(desk.port, f"/api/{DAY}/note", body) as answer:
                answer.read()
            page.locator("#events li", has_text=f"tap {number}.").wait_for()
            found.browser_s.append(time.monotonic() - began)
            wait(partial(all_have_seen, followers, number))
            found.last_s.append(max(one.seen[number] for one in followers) - began)
            page.wait_for_timeout(BETWEEN_S * 1000)
    return found


def all_have_seen(followers: Sequence[Follower], number: int) -> bool:
    """Say whether an event has come to every page."""
    return all(number in one.seen for one in followers)


def wait(is_so: Callable[[], bool]) -> None:
    """Wait until something is so."""
    until = time.monotonic() + PATIENCE_S
    while not is_so():
        if time.monotonic() > until:
            raise TimeoutError
        time.sleep(0.005)


def is_answering(port: int) -> bool:
    """Say whether the desk can be asked."""
    try:
        with asked(port, "/health") as answer:
            return answer.status == 200
    except OSError:
        return False


def busy_s(desk: OwnProcess) -> float:
    """Give the processor time that all processes of a desk have taken."""
    ticks = 0
    for one in (desk.process.pid, *desk.workers()):
        facts = Path(f"/proc/{one}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
        ticks += int(facts[11]) + int(facts[12])  # proc(5): utime, stime
    return ticks / os.sysconf("SC_CLK_TCK")


def held_mb(number: int) -> float:
    """Give the memory that a process holds, its part of what it shares with others (proc(5))."""
    lines = Path(f"/proc/{number}/smaps_rollup").read_text(encoding="ascii").splitlines()
    return sum(int(line.split()[1]) for line in lines if line.startswith("Pss:")) / 1024


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, then print the table."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--pages", type=int, default=20)
    parser.add_argument("--taps", type=int, default=20)
    parser.add_argument("--idle", type=float, default=30.0, help="seconds (30)")
    parser.add_argument("--settle", type=float, default=SETTLE_S, help="seconds before (20)")
    options = parser.parse_args(arguments)
    run = measure(options.pages, options.taps, options.idle, options.settle)
    rows = [
        f"| {name} | {median(seconds):.2f} s | {max(seconds):.2f} s | {MUST_S:g} s |"
        for name, seconds in (
            (f"the last of {options.pages - 1} pages", run.last_s),
            ("a page in a browser, drawn", run.browser_s),
        )
    ]
    lines = [
        machine(),
        "",
        "| a tap is seen by | median | slowest | must |",
        "|---|---|---|---|",
        *rows,
        "",
        f"Without news, {options.pages} pages take {100 * run.idle_share:.1f} % of a processor.",
        f"The processes of the desk hold {run.memory_mb:.0f} MB.",
    ]
    sys.stdout.write("\n".join([*lines, ""]))


if __name__ == "__main__":
    main()
