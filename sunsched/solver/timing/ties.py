"""Of orders worth the same, the one that works early and is near to the list's order (compiled)."""

from __future__ import annotations

import numpy as np

from sunsched.light.fit import IntArray
from sunsched.solver.instance.tables import Tables
from sunsched.solver.machine.function import compiled
from sunsched.solver.timing.sequence import best_times, pair_costs

NEAR = 16  # shots: groups of longer orders are not turned round, as each try times the whole order
FAR = 40  # shots: of longer orders only neighbours change places


@compiled()
def settle_ties(tables: Tables, seq: IntArray, value: int) -> None:
    """Let shots, or groups of shots, change places where the order is worth no less, in place.

    What is worth the same should work while it can and wait later: nobody has to ask why the crew
    sits while shots are left that any light suits. What works as early should follow the list:
    nobody has to ask why 5 comes before 4.

    Parameters
    ----------
    tables : with each match's drift from its reference charged
    seq : (length,) the order
    value : what it is worth, scaled
    """
    length = len(seq)
    tried = np.empty(length, dtype=np.int64)
    begins = starts_of(tables, seq, value)
    has_changed = begins >= 0
    while has_changed:
        has_changed = False
        for i in range(length - 1):
            for j in range(i + 1, length if length <= FAR else i + 2):
                # First two shots change places (k = j), then the groups from i and from j on.
                for k in range(j, length + 1 if length <= NEAR else j + 1):
                    for place in range(length):
                        tried[place] = seq[place]
                    if k == j:
                        tried[i], tried[j] = seq[j], seq[i]
                    else:
                        for place in range(i, k):
                            ahead = place + j - i
                            tried[place] = seq[ahead if ahead < k else ahead - (k - i)]
                    then = starts_of(tables, tried, value)
                    if is_nicer(then, tried, begins, seq):
                        begins, has_changed = then, True
                        for place in range(length):
                            seq[place] = tried[place]


@compiled()
def starts_of(tables: Tables, seq: IntArray, value: int) -> int:
    """Add up the slots in which an order's shots start; −1 where it is worth less than a value."""
    now, starts, _ = best_times(tables, seq, len(seq))
    if now - pair_costs(tables, seq, len(seq)) < value:
        return -1
    total = 0
    for i in range(len(seq)):
        total += starts[i]
    return total


@compiled()
def is_nicer(then: int, tried: IntArray, begins: int, seq: IntArray) -> bool:
    """Say whether an order works earlier than another, or as early and comes first in the list."""
    if then < 0 or then > begins:
        return False
    if then < begins:
        return True
    for place in range(len(seq)):
        if tried[place] != seq[place]:
            return bool(tried[place] < seq[place])
    return False
