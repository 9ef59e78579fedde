"""One place that a text may mean, and what to type for it alone."""

from __future__ import annotations

from dataclasses import dataclass

from sunsched.folder.place.coordinates import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One place that a text may mean.

    `told` says what it is, in words; `write` is what means this one and no other. The one with the
    most `weight` is meant most often: of towns it is the people.
    """

    name: str
    point: Point
    told: str
    write: str
    weight: float = 0.0
