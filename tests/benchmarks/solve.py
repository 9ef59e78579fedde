"""Measure the order solver on seeded days, alone and next to general solvers; prints Markdown.

    cd tests && python -m benchmarks.solve [--quick] [--peers] [--seeds 5] [--limit SECONDS]

Peers get the same tables, on the same machine, in the same run. Nothing else should run meanwhile.
"""

from __future__ import annotations

import argparse
import os
import platform
import sys
from collections.abc import Iterable, Sequence
from dataclasses import replace
from importlib.metadata import version
from math import inf
from pathlib import Path
from statistics import median_low

from benchmarks.measure import PEERS, Kind, PeerRun, Run, ask_peers, measure

PEER_LIMIT_S = 60.0
PEER_SHOTS = (8, 12, 16, 20)
LIBRARIES = ("numpy", "numba", "ortools", "highspy")
KINDS = (
    Kind(shots=8, has_matches=False, limit_s=10),
    Kind(shots=8, has_matches=True, limit_s=10),
    Kind(shots=12, has_matches=False, limit_s=10),
    Kind(shots=12, has_matches=True, limit_s=10),
    Kind(shots=16, has_matches=False, limit_s=30),
    Kind(shots=16, has_matches=True, limit_s=30, must_s=0.5, each_s=1.5),
    Kind(shots=20, has_matches=False, limit_s=30, must_s=0.3, each_s=0.9),
    Kind(shots=20, has_matches=True, limit_s=30, must_s=2, each_s=6),
    Kind(shots=24, has_matches=False, limit_s=60),
    Kind(shots=24, has_matches=True, limit_s=60, must_s=5, each_s=15),
    Kind(shots=30, has_matches=False, is_full=True, limit_s=30, must_s=30),
    Kind(shots=30, has_matches=True, is_full=True, limit_s=30, must_s=30),
    Kind(shots=40, has_matches=False, is_full=True, limit_s=20, must_gap=0.02),
    Kind(shots=40, has_matches=True, is_full=True, limit_s=20, must_gap=0.02),
)
HAND = Kind(
    shots=20,
    has_matches=True,
    limit_s=30,
    must_s=4,
    names=("harbour-wall", "landing-steps", "vine-terrace"),
)
QUICK = KINDS[:2]


