"""Two orders beside each other: what each shot gains and loses, and what the crew sees of both."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sunsched.average.order.forecast import Policy
from sunsched.average.solve import Kept, kept_by, policy_of
from sunsched.day.model import Shot
from sunsched.light.fit import DayFit
from sunsched.light.windows import taken_by
from sunsched.plan.crew import Crew, crew_figures
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.plan.reasons import NOTHING
from sunsched.plan.rules import Breach, breaches
from sunsched.plan.timetable import Roll, roll_end
from sunsched.saved.restore_average import policy_again
from sunsched.sky.track import FloatArray
from sunsched.whatif.compare.hints import Hint, find_hints
from sunsched.whatif.compare.likely import LikelySide, likely_side
from sunsched.whatif.orders.as_it_stands import plan_as_it_stands
from sunsched.whatif.orders.order import Order
from sunsched.whatif.orders.put_on_clock import Clocked, Desk
from sunsched.whatif.orders.sides import Side, Source, put_side

MATCH = "match"  # beside the parts of the fit: the drift from the match's common sun
COSTS = ("waiting", "after_meal", "wide_to_tight", "overtime", "moves", "rig_changes")


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One shot in both orders; None where an order does not make it.

    `points_lost` is what theirs loses against ours, negative where it wins; a shot left out counts
    with its cost. `lost_to` names the part of the fit, or "match", that takes most of the shot's
    light in theirs and not in ours, "" where it loses nothing; `part` is that part's mean over the
    roll in ours and in theirs.
    """

    shot_id: str
    ours: PlannedShot | None
    theirs: PlannedShot | None
    points_lost: int
    lost_to: str
    part: tuple[float, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two orders, each counted by the judge of its own day: our plan, or another order, and theirs.

    `first` is the source of ours, None for our own plan for planned minutes. `differences` stand in
    the order of theirs, then what only ours makes, then what neither does. `costs_lost` holds what
    theirs pays more for the whole order, by the cost's name in `Score`; with the points lost of all
    differences it adds up to `points_lost`. `our_average` and `their_average` are what both keep on
    the average day. `likely` is how both are followed there, where the comparison is of that day.
    """

    ours: Plan
    theirs: Plan
    first: Side | None
    second: Side
    our_crew: Crew
    their_crew: Crew
    differences: tuple[Difference, ...]
    costs_lost: dict[str, int]
    our_breaches: tuple[Breach, ...]
    breaches: tuple[Breach, ...]
    hints: tuple[Hint, ...]
    our_average: Kept
    their_average: Kept
    likely: tuple[LikelySide, LikelySide] | None = None

    @property
    def order(self) -> Order:
        """Their order as it was given."""
        return self.second.clocked.order

    @property
    def is_beside_ours(self) -> bool:
        """Whether the first order is our own plan."""
        return self.first is None or self.first.source.is_ours

    @property
    def points_lost(self) -> int:
        """What their order loses against ours, negative where it is worth more."""
        return self.ours.points - self.theirs.points

    def shot(self, shot_id: str) -> Shot:
        """Give a shot as theirs has it, or as ours does where only that knows it."""
        known = any(shot.id == shot_id for shot in self.theirs.day.shots)
        return (self.theirs if known else self.ours).day.shot(shot_id)


def compare(fit: DayFit, plan: Plan, order: Order) -> Comparison:
    """Put an order beside a plan of the same day.

    An order without times is timed as well as it can be, on the plan's grid. Rules that it breaks
    are named, not refused.

    Parameters
    ----------
    fit : the day's sun and light, of `fit_day`
    plan : ours
    order : theirs, of `read_order`

    Returns
    -------
    Comparison
        Both orders, counted by the same judge, shot by shot, and changes that win points back.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from pathlib import Path
    >>> folder = Path(tempfile.mkdtemp())
    >>> text = "id\\n4\\n5\\n2\\nmeal\\n3\\n1\\n"
    >>> _ = (folder / "ad.csv").write_text(text)
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> day = solved.fit.day
    >>> order = sunsched.read_order(folder / "ad.csv", folder, day).order
    >>> sunsched.compare(solved.fit, solved.plan, order).points_lost
    0
    """
    source = Source(name="theirs", day=fit.day, order=order)
    return compare_source(fit, plan, source)


def compare_source(fit: DayFit, plan: Plan, source: Source) -> Comparison:
    """Put an order from a table, or a saved plan, beside a plan."""
    second = put_side(source, plan.grid_min, known=plan)
    return _beside(fit, plan, None, second)


def compare_two(
    first: Side, second: Side, grid_min: int = 5, *, on_average: bool = False
) -> Comparison:
    """Put two orders beside each other; the first is `ours`, and nothing is solved.

    Parameters
    ----------
    first, second : orders on their clock, of `put_side`
    grid_min : minutes between two possible starts
    on_average : whether shots and crew are told by the likely day of each order

    Returns
    -------
    Comparison
        Both orders, counted by the same judge.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from pathlib import Path
    >>> folder = Path(tempfile.mkdtemp())
    >>> text = "id\\n4\\n5\\n2\\nmeal\\n3\\n1\\n"
    >>> _ = (folder / "ad.csv").write_text(text)
    >>> day = sunsched.example_day()
    >>> source = sunsched.read_source(folder / "ad.csv", folder, day)
    >>> side = sunsched.put_side(source, 5)
    >>> sunsched.compare_two(side, side).points_lost
    0
    """
    ours = their_plan(first.fit, first.clocked, grid_min)
    return _beside(first.fit, ours, first, second, on_average=on_average)


def _beside(
    fit: DayFit, ours: Plan, first: Side | None, second: Side, *, on_average: bool = False
) -> Comparison:
    theirs = their_plan(second.fit, second.clocked, ours.grid_min)
    hints: tuple[Hint, ...] = ()
    if second.fit.day.past is None:  # what is made cannot be moved
        known = ours if first is None else None
        desk = Desk(fit=second.fit, grid_min=ours.grid_min, known=known)
        hints = find_hints(desk, second.clocked)
    policies = _policy(fit, ours, first), _policy(second.fit, theirs, second)
    return Comparison(
        ours=ours,
        theirs=theirs,
        first=first,
        second=second,
        our_crew=crew_figures(ours.day, ours.timetable),
        their_crew=crew_figures(theirs.day, theirs.timetable),
        differences=tuple(differences(ours, theirs)),
        costs_lost={
            name: getattr(theirs.score, name) - getattr(ours.score, name) for name in COSTS
        },
        our_breaches=() if first is None else breaches(fit, ours.timetable),
        breaches=breaches(second.fit, theirs.timetable),
        hints=hints,
        our_average=kept_by(policies[0]),
        their_average=kept_by(policies[1]),
        likely=(likely_side(policies[0]), likely_side(policies[1])) if on_average else None,
    )


def _policy(fit: DayFit, plan: Plan, side: Side | None) -> Policy:
    """Give how an order is followed on the average day; one made for it has its own suns."""
    saved = None if side is None else side.source.average
    if saved is None:
        return policy_of(fit, plan.timetable)
    return policy_again(fit, saved)


def their_plan(fit: DayFit, clocked: Clocked, grid_min: int) -> Plan:
    """Describe an order as a plan is described, though it may break rules.

    `status` is "given" where all times are theirs, else "timed": then `bound` says that no times of
    the same order are worth more.
    """
    status = "given" if clocked.order.is_timed else "timed"
    return plan_as_it_stands(fit, clocked.timetable, grid_min, status)


def differences(ours: Plan, theirs: Plan) -> list[Difference]:
    """Compare shot by shot; theirs may make a shot once, as the reader of orders sees to."""
    fits = (ours.fit, theirs.fit)
    a = {one.shot.id: one for one in ours.shots}
    b = {one.shot.id: one for one in theirs.shots}
    listed = [shot.id for fit in fits for shot in fit.day.shots]
    found = []
    for shot_id in dict.fromkeys([*b, *a, *listed]):
        one, other = a.get(shot_id), b.get(shot_id)
        lost = _points(ours, shot_id, one) - _points(theirs, shot_id, other)
        difference = Difference(
            shot_id=shot_id, ours=one, theirs=other, points_lost=lost, lost_to="", part=None
        )
        if lost > 0 and one is not None and other is not None:
            difference = _explained(fits, difference, ours, theirs)
        found.append(difference)
    return found


def _points(plan: Plan, shot_id: str, made: PlannedShot | None) -> int:
    """Give what a shot is worth in a plan; one that its day does not list is worth nothing."""
    return -plan.score.left_out.get(shot_id, 0) if made is None else made.points


def _explained(
    fits: tuple[DayFit, DayFit], found: Difference, ours: Plan, theirs: Plan
) -> Difference:
    """Say what costs the shot most: the match, if it costs half the points or more, or a part."""
    drift = [plan.score.match.get(found.shot_id, 0) for plan in (ours, theirs)]
    if 2 * (drift[1] - drift[0]) >= found.points_lost:
        return replace(found, lost_to=MATCH)
    rolls = [
        next(roll for roll in plan.timetable.rolls if roll.shot_id == found.shot_id)
        for plan in (ours, theirs)
    ]
    worst, least = "", NOTHING
    part = None
    before, after = (fit.shots[found.shot_id] for fit in fits)
    for name, values in after.parts.items():
        # A part that only one of the days asks for is whole in the other.
        is_asked = name in before.parts
        asked = before.parts[name] if is_asked else np.ones_like(before.fit)
        means = (_mean(fits[0], asked, rolls[0]), _mean(fits[1], values, rolls[1]))
        taken = _mean(fits[1], taken_by(after, name), rolls[1], outside=1.0)
        if is_asked:
            taken -= _mean(fits[0], taken_by(before, name), rolls[0], outside=1.0)
        if means[0] > means[1] and taken > least:
            worst, least, part = name, taken, means
    return replace(found, lost_to=worst, part=part)


def _mean(fit: DayFit, values: FloatArray, roll: Roll, *, outside: float = 0.0) -> float:
    """Average values over a roll, beyond the day with what stands there in their place."""
    start = fit.minute_of(roll.roll_start)
    end = fit.minute_of(roll_end(fit.day, roll))
    inside = values[max(0, start) : max(0, end)]
    beyond = (end - start) - len(inside)
    return (float(np.sum(inside)) + outside * beyond) / (end - start)
