"""The facts of one shooting day: what is asked for, and nothing that is decided. All is frozen.

Conventions, said once. Azimuths, looks and bearings are degrees clockwise from true north.
Elevations are degrees above the level horizon. Every `datetime` is aware and in UTC; local time is
made in views only. Durations are whole minutes.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from sunsched.day.costs import Costs
from sunsched.day.demand import Cut, Demand
from sunsched.day.kit.camera import Camera
from sunsched.day.kit.frame import Frame, FrameKind, Rig
from sunsched.day.kit.ground import GRASS, Ground
from sunsched.day.kit.weather import CloudHour, Weather
from sunsched.day.overruns import DEFAULT_OVERRUNS, Overrun
from sunsched.day.past import Past, made_ids, over_ids
from sunsched.day.skyline import HorizonPoint, Subject
from sunsched.day.wish import Wish


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


class SecondMeal(StrEnum):
    """How a second meal that falls due is told: as a line of the plan, or in a note below it."""

    LINE = "line"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Meal:
    """Lunch: its earliest and latest start, and its length.

    A day whose last roll ends by `latest` needs none. A second meal takes none of the crew's time:
    it is eaten as the work goes on. `within_min` is how long after the call, or after a meal, one
    starts at the latest; None where `latest` says it, and no decision has moved that.
    """

    earliest: datetime
    latest: datetime
    length_min: int
    second: SecondMeal = SecondMeal.LINE
    within_min: int | None = field(default=None, repr=False)  # saved plans know a meal by its repr


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A camera position or set; no `open` spans mean open all day, no `horizon` a level one.

    Without coordinates of its own it stands where the day's place is.
    """

    name: str
    horizon: tuple[HorizonPoint, ...] = ()
    open: tuple[Span, ...] = ()
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    subject: Subject = field(default_factory=Subject)
    ground: Ground = field(default=GRASS, repr=False)  # saved plans know a spot by its repr


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
class SizeFacts:
    """What a size implies unless a shot says otherwise; shares are 0 to 1.

    `top_light` is the share of the sun's light that is good from 70° of sun elevation on. `control`
    is the share of a loss that frames pulled in make up for, `flat` what light without the sun is
    worth to a shot that wanted it.
    """

    weight: float
    setup_min: int
    adjust_min: int
    top_light: float
    control: float
    flat: float


# Common practice, no source: each figure can be changed in `day.toml` under `[size.<name>]`.
DEFAULT_SIZES: dict[Size, SizeFacts] = {
    Size.WIDE: SizeFacts(
        weight=5, setup_min=25, adjust_min=15, top_light=0.4, control=0.0, flat=0.25
    ),
    Size.FULL: SizeFacts(
        weight=4, setup_min=20, adjust_min=10, top_light=0.5, control=0.15, flat=0.3
    ),
    Size.MEDIUM: SizeFacts(
        weight=3, setup_min=20, adjust_min=10, top_light=0.6, control=0.4, flat=0.45
    ),
    Size.CLOSE_UP: SizeFacts(
        weight=3, setup_min=15, adjust_min=5, top_light=0.75, control=0.65, flat=0.55
    ),
    Size.INSERT: SizeFacts(
        weight=1, setup_min=10, adjust_min=5, top_light=1.0, control=0.9, flat=0.8
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Changeover:
    """Minutes that hold for the whole day. Common practice, no source.

    `move_min` serves any two spots without a move of their own; `turnaround_min` is added when the
    look turns by more than 90° in the same spot and rig.
    """

    move_min: int = 20
    turnaround_min: int = 10


class MatchBy(StrEnum):
    """What the shots of a match have in common.

    `SUN` is the same sun in the world, `LENS` the same sun as seen from each lens: at the same
    angle from it, to the left or to the right, and at the same height.
    """

    SUN = "sun"
    LENS = "lens"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One line of the shot list; `control` is None where it is that of the size, and `kept` are
    titles and texts of columns that nothing here reads."""

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
    control: float | None = None
    kept: tuple[tuple[str, str], ...] = field(default=(), repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One shooting day at one place on one date, and everything asked of it.

    `shots` stand in the natural order of their ids, whatever the order of the rows they came from,
    so that the same list gives the same plan. `matches` says how shots match where it is not by the
    sun; `declination_deg` is what turns the folder's magnetic bearings into true ones, None where
    they are true. `decisions` are those that it obeys, as `decided_day` makes it; shots that they
    cut stay in it. `past` is None before the day has begun.
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
    day_spread: float = 0.0  # of a factor that all work of a drawn day has in common
    rigs: tuple[Rig, ...] = ()
    matches: dict[str, MatchBy] = field(default_factory=dict)
    declination_deg: float | None = None
    camera: Camera = field(default_factory=Camera)
    frames: tuple[Frame, ...] = ()
    weather: Weather = field(default_factory=Weather)
    costs: Costs = field(default_factory=Costs)
    changeover: Changeover = field(default_factory=Changeover)
    decisions: tuple[Demand, ...] = ()
    past: Past | None = None

    @property
    def cut_ids(self) -> frozenset[str]:
        """The ids of the shots that will not be made: cut on the day itself, or by a decision."""
        decided = {one.shot for one in self.decisions if isinstance(one, Cut)}
        mine = {shot.id for shot in self.shots if shot.id in decided} - made_ids(self.past)
        return frozenset(() if self.past is None else self.past.cut) | mine

    @property
    def over_ids(self) -> frozenset[str]:
        """The ids of the shots of which nothing is to be decided any more: made, or cut."""
        return over_ids(self.past) | self.cut_ids

    def spot(self, name: str) -> Spot:
        """Give the spot of this name, which the reader has seen to exist."""
        return next(spot for spot in self.spots if spot.name == name)

    def shot(self, shot_id: str) -> Shot:
        """Give the shot of this id; raises StopIteration for an unknown one."""
        return next(shot for shot in self.shots if shot.id == shot_id)

    def control(self, shot: Shot) -> float:
        """Give the share of its loss that frames make up for: none for a hold."""
        if shot.hold:
            return 0.0
        return self.sizes[shot.size].control if shot.control is None else shot.control

    def is_under_overhead(self, shot: Shot) -> bool:
        """Say whether a shot's rig has a frame over the subject."""
        overheads = [one for one in self.frames_of(shot.rig) if one.kind is FrameKind.OVERHEAD]
        return bool(overheads) or self.rig(shot.rig).overhead

    def rig(self, name: str) -> Rig:
        """Give the rig of this name; one that no table tells of has no frames."""
        return next((rig for rig in self.rigs if rig.name == name), Rig(name=name))

    def frames_of(self, rig: str) -> tuple[Frame, ...]:
        """Give the frames of a rig, in its order."""
        known = {frame.name: frame for frame in self.frames}
        return tuple(known[name] for name in self.rig(rig).frames)

    def matched_by(self, match: str) -> MatchBy:
        """Give what the shots of a match have in common."""
        return self.matches.get(match, MatchBy.SUN)
