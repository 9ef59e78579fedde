"""The judge: says what a timetable breaches and what it is worth, knowing nothing of any solver.

Each hard rule is one function that returns what breaches it; `RULES` lists them all. Every plan
that people see has passed them. Only one rule applies to what has been made already: it stays. The
others apply to what is still to come.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from sunsched.day.model import Shot
from sunsched.day.past import made_ids
from sunsched.light.fit import DayFit
from sunsched.plan.changeover import changeover
from sunsched.plan.timetable import Roll, Timetable, meal_end, roll_end


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """One rule that a timetable does not obey, where, and by how many minutes if that is known."""

    rule: str
    shot_ids: tuple[str, ...]
    text: str
    minutes: int | None = None


def breaches(fit: DayFit, timetable: Timetable) -> tuple[Breach, ...]:
    """List everything in a timetable that the day's hard rules forbid; empty if there is none."""
    return tuple(breach for rule in RULES for breach in rule(fit, timetable))


def one_camera(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """One camera: changeover, then roll, each whole, no shot twice, nothing overlapping."""
    day = fit.day
    seen: set[str] = set()
    made = made_ids(fit.day.past)
    free_at: datetime | None = None
    before: Shot | None = None
    for roll in timetable.rolls:
        shot = day.shot(roll.shot_id)
        if shot.id in made and shot.id not in seen:
            seen.add(shot.id)
            free_at, before = roll_end(day, roll), shot
            continue
        if shot.id in seen:
            yield Breach(rule="one camera", shot_ids=(shot.id,), text=f"{shot.id} rolls twice")
        seen.add(shot.id)
        if free_at is not None and before is not None and roll.changeover_start < free_at:
            lack = _minutes(free_at - roll.changeover_start)
            yield Breach(
                rule="one camera",
                shot_ids=(before.id, shot.id),
                text=f"the changeover to {shot.id} starts {lack} min before {before.id} is done",
                minutes=lack,
            )
        need = changeover(day, before, shot).total_min
        lack = need - _minutes(roll.roll_start - roll.changeover_start)
        if lack > 0:
            yield Breach(
                rule="one camera",
                shot_ids=(shot.id,),
                text=f"the changeover to {shot.id} takes {need} min and gets {need - lack}",
                minutes=lack,
            )
        free_at, before = roll_end(day, roll), shot


def hours(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """Hours: no setup before the call, no roll before the first roll, none past the hard wrap."""
    day = fit.day
    for roll in _coming(fit, timetable):
        for late, moment, limit, name in (
            (False, roll.changeover_start, day.hours.crew_call, "the crew call"),
            (False, roll.roll_start, day.hours.first_roll, "the first roll"),
            (True, roll_end(day, roll), day.hours.hard_wrap, "the hard wrap"),
        ):
            past = moment - limit if late else limit - moment
            if past > timedelta(0):
                what = ("ends" if late else "starts") + f" {_minutes(past)} min"
                yield Breach(
                    rule="hours",
                    shot_ids=(roll.shot_id,),
                    text=f"{roll.shot_id} {what} {'past' if late else 'before'} {name}",
                    minutes=_minutes(past),
                )


def spot_open(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """Spot open: a spot is open from a shot's setup there to the end of its roll."""
    day = fit.day
    made = made_ids(fit.day.past)
    before: Shot | None = None
    for roll in timetable.rolls:
        shot = day.shot(roll.shot_id)
        if shot.id in made:
            before = shot
            continue
        parts = changeover(day, before, shot)
        start = roll.changeover_start + timedelta(minutes=parts.move_min)
        spans = day.spot(shot.spot).open
        end = roll_end(day, roll)
        if spans and not any(span.start <= start and end <= span.end for span in spans):
            yield Breach(
                rule="spot open",
                shot_ids=(shot.id,),
                text=f"{shot.spot} is not open from the setup of {shot.id} to the end of its roll",
            )
        before = shot


def cast_here(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """Cast here: everyone in a shot is there while the camera rolls."""
    day = fit.day
    spans_of = {member.name: member.here for member in day.cast}
    for roll in _coming(fit, timetable):
        end = roll_end(day, roll)
        for name in day.shot(roll.shot_id).cast:
            spans = spans_of.get(name, ())
            if spans and not any(s.start <= roll.roll_start and end <= s.end for s in spans):
                yield Breach(
                    rule="cast here",
                    shot_ids=(roll.shot_id,),
                    text=f"{name} is not there for the whole roll of {roll.shot_id}",
                )


def after(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """After: a shot comes after those it names; one that is left out holds nobody up."""
    place = {roll.shot_id: index for index, roll in enumerate(timetable.rolls)}
    for shot_id, index in place.items():
        if shot_id in made_ids(fit.day.past):
            continue
        for earlier in fit.day.shot(shot_id).after:
            if place.get(earlier, -1) > index:
                yield Breach(
                    rule="after",
                    shot_ids=(earlier, shot_id),
                    text=f"{shot_id} rolls before {earlier}, which must come first",
                )


def pin(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """Pin: a pinned shot is made, and rolls at its minute."""
    starts = {roll.shot_id: roll.roll_start for roll in timetable.rolls}
    for shot in fit.day.shots:
        if shot.pin is None or shot.id in made_ids(fit.day.past):
            continue
        start = starts.get(shot.id)
        if start is None:
            yield Breach(rule="pin", shot_ids=(shot.id,), text=f"{shot.id} is pinned but left out")
        elif start != shot.pin:
            off = _minutes(abs(start - shot.pin))
            side = "before" if start < shot.pin else "after"
            yield Breach(
                rule="pin",
                shot_ids=(shot.id,),
                text=f"{shot.id} rolls {off} min {side} its pin",
                minutes=off,
            )


def cut(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """Cut: a shot that a decision cuts is not made any more."""
    on_the_day = () if fit.day.past is None else fit.day.past.cut
    decided = fit.day.cut_ids.difference(on_the_day)
    for roll in _coming(fit, timetable):
        if roll.shot_id in decided:
            text = f"{roll.shot_id} is cut by decision and is made"
            yield Breach(rule="cut", shot_ids=(roll.shot_id,), text=text)


def hold(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """Hold: a held shot rolls only while its sun side, bands and horizon are fully met."""
    for roll in _coming(fit, timetable):
        shot = fit.day.shot(roll.shot_id)
        if not shot.hold:
            continue
        start = fit.minute_of(roll.roll_start)
        rolling = np.arange(start, start + shot.shoot_min)
        held = fit.shots[shot.id].held
        inside = (rolling >= 0) & (rolling < len(held))
        missed = int(shot.shoot_min - np.count_nonzero(held[rolling[inside]]))
        if missed:
            yield Breach(
                rule="hold",
                shot_ids=(shot.id,),
                text=f"{shot.id} is held and rolls {missed} min outside its sun",
                minutes=missed,
            )


def meal(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """Meal: starts in its time, is not cut, and stands between a roll and the next changeover."""
    day = fit.day
    start, end = timetable.meal_start, meal_end(day, timetable)
    if day.past is not None and day.past.meal_start is not None:
        if start != day.past.meal_start:
            yield Breach(rule="meal", shot_ids=(), text="the meal that was had is not where it was")
        return
    if start is None or end is None:
        if any(roll_end(day, roll) > day.meal.latest for roll in _coming(fit, timetable)):
            yield Breach(
                rule="meal", shot_ids=(), text="the day runs past the latest meal and has none"
            )
        return
    if start > day.meal.latest:
        late = _minutes(start - day.meal.latest)
        yield Breach(
            rule="meal", shot_ids=(), text=f"the meal starts {late} min too late", minutes=late
        )
    if start < day.meal.earliest:
        early = _minutes(day.meal.earliest - start)
        yield Breach(
            rule="meal", shot_ids=(), text=f"the meal starts {early} min too early", minutes=early
        )
    for roll in _coming(fit, timetable):
        if start < roll_end(day, roll) and roll.changeover_start < end:
            yield Breach(
                rule="meal",
                shot_ids=(roll.shot_id,),
                text=f"the meal is cut by the changeover or the roll of {roll.shot_id}",
            )


def past(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """Past: what was made stands first and unmoved, what was cut is not made, nothing is undone."""
    behind = fit.day.past
    if behind is None:
        return
    stands = tuple(
        (roll.shot_id, roll.changeover_start, roll.roll_start)
        for roll in timetable.rolls[: len(behind.made)]
    )
    was = tuple((one.shot_id, one.changeover_start, one.roll_start) for one in behind.made)
    if stands != was:
        ids = tuple(one.shot_id for one in behind.made)
        text = f"what was made does not stand first as it was: {', '.join(ids)}"
        yield Breach(rule="past", shot_ids=ids, text=text)
    coming = list(_coming(fit, timetable))
    for place, roll in enumerate(coming):
        if roll.shot_id in behind.cut:
            text = f"{roll.shot_id} was cut and is made"
            yield Breach(rule="past", shot_ids=(roll.shot_id,), text=text)
        begun = behind.free_at
        if place == 0 and roll.shot_id == behind.building and behind.built_since is not None:
            begun = behind.built_since
        early = max(begun - roll.changeover_start, behind.free_at - roll.roll_start)
        if early > timedelta(0):
            text = f"{roll.shot_id} begins {_minutes(early)} min before the crew is free"
            yield Breach(rule="past", shot_ids=(roll.shot_id,), text=text, minutes=_minutes(early))
    if behind.meal_start is None and timetable.meal_start is not None:
        early = behind.free_at - timetable.meal_start
        if early > timedelta(0):
            text = f"the meal starts {_minutes(early)} min before the crew is free"
            yield Breach(rule="past", shot_ids=(), text=text, minutes=_minutes(early))


RULES: tuple[Callable[[DayFit, Timetable], Iterator[Breach]], ...] = (
    one_camera,
    hours,
    spot_open,
    cast_here,
    after,
    pin,
    cut,
    hold,
    meal,
    past,
)


def _coming(fit: DayFit, timetable: Timetable) -> Iterator[Roll]:
    """Yield the rolls that are still to come."""
    made = made_ids(fit.day.past)
    for roll in timetable.rolls:
        if roll.shot_id not in made:
            yield roll


def _minutes(span: timedelta) -> int:
    """Give a time span in minutes, a started one counted whole."""
    return -int(-span.total_seconds() // 60)
