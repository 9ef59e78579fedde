"""The best plans that differ in substance from the best one, and from one another.

Two plans differ when another set of shots is made, when two shots change places that are not as
good as the same, or when the meal stands between other shots. After each plan found, all others
are parted into those that turn round a pair of its neighbours, leave a shot out, take one in, or
move the meal; the best of each part is found, and the best of all is next. (Parting the rest round
each solution: Lawler, Management Science 18(7), 1972.)
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from heapq import heappop, heappush, nlargest
from itertools import groupby, pairwise, product

import numpy as np

from sunsched.day.model import Day
from sunsched.errors import Undecided
from sunsched.plan.plan import Plan, describe_plan
from sunsched.plan.score import score
from sunsched.solver.answer import Answer, timetable_of
from sunsched.solver.instance.problem import FORBIDDEN, Problem
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Counted
from sunsched.solver.solved import Solved, short_answer
from sunsched.whatif.starts import is_shut

LOOKS = 600  # how often the solve of a part looks at its best plan and bound before it ends
BARRED = 10**6  # points for what a part leaves out, more than any day has
MEAL = -1  # stands for the meal in a form; kinds of shots count from 0

Form = tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """Another plan, what it loses against the best one, and in what it differs.

    `is_proven` says that no plan worth more differs in substance from all before it.
    """

    plan: Plan
    points_lost: int
    light_lost: float
    differs: tuple[str, ...]
    is_proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """Plans that obey a problem, with the best of them; none is worth more than `bound`."""

    problem: Problem
    answer: Answer
    points: int
    bound: int
    form: Form


def alternatives(
    solved: Solved,
    count: int,
    *,
    progress: Callable[[Counted], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> tuple[Alternative, ...]:
    """Find the best plans after the best one that differ in substance, the best first.

    Parameters
    ----------
    solved : the day with its plan, of `solve_day`
    count : how many; fewer are given where the day has no more
    progress : called with the plans found and `count`
    is_ended : asked all along; when it says so, those found by then are given

    Returns
    -------
    tuple[Alternative, ...]
        The best first, each with what it loses in points and in words what differs.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> found = sunsched.alternatives(solved, 2)
    >>> len(found), all(one.points_lost >= 0 for one in found)
    (2, True)
    """
    kinds = _kinds(solved.fit.day)
    first = _Part(
        problem=solved.problem,
        answer=solved.answer,
        points=solved.points,
        bound=whole_points(solved.problem, solved.answer.bound),
        form=_form(kinds, solved.answer),
    )
    queue = [(-first.points, 0, first)]
    known: dict[Form, int] = {}  # the best points seen of each form
    seen: set[Form] = set()
    found: list[Alternative] = []
    number, is_complete = 0, True
    while queue and len(found) < count and not is_ended():
        _, _, part = heappop(queue)
        if part.form not in seen:
            seen.add(part.form)
            if part is not first:
                bounds = [part.bound, *(other.bound for _, _, other in queue)]
                is_proven = is_complete and max(bounds) <= part.points
                found.append(_alternative(solved, part, is_proven=is_proven))
            if progress is not None:
                progress(Counted(done=len(found), whole=count))
            if len(found) == count:
                break
        for problem in _parts(kinds, part):
            if is_shut(problem) or is_ended():
                continue
            # Below this many points a plan is not among those asked for.
            best = nlargest(count + 1, known.values())
            floor = best[-1] if len(best) > count else None
            try:
                answer = short_answer(solved, problem, looks=LOOKS, floor=floor, is_ended=is_ended)
            except Undecided:
                is_complete = False
                continue
            if answer is None:
                continue
            points = whole_points(problem, answer.value)
            bound = whole_points(problem, answer.bound)
            if floor is not None and bound < floor:
                continue
            if score(solved.fit, timetable_of(solved.fit, problem, answer)).total != points:
                continue  # it breaks what bars the meal, as everything in its part does
            form = _form(kinds, answer)
            number += 1
            child = _Part(problem=problem, answer=answer, points=points, bound=bound, form=form)
            known[form] = max(points, known.get(form, points))
            heappush(queue, (-points, number, child))
    return tuple(found)


def _kinds(day: Day) -> list[int]:
    """Number the shots, those alike in build that ask nothing of the sun with one number."""
    kinds: list[int] = []
    first: dict[tuple[str, str], int] = {}
    for number, shot in enumerate(day.shots):
        is_free = shot.wish.asks_nothing and shot.pin is None and not shot.match
        kinds.append(first.setdefault((shot.spot, shot.rig), number) if is_free else number)
    return kinds


def _form(kinds: list[int], answer: Answer) -> Form:
    """Give what makes a plan another one: its kinds of shots in order, and the meal among them."""
    form = [kinds[shot] for shot in answer.sequence.tolist()]
    if answer.meal >= 0:
        form.insert(answer.meal, MEAL)
    return tuple(form)


def _parts(kinds: list[int], part: _Part) -> Iterator[Problem]:
    """Part all plans but those of the same form into problems that share none."""
    rest, order = part.problem, part.answer.sequence.tolist()
    runs = [list(run) for _, run in groupby(order, key=lambda shot: kinds[shot])]
    for before, after in pairwise(runs):
        for a, b in product(before, after):
            if not rest.forbidden_pair[b, a]:
                yield _made(_parted(rest, a, b), a, b)
                rest = _parted(rest, b, a)
    for shot in order:
        if not rest.must[shot]:
            yield _without(rest, shot)
            rest = _made(rest, shot)
    for shot in range(rest.shots):
        if shot not in order and (rest.gain[:, shot] > FORBIDDEN).any():
            yield _made(rest, shot)
            rest = _without(rest, shot)
    if 0 <= part.answer.meal < len(order):
        toll = rest.after_meal_cost.copy()
        toll[order[part.answer.meal]] += BARRED
        yield replace(rest, after_meal_cost=toll)


def _parted(problem: Problem, before: int, after: int) -> Problem:
    """Forbid one shot to come before another."""
    forbidden = problem.forbidden_pair.copy()
    forbidden[before, after] = True
    return replace(problem, forbidden_pair=forbidden)


def _made(problem: Problem, *shots: int) -> Problem:
    must = problem.must.copy()
    must[list(shots)] = True
    return replace(problem, must=must)


def _without(problem: Problem, shot: int) -> Problem:
    gain = problem.gain.copy()
    gain[:, shot] = FORBIDDEN
    return replace(problem, gain=gain)


def _alternative(solved: Solved, part: _Part, *, is_proven: bool) -> Alternative:
    timetable = timetable_of(solved.fit, part.problem, part.answer)
    plan = describe_plan(solved.fit, timetable, solved.plan.bound, solved.problem.grid_min)
    return Alternative(
        plan=plan,
        points_lost=solved.plan.points - plan.points,
        light_lost=solved.plan.light_kept - plan.light_kept,
        differs=tuple(_differences(solved.plan, plan)),
        is_proven=is_proven,
    )


def _differences(plan: Plan, other: Plan) -> Iterator[str]:
    """Say in words in what another plan differs: what is made, what moves where, and the meal."""
    old = [planned.shot.id for planned in plan.shots]
    new = [planned.shot.id for planned in other.shots]
    for shot in old:
        if shot not in new:
            yield f"{shot} is left out"
    for shot in new:
        if shot not in old:
            yield f"{shot} is made"
    kept = _longest_common(old, new)
    moved = [shot for shot in new if shot in old and shot not in kept]
    for shot in moved:
        place = new.index(shot)
        where = f"after {new[place - 1]}" if place else "first"
        yield f"{shot} comes {where}"
    was, now = _before_meal(plan), _before_meal(other)
    if was != now:
        yield "no meal" if now is None else f"the meal comes {f'after {now}' if now else 'first'}"


def _before_meal(plan: Plan) -> str | None:
    """Give the last shot before the meal, empty for none, None where there is no meal."""
    if plan.meal is None:
        return None
    earlier = [one.shot.id for one in plan.shots if one.roll_start < plan.meal.start]
    return earlier[-1] if earlier else ""


def _longest_common(old: list[str], new: list[str]) -> set[str]:
    """Give the most shots that stand in one order in both lists."""
    length = np.zeros((len(old) + 1, len(new) + 1), dtype=np.int64)
    for i in range(len(old) - 1, -1, -1):
        for j in range(len(new) - 1, -1, -1):
            both = length[i + 1, j + 1] + 1 if old[i] == new[j] else 0
            length[i, j] = max(both, length[i + 1, j], length[i, j + 1])
    kept: set[str] = set()
    i = j = 0
    while i < len(old) and j < len(new):
        if old[i] == new[j]:
            kept.add(old[i])
            i, j = i + 1, j + 1
        elif length[i + 1, j] >= length[i, j + 1]:
            i += 1
        else:
            j += 1
    return kept
