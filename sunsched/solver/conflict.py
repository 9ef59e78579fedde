"""Why no plan exists: a smallest set of the day's rules that cannot all be obeyed.

Rules are taken away one by one; if the day is still impossible without a rule, it stays away. Those
that remain collide, and lifting any one of them makes a plan possible (a deletion filter for an
irreducible infeasible subset: Chinneck and Dravnieks, ORSA J. Computing 3(2), 1991). Whether a day
is possible is asked of a check that knows no solver and no grid; what it calls possible it has a
timetable for, which the judge has passed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import partial

from sunsched.day.clock import clock
from sunsched.day.model import Day, Shot
from sunsched.light.fit import DayFit
from sunsched.solver.feasibility import is_possible

LONGEST = timedelta(hours=24)  # the longest working day that a folder may ask for


@dataclass(frozen=True, slots=True, kw_only=True)
class Liftable:
    """One rule of a day in words, and how to take it away."""

    text: str
    lift: Callable[[Day], Day]


def collision_text(day: Day) -> str:
    """Say which rules collide on an impossible day.

    Raises
    ------
    Undecided
        When the check of a day with fewer rules gives up.
    """
    if not day.shots:
        return "no plan exists: the shot list is empty"
    kept: list[Liftable] = []
    for rule in (*liftables(day), hours_liftable(day)):
        lifted = rule.lift(day)
        if is_possible(lifted):
            kept.append(rule)
        else:
            day = lifted
    if not kept:
        return "no plan exists: no shot can be made, even with every rule of the day lifted"
    lines = "\n".join(f"  {rule.text}" for rule in kept)
    if len(kept) == 1:
        return f"no plan exists, because of this alone:\n{lines}"
    return (
        f"no plan exists: these collide, and lifting any one of them makes one possible:\n{lines}"
    )


def liftables(day: Day) -> list[Liftable]:
    """List every rule of a day that can be lifted, each on its own, but for its hours."""
    found: list[Liftable] = []
    over = day.over_ids
    for shot in day.shots:
        if shot.id in over:
            continue  # no rule applies to it any more
        if shot.pin is not None:
            text = f"{shot.id} is pinned to {clock(day, shot.pin)}"
            found.append(Liftable(text=text, lift=partial(_change, shot_id=shot.id, to=_unpinned)))
        if shot.hold:
            text = f"{shot.id} is held for its sun"
            found.append(Liftable(text=text, lift=partial(_change, shot_id=shot.id, to=_unheld)))
        if shot.after:
            text = f"{shot.id} comes after {', '.join(shot.after)}"
            found.append(Liftable(text=text, lift=partial(_change, shot_id=shot.id, to=_unordered)))
    for member in day.cast:
        if member.here:
            text = f"the hours of {member.name}"
            found.append(Liftable(text=text, lift=partial(_free_cast, name=member.name)))
    for spot in day.spots:
        if spot.open:
            text = f"the opening hours of {spot.name}"
            found.append(Liftable(text=text, lift=partial(_open_spot, name=spot.name)))
    if day.past is None or day.past.meal_start is None:
        found.append(Liftable(text="the meal and its latest start", lift=_without_meal))
    return found


def hours_liftable(day: Day) -> Liftable:
    """Give the hours of the day as one rule."""
    hours = f"the hours from {clock(day, day.hours.first_roll)}"
    hours += f" to {clock(day, day.hours.hard_wrap)}"
    return Liftable(text=hours, lift=_all_day)


def _change(day: Day, shot_id: str, to: Callable[[Shot], Shot]) -> Day:
    return replace(day, shots=tuple(to(s) if s.id == shot_id else s for s in day.shots))


def _unheld(shot: Shot) -> Shot:
    return replace(shot, hold=False)


def _unordered(shot: Shot) -> Shot:
    return replace(shot, after=())


def _unpinned(shot: Shot) -> Shot:
    return replace(shot, pin=None)


def _free_cast(day: Day, name: str) -> Day:
    return replace(day, cast=tuple(replace(m, here=()) if m.name == name else m for m in day.cast))


def _open_spot(day: Day, name: str) -> Day:
    return replace(
        day, spots=tuple(replace(s, open=()) if s.name == name else s for s in day.spots)
    )


def _without_meal(day: Day) -> Day:
    """Move the latest meal past the end of the longest day, so that none is needed."""
    return replace(day, meal=replace(day.meal, latest=day.hours.crew_call + LONGEST))


def _all_day(day: Day) -> Day:
    """Stretch the hours to the longest working day that a folder may ask for."""
    hours = day.hours
    end = max(hours.hard_wrap, hours.crew_call + LONGEST)
    return replace(day, hours=replace(hours, first_roll=hours.crew_call, wrap=end, hard_wrap=end))


def no_light_text(fit: DayFit) -> str:
    """Say for each shot which part of its fit fails all through the hours."""
    first = fit.minute_of(fit.day.hours.first_roll)
    last = fit.minute_of(fit.day.hours.hard_wrap)
    lines = ["no shot gets any of its light within the hours"]
    for shot in fit.day.shots:
        parts = fit.shots[shot.id].parts
        worst = "daylight"
        if "daylight" not in parts:
            worst = min(parts, key=lambda name: float(parts[name][first : last + 1].max()))
        lines.append(f"  {shot.id}: {worst} is never met together with the rest of what it asks")
    return "\n".join(lines)
