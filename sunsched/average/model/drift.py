"""What matches cost on the average day: the drift from a reference sun that the order has chosen.

The reference of each match is chosen with the order, before the day, and stays whatever comes.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sunsched.average.model.odds import Odds
from sunsched.average.model.rest import Rest
from sunsched.light.fit import IntArray, is_same_light
from sunsched.plan.score import (
    costs_of_drift,
    drift_costs,
    drift_deg,
    looks_held,
    reference_minutes,
)
from sunsched.sky.track import FloatArray

DriftArray = npt.NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drifts:
    """Drift of the shots still to come, and of those made; G matches, R reference suns.

    Attributes
    ----------
    names : of the matches with two shots or more on the list
    match : (n,) each shot's match, −1 for none
    by_half : for each shot (H, R) its cost with the middle of its roll h half minutes after the
        rest's origin, or an empty array for one without a match
    made : (G, R) what the made shots of each match cost
    """

    names: tuple[str, ...]
    match: IntArray
    by_half: tuple[DriftArray, ...]
    made: FloatArray

    @property
    def references(self) -> int:
        """Number of reference suns, R."""
        return int(self.made.shape[1])


def make_drifts(rest: Rest, known: tuple[Rest, Drifts] | None = None) -> Drifts:
    """Tabulate the drift of every shot that has a match.

    Parameters
    ----------
    known : those of another rest, to be taken over where they are the same
    """
    if known is not None and (same := _taken_over(rest, *known)) is not None:
        return same
    fit = rest.fit
    day, past = fit.day, fit.day.past
    listed = Counter(shot.match for shot in day.shots if shot.match)
    names = tuple(sorted(name for name, count in listed.items() if count > 1))
    last = max(fit.minute_of(day.hours.hard_wrap), rest.origin)
    halves = np.arange(2 * rest.origin, 2 * last + 1)
    made = np.zeros((len(names), len(reference_minutes(fit))))
    for one in () if past is None else past.made:
        shot = day.shot(one.shot_id)
        if shot.match in names:
            start = np.array([fit.minute_of(one.roll_start)])
            made[names.index(shot.match)] += drift_costs(fit, shot, start)[0]
    # Shots that are held by the same looks drift alike.
    held = {shot: looks_held(day, shot) for shot in rest.shots if shot.match in names}
    drift = {looks: drift_deg(fit, looks, halves) for looks in set(held.values())}
    return Drifts(
        names=names,
        match=np.array(
            [names.index(s.match) if s.match in names else -1 for s in rest.shots], dtype=np.int64
        ),
        by_half=tuple(
            costs_of_drift(day, shot, drift[held[shot]]).astype(np.float32)
            if shot in held
            else np.zeros((0, made.shape[1]), dtype=np.float32)
            for shot in rest.shots
        ),
        made=made,
    )


def _taken_over(rest: Rest, was: Rest, drifts: Drifts) -> Drifts | None:
    """Give the drifts of another rest for the shots of this one; None where they may differ."""
    is_same = (
        rest.origin == was.origin
        and rest.fit.day.past == was.fit.day.past
        and [shot.id for shot in rest.shots] == [shot.id for shot in was.shots]
        and is_same_light(rest.fit, was.fit)
    )
    return drifts if is_same else None


def expected_drift(rest: Rest, row: int, by_half: npt.NDArray[np.floating]) -> FloatArray:
    """Give what a roll in a room is expected to cost, by its start; one that is not made is free.

    Parameters
    ----------
    row : of the gains
    by_half : (H, …) cost by the middle of the roll

    Returns
    -------
    (T, …) points
    """
    s, room = rest.rooms[row]
    law, starts = rest.roll_laws[s], rest.minutes
    inside = np.flatnonzero((starts >= room.first) & (starts < room.last))
    cost = np.zeros((len(starts), *by_half.shape[1:]))
    for minutes, chance in enumerate(law.chances.tolist(), law.first):
        made = inside[starts[inside] + minutes <= room.last]
        cost[made] += chance * by_half[2 * (starts[made] - rest.origin) + minutes]
    return cost


def drift_table(rest: Rest, drifts: Drifts) -> DriftArray:
    """Give what each roll is expected to cost at each reference: (rooms, T, R)."""
    table = np.zeros((len(rest.rooms), rest.slots, drifts.references), dtype=np.float32)
    for row, (s, _) in enumerate(rest.rooms):
        if drifts.match[s] >= 0:
            table[row] = expected_drift(rest, row, drifts.by_half[s])
    return table


def with_references(rest: Rest, drifts: Drifts, references: IntArray) -> Odds:
    """Give the odds with every match at its reference: (G,) indices of reference suns."""
    gain = rest.odds.gain.copy()
    for row, (s, _) in enumerate(rest.rooms):
        group = drifts.match[s]
        if group >= 0:
            gain[row] -= expected_drift(rest, row, drifts.by_half[s][:, references[group]])
    return rest.odds._replace(gain=gain)


def made_drift(drifts: Drifts, references: IntArray) -> float:
    """Give what the made shots of all matches cost."""
    return float(sum(drifts.made[g, r] for g, r in enumerate(references)))
