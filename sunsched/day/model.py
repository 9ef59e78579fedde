"""The facts of one shooting day: what is asked, frozen, and nothing that is decided.

Conventions, said once. Azimuths, looks and bearings are degrees clockwise from true north.
Elevations are degrees above the level horizon. Every `datetime` is aware and in UTC; local time is
made in views only. Durations are whole minutes.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from sunsched.day.overruns import DEFAULT_OVERRUNS, Overrun
from sunsched.day.past import Past


class Size(StrEnum):
    """How much of the subject a shot shows, widest first."""

    WIDE = "wide"
    FULL = "full"
    MEDIUM = "medium"
    CLOSE_UP = "close-up"
    INSERT = "insert"

    @property
    def rank(self) -> int:
        """0 for a wide up to 4 for an insert: the order from wide to tight."""
        return list(Size).index(self)


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

    `give_deg` is the give of the sun side. A `DUSK` side always comes with the elevation band of
    dusk unless the shot names its own band.
    """

    side: SunSide = SunSide.ANY
    camera_side: CameraSide | None = None
    give_deg: float = 20.0
    azimuth: Band | None = None
    elevation: Band | None = None

    @property
    def asks_nothing(self) -> bool:
        """True for a shot that can be made in any light."""
        return (
            self.side is SunSide.ANY
            and self.camera_side is None
            and self.azimuth is None
            and self.elevation is None
        )

    @property
    def asks_direct_sun(self) -> bool:
        """True when the sun's disc itself must reach the subject."""
        return not (
            self.asks_nothing or self.side in (SunSide.SHADE, SunSide.DUSK) or self.below_horizon
        )

    @property
    def below_horizon(self) -> bool:
        """True when the elevation band starts below the level horizon: a dusk or dawn shot."""
        return self.elevation is not None and self.elevation.low_deg < -50 / 60

    @property
    def needs_daylight(self) -> bool:
        """True unless the shot wants the dusk or the dawn."""
        return self.side is not SunSide.DUSK and not self.below_horizon


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch of time, `start` included and `end` excluded, both UTC."""

    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the day is shot: latitude north positive, longitude east positive."""

    name: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    timezone: str

    @property
    def zone(self) -> ZoneInfo:
        """The IANA time zone, for views."""
        return ZoneInfo(self.timezone)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """The working day: call, earliest roll, wrap, and the minute after which nothing rolls."""

    crew_call: datetime
    first_roll: datetime
    wrap: datetime
    hard_wrap: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Meal:
    """Lunch: its earliest and latest start, and its length.

    A day whose last roll ends by `latest` needs none.
    """

    earliest: datetime
    latest: datetime
    length_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class HorizonPoint:
    """One point of a spot's skyline, as seen from the spot."""

    azimuth_deg: float
    elevation_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A camera position or set; no `open` spans mean open all day, no `horizon` a level one."""

    name: str
    horizon: tuple[HorizonPoint, ...] = ()
    open: tuple[Span, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Minutes of company move between two spots, the same both ways."""

    between: tuple[str, str]
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CastMember:
    """Someone in front of the lens; no `here` spans mean all day."""

    name: str
    here: tuple[Span, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CloudHour:
    """Forecast cloud cover (0 clear to 1 overcast) at one moment; linear between moments."""

    time: datetime
    cover: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeFacts:
    """What a size implies unless a shot says otherwise.

    `top_light` is the share of the light that is kept at 70° of sun elevation and above: how much a
    frame overhead can save.
    """

    weight: float
    setup_min: int
    adjust_min: int
    top_light: float


# Common practice, no source: each figure can be changed in `day.toml` under `[size.<name>]`.
DEFAULT_SIZES: dict[Size, SizeFacts] = {
    Size.WIDE: SizeFacts(weight=5, setup_min=25, adjust_min=15, top_light=0.4),
    Size.FULL: SizeFacts(weight=4, setup_min=20, adjust_min=10, top_light=0.5),
    Size.MEDIUM: SizeFacts(weight=3, setup_min=20, adjust_min=10, top_light=0.6),
    Size.CLOSE_UP: SizeFacts(weight=3, setup_min=15, adjust_min=5, top_light=0.75),
    Size.INSERT: SizeFacts(weight=1, setup_min=10, adjust_min=5, top_light=1.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """Points that a plan loses; 0 switches a cost off. Common practice, no source.

    `left_out` and `match` are points per unit of weight, `overtime` points a minute past wrap, the
    others points each time; `turned_round` is for a pair made in another order than last planned.
    """

    left_out: int = 1000
    match: int = 1000
    match_free_deg: float = 15.0
    match_span_deg: float = 45.0
    after_meal: int = 300
    wide_to_tight: int = 200
    overtime: int = 20
    move: int = 500
    rig_change: int = 100
    turned_round: int = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class Changeover:
    """Minutes that hold for the whole day. Common practice, no source.

    `move_min` serves any two spots without a move of their own; `turnaround_min` is added when the
    look turns by more than 90° in the same spot and rig.
    """

    move_min: int = 20
    turnaround_min: int = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One line of the shot list."""

    id: str
    description: str
    size: Size
    spot: str
    look_deg: float
    wish: Wish
    setup_min: int
    adjust_min: int
    shoot_min: int
    weight: float
    scene: str = ""
    rig: str = ""
    match: str = ""
    hold: bool = False
    after: tuple[str, ...] = ()
    cast: tuple[str, ...] = ()
    pin: datetime | None = None
    lens_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One shooting day at one place on one date, and everything asked of it.

    `shots` stand in the natural order of their ids, whatever the order of the rows they came from,
    so that the same list gives the same plan. `past` is None before the day has begun.
    """

    title: str
    date: date
    place: Place
    hours: Hours
    meal: Meal
    spots: tuple[Spot, ...]
    shots: tuple[Shot, ...]
    moves: tuple[Move, ...] = ()
    cast: tuple[CastMember, ...] = ()
    clouds: tuple[CloudHour, ...] = ()
    sizes: dict[Size, SizeFacts] = field(default_factory=lambda: dict(DEFAULT_SIZES))
    overruns: dict[Size, Overrun] = field(
        default_factory=lambda: {size: DEFAULT_OVERRUNS[size] for size in Size}
    )
    costs: Costs = field(default_factory=Costs)
    changeover: Changeover = field(default_factory=Changeover)
    past: Past | None = None

    def spot(self, name: str) -> Spot:
        """Give the spot of this name, which the reader has seen to exist."""
        return next(spot for spot in self.spots if spot.name == name)

    def shot(self, shot_id: str) -> Shot:
        """Give the shot of this id; raises StopIteration for an unknown one."""
        return next(shot for shot in self.shots if shot.id == shot_id)
