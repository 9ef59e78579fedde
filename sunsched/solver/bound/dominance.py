"""Dominance of labels: one goes when another like it is worth no less (compiled).

(Irnich and Desaulniers, "Shortest path problems with resource constraints", in: Column Generation,
Springer 2005.)
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from sunsched.light.fit import IntArray
from sunsched.solver.instance.tables import SCALE
from sunsched.solver.machine.function import compiled

# Columns of a label; shots made are bits of two words.
MADE, MORE, LAST, SLOT, FED, VALUE, BOUND, PARENT, STATE = range(9)
ANY = -1
WORD = 63  # shots in the first word: an int64 has no more bits without its sign
MOST_SHOTS = 2 * WORD
# Columns of a tally.
COUNT, BEST, FLOOR, BELOW, TOP_LABEL, TOP_SHOT, TOP_SLOT = range(7)
Points = npt.NDArray[np.int32]

# These functions make no arrays. Without counting who holds those they are handed (numba's run time
# would, with a locked addition for each array and call) labels take a fifth of the time.
UNCOUNTED: Any = {"_nrt": False}
plain = compiled(**UNCOUNTED)


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

    `heads` and `chain` find labels with the same key: `heads` is a power of two long, `chain` as
    long as `labels`. `tally` (7,) is how many labels there are, the value to beat, the bound below
    which a label has no room, the highest bound of those that had none, and label, shot and slot of
    the best complete order.
    """

    labels: Labels
    heads: IntArray
    chain: IntArray
    tally: IntArray


class Key(NamedTuple):
    """What labels of which one may beat another have in common; `state` is ANY if it may differ."""

    made: int
    more: int
    last: int
    fed: int
    state: int


@plain
def settle_row(fresh: Fresh, place: IntArray, picks_alone: bool) -> None:
    """Keep the label that was written last unless another beats it; it replaces one it beats.

    One beats another if it starts no later and is worth no less, whatever references come out best.
    """
    columns, drifts = fresh.labels.columns, fresh.labels.drifts
    row = fresh.tally[COUNT]
    key = key_of(columns, row, picks_alone)
    slot, value = columns[row, SLOT], columns[row, VALUE]
    spot = spot_of(key, len(fresh.heads))
    j = fresh.heads[spot]
    while j >= 0:
        if is_like(columns, j, key):
            more = columns[j, VALUE] - value
            if columns[j, SLOT] <= slot and is_worth(drifts, place, j, row, more):
                return
            if columns[j, SLOT] >= slot and is_worth(drifts, place, row, j, -more):
                move(fresh.labels, row, j)
                return
        j = fresh.chain[j]
    fresh.chain[row] = fresh.heads[spot]
    fresh.heads[spot] = row
    fresh.tally[COUNT] += 1


@plain
def key_of(columns: IntArray, row: int, picks_alone: bool) -> Key:
    """Give what a label must share with those that it may beat: shots, last shot and meal.

    Where each shot of a match picks a reference of its own, what a label earns is no plan's worth.
    A start that no better plan has may then be on the way of a label that beats another, which
    would have passed it by: so only labels in the same state can be told apart.
    """
    state = columns[row, STATE] if picks_alone else ANY
    return Key(columns[row, MADE], columns[row, MORE], columns[row, LAST], columns[row, FED], state)


@plain
def is_like(columns: IntArray, row: int, key: Key) -> bool:
    """Say whether a label has a key."""
    return bool(
        columns[row, MADE] == key.made
        and columns[row, LAST] == key.last
        and columns[row, FED] == key.fed
        and columns[row, MORE] == key.more
        and key.state in (ANY, columns[row, STATE])
    )


@plain
def is_worth(drifts: Points, place: IntArray, one: int, other: int, more: int) -> bool:
    """Say whether a label that earns so much more is worth another at every reference."""
    if len(place) == 1:
        return more >= 0
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
def index(fresh: Fresh, picks_alone: bool) -> None:
    """Make the labels that stand already findable."""
    for spot in range(len(fresh.heads)):
        fresh.heads[spot] = -1
    for j in range(fresh.tally[COUNT]):
        key = key_of(fresh.labels.columns, j, picks_alone)
        spot = spot_of(key, len(fresh.heads))
        fresh.chain[j] = fresh.heads[spot]
        fresh.heads[spot] = j


@plain
def spot_of(key: Key, size: int) -> int:
    """Give where labels with a key are found; `size` is a power of two."""
    made = key.made ^ key.more * 0x27D4EB2F
    mixed = (made ^ (made >> 17)) * 0x9E3779B1
    mixed += key.last * 0x85EBCA6B + key.fed * 0xC2B2AE35 + key.state * 0x165667B1
    return int((mixed ^ (mixed >> 15)) & (size - 1))
