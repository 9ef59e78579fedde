"""What tells one plan from another: traits of its main shots, as an assistant director counts.

A main shot weighs no less than the mean of the day's shots, and is still to come: the wides and
fulls of most lists. A plan is told by which of them comes first, by the order in which the spots
come to their first one, by the side of the meal on which each lies, and by which are made. An
insert that stands elsewhere makes no other plan. (Common practice, no source.)
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import permutations
from typing import Protocol, TypeVar

from sunsched.day.model import Day, Shot
from sunsched.day.past import made_ids
from sunsched.plan.plan import Plan


class TraitKind(StrEnum):
    """In which respect a trait tells plans apart."""

    FIRST = "first"  # the first of the main shots that are made
    SPOTS = "spots"  # a spot's first main shot before another's
    BEFORE_MEAL = "before meal"
    AFTER_MEAL = "after meal"
    MADE = "made"
    LEFT_OUT = "left out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trait:
    """One trait of a plan.

    Attributes
    ----------
    subject : the shot's id; of `SPOTS` the spot that comes before
    other : of `SPOTS` the spot that comes after, or has no main shot that is made
    """

    kind: TraitKind
    subject: str
    other: str = ""


class Traited(Protocol):
    """A plan of which points and traits are known."""

    @property
    def points(self) -> int:
        """What it is worth."""

    @property
    def traits(self) -> frozenset[Trait]:
        """All that it has."""


One = TypeVar("One", bound=Traited)


def main_shots(day: Day) -> tuple[Shot, ...]:
    """Give the shots by which plans are told apart, in the order of the list."""
    made = made_ids(day.past)
    open_shots = [shot for shot in day.shots if shot.id not in made]
    mean = sum(shot.weight for shot in open_shots) / max(1, len(open_shots))
    return tuple(shot for shot in open_shots if shot.weight >= mean)


def first_alike(day: Day, shot: Shot) -> str:
    """Give the first main shot that is as good as this one to begin with: in one build, any sun."""
    if not _is_free(shot):
        return shot.id
    return next(
        one.id
        for one in main_shots(day)
        if _is_free(one) and (one.spot, one.rig) == (shot.spot, shot.rig)
    )


def every_trait(day: Day) -> Iterator[Trait]:
    """Yield each trait that a plan of a day could have."""
    main = main_shots(day)
    for one in main:
        if first_alike(day, one) == one.id:
            yield Trait(kind=TraitKind.FIRST, subject=one.id)
    spots = dict.fromkeys(one.spot for one in main)
    for before, after in permutations(spots, 2):
        yield Trait(kind=TraitKind.SPOTS, subject=before, other=after)
    for kind in (TraitKind.BEFORE_MEAL, TraitKind.AFTER_MEAL, TraitKind.LEFT_OUT, TraitKind.MADE):
        for one in main:
            yield Trait(kind=kind, subject=one.id)


def leaders_of(day: Day, trait: Trait) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Give the shots of which one leads in each plan with a trait, and those that it comes before.

    The trait is one of what comes first, or of the order of two spots.
    """
    main, is_first = main_shots(day), trait.kind is TraitKind.FIRST
    leaders = (
        one.id for one in main if trait.subject == (first_alike(day, one) if is_first else one.spot)
    )
    return tuple(leaders), tuple(one.id for one in main if is_first or one.spot == trait.other)


def differing(
    known: Mapping[Trait, One], seen: frozenset[Trait], count: int
) -> Iterator[tuple[Trait, One, frozenset[Trait]]]:
    """Yield the best plans, each with a trait that none before it has, and what those before have.

    Parameters
    ----------
    known : the best plan with each trait
    seen : traits of the plan that they are to differ from
    count : the most that are given
    """
    for trait, one in sorted(known.items(), key=lambda pair: -pair[1].points):
        if count and trait not in seen:
            yield trait, one, seen
            seen |= one.traits
            count -= 1


def traits_of(day: Day, order: Sequence[str], meal: int | None) -> frozenset[Trait]:
    """Give the traits of a plan.

    Parameters
    ----------
    order : the ids of the shots that it makes
    meal : how many of them stand before the meal; None without one
    """
    main = {shot.id: shot for shot in main_shots(day)}
    made = [(place, main[one]) for place, one in enumerate(order) if one in main]
    found = set()
    if made:
        found.add(Trait(kind=TraitKind.FIRST, subject=first_alike(day, made[0][1])))
    reached = list(dict.fromkeys(shot.spot for _, shot in made))
    never = dict.fromkeys(shot.spot for shot in main.values() if shot.spot not in reached)
    for place, spot in enumerate(reached):
        for other in (*reached[place + 1 :], *never):
            found.add(Trait(kind=TraitKind.SPOTS, subject=spot, other=other))
    for place, shot in made:
        found.add(Trait(kind=TraitKind.MADE, subject=shot.id))
        if meal is not None:
            side = TraitKind.BEFORE_MEAL if place < meal else TraitKind.AFTER_MEAL
            found.add(Trait(kind=side, subject=shot.id))
    left = main.keys() - set(order)
    found.update(Trait(kind=TraitKind.LEFT_OUT, subject=one) for one in left)
    return frozenset(found)


def traits_of_plan(plan: Plan) -> frozenset[Trait]:
    """Give the traits of a plan as it is told."""
    meal = plan.meal
    before = None
    if meal is not None:
        before = sum(one.roll_start < meal.start for one in plan.shots)
    return traits_of(plan.day, [one.shot.id for one in plan.shots], before)


def _is_free(shot: Shot) -> bool:
    return shot.wish.asks_nothing and shot.pin is None and not shot.match
