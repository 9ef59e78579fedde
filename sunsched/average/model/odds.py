"""What the crew can do on the average day, as arrays for the compiled functions.

Time is counted in slots of some minutes from the moment at which the rest of the day is open. Row n
of the arrays of changeovers (n = number of shots still to come) stands for what comes before them.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sunsched.average.model.minutes import Law, in_slots
from sunsched.light.fit import IntArray
from sunsched.sky.track import FloatArray

UNWANTED = -1e15  # the worth of what must not be


class Odds(NamedTuple):
    """Arrays for n shots still to come, T slots, O openings of a spot.

    Attributes
    ----------
    law_first, law_from, law_chance : law k has the chances law_chance[law_from[k] : law_from[k+1]]
        for law_first[k], law_first[k] + 1, … slots
    build_law : (n+1, n) law of each changeover; roll_law : (n,) of each roll
    begin_from : (O, n+1, n) first slot of a changeover whose roll is in an opening; T for none
    arc_cost : (n+1, n) points for the company move, the change of rig, and shots that were made
        tight before it
    pair_cost : (n, n) points if the first is begun before the second
    room_from : (n+1,) the rooms of shot s are those from room_from[s] to before room_from[s+1]
    room_first, room_last, room_opening : (rooms,) slots, and the opening, of each
    gain : (rooms, T) expected points of a roll that starts there
    hungry_by : (n,) last slot in which a roll may start before the meal
    toll : (n,) points if the shot is begun first after the meal
    end : (T,) what waiting and overtime have cost, below 0, if the crew stops there
    meal_first, meal_slots : first slot of the meal, and its length; −1 if there can be none
    meal_points : what a meal earns back of the waiting
    """

    law_first: IntArray
    law_from: IntArray
    law_chance: FloatArray
    build_law: IntArray
    roll_law: IntArray
    begin_from: IntArray
    arc_cost: FloatArray
    pair_cost: FloatArray
    room_from: IntArray
    room_first: IntArray
    room_last: IntArray
    room_opening: IntArray
    gain: FloatArray
    hungry_by: IntArray
    toll: FloatArray
    end: FloatArray
    meal_first: int
    meal_slots: int
    meal_points: float


class LawTable:
    """Laws in slots, each once, one after the other."""

    def __init__(self, grid_min: int) -> None:
        self._grid_min = grid_min
        self._known: dict[int, int] = {}
        self._laws: list[Law] = []

    def number(self, law: Law) -> int:
        """Give a law's number; it is added if it is new."""
        known = self._known.setdefault(id(law), len(self._laws))
        if known == len(self._laws):
            self._laws.append(in_slots(law, self._grid_min))
        return known

    def arrays(self) -> tuple[IntArray, IntArray, FloatArray]:
        """Give `law_first`, `law_from` and `law_chance`."""
        lengths = [len(law.chances) for law in self._laws]
        return (
            np.array([law.first for law in self._laws], dtype=np.int64),
            np.cumsum([0, *lengths], dtype=np.int64),
            np.concatenate([np.zeros(0), *(law.chances for law in self._laws)]),
        )
