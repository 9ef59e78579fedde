"""The paper of pictures and pages: its shapes, and how each of them is set."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Shape(StrEnum):
    """The paper of a picture: a sheet for a clipboard, or a tall strip as wide as a phone."""

    A4 = "a4"
    LETTER = "letter"
    PHONE = "phone"


# Short and long edge.
_SHEETS_IN = {Shape.A4: (8.27, 11.69), Shape.LETTER: (8.5, 11.0)}
PHONE_WIDTH_IN = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """How a shape is set: width and height (None: as tall as it needs), margin, letters, dots.

    On a phone 360 px wide an inch is 90 px as a picture of its own, and 84 px on the phone page,
    so the smallest letters there are 11 px.
    """

    width_in: float
    height_in: float | None
    margin_in: float
    title_pt: float
    text_pt: float
    small_pt: float
    dots_per_in: float

    @property
    def room_in(self) -> float:
        """Width between the margins."""
        return self.width_in - 2 * self.margin_in


def paper(shape: Shape, *, upright: bool = False) -> Paper:
    """Give the setting of a shape; sheets lie on their long edge unless upright."""
    if shape is Shape.PHONE:
        return Paper(
            width_in=PHONE_WIDTH_IN,
            height_in=None,
            margin_in=0.1,
            title_pt=13.0,
            text_pt=10.0,
            small_pt=9.5,
            dots_per_in=270.0,
        )
    short, long = _SHEETS_IN[shape]
    return Paper(
        width_in=short if upright else long,
        height_in=long if upright else short,
        margin_in=0.4,
        title_pt=15.0,
        text_pt=8.5,
        small_pt=7.5,
        dots_per_in=150.0,
    )
