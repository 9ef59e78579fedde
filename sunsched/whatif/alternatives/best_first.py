"""The best plan with each trait, as far as it may be one of the best few that differ.

Parts of the plans are looked at one by one, the one with the highest bound first. A part that stays
open is cut in two by the start of its leading shot. (Best-first branch and bound; each part is a
short solve that starts from what the one before it has learnt.)
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from heapq import heappop, heappush

from sunsched.errors import Undecided
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable
from sunsched.solver.answer import Answer, timetable_of
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.search.progress import Counted
from sunsched.solver.solved import Solved, short_answer
from sunsched.whatif.alternatives.posed import Part, by_the_meal, halves, parts_with
from sunsched.whatif.alternatives.traits import Trait, differing, every_trait, traits_of
from sunsched.whatif.starts import is_shut

NOTHING = -(10**15)  # points, fewer than any plan has
LOOKS = 1000  # how often the solve of a part looks at its best plan and bound before it ends
SOLVES, SOLVES_EACH = 20, 10  # at the most, and more for each plan that is asked for


@dataclass(frozen=True, slots=True, kw_only=True)
class Other:
    """A plan with its traits."""

    timetable: Timetable
    points: int
    traits: frozenset[Trait]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Open:
    """A part whose best plan is not known, with its bound and what was learnt so far."""

    part: Part
    bound: int
    near: Answer


class Others:
    """The best plans known with each trait, and what those that are not known can be worth.

    Parameters
    ----------
    solved : the day
    count : how many plans that differ are asked for
    """

    def __init__(self, solved: Solved, count: int) -> None:
        self.solved, self.count = solved, count
        self.seen = _traits(solved, solved.answer)
        self._best: dict[Trait, Other] = {}
        self._queue: list[tuple[int, int, _Open]] = []
        self._closed: dict[Trait, int] = {}  # bounds of parts that nothing more is done to
        self._number = 0
        most = whole_points(solved.problem, solved.answer.bound)
        for trait in every_trait(solved.fit.day):
            if trait not in self.seen:
                parts = parts_with(solved.problem, solved.fit.day, trait)
                self._put(parts, most, solved.answer)

    def picked(self) -> list[tuple[Trait, Other, frozenset[Trait]]]:
        """Choose the best plans, as `differing` does."""
        return list(differing(self._best, self.seen, self.count))

    def bound(self, seen: frozenset[Trait]) -> int:
        """Give what no plan is worth more than that has a trait which none seen before has."""
        left = [(one.part.trait, one.bound) for _, _, one in self._queue]
        left += [*self._closed.items(), *((one, best.points) for one, best in self._best.items())]
        return max((bound for trait, bound in left if trait not in seen), default=NOTHING)

    def look_on(
        self, is_ended: Callable[[], bool], progress: Callable[[Counted], None] | None
    ) -> None:
        """Look at parts until nothing that is left can be among the best, or enough is done."""
        most = SOLVES + SOLVES_EACH * self.count
        for done in range(most):
            floor = self._floor()
            one = None if is_ended() else self._next(floor)
            if one is None:
                break
            if progress is not None:
                progress(Counted(done=done, whole=most))
            try:
                answer = self._solve(one, floor, is_ended)
            except Undecided:
                self._split(one.part, one.bound, one.near)
            else:
                self._go_on(one, answer)
        if progress is not None:
            progress(Counted(done=most, whole=most))

    def _floor(self) -> int:
        """Give the points of the last plan that is asked for; what is worth no more is left."""
        chosen = self.picked()
        return chosen[-1][1].points if len(chosen) == self.count else NOTHING

    def _next(self, floor: int) -> _Open | None:
        """Take the part with the highest bound out of the queue; None if none can win."""
        while self._queue and self._queue[0][2].bound > floor:
            one = heappop(self._queue)[2]
            if one.bound > self._known(one.part.trait):
                return one
        return None

    def _known(self, trait: Trait) -> int:
        return self._best[trait].points if trait in self._best else NOTHING

    def _solve(self, one: _Open, floor: int, is_ended: Callable[[], bool]) -> Answer | None:
        """Look for the best plan of a part for a while; None if there is none.

        Raises
        ------
        Undecided
            When no plan is found, and it is not proven that there is none.
        """
        if is_shut(one.part.problem):
            return None
        floor = max(floor, self._known(one.part.trait)) + 1
        near = replace(self.solved, answer=one.near)
        return short_answer(near, one.part.problem, looks=LOOKS, floor=floor, is_ended=is_ended)

    def _go_on(self, one: _Open, answer: Answer | None) -> None:
        """Take what a solve has found of a part, and queue what is open of it."""
        part = one.part
        if answer is None:
            return
        bound = min(one.bound, whole_points(part.problem, answer.bound))
        other = self._other(part, answer)
        if other is None and answer.is_proven:
            return
        if other is not None:
            self._keep(other)
        if bound <= max(self._floor(), self._known(part.trait)):
            # A better plan with the traits of several others makes room for what was left.
            self._put([part], bound, answer)
        else:
            is_off = other is not None and part.trait not in other.traits
            self._split(part, bound, answer, is_off=is_off)

    def _split(self, part: Part, bound: int, near: Answer, *, is_off: bool = False) -> None:
        """Cut a part in two, or by the meal; one that cannot be cut is done with."""
        is_cut = not is_off and self._put(halves(part), bound, near)
        if not is_cut and part.is_wider:
            self._put(by_the_meal(self.solved.problem, part), bound, near)
        elif not is_cut:
            self._close(part, bound)

    def _other(self, part: Part, answer: Answer) -> Other | None:
        """Give the plan of an answer; None where another shot than the part's follows the meal."""
        points = whole_points(part.problem, answer.value)
        timetable = timetable_of(self.solved.fit, part.problem, answer)
        if score(self.solved.fit, timetable).total != points:
            return None  # it pays for that
        return Other(timetable=timetable, points=points, traits=_traits(self.solved, answer))

    def _keep(self, other: Other) -> None:
        """Keep a plan for each trait that no better one is known with."""
        for trait in other.traits - self.seen:
            if self._known(trait) < other.points:
                self._best[trait] = other

    def _put(self, parts: Iterable[Part], bound: int, near: Answer) -> bool:
        """Queue parts; says whether there are any."""
        before = self._number
        for part in parts:
            self._number += 1
            heappush(self._queue, (-bound, self._number, _Open(part=part, bound=bound, near=near)))
        return self._number > before

    def _close(self, part: Part, bound: int) -> None:
        self._closed[part.trait] = max(bound, self._closed.get(part.trait, NOTHING))


def _traits(solved: Solved, answer: Answer) -> frozenset[Trait]:
    order = [solved.problem.ids[shot] for shot in answer.sequence.tolist()]
    return traits_of(solved.fit.day, order, answer.meal if answer.meal >= 0 else None)
