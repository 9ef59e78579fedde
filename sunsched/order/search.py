"""A good plan by ruin and recreate (Schrimpf et al., J. Computational Physics 159, 2000).

Some shots are taken out of the sequence and put back one by one where they are worth most; worse
sequences are accepted up to a threshold that shrinks to nothing. Each match keeps a reference sun,
which moves to the best one for the times in hand. Values are whole and random numbers come from the
one generator call whose sequence Python promises to keep, so the same problem gives the same plan
on every machine.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from numba import njit

from sunsched.order.fit import IntArray
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

DriftArray = npt.NDArray[np.int32]
SLACK = 2000 * SCALE  # how much worse a sequence may be accepted at the start


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A sequence of shots with the reference sun of each match, and what they are worth, scaled."""

    value: int
    sequence: IntArray
    references: IntArray


def ruin_and_recreate(
    tables: Tables,
    drift: DriftArray,
    match: IntArray,
    rounds: int,
    seed: int,
    start: Found,
    keep: Callable[[Found], None],
) -> None:
    """Search for good sequences; the value of one counts everything.

    Parameters
    ----------
    tables : gains without any match cost
    drift, match : as in `Problem`
    rounds, seed : how long, and which random numbers
    start : the sequence to start from, which may be empty
    keep : shown every round's sequence; what it raises ends the search
    """
    kinds, n, slots = tables.gain.shape
    draws = random.Random(seed)  # noqa: S311  nothing here is a secret
    own = tables._replace(gain=tables.gain.copy())
    before = np.empty((2, n + 1, slots), dtype=np.int64)
    ahead = np.empty((2, kinds, n + 1, slots), dtype=np.int64)
    groups = match.tolist()
    kin = _kin(tables)
    now = start
    for step in range(rounds):
        references = now.references.copy()
        kept, out = _ruin(now.sequence.tolist(), groups, kin, references, drift.shape[2], draws)
        trial = np.full(n, -1, dtype=np.int64)
        trial[: len(kept)] = kept
        set_references(own.gain, tables.gain, drift, match, references)
        length = insert_all(own, trial, len(kept), before, ahead, np.array(out, dtype=np.int64))
        if length == 0:
            continue
        value = int(settle(own, tables.gain, drift, match, trial, length, references))
        if value <= LOST:
            continue
        found = Found(value=value, sequence=trial[:length], references=references)
        slack = int(SLACK * (rounds - step) / rounds * draws.random())
        if value > now.value - slack:
            now = found
        keep(found)


def _ruin(
    sequence: list[int],
    groups: list[int],
    kin: list[list[int]],
    references: IntArray,
    suns: int,
    draws: random.Random,
) -> tuple[list[int], list[int]]:
    """Take shots out in one of four ways: a match, a stretch, what is near in build, or any.

    A match that is taken out gets a new reference, in place. Gives the shots that stay and those
    to put back first, in random order.
    """
    way = _draw(draws, 6)
    many = max(4, len(groups) // 3)
    if way == 0 and len(references):
        group = _draw(draws, len(references))
        references[group] = _draw(draws, suns)
        out = [shot for shot in sequence if groups[shot] == group]
    elif way == 1 and sequence:
        size = min(len(sequence), 2 + _draw(draws, many))
        place = _draw(draws, len(sequence) - size + 1)
        out = sequence[place : place + size]
    elif way == 2 and sequence:
        size = 2 + _draw(draws, many)
        near = kin[sequence[_draw(draws, len(sequence))]]
        out = [shot for shot in near if shot in sequence][:size]
    else:
        size = min(len(sequence), 1 + _draw(draws, 4))
        out = _shuffled(sequence, draws)[:size]
    kept = [shot for shot in sequence if shot not in out]
    if _draw(draws, 2):
        # Shots left out so far take their turn among the others, or they could never displace one.
        out = [shot for shot in range(len(groups)) if shot not in kept]
    return kept, _shuffled(out, draws)


def _kin(tables: Tables) -> list[list[int]]:
    """List for each shot all shots by how quickly one follows the other, itself first."""
    n = tables.gain.shape[1]
    apart = tables.lag[:n] + tables.lag[:n].T
    np.fill_diagonal(apart, -1)
    listed: list[list[int]] = np.argsort(apart, axis=1, kind="stable").tolist()
    return listed


def _draw(draws: random.Random, below: int) -> int:
    return int(draws.random() * below)


def _shuffled(shots: list[int], draws: random.Random) -> list[int]:
    return sorted(shots, key=lambda _: draws.random())


@njit(cache=True)
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


@njit(cache=True)
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


@njit(cache=True)
def best_references(
    drift: DriftArray,
    match: IntArray,
    seq: IntArray,
    length: int,
    starts: IntArray,
    refs: IntArray,
) -> int:
    """Move the references to the cheapest for these starts, in place; give the points won."""
    won = 0
    for group in range(len(refs)):
        cost = np.zeros(drift.shape[2], dtype=np.int64)
        for i in range(length):
            if match[seq[i]] == group:
                cost += drift[seq[i], starts[i]]
        best = int(np.argmin(cost))
        if cost[best] < cost[refs[group]]:
            won += cost[refs[group]] - cost[best]
            refs[group] = best
    return won


@njit(cache=True)
def set_references(
    out: IntArray, gain: IntArray, drift: DriftArray, match: IntArray, refs: IntArray
) -> None:
    """Charge each matched shot for its drift from the reference, into `out`."""
    for s in range(gain.shape[1]):
        if match[s] < 0:
            continue
        for k in range(gain.shape[0]):
            for t in range(gain.shape[2]):
                cost = drift[s, t, refs[match[s]]] * SCALE
                out[k, s, t] = gain[k, s, t] - cost if gain[k, s, t] > LOST else gain[k, s, t]
