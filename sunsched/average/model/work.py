"""How long work takes on the average day, when it can begin, and what changeovers cost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sunsched.average.model.minutes import Law, law_of
from sunsched.average.model.odds import LawTable
from sunsched.day.model import Day, Shot
from sunsched.light.fit import DayFit, IntArray
from sunsched.plan.changeover import changeover
from sunsched.sky.track import FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What does not depend on pins, on who is there nor on the meal.

    `roll_laws` are the minutes of each roll, `build_min` the planned ones of each changeover; the
    arrays are those of `Odds`.
    """

    roll_laws: tuple[Law, ...]
    build_min: IntArray
    law_first: IntArray
    law_from: IntArray
    law_chance: FloatArray
    build_law: IntArray
    roll_law: IntArray
    begin_from: IntArray
    arc_cost: FloatArray
    pair_cost: FloatArray


def make_work(fit: DayFit, shots: tuple[Shot, ...], origin: int, grid_min: int, slots: int) -> Work:
    """Tabulate the work that is still open of a day, in slots of some minutes from `origin` on."""
    day, table = fit.day, LawTable(grid_min)
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
    first, start, chance = table.arrays()
    return Work(
        roll_laws=roll_laws,
        build_min=build_min,
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
    )


def slot_up(minute: int, grid_min: int) -> int:
    """Give the first slot that begins at a minute or later, counted from the same moment."""
    return max(0, -(-minute // grid_min))


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
                table[o, a, b] = min(slots, slot_up(minute - origin, grid_min))
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
