"""Shots of a large weight that are often not made on the average day, and what would help."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from sunsched.average.model.drift import make_drifts
from sunsched.average.model.rest import make_rest
from sunsched.average.order.forecast import Policy, forecast, make_policy
from sunsched.day.model import Day, Shot
from sunsched.light.fit import fit_checked
from sunsched.plan.score import reference_minutes

WEIGHTY = 4.0  # the weight from which on a shot is named
SURE = 0.85  # the chance below which it is
HELPED = 0.05  # what a change has to add to its chance to be told
EARLIER_MIN = LATER_MIN = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """One such shot: its chance to be made, and that with each change that helps.

    Attributes
    ----------
    earlier, later : with the call 30 minutes earlier, with the hard wrap 30 minutes later; None
        where that does not help
    without : the one shot whose leaving out helps most, and the chance; None for none
    """

    shot: Shot
    made: float
    earlier: float | None
    later: float | None
    without: tuple[Shot, float] | None


def risks(policy: Policy) -> tuple[Risk, ...]:
    """List the weighty shots that are not sure to be made, in order."""
    return tuple(
        _risk(policy, chance.shot, chance.made)
        for chance in forecast(policy)
        if chance.shot.weight >= WEIGHTY and chance.made < SURE
    )


def _risk(policy: Policy, shot: Shot, made: float) -> Risk:
    day = policy.rest.fit.day
    sooner, more = timedelta(minutes=EARLIER_MIN), timedelta(minutes=LATER_MIN)
    hours = day.hours
    earlier = None
    if day.past is None:
        call, first = hours.crew_call - sooner, hours.first_roll - sooner
        earlier = _made_on(
            policy, replace(day, hours=replace(hours, crew_call=call, first_roll=first)), shot
        )
    later = _made_on(
        policy, replace(day, hours=replace(hours, hard_wrap=hours.hard_wrap + more)), shot
    )
    cuts = [
        (other, _made_without(policy, place, shot))
        for place, other in enumerate(policy.shots)
        if other.weight < shot.weight and other.pin is None
    ]
    best = max(cuts, key=lambda one: one[1], default=None)
    return Risk(
        shot=shot,
        made=made,
        earlier=earlier if earlier is not None and earlier >= made + HELPED else None,
        later=later if later >= made + HELPED else None,
        without=best if best is not None and best[1] >= made + HELPED else None,
    )


def _made_on(policy: Policy, day: Day, shot: Shot) -> float:
    """Give the chance of a shot with the same order and references on a changed day."""
    return _chance(_again(policy, day), shot)


def _again(policy: Policy, day: Day) -> Policy:
    fit = fit_checked(day)
    rest = make_rest(fit, 1)
    drifts = make_drifts(rest)
    # References are told by the minute of the track at which they stand.
    minutes = reference_minutes(policy.rest.fit)[policy.references]
    shift = fit.minute_of(policy.rest.fit.track.start)
    there = np.abs(reference_minutes(fit)[:, None] - minutes - shift).argmin(axis=0)
    return make_policy(rest, drifts, policy.order, there)


def _made_without(policy: Policy, place: int, shot: Shot) -> float:
    order = np.delete(policy.order, place)
    return _chance(make_policy(policy.rest, policy.drifts, order, policy.references), shot)


def _chance(policy: Policy, shot: Shot) -> float:
    return next(one.made for one in forecast(policy) if one.shot.id == shot.id)
