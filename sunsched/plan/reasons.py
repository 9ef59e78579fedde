"""Why a plan is as it is: what each roll keeps, what a wait is for, why a shot was left out."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sunsched.day.clock import clock
from sunsched.day.model import Shot
from sunsched.day.past import made_ids
from sunsched.day.wish import SunSide
from sunsched.light.angles import degrees, past_arc_deg, side_arcs
from sunsched.light.fit import (
    HALF,
    SUNLIT_SHADE,
    BoolArray,
    DayFit,
    ShotFit,
)
from sunsched.light.stretches import runs
from sunsched.plan.availability import begins, can_roll_at, needs
from sunsched.plan.excess import runs_past
from sunsched.plan.score import Score
from sunsched.plan.timetable import Timetable
from sunsched.sky.track import FloatArray, sun_from_lens_deg

LITTLE = 0.02  # a share of a shot's light that is too small for a crew to wait for
NOTHING = 0.005  # a share of a shot's light that would print as 0%
CUT_BY_DECISION = "cut by decision"
SMALL = 0.25  # share of what flat light costs: where the sun costs less, it is not told


def why_here(fit: DayFit, shot: Shot, minute: int, worth: Score) -> str:
    """Say what a roll keeps, and what takes the rest, as people say it."""
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
        reasons.append("any light suits it")
    losses = list(_losses(fit, own, minute))
    if losses:
        reasons += losses
    elif not shot.wish.asks_nothing:
        reasons.append("its sun is fully met")
    drift = worth.match.get(shot.id, 0)
    if drift:
        reasons.append(f"{drift} points from the sun of its match")
    return "; ".join(reasons)


def _losses(fit: DayFit, own: ShotFit, minute: int) -> Iterator[str]:
    """Say what the light of a roll loses to the sun's place, to flat light and to the night."""
    rolling = slice(minute, minute + own.shot.shoot_min)
    daylight = _daylight(own, rolling)
    if daylight < 1.0:
        yield "part of it in the dark" if daylight else "in the dark"
        return
    in_sun = float((own.arrives[rolling] * (1.0 - own.direct[rolling])).mean())
    without = _lost_flat(own, minute)
    control = _control(own, minute)
    left = 1.0 - control
    # Where most of it is flat light, nobody asks where the little sun that arrives comes from.
    if left * in_sun >= NOTHING and in_sun >= SMALL * without:
        yield f"{_sun_is_off(fit, own, minute)} costs it {left * in_sun:.0%}"
    flat = flat_by(own, minute)
    if flat:
        yield f"flat light {flat} costs it {left * without:.0%}"
    made_up = control * (in_sun + without)
    if made_up >= NOTHING:
        yield f"frames make up for {made_up:.0%}"
    elif not control and fit.day.control(own.shot) and left * (in_sun + without) >= NOTHING:
        yield "its overhead does not cover it then"


def flat_by(own: ShotFit, minute: int) -> str:
    """Say what leaves the light of a roll flat; "" where that costs it next to nothing."""
    rolling = slice(minute, minute + own.shot.shoot_min)
    is_dark = _daylight(own, rolling) < 1.0
    if is_dark or (1.0 - _control(own, minute)) * _lost_flat(own, minute) < NOTHING:
        return ""
    hidden = 1.0 - float(own.parts["direct sun"][rolling].mean())
    cloud = 1.0 - float(own.parts["clear sky"][rolling].mean())
    return "behind the skyline" if hidden > cloud else "under cloud"


def _control(own: ShotFit, minute: int) -> float:
    """Give the share of a roll's loss that frames make up for."""
    return float(own.control[minute : minute + own.shot.shoot_min].mean())


def _daylight(own: ShotFit, rolling: slice) -> float:
    """Give the share of a roll that is made by day; dusk needs none."""
    daylight = own.parts.get("daylight")
    return 1.0 if daylight is None else float(daylight[rolling].mean())


def _lost_flat(own: ShotFit, minute: int) -> float:
    """Give what flat light would cost a roll without frames, a share of its light."""
    rolling = slice(minute, minute + own.shot.shoot_min)
    return float(((1.0 - own.arrives[rolling]) * (1.0 - own.flat)).mean())


def _sun_is_off(fit: DayFit, own: ShotFit, minute: int) -> str:
    """Say how the sun stands wrong at the middle of a roll, by the part that is smallest."""
    wish, track = own.shot.wish, fit.track
    azimuth, height, _ = (
        float(angle) for angle in track.at_halves(2 * minute + own.shot.shoot_min)
    )
    rolling = slice(minute, minute + own.shot.shoot_min)
    parts = {
        name: float(own.parts[name][rolling].mean())
        for name in ("sun side", "azimuth", "elevation", "evening", "top light")
        if name in own.parts
    }
    if wish.side is SunSide.SHADE and min(parts.values(), default=1.0) > SUNLIT_SHADE:
        return "direct sun"
    worst = min(parts, key=lambda name: parts[name], default="")
    at = np.array([azimuth])
    if worst == "sun side":
        from_lens = sun_from_lens_deg(at, own.shot.look_deg)
        past = min(float(past_arc_deg(from_lens, *arc)[0]) for arc in side_arcs(wish))
        return f"a sun {degrees(past)} too far round"
    if worst == "azimuth" and wish.azimuth is not None:
        past = float(past_arc_deg(at, wish.azimuth.low_deg, wish.azimuth.high_deg)[0])
        return f"a sun {degrees(past)} past its azimuths"
    if worst == "elevation" and wish.elevation is not None:
        low, high = wish.elevation.low_deg - height, height - wish.elevation.high_deg
        return f"a sun {degrees(max(low, high))} too {'low' if low > high else 'high'}"
    return "morning, not evening," if worst == "evening" else f"light from {height:.0f}° above"


