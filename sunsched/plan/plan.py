"""The result: an order with times, what it is worth, how good it is, and the reasons for it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from sunsched.day.model import Day, Shot, Span
from sunsched.day.past import made_ids
from sunsched.errors import SunschedError
from sunsched.light.fit import DayFit
from sunsched.plan.changeover import changeover
from sunsched.plan.last_start import last_start
from sunsched.plan.outlook import Outlook
from sunsched.plan.placing import what_wait_is_for, why_not_at_another_time
from sunsched.plan.reasons import flat_by, why_here, why_left_out
from sunsched.plan.rules import breaches
from sunsched.plan.score import Score, score, wait_before_min
from sunsched.plan.timetable import (
    Roll,
    Timetable,
    meal_span,
    meal_within,
    roll_end,
    second_meal_due,
)
from sunsched.sky.track import sun_from_lens_deg


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedShot:
    """One shot in the plan. Times are UTC; the sun is that of the roll's middle.

    `move_min` of the changeover comes first, then the build (setup or adjust) and the turnaround;
    what is left before the roll is a wait, and `wait_for` says what for, empty where it is for the
    sake of other shots. `wait_min` counts that and all waiting since the roll before, such as for
    the meal; of the day's first shot it is what is left before the roll. `fit` is the mean over the
    roll, `flat` what leaves its light flat, if that costs it anything, `points` its light less its
    part of the match's cost. `last_start` is None where the shot has lost its light already, or is
    made.
    """

    shot: Shot
    changeover_start: datetime
    roll_start: datetime
    roll_end: datetime
    build_min: int
    move_min: int
    turnaround_min: int
    is_adjust: bool
    wait_min: int
    wait_for: str
    sun_azimuth_deg: float
    sun_elevation_deg: float
    sun_from_lens_deg: float
    fit: float
    flat: str
    points: int
    last_start: datetime | None
    why: str

    @property
    def built_at(self) -> datetime:
        """Give the moment at which the changeover is over; one of the past may have taken less."""
        work_min = self.move_min + self.build_min + self.turnaround_min
        return min(self.changeover_start + timedelta(minutes=work_min), self.roll_start)

    @property
    def built_wait_min(self) -> int:
        """Give the minutes that the shot stands built before it rolls."""
        return round((self.roll_start - self.built_at) / timedelta(minutes=1))


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A shot that is not made, and why."""

    shot: Shot
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A plan for a day, judged.

    `status` is "proven" when no order scores higher, else "bounded": then none scores above
    `bound`; both among orders whose starts stand on a grid of `grid_min` minutes. `light_kept` is
    the share of all weights (0 to 1). `second_meal_due` is set when the camera rolls past it. `fit`
    is that of its day. `outlook` is what is expected of a plan for the average day, whose times are
    those of its likely day; None for one of planned minutes.
    """

    fit: DayFit = field(compare=False)
    status: str
    points: int
    bound: int
    light_kept: float
    shots: tuple[PlannedShot, ...]
    left_out: tuple[LeftOut, ...]
    meal: Span | None
    score: Score
    timetable: Timetable
    second_meal_due: datetime | None
    grid_min: int
    outlook: Outlook | None = None

    def __repr__(self) -> str:
        """Give one line: the order and what it is worth."""
        order = ", ".join(one.shot.id for one in self.shots)
        return f"<Plan of {self.day.title!r}: {order}; {self.points} points, {self.status}>"

    @property
    def day(self) -> Day:
        """The day that is planned."""
        return self.fit.day

    @property
    def gap(self) -> float:
        """Give the share of the bound that a better order could still win, 0 when proven."""
        return (self.bound - self.points) / max(1, abs(self.bound))


def describe_plan(fit: DayFit, timetable: Timetable, bound: int | None, grid_min: int = 5) -> Plan:
    """Judge a timetable and say everything about it that people want to know.

    Where it is not asked whether a better one exists, the bound is one point more than it has.

    Raises
    ------
    SunschedError
        When the timetable breaches a hard rule; no such plan is ever shown.
    """
    day = fit.day
    found = breaches(fit, timetable)
    if found:
        raise SunschedError("; ".join(breach.text for breach in found))
    worth = score(fit, timetable)
    bound = worth.total + 1 if bound is None else bound
    is_proven = bound == worth.total
    made = {roll.shot_id for roll in timetable.rolls}
    return plan_as_told(
        fit,
        timetable,
        worth,
        status="proven" if is_proven else "bounded",
        bound=bound,
        grid_min=grid_min,
        shots=tuple(
            _planned(fit, timetable, worth, k, grid_min) for k in range(len(timetable.rolls))
        ),
        left_out=tuple(
            LeftOut(
                shot=shot,
                why=why_left_out(fit, shot, timetable, is_proven=is_proven, grid_min=grid_min),
            )
            for shot in day.shots
            if shot.id not in made
        ),
    )


def plan_as_told(
    fit: DayFit,
    timetable: Timetable,
    worth: Score,
    *,
    status: str,
    bound: int,
    grid_min: int,
    shots: tuple[PlannedShot, ...],
    left_out: tuple[LeftOut, ...],
) -> Plan:
    """Give the plan of a timetable whose shots and left-out shots are described already."""
    day = fit.day
    return Plan(
        fit=fit,
        status=status,
        points=worth.total,
        bound=bound,
        light_kept=sum(worth.light.values()) / (1000.0 * sum(shot.weight for shot in day.shots)),
        shots=shots,
        left_out=left_out,
        meal=meal_span(day, timetable),
        score=worth,
        timetable=timetable,
        second_meal_due=second_meal_due(day, timetable, meal_within(day)),
        grid_min=grid_min,
    )


def meal_before(day: Day, rolls: list[tuple[Shot, datetime]], place: int) -> datetime:
    """Give the soonest start of a meal that stands before the roll of this place."""
    free = day.hours.crew_call
    if place:
        shot, start = rolls[place - 1]
        free = start + timedelta(minutes=shot.shoot_min)
    if day.past is not None:
        free = max(free, day.past.free_at)
    return max(free, day.meal.earliest)


def place_changeovers(
    day: Day, rolls: list[tuple[Shot, datetime]], meal_start: datetime | None
) -> tuple[Roll, ...]:
    """Start each changeover as soon as it can, so that the crew stands ready and waits for light.

    The day's first setup ends as the camera rolls instead: nobody is called to wait. Changeovers of
    the past stay where they were; the one that goes on goes on.
    """
    behind = day.past
    made = {} if behind is None else {one.shot_id: one for one in behind.made}
    placed: list[Roll] = []
    before: Shot | None = None
    for shot, roll_start in rolls:
        parts = changeover(day, before, shot)
        latest = roll_start - timedelta(minutes=parts.total_min)
        begun = roll_end(day, placed[-1]) if placed else None
        if behind is not None and len(placed) == len(made):
            begun = behind.free_at if placed else None
            if shot.id == behind.building:
                begun = behind.built_since
        start = latest
        if shot.id in made:
            start = made[shot.id].changeover_start
        elif begun is not None:
            start = begun
            if meal_start is not None and meal_start >= start and meal_start <= latest:
                start = meal_start + timedelta(minutes=day.meal.length_min)
            end = roll_start + timedelta(minutes=shot.shoot_min)
            for span in day.spot(shot.spot).open:
                if span.start <= latest + timedelta(minutes=parts.move_min) and end <= span.end:
                    start = max(start, span.start - timedelta(minutes=parts.move_min))
        placed.append(Roll(shot_id=shot.id, changeover_start=start, roll_start=roll_start))
        before = shot
    return tuple(placed)


def planned_wait_min(day: Day, timetable: Timetable, place: int) -> int:
    """Count the minutes of waiting since the roll before, in which nobody eats or changes over.

    The crew is not called to wait, so what stands before the day's first changeover is none.
    """
    roll = timetable.rolls[place]
    before = day.shot(timetable.rolls[place - 1].shot_id) if place else None
    work_min = changeover(day, before, day.shot(roll.shot_id)).total_min
    if place:
        return max(0, wait_before_min(day, timetable, place) - work_min)
    since_min = round((roll.roll_start - roll.changeover_start) / timedelta(minutes=1))
    return max(0, since_min - work_min)


def describe_roll(fit: DayFit, timetable: Timetable, worth: Score, place: int) -> PlannedShot:
    """Describe a roll without reasons; past the track's end, its sun is that of the end."""
    day, roll = fit.day, timetable.rolls[place]
    shot = day.shot(roll.shot_id)
    own = fit.shots[shot.id]
    before = day.shot(timetable.rolls[place - 1].shot_id) if place else None
    parts = changeover(day, before, shot)
    minute = fit.minute_of(roll.roll_start)
    is_inside, is_made = 0 <= minute < len(fit.track), shot.id in made_ids(day.past)
    azimuth, _, apparent = (
        float(angle) for angle in fit.track.at_halves(2 * minute + shot.shoot_min)
    )
    return PlannedShot(
        shot=shot,
        changeover_start=roll.changeover_start,
        roll_start=roll.roll_start,
        roll_end=roll_end(day, roll),
        build_min=parts.build_min,
        move_min=parts.move_min,
        turnaround_min=parts.turnaround_min,
        is_adjust=parts.is_adjust,
        wait_min=0 if is_made else planned_wait_min(day, timetable, place),
        wait_for="",
        sun_azimuth_deg=azimuth,
        sun_elevation_deg=apparent,
        sun_from_lens_deg=float(sun_from_lens_deg(azimuth, shot.look_deg)),
        fit=float(own.mean[minute]) if is_inside else 0.0,
        flat=flat_by(own, minute) if is_inside else "",
        points=worth.light[shot.id] - worth.match.get(shot.id, 0),
        last_start=last_start(fit, shot, roll.roll_start) if is_inside and not is_made else None,
        why="",
    )


def _planned(
    fit: DayFit, timetable: Timetable, worth: Score, index: int, grid_min: int
) -> PlannedShot:
    planned = describe_roll(fit, timetable, worth, index)
    here = why_here(fit, planned.shot, fit.minute_of(planned.roll_start), worth)
    if planned.shot.id in made_ids(fit.day.past):
        # A changeover that is over may have taken less than it was said to.
        return replace(planned, why=here)
    not_else = why_not_at_another_time(fit, timetable, index, grid_min)
    return replace(
        planned,
        wait_for=what_wait_is_for(fit, timetable, index, planned.built_wait_min, grid_min),
        why="; ".join(filter(None, (here, not_else))),
    )
