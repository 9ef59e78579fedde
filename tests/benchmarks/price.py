"""Measure what one priced decision takes, and the table of all half-hours; prints Markdown.

    cd tests && python -m benchmarks.price [--decisions 40] [--only DAY ...] [--no-table]

Days of 16 shots, the demo day and drawn ones with matches, for planned minutes. The day is solved
before; seconds are those of the question alone: of the first bracket, and of the exact price.
Decisions are drawn from a seed, a shot at a half-hour of the day or the meal at one; those that no
plan obeys are refused, and counted apart. The table is shared out to two processes, as by the
command.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import islice
from statistics import median, quantiles
from time import perf_counter

from draws import seeded

from benchmarks.drawn.days import day as drawn_day
from benchmarks.drawn.shots import pick
from benchmarks.replan import DATA
from benchmarks.solve import machine
from sunsched.day.demand import Decision, MealAt, RollAt
from sunsched.day.model import Day
from sunsched.errors import DayImpossible
from sunsched.folder.read import read_day
from sunsched.solver.solved import Solved, solve_day
from sunsched.whatif.price.cells import Known
from sunsched.whatif.price.first_sight import quick_price
from sunsched.whatif.price.half_hours import price_table
from sunsched.whatif.price.price import price

DAYS = ("last-lamp", "16/1", "16/2", "16/3", "16/4", "16/5")
TABLES = ("last-lamp",)
PROCESSES = 2
FIRST_S, EXACT_S, SLOW_S = 0.1, 0.5, 3.0  # what a bracket, a price, and one in twenty may take
TABLE_S, EXACT_SHARE = 30.0, 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Took:
    """Seconds of the questions of a day, and how many were refused."""

    first_s: list[float]
    exact_s: list[float]
    refused: int


def asked_day(name: str) -> Day:
    """Give a demo day, or a drawn one by shots and seed."""
    shots, is_drawn, seed = name.partition("/")
    if not is_drawn:
        return read_day(DATA / name)
    return drawn_day(int(shots), seed=int(seed), has_matches=True)


def decisions(day: Day, seed: str) -> Iterator[Decision]:
    """Draw decisions of a day, for ever: in eight of nine a shot's roll, else the meal."""
    random, half = seeded(f"prices of {seed}"), timedelta(minutes=30)
    steps = int((day.hours.wrap - day.hours.crew_call) / half)
    while True:
        at = day.hours.crew_call + half * int(random.random() * (steps + 1))
        shot = pick(random, day.shots)
        if random.random() < 8 / 9 or day.meal is None:
            yield (RollAt(shot=shot.id, time=at),)
        else:
            yield (MealAt(time=at),)


def measure(solved: Solved, name: str, count: int) -> Took:
    """Ask for the prices of some decisions."""
    first_s, exact_s, refused = list[float](), list[float](), 0
    for asked in islice(decisions(solved.fit.day, name), count):
        began = perf_counter()
        try:
            quick_price(solved, asked)
            first_s.append(perf_counter() - began)
            began = perf_counter()
            price(solved, asked)
            exact_s.append(perf_counter() - began)
        except DayImpossible:
            refused += 1
    return Took(first_s=first_s, exact_s=exact_s, refused=refused)


def table_row(name: str, solved: Solved) -> str:
    """Fill a day's table of half-hours: its seconds, and how many of its cells are exact."""
    began = perf_counter()
    table = price_table(solved, processes=PROCESSES)
    seconds = perf_counter() - began
    known = Counter(cell.known for row in table.rows for cell in row.cells)
    # What no plan does, or is worse than a cut, has no price that anybody asks for.
    priced = known[Known.EXACT] + known[Known.BOUNDED] + known[Known.UNDECIDED]
    return (
        f"| {name} | {known.total()} | {priced} | {known[Known.EXACT] / max(1, priced):.1%} "
        f"| {EXACT_SHARE:.0%} | {seconds:.1f} s | {TABLE_S:g} s |"
    )


def price_row(name: str, took: Took) -> str:
    """Judge the prices of a day, or of all."""
    late = quantiles(took.exact_s, n=20)[-1]
    return (
        f"| {name} | {len(took.exact_s)} | {took.refused} | {median(took.first_s):.3f} s "
        f"| {median(took.exact_s):.2f} s | {late:.2f} s | {max(took.exact_s):.2f} s |"
    )


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, then print the tables; progress goes to stderr."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--decisions", type=int, default=40, help="of each day (40)")
    parser.add_argument("--only", nargs="+", default=DAYS, metavar="DAY", help="such as 16/1")
    parser.add_argument("--no-table", action="store_true", help="prices alone")
    asked = parser.parse_args(arguments)
    rows, tables, every = [], [], Took(first_s=[], exact_s=[], refused=0)
    for name in asked.only:
        solved = solve_day(asked_day(name))
        took = measure(solved, name, asked.decisions)
        every = Took(
            first_s=every.first_s + took.first_s,
            exact_s=every.exact_s + took.exact_s,
            refused=every.refused + took.refused,
        )
        rows.append(price_row(name, took))
        sys.stderr.write(f"{rows[-1]}\n")
        if not asked.no_table and name in TABLES:
            tables.append(table_row(name, solved))
    must = f"| must | | | {FIRST_S:g} s | {EXACT_S:g} s | {SLOW_S:g} s | |"
    lines = [
        machine(),
        "",
        "| day | priced | refused | bracket, median | price, median | 95th percentile | slowest |",
        "|" + "---|" * 7,
        *rows,
        price_row("all", every),
        must,
    ]
    if tables:
        head = "| table of | cells | with a price | of them exact | must | took | must |"
        lines += ["", head, "|" + "---|" * 7, *tables]
    sys.stdout.write("\n".join([*lines, ""]))


if __name__ == "__main__":
    main()
