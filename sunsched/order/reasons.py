"""Why a plan is as it is: what each roll keeps, what a wait is for, why a shot was left out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sunsched.day.model import Day, Shot, Span
from sunsched.order.fit import BoolArray, DayFit
from sunsched.order.rules import made_ids
from sunsched.order.score import Score
from sunsched.sky.track import FloatArray

HALF = 0.5  # a shot keeps its light while its fit over the roll is at least this
NOTHING = 0.005  # a share of a shot's light that would print as 0%


def why_here(fit: DayFit, shot: Shot, minute: int, worth: Score) -> str:
    """Say what a roll keeps, and which part of the fit costs it the rest."""
    own = fit.shots[shot.id]
    reasons = []
    if shot.id in made_ids(fit):
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


def why_wait(fit: DayFit, shot: Shot, ready: int, minute: int) -> str:
    """Say what a shot that is built waits for, from the minute when it is ready; "" for no wait.

    Where it could roll as well at once, it waits for the sake of others: nothing is named then.
    """
    if ready >= minute:
        return ""
    if shot.pin is not None:
        return f"for {shot.id}, which is pinned"
    for needed in _hours(fit.day, shot):
        if not _within(fit, shot, needed.spans)[ready]:
            return f"for {needed.name}"
    own = fit.shots[shot.id]
    if shot.hold and not own.held[ready : ready + shot.shoot_min].all():
        return f"for the sun that {shot.id} is held for"
    at_once, then = float(own.mean[ready]), float(own.mean[minute])
    if then - at_once >= NOTHING:
        return f"for the light of {shot.id} ({at_once:.0%} at once, {then:.0%} then)"
    return ""


def why_left_out(fit: DayFit, shot: Shot) -> str:
    """Say whether a left-out shot has no light within the hours, or gave way to the others."""
    own, day, behind = fit.shots[shot.id], fit.day, fit.day.past
    if behind is not None and shot.id in behind.cut:
        return "cut"
    when = "within the hours" if behind is None else "in the rest of the day"
    begins = fit.minute_of(day.hours.first_roll if behind is None else behind.free_at)
    starts = np.arange(len(own.mean))
    last = fit.minute_of(day.hours.hard_wrap) - shot.shoot_min
    can_roll: BoolArray = (starts >= begins) & (starts <= last)
    mean = own.mean
    if shot.hold:
        mean = np.where([own.held[k : k + shot.shoot_min].all() for k in starts], mean, 0.0)
    needed = [(one.lack, _within(fit, shot, one.spans)) for one in _hours(day, shot)]
    for lack, there in needed:
        if can_roll.any() and not (can_roll & there).any():
            return f"{lack} for it {when}"
    if _best(mean, can_roll) < HALF:
        best = _best(own.mean, can_roll)
        if shot.hold and best >= HALF:
            return f"it is held for its sun, and that is never fully met {when}"
        return f"its sun is never right {when}: at best {best:.0%} of its light"
    for lack, there in needed:
        if _best(mean, can_roll & there) < HALF:
            return f"its sun is right only while {lack}"
    for _, there in needed:
        can_roll &= there
    if _best(mean, can_roll) < HALF:
        return f"its sun is right only while {' or '.join(lack for lack, _ in needed)}"
    return f"there is no room for it that costs the others less than its {shot.weight:g} of weight"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Needed:
    """Who or what a roll needs that is not always there; `lack` says in words that it is not."""

    name: str
    lack: str
    spans: tuple[Span, ...]


def _hours(day: Day, shot: Shot) -> Iterator[_Needed]:
    for member in day.cast:
        if member.name in shot.cast and member.here:
            lack = f"{member.name} is not here"
            yield _Needed(name=member.name, lack=lack, spans=member.here)
    spot = day.spot(shot.spot)
    if spot.open:
        yield _Needed(name=spot.name, lack=f"{spot.name} is not open", spans=spot.open)


def _within(fit: DayFit, shot: Shot, spans: tuple[Span, ...]) -> BoolArray:
    """Mark the minutes of the track from which a whole roll lies in one of some hours."""
    starts = np.arange(len(fit.track))
    marked = np.zeros(len(starts), dtype=np.bool_)
    for span in spans:
        ends = fit.minute_of(span.end) - shot.shoot_min
        marked |= (starts >= fit.minute_of(span.start)) & (starts <= ends)
    return marked


def _best(mean: FloatArray, can_roll: BoolArray) -> float:
    return float(mean[can_roll].max()) if can_roll.any() else 0.0
