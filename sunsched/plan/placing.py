"""Why a shot stands at its place: which shots needed its other minutes, what fits its wait."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

import numpy as np

from sunsched.day.clock import clock
from sunsched.day.model import Day, Shot
from sunsched.day.past import made_ids
from sunsched.light.fit import HALF, DayFit
from sunsched.plan.availability import can_roll_at, needs
from sunsched.plan.changeover import changeover
from sunsched.plan.last_start import hurry, last_start
from sunsched.plan.reasons import NOTHING, why_wait
from sunsched.plan.timetable import Timetable, roll_end

MUCH = 0.05  # share of a shot's light: a smaller gain at another time is not explained
FEW = 3  # shots named that would fit into a wait


def why_not_at_another_time(fit: DayFit, timetable: Timetable, place: int, grid_min: int) -> str:
    """Say which shot needed more the better minutes of this shot, or those just before it.

    Where no start of the grid is much better, nobody has them: they lie between two starts.

    "" where the roll has its best light, and nothing just before it was in more of a hurry.
    """
    day, roll = fit.day, timetable.rolls[place]
    shot = day.shot(roll.shot_id)
    if shot.pin is not None or shot.hold:
        return ""
    own, minute = fit.shots[shot.id], fit.minute_of(roll.roll_start)
    better = can_roll_at(fit, shot, needs(fit, shot))
    best = int((own.mean * better).argmax())
    if own.mean[best] - own.mean[minute] >= MUCH:
        best_start = int((own.mean * better * (np.arange(len(better)) % grid_min == 0)).argmax())
        if own.mean[best_start] - own.mean[minute] >= MUCH:
            return _who_has_it(fit, timetable, place, best_start)
        starts = f"two starts, which stand every {grid_min} minutes"
        return f"its best minutes, from {clock(day, fit.time_of(best))}, begin between {starts}"
    if not place:
        return ""
    before = timetable.rolls[place - 1]
    if before.shot_id in made_ids(day.past):
        return ""
    was, other = fit.minute_of(before.roll_start), day.shot(before.shot_id)
    ends = last_start(fit, other, before.roll_start)
    is_as_good_before = own.mean[was] >= own.mean[minute] - NOTHING
    if is_as_good_before and ends is not None and ends < roll.roll_start and other.pin is None:
        return f"after {other.id}, {hurry(fit, other, before.roll_start, ends)}"
    return ""


def _who_has_it(fit: DayFit, timetable: Timetable, place: int, best: int) -> str:
    """Say what stands at a shot's best start: a roll, and how long it could wait, or other work."""
    day, when, roll = fit.day, fit.time_of(best), timetable.rolls[place]
    begin = clock(day, when)
    over = when + timedelta(minutes=day.shot(roll.shot_id).shoot_min)
    meal = timetable.meal_start
    if meal is not None and meal < over and when < meal + timedelta(minutes=day.meal.length_min):
        return f"its best minutes, from {begin}, go to the meal"
    for other in timetable.rolls:
        if other.shot_id == roll.shot_id or not (
            other.roll_start < over and when < roll_end(day, other)
        ):
            continue
        shot = day.shot(other.shot_id)
        text = f"its best minutes, from {begin}, go to {shot.id}"
        ends = last_start(fit, shot, other.roll_start)
        if shot.pin is None and ends is not None and other.roll_start <= ends < roll.roll_start:
            text += f", {hurry(fit, shot, other.roll_start, ends)}"
        return text
    # Every changeover but the first starts as soon as it can.
    if place and roll.changeover_start <= when < _ready(day, timetable, place):
        return f"its best minutes, from {begin}, go to its own changeover"
    return f"its best minutes, from {begin}, are not worth the wait or the way there"


def _ready(day: Day, timetable: Timetable, place: int) -> datetime:
    before, roll = timetable.rolls[place - 1], timetable.rolls[place]
    parts = changeover(day, day.shot(before.shot_id), day.shot(roll.shot_id))
    return roll.changeover_start + timedelta(minutes=parts.total_min)


