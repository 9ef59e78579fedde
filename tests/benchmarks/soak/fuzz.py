"""Feed mutated files to every reader, by the hour if wanted; prints what is wrong, then figures.

    cd tests && python -m benchmarks.soak.fuzz [--inputs 100000] [--seed 1] [--reader log]
                                               [--only 4711]

The same seed draws the same inputs on every machine. What is wrong is told with its number, and
`--only` feeds that one again.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import warnings
from collections import Counter
from collections.abc import Sequence
from itertools import islice
from pathlib import Path
from time import perf_counter

from hostile.fed import READERS, feed, inputs, most_kib


def main(arguments: Sequence[str] | None = None) -> None:
    """Feed, and end with 1 if anything was wrong."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--inputs", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--reader", action="append", choices=[*READERS], default=[])
    parser.add_argument("--only", type=int)
    asked = parser.parse_args(arguments)
    warnings.simplefilter("error")
    drawn = inputs(asked.seed, asked.inputs, asked.reader)
    if asked.only is not None:
        drawn = islice(inputs(asked.seed, asked.only + 1, asked.reader), asked.only, None)
    fed: Counter[str] = Counter()
    seconds: dict[str, float] = {}
    slowest: dict[str, tuple[float, int]] = {}
    wrong: Counter[str] = Counter()
    with tempfile.TemporaryDirectory(prefix="fuzz-") as made:
        for name, number, raw in drawn:
            began = perf_counter()
            answer, complaint = feed(name, raw, Path(made))
            spent = perf_counter() - began
            fed[name] += 1
            seconds[name] = seconds.get(name, 0.0) + spent
            slowest[name] = max(slowest.get(name, (0.0, 0)), (spent, number))
            if asked.only is not None:
                sys.stdout.write(f"{raw[:4000]!r}\n{answer[:4000]}\n")
            if complaint:
                wrong[name] += 1
                sys.stdout.write(f"== {name}, number {number}\n{complaint}\n")
                sys.stdout.flush()
    sys.stdout.write("| reader | inputs | wrong | ms each | slowest | its number |\n")
    sys.stdout.write("|---|---|---|---|---|---|\n")
    for name in sorted(fed):
        each = 1000 * seconds[name] / fed[name]
        longest, number = slowest[name]
        sys.stdout.write(
            f"| {name} | {fed[name]:,} | {wrong[name]} | {each:.1f} "
            f"| {longest:.2f} s | {number} |\n"
        )
    total = sum(wrong.values())
    sys.stdout.write(
        f"{sum(fed.values()):,} inputs, {total} wrong, {most_kib() >> 10} MiB at most\n"
    )
    sys.exit(1 if total else 0)


if __name__ == "__main__":
    main()
