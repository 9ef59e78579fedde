"""Of orders worth the same, the one that is nearest to the order of the list (compiled)."""

from __future__ import annotations

from numba import njit

from sunsched.order.fit import IntArray
from sunsched.order.sequence import best_times, pair_costs
from sunsched.order.tables import Tables

FAR = 24  # shots: of longer orders only neighbours change places, as each try times the whole order


@njit(cache=True, nogil=True)
def in_list_order(tables: Tables, seq: IntArray, value: int) -> None:
    """Let two shots, or two groups of shots, change places where the order is worth no less.

    It is done in place. From the first place on, each is given to the first shot of the list that
    can have it. That makes an order out of habit of one out of chance: nobody has to ask why 5
    comes before 4.

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
                tried = seq.copy()
                tried[i], tried[j] = seq[j], seq[i]
                is_taken = is_worth(tables, tried, value)
                for k in range(j + 1, last + 1):
                    if not is_taken:
                        # The groups from i and from j on, side by side, in each other's place.
                        tried = seq.copy()
                        tried[i : i + k - j] = seq[j:k]
                        tried[i + k - j : k] = seq[i:j]
                        is_taken = is_worth(tables, tried, value)
                if is_taken:
                    seq[:] = tried
                    has_changed = True


@njit(cache=True, nogil=True)
def is_worth(tables: Tables, seq: IntArray, value: int) -> bool:
    """Say whether an order is worth as much as a value, its pair costs paid."""
    now, _, _ = best_times(tables, seq, len(seq))
    return bool(now - pair_costs(tables, seq, len(seq)) >= value)
