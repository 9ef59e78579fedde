"""A day as integer tables: what the solver sees. All facts are here, none of the day's words.

Time is counted in slots of `grid_min` minutes from `origin` (a track minute, on the clock's grid).
A shot that starts in slot t rolls at minute origin + t·grid_min + offset[shot]; offsets are 0 but
for shots whose minute is given: a pin may stand between two slots, and a shot that is made already
has a slot of its own before those of the crew call. Lags are whole slots: because every start is on
the grid, rounding the *sum* of roll and changeover up loses nothing. The meal is on no grid: it
starts at any minute, and only the start after it is rounded up.

Two shots may start in one slot if the second has the larger offset (a lag of 0). So whoever looks
at the shots of a slot one after the other looks at them by their offsets.

Row n of the arc tables (n = number of shots) stands for whatever comes before the first shot.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sunsched.light.fit import BoolArray, IntArray

FORBIDDEN = -(10**15)  # stands for a start that must not be; `span` says how far off points are


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One day for the solver; n shots, T slots, K ways of building, R reference suns.

    Attributes
    ----------
    gain : (K, n, T) points of starting shot s in slot t, its left-out cost added; FORBIDDEN where
        it must not start. K is 1 unless spots have hours: then 0 is a setup, 1 an adjust and 2 an
        adjust with turnaround, which need the spot from different minutes on.
    roll_min : (n,) minutes that each shot rolls
    kind : (n+1, n) which K an arc uses
    lag : (n+1, n) slots from the start of one shot to the earliest start of the next
    lag_fed : (n+1, n) slots from the start of one shot to the earliest start of the next if the
        meal comes between
    fed_from : (n+1, n) first slot for the start of the next shot after the earliest meal
    eat_by : (n+1,) last slot of a shot after which the meal can still start in time, below 0 for
        none; the crew call stands in slot 0
    arc_cost : (n+1, n) points for the company move and the rig change
    pair_cost : (n, n) points if the first is made some time before the second
    forbidden_pair : (n, n) True where the first must not be made before the second
    after_meal_cost : (n,) points if the shot is the first after the meal
    end_cost : (n, T) points for wrapping after this shot started there: overtime
    can_skip_meal : (n, T) whether the day may end with it and no meal
    must : (n,) shots that cannot be left out
    match : (n,) index of the shot's match, -1 for none; drift : (n, T, R) its cost at a reference
    dark : whether there are starts to choose from, and none of them has any light
    base : points of making nothing (all left-out costs, negative)
    """

    grid_min: int
    origin: int
    ids: tuple[str, ...]
    offset: IntArray
    roll_min: IntArray
    gain: IntArray
    kind: IntArray
    lag: IntArray
    lag_fed: IntArray
    fed_from: IntArray
    eat_by: IntArray
    arc_cost: IntArray
    pair_cost: IntArray
    forbidden_pair: BoolArray
    after_meal_cost: IntArray
    end_cost: IntArray
    can_skip_meal: BoolArray
    must: BoolArray
    match: IntArray
    drift: npt.NDArray[np.int32]
    dark: bool
    base: int

    def __repr__(self) -> str:
        """Give one line, not the tables."""
        return f"<Problem of {self.shots} shots, {self.slots} slots of {self.grid_min} min>"

    @property
    def shots(self) -> int:
        """Number of shots, n."""
        return len(self.ids)

    @property
    def slots(self) -> int:
        """Number of slots, T."""
        return int(self.gain.shape[2])

    def start_minute(self, shot: int, slot: int) -> int:
        """Give the track minute at which a shot started in a slot rolls."""
        return self.origin + slot * self.grid_min + int(self.offset[shot])

    @property
    def span(self) -> int:
        """Give a number of points that no plan, whole or begun, can gain or lose beside `base`."""
        gains = np.where(self.gain > FORBIDDEN, np.abs(self.gain), 0)
        return int(
            gains.max(axis=(0, 2), initial=0).sum()
            + self.drift.max(axis=(1, 2), initial=0).sum(dtype=np.int64)
            + np.abs(self.arc_cost).max(axis=0, initial=0).sum()
            + np.abs(self.pair_cost).sum()
            + np.abs(self.after_meal_cost).max(initial=0)
            + np.abs(self.end_cost).max(initial=0)
        )
