"""Why no plan exists: a smallest set of the day's rules that cannot all be obeyed.

Rules are taken away one by one; if the day is still impossible without a rule, it stays away. Those
that remain collide, and lifting any one of them makes a plan possible (a deletion filter for an
irreducible infeasible subset: Chinneck and Dravnieks, ORSA J. Computing 3(2), 1991). Whether a day
is possible is asked of a check that knows no solver and no grid; what it calls possible it has a
timetable for, which the judge has passed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import partial
from itertools import combinations

from sunsched.day.clock import clock
from sunsched.day.model import Day, Shot
from sunsched.errors import Undecided
from sunsched.light.fit import DayFit
from sunsched.solver.feasibility import is_possible
from sunsched.solver.search.budget import Patience, until

# Of labels, over all rules and for each: some seconds. What is not known then is said.
ALL_COMPARISONS, EACH_COMPARISONS = 6_000_000, 1_500_000
MOST_OPEN = 12  # rules that are named without knowing whether they have a part in it
LONGEST = timedelta(hours=24)  # the longest working day that a folder may ask for


@dataclass(frozen=True, slots=True, kw_only=True)
class Liftable:
    """One rule of a day in words, and how to take it away."""

    text: str
    lift: Callable[[Day], Day]


def collision_text(day: Day, goes_on: Callable[[], bool] | None = None) -> str:
    """Say which rules collide on an impossible day, as far as that can be told in the time.

    A rule stays where the check of a day without it gives up, and the text says so: what is named
    before those makes a plan possible all the same, each if it alone is lifted.

    Parameters
    ----------
    goes_on : asked now and then whether there is time left; None for a fixed amount of work
    """
    if not day.shots:
        return "no plan exists: the shot list is empty"
    left, goes_on = ALL_COMPARISONS, goes_on or until(None)
    named: list[Liftable] = []
    open_rules: list[Liftable] = []
    for rule in (*liftables(day), hours_liftable(day)):
        lifted = rule.lift(day)
        patience = Patience(left=min(left, EACH_COMPARISONS), goes_on=goes_on)
        given = patience.left
        try:
            patience.spend(0)  # before the fit of the day is worked out, which takes time too
            if is_possible(lifted, patience):
                named.append(rule)
            else:
                day = lifted
        except Undecided:
            open_rules.append(rule)
        left -= given - patience.left
    if open_rules:
        return _open_text(named, open_rules)
    if not named:
        return "no plan exists: no shot can be made, even with every rule of the day lifted"
    if len(named) == 1:
        return f"no plan exists, because of this alone:\n{_lines(named)}"
    head = "no plan exists: these collide, and lifting any one of them makes one possible:"
    return f"{head}\n{_lines(named)}"


def _open_text(named: list[Liftable], open_rules: list[Liftable]) -> str:
    """Name the rules that surely collide, and those of which the time did not tell it."""
    more = len(open_rules) - MOST_OPEN
    lines = _lines(open_rules[:MOST_OPEN]) + (f"\n  and {more} more" if more > 0 else "")
    if not named:
        return f"no plan exists; the reasons are among these, there was no time for more:\n{lines}"
    return (
        f"no plan exists; among the reasons, each of which makes one possible if it is lifted:\n"
        f"{_lines(named)}\n"
        f"there was no time to tell which of these have a part in it:\n{lines}"
    )


def _lines(rules: Iterable[Liftable]) -> str:
    return "\n".join(f"  {rule.text}" for rule in rules)


def pins_text(day: Day) -> str:
    """Say which pins cannot be kept beside each other, whatever else is lifted; "" for none.

    Two that roll at one time, or in the other order than `after` wants: this takes no search.
    """
    over = day.over_ids
    pinned = [(shot.pin, shot) for shot in day.shots if shot.pin is not None]
    pinned = sorted((one for one in pinned if one[1].id not in over), key=lambda one: one[0])
    for (pin, shot), (then, other) in combinations(pinned, 2):
        rules = [pin_liftable(day, shot, pin), pin_liftable(day, other, then)]
        if other.id in shot.after:
            rules.append(after_liftable(shot))
        elif pin + timedelta(minutes=shot.shoot_min) <= then:
            continue
        return f"no plan exists, because of these alone:\n{_lines(rules)}"
    return ""


def liftables(day: Day) -> list[Liftable]:
    """List every rule of a day that can be lifted, each on its own, but for its hours."""
    found: list[Liftable] = []
    over = day.over_ids
    for shot in day.shots:
        if shot.id in over:
            continue  # no rule applies to it any more
        if shot.pin is not None:
            found.append(pin_liftable(day, shot, shot.pin))
        if shot.hold:
            text = f"{shot.id} is held for its sun"
            found.append(Liftable(text=text, lift=partial(_change, shot_id=shot.id, to=_unheld)))
        if shot.after:
            found.append(after_liftable(shot))
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


def pin_liftable(day: Day, shot: Shot, pin: datetime) -> Liftable:
    """Give the pin of a shot as one rule."""
    text = f"{shot.id} is pinned to {clock(day, pin)}"
    return Liftable(text=text, lift=partial(_change, shot_id=shot.id, to=_unpinned))


def after_liftable(shot: Shot) -> Liftable:
    """Give what a shot comes after as one rule."""
    text = f"{shot.id} comes after {', '.join(shot.after)}"
    return Liftable(text=text, lift=partial(_change, shot_id=shot.id, to=_unordered))


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
