"""Stops through a stack of cloths, and what to add to bring a light down to another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement
from math import atan, log2, pi, sqrt

MOST_LAYERS = 3
SAME_STOPS = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Cloths one behind the other.

    `stops` is what they take, `residual_stops` how much brighter than wanted it stays; below 0 for
    darker.
    """

    cloths: tuple[str, ...]
    stops: float
    residual_stops: float


def through(stops_of: Mapping[str, float], cloths: Sequence[str]) -> float:
    """Give the stops that a stack takes: those of its cloths together."""
    return sum(stops_of[one] for one in cloths)


def to_take(stops_of: Mapping[str, float], wanted_stops: float) -> Stack:
    """Give the stack that comes nearest to the stops that are to be taken.

    Of like ones, the one of fewer cloths, then the one that takes less, then by the table's order.

    Parameters
    ----------
    stops_of : what each cloth takes
    wanted_stops : what is to be taken; below 0 nothing can be
    """
    best = Stack(cloths=(), stops=0.0, residual_stops=wanted_stops)
    for layers in range(1, MOST_LAYERS + 1):
        for cloths in combinations_with_replacement(stops_of, layers):
            stops = through(stops_of, cloths)
            found = Stack(cloths=cloths, stops=stops, residual_stops=wanted_stops - stops)
            if _is_nearer(found, best):
                best = found
    return best


def distance_stops(side_m: float, above_m: float) -> float:
    """Give what a large even cloth loses over the way to the subject, beside what it takes.

    Configuration factor between a square and a small plane under its middle: (4/π) s arctan s with
    s = X / √(1 + X²), X half the side over the distance. A real cloth lies between none and that.
    """
    x = side_m / 2.0 / above_m
    s = x / sqrt(1.0 + x * x)
    return -log2(4.0 / pi * s * atan(s))


def nearer_stops(from_m: float, to_m: float) -> float:
    """Give what a small source gains when it comes nearer: 2 log₂(d₁/d₂).

    Not for the sun, nor for a frame nearer than five times its side.
    """
    return 2.0 * log2(from_m / to_m)


def _is_nearer(one: Stack, other: Stack) -> bool:
    apart = abs(other.residual_stops) - abs(one.residual_stops)
    if abs(apart) > SAME_STOPS:
        return apart > 0
    return len(one.cloths) == len(other.cloths) and one.stops < other.stops - SAME_STOPS
