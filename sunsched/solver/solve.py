"""From a day to its best plan: a good order first, then a bound that says how good it is."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from time import monotonic

from sunsched.day.model import Day
from sunsched.errors import DayImpossible, Undecided
from sunsched.folder.check import check_day
from sunsched.light.fit import DayFit, fit_checked
from sunsched.plan.plan import Plan, describe_plan
from sunsched.plan.score import score
from sunsched.solver.answer import Answer, carried, timetable_of
from sunsched.solver.bound.branch_and_bound import (
    FIRST_STEPS,
    NEAR_STEPS,
    first_start,
    prove,
)
from sunsched.solver.build import make_problem
from sunsched.solver.certificate.record import Certificate, Note
from sunsched.solver.conflict import collision_text, no_light_text, pins_text
from sunsched.solver.feasibility import COMPARISONS, possible_timetable
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import SCALE, make_tables, whole_points
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.budget import WORK, Effort, Patience, Stopped, until
from sunsched.solver.search.incumbent import Incumbent
from sunsched.solver.search.progress import Progress
from sunsched.solver.search.recreate import rounds_of
from sunsched.solver.timing.references import set_references
from sunsched.solver.timing.sequence import best_times
from sunsched.solver.timing.ties import settle_ties

# Independent searches: one alone misses the best order of some full days.
SEEDS: tuple[int, ...] = (1, 2)
# Of labels, before a solve: where no plan exists that is mostly told at once, and a search would
# only find out after all its time.
QUICK_COMPARISONS = 200_000
NEAR_ROUNDS = 100  # when the best order of a day like this one is known


def make_plan(
    day: Day,
    *,
    grid_min: int = 5,
    limit_s: float | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> Plan:
    """Find the plan that keeps the most light, with a bound on every other.

    Takes a second for a day of 20 shots without matches; days that are full, or whose matches pull
    apart, take up to about 20 s and end with a gap when that is not enough.

    Parameters
    ----------
    day : read, or made by hand
    grid_min : minutes between two possible starts
    limit_s : seconds after which the best plan so far is given; without it the solve stops after a
        fixed amount of work, so that every machine gives the same plan
    progress : called now and then with the best points so far and the bound

    Returns
    -------
    Plan
        The plan, judged; its `points` and `bound` are the same where it is proven.

    Raises
    ------
    DayImpossible
        When no plan obeys the day's rules, or none gives any shot any light.
    Undecided
        When there was not the time to find a plan, or to prove that there is none.

    Examples
    --------
    >>> import sunsched
    >>> plan = sunsched.make_plan(sunsched.example_day())
    >>> print(plan.status, [one.shot.id for one in plan.shots])
    proven ['4', '5', '2', '3', '1']
    """
    check_day(day, grid_min=grid_min)
    fit = fit_checked(day)
    problem, answer = solve_possible(fit, grid_min, limit_s=limit_s, progress=progress)
    return plan_of(fit, problem, answer)


def solve_possible(
    fit: DayFit,
    grid_min: int,
    *,
    limit_s: float | None = None,
    work: int | None = None,
    progress: Callable[[Progress], None] | None = None,
    with_certificate: bool = False,
) -> tuple[Problem, Answer]:
    """Pose and solve the problem of a day that must have a plan.

    Where no plan has all its starts on the grid, starts may stand on any minute.

    Raises
    ------
    DayImpossible
        When no plan obeys the day's rules, whatever the minutes of its starts, or none gives any
        shot any light; the text says why.
    Undecided
        When there was not the time to find a plan, or to prove that there is none.
    """
    if text := pins_text(fit.day):
        raise DayImpossible(text)
    goes_on, began = until(limit_s), monotonic()

    def ask(problem: Problem) -> Answer | None:
        return solve(
            problem,
            limit_s=None if limit_s is None else max(0.0, limit_s - (monotonic() - began)),
            work=work,
            progress=progress,
            with_certificate=with_certificate,
        )

    has_plan = _has_plan(fit, Patience(left=QUICK_COMPARISONS, goes_on=goes_on))
    problem, answer = make_problem(fit, grid_min), None
    if has_plan is not False:
        answer = ask(problem)
    if answer is None and grid_min > 1 and has_plan is None:
        patience = Patience(left=COMPARISONS, goes_on=goes_on)
        has_plan = possible_timetable(fit, patience) is not None
    if answer is None and grid_min > 1 and has_plan:
        problem = make_problem(fit, 1)
        answer = ask(problem)
    if answer is None:
        raise DayImpossible(collision_text(fit.day, goes_on))
    if problem.dark:
        raise DayImpossible(no_light_text(fit))
    return problem, answer


def _has_plan(fit: DayFit, patience: Patience) -> bool | None:
    """Say whether a day has any plan; None where that takes more than there is patience for."""
    with suppress(Undecided):
        return possible_timetable(fit, patience) is not None
    return None


def plan_of(fit: DayFit, problem: Problem, answer: Answer) -> Plan:
    """Put an answer on the clock, judge it and describe it.

    The plan's points are the judge's, whatever costs a changed problem has on top; its bound is as
    far above them as the answer's is above its value.
    """
    timetable = timetable_of(fit, problem, answer)
    gap = whole_points(problem, answer.bound) - whole_points(problem, answer.value)
    return describe_plan(fit, timetable, score(fit, timetable).total + gap, problem.grid_min)


def solve(
    problem: Problem,
    *,
    near: Answer | None = None,
    limit_s: float | None = None,
    work: int | None = None,
    most_work: int = WORK,
    progress: Callable[[Progress], None] | None = None,
    with_certificate: bool = False,
) -> Answer | None:
    """Solve a problem; None when it is proven that what must be made cannot be made.

    Whoever asks for an end (`machine.halt`), and Ctrl-C where it is an exception, ends the solve
    early, as a limit does: with the best plan so far and its bound.

    Parameters
    ----------
    near : the answer to a problem like this one, whose order, prices and memory are where this
        solve starts: it then costs a fraction of the first one. Shots are told by their ids.
    limit_s : seconds; None for a fixed amount of work
    work : steps after which a plan that was found is enough; None: as many as the limit leaves
    most_work : steps after which the solve ends with what it has
    progress : called now and then with the best points so far and the bound
    with_certificate : whether the answer, if it is proven, brings the certificate of the proof

    Raises
    ------
    Undecided
        When the solve ends without a plan and without the proof that there is none.
    """
    if problem.shots == 0:
        return None
    tables = make_tables(problem)
    best = Incumbent(tables, problem)
    start = first_start(best) if near is None else carried(problem, best, near)

    work = WORK if work is None and limit_s is None else work

    def look() -> None:
        if best.is_plan and work is not None and effort.spent > work:
            raise Stopped
        if progress is not None and best.is_plan:
            value, bound = best.found.value - best.must_worth, best.bound - best.must_worth
            progress(
                Progress(points=whole_points(problem, value), bound=whole_points(problem, bound))
            )

    effort = Effort(limit_s, look, work=most_work)
    roots: list[Note] | None = [] if with_certificate else None
    with suppress(Stopped, KeyboardInterrupt):
        seeds, rounds, known = (SEEDS, rounds_of(problem.shots), best.nothing)
        if near is not None:
            seeds, rounds, known = (SEEDS[:1], NEAR_ROUNDS, best.found)
        with best.searching(rounds, seeds, known, effort):
            look()
        if near is None:
            start = prove(best, start, effort, FIRST_STEPS, roots=roots)
        else:
            start = prove(best, start, effort, NEAR_STEPS, fresh_turns=0, roots=roots)
    found = best.found
    if not best.is_plan:
        if best.bound > best.value:
            if is_end_asked():
                raise Undecided("ended before a plan was found")
            raise Undecided("no plan was found, and it is not proven that none exists")
        return None
    matched = tables._replace(gain=tables.gain.copy())
    set_references(matched.gain, tables.gain, problem.drift, problem.match, found.references)
    sequence = found.sequence.copy()
    settle_ties(matched, sequence, found.value)
    _, starts, meal = best_times(matched, sequence, len(sequence))
    points = whole_points(problem, found.value - best.must_worth)
    certificate = None
    if roots and best.bound <= found.value:
        certificate = Certificate(scale=SCALE, points=points, bound=points, root=roots[0])
    return Answer(
        certificate=certificate,
        ids=problem.ids,
        sequence=sequence,
        starts=starts,
        meal=int(meal),
        value=found.value - best.must_worth,
        bound=max(best.bound, found.value) - best.must_worth,
        references=found.references,
        start=start,
    )


def is_compiled() -> bool:
    """Say whether compiled functions are kept from an earlier run, so that a solve starts fast."""
    from sunsched.solver.machine.early import are_compiled

    return are_compiled(["sunsched.solver.needed"])
