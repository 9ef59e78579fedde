"""Labels beside points: each as near to its own as it can stand without covering anything."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sunsched.show.drawing.lettering import LINE, POINT_IN, width_in

# Distances from point to label that are tried, and the turns away from the wished direction.
_REACHES_IN = tuple(0.07 + 0.07 * step for step in range(40))
_TURNS_DEG = (0, 30, -30, 60, -60, 90, -90, 120, -120, 150, -150, 180)


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle on the page, inches; what is up is the caller's choice."""

    left_in: float
    right_in: float
    low_in: float
    high_in: float

    def meets(self, other: Box) -> bool:
        """Tell whether two boxes share more than an edge."""
        return (
            self.left_in < other.right_in
            and other.left_in < self.right_in
            and self.low_in < other.high_in
            and other.low_in < self.high_in
        )

    def holds(self, other: Box) -> bool:
        """Tell whether another box stands inside this one."""
        return (
            self.left_in <= other.left_in
            and other.right_in <= self.right_in
            and self.low_in <= other.low_in
            and other.high_in <= self.high_in
        )

    @property
    def middle_in(self) -> tuple[float, float]:
        """Centre of the box."""
        return (self.left_in + self.right_in) / 2, (self.low_in + self.high_in) / 2


def box_around(x_in: float, y_in: float, wide_in: float, high_in: float) -> Box:
    """Give the box of this size around a point."""
    return Box(
        left_in=x_in - wide_in / 2,
        right_in=x_in + wide_in / 2,
        low_in=y_in - high_in / 2,
        high_in=y_in + high_in / 2,
    )


def nearest_in(box: Box, point_in: tuple[float, float]) -> tuple[float, float]:
    """Give the point of a box that is nearest to another point."""
    return (
        min(max(point_in[0], box.left_in), box.right_in),
        min(max(point_in[1], box.low_in), box.high_in),
    )


def label_box(
    text: str,
    point_in: tuple[float, float],
    away_deg: float,
    size_pt: float,
    taken: Sequence[Box],
    page: Box,
    *,
    bold: bool = False,
) -> Box | None:
    """Find where a label can stand, as near as can be and if possible in the wished direction.

    Directions are degrees from the x axis towards y. None where the page has no room left.
    """
    wide = width_in(text, size_pt, bold=bold) + 0.03
    high = LINE * size_pt * POINT_IN
    for box in _places(point_in, away_deg, wide, high):
        if page.holds(box) and not any(box.meets(other) for other in taken):
            return box
    return None


def _places(
    point_in: tuple[float, float], away_deg: float, wide_in: float, high_in: float
) -> Iterator[Box]:
    for reach in _REACHES_IN:
        for turn in _TURNS_DEG:
            angle = math.radians(away_deg + turn)
            across, up = math.cos(angle), math.sin(angle)
            # The near edge, not the middle, keeps its distance from the point.
            x = point_in[0] + across * (reach + wide_in / 2)
            y = point_in[1] + up * (reach + high_in / 2)
            yield box_around(x, y, wide_in, high_in)
