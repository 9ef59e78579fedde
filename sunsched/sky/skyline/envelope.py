"""The upper edge of all pieces together: the skyline, with its vertical edges."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from sunsched.sky.skyline.pieces import Line, Piece
from sunsched.sky.track import FloatArray

STEP_DEG = 0.5  # between azimuths that are looked at, besides all ends and crossings
BESIDE_DEG = 1e-6  # left and right of an end
EDGE_DEG = 0.01  # a smaller jump is none
STRAIGHT_DEG = 0.005  # points nearer than that to a straight line are left out
REFINEMENTS = 8  # halvings of a stretch: down to seconds of arc
HALVINGS = 40
FLOOR = -1  # the number of what is below all pieces

Top = tuple[float, float, int]
"""Azimuth, elevation, and the number of the part that stands there."""


def skyline_of(pieces: Sequence[Piece], floor_deg: float, north_deg: float) -> list[Top]:
    """Give the points of the skyline in the order of their azimuths; two at one are an edge.

    Parameters
    ----------
    pieces : sequence of Piece
        All that stands up.
    floor_deg : float
        The elevation of the horizon where nothing does.
    north_deg : float
        An azimuth on which a point may stand; the others are half degrees from it.
    """
    floor = Line(
        number=FLOOR,
        start_deg=0.0,
        along_deg=np.array([0.0, 360.0]),
        height_deg=np.array([floor_deg, floor_deg]),
    )
    every = [floor, *pieces]
    breaks = _straightened(every, _breaks(every, north_deg))
    left, left_of = _highest(every, breaks - BESIDE_DEG)
    right, right_of = _highest(every, breaks + BESIDE_DEG)
    tops: list[Top] = []
    starts = breaks.tolist()
    for place, (start, end) in enumerate(
        zip(starts, [*starts[1:], starts[0] + 360.0], strict=True)
    ):
        if abs(left[place] - right[place]) > EDGE_DEG:
            tops.append((start, float(left[place]), every[left_of[place]].number))
        tops.append((start, float(right[place]), every[right_of[place]].number))
        one, other = every[right_of[place]], every[left_of[(place + 1) % len(breaks)]]
        if one is not other:
            tops.append(_crossing(one, other, start + BESIDE_DEG, end - BESIDE_DEG))
    tops.sort(key=lambda top: top[0] % 360.0)
    return [(azimuth % 360.0, height, number) for azimuth, height, number in _thinned(tops)]


def _breaks(pieces: Sequence[Piece], north_deg: float) -> FloatArray:
    grid = north_deg + np.arange(0.0, 360.0, STEP_DEG)
    ends = np.concatenate([grid, *(piece.breaks_deg for piece in pieces)]) % 360.0
    every = np.sort(ends)
    apart = np.diff(every, prepend=every[-1] - 360.0) > 4 * BESIDE_DEG
    return every[apart]


def _straightened(pieces: Sequence[Piece], breaks: FloatArray) -> FloatArray:
    """Halve stretches over which the skyline is bent: a wall that is seen almost end on."""
    for _ in range(REFINEMENTS):
        right, _of = _highest(pieces, breaks + BESIDE_DEG)
        left, _of = _highest(pieces, breaks - BESIDE_DEG)
        following = np.append(breaks[1:], breaks[0] + 360.0)
        middles = (breaks + following) / 2
        top, _of = _highest(pieces, middles)
        is_bent = np.abs(top - (right + np.roll(left, -1)) / 2) > STRAIGHT_DEG
        is_bent &= following - breaks > 8 * BESIDE_DEG
        if not is_bent.any():
            break
        breaks = np.sort(np.concatenate((breaks, middles[is_bent] % 360.0)))
    return breaks


def _highest(
    pieces: Sequence[Piece], azimuth_deg: FloatArray
) -> tuple[FloatArray, np.ndarray[tuple[int], np.dtype[np.int64]]]:
    """Give the elevation of the highest piece at each azimuth, and its place among the pieces."""
    turned = azimuth_deg % 360.0
    order = np.argsort(turned)
    around = turned[order]
    best = np.full(len(around), -np.inf)
    owner = np.zeros(len(around), dtype=np.int64)
    for place, piece in enumerate(pieces):
        for stretch in _stretches(piece, around):
            height = piece.at(around[stretch])
            over = height > best[stretch]
            best[stretch][over] = height[over]
            owner[stretch][over] = place
    back = np.empty_like(order)
    back[order] = np.arange(len(order))
    return best[back], owner[back]


def _stretches(piece: Piece, around: FloatArray) -> Iterator[slice]:
    """Give the stretches of sorted azimuths over which a piece stands."""
    if piece.wide_deg >= 360.0 - BESIDE_DEG:
        yield slice(0, len(around))
        return
    start, end = piece.start_deg, piece.start_deg + piece.wide_deg
    for low, high in ((start, end), (start - 360.0, end - 360.0)):
        first, last = np.searchsorted(around, low, "left"), np.searchsorted(around, high, "right")
        if first < last:
            yield slice(int(first), int(last))


def _crossing(one: Piece, other: Piece, start_deg: float, end_deg: float) -> Top:
    """Find where two pieces cross, of which the first is higher at the start."""
    for _ in range(HALVINGS):
        middle = (start_deg + end_deg) / 2
        at = np.array([middle])
        if one.at(at)[0] >= other.at(at)[0]:
            start_deg = middle
        else:
            end_deg = middle
    return start_deg, float(one.at(np.array([start_deg]))[0]), one.number


def _thinned(tops: Sequence[Top]) -> list[Top]:
    """Leave out points that stand on a straight line between others, and are no peaks."""
    kept = [tops[0]]
    last = tops[0]
    low, high = -np.inf, np.inf
    for place, top in enumerate(tops[1:], start=1):
        for _ in range(2):  # a point past the line begins a new one at the point before it
            anchor = kept[-1]
            wide = top[0] - anchor[0]
            if last is anchor or (
                wide > 0 and last[0] < top[0] and low <= (top[1] - anchor[1]) / wide <= high
            ):
                break
            kept.append(last)
            low, high = -np.inf, np.inf
        anchor = kept[-1]
        wide = top[0] - anchor[0]
        is_peak = tops[place - 1][1] < top[1] > tops[(place + 1) % len(tops)][1]
        if wide > 0 and not is_peak:
            low = max(low, (top[1] - STRAIGHT_DEG - anchor[1]) / wide)
            high = min(high, (top[1] + STRAIGHT_DEG - anchor[1]) / wide)
        else:
            kept.append(top)
            low, high = -np.inf, np.inf
        last = top
    if last is not kept[-1]:
        kept.append(last)
    return kept
