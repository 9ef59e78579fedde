"""Orders that the bound suggests: those in which its best way of shooting begins the shots.

At good prices that way is nearly an order, and a local search that starts from it finds better ones
than many that start at random (Fisher, The Lagrangian relaxation method for solving integer
programming problems, Management Science 27(1), 1981, on feasible solutions from relaxed ones).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sunsched.average.bound.adaptive import Worths, sweep
from sunsched.average.bound.memory import Memory
from sunsched.average.bound.price import drawn_paths
from sunsched.average.model.odds import Odds
from sunsched.light.fit import IntArray
from sunsched.sky.track import FloatArray

SHARES = (1.0, 0.95)  # of the prices; at the whole ones a way that begins nothing can be as good
DRAWN = 4  # days at each of them


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggested:
    """Shots in the order in which they are begun, (k,), each once, and references, (G,)."""

    order: IntArray
    references: IntArray


def suggested(
    odds: Odds,
    memory: Memory,
    prices: FloatArray,
    worths: Worths,
    begins: int,
    references: IntArray,
    random: np.random.Generator,
) -> Iterator[Suggested]:
    """Draw days that are shot in the best way at the prices, or below them; the worths are changed.

    Parameters
    ----------
    begins : before the meal (0), after it (1), or as the crew stands up from it (2)
    references : those that the odds are best for
    """
    for share in SHARES:
        sweep(odds, memory, share * prices, worths)
        for path in drawn_paths(odds, memory, share * prices, worths, begins, random, DRAWN):
            order = np.array(list(dict.fromkeys(path)), dtype=np.int64)
            yield Suggested(order=order, references=references)
