"""Shots put back into an order, each where it is worth most on the average day (compiled)."""

from __future__ import annotations

import numpy as np

from sunsched.average.model.odds import UNWANTED, Odds
from sunsched.average.order.policy import fill_policy, first_worth
from sunsched.light.fit import BoolArray, IntArray
from sunsched.sky.track import FloatArray
from sunsched.solver.machine.function import compiled


@compiled()
def recreate(
    odds: Odds,
    forbidden: BoolArray,
    begins: int,
    order: IntArray,
    out: int,
    free: FloatArray,
    fed: FloatArray,
    ready: FloatArray,
) -> float:
    """Put back the last `out` shots of an order, one after the other, in place; give its worth.

    Each goes from the end to the front, so that what stands behind it is not computed again. Those
    that are not yet put back stand last, where they are begun only if there is time left.
    """
    n = len(order)
    trial, best = np.empty(n, dtype=np.int64), UNWANTED
    for place in range(n - out, n):
        shot, best, best_to, to = order[place], UNWANTED, place, place
        for p in range(n):
            trial[p] = order[p]
        while True:
            # What stood last before has moved: at first all is computed.
            changed = to + 1 if to < place else n
            fill_policy(odds, trial, min(changed, n), free, fed, ready)
            is_allowed = True
            for p in range(to):
                if forbidden[trial[p], shot]:
                    is_allowed = False
                    break
            if is_allowed:
                value = first_worth(free, fed, begins)
                if value > best:
                    best, best_to = value, to
            if to == 0 or forbidden[shot, trial[to - 1]]:
                break
            trial[to] = trial[to - 1]
            to -= 1
            trial[to] = shot
        for p in range(place, best_to, -1):
            order[p] = order[p - 1]
        order[best_to] = shot
    return best
