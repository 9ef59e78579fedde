"""Stretches of a day in minutes of its track, and the starts from which a roll lies in one."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeAlias

import numpy as np

from sunsched.light.fit import BoolArray, IntArray

Minutes: TypeAlias = tuple[int, int]
"""From the first minute to before the second."""


def runs(on: BoolArray) -> tuple[Minutes, ...]:
    """Give the stretches in which a condition holds."""
    padded = np.concatenate(([False], on, [False]))
    edges = np.flatnonzero(padded[1:] != padded[:-1])
    return tuple(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))


def within(stretches: Iterable[Minutes], starts: IntArray, ends: IntArray) -> BoolArray:
    """Mark what lies from its start to its end in one of some stretches."""
    marked = np.zeros(starts.shape, dtype=np.bool_)
    for first, last in stretches:
        marked |= (first <= starts) & (ends <= last)
    return marked
