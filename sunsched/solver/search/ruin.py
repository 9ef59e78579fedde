"""What a search takes out of a sequence before it puts shots back, by random numbers (compiled)."""

from __future__ import annotations

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.machine.function import compiled
from sunsched.solver.timing.references import DriftArray

STARTS = 3  # starts of a shot that are tried; the best one gives a match a new reference
# The next random number from the last one, modulo 2**64 (Knuth, TAOCP vol. 2, 3.3.4, table 1).
FACTOR, ADDEND = 6364136223846793005, 1442695040888963407


@compiled()
def ruined(
    seq: IntArray,
    length: int,
    gain: IntArray,
    drift: DriftArray,
    match: IntArray,
    kin: IntArray,
    refs: IntArray,
    draws: IntArray,
    out: IntArray,
) -> tuple[int, int]:
    """Take shots out in one of four ways: a match, a stretch, what is near in build, or any.

    A match that is taken out gets a new reference, in place; shots that stand near that time are
    taken out too. Gives how many shots stay in `seq` and how many are in `out`, to be put back
    first, in random order.
    """
    n = len(seq)
    is_out = np.zeros(n, dtype=np.bool_)
    is_in = np.zeros(n, dtype=np.bool_)
    for j in range(length):
        is_in[seq[j]] = True
    way = draw(draws, 6)
    many = max(4, n // 3)
    if way == 0 and len(refs):
        group = draw(draws, len(refs))
        shot, start = _good_start(gain, match, group, draws)
        refs[group] = 0
        for r in range(1, drift.shape[2]):
            if drift[shot, start, r] < drift[shot, start, refs[group]]:
                refs[group] = r
        size = draw(draws, many)
        place = max(0, min(length - size, start * length // drift.shape[1] - size // 2))
        for j in range(place, min(length, place + size)):
            is_out[seq[j]] = True
        for shot in range(n):
            is_out[shot] |= match[shot] == group
    elif way == 1 and length:
        size = min(length, 2 + draw(draws, many))
        place = draw(draws, length - size + 1)
        for j in range(place, place + size):
            is_out[seq[j]] = True
    elif way == 2 and length:
        size = 2 + draw(draws, many)
        near = kin[seq[draw(draws, length)]]
        for j in range(n):
            if size > 0 and is_in[near[j]]:
                is_out[near[j]] = True
                size -= 1
    elif length:
        for _ in range(1 + draw(draws, 4)):
            is_out[seq[draw(draws, length)]] = True
    kept = 0
    for j in range(length):
        if not is_out[seq[j]]:
            seq[kept] = seq[j]
            kept += 1
    for j in range(kept, n):
        seq[j] = -1
    # Shots left out so far take their turn among the others, or they could never displace one.
    takes_all = draw(draws, 2) == 1
    taken = 0
    for shot in range(n):
        if (is_in[shot] and is_out[shot]) or (takes_all and not is_in[shot]):
            # Each place in turn is as likely for the new one: a shuffle on the way.
            place = draw(draws, taken + 1)
            out[taken] = out[place]
            out[place] = shot
            taken += 1
    return kept, taken


@compiled()
def _good_start(gain: IntArray, match: IntArray, group: int, draws: IntArray) -> tuple[int, int]:
    """Draw a shot of a match, and the best of a few starts for it."""
    _, n, slots = gain.shape
    shot, members = 0, 0
    for s in range(n):
        if match[s] == group:
            members += 1
            if draw(draws, members) == 0:
                shot = s
    best = draw(draws, slots)
    for _ in range(STARTS - 1):
        start = draw(draws, slots)
        if gain[0, shot, start] > gain[0, shot, best]:
            best = start
    return shot, best


@compiled()
def draw(draws: IntArray, below: int) -> int:
    """Give a random whole number from 0 to below `below`; the state is changed in place."""
    draws[0] = draws[0] * FACTOR + ADDEND
    # The high bits are the random ones.
    return int(((draws[0] >> 33) & 0x7FFFFFFF) * below >> 31)