def what_wait_is_for(
    fit: DayFit, timetable: Timetable, place: int, wait_min: int, grid_min: int
) -> str:
    """Say what a built shot waits for, what the wait wins, and which shots would fit into it."""
    if not wait_min:
        return ""
    roll = timetable.rolls[place]
    shot, minute = fit.day.shot(roll.shot_id), fit.minute_of(roll.roll_start)
    spared_min = _spared_min(fit, timetable, place, wait_min)
    spared_min -= spared_min % grid_min  # starts stand no closer
    text = why_wait(fit, shot, minute - wait_min, minute, grid_min, spared_min)
    if not text and 2 * spared_min < wait_min:
        what = "most of the time" if spared_min else "the time"
        return f"before {shot.id}; {what} would be waited later in any case"
    if not text:
        return ""
    fitting = list(_fitting(fit, timetable, place, wait_min))
    here = [one.id for one in fitting if one.spot == shot.spot][:FEW]
    away = [one.id for one in fitting if one.spot != shot.spot][: FEW - len(here)]
    for ids, how in ((here, ""), (away, ", with a move there and back")):
        if ids:
            text += f"; {' or '.join(ids)} would fit into it{how}"
    return text


def _spared_min(fit: DayFit, timetable: Timetable, place: int, wait_min: int) -> int:
    """Count the minutes of a wait by which the same order would end earlier without it.

    All that comes after must be able to begin earlier too, without losing more than that saves.
    Else the crew would only wait later: for a pin, a hold or a late sun.
    """
    day, spared = fit.day, wait_min
    meal = timetable.meal_start
    if meal is not None and meal > timetable.rolls[place].roll_start:
        spared = min(spared, max(0, (meal - day.meal.earliest) // timedelta(minutes=1)))
    for later in timetable.rolls[place + 1 :]:
        if not spared:
            return 0
        shot, minute = day.shot(later.shot_id), fit.minute_of(later.roll_start)
        points = fit.shots[shot.id].points
        can_roll = can_roll_at(fit, shot, needs(fit, shot))
        if shot.pin is not None:
            return 0
        for earlier in range(1, spared + 1):
            lost = int(points[minute]) - int(points[minute - earlier])
            if not can_roll[minute - earlier] or lost > day.costs.wait * earlier:
                spared = earlier - 1
                break
    return spared


def _fitting(fit: DayFit, timetable: Timetable, place: int, wait_min: int) -> Iterator[Shot]:
    """Yield the shots, later or left out, that a wait has room for, there and back, in their light.

    One that is planned later is named only if it would keep as much of its light now.
    """
    later = {one.shot_id: fit.minute_of(one.roll_start) for one in timetable.rolls[place + 1 :]}
    day, roll = fit.day, timetable.rolls[place]
    before = day.shot(timetable.rolls[place - 1].shot_id) if place else None
    shot = day.shot(roll.shot_id)
    room = wait_min + changeover(day, before, shot).total_min
    done = {one.shot_id for one in timetable.rolls[: place + 1]}
    coming = {one.shot_id for one in timetable.rolls[place:]}
    for other in day.shots:
        if other.id in done or other.id in day.cut_ids or other.pin is not None:
            continue
        if not coming.isdisjoint(other.after):
            continue
        there = changeover(day, before, other).total_min
        back = changeover(day, other, shot).total_min
        begins = roll.roll_start - timedelta(minutes=room - there)
        starts = fit.minute_of(begins)
        mean = fit.shots[other.id].mean
        least = mean[later[other.id]] - NOTHING if other.id in later else HALF
        if mean[starts] < least:
            continue
        is_room = there + other.shoot_min + back <= room
        if is_room and can_roll_at(fit, other, needs(fit, other))[starts]:
            yield other