def table(runs: Sequence[Run]) -> str:
    """Lay the runs out in Markdown, one line a kind: medians over its seeds."""
    lines = [
        (
            *("shots", "day", "proven", "proof, median", "slowest", "limit", "gap at limit"),
            *("points", "bound", "memory", "must", "reached"),
        )
    ]
    for kind in dict.fromkeys(run.kind for run in runs):
        mine = [run for run in runs if run.kind == kind]
        proof_s = median_low([run.proof_s for run in mine])
        gap = median_low([run.gap for run in mine])
        middle = sorted(mine, key=lambda run: (run.gap, run.bound))[(len(mine) - 1) // 2]
        must, is_reached = "", ""
        if kind.must_s is not None:
            each_s = inf if kind.each_s is None else kind.each_s
            is_met = proof_s <= kind.must_s and max(run.proof_s for run in mine) <= each_s
            must, is_reached = f"{kind.must_s:g} s", "yes" if is_met else "no"
            must += "" if kind.each_s is None else f", each {kind.each_s:g} s"
        elif kind.must_gap is not None:
            must, is_reached = f"{kind.must_gap:.0%}", "yes" if gap <= kind.must_gap else "no"
        memory = [run.memory_mib for run in mine if run.memory_mib is not None]
        lines.append(
            (
                str(kind.shots),
                kind.words,
                f"{sum(run.gap == 0 for run in mine)} of {len(mine)}",
                _seconds(proof_s, kind.limit_s),
                _seconds(max(run.proof_s for run in mine), kind.limit_s),
                f"{kind.limit_s:g} s",
                f"{gap:.1%}",
                str(middle.points),
                str(middle.bound),
                f"{max(memory):.0f} MiB" if memory else "unknown",
                must,
                is_reached,
            )
        )
    return markdown(lines)


def peer_table(asked: Sequence[tuple[Run, Sequence[PeerRun]]]) -> str:
    """Lay the peers out in Markdown, one line a kind: medians over its seeds."""
    lines = [
        ("shots", "day", "ours", *(cell for name in PEERS for cell in (name, "times as long")))
    ]
    for kind in dict.fromkeys(run.kind for run, _ in asked):
        mine = [(run, peers) for run, peers in asked if run.kind == kind]
        cells = []
        for name in PEERS:
            theirs = [peer for _, peers in mine for peer in peers if peer.name == name]
            if not theirs:
                cells += ["not asked", ""]
                continue
            seconds, is_late = median_low([(peer.seconds, not peer.is_proven) for peer in theirs])
            cells.append(f"{'> ' * is_late}{seconds:.3g} s")
            ratio, is_low = median_low([(peer.ratio, not peer.is_proven) for peer in theirs])
            cells.append(f"{'> ' * is_low}{ratio:.3g}" if ratio else "ours not proven")
        ours_s = median_low([run.proof_s for run, _ in mine])
        lines.append((str(kind.shots), kind.words, _seconds(ours_s, kind.limit_s), *cells))
    return markdown(lines)


def machine() -> str:
    """Name what the figures were measured on."""
    info = Path("/proc/cpuinfo")
    models = [
        line.split(":", 1)[1].strip()
        for line in (info.read_text(encoding="utf-8").splitlines() if info.exists() else [])
        if line.startswith("model name")
    ]
    libraries = ", ".join(f"{name} {version(name)}" for name in LIBRARIES)
    model = models[0] if models else platform.processor() or platform.machine()
    return f"{model}, {os.cpu_count()} cores, Python {platform.python_version()}, {libraries}"


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure, then print the tables; progress goes to stderr."""
    parser = argparse.ArgumentParser(description=str(__doc__).splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="days of 8 shots only")
    parser.add_argument("--peers", action="store_true", help="ask the general solvers too")
    parser.add_argument("--seeds", type=int, default=5, help="days of each kind (5)")
    parser.add_argument("--shots", type=int, nargs="+", help="only days of these many shots")
    parser.add_argument("--limit", type=float, help="seconds for every solve, the peers' too")
    chosen = parser.parse_args(arguments)
    runs = []
    asked = []
    for kind in _kinds(QUICK if chosen.quick else (*KINDS, HAND), chosen.shots, chosen.limit):
        for seed in range(1, (len(kind.names) or chosen.seeds) + 1):
            run = measure(kind, seed)
            runs.append(run)
            sys.stderr.write(
                f"{kind.shots} shots, {kind.words}, seed {seed}: {run.seconds:.2f} s, "
                f"{run.points} points, bound {run.bound}, gap {run.gap:.1%}\n"
            )
            if chosen.peers and kind.shots in PEER_SHOTS:
                peers = ask_peers(run, chosen.limit or PEER_LIMIT_S)
                asked.append((run, peers))
                for peer in peers:
                    proven = "proven" if peer.is_proven else "not proven"
                    sys.stderr.write(f"  {peer.name}: {peer.seconds:.2f} s, {proven}\n")
    sys.stdout.write(
        f"{machine()}; median of {chosen.seeds} days, of all by hand.\n\n{table(runs)}\n"
    )
    if asked:
        sys.stdout.write(f"\n{peer_table(asked)}\n")


def _kinds(
    kinds: Iterable[Kind], shots: Sequence[int] | None, limit_s: float | None
) -> tuple[Kind, ...]:
    """Choose kinds by their number of shots, and give them all one limit."""
    chosen = [kind for kind in kinds if shots is None or kind.shots in shots]
    return tuple(k if limit_s is None else replace(k, limit_s=limit_s) for k in chosen)


def _seconds(seconds: float, limit_s: float) -> str:
    return f"> {limit_s:g} s" if seconds == inf else f"{seconds:.2f} s"


def markdown(lines: Sequence[Sequence[str]]) -> str:
    """Lay out a table, its columns padded so that it reads on a terminal too."""
    widths = [max(len(line[column]) for line in lines) for column in range(len(lines[0]))]
    rows = [
        "| "
        + " | ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True))
        + " |"
        for line in (lines[0], ["-" * width for width in widths], *lines[1:])
    ]
    return "\n".join(rows)


if __name__ == "__main__":
    main()
