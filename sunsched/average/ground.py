"""What is open of a day, to the minute and on slots, with the orders of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property, partial

import numpy as np

from sunsched.average.model.drift import Drifts, make_drifts
from sunsched.average.model.rest import Rest, make_rest
from sunsched.average.order.forecast import Policy, make_policy
from sunsched.average.order.local_search import repair
from sunsched.average.order.search import Climb, Ordered, Scratch
from sunsched.light.fit import DayFit, IntArray
from sunsched.plan.score import drift_costs
from sunsched.plan.timetable import Timetable

ROUGH_MIN, COARSE_MIN = 10, 5  # minutes of a slot, of the search and of its last steps


class Ground:
    """What is open of a day, to the minute and on slots, with what orders need of it.

    Parameters
    ----------
    pose : gives the rest on slots of some minutes, where more is asked of it than the day says
    """

    def __init__(self, fit: DayFit, pose: Callable[[int], Rest] | None = None) -> None:
        self.fit = fit
        self._pose = partial(make_rest, fit) if pose is None else pose
        self.minute = self._pose(1)
        self.drifts = make_drifts(self.minute)
        self._ids = [shot.id for shot in self.minute.shots]
        self._scratch = Scratch(self.minute, self.drifts)
        self._climb: Climb | None = None

    @cached_property
    def coarse(self) -> Rest:
        """The rest on coarse slots; who judges one order alone does without."""
        return self._pose(COARSE_MIN)

    def rough(self) -> Rest:
        """Give the rest on rough slots."""
        return self._pose(ROUGH_MIN)

    def indices(self, sequence: Sequence[str]) -> IntArray:
        """Give the shots of an order that are still to come, by their number in the rest.

        One that stands before a shot that it must come after is put behind it.
        """
        ids = self._ids
        return self._allowed([ids.index(one) for one in sequence if one in ids])

    def whole(self, sequence: Sequence[str]) -> IntArray:
        """Give an order of all shots still to come that begins with this one."""
        rest, order = self.minute, self.indices(sequence).tolist()
        left = [s for s in range(len(self._ids)) if s not in order]
        while left:
            # What must come after others comes after them.
            free = next(
                (s for s in left if not any(rest.forbidden[s, other] for other in left)), left[0]
            )
            left.remove(free)
            order = _put_allowed(rest, order, free)
        return self._allowed(order)

    def _allowed(self, order: Sequence[int]) -> IntArray:
        placed = np.array(order, dtype=np.int64)
        repair(placed, self.minute.forbidden, len(placed) - 1)
        return placed

    def ordered(self, order: IntArray, references: IntArray) -> Ordered:
        """Judge an order with its references, to the minute."""
        worth = self._scratch.worth(order, references)
        return Ordered(order=order, references=references, worth=worth)

    def kept(self, order: IntArray, references: IntArray) -> Ordered:
        """Judge an order with the best references that are found from these on."""
        if self._climb is None:
            self._climb = Climb(self.coarse, self.drifts)
        # What is best on coarse slots need not be so to the minute.
        either = (references, self._climb.references(order, references))
        return max((self.ordered(order, one) for one in either), key=lambda one: one.worth)

    def policy(self, one: Ordered) -> Policy:
        """Work out the best way to follow an order."""
        return make_policy(self.minute, self.drifts, one.order, one.references)


def best_references(fit: DayFit, drifts: Drifts, timetable: Timetable) -> IntArray:
    """Give the reference of each match that is best for the times of a timetable."""
    cost = np.zeros((len(drifts.names), drifts.references))
    for roll in timetable.rolls:
        shot = fit.day.shot(roll.shot_id)
        if shot.match in drifts.names:
            start = np.array([fit.minute_of(roll.roll_start)])
            cost[drifts.names.index(shot.match)] += drift_costs(fit, shot, start)[0]
    found: IntArray = cost.argmin(axis=1)
    return found


def _put_allowed(rest: Rest, order: list[int], shot: int) -> list[int]:
    """Put a shot last, or before the first shot that must come after it."""
    later = [p for p, other in enumerate(order) if rest.forbidden[other, shot]]
    place = min(later, default=len(order))
    return [*order[:place], shot, *order[place:]]
