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

from sunsched.average.model.minutes import Law, law_of, whole_minutes
from sunsched.average.model.odds import UNWANTED, LawTable, Odds
from sunsched.average.model.rooms import Room, rooms
from sunsched.day.model import Day, Shot
from sunsched.light.fit import BoolArray, DayFit, IntArray
from sunsched.light.stretches import Minutes
from sunsched.plan.changeover import changeover
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
    roll_laws : minutes of each roll
    build_min : (n+1, n) planned minutes of each changeover
    forbidden : (n, n) True where the first must not come before the second
    origin, grid_min : first minute, of the track, and the minutes of a slot
    fed : whether the rest begins before the meal, after it, or as the crew stands up from it
    settled : points that nothing can change any more, matches left out
    odds : without the costs of matches
    """

    fit: DayFit
    shots: tuple[Shot, ...]
    rooms: tuple[tuple[int, Room], ...]
    roll_laws: tuple[Law, ...]
    build_min: IntArray
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
    def slots(self) -> int:
        """Number of slots, T."""
        return len(self.odds.end)

    @property
    def minutes(self) -> IntArray:
        """The minute of the track at which each slot begins: (T,)."""
        return self.origin + np.arange(self.slots) * self.grid_min


def make_rest(
    fit: DayFit, grid_min: int, within: Mapping[str, Minutes] = MappingProxyType({})
) -> Rest:
    """Tabulate what is still open of a day, in slots of some minutes.

    Parameters
    ----------
    within : minutes of the track in which some shots are to roll, by their ids
    """
    day, past = fit.day, fit.day.past
    shots = tuple(shot for shot in day.shots if shot.id not in day.over_ids)
    origin = fit.minute_of(day.hours.crew_call if past is None else past.free_at)
    slots = max(1, (fit.minute_of(day.hours.hard_wrap) - origin) // grid_min + 1)
    minutes = origin + np.arange(slots) * grid_min
    table = LawTable(grid_min)
    build_min = _build_min(fit, shots, origin)
    build_law = np.array(
        [
            [table.number(_build_law(day, shots[b], int(m))) for b, m in enumerate(row)]
            for row in build_min
        ],
        dtype=np.int64,
    ).reshape(build_min.shape)
    roll_laws = tuple(_roll_law(day, shot) for shot in shots)
    roll_law = np.array([table.number(law) for law in roll_laws], dtype=np.int64)
    wanted = [within.get(shot.id) for shot in shots]
    listed = [[(s, r) for r in rooms(fit, o, wanted[s])] for s, o in enumerate(shots)]
    found = [pair for own in listed for pair in own]
    gains = [_gain(fit, shots[s], roll_laws[s], room, minutes) for s, room in found]
    first, start, chance = table.arrays()
    odds = Odds(
        law_first=first,
        law_from=start,
        law_chance=chance,
        build_law=build_law,
        roll_law=roll_law,
        begin_from=_begin_from(fit, shots, origin, grid_min, slots),
        arc_cost=_arc_cost(day, shots),
        pair_cost=np.array(
            [[_pair_cost(day, a, b) for b in shots] for a in shots], dtype=float
        ).reshape(len(shots), len(shots)),
        room_from=np.cumsum([0, *(len(own) for own in listed)], dtype=np.int64),
        room_first=np.array([_slot_up(r.first - origin, grid_min) for _, r in found], np.int64),
        room_last=np.array([(r.last - origin) // grid_min for _, r in found], np.int64),
        room_opening=np.array([r.opening for _, r in found], np.int64),
        gain=np.array(gains, dtype=float).reshape(len(gains), slots),
        hungry_by=_hungry_by(fit, shots, origin, grid_min),
        toll=day.costs.after_meal * np.array([s.size in AVOIDED_SIZES for s in shots], dtype=float),
        end=_end(fit, minutes),
        meal_first=_slot_up(fit.minute_of(day.meal.earliest) - origin, grid_min),
        meal_slots=-(-day.meal.length_min // grid_min) if _can_eat(day) else -1,
        meal_points=float(day.costs.wait * day.meal.length_min),
    )
    ids = [shot.id for shot in shots]
    return Rest(
        fit=fit,
        shots=shots,
        rooms=tuple(found),
        roll_laws=roll_laws,
        build_min=build_min,
        forbidden=np.array([[b in a.after for b in ids] for a in shots], dtype=bool).reshape(
            len(shots), len(shots)
        ),
        origin=origin,
        grid_min=grid_min,
        fed=_fed(day),
        settled=_settled(fit),
        odds=odds,
    )


def likely_min(planned_min: int, median: float) -> int:
    """Give the minutes that half of all such work takes no longer than."""
    return int(whole_minutes(planned_min, median))


def _roll_law(day: Day, shot: Shot) -> Law:
    overrun = day.overruns[shot.size]
    return law_of(shot.shoot_min, overrun.roll_median, overrun.roll_spread)


def _build_law(day: Day, shot: Shot, planned_min: int) -> Law:
    overrun = day.overruns[shot.size]
    return law_of(planned_min, overrun.changeover_median, overrun.changeover_spread)


def _last_made(day: Day) -> Shot | None:
    if day.past is None or not day.past.made:
        return None
    return day.shot(day.past.made[-1].shot_id)


def _build_min(fit: DayFit, shots: tuple[Shot, ...], origin: int) -> IntArray:
    """Tabulate planned changeovers; of one that has begun, what is left of it."""
    day, past = fit.day, fit.day.past
    before = [*shots, _last_made(day)]
    table = np.array(
        [[changeover(day, other, shot).total_min for shot in shots] for other in before],
        dtype=np.int64,
    ).reshape(len(before), len(shots))
    if past is not None and past.built_since is not None:
        gone = origin - fit.minute_of(past.built_since)
        for b, shot in enumerate(shots):
            if shot.id == past.building:
                table[-1, b] = max(0, table[-1, b] - gone)
    return table


def _begin_from(
    fit: DayFit, shots: tuple[Shot, ...], origin: int, grid_min: int, slots: int
) -> IntArray:
    """Tabulate from when on a changeover can begin, so that its build finds the spot open.

    To a spot that is still shut the crew sets out so late that the quickest move is not early.
    """
    day = fit.day
    openings = [day.spot(shot.spot).open for shot in shots]
    most = max((len(spans) for spans in openings), default=0)
    table = np.full((max(most, 1), len(shots) + 1, len(shots)), slots, dtype=np.int64)
    for a, other in enumerate((*shots, _last_made(day))):
        for b, shot in enumerate(shots):
            move = _build_law(day, shot, changeover(day, other, shot).move_min).first
            opens = sorted(fit.minute_of(span.start) - move for span in openings[b]) or [origin]
            for o, minute in enumerate(opens):
                table[o, a, b] = min(slots, _slot_up(minute - origin, grid_min))
    return table


def _arc_cost(day: Day, shots: tuple[Shot, ...]) -> FloatArray:
    made = () if day.past is None else tuple(day.shot(one.shot_id) for one in day.past.made)
    return np.array(
        [
            [
                (0 if a is None else day.costs.move * (a.spot != b.spot))
                + (0 if a is None else day.costs.rig_change * (a.rig != b.rig))
                + sum(_pair_cost(day, one, b) for one in made)
                for b in shots
            ]
            for a in (*shots, _last_made(day))
        ],
        dtype=float,
    ).reshape(len(shots) + 1, len(shots))


def _pair_cost(day: Day, a: Shot, b: Shot) -> int:
    is_tight_first = bool(a.match) and a.match == b.match and a.size.rank > b.size.rank
    return day.costs.wide_to_tight * is_tight_first


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


def _slot_up(minute: int, grid_min: int) -> int:
    return max(0, -(-minute // grid_min))
