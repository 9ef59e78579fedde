"""A good plan by ruin and recreate (Schrimpf et al., J. Computational Physics 159, 2000; compiled).

Some shots are taken out of the sequence and put back one by one where they are worth most; worse
sequences are accepted up to a threshold that shrinks to nothing. Each match keeps a reference sun,
which moves to the best one for the current times. Values and random numbers are whole, so the same
problem gives the same plan on every machine.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.instance.tables import LOST, NEVER, SCALE, Tables
from sunsched.solver.machine.function import compiled
from sunsched.solver.search.ruin import draw, ruined
from sunsched.solver.timing.references import DriftArray, best_references, set_references
from sunsched.solver.timing.sequence import (
    best_insertion,
    best_times,
    fill_ahead,
    fill_before,
    pair_costs,
    put,
    shift_ahead,
)

FIRST_SLACK = 8000 * SCALE  # how much worse a sequence may be accepted, in a search from nothing
SLACK = 2000 * SCALE  # the same in a search from a known sequence
ROUNDS = 500  # rounds of a search, up to 20 shots; more help less than paths of the bound do
STRETCH = 50  # rounds between two checks whether to go on


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A sequence of shots with the reference sun of each match, and what they are worth, scaled."""

    value: int
    sequence: IntArray
    references: IntArray


class Walk(NamedTuple):
    """Where a search stands (row 0) and the best it found (row 1), changed in place; G matches.

    `sequences` is (2, n), filled up with −1 from `lengths` (2,) on; `references` (2, G), `values`
    (2,). `draws` (1,) is the state of the random numbers.
    """

    sequences: IntArray
    lengths: IntArray
    references: IntArray
    values: IntArray
    draws: IntArray


def ruin_and_recreate(
    tables: Tables,
    drift: DriftArray,
    match: IntArray,
    rounds: int,
    seed: int,
    start: Found,
    go_on: Callable[[], bool],
) -> Found:
    """Search for a good sequence and give the best one; its value counts everything.

    Parameters
    ----------
    tables : gains without any match cost
    drift, match : as in `Problem`
    rounds, seed : how long, and which random numbers
    start : the sequence to start from, which may be empty
    go_on : asked every `STRETCH` rounds; its False ends the search
    """
    n = tables.gain.shape[1]
    own = tables._replace(gain=tables.gain.copy())
    kin = _kin(tables)
    slack = SLACK if len(start.sequence) else FIRST_SLACK
    walk = Walk(
        sequences=np.full((2, n), -1, dtype=np.int64),
        lengths=np.full(2, len(start.sequence), dtype=np.int64),
        references=np.stack((start.references, start.references)),
        values=np.full(2, start.value, dtype=np.int64),
        draws=np.array([seed], dtype=np.int64),
    )
    walk.sequences[:, : len(start.sequence)] = start.sequence
    for step in range(0, rounds, STRETCH):
        last = min(rounds, step + STRETCH)
        search_on(tables, own, drift, match, kin, step, last, rounds, slack, walk)
        if not go_on():
            break
    return Found(
        value=int(walk.values[1]),
        sequence=walk.sequences[1, : walk.lengths[1]].copy(),
        references=walk.references[1].copy(),
    )


def rounds_of(shots: int) -> int:
    """Give how many rounds a search needs: many shots have more orders."""
    return ROUNDS * max(1, shots * shots // 400)


def _kin(tables: Tables) -> IntArray:
    """List for each shot all shots by how quickly one follows the other, itself first: (n, n)."""
    n = tables.gain.shape[1]
    apart = tables.lag[:n] + tables.lag[:n].T
    np.fill_diagonal(apart, -1)
    return np.argsort(apart, axis=1, kind="stable")


@compiled()
def search_on(
    tables: Tables,
    own: Tables,
    drift: DriftArray,
    match: IntArray,
    kin: IntArray,
    step: int,
    last: int,
    rounds: int,
    slack: int,
    walk: Walk,
) -> None:
    """Go through the rounds from `step` to before `last` of all `rounds`.

    `slack` is how much worse a sequence may be accepted in the first of them.
    """
    kinds, n, slots = tables.gain.shape
    before = np.empty((2, n + 1, slots), dtype=np.int64)
    ahead = np.empty((2, kinds, n + 1, slots), dtype=np.int64)
    trial = np.empty(n, dtype=np.int64)
    refs = np.empty(walk.references.shape[1], dtype=np.int64)
    out = np.empty(n, dtype=np.int64)
    for turn in range(step, last):
        for g in range(len(refs)):
            refs[g] = walk.references[0, g]
        for j in range(n):
            trial[j] = walk.sequences[0, j]
        kept, taken = ruined(
            trial, walk.lengths[0], tables.gain, drift, match, kin, refs, walk.draws, out
        )
        set_references(own.gain, tables.gain, drift, match, refs)
        length = insert_all(own, trial, kept, before, ahead, out[:taken])
        if length == 0:
            continue
        value = settle(own, tables.gain, drift, match, trial, length, refs)
        if value <= LOST:
            continue
        less = slack * (rounds - turn) // rounds * draw(walk.draws, 1024) // 1024
        for row in range(2):
            if value > walk.values[row] - (less if row == 0 else 0):
                walk.values[row] = value
                walk.lengths[row] = length
                for j in range(n):
                    walk.sequences[row, j] = trial[j] if j < length else -1
                for g in range(len(refs)):
                    walk.references[row, g] = refs[g]


@compiled()
def insert_all(
    tables: Tables,
    seq: IntArray,
    length: int,
    before: IntArray,
    ahead: IntArray,
    first: IntArray,
) -> int:
    """Put back every missing shot that is worth it, those of `first` in their order, then the rest.

    Changes `seq` in place and gives its new length. `before` and `ahead` are scratch space.
    """
    n = tables.gain.shape[1]
    inside = np.zeros(n, dtype=np.bool_)
    for j in range(length):
        inside[seq[j]] = True
    changed_from, changed_to, changed = 0, length, True
    here = NEVER
    for turn in range(len(first) + n):
        if changed:
            # Compiled once, called from here alone: a second call site doubles the compile time.
            fill_before(tables, seq, length, before, changed_from)
            here = fill_ahead(tables, seq, length, ahead, changed_to)
            here -= pair_costs(tables, seq, length)
            changed = False
        shot = first[turn] if turn < len(first) else turn - len(first)
        if inside[shot]:
            continue
        value, place = best_insertion(tables, seq, length, before, ahead, shot)
        value -= pair_costs(tables, seq, length)
        if value > here and value > LOST:
            put(seq, length, place, shot)
            length += 1
            inside[shot] = True
            shift_ahead(ahead, place, length)
            changed_from, changed_to, changed = place, place, True
    return length


@compiled()
def settle(
    own: Tables,
    gain: IntArray,
    drift: DriftArray,
    match: IntArray,
    seq: IntArray,
    length: int,
    refs: IntArray,
) -> int:
    """Move each match's reference to the best one for the sequence's times, until nothing gains.

    Changes `refs` and `own.gain` in place and gives the sequence's value.
    """
    value = NEVER
    while True:
        timed, starts, _ = best_times(own, seq, length)
        if timed < LOST:
            return NEVER
        timed -= pair_costs(own, seq, length)
        won = best_references(drift, match, seq, length, starts, refs)
        if timed + won * SCALE <= value:
            return value
        value = timed + won * SCALE
        if won == 0:
            return value
        set_references(own.gain, gain, drift, match, refs)
