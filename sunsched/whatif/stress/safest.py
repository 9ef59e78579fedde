"""The order that keeps the most light on bad days, beside the plans for other days.

It is searched for on a few drawn days, chosen on others, and judged on others again. The best of
many orders is partly the luckiest one (the winner's curse): on the days of its search it keeps more
than it will, on days that the search has not seen it does not.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from sunsched.average.drawn import draw_factors
from sunsched.average.ground import Ground, best_references
from sunsched.average.order.forecast import Policy
from sunsched.average.plan import AveragePlan, plan_of_policy
from sunsched.day.model import Shot
from sunsched.plan.timetable import Timetable
from sunsched.solver.solved import Solved
from sunsched.whatif.stress.bad_days import Tried, light_of, search_bad_days, worst_terms
from sunsched.whatif.stress.stress import DAYS, Stress, stress, stress_average

SEARCH_DAYS = 600
CHOICE_DAYS = 4_000
CHOSEN_FROM = 6  # orders of the search that are chosen from on the days of the choice
RARELY = 0.5  # the chance below which a shot is named
SURE = 2.0  # standard errors by which an order must keep more to be called safer


class Whose(StrEnum):
    """Whose order it is: of a plan, of whoever asks, of the search."""

    AVERAGE = "average"
    PLANNED = "planned"
    ORDER = "order"
    SAFEST = "safest"


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """An order on the days of the judgement."""

    whose: tuple[Whose, ...]
    stress: Stress

    @property
    def ids(self) -> tuple[str, ...]:
        """Its shots, in order."""
        return tuple(one.shot.id for one in self.stress.shots)

    @property
    def left_out_ids(self) -> list[str]:
        """The shots of the day that the order does not have."""
        return [shot.id for shot in self.stress.fit.day.shots if shot.id not in self.ids]

    @property
    def rarely_made(self) -> list[tuple[Shot, float]]:
        """The shots that it has and that are made on fewer than half of the days, with chances."""
        shots = self.stress.shots
        return [(one.shot, one.made_chance) for one in shots if one.made_chance < RARELY]

    @property
    def worst_mean(self) -> float:
        """Share of all light that the worst tenth of the days keeps in the mean."""
        return float(worst_terms(self.stress.light_kept).mean())


@dataclass(frozen=True, slots=True, kw_only=True)
class Safest:
    """The plan for the average day, first, and the others; each order once, on the same days.

    Attributes
    ----------
    gain, gain_error : share of all light that the safest order keeps more than the plan for the
        average day, in the mean of the worst tenth of the days; its standard error
    followed : how many orders the search has followed through drawn days
    """

    candidates: tuple[Candidate, ...]
    gain: float
    gain_error: float
    followed: int

    @property
    def average(self) -> Candidate:
        """The plan for the average day."""
        return self.candidates[0]

    @property
    def safest(self) -> Candidate:
        """The safest order; the plan for the average day where none is surely safer."""
        return next(one for one in self.candidates if Whose.SAFEST in one.whose)

    def points_lost(self, candidate: Candidate) -> float:
        """Give the points that an order is worth less than the average plan on the mean day."""
        mine, plan = (float(one.stress.points.mean()) for one in (candidate, self.average))
        return plan - mine


def safest(
    solved: Solved,
    average: AveragePlan,
    *,
    order: Stress | None = None,
    days: int = DAYS,
    seed: int = 1,
) -> Safest:
    """Look for the order that keeps the most light on the worst tenth of days.

    Within each order the crew does what is worth most points on the average day; only the order is
    searched for. All figures are from days that neither the search nor its choice has seen. The
    order found is called the safest only if it keeps more than the plan for the average day by more
    than two standard errors.

    Parameters
    ----------
    solved : the day with its plan for planned minutes
    average : its plan for the average day
    order : another order to judge and to begin at, on the same days
    days, seed : as for `stress`

    Returns
    -------
    Safest
        The plans, the other order and the safest one, on the same drawn days.

    Raises
    ------
    ValueError
        Where the other order stands on other days, or no shot of the average plan is likely made.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> found = sunsched.safest(solved, sunsched.average_plan(solved), days=1000)
    >>> found.safest.worst_mean >= found.average.worst_mean
    True
    """
    if order is not None and (order.days, order.seed) != (days, seed):
        raise ValueError("the other order is to be judged on the same days")
    judged: list[tuple[Whose, Stress]] = [
        (Whose.AVERAGE, stress_average(average, days=days, seed=seed))
    ]
    plan = solved.plan.timetable
    if plan.rolls:
        judged.append((Whose.PLANNED, stress(solved.fit, plan, days=days, seed=seed)))
    if order is not None:
        judged.append((Whose.ORDER, order))
    others = [(_ids(plan), plan)]
    if order is not None:
        others.append((tuple(one.shot.id for one in order.shots), order.timetable))
    policy, followed = _found(average.policy, others, seed)
    chosen = plan_of_policy(policy, None)
    judged.append((Whose.SAFEST, stress_average(chosen, days=days, seed=seed)))
    return _compared(judged, followed)


def _ids(timetable: Timetable) -> tuple[str, ...]:
    return tuple(roll.shot_id for roll in timetable.rolls)


def _found(
    policy: Policy, others: list[tuple[tuple[str, ...], Timetable]], seed: int
) -> tuple[Policy, int]:
    """Search, and choose on other days; give the order chosen, and how many were followed."""
    ground = Ground(policy.rest.fit)
    starts = [ground.ordered(policy.order, policy.references)]
    for ids, timetable in others:
        references = best_references(ground.fit, ground.drifts, timetable)
        starts.append(ground.ordered(ground.whole(ids), references))
    search, choice = (
        draw_factors(ground.fit.day, count, seed + later)
        for later, count in ((1, SEARCH_DAYS), (2, CHOICE_DAYS))
    )
    tried = search_bad_days(ground, starts, search)
    kept = (ground.kept(one.ordered.order, one.ordered.references) for one in _apart(tried))
    # The plan comes first, so that it is chosen where nothing keeps more.
    best = max(
        [policy, *map(ground.policy, kept)],
        key=lambda one: float(worst_terms(light_of(one, choice)).mean()),
    )
    return best, len(tried)


def _apart(tried: list[Tried]) -> list[Tried]:
    """Give the best orders, one of those that keep the same: they differ in what is never made."""
    found = {one.rank: one for one in reversed(tried)}
    return sorted(found.values(), key=lambda one: one.rank, reverse=True)[:CHOSEN_FROM]


def _compared(judged: list[tuple[Whose, Stress]], followed: int) -> Safest:
    """Put together those that are one order, and say which one is the safest."""
    merged: dict[tuple[str, ...], Candidate] = {}
    for whose, own in judged:
        one = Candidate(whose=(whose,), stress=own)
        known = merged.setdefault(one.ids, one)
        if known is not one:
            merged[one.ids] = replace(known, whose=(*known.whose, whose))
    candidates = list(merged.values())
    plan = worst_terms(candidates[0].stress.light_kept)
    gains = [worst_terms(one.stress.light_kept) - plan for one in candidates]
    errors = [float(gain.std()) / len(gain) ** 0.5 for gain in gains]
    best = max(range(len(gains)), key=lambda place: float(gains[place].mean()))
    if gains[best].mean() <= SURE * errors[best]:
        best = 0
    return Safest(
        candidates=tuple(_marked(candidates, best)),
        gain=float(gains[best].mean()),
        gain_error=errors[best],
        followed=followed,
    )


def _marked(candidates: list[Candidate], best: int) -> Iterator[Candidate]:
    """Mark the safest order; what the search has found is not shown if it is not that."""
    for place, one in enumerate(candidates):
        whose = [each for each in one.whose if each is not Whose.SAFEST]
        marks = [*whose, Whose.SAFEST] if place == best else [*whose]
        if marks:
            yield replace(one, whose=tuple(marks))
