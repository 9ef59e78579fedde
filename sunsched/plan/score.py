"""What a timetable is worth: the light its shots earn and every cost, counted from scratch.

Nothing here knows of any solver; the solver's own points must agree with these to the integer.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise

import numpy as np

from sunsched.day.model import Day, MatchBy, Shot, Size
from sunsched.light.fit import DayFit, IntArray
from sunsched.plan.timetable import Roll, Timetable, meal_end, roll_end
from sunsched.sky.track import FloatArray, separation_deg, sun_from_lens_deg

# The reference sun of a match is looked for on this grid, whatever grid the starts are on, so that
# a timetable is worth the same to everyone.
REFERENCE_STEP_MIN = 5
# Never straight from lunch: a face needs its light built with care, a wide the whole crew awake.
# Common practice, no source.
AVOIDED_SIZES = (Size.CLOSE_UP, Size.WIDE)
LOOSE_SIZES = (Size.CLOSE_UP, Size.INSERT)  # frames can be pulled in: twice the free drift


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """What a timetable is worth, in points; every cost is positive and subtracted.

    `light` holds the points each made shot earns, `match` the cost of each made shot that has one.
    """

    light: dict[str, int]
    left_out: dict[str, int]
    match: dict[str, int]
    waiting: int
    after_meal: int
    wide_to_tight: int
    overtime: int
    moves: int
    rig_changes: int

    @property
    def total(self) -> int:
        """Give the points of the whole timetable."""
        return (
            sum(self.light.values())
            - sum(self.left_out.values())
            - sum(self.match.values())
            - self.waiting
            - self.after_meal
            - self.wide_to_tight
            - self.overtime
            - self.moves
            - self.rig_changes
        )


def score(fit: DayFit, timetable: Timetable) -> Score:
    """Add up what a timetable is worth, from the day and its fit alone."""
    day = fit.day
    shots = [day.shot(roll.shot_id) for roll in timetable.rolls]
    made = {shot.id for shot in shots}
    last_end = max((roll_end(day, roll) for roll in timetable.rolls), default=day.hours.wrap)
    costs = day.costs
    return Score(
        light={roll.shot_id: _light(fit, roll) for roll in timetable.rolls},
        left_out={s.id: left_out_cost(day, s) for s in day.shots if s.id not in made},
        match=match_costs(fit, timetable),
        waiting=costs.wait * waiting_min(day, timetable),
        after_meal=_after_meal_cost(day, timetable),
        wide_to_tight=costs.wide_to_tight * sum(1 for _ in _tight_before_wide(shots)),
        overtime=costs.overtime * max(0, round((last_end - day.hours.wrap).total_seconds() / 60)),
        moves=costs.move * sum(a.spot != b.spot for a, b in pairwise(shots)),
        rig_changes=costs.rig_change * sum(a.rig != b.rig for a, b in pairwise(shots)),
    )


def left_out_cost(day: Day, shot: Shot) -> int:
    """Give the points that a day loses by leaving a shot out, beside its light."""
    return round_half_up(day.costs.left_out * shot.weight)


def waiting_min(day: Day, timetable: Timetable) -> int:
    """Count the minutes, from the call to the last roll's end, without a roll or a meal.

    Changeovers are among them: were they free, a needless move would pay for itself on any day that
    waits for its light. So are minutes that are lost on a day under way.
    """
    return sum(wait_before_min(day, timetable, place) for place in range(len(timetable.rolls)))


def wait_before_min(day: Day, timetable: Timetable, place: int) -> int:
    """Count the minutes before a roll in which nothing rolls and nobody eats."""
    roll, meal = timetable.rolls[place], timetable.meal_start
    since = roll_end(day, timetable.rolls[place - 1]) if place else day.hours.crew_call
    eaten = meal is not None and since <= meal < roll.roll_start
    free = (roll.roll_start - since) // timedelta(minutes=1)
    return max(0, free - day.meal.length_min * eaten)


def match_costs(fit: DayFit, timetable: Timetable) -> dict[str, int]:
    """Give each made shot's part of its match's cost, at the match's best common sun.

    A match with one shot on the list costs nothing. If only one of its shots is made, that one pays
    what drift is left on the grid of references: nothing, unless the free drift is below 0.7°.
    """
    listed = Counter(shot.match for shot in fit.day.shots)
    groups: dict[str, list[Roll]] = {}
    for roll in timetable.rolls:
        name = fit.day.shot(roll.shot_id).match
        if name:
            groups.setdefault(name, []).append(roll)
    costs: dict[str, int] = {}
    for name, rolls in groups.items():
        if listed[name] < 2:
            continue
        table = np.array(
            [
                drift_costs(
                    fit, fit.day.shot(roll.shot_id), np.array([fit.minute_of(roll.roll_start)])
                )
                for roll in rolls
            ]
        )[:, 0, :]
        best = int(np.argmin(table.sum(axis=0)))
        costs |= {roll.shot_id: int(table[k, best]) for k, roll in enumerate(rolls)}
    return costs


def reference_minutes(fit: DayFit) -> IntArray:
    """Give the minutes at which the common sun of a match may stand, as track minutes."""
    first = fit.minute_of(fit.day.hours.crew_call)
    last = min(fit.minute_of(fit.day.hours.hard_wrap), len(fit.track) - 1)
    first -= first % REFERENCE_STEP_MIN
    return np.arange(first, last + 1, REFERENCE_STEP_MIN)


def drift_costs(fit: DayFit, shot: Shot, starts: IntArray) -> IntArray:
    """Give what a shot's drift costs, for each start and each reference sun.

    Parameters
    ----------
    starts : (starts,) roll starts in track minutes

    Returns
    -------
    (starts, references) whole points
    """
    return drift_costs_at(fit, shot, 2 * starts + shot.shoot_min)


def drift_costs_at(fit: DayFit, shot: Shot, middles: IntArray) -> IntArray:
    """Give what drift costs for middles of rolls, (rolls,) in half minutes of the track.

    A roll's sun is that of its middle, which may stand between two minutes.
    """
    return costs_of_drift(fit.day, shot, drift_deg(fit, looks_held(fit.day, shot), middles))


def looks_held(day: Day, shot: Shot) -> tuple[float, float] | None:
    """Give the looks of a shot and of its match, held against each other; None by the sun."""
    if day.matched_by(shot.match) is not MatchBy.LENS:
        return None
    return shot.look_deg, common_look_deg(day, shot.match)


def drift_deg(fit: DayFit, looks: tuple[float, float] | None, middles: IntArray) -> FloatArray:
    """Give the drift of middles of rolls from every reference sun: (rolls, references).

    Parameters
    ----------
    looks : as `looks_held` gives them
    middles : (rolls,) in half minutes of the track
    """
    track, references = fit.track, reference_minutes(fit)
    azimuth, elevation, _ = track.at_halves(middles)
    common_azimuth, common_elevation = (
        track.azimuth_deg[references],
        track.elevation_deg[references],
    )
    if looks is not None:
        azimuth, common_azimuth = (
            np.abs(sun_from_lens_deg(seen, look))
            for seen, look in zip((azimuth, common_azimuth), looks, strict=True)
        )
    return separation_deg(
        azimuth[:, None], elevation[:, None], common_azimuth[None, :], common_elevation[None, :]
    )


def costs_of_drift(day: Day, shot: Shot, drift: FloatArray) -> IntArray:
    """Give what degrees of drift cost a shot, in whole points."""
    costs = day.costs
    free = costs.match_free_deg * (2.0 if shot.size in LOOSE_SIZES else 1.0)
    share = np.clip((drift - free) / costs.match_span_deg, 0.0, 1.0)
    return np.floor(costs.match * shot.weight * share + 0.5).astype(np.int64)


def common_look_deg(day: Day, match: str) -> float:
    """Give the look that a match by the lens is held against: that of its widest, first shot."""
    shots = [shot for shot in day.shots if shot.match == match]
    return min(shots, key=lambda shot: shot.size.rank).look_deg


def round_half_up(points: float) -> int:
    """Round to whole points, halves up, so that every machine agrees."""
    return int(np.floor(points + 0.5))


def _light(fit: DayFit, roll: Roll) -> int:
    minute = fit.minute_of(roll.roll_start)
    points = fit.shots[roll.shot_id].points
    return int(points[minute]) if 0 <= minute < len(points) else 0


def _after_meal_cost(day: Day, timetable: Timetable) -> int:
    end = meal_end(day, timetable)
    if end is None:
        return 0
    for roll in timetable.rolls:
        if roll.changeover_start >= end:
            shot = day.shot(roll.shot_id)
            return day.costs.after_meal if shot.size in AVOIDED_SIZES else 0
    return 0


def _tight_before_wide(shots: list[Shot]) -> Iterator[tuple[Shot, Shot]]:
    """Yield each pair of a match in which the tighter shot was made first."""
    for index, earlier in enumerate(shots):
        for later in shots[index + 1 :]:
            if (
                earlier.match
                and earlier.match == later.match
                and earlier.size.rank > later.size.rank
            ):
                yield earlier, later
