"""The problems whose plans, taken together, are all plans of a day that have a trait."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sunsched.day.model import Day
from sunsched.solver.instance.problem import FORBIDDEN, Problem
from sunsched.whatif.alternatives.traits import Trait, TraitKind, leaders_of

BARRED = 10**6  # points for another shot right after the meal, more than any day has
SIDES = (TraitKind.BEFORE_MEAL, TraitKind.AFTER_MEAL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Plans with a trait: those of a problem, in which no shot of `after` comes before the leader.

    `is_wider` says that some of them may lack the trait: the leader starts in time for its side of
    the meal, and no more is asked.
    """

    trait: Trait
    problem: Problem
    leader: int
    after: tuple[int, ...] = ()
    is_wider: bool = False


def parts_with(problem: Problem, day: Day, trait: Trait) -> Iterator[Part]:
    """Yield parts of a day's plans; each plan with the trait is in one of them."""
    index = {name: number for number, name in enumerate(problem.ids)}
    if trait.kind in SIDES:
        yield _in_time(problem, trait, index[trait.subject])
    elif trait.kind is TraitKind.LEFT_OUT:
        shot = index[trait.subject]
        if not problem.must[shot]:
            gain = problem.gain.copy()
            gain[:, shot] = FORBIDDEN
            yield Part(trait=trait, problem=replace(problem, gain=gain), leader=shot)
    elif trait.kind is TraitKind.MADE:
        shot = index[trait.subject]
        yield Part(trait=trait, problem=_made(problem, shot), leader=shot)
    else:
        leaders, others = leaders_of(day, trait)
        for one in leaders:
            yield _led(trait, problem, index[one], [index[other] for other in others])


def by_the_meal(problem: Problem, wider: Part) -> Iterator[Part]:
    """Part the plans with a shot on one side of the meal by the shot that comes first after it.

    Parameters
    ----------
    problem : of the day
    """
    trait, shot = wider.trait, wider.leader
    is_after = trait.kind is TraitKind.AFTER_MEAL
    eaten = replace(wider.problem, can_skip_meal=np.zeros_like(problem.can_skip_meal))
    for first in range(problem.shots):
        toll = problem.after_meal_cost + BARRED
        toll[first] -= BARRED
        then = replace(eaten, after_meal_cost=toll)
        if first == shot:
            if is_after:
                yield Part(trait=trait, problem=then, leader=shot)
        elif is_after:
            yield _led(trait, _made(then, first), first, [shot])
        else:
            yield _led(trait, _made(then, first), shot, [first])


def halves(part: Part) -> Iterator[Part]:
    """Part plans in two by the start of the leader; what comes after it starts no earlier."""
    leader, problem = part.leader, part.problem
    starts = np.flatnonzero((problem.gain[:, leader] > FORBIDDEN).any(axis=0))
    if len(starts) < 2:
        return
    slots = np.arange(problem.slots)
    middle = starts[len(starts) // 2]
    for first, is_half in ((starts[0], slots < middle), (middle, slots >= middle)):
        gain = problem.gain.copy()
        gain[:, leader, ~is_half] = FORBIDDEN
        for other in part.after:
            gain[:, other, slots < first] = FORBIDDEN
        yield replace(part, problem=replace(problem, gain=gain))


def _in_time(problem: Problem, trait: Trait, shot: int) -> Part:
    """Pose more than the plans with a shot on one side of the meal."""
    gain, slots = problem.gain.copy(), np.arange(problem.slots)
    if trait.kind is TraitKind.BEFORE_MEAL:
        gain[:, shot, slots > problem.eat_by[shot]] = FORBIDDEN
    else:
        gain[:, shot, slots < problem.fed_from[:, shot].min()] = FORBIDDEN
    wider = _made(replace(problem, gain=gain), shot)
    return Part(trait=trait, problem=wider, leader=shot, is_wider=True)


def _led(trait: Trait, problem: Problem, shot: int, others: Sequence[int]) -> Part:
    """Make a shot, and let none of the others come before it."""
    after = tuple(other for other in others if other != shot)
    forbidden = problem.forbidden_pair.copy()
    forbidden[list(after), shot] = True
    made = _made(replace(problem, forbidden_pair=forbidden), shot)
    return Part(trait=trait, problem=made, leader=shot, after=after)


def _made(problem: Problem, shot: int) -> Problem:
    must = problem.must.copy()
    must[shot] = True
    return replace(problem, must=must)
