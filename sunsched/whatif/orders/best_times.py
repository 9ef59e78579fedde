"""The best times for a given order, exactly: every wait, the meal, and each match's common sun.

With the suns of its matches fixed, an order is timed by a row of values over the slots. The best
suns are found by halving: with a match's sun anywhere in a stretch of them, each of its shots is
charged the least that any sun of the stretch would, so no sun in it gives a better value. Stretches
that cannot beat the best times known are given up, the others halved.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field, replace
from itertools import count

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import LOST, NEVER, SCALE, Tables, make_tables
from sunsched.solver.timing.sequence import best_times

Stretch = tuple[int, int]
"""Reference suns of a match, from the first to before the second."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What orders are timed on: a problem, its tables, and the least drift found by stretch.

    `members` are the shots of each match, by index. `breach_cost` is what an order pays, in points,
    for each pair that a rule wants the other way round; such orders are timed all the same.
    """

    problem: Problem
    tables: Tables
    breach_cost: int
    members: tuple[IntArray, ...]
    least: dict[tuple[int, Stretch], IntArray] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """The best times of a sequence of shots, all by their index in the problem.

    `starts` are slots, `meal` is the place of the shot that the meal precedes, −1 for none, and
    `value` is in scaled points.
    """

    sequence: IntArray
    starts: IntArray
    meal: int
    value: int


@dataclass(slots=True, kw_only=True)
class Looks:
    """How many more timings may be tried."""

    left: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One sequence on its ground, with the meal kept to its place if it has one.

    `groups` are the places in the sequence of each match that has two shots or more there; `pairs`
    the scaled cost of the sequence's pairs, whatever its times.
    """

    ground: Ground
    tables: Tables
    sequence: IntArray
    groups: dict[int, IntArray]
    pairs: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """Times with each match's sun in a stretch: nothing there is worth more than `bound`.

    `times` are worth their own value whatever the stretches; `slack` says by match how far the
    charge was from what one sun of the stretch costs.
    """

    bound: int
    stretches: dict[int, Stretch]
    slack: dict[int, int]
    times: Times


def breach_points(problem: Problem) -> int:
    """Give the points of a rule broken: more than any two plans of a problem can differ by."""
    return 2 * problem.span + 1


def make_ground(problem: Problem, breach_cost: int) -> Ground:
    """Make ready to time orders of a problem."""
    matches = range(int(problem.match.max()) + 1)
    return Ground(
        problem=problem,
        # Its shots are given, so none needs more worth for having to be made.
        tables=make_tables(replace(problem, must=np.zeros_like(problem.must))),
        breach_cost=breach_cost,
        members=tuple(np.flatnonzero(problem.match == match) for match in matches),
    )


def make_case(ground: Ground, sequence: IntArray, meal_after: int | None) -> Case:
    """Make ready to time one sequence.

    Parameters
    ----------
    sequence : indices of the problem's shots, at least one
    meal_after : the number of shots before the meal; None leaves the meal free
    """
    problem = ground.problem
    matches = problem.match[sequence]
    groups = {int(g): np.flatnonzero(matches == g) for g in np.unique(matches[matches >= 0])}
    first, second = np.triu_indices(len(sequence), 1)
    pair = (sequence[first], sequence[second])
    costs = problem.pair_cost[pair] + ground.breach_cost * problem.forbidden_pair[pair]
    before = np.concatenate(([problem.shots], sequence[:-1]))
    gain = np.full_like(ground.tables.gain[:1], NEVER)
    gain[0, sequence] = ground.tables.gain[ground.tables.kind[before, sequence], sequence]
    one_kind = np.zeros_like(ground.tables.kind)  # each shot is built in one way in one sequence
    tables = ground.tables._replace(gain=gain, kind=one_kind)
    return Case(
        ground=ground,
        tables=tables if meal_after is None else _meal_kept(tables, sequence, meal_after),
        sequence=sequence,
        groups={group: places for group, places in groups.items() if len(places) > 1},
        pairs=int(costs.sum()) * SCALE,
    )


def first_look(case: Case) -> tuple[int, int]:
    """Give a scaled value that no times of a case exceed, and one that some times have.

    Both are below LOST when the case cannot be timed.
    """
    look = _look(case, _anywhere(case))
    return (LOST - 1, LOST - 1) if look is None else (look.bound, look.times.value)


def best_timing(
    case: Case,
    known: Times | None = None,
    more_than: int = LOST,
    looks: Looks | None = None,
) -> Times | None:
    """Find the best times of a case; None when none are worth more than `more_than`, scaled.

    Parameters
    ----------
    known : times that are kept where no others are worth more
    looks : how many timings may be tried, fewer by those tried afterwards; the best times so far
        are given when they run out. None for as many as the best times take.
    """
    best = known
    to_beat = more_than if known is None else max(more_than, known.value)
    ticket = count()
    queue: list[tuple[int, int, _Look]] = []
    tried = [_look(case, _anywhere(case))]
    while True:
        for look in tried:
            if look is None:
                continue
            if look.times.value > to_beat:
                best, to_beat = look.times, look.times.value
            if look.bound > to_beat:
                heapq.heappush(queue, (-look.bound, next(ticket), look))
        if looks is not None:
            looks.left -= len(tried)
        if not queue or -queue[0][0] <= to_beat or (looks is not None and looks.left <= 0):
            return best
        split = heapq.heappop(queue)[2]
        group, cut = _cut(case, split)
        low, high = split.stretches[group]
        tried = [_look(case, split.stretches | {group: part}) for part in ((low, cut), (cut, high))]


