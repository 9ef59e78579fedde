"""A good plan by ruin and recreate (Schrimpf et al., J. Computational Physics 159, 2000; compiled).

Some shots are taken out of the sequence and put back one by one where they are worth most; worse
sequences are accepted up to a threshold that shrinks to nothing. Each match keeps a reference sun,
which moves to the best one for the times in hand. Values and random numbers are whole, so the same
problem gives the same plan on every machine.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numba import njit

from sunsched.order.fit import IntArray
from sunsched.order.references import DriftArray, best_references, set_references
from sunsched.order.sequence import (
    best_insertion,
    best_times,
    fill_ahead,
    fill_before,
    pair_costs,
    put,
    shift_ahead,
)
from sunsched.order.tables import LOST, NEVER, SCALE, Tables

SLACK = 2000 * SCALE  # how much worse a sequence may be accepted at the start
STRETCH = 50  # rounds between two looks whether to go on
# The next random number from the last one, modulo 2**64 (Knuth, TAOCP vol. 2, 3.3.4, table 1).
FACTOR, ADDEND = 6364136223846793005, 1442695040888963407


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
        search_on(tables, own, drift, match, kin, step, last, rounds, walk)
        if not go_on():
            break
    return Found(
        value=int(walk.values[1]),
        sequence=walk.sequences[1, : walk.lengths[1]].copy(),
        references=walk.references[1].copy(),
    )


def _kin(tables: Tables) -> IntArray:
    """List for each shot all shots by how quickly one follows the other, itself first: (n, n)."""
    n = tables.gain.shape[1]
    apart = tables.lag[:n] + tables.lag[:n].T
    np.fill_diagonal(apart, -1)
    return np.argsort(apart, axis=1, kind="stable")


@njit(cache=True, nogil=True)
def search_on(
    tables: Tables,
    own: Tables,
    drift: DriftArray,
    match: IntArray,
    kin: IntArray,
    step: int,
    last: int,
    rounds: int,
    walk: Walk,
) -> None:
    """Go through the rounds from `step` to before `last` of all `rounds`."""
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
        kept, taken = _ruin(
            trial, walk.lengths[0], match, kin, refs, drift.shape[2], walk.draws, out
        )
        set_references(own.gain, tables.gain, drift, match, refs)
        length = insert_all(own, trial, kept, before, ahead, out[:taken])
        if length == 0:
            continue
        value = settle(own, tables.gain, drift, match, trial, length, refs)
        if value <= LOST:
            continue
        slack = SLACK * (rounds - turn) // rounds * _draw(walk.draws, 1024) // 1024
        for row in range(2):
            if value > walk.values[row] - (slack if row == 0 else 0):
                walk.values[row] = value
                walk.lengths[row] = length
                for j in range(n):
                    walk.sequences[row, j] = trial[j] if j < length else -1
                for g in range(len(refs)):
                    walk.references[row, g] = refs[g]


@njit(cache=True, nogil=True)
def _ruin(
    seq: IntArray,
    length: int,
    match: IntArray,
    kin: IntArray,
    refs: IntArray,
    suns: int,
    draws: IntArray,
    out: IntArray,
) -> tuple[int, int]:
    """Take shots out in one of four ways: a match, a stretch, what is near in build, or any.

    A match that is taken out gets a new reference, in place. Gives how many shots stay in `seq` and
    how many are in `out`, to be put back first, in random order.
    """
    n = len(seq)
    is_out = np.zeros(n, dtype=np.bool_)
    is_in = np.zeros(n, dtype=np.bool_)
    for j in range(length):
        is_in[seq[j]] = True
    way = _draw(draws, 6)
    many = max(4, n // 3)
    if way == 0 and len(refs):
        group = _draw(draws, len(refs))
        refs[group] = _draw(draws, suns)
        for shot in range(n):
            is_out[shot] = match[shot] == group
    elif way == 1 and length:
        size = min(length, 2 + _draw(draws, many))
        place = _draw(draws, length - size + 1)
        for j in range(place, place + size):
            is_out[seq[j]] = True
    elif way == 2 and length:
        size = 2 + _draw(draws, many)
        near = kin[seq[_draw(draws, length)]]
        for j in range(n):
            if size > 0 and is_in[near[j]]:
                is_out[near[j]] = True
                size -= 1
    elif length:
        for _ in range(1 + _draw(draws, 4)):
            is_out[seq[_draw(draws, length)]] = True
    kept = 0
    for j in range(length):
        if not is_out[seq[j]]:
            seq[kept] = seq[j]
            kept += 1
    for j in range(kept, n):
        seq[j] = -1
    # Shots left out so far take their turn among the others, or they could never displace one.
    takes_all = _draw(draws, 2) == 1
    taken = 0
    for shot in range(n):
        if (is_in[shot] and is_out[shot]) or (takes_all and not is_in[shot]):
            # Each place in turn is as likely for the new one: a shuffle on the way.
            place = _draw(draws, taken + 1)
            out[taken] = out[place]
            out[place] = shot
            taken += 1
    return kept, taken


@njit(cache=True, nogil=True)
def _draw(draws: IntArray, below: int) -> int:
    """Give a random whole number from 0 to below `below`; the state is changed in place."""
    draws[0] = draws[0] * FACTOR + ADDEND
    # The high bits are the random ones.
    return int(((draws[0] >> 33) & 0x7FFFFFFF) * below >> 31)


@njit(cache=True, nogil=True)
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


@njit(cache=True, nogil=True)
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
