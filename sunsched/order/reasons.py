"""Why a plan is as it is: what each roll keeps, what a wait is for, why a shot was left out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sunsched.day.model import Day, Shot
from sunsched.day.past import made_ids
from sunsched.order.fit import BoolArray, DayFit, held_throughout, within
from sunsched.order.score import Score
from sunsched.sky.track import FloatArray

HALF = 0.5  # a shot keeps its light while its fit over the roll is at least this
NOTHING = 0.005  # a share of a shot's light that would print as 0%


def why_here(fit: DayFit, shot: Shot, minute: int, worth: Score) -> str:
    """Say what a roll keeps, and which part of the fit costs it the rest."""
    own = fit.shots[shot.id]
    reasons = []
    if shot.id in made_ids(fit.day.past):
        reasons.append("made")
    else:
        if shot.pin is not None:
            reasons.append("pinned")
        if shot.hold:
            reasons.append("held for its sun")
    if shot.wish.asks_nothing:
        reasons.append("asks nothing of the sun, leaves the good light to others")
    lost = {
        name: 1.0 - float(part[minute : minute + shot.shoot_min].mean())
        for name, part in own.parts.items()
        if name != "spare"
    }
    worst = max(lost, key=lambda name: lost[name], default=None)
    if worst is not None and lost[worst] >= NOTHING:
        reasons.append(f"{worst} costs it {lost[worst]:.0%}")
    elif not shot.wish.asks_nothing:
        reasons.append("its sun is fully met")
    drift = worth.match.get(shot.id, 0)
    if drift:
        reasons.append(f"{drift} points from the sun of its match")
    return "; ".join(reasons)


def why_wait(fit: DayFit, shot: Shot, ready: int, minute: int, grid_min: int) -> str:
    """Say what a shot that is built waits for; "" where it is for the sake of other shots.

    Named is what lasts until the roll: who is not here, or the sun of a hold, one start of the grid
    earlier; the light, where the roll has the best that there is from then on.

    Parameters
    ----------
    ready, minute : minutes of the track when the shot is built, and when it rolls
    """
    ready = max(ready, _begins(fit, shot))
    if ready >= minute:
        return ""
    if shot.pin is not None:
        return f"for {shot.id}, which is pinned"
    own = fit.shots[shot.id]
    before = max(ready, minute - grid_min)
    can_roll = np.ones(len(fit.track), dtype=np.bool_)
    for needed in _hours(fit, shot):
        if not needed.there[before]:
            return f"for {needed.name}"
        can_roll &= needed.there
    if shot.hold:
        held = held_throughout(fit, shot, np.arange(len(fit.track)))
        if not held[before]:
            return f"for the sun that {shot.id} is held for"
        can_roll &= held
    first = ready + int(can_roll[ready:].argmax())
    then, at_first = float(own.mean[minute]), float(own.mean[first])
    best = _best(own.mean[first:minute], can_roll[first:minute])
    if best - then >= NOTHING or f"{at_first:.0%}" == f"{then:.0%}":
        return ""
    when = "at once" if first == ready else "at first"
    return f"for the light of {shot.id} ({at_first:.0%} {when}, {then:.0%} then)"


def why_left_out(fit: DayFit, shot: Shot, *, is_proven: bool) -> str:
    """Say why a shot is not made: its hours, its hold or its sun, or that others are worth more.

    Parameters
    ----------
    is_proven : whether no order is worth more than the one without it
    """
    own, day, behind = fit.shots[shot.id], fit.day, fit.day.past
    if behind is not None and shot.id in behind.cut:
        return "cut"
    when = "within the hours" if behind is None else "in the rest of the day"
    starts = np.arange(len(own.mean))
    last = fit.minute_of(day.hours.hard_wrap) - shot.shoot_min
    can_roll: BoolArray = (starts >= _begins(fit, shot)) & (starts <= last)
    if not can_roll.any():
        return f"there is no time for it {when}"
    needed = list(_hours(fit, shot))
    for one in needed:
        if not (can_roll & one.there).any():
            return f"{one.lack} for it {when}"
    if shot.hold:
        can_roll &= held_throughout(fit, shot, starts)
        if not can_roll.any():
            return f"it is held for its sun, and that is never fully met {when}"
    best = _best(own.mean, can_roll)
    if best < HALF:
        held = " while it may be held" if shot.hold else ""
        return f"its sun is never right {when}: at best {best:.0%} of its light{held}"
    for one in needed:
        if _best(own.mean, can_roll & one.there) < HALF:
            return f"its sun is right only while {one.lack}"
    for one in needed:
        can_roll &= one.there
    if _best(own.mean, can_roll) < HALF:
        return f"its sun is right only while {' or '.join(one.lack for one in needed)}"
    if is_proven:
        return f"making it would cost the day more than its {shot.weight:g} of weight is worth"
    return f"this order has no place for it that is worth its {shot.weight:g} of weight"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Needed:
    """Who or what a roll needs that is not always there.

    `lack` says in words that it is not, `there` marks the minutes from which a roll can start.
    """

    name: str
    lack: str
    there: BoolArray


def _hours(fit: DayFit, shot: Shot) -> Iterator[_Needed]:
    starts = np.arange(len(fit.track))
    ends = starts + shot.shoot_min
    for member in fit.day.cast:
        if member.name in shot.cast and member.here:
            there = within(fit, member.here, starts, ends)
            yield _Needed(name=member.name, lack=f"{member.name} is not here", there=there)
    spot = fit.day.spot(shot.spot)
    if spot.open:
        there = within(fit, spot.open, starts - _least_build(fit.day, shot), ends)
        yield _Needed(name=spot.name, lack=f"{spot.name} is not open", there=there)


def _begins(fit: DayFit, shot: Shot) -> int:
    """Give the first minute at which a shot can roll whatever is made before it."""
    day, past = fit.day, fit.day.past
    begun, first = day.hours.crew_call, day.hours.first_roll
    if past is not None:
        begun, first = past.free_at, max(first, past.free_at)
        if shot.id == past.building and past.built_since is not None:
            begun = past.built_since
    return max(fit.minute_of(first), fit.minute_of(begun) + _least_build(day, shot))


def _least_build(day: Day, shot: Shot) -> int:
    """Give the fewest minutes that a shot's build may take, whatever is made before it."""
    others = (one for one in day.shots if one.id != shot.id)
    like = any(one.spot == shot.spot and one.rig == shot.rig for one in others)
    return min(shot.setup_min, shot.adjust_min) if like else shot.setup_min


def _best(mean: FloatArray, can_roll: BoolArray) -> float:
    return float(mean[can_roll].max()) if can_roll.any() else 0.0
