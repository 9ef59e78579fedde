"""The reference sun of each match: what its shots are charged for it, the best one (compiled)."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from sunsched.light.fit import IntArray
from sunsched.solver.instance.tables import LOST, SCALE
from sunsched.solver.machine.function import compiled

DriftArray = npt.NDArray[np.int32]


@compiled()
def best_references(
    drift: DriftArray,
    match: IntArray,
    seq: IntArray,
    length: int,
    starts: IntArray,
    refs: IntArray,
) -> int:
    """Move the references to the cheapest for these starts, in place; give the points won."""
    won = 0
    for group in range(len(refs)):
        cost = np.zeros(drift.shape[2], dtype=np.int64)
        for i in range(length):
            if match[seq[i]] == group:
                for r in range(len(cost)):
                    cost[r] += drift[seq[i], starts[i], r]
        best = 0
        for r in range(1, len(cost)):
            if cost[r] < cost[best]:
                best = r
        if cost[best] < cost[refs[group]]:
            won += cost[refs[group]] - cost[best]
            refs[group] = best
    return won


@compiled()
def set_references(
    out: IntArray, gain: IntArray, drift: DriftArray, match: IntArray, refs: IntArray
) -> None:
    """Charge each matched shot for its drift from the reference, into `out`."""
    for s in range(gain.shape[1]):
        if match[s] < 0:
            continue
        for k in range(gain.shape[0]):
            for t in range(gain.shape[2]):
                cost = drift[s, t, refs[match[s]]] * SCALE
                out[k, s, t] = gain[k, s, t] - cost if gain[k, s, t] > LOST else gain[k, s, t]
