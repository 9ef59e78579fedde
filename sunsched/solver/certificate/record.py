"""The certificate of a proof: what was done to each part of the day's plans, so it can be redone.

It says how the plans were parted (a tree of intervals of references) and with which prices and
memories each part was bounded; nothing of what came out. `verify` computes that anew.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from sunsched.light.fit import IntArray

Shots = tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Priced:
    """The part is bounded with these multipliers, and cells that no better plan passes are struck.

    Attributes
    ----------
    prices : (n,) λ of each shot, scaled; not below zero but for shots that must be made
    sun_prices : (n, R) μ of each shot's reference, scaled; over a match they add up to nothing
    """

    prices: IntArray
    sun_prices: IntArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Remembered:
    """From here on the states of the part remember these shots: a set for each last shot."""

    sets: tuple[Shots, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """Labels, bounded as the part was last priced, find no order worth more than `bound`.

    `bound` is scaled. `is_whole` says whether all shots of a match pick one reference; else each
    may pick its own.
    """

    bound: int
    is_whole: bool


Step = Priced | Remembered | Searched


@dataclass(slots=True, kw_only=True, eq=False)
class Note:
    """A part of the plans: references from `low` to below `high`, and what was done to it in order.

    A node with children is parted into them after its last step. One without is closed or open:
    its bound tells.
    """

    low: tuple[int, ...]
    high: tuple[int, ...]
    steps: list[Step] = field(default_factory=list)
    children: list[Note] = field(default_factory=list)

    def parted(self, group: int, ends: tuple[int, ...]) -> list[Note]:
        """Part the interval of a match at these references, first and last included."""
        for low, high in pairwise(ends):
            lows = (*self.low[:group], low, *self.low[group + 1 :])
            highs = (*self.high[:group], high, *self.high[group + 1 :])
            self.children.append(Note(low=lows, high=highs))
        return self.children


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Certificate:
    """What a proof says and how it came to it.

    Attributes
    ----------
    scale : what points are multiplied with in prices and in bounds
    points : worth of the best plan found
    bound : points that no plan exceeds, which is what the certificate is to show
    root : all plans of the day
    """

    scale: int
    points: int
    bound: int
    root: Note


def size_of(root: Note) -> tuple[int, int]:
    """Count the nodes of a certificate and the steps in them."""
    nodes, todo = [], [root]
    while todo:
        nodes.append(todo.pop())
        todo += nodes[-1].children
    return len(nodes), int(np.sum([len(node.steps) for node in nodes]))