def value_of(case: Case, starts: IntArray, meal: int) -> int:
    """Give the scaled value of times that a case allows, counted from its tables alone."""
    tables, sequence = case.tables, case.sequence.tolist()
    value = -case.pairs - int(tables.end_cost[sequence[-1], starts[-1]])
    before = tables.gain.shape[1]
    for place, (shot, slot) in enumerate(zip(sequence, starts.tolist(), strict=True)):
        value += int(tables.gain[tables.kind[before, shot], shot, slot])
        value -= int(tables.arc_cost[before, shot])
        value -= int(tables.after_meal_cost[shot]) if place == meal else 0
        before = shot
    drift = case.ground.problem.drift
    for places in case.groups.values():
        costs = drift[case.sequence[places], starts[places]].sum(axis=0, dtype=np.int64)
        value -= int(costs.min()) * SCALE
    return value


def _anywhere(case: Case) -> dict[int, Stretch]:
    suns = case.ground.problem.drift.shape[2]
    return dict.fromkeys(case.groups, (0, suns))


def _look(case: Case, stretches: dict[int, Stretch]) -> _Look | None:
    """Time a case with each match's sun in a stretch; None when it cannot be timed."""
    drift = case.ground.problem.drift
    gain = case.tables.gain.copy()
    for group, stretch in stretches.items():
        gain[0, case.ground.members[group]] -= _least_drift(case.ground, group, stretch)
    tables = case.tables._replace(gain=gain)
    value, starts, meal = best_times(tables, case.sequence, len(case.sequence))
    if value < LOST:
        return None
    bound = int(value) - case.pairs
    own = bound
    slack: dict[int, int] = {}
    for group, places in case.groups.items():
        low, high = stretches[group]
        each = drift[case.sequence[places], starts[places]]
        costs = each.sum(axis=0)
        charged = int(each[:, low:high].min(axis=1).sum())
        own += (charged - int(costs.min())) * SCALE
        slack[group] = (int(costs[low:high].min()) - charged) * SCALE
    times = Times(sequence=case.sequence, starts=starts, meal=int(meal), value=own)
    # With no slack left, one sun for each match costs just what was charged: these are the best.
    return _Look(bound=bound, stretches=stretches, slack=slack, times=times)


def _cut(case: Case, look: _Look) -> tuple[int, int]:
    """Choose the match and the cut of its stretch that charge the times of a look most.

    What counts is the half that is charged less: there the times may stay as good as they are.
    """
    chosen = (-1, -1, -1)
    for group, places in case.groups.items():
        low, high = look.stretches[group]
        if high - low < 2:
            continue
        shots, slots = case.sequence[places], look.times.starts[places]
        costs = case.ground.problem.drift[shots, slots, low:high]
        left = np.minimum.accumulate(costs, axis=1).sum(axis=0)[:-1]
        right = np.minimum.accumulate(costs[:, ::-1], axis=1).sum(axis=0)[-2::-1]
        least = np.minimum(left, right) - int(costs.min(axis=1).sum())
        best = np.flatnonzero(least == least.max())
        chosen = max(chosen, (int(least.max()), group, low + 1 + int(best[len(best) // 2])))
    return chosen[1], chosen[2]


def _least_drift(ground: Ground, group: int, stretch: Stretch) -> IntArray:
    """Give what each shot of a match is charged in each slot, scaled: (shots, T)."""
    found = ground.least.get((group, stretch))
    if found is None:
        drift = ground.problem.drift[ground.members[group]]
        found = drift[:, :, slice(*stretch)].min(axis=2).astype(np.int64) * SCALE
        ground.least[group, stretch] = found
    return found


def _meal_kept(tables: Tables, sequence: IntArray, meal_after: int) -> Tables:
    """Let the meal stand in one place of a sequence alone; after its last shot it needs no slot."""
    lag_fed = np.full_like(tables.lag_fed, tables.gain.shape[2])  # past the last slot
    if meal_after == len(sequence):
        return tables._replace(lag_fed=lag_fed)
    before = sequence[meal_after - 1] if meal_after else tables.gain.shape[1]
    arc = (before, sequence[meal_after])
    lag_fed[arc] = tables.lag_fed[arc]
    must_eat = np.zeros_like(tables.can_skip_meal)
    return tables._replace(lag_fed=lag_fed, can_skip_meal=must_eat)