def why_wait(
    fit: DayFit, shot: Shot, ready: int, minute: int, grid_min: int, spared_min: int
) -> str:
    """Say what a shot that is built waits for; "" where it is for the sake of other shots.

    It names what is still missing one start of the grid before the roll: a cast member, the spot,
    or the sun of a hold. It names the light where the roll has the best light from then on.

    Parameters
    ----------
    ready, minute : minutes of the track when the shot is built, and when it rolls
    spared_min : minutes by which the day would end earlier without the wait
    """
    ready = max(ready, begins(fit, shot))
    if ready >= minute or (shot.wish.asks_nothing and shot.pin is None and not shot.cast):
        return ""
    if shot.pin is not None:
        return f"for {shot.id}, which is pinned"
    own = fit.shots[shot.id]
    before = max(ready, minute - grid_min)
    needed = list(needs(fit, shot))
    for one in needed:
        if one.name and not can_roll_at(fit, shot, [one])[before]:
            return f"for {one.name}"
    can_roll = can_roll_at(fit, shot, needed)
    first = ready + int(can_roll[ready:].argmax())
    then, at_first = float(own.mean[minute]), float(own.mean[first])
    best = _best(own.mean[first:minute], can_roll[first:minute])
    if best - then >= NOTHING or then - at_first < LITTLE:
        return ""
    when = "at once" if first == ready else "at first"
    won = int(own.points[minute]) - int(own.points[first])
    spared = min(spared_min, minute - first)
    price = f"the wait costs {fit.day.costs.wait * spared}" if spared else ""
    if spared < minute - first:
        rest = "the rest" if spared else "the time"
        price += f"{', ' if spared else ''}{rest} would be waited later in any case"
    bought = f"wins {won} points, {price}"
    return f"for the light of {shot.id} ({at_first:.0%} {when}, {then:.0%} then: {bought})"


def why_left_out(
    fit: DayFit, shot: Shot, timetable: Timetable, *, is_proven: bool, grid_min: int
) -> str:
    """Say why a shot is not made: its hours, its hold or its sun, time, or what others are worth.

    Parameters
    ----------
    timetable : the order that leaves it out
    is_proven : whether no order is worth more than the one without it
    """
    own, behind = fit.shots[shot.id], fit.day.past
    if behind is not None and shot.id in behind.cut:
        return "cut"
    if shot.id in fit.day.cut_ids:
        return CUT_BY_DECISION
    when = "within the hours" if behind is None else "in the rest of the day"
    needed = list(needs(fit, shot))
    can_roll = can_roll_at(fit, shot, [one for one in needed if one.rule == "hours"])
    if not can_roll.any():
        return f"there is no time for it {when}"
    there = {one.lack: can_roll_at(fit, shot, [one]) for one in needed if one.lack}
    for lack, is_there in there.items():
        if not (can_roll & is_there).any():
            return f"{lack} for it {when}"
    can_roll &= can_roll_at(fit, shot, [one for one in needed if one.rule == "hold"])
    if not can_roll.any():
        return _never_held(fit, shot, when)
    best = _best(own.mean, can_roll)
    if best < HALF:
        held = " while it may be held" if shot.hold else ""
        return f"its sun is never right {when}: at best {best:.0%} of its light{held}"
    for lack, is_there in there.items():
        if _best(own.mean, can_roll & is_there) < HALF:
            return f"its sun is right only while {lack}"
    for is_there in there.values():
        can_roll &= is_there
    if _best(own.mean, can_roll) < HALF:
        return f"its sun is right only while {' or '.join(there)}"
    end = runs_past(fit, timetable, shot, grid_min)
    if end:
        return f"with it the day would run past {end}"
    if is_proven:
        return f"making it would cost the day more than its {shot.weight:g} of weight is worth"
    return f"this order has no place for it that is worth its {shot.weight:g} of weight"


def _never_held(fit: DayFit, shot: Shot, when: str) -> str:
    """Say that a hold is never met, or for how long at most where no roll fits into that."""
    day, behind = fit.day, fit.day.past
    first, last = fit.minute_of(day.hours.first_roll), fit.minute_of(day.hours.hard_wrap)
    if behind is not None:
        first = max(first, fit.minute_of(behind.free_at))
    held = runs(fit.shots[shot.id].held[first:last])
    if not held:
        return f"it is held for its sun, and that is never fully met {when}"
    begun, ended = max(held, key=lambda stretch: stretch[1] - stretch[0])
    times = "–".join(clock(fit.day, fit.time_of(first + minute)) for minute in (begun, ended))
    met = f"only {times}" if len(held) == 1 else f"{times} at the longest"
    # Where the roll alone does not fit, a quicker build would not help.
    build = "its build and " if ended - begun >= shot.shoot_min else ""
    return f"its sun is fully met {met}, too short for {build}{shot.shoot_min} min of roll"


def _best(mean: FloatArray, can_roll: BoolArray) -> float:
    return float(mean[can_roll].max()) if can_roll.any() else 0.0
