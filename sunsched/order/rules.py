"""The judge: says what a timetable breaches and what it is worth, knowing nothing of any solver.

Each hard rule is one function that returns what breaches it; `RULES` lists them all. Every
plan that people see has passed them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from sunsched.day.model import Shot
from sunsched.order.fit import DayFit
from sunsched.order.timetable import Timetable, changeover, meal_end, roll_end


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """One rule that a timetable does not obey, where, and by how many minutes if that is known."""

    rule: str
    shot_ids: tuple[str, ...]
    text: str
    minutes: int | None = None


def breaches(fit: DayFit, timetable: Timetable) -> tuple[Breach, ...]:
    """List everything in a timetable that the day's hard rules forbid; empty for a sound one."""
    return tuple(breach for rule in RULES for breach in rule(fit, timetable))


def one_camera(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """One camera: changeover, then roll, each whole, no shot twice, nothing overlapping."""
    day = fit.day
    seen: set[str] = set()
    free_at: datetime | None = None
    before: Shot | None = None
    for roll in timetable.rolls:
        shot = day.shot(roll.shot_id)
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
    for roll in timetable.rolls:
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
    before: Shot | None = None
    for roll in timetable.rolls:
        shot = day.shot(roll.shot_id)
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
    for roll in timetable.rolls:
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
        if shot.pin is None:
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


def hold(fit: DayFit, timetable: Timetable) -> Iterator[Breach]:
    """Hold: a held shot rolls only while its sun side, bands and horizon are fully met."""
    for roll in timetable.rolls:
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
    if start is None or end is None:
        if timetable.rolls and roll_end(day, timetable.rolls[-1]) > day.meal.latest:
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
    for roll in timetable.rolls:
        if start < roll_end(day, roll) and roll.changeover_start < end:
            yield Breach(
                rule="meal",
                shot_ids=(roll.shot_id,),
                text=f"the meal is cut by the changeover or the roll of {roll.shot_id}",
            )


RULES: tuple[Callable[[DayFit, Timetable], Iterator[Breach]], ...] = (
    one_camera,
    hours,
    spot_open,
    cast_here,
    after,
    pin,
    hold,
    meal,
)


def _minutes(span: timedelta) -> int:
    """Give a time span in minutes, a started one counted whole."""
    return -int(-span.total_seconds() // 60)
