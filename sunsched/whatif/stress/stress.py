"""An order under overruns: thousands of drawn days, and what each shot and the day keep on them.

The crew follows the order as is best on the average day (`average/order/policy`): it waits for
light, leaves out what is worth less than what follows, eats and stops. Every shot has draws of its
own. They hang on the shot list and the seed alone: two orders of one day are tried on the same
days.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from sunsched.average.drawn import Drawn, draw_days, draw_factors
from sunsched.average.order.forecast import Policy
from sunsched.average.plan import AveragePlan
from sunsched.average.solve import policy_of
from sunsched.day.model import Shot
from sunsched.light.fit import HALF, DayFit, IntArray
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable, roll_end
from sunsched.sky.track import FloatArray

DAYS = 10_000
MOST_DAYS = 100_000  # what fits in memory for a long shot list
TENTH = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotStress:
    """One shot of the order on the drawn days, in minutes of the track.

    Attributes
    ----------
    planned : its roll start by the plan, UTC; None for one that the plan's own day does not make
    start_min, end_min : (days,) of its roll, nan where it is not made
    fit : (days,) averaged over its roll, 0 where it is not made
    light_lost : share of all light that the mean day loses to this shot's overruns: what it would
        keep more if this shot alone ran by its plan, on the same draws
    """

    shot: Shot
    planned: datetime | None
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
    planned_light, planned_points : what the judge gives the timetable
    planned_end : when its last roll ends
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
    planned_end: datetime
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

    The order alone is followed, not its times. A shot that is begun and then takes too long for the
    hours, its cast, its spot or its hold costs its minutes and is not made.

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
    return _stressed(policy_of(fit, timetable), fit, timetable, days, seed)


def stress_average(found: AveragePlan, *, days: int = DAYS, seed: int = 1) -> Stress:
    """Follow a plan for the average day through drawn days, by its own policy.

    Parameters
    ----------
    found : of `average_plan`
    days, seed : as for `stress`

    Returns
    -------
    Stress
        What each shot and the day keep on each drawn day; `timetable` is that of the likely day.

    Examples
    --------
    >>> import sunsched
    >>> found = sunsched.average_plan(sunsched.solve_day(sunsched.example_day()))
    >>> drawn = sunsched.stress_average(found, days=2000)
    >>> abs(float(drawn.light_kept.mean()) - found.light_kept) < 0.02
    True
    """
    return _stressed(found.policy, found.likely.fit, found.likely.timetable, days, seed)


def _stressed(policy: Policy, fit: DayFit, timetable: Timetable, days: int, seed: int) -> Stress:
    """Follow a policy through drawn days; `fit` judges the timetable that is told beside them."""
    if not timetable.rolls:
        raise ValueError("an order without shots cannot be stressed")
    if not 1 <= days <= MOST_DAYS:
        raise ValueError(f"from 1 to {MOST_DAYS} days can be drawn, not {days}")
    own = policy.rest.fit
    factors = draw_factors(own.day, days, seed)
    drawn = draw_days(policy, factors)
    worth, made = score(fit, timetable), _made(own, days)
    starts = {roll.shot_id: roll.roll_start for roll in timetable.rolls}
    shots = [
        *made,
        *(
            ShotStress(
                shot=shot,
                planned=starts.get(shot.id),
                start_min=drawn.start[place],
                end_min=drawn.end[place],
                fit=drawn.light[place],
                light_lost=_light_lost(policy, factors, drawn, place),
            )
            for place, shot in enumerate(policy.shots)
        ),
    ]
    return Stress(
        fit=own,
        timetable=timetable,
        seed=seed,
        planned_light=sum(worth.light.values()) / (1000.0 * _weights(own)),
        planned_points=worth.total,
        planned_end=max(roll_end(fit.day, roll) for roll in timetable.rolls),
        shots=tuple(shots),
        light_kept=np.sum([one.shot.weight * one.fit for one in shots], axis=0) / _weights(own),
        points=np.rint(drawn.points).astype(np.int64),
        wrap_min=_last_end(shots),
        meal_min=_meal(own, drawn),
    )


def moment(fit: DayFit, minutes: FloatArray, share: float) -> datetime | None:
    """Give the moment before which this share of some minutes of the track lies, nan left out."""
    known = minutes[~np.isnan(minutes)]
    if not len(known):
        return None
    return fit.track.start + timedelta(minutes=float(np.quantile(known, share)))


def _made(fit: DayFit, days: int) -> list[ShotStress]:
    """Give the shots that are behind the day already: the same on every drawn day."""
    found = []
    for one in () if fit.day.past is None else fit.day.past.made:
        shot, start = fit.day.shot(one.shot_id), fit.minute_of(one.roll_start)
        light = float(fit.shots[shot.id].mean[start])
        found.append(
            ShotStress(
                shot=shot,
                planned=one.roll_start,
                start_min=np.full(days, float(start)),
                end_min=np.full(days, float(start + shot.shoot_min)),
                fit=np.full(days, light),
                light_lost=0.0,
            )
        )
    return found


def _weights(fit: DayFit) -> float:
    return sum(shot.weight for shot in fit.day.shots)


def _last_end(shots: list[ShotStress]) -> FloatArray:
    """Give the end of each day's last roll, nan for a day without any."""
    ends = np.max([np.where(np.isnan(one.end_min), -np.inf, one.end_min) for one in shots], axis=0)
    return np.where(np.isneginf(ends), np.nan, ends)


def _meal(fit: DayFit, drawn: Drawn) -> FloatArray:
    past = fit.day.past
    if past is None or past.meal_start is None:
        return drawn.meal
    return np.full(len(drawn.meal), float(fit.minute_of(past.meal_start)))


def _light_lost(policy: Policy, factors: FloatArray, drawn: Drawn, place: int) -> float:
    """Give the share of all light that the mean day keeps more if one shot runs by its plan."""
    fit = policy.rest.fit
    by_plan = factors.copy()
    by_plan[fit.day.shots.index(policy.shots[place])] = 1.0
    other = draw_days(policy, by_plan)
    weights = np.array([shot.weight for shot in policy.shots])
    return float(np.mean(weights @ (other.light - drawn.light))) / _weights(fit)
