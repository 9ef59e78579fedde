"""What somebody wants of a day beside its rules, in words: a shot at a time, a meal, a release.

Of a day under way, a demand is about what is still to come.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TypeAlias


@dataclass(frozen=True, slots=True, kw_only=True)
class RollAt:
    """A shot starts to roll at this moment (UTC, as all moments here)."""

    shot: str
    time: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class RollBefore:
    """A shot is made and its roll has ended by this moment."""

    shot: str
    time: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class RollAfter:
    """A shot is made and rolls at this moment or later."""

    shot: str
    time: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class MealAt:
    """The meal starts at this moment, whatever its window."""

    time: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseAt:
    """A cast member leaves at this moment, earlier or later than their hours say."""

    cast: str
    time: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class WrapAt:
    """Nothing rolls past this moment, and no minute before it is overtime."""

    time: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class CallAt:
    """The crew is called at this moment; what counts from the call moves with it."""

    time: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A shot is not made; it costs the day what a shot left out costs."""

    shot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class First:
    """A shot is the first of the day, or the next one of a day under way."""

    shot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOrder:
    """Shots come in this order, those of them that are made."""

    shots: tuple[str, ...]


RollDemand: TypeAlias = RollAt | RollBefore | RollAfter
Demand: TypeAlias = RollDemand | MealAt | ReleaseAt | WrapAt | CallAt | Cut | First | KeepOrder
Decision: TypeAlias = tuple[Demand, ...]
"""Demands that are to be met together."""


def shots_of(demand: Demand) -> tuple[str, ...]:
    """Give the shots that a demand names."""
    if isinstance(demand, KeepOrder):
        return demand.shots
    if isinstance(demand, MealAt | ReleaseAt | WrapAt | CallAt):
        return ()
    return (demand.shot,)


def subject_of(demand: Demand) -> tuple[str, ...]:
    """Give what can be demanded only once: two demands of one subject are the same, or collide.

    An order of shots is about these shots, whatever their order.
    """
    match demand:
        case ReleaseAt():
            return "release", demand.cast
        case First():
            return ("first",)
        case KeepOrder():
            return "keep order", *sorted(demand.shots)
        case _:
            return type(demand).__name__, *shots_of(demand)
