"""A good plan by ruin and recreate (Schrimpf et al., J. Computational Physics 159, 2000), compiled.

Some shots are taken out of the sequence and put back one by one where they are worth most; worse
sequences are accepted up to a threshold that shrinks to nothing. Each match keeps a reference sun,
which moves to the best one for the times in hand. Random numbers come from whole-number arithmetic
and every value is whole, so the same problem gives the same plan on every machine.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from numba import njit

from sunsched.order.fit import IntArray
from sunsched.order.sequence import (
    best_insertion,
    best_times,
    fill_ahead,
    fill_before,
    leave,
    pair_costs,
    put,
    take,
)
from sunsched.order.tables import LOST, NEVER, SCALE, Tables

DriftArray = npt.NDArray[np.int32]


@njit(cache=True)
def ruin_and_recreate(
    own: Tables,
    gain: IntArray,
    drift: DriftArray,
    match: IntArray,
    seq: IntArray,
    length: int,
    references: IntArray,
    rounds: int,
    seed: int,
) -> tuple[int, IntArray, IntArray]:
    """Search near a sequence for a better one.

    Parameters
    ----------
    own : its gain array is scratch space, to hold the gains less the cost of the current references
    gain : (K, n, T) the gains without any match cost
    drift, match : as in `Problem`
    seq, length : (n,) the sequence to start from, in its first `length` places
    references : (matches,) reference sun of each match
    rounds, seed : how long, and which random numbers

    Returns
    -------
    value, seq, references : the best found, scaled; the value counts everything
    """
    n = gain.shape[1]
    refs = references.copy()
    own.gain[:] = gain
    set_references(own.gain, gain, drift, match, refs)
    before = np.empty((2, n + 1, gain.shape[2]), dtype=np.int64)
    ahead = np.empty((2, gain.shape[0], n + 1, gain.shape[2]), dtype=np.int64)
    now = np.full(n, -1, dtype=np.int64)
    now[:length] = seq[:length]
    now_length = insert_all(own, now, length, before, ahead, np.empty(0, dtype=np.int64))
    now_value = settle(own, gain, drift, match, now, now_length, refs)
    best, best_value, best_refs = now[:now_length].copy(), now_value, refs.copy()
    now_refs = refs.copy()
    state = np.array([seed * 2 + 1], dtype=np.uint64)
    trial = now.copy()
    for step in range(rounds):
        trial[:] = now
        trial_length = now_length
        refs[:] = now_refs
        trial_length, out = _ruin(trial, trial_length, match, refs, drift.shape[2], state)
        set_references(own.gain, gain, drift, match, refs)
        trial_length = insert_all(own, trial, trial_length, before, ahead, out)
        value = settle(own, gain, drift, match, trial, trial_length, refs)
        slack = 200 * SCALE * (rounds - step) // rounds * draw(state, 101) // 100
        if value > now_value - slack and value > LOST:
            now[:] = trial
            now_length, now_value = trial_length, value
            now_refs[:] = refs
        if value > best_value:
            best, best_value, best_refs = trial[:trial_length].copy(), value, refs.copy()
    return best_value, best, best_refs


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

    Changes `seq` in place and gives its new length.
    """
    n = tables.gain.shape[1]
    fill_before(tables, seq, length, before, 0)
    fill_ahead(tables, seq, length, ahead, length)
    here = sequence_value(tables, seq, length, ahead)
    inside = np.zeros(n, dtype=np.bool_)
    for j in range(length):
        inside[seq[j]] = True
    for turn in range(len(first) + n):
        shot = first[turn] if turn < len(first) else turn - len(first)
        if inside[shot]:
            continue
        value, place = best_insertion(tables, seq, length, before, ahead, shot)
        value -= pair_costs(tables, seq, length)
        if value > here and value > LOST:
            put(seq, length, place, shot)
            length += 1
            inside[shot] = True
            here = value
            fill_before(tables, seq, length, before, place)
            # One place more than before: the suffixes behind the new shot have moved by one.
            for i in range(length - 1, place, -1):
                ahead[:, :, i] = ahead[:, :, i - 1]
            fill_ahead(tables, seq, length, ahead, place)
    return length


@njit(cache=True)
def sequence_value(tables: Tables, seq: IntArray, length: int, ahead: IntArray) -> int:
    """Give a sequence's value, pair costs included, from its filled `ahead`."""
    if length == 0:
        return NEVER
    rest = np.empty((2, tables.gain.shape[2]), dtype=np.int64)
    leave(tables, ahead, 0, tables.gain.shape[1], seq[0], rest)
    return int(rest[0, 0] - pair_costs(tables, seq, length))


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


@njit(cache=True)
def draw(state: npt.NDArray[np.uint64], below: int) -> int:
    """Draw a whole number from 0 to below−1 (xorshift64*; Vigna, ACM TOMS 42(4), 2016)."""
    x = state[0]
    x ^= x >> np.uint64(12)
    x ^= x << np.uint64(25)
    x ^= x >> np.uint64(27)
    state[0] = x
    return int((x * np.uint64(2685821657736338717) >> np.uint64(33)) % np.uint64(below))


@njit(cache=True)
def _ruin(
    seq: IntArray,
    length: int,
    match: IntArray,
    refs: IntArray,
    suns: int,
    state: npt.NDArray[np.uint64],
) -> tuple[int, IntArray]:
    """Take shots out in one of three ways: here and there, a stretch, or a whole match moved.

    Gives the new length and the shots taken out, in random order.
    """
    out = np.empty(length, dtype=np.int64)
    count = 0
    way = draw(state, 5)
    if way == 0 and len(refs) > 0:
        group = draw(state, len(refs))
        refs[group] = draw(state, suns)
        for j in range(length - 1, -1, -1):
            if match[seq[j]] == group:
                out[count] = take(seq, length, j)
                count += 1
                length -= 1
    elif way == 1 and length > 0:
        size = min(length, 2 + draw(state, 4))
        place = draw(state, length - size + 1)
        for _ in range(size):
            out[count] = take(seq, length, place)
            count += 1
            length -= 1
    else:
        for _ in range(min(length, 1 + draw(state, 4))):
            out[count] = take(seq, length, draw(state, length))
            count += 1
            length -= 1
    for j in range(count - 1, 0, -1):
        other = draw(state, j + 1)
        out[j], out[other] = out[other], out[j]
    return length, out[:count]
