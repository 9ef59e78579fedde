"""What the average day keeps of each shot, before and now, and what must begin soon."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sunsched.average.order.forecast import Policy, forecast
from sunsched.average.plan import AveragePlan
from sunsched.day.model import Shot
from sunsched.underway.at_risk import SOON

TOLD = 0.05  # of a shot's light, or of its chance: smaller differences are not told


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What is kept of a shot on the average day: its chance to be made, the share of its light."""

    made: float
    light: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """What is kept of a shot, before and now."""

    shot: Shot
    before: Kept
    now: Kept

    @property
    def points(self) -> int:
        """Give the points of its light that it has more now."""
        return round(1000 * self.shot.weight * (self.now.light - self.before.light))


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A shot whose changeover a crew that has those before it behind must begin within the hour.

    `likely` is when it begins on the likely day, None for a shot that this day does not make.
    """

    shot: Shot
    likely: datetime | None
    begin_by: datetime


def find_shifts(before: AveragePlan, now: AveragePlan) -> tuple[Shift, ...]:
    """Say what another order changes for each shot still to come, the most points first."""
    return _shifts(now, _coming(before.policy), _coming(now.policy))


def lost_shifts(followed: Policy, now: AveragePlan) -> tuple[Shift, ...]:
    """Say which shots keep less than they did in the order that was followed, the most first.

    A shot that has rolled since has what it got.
    """
    fit, made = now.policy.rest.fit, {}
    past = fit.day.past
    for one in () if past is None else past.made:
        light = float(fit.shots[one.shot_id].mean[fit.minute_of(one.roll_start)])
        made[one.shot_id] = Kept(made=1.0, light=light)
    found = _shifts(now, _coming(followed), {**_coming(now.policy), **made})
    return tuple(
        one
        for one in reversed(found)
        if one.before.light - one.now.light >= TOLD or one.before.made - one.now.made >= TOLD
    )


def due_soon(plan: AveragePlan, at: datetime) -> tuple[Due, ...]:
    """Give the shots to come that must begin within the hour, in order."""
    fit = plan.policy.rest.fit
    begins = {one.shot.id: one.changeover_start for one in plan.likely.shots}
    found = [
        Due(
            shot=one.shot,
            likely=begins.get(one.shot.id),
            begin_by=fit.time_of(one.begin_by_min),
        )
        for one in plan.chances
        if one.begin_by_min is not None
    ]
    return tuple(one for one in found if one.begin_by <= at + SOON)


def _coming(policy: Policy) -> dict[str, Kept]:
    return {one.shot.id: Kept(made=one.made, light=one.light) for one in forecast(policy)}


def _shifts(
    plan: AveragePlan, before: Mapping[str, Kept], now: Mapping[str, Kept]
) -> tuple[Shift, ...]:
    """Compare what is kept of the day's shots; one that is not in an order is not made there."""
    none = Kept(made=0.0, light=0.0)
    shifts = [
        Shift(shot=shot, before=before.get(shot.id, none), now=now.get(shot.id, none))
        for shot in plan.likely.day.shots
        if shot.id in before or shot.id in now
    ]
    return tuple(sorted(shifts, key=lambda one: -one.points))
