"""Which way a lens must look for the sun to stand where a shot wants it.

The sun from the lens is its azimuth less the look, so each arc of the one is an arc of the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Arc = tuple[float, float]  # from the first angle clockwise to the second, degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """The least turn of a lens that brings the sun into an arc.

    `turn_deg` is clockwise, to the right, below 0 to the left, and 0 where nothing is to turn;
    `look_deg` is the look after it.
    """

    turn_deg: float
    look_deg: float


def looks_for(arcs: Sequence[Arc], azimuth_deg: float) -> tuple[Arc, ...]:
    """Give the looks at which a sun stands in one of some arcs around the lens.

    Parameters
    ----------
    arcs : of the sun from the lens, degrees, camera right positive
    azimuth_deg : of the sun

    Returns
    -------
    tuple of Arc
        Looks from true north, each from the first clockwise to the second.
    """
    joined: list[Arc] = []
    for low, high in sorted(arcs):
        if joined and joined[-1][1] >= low:
            joined[-1] = (joined[-1][0], max(joined[-1][1], high))
        else:
            joined.append((low, high))
    return tuple(
        ((azimuth_deg - high) % 360.0, (azimuth_deg - low) % 360.0) for low, high in joined
    )


def nearest_turn(arcs: Sequence[Arc], azimuth_deg: float, look_deg: float) -> Turn:
    """Give the least turn of a lens that brings a sun into one of some arcs.

    Parameters
    ----------
    arcs : of the sun from the lens, at least one
    azimuth_deg : of the sun
    look_deg : the look as it is
    """
    turn = min((_turn(low, high, azimuth_deg - look_deg) for low, high in arcs), key=abs)
    return Turn(turn_deg=turn, look_deg=(look_deg + turn) % 360.0)


def _turn(low: float, high: float, from_lens: float) -> float:
    """Turn right for a sun past the arc's end, left for one before its start; the shorter way."""
    after = (from_lens - low) % 360.0 - (high - low)
    if after <= 0.0:
        return 0.0
    before = 360.0 - (high - low) - after
    return after if after <= before else -before
