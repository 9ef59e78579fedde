"""How far two orders are apart: pairs turned round, and shots that stand in another place.

Turned pairs are Kendall's distance (M. G. Kendall, A new measure of rank correlation, Biometrika
30, 1938), from which his tau follows; the shots that stand elsewhere are Ulam's. Both are metrics
on orders (P. Diaconis, Group Representations in Probability and Statistics, 1988, chapter 6, from
memory). Only shots that both orders make are compared.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations


@dataclass(frozen=True, slots=True, kw_only=True)
class Distance:
    """How far an order is from another.

    Attributes
    ----------
    shots : that both make
    moved : the fewest of them that must be taken out and put back elsewhere
    pairs, turned : of these shots, and those that stand the other way round
    """

    shots: int
    moved: int
    pairs: int
    turned: int

    @property
    def kendall_tau(self) -> float:
        """Kendall's tau: 1 for the same order, −1 for the reverse."""
        return 1.0 if self.pairs == 0 else 1.0 - 2.0 * self.turned / self.pairs


def distance(order: Sequence[str], other: Sequence[str]) -> Distance:
    """Give how far an order is from another, by the shots that both make."""
    place = {one: number for number, one in enumerate(order)}
    places = [place[one] for one in other if one in place]
    pairs = list(combinations(places, 2))
    ends: list[int] = []  # the least end of a rising row of each length
    for one in places:
        at = bisect_left(ends, one)
        ends[at : at + 1] = [one]
    return Distance(
        shots=len(places),
        moved=len(places) - len(ends),
        pairs=len(pairs),
        turned=sum(a > b for a, b in pairs),
    )
