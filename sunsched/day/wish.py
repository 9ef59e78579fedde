"""What a shot asks of the sun: a side, bands of azimuth and of height, and how much they give.

Azimuths are degrees clockwise from true north, elevations degrees above the level horizon.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

# The sun's centre at sunrise and sunset: Explanatory Supplement (2013), section 12.3.1.
SUNRISE_DEG = -50.0 / 60.0
NEARLY_DEG = 0.01  # a band that is written to end at -0.833 ends there


class SunSide(StrEnum):
    """Where the sun should stand, seen from the lens; `ANY` asks for no side."""

    ANY = "any"
    BACK = "back"
    THREE_QUARTER_BACK = "three-quarter back"
    SIDE = "side"
    THREE_QUARTER_FRONT = "three-quarter front"
    FRONT = "front"
    SHADE = "shade"
    DUSK = "dusk"


class CameraSide(StrEnum):
    """The half of the frame's surroundings that the sun should stand in."""

    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A band of angles with the give past its edges, all in degrees.

    An azimuth band runs clockwise from `low_deg` to `high_deg`, so low may exceed high (340 to 20).
    """

    low_deg: float
    high_deg: float
    give_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """All that a shot asks of the sun.

    `give_deg` is the give of the sun side on both its ends; None gives more toward the back than
    toward the front (see `light.angles`). A `DUSK` side always comes with the elevation band of
    dusk unless the shot names its own band. `others` are sides, of the five that a lens tells
    apart, that do as well as `side`.
    """

    side: SunSide = SunSide.ANY
    camera_side: CameraSide | None = None
    give_deg: float | None = None
    azimuth: Band | None = None
    elevation: Band | None = None
    # Saved plans know a wish without other sides by its repr.
    others: tuple[tuple[SunSide, CameraSide | None], ...] = field(default=(), repr=False)

    @property
    def sides(self) -> tuple[tuple[SunSide, CameraSide | None], ...]:
        """Every side that does as well as the first, with the half of the surroundings."""
        return ((self.side, self.camera_side), *self.others)

    @property
    def asks_nothing(self) -> bool:
        """True for a shot that can be made in any light."""
        return (
            self.side is SunSide.ANY
            and self.camera_side is None
            and self.azimuth is None
            and self.elevation is None
            and not self.others
        )

    @property
    def asks_direct_sun(self) -> bool:
        """True when the sun's disc itself must reach the subject."""
        return not (
            self.asks_nothing or self.side in (SunSide.SHADE, SunSide.DUSK) or self.below_horizon
        )

    @property
    def below_horizon(self) -> bool:
        """True when the whole elevation band lies below the level horizon: dusk or dawn."""
        return self.elevation is not None and self.elevation.high_deg <= SUNRISE_DEG + NEARLY_DEG

    @property
    def reaches_below(self) -> bool:
        """True when the elevation band begins below the level horizon, wherever it ends."""
        return self.elevation is not None and self.elevation.low_deg < SUNRISE_DEG

    @property
    def is_twilight(self) -> bool:
        """True for a shot of the dusk or the dawn: it looks at the sun's height alone."""
        return self.side is SunSide.DUSK or self.below_horizon
