"""Which labels are kept: one goes when another like it beats it (dominance; compiled).

(Irnich and Desaulniers, "Shortest path problems with resource constraints", in: Column Generation,
Springer 2005.)
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt
from numba import njit

from sunsched.order.fit import IntArray
from sunsched.order.tables import SCALE

# Columns of a label; shots made are bits of two words.
MADE, MORE, LAST, SLOT, FED, VALUE, BOUND, PARENT, STATE = range(9)
WORD = 63  # shots in the first word: an int64 has no more bits without its sign
MOST_SHOTS = 2 * WORD
# Columns of a tally.
COUNT, BEST, FLOOR, BELOW, TOP_LABEL, TOP_SHOT, TOP_SLOT = range(7)
Points = npt.NDArray[np.int32]

# These functions make no arrays. Without counting who holds those they are handed (numba's run time
# would, with a locked addition for each array and call) labels take a fifth of the time.
UNCOUNTED: Any = {"_nrt": False}
plain = njit(cache=True, nogil=True, **UNCOUNTED)


class Labels(NamedTuple):
    """Labels in rows: (rows, 9) what they are, (rows, G) what each match is charged, and drifts.

    `drifts` is (rows, W) points so far at each reference of each match; `charged` the least, over
    references, of drifts and prices.
    """

    columns: IntArray
    charged: IntArray
    drifts: Points


class Fresh(NamedTuple):
    """The labels that come of a layer, changed in place.

    `heads` and `chain` find labels of the same shots, last shot and meal: `heads` is a power of two
    long, `chain` as long as `labels`. `tally` (7,) is how many labels there are, the value to beat,
    the bound below which a label has no room, the highest bound of those that had none, and label,
    shot and slot of the best complete order.
    """

    labels: Labels
    heads: IntArray
    chain: IntArray
    tally: IntArray


@plain
def settle_row(fresh: Fresh, place: IntArray, picks_alone: bool) -> None:
    """Keep the label that was written last unless another beats it; it replaces one it beats."""
    new, row = fresh.labels.columns, fresh.tally[COUNT]
    spot = spot_of(new, row, len(fresh.heads))
    j = fresh.heads[spot]
    while j >= 0:
        if is_like(new, j, row, picks_alone):
            if beats(fresh.labels, place, j, row):
                return
            if beats(fresh.labels, place, row, j):
                move(fresh.labels, row, j)
                return
        j = fresh.chain[j]
    fresh.chain[row] = fresh.heads[spot]
    fresh.heads[spot] = row
    fresh.tally[COUNT] += 1


@plain
def is_like(columns: IntArray, one: int, other: int, picks_alone: bool) -> bool:
    """Say whether one label may beat another: same shots, last shot and meal.

    Where each shot of a match picks a reference of its own, what a label earns is no plan's worth.
    A start that no better plan has may then be on the way of a label that beats another, which
    would have passed it by: so only labels in the same state can be told apart.
    """
    for column in (MADE, MORE, LAST, FED):
        if columns[one, column] != columns[other, column]:
            return False
    return not picks_alone or bool(columns[one, STATE] == columns[other, STATE])


@plain
def beats(labels: Labels, place: IntArray, one: int, other: int) -> bool:
    """Say whether a label starts no later than one like it, and is worth no less whatever comes.

    It must earn so much more that its drift may be the larger one, at every reference.
    """
    if labels.columns[one, SLOT] > labels.columns[other, SLOT]:
        return False
    more = labels.columns[one, VALUE] - labels.columns[other, VALUE]
    drifts = labels.drifts
    # Three references tell most pairs apart: the ends and the middle.
    for half in range(3):
        sample = 0
        for g in range(len(place) - 1):
            w = place[g] + (place[g + 1] - 1 - place[g]) * half // 2
            sample += drifts[one, w] - drifts[other, w]
        if more < sample * SCALE:
            return False
    for g in range(len(place) - 1):
        worst = -(1 << 40)
        for w in range(place[g], place[g + 1]):
            worst = max(worst, drifts[one, w] - drifts[other, w])
        more -= worst * SCALE
    return bool(more >= 0)


@plain
def move(labels: Labels, row: int, to: int) -> None:
    """Write a label over another."""
    for column in range(labels.columns.shape[1]):
        labels.columns[to, column] = labels.columns[row, column]
    for g in range(labels.charged.shape[1]):
        labels.charged[to, g] = labels.charged[row, g]
    for w in range(labels.drifts.shape[1]):
        labels.drifts[to, w] = labels.drifts[row, w]


@plain
def index(fresh: Fresh) -> None:
    """Make the labels that stand already findable."""
    fresh.heads[:] = -1
    for j in range(fresh.tally[COUNT]):
        spot = spot_of(fresh.labels.columns, j, len(fresh.heads))
        fresh.chain[j] = fresh.heads[spot]
        fresh.heads[spot] = j


@plain
def spot_of(columns: IntArray, row: int, size: int) -> int:
    """Give where labels of these shots, last shot and meal are found; `size` is a power of two."""
    made = columns[row, MADE] ^ columns[row, MORE] * 0x27D4EB2F
    mixed = (made ^ (made >> 17)) * 0x9E3779B1
    mixed += columns[row, LAST] * 0x85EBCA6B + columns[row, FED] * 0xC2B2AE35
    return int((mixed ^ (mixed >> 15)) & (size - 1))
