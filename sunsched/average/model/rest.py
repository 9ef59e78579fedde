"""What is still open of a day, on which work takes the minutes that chance gives it.

The crew knows the chances and sees the clock. It builds one shot after the other, waits, eats and
stops as is best from where it stands. A shot that it gives up when it is ready is not taken up
again. A roll that runs out of its hours is not made and has cost its time. The meal may start late
only if a roll ran over that should have ended in time. Overtime and waiting count until the crew
stops; a shot that is tighter than a later one of its match costs as soon as the later one is begun.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from sunsched.average.model.minutes import Law, whole_minutes
from sunsched.average.model.odds import UNWANTED, Odds
from sunsched.average.model.rooms import Room, rooms
from sunsched.average.model.work import Work, make_work, slot_up
from sunsched.day.model import Day, Shot
from sunsched.light.fit import BoolArray, DayFit, IntArray, is_same_light
from sunsched.light.stretches import Minutes
from sunsched.plan.score import AVOIDED_SIZES, left_out_cost, score
from sunsched.plan.timetable import Roll, Timetable
from sunsched.sky.track import FloatArray

PIN_POINTS = 50_000.0  # on top at its pin: it is late, or given up, only if it must be
BEFORE_MEAL, AFTER_MEAL, FROM_MEAL = 0, 1, 2  # what the crew has behind it


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """What is open of a day; n shots, T slots.

    Attributes
    ----------
    shots : those still to come, in the day's order
    rooms : shot and stretch of each row of the gains
    work : how long each roll and changeover takes, and what changeovers cost
    forbidden : (n, n) True where the first must not come before the second
    origin, grid_min : first minute, of the track, and the minutes of a slot
    fed : whether the rest begins before the meal, after it, or as the crew stands up from it
    settled : points that nothing can change any more, matches left out
    odds : without the costs of matches
    """

    fit: DayFit
    shots: tuple[Shot, ...]
    rooms: tuple[tuple[int, Room], ...]
    work: Work
    forbidden: BoolArray
    origin: int
    grid_min: int
    fed: int
    settled: float
    odds: Odds

    def __repr__(self) -> str:
        """Give one line, not the arrays."""
        return f"<Rest of {len(self.shots)} shots, {self.slots} slots of {self.grid_min} min>"

    @property
    def roll_laws(self) -> tuple[Law, ...]:
        """Minutes of each roll."""
        return self.work.roll_laws

    @property
    def build_min(self) -> IntArray:
        """Planned minutes of each changeover: (n+1, n)."""
        return self.work.build_min

    @property
    def slots(self) -> int:
        """Number of slots, T."""
        return len(self.odds.end)

    @property
    def minutes(self) -> IntArray:
        """The minute of the track at which each slot begins: (T,)."""
        return self.origin + np.arange(self.slots) * self.grid_min


def make_rest(
    fit: DayFit,
    grid_min: int,
    within: Mapping[str, Minutes] = MappingProxyType({}),
    near: Rest | None = None,
) -> Rest:
    """Tabulate what is still open of a day, in slots of some minutes.

    Parameters
    ----------
    within : minutes of the track in which some shots are to roll, by their ids
    near : the rest of a day like it, of which is taken over what is the same
    """
    day, past = fit.day, fit.day.past
    shots = tuple(shot for shot in day.shots if shot.id not in day.over_ids)
    origin = fit.minute_of(day.hours.crew_call if past is None else past.free_at)
    slots = max(1, (fit.minute_of(day.hours.hard_wrap) - origin) // grid_min + 1)
    minutes = origin + np.arange(slots) * grid_min
    same = near if near is not None and _is_alike(near, fit, grid_min) else None
    work = make_work(fit, shots, origin, grid_min, slots) if same is None else same.work
    wanted = [within.get(shot.id) for shot in shots]
    listed = [[(s, r) for r in rooms(fit, o, wanted[s])] for s, o in enumerate(shots)]
    found = [pair for own in listed for pair in own]
    known = {} if same is None else _known_gains(same)
    gains = [
        _gain(fit, shots[s], work.roll_laws[s], room, minutes)
        if (gain := known.get((shots[s].id, shots[s].pin, room.first, room.last))) is None
        else gain
        for s, room in found
    ]
    odds = Odds(
        law_first=work.law_first,
        law_from=work.law_from,
        law_chance=work.law_chance,
        build_law=work.build_law,
        roll_law=work.roll_law,
        begin_from=work.begin_from,
        arc_cost=work.arc_cost,
        pair_cost=work.pair_cost,
        room_from=np.cumsum([0, *(len(own) for own in listed)], dtype=np.int64),
        room_first=np.array([slot_up(r.first - origin, grid_min) for _, r in found], np.int64),
        room_last=np.array([(r.last - origin) // grid_min for _, r in found], np.int64),
        room_opening=np.array([r.opening for _, r in found], np.int64),
        gain=np.array(gains, dtype=float).reshape(len(gains), slots),
        hungry_by=_hungry_by(fit, shots, origin, grid_min),
        toll=day.costs.after_meal * np.array([s.size in AVOIDED_SIZES for s in shots], dtype=float),
        end=_end(fit, minutes),
        meal_first=slot_up(fit.minute_of(day.meal.earliest) - origin, grid_min),
        meal_slots=-(-day.meal.length_min // grid_min) if _can_eat(day) else -1,
        meal_points=float(day.costs.wait * day.meal.length_min),
    )
    ids = [shot.id for shot in shots]
    return Rest(
        fit=fit,
        shots=shots,
        rooms=tuple(found),
        work=work,
        forbidden=np.array([[b in a.after for b in ids] for a in shots], dtype=bool).reshape(
            len(shots), len(shots)
        ),
        origin=origin,
        grid_min=grid_min,
        fed=_fed(day),
        settled=_settled(fit),
        odds=odds,
    )


def _is_alike(near: Rest, fit: DayFit, grid_min: int) -> bool:
    """Say whether work takes as long as in another rest, and costs and keeps as much."""
    return (
        near.grid_min == grid_min
        and near.fit.day.over_ids == fit.day.over_ids
        and near.fit.day.past == fit.day.past
        and is_same_light(near.fit, fit)
    )


def _known_gains(near: Rest) -> dict[tuple[object, ...], FloatArray]:
    """Give the gains of a rest by what each was made of."""
    rows = zip(near.rooms, near.odds.gain, strict=True)
    return {
        (near.shots[s].id, near.shots[s].pin, room.first, room.last): gain
        for (s, room), gain in rows
    }


def likely_min(planned_min: int, median: float) -> int:
    """Give the minutes that half of all such work takes no longer than."""
    return int(whole_minutes(planned_min, median))


def _gain(fit: DayFit, shot: Shot, law: Law, room: Room, starts: IntArray) -> FloatArray:
    """Give what a roll is expected to win, by its start: (T,), UNWANTED outside the room."""
    day, light = fit.day, fit.shots[shot.id].fit
    gain = np.full(len(starts), UNWANTED)
    inside = (starts >= room.first) & (starts < room.last)
    on_top = np.zeros(len(starts))
    if shot.pin is not None:
        # On a grid that passes over the pin, the slot after it stands for it.
        pin, step = fit.minute_of(shot.pin), int(starts[1] - starts[0]) if len(starts) > 1 else 1
        inside &= starts >= pin
        on_top[(starts >= pin) & (starts < pin + step)] = PIN_POINTS
    begin = starts[inside][:, None]
    lasts = law.first + np.arange(len(law.chances))[None, :]
    end = np.minimum(begin + lasts, room.last)
    sums = np.concatenate(([0.0], np.cumsum(light)))
    mean = (sums[end] - sums[begin]) / lasts
    kept = 1000.0 * shot.weight * mean + left_out_cost(day, shot) + on_top[inside][:, None]
    won = np.where(begin + lasts <= room.last, kept, 0.0) + day.costs.wait * (end - begin)
    gain[inside] = won @ law.chances
    return gain


def _hungry_by(fit: DayFit, shots: tuple[Shot, ...], origin: int, grid_min: int) -> IntArray:
    """Tabulate the last slot of a roll that is likely to end by the latest start of the meal."""
    latest = fit.minute_of(fit.day.meal.latest) - origin
    likely = [likely_min(shot.shoot_min, fit.day.overruns[shot.size].roll_median) for shot in shots]
    return np.array([(latest - one) // grid_min for one in likely], dtype=np.int64)


def _end(fit: DayFit, minutes: IntArray) -> FloatArray:
    day, past = fit.day, fit.day.past
    done = day.hours.crew_call
    if past is not None and past.made:
        done = past.made[-1].roll_end
    since = fit.minute_of(done)
    wrap = max(fit.minute_of(day.hours.wrap), since)
    over = np.maximum(0, minutes - wrap)
    return -(day.costs.overtime * over + day.costs.wait * (minutes - since)).astype(float)


def _can_eat(day: Day) -> bool:
    return day.meal.earliest <= day.meal.latest and _fed(day) == BEFORE_MEAL


def _fed(day: Day) -> int:
    past = day.past
    if past is None or past.meal_start is None:
        return BEFORE_MEAL
    is_last = not past.made or past.made[-1].changeover_start < past.meal_start
    return FROM_MEAL if is_last else AFTER_MEAL


def _settled(fit: DayFit) -> float:
    """Count what is made, and every shot still to come as left out."""
    day, past = fit.day, fit.day.past
    if past is None:
        return -float(sum(left_out_cost(day, shot) for shot in day.shots))
    made = tuple(
        Roll(
            shot_id=one.shot_id,
            changeover_start=one.changeover_start,
            roll_start=one.roll_start,
        )
        for one in past.made
    )
    worth = score(fit, Timetable(rolls=made, meal_start=past.meal_start))
    settled = float(worth.total + sum(worth.match.values()))
    if _fed(day) == FROM_MEAL:
        settled += day.costs.wait * day.meal.length_min
    return settled
