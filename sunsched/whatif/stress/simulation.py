"""Many drawn days of one order at once: when each shot rolls on each of them, if it does.

A loop over the shots, with arrays over the days. The crew knows planned minutes only: it begins a
shot that could still be made by them, and loses it when it then takes too long.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sunsched.day.model import Shot
from sunsched.light.fit import BoolArray, DayFit, IntArray
from sunsched.plan.score import wait_before_min
from sunsched.plan.timetable import Timetable, changeover, meal_place
from sunsched.sky.track import FloatArray
from sunsched.whatif.stress.room import Room, rooms

LITTLE = 1e-9  # a difference of light that is none


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One shot of an order, as its days are drawn; minutes are those of the track.

    `index` is the shot's place in the day's list. `planned` is its planned roll, `begins` the
    moment before which its changeover does not start, whatever came before. `waits` says that the
    plan has it built and waiting. `is_made` marks one that is behind the day already; the crew
    waited `waited` minutes for it. `need` and `move` are its planned changeover and the company
    move in it, by the index of the shot that the crew comes from; the last is for none.
    """

    shot: Shot
    index: int
    planned: int
    begins: int
    waits: bool
    is_made: bool
    waited: int
    rooms: tuple[Room, ...]
    need: FloatArray
    move: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """An order with its times, ready to be drawn.

    `meal_place` is the number of shots before the planned meal at `meal_start`, None for no meal.
    """

    fit: DayFit
    steps: tuple[Step, ...]
    meal_place: int | None
    meal_start: int


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """Where the crew stands before a shot on each day: (days,).

    `free` is when it can begin, `before` the index of the shot it comes from, `meal` the start of
    the meal, nan until it is had; `waited` is how long it has waited so far.
    """

    free: FloatArray
    before: IntArray
    meal: FloatArray
    waited: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What happens on the drawn days, in minutes of the track; nan is never.

    `start` and `end` of each roll, `fit` averaged over it (0 if it is not made) and the minutes
    `waited` from the call to its start are (shots, days) in the order of the course. `meal` is the
    start of the meal: (days,). `states` are those before each shot.
    """

    start: FloatArray
    end: FloatArray
    fit: FloatArray
    waited: FloatArray
    meal: FloatArray
    states: tuple[State, ...]

    @property
    def made(self) -> BoolArray:
        """Whether each shot is made: (shots, days)."""
        found: BoolArray = ~np.isnan(self.start)
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class _Try:
    """One shot tried on every day: its roll (nan if it is not made) and when the crew is free.

    `tried` is False where it could not be made by its planned minutes and was not begun; `waits` is
    how long the crew waits for the roll.
    """

    start: FloatArray
    end: FloatArray
    until: FloatArray
    tried: BoolArray
    waits: FloatArray


def make_course(fit: DayFit, timetable: Timetable) -> Course:
    """Make ready to draw days of an order with times."""
    day, rolls = fit.day, timetable.rolls
    index = {shot.id: place for place, shot in enumerate(day.shots)}
    made = set() if day.past is None else {one.shot_id for one in day.past.made}
    steps: list[Step] = []
    for place, roll in enumerate(rolls):
        shot = day.shot(roll.shot_id)
        parts = [changeover(day, before, shot) for before in (*day.shots, None)]
        need = np.array([float(part.total_min) for part in parts])
        planned, begins = fit.minute_of(roll.roll_start), fit.minute_of(roll.changeover_start)
        before = steps[-1].index if steps else len(day.shots)
        # Nobody is called for less than the first changeover; later ones start when they can.
        is_first = all(step.is_made for step in steps)
        is_made = shot.id in made
        steps.append(
            Step(
                shot=shot,
                index=index[shot.id],
                planned=planned,
                begins=begins if is_first else 0,
                waits=planned > begins + need[before],
                is_made=is_made,
                waited=wait_before_min(day, timetable, place) if is_made else 0,
                rooms=rooms(fit, shot),
                need=need,
                move=np.array([float(part.move_min) for part in parts]),
            )
        )
    meal = timetable.meal_start
    return Course(
        fit=fit,
        steps=tuple(steps),
        meal_place=meal_place(timetable),
        meal_start=0 if meal is None else fit.minute_of(meal),
    )


def draw_days(
    course: Course, factors: FloatArray, *, like: Drawn | None = None, since: int = 0
) -> Drawn:
    """Follow an order through days on which its work takes other minutes than planned.

    Parameters
    ----------
    factors : (shots of the day, 2, days), what each shot's planned changeover and roll are
        multiplied by
    like, since : days drawn before that are the same up to this place of the course
    """
    fit, steps = course.fit, course.steps
    day, days = fit.day, factors.shape[2]
    earliest, latest = fit.minute_of(day.meal.earliest), fit.minute_of(day.meal.latest)
    start, end, light, waited = (np.full((len(steps), days), np.nan) for _ in range(4))
    call = np.full(days, float(fit.minute_of(day.hours.crew_call)))
    none = np.full(days, len(day.shots))
    now = State(free=call, before=none, meal=np.full(days, np.nan), waited=np.zeros(days))
    states: list[State] = []
    if like is not None:
        now, states = like.states[since], [*like.states[:since]]
        for mine, known in zip(
            (start, end, light, waited),
            (like.start, like.end, like.fit, like.waited),
            strict=True,
        ):
            mine[:since] = known[:since]
    for place, step in enumerate(steps[since:], since):
        states.append(now)
        if place == course.meal_place:
            now = _eat(now, np.isnan(now.meal), course.meal_start, day.meal.length_min)
        found = _try(fit, step, now, factors[step.index])
        # The meal is not late: a shot that would end past its latest start comes after it.
        hungry = np.isnan(now.meal) & (found.until > latest) & (not step.is_made)
        if hungry.any():
            now = _eat(now, hungry, earliest, day.meal.length_min)
            found = _try(fit, step, now, factors[step.index])
        before = np.where(found.tried, step.index, now.before)
        now = State(free=found.until, before=before, meal=now.meal, waited=now.waited + found.waits)
        start[place], end[place], waited[place] = found.start, found.end, now.waited
        light[place] = _mean_fit(fit.shots[step.shot.id].fit, found.start, found.end)
    if course.meal_place == len(steps):
        now = _eat(now, np.isnan(now.meal), course.meal_start, day.meal.length_min)
    return Drawn(
        start=start, end=end, fit=light, waited=waited, meal=now.meal, states=tuple(states)
    )


def _eat(now: State, who: BoolArray, first: int, length_min: int) -> State:
    """Let the crew have its meal on some days."""
    begins = np.maximum(now.free, first)
    return State(
        free=np.where(who, begins + length_min, now.free),
        before=now.before,
        meal=np.where(who, begins, now.meal),
        waited=np.where(who, now.waited + begins - now.free, now.waited),
    )


def _try(fit: DayFit, step: Step, now: State, factors: FloatArray) -> _Try:
    """Build and roll one shot on every day, from when the crew is free."""
    free = now.free
    if step.is_made:
        start = np.full_like(free, step.planned)
        end = start + step.shot.shoot_min
        waits = np.full_like(free, step.waited)
        tried = np.ones_like(free, dtype=np.bool_)
        return _Try(start=start, end=end, until=end, tried=tried, waits=waits)
    need, move = step.need[now.before], step.move[now.before]
    free = np.maximum(free, step.begins)
    # What the crew foresees: the first stretch in which it could be made by its planned minutes.
    opening, begin, shut_until = np.full(len(free), -1), free, np.zeros_like(free)
    for room in step.rooms:
        build = np.maximum(free, room.built_from - move)
        fits = (opening < 0) & (
            _roll(fit, step, build + need, room) + step.shot.shoot_min <= room.last
        )
        opening[fits] = room.opening
        begin = np.where(fits, build, begin)
        shut_until[fits] = room.built_from
    # What happens: the changeover as it is drawn, then a roll that is begun if its planned minutes
    # still fit, and is not made if it runs out of its stretch.
    ready = np.maximum(begin + move * factors[0], shut_until) + (need - move) * factors[0]
    start, last = np.full_like(free, np.nan), np.full_like(free, np.nan)
    for room in step.rooms:
        at = _roll(fit, step, ready, room)
        fits = (opening == room.opening) & np.isnan(start) & (at + step.shot.shoot_min <= room.last)
        start[fits], last[fits] = at[fits], room.last
    end = start + step.shot.shoot_min * factors[1]
    made = end <= last
    until = np.where(made, end, np.where(np.isnan(start), ready, last))
    return _Try(
        start=np.where(made, start, np.nan),
        end=np.where(made, end, np.nan),
        until=np.where(opening >= 0, until, free),
        tried=opening >= 0,
        waits=np.where(made, np.maximum(0.0, start - now.free), 0.0),
    )


def _roll(fit: DayFit, step: Step, ready: FloatArray, room: Room) -> FloatArray:
    """Say when a shot that is ready rolls within a stretch.

    One that the plan has waiting keeps its planned start; another rolls when it is ready, unless it
    is early and its light is still worse than at its planned start.
    """
    planned = max(step.planned, room.first)
    start = np.maximum(ready, room.first)
    if step.waits:
        return np.maximum(start, planned)
    if step.shot.wish.asks_nothing:
        return start
    mean = fit.shots[step.shot.id].mean
    last = len(mean) - 1
    light = mean[np.minimum(start.astype(np.int64), last)]
    is_worse = light < mean[min(planned, last)] - LITTLE
    return np.where(is_worse, np.maximum(start, planned), start)


def _mean_fit(fit: FloatArray, start: FloatArray, end: FloatArray) -> FloatArray:
    """Average a shot's fit over rolls of any length; 0 where there is none."""
    sums = np.concatenate(([0.0], np.cumsum(fit)))
    made = ~np.isnan(start)
    first, last = np.where(made, start, 0.0), np.where(made, end, 1.0)
    total = _up_to(sums, fit, last) - _up_to(sums, fit, first)
    return np.where(made, np.clip(total / (last - first), 0.0, 1.0), 0.0)


def _up_to(sums: FloatArray, fit: FloatArray, minute: FloatArray) -> FloatArray:
    whole = np.minimum(minute.astype(np.int64), len(fit) - 1)
    found: FloatArray = sums[whole] + (minute - whole) * fit[whole]
    return found
