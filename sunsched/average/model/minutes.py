"""How many whole minutes a piece of work takes, and with what chance.

Work takes its planned minutes times a log-normal factor, rounded to whole minutes. So the days that
are drawn and the programme that counts with chances speak of the same days, to the minute.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from sunsched.light.fit import IntArray
from sunsched.sky.track import FloatArray

# Factors more than three spreads from the median, one in 370, are taken as three spreads.
FURTHEST_SPREADS = 3.0
LONGEST_MIN = 2000  # longer than any day: what takes more is not over on it either way
RARE = 0.005  # what a grid of slots leaves out of either end
NORMAL = NormalDist()


@dataclass(frozen=True, slots=True, kw_only=True)
class Law:
    """The chances of first, first + 1, … minutes or slots: (k,), their sum is 1."""

    first: int
    chances: FloatArray


def whole_minutes(planned_min: npt.ArrayLike, factor: npt.ArrayLike) -> IntArray:
    """Give the minutes that work takes: none if none are planned, else at least one."""
    planned = np.asarray(planned_min)
    real = np.floor(planned * np.asarray(factor) + 0.5).astype(np.int64)
    return np.where(planned > 0, np.maximum(real, 1), 0)


@cache
def law_of(planned_min: int, median: float, spread: float) -> Law:
    """Give the chances of the minutes that some planned work takes.

    Parameters
    ----------
    planned_min : minutes, 0 or more
    median, spread : of the factor, and of its logarithm the standard deviation
    """
    ends = median * np.exp(spread * np.array([-FURTHEST_SPREADS, FURTHEST_SPREADS]))
    first, last = (min(int(end), LONGEST_MIN) for end in whole_minutes(planned_min, ends))
    if first == last:
        return Law(first=first, chances=np.ones(1))
    # Work that takes k minutes has a factor from (k − ½) to (k + ½) over the planned minutes.
    edges = np.log((np.arange(first, last) + 0.5) / (planned_min * median)) / spread
    below = np.concatenate(([0.0], [NORMAL.cdf(edge) for edge in edges.tolist()], [1.0]))
    return Law(first=first, chances=np.diff(below))


def in_slots(law: Law, grid_min: int) -> Law:
    """Give a law in slots of some minutes: each minute is shared by the two slots around it.

    That keeps the mean, but for work shorter than a slot, which takes one. What is rarer than one
    in 200 at either end is taken as what is next to it.
    """
    if grid_min == 1 or law.first == 0:
        return law
    minutes = law.first + np.arange(len(law.chances))
    low, part = np.divmod(np.maximum(minutes, grid_min), grid_min)
    first = int(low[0])
    chances = np.zeros(int(low[-1]) - first + 2)
    np.add.at(chances, low - first, law.chances * (1.0 - part / grid_min))
    np.add.at(chances, low - first + 1, law.chances * (part / grid_min))
    below = np.cumsum(chances)
    start, stop = int(np.argmax(below >= RARE)), int(np.argmax(below >= 1.0 - RARE))
    kept = chances[start : stop + 1].copy()
    kept[0] += chances[:start].sum()
    kept[-1] += chances[stop + 1 :].sum()
    return Law(first=first + start, chances=kept)
