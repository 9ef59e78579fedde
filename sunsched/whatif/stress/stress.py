"""An order under overruns: thousands of drawn days, and what each shot and the day keep on them.

Every shot has draws of its own, so nothing here knows of a whole day that is slow; that is what the
medians are for. The draws hang on the shot list and the seed alone: two orders of one day are tried
on the same days.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from sunsched.day.model import Day, Shot
from sunsched.light.fit import HALF, DayFit, IntArray
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable
from sunsched.sky.track import FloatArray
from sunsched.whatif.stress.simulation import Course, Drawn, draw_days, make_course
from sunsched.whatif.stress.worth import day_points, last_end, light_points

DAYS = 10_000
MOST_DAYS = 100_000  # what fits in memory for a long shot list
TENTH = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotStress:
    """One shot of the order on the drawn days, in minutes of the track.

    Attributes
    ----------
    planned : its roll start by the plan, UTC
    start_min, end_min : (days,) of its roll, nan where it is not made
    fit : (days,) averaged over its roll, 0 where it is not made
    light_lost : share of all light that the mean day loses to this shot's overruns: what it would
        keep more if this shot alone ran by its plan, on the same draws
    """

    shot: Shot
    planned: datetime
    start_min: FloatArray
    end_min: FloatArray
    fit: FloatArray
    light_lost: float

    @property
    def made_chance(self) -> float:
        """Chance that it is made at all."""
        return float(np.mean(~np.isnan(self.start_min)))

    @property
    def half_chance(self) -> float:
        """Chance that it is made and keeps half its light."""
        return float(np.mean(self.fit >= HALF))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stress:
    """An order on the drawn days.

    Attributes
    ----------
    planned_light, planned_points : what the judge gives the order when nothing overruns
    shots : in the order's sequence
    light_kept : (days,) share of all weights, 0 to 1
    points : (days,) as the judge counts
    wrap_min : (days,) end of the last roll, minutes of the track; nan where nothing is made
    meal_min : (days,) start of the meal, minutes of the track; nan where there is none
    """

    fit: DayFit
    timetable: Timetable
    seed: int
    planned_light: float
    planned_points: int
    shots: tuple[ShotStress, ...]
    light_kept: FloatArray
    points: IntArray
    wrap_min: FloatArray
    meal_min: FloatArray

    @property
    def days(self) -> int:
        """How many days were drawn."""
        return len(self.light_kept)

    @property
    def overtime_chance(self) -> float:
        """Chance that the last roll ends past the wrap."""
        wrap = self.fit.minute_of(self.fit.day.hours.wrap)
        return float(np.mean(np.nan_to_num(self.wrap_min) > wrap))

    @property
    def all_made_chance(self) -> float:
        """Chance that every shot of the order is made."""
        missed = np.array([np.isnan(one.start_min) for one in self.shots])
        return float(np.mean(~missed.any(axis=0)))

    @property
    def hurts_most(self) -> ShotStress | None:
        """The shot whose overruns cost the mean day most; None where none costs anything."""
        worst = max(self.shots, key=lambda one: one.light_lost)
        return worst if worst.light_lost > 0.0 else None

    def light_at(self, share: float) -> float:
        """Give the light below which this share of the days stays."""
        return float(np.quantile(self.light_kept, share))

    def wrap_at(self, share: float) -> datetime | None:
        """Give the moment by which this share of the days has wrapped; None if nothing is made."""
        return moment(self.fit, self.wrap_min, share)


def stress(fit: DayFit, timetable: Timetable, *, days: int = DAYS, seed: int = 1) -> Stress:
    """Follow an order through drawn days.

    Each shot's changeover starts when the one before is over. A shot rolls when it is ready; one
    that the plan has waiting, or that is early with its light still worse than at its planned
    start, waits for that start. What cannot be made by planned minutes any more is not begun: past
    the hard wrap, without its cast, its spot or the light of its hold. A shot that is begun and
    then takes too long costs its minutes and is not made. The meal stands where the plan has it, or
    before the shot that would push its start past the latest.

    Parameters
    ----------
    fit : the day's sun and light, of `fit_day`
    timetable : the order with its times, at least one roll
    days : how many to draw
    seed : of the draws; the same seed gives the same days

    Returns
    -------
    Stress
        What each shot and the day keep on each drawn day: arrays of shape (days,).

    Raises
    ------
    ValueError
        For an order without shots, or less than one day, or more than `MOST_DAYS`.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> found = sunsched.stress(solved.fit, solved.plan.timetable, days=500)
    >>> found.light_kept.shape, found.light_at(0.1) <= found.light_at(0.5)
    ((500,), True)
    """
    if not timetable.rolls:
        raise ValueError("an order without shots cannot be stressed")
    if not 1 <= days <= MOST_DAYS:
        raise ValueError(f"from 1 to {MOST_DAYS} days can be drawn, not {days}")
    course = make_course(fit, timetable)
    factors = draw_factors(fit.day, days, seed)
    drawn = draw_days(course, factors)
    whole = 1000.0 * sum(shot.weight for shot in fit.day.shots)
    light_kept: FloatArray = light_points(course, drawn).sum(axis=0) / whole
    worth = score(fit, timetable)
    return Stress(
        fit=fit,
        timetable=timetable,
        seed=seed,
        planned_light=sum(worth.light.values()) / whole,
        planned_points=worth.total,
        shots=tuple(
            ShotStress(
                shot=step.shot,
                planned=roll.roll_start,
                start_min=drawn.start[place],
                end_min=drawn.end[place],
                fit=drawn.fit[place],
                light_lost=_light_lost(course, factors, drawn, place) / whole,
            )
            for place, (step, roll) in enumerate(zip(course.steps, timetable.rolls, strict=True))
        ),
        light_kept=light_kept,
        points=day_points(course, drawn),
        wrap_min=last_end(drawn),
        meal_min=drawn.meal,
    )


def draw_factors(day: Day, days: int, seed: int) -> FloatArray:
    """Draw what each shot's planned changeover and roll are multiplied by: (shots, 2, days)."""
    draws = np.random.default_rng(seed).standard_normal((len(day.shots), 2, days))
    figures = [day.overruns[shot.size] for shot in day.shots]
    medians = np.array([[one.changeover_median, one.roll_median] for one in figures])
    spreads = np.array([[one.changeover_spread, one.roll_spread] for one in figures])
    factors: FloatArray = medians[:, :, None] * np.exp(spreads[:, :, None] * draws)
    return factors


def moment(fit: DayFit, minutes: FloatArray, share: float) -> datetime | None:
    """Give the moment before which this share of some minutes of the track lies, nan left out."""
    known = minutes[~np.isnan(minutes)]
    if not len(known):
        return None
    return fit.track.start + timedelta(minutes=float(np.quantile(known, share)))


def _light_lost(course: Course, factors: FloatArray, drawn: Drawn, place: int) -> float:
    """Give the points of light that the mean day keeps more when one shot runs by its plan."""
    by_plan = factors.copy()
    by_plan[course.steps[place].index] = 1.0
    other = draw_days(course, by_plan, like=drawn, since=place)
    return float(
        np.mean(light_points(course, other).sum(axis=0) - light_points(course, drawn).sum(axis=0))
    )
