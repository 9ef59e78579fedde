"""How far long work has come, for whoever waits for it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a solve has come: points found so far, and the bound that no plan is above."""

    points: int
    bound: int

    @property
    def gap(self) -> float:
        """What any plan could still win, as a share of the bound; 0 once it is proven."""
        return (self.bound - self.points) / max(1, abs(self.bound))


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """How far a row of solves has come: how many are done, of how many."""

    done: int
    whole: int
