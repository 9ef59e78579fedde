"""Shots of a large weight that are often not made on the average day, and what would help."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from sunsched.average.model.drift import make_drifts
from sunsched.average.model.rest import make_rest
from sunsched.average.order.forecast import Chance, Policy, chance_made, forecast, make_policy
from sunsched.day.model import Day, Shot
from sunsched.light.fit import fit_checked
from sunsched.plan.outlook import SURE
from sunsched.plan.score import reference_minutes

WEIGHTY = 4.0  # the weight from which on a shot is named
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
    found = [
        chance
        for chance in forecast(policy)
        if chance.shot.weight >= WEIGHTY and chance.made < SURE
    ]
    if not found:
        return ()
    earlier, later = _earlier(policy), _later(policy)
    heaviest = max(chance.shot.weight for chance in found)
    cuts = [
        (other, _without(policy, place))
        for place, other in enumerate(policy.shots)
        if other.weight < heaviest and other.pin is None
    ]
    return tuple(_risk(chance, earlier, later, cuts) for chance in found)


def _risk(
    chance: Chance, earlier: Policy | None, later: Policy, cuts: list[tuple[Shot, Policy]]
) -> Risk:
    shot, helped = chance.shot, chance.made + HELPED
    with_earlier = 0.0 if earlier is None else chance_made(earlier, shot)
    with_later = chance_made(later, shot)
    best = max(
        ((one, chance_made(cut, shot)) for one, cut in cuts if one.weight < shot.weight),
        key=lambda one: one[1],
        default=None,
    )
    return Risk(
        shot=shot,
        made=chance.made,
        earlier=with_earlier if with_earlier >= helped else None,
        later=with_later if with_later >= helped else None,
        without=best if best is not None and best[1] >= helped else None,
    )


def _earlier(policy: Policy) -> Policy | None:
    """Follow the order on the day with its call earlier; None for a day that has begun."""
    day, sooner = policy.rest.fit.day, timedelta(minutes=EARLIER_MIN)
    if day.past is not None:
        return None
    hours = day.hours
    call, first = hours.crew_call - sooner, hours.first_roll - sooner
    return _again(policy, replace(day, hours=replace(hours, crew_call=call, first_roll=first)))


def _later(policy: Policy) -> Policy:
    """Follow the order on the day with its hard wrap later."""
    day = policy.rest.fit.day
    wrap = day.hours.hard_wrap + timedelta(minutes=LATER_MIN)
    return _again(policy, replace(day, hours=replace(day.hours, hard_wrap=wrap)))


def _again(policy: Policy, day: Day) -> Policy:
    """Follow the same order with the same references on a changed day."""
    fit = fit_checked(day)
    rest = make_rest(fit, 1)
    drifts = make_drifts(rest)
    # References are told by the minute of the track at which they stand.
    minutes = reference_minutes(policy.rest.fit)[policy.references]
    shift = fit.minute_of(policy.rest.fit.track.start)
    there = np.abs(reference_minutes(fit)[:, None] - minutes - shift).argmin(axis=0)
    return make_policy(rest, drifts, policy.order, there)


def _without(policy: Policy, place: int) -> Policy:
    """Follow the order without the shot in one place."""
    order = np.delete(policy.order, place)
    return make_policy(policy.rest, policy.drifts, order, policy.references, policy.odds)
