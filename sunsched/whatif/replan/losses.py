"""What the rest of a day loses against the plan that was followed, shot by shot, and why."""

from __future__ import annotations

from dataclasses import dataclass

from sunsched.day.model import Day
from sunsched.light.fit import DayFit, fit_checked
from sunsched.plan.plan import Plan
from sunsched.plan.reasons import NOTHING
from sunsched.plan.timetable import Timetable
from sunsched.solver.instance.tables import LOST
from sunsched.whatif.compare.compare import MATCH, Difference, differences, their_plan
from sunsched.whatif.orders.order import order_of
from sunsched.whatif.orders.put_on_clock import Clocked
from sunsched.whatif.replan.choices import Choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """What one shot loses.

    `before` and `now` are the shares of its light that it keeps, None where it is not made.
    `lost_to` names the part of the fit that costs it most, "match" for the drift in its match, ""
    for a shot that is not made; `why` says the same in words.
    """

    shot_id: str
    before: float | None
    now: float | None
    points: int
    lost_to: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """What one shot gains by another being dropped: its light before and after, and its points."""

    shot_id: str
    before: float
    now: float
    points: int


def find_losses(planned_day: Day, planned: Timetable, fit: DayFit, plan: Plan) -> tuple[Loss, ...]:
    """Say what each shot loses against what was planned, the most first.

    Parameters
    ----------
    planned_day, planned : the plan that was followed, and the day that it was made for
    fit, plan : of the day as it stands now
    """
    before = fit_checked(planned_day)
    was = their_plan(before, _clocked(planned), plan.grid_min)
    now = their_plan(fit, _clocked(plan.timetable), plan.grid_min)
    weights = {shot.id: shot.weight for shot in (*planned_day.shots, *fit.day.shots)}
    losses = [
        _loss(plan, one)
        for one in differences(was, now)
        if one.points_lost > NOTHING * 1000 * weights[one.shot_id]
    ]
    return tuple(sorted(losses, key=lambda one: -one.points))


def find_gains(push: Choice, drop_one: Choice) -> tuple[Gain, ...]:
    """Say which shots of the push gain by one being dropped, the most first."""
    before = {one.shot.id: one for one in push.plan.shots}
    gains = [
        Gain(
            shot_id=one.shot.id,
            before=before[one.shot.id].fit,
            now=one.fit,
            points=one.points - before[one.shot.id].points,
        )
        for one in drop_one.plan.shots
    ]
    weights = {shot.id: shot.weight for shot in push.plan.day.shots}
    kept = [one for one in gains if one.points > NOTHING * 1000 * weights[one.shot_id]]
    return tuple(sorted(kept, key=lambda one: -one.points))


def _loss(plan: Plan, one: Difference) -> Loss:
    if one.theirs is None:
        why = next((left.why for left in plan.left_out if left.shot.id == one.shot_id), "not made")
    elif one.lost_to == MATCH:
        why = "drift from the sun of its match"
    elif one.part is None:
        why = "a little of each part"
    else:
        was, now = one.part
        why = f"{one.lost_to} {was:.0%} to {now:.0%}"
    return Loss(
        shot_id=one.shot_id,
        before=None if one.ours is None else one.ours.fit,
        now=None if one.theirs is None else one.theirs.fit,
        points=one.points_lost,
        lost_to=one.lost_to,
        why=why,
    )


def _clocked(timetable: Timetable) -> Clocked:
    """Give a timetable as it stands, as an order on its clock."""
    order = order_of(timetable)
    return Clocked(order=order, timetable=timetable, obeys=True, is_exact=False, value=LOST)
