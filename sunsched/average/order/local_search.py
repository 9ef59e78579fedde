"""Better orders and references from those in hand (compiled).

Blocks of one to three shots are moved and shots are swapped while that wins, from the front of the
order to its back: what stands behind the last changed place is not computed again.
"""

from __future__ import annotations

import numpy as np

from sunsched.average.model.drift import DriftArray
from sunsched.average.model.odds import Odds
from sunsched.average.order.policy import fill_policy, first_worth
from sunsched.light.fit import BoolArray, IntArray
from sunsched.sky.track import FloatArray
from sunsched.solver.machine.function import compiled

LONGEST_BLOCK = 3
LEAST_WIN = 1e-6  # points; smaller differences are of the arithmetic
STRIDE = 5  # references are first looked at in strides


@compiled()
def fill_moved(order: IntArray, first: int, size: int, to: int, into: IntArray) -> None:
    """Fill an order in which the block of `size` shots from place `first` starts in place `to`."""
    j = 0
    for p in range(len(order)):
        if to <= p < to + size:
            into[p] = order[first + p - to]
        else:
            if j == first:
                j += size
            into[p] = order[j]
            j += 1


@compiled()
def repair(order: IntArray, forbidden: BoolArray, top: int) -> None:
    """Move shots of the places up to `top`, in place, behind those that must come before them."""
    for _ in range(top * top + 1):
        moved = False
        for p in range(top + 1):
            for q in range(top, p, -1):
                if forbidden[order[p], order[q]]:
                    shot = order[p]
                    for k in range(p, q):
                        order[k] = order[k + 1]
                    order[q], moved = shot, True
                    break
            if moved:
                break
        if not moved:
            return


@compiled()
def improve(
    odds: Odds,
    forbidden: BoolArray,
    begins: int,
    order: IntArray,
    free: FloatArray,
    fed: FloatArray,
    ready: FloatArray,
) -> float:
    """Move blocks and swap shots of an order, in place, while that wins; give its worth.

    `free`, `fed` and `ready` are filled for it.
    """
    n = len(order)
    trial = np.empty(n, dtype=np.int64)
    fill_policy(odds, order, n, free, fed, ready)
    best = first_worth(free, fed, begins)
    top, quiet = 1, 0  # places since the last win
    while quiet < n - 1:
        won = False
        for kind in range(2 * LONGEST_BLOCK + 1):
            size = 1 + kind // 2
            is_swap = size > LONGEST_BLOCK
            for first in range(top - 1 if is_swap else top + 1 - size):
                if is_swap:
                    for p in range(n):
                        trial[p] = order[p]
                    trial[first], trial[top] = order[top], order[first]
                elif kind % 2:
                    fill_moved(order, first, size, top + 1 - size, trial)
                else:
                    fill_moved(order, top + 1 - size, size, first, trial)
                repair(trial, forbidden, top)
                fill_policy(odds, trial, top, free, fed, ready)
                value = first_worth(free, fed, begins)
                if value > best + LEAST_WIN:
                    best, won = value, True
                    for p in range(n):
                        order[p] = trial[p]
        # The next places need the states of the order itself behind them.
        fill_policy(odds, order, top, free, fed, ready)
        quiet = 0 if won else quiet + 1
        top = top + 1 if top + 1 < n else 1
    return best


@compiled()
def set_reference(odds: Odds, base: FloatArray, drift: DriftArray, rows: IntArray, r: int) -> None:
    """Set the gains of some rooms to those at a reference sun."""
    for row in rows:
        for t in range(base.shape[1]):
            odds.gain[row, t] = base[row, t] - drift[row, t, r]


@compiled()
def best_reference(
    odds: Odds,
    base: FloatArray,
    drift: DriftArray,
    rows: IntArray,
    made: FloatArray,
    begins: int,
    order: IntArray,
    now: int,
    reach: int,
    free: FloatArray,
    fed: FloatArray,
    ready: FloatArray,
) -> int:
    """Find the reference of one match that is worth most to an order; the odds are left at it.

    Parameters
    ----------
    base : (rooms, T) gains without matches
    drift : (rooms, T, R); rows : rooms of the shots of the match
    made : (R,) cost of those of its shots that were made
    now : its reference so far
    reach : how far from it others are looked at
    """
    count = len(made)
    best, best_value = now, -np.inf
    # What stands behind the last shot of the match is computed only once.
    changed, top = len(order), 0
    for p in range(len(order)):
        for row in rows:
            if odds.room_from[order[p]] <= row < odds.room_from[order[p] + 1]:
                top = p
    for turn in range(2):
        centre = best
        for step in range(count if turn == 0 else 2 * STRIDE):
            r = STRIDE * step if turn == 0 else centre - STRIDE + step
            if turn == 0 and step == 0:
                r = now
            elif turn == 0:
                r -= STRIDE
            if r < 0 or r >= count or (turn == 0 and abs(r - now) > reach):
                continue
            set_reference(odds, base, drift, rows, r)
            fill_policy(odds, order, changed, free, fed, ready)
            changed = top
            value = first_worth(free, fed, begins) - made[r]
            if value > best_value + LEAST_WIN:
                best, best_value = r, value
    set_reference(odds, base, drift, rows, best)
    return best
