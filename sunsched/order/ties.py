"""Of orders worth the same, the one that is nearest to the order of the list (compiled)."""

from __future__ import annotations

from numba import njit

from sunsched.order.fit import IntArray
from sunsched.order.sequence import best_times, pair_costs
from sunsched.order.tables import Tables

FAR = 40  # shots: of longer orders only neighbours change places, as each try times the whole order


@njit(cache=True, nogil=True)
def in_list_order(tables: Tables, seq: IntArray, value: int) -> None:
    """Let two shots change places, in place, where the order is then worth no less.

    From the first place on, each is given to the first shot of the list that can have it. It makes
    an order out of habit of one out of chance: nobody has to ask why 5 comes before 4.

    Parameters
    ----------
    tables : with each match's drift from its reference charged
    seq : (length,) the order
    value : what it is worth, scaled
    """
    length = len(seq)
    has_changed = True
    while has_changed:
        has_changed = False
        for i in range(length - 1):
            last = length if length <= FAR else i + 2
            for j in range(i + 1, last):
                if seq[j] > seq[i]:
                    continue
                seq[i], seq[j] = seq[j], seq[i]
                now, _, _ = best_times(tables, seq, length)
                if now - pair_costs(tables, seq, length) >= value:
                    has_changed = True
                else:
                    seq[i], seq[j] = seq[j], seq[i]
