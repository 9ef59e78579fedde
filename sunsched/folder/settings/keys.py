"""The tables and keys that `day.toml` may have, and what each value must be.

Every key may be absent here. What must be written is told where the file is read, so that one
reading can go on and find the other faults.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from sunsched.day.kit.frame import ABOVE_M, AWAY_M, REFLECTANCE, SUBJECT_M, Finish, FrameKind
from sunsched.day.kit.ground import GRASS
from sunsched.day.kit.weather import Haze
from sunsched.day.model import MatchBy, SecondMeal, Size
from sunsched.day.overruns import MEDIANS, SPREADS
from sunsched.folder.settings.values import (
    Angles,
    Bearing,
    Clock,
    Date,
    GroundValue,
    Name,
    Share,
    Spans,
    Truth,
    Zone,
    number,
    one_of,
    text,
    whole,
)

MAX_TITLE = 120
MAX_MINUTES = 480
MAX_POINTS = 100_000
MAX_WEIGHT = 100

Minutes = Annotated[int, whole(0, MAX_MINUTES)]
Points = Annotated[int, whole(0, MAX_POINTS)]


class Keys(BaseModel):
    """One table of `day.toml`: no other keys than those named."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class PlaceKeys(Keys):
    """Keys of `[place]`."""

    name: Name | None = None
    latitude_deg: (
        Annotated[float, number(-90, 90, "latitude and longitude may be swapped")] | None
    ) = None
    longitude_deg: Annotated[float, number(-180, 180)] | None = None
    elevation_m: Annotated[float, number(-430, 9000)] = 0.0
    timezone: Zone | None = None


class HoursKeys(Keys):
    """Keys of `[hours]`."""

    crew_call: Clock | None = None
    first_roll: Clock | None = None
    wrap: Clock | None = None
    hard_wrap: Clock | None = None


class MealKeys(Keys):
    """Keys of `[meal]`; the minutes are common practice, no source."""

    latest_after_call_min: Annotated[int, whole(1, 1440)] = 360
    length_min: Annotated[int, whole(1, 240)] = 60
    earliest: Clock | None = None
    second: Annotated[SecondMeal, one_of(SecondMeal, "not a way to tell a second meal")] = (
        SecondMeal.LINE
    )


class SpotKeys(Keys):
    """Keys of one `[[spot]]`."""

    name: Name | None = None
    horizon: Annotated[str, text(200)] | None = None
    open: Spans | None = None
    latitude_deg: Annotated[float, number(-90, 90)] | None = None
    longitude_deg: Annotated[float, number(-180, 180)] | None = None
    subject_distance_m: Annotated[float, number(0, 1000)] | None = None
    subject_bearing: Bearing | None = None
    subject_height_m: Annotated[float, number(0, 100)] | None = None
    ground: GroundValue = GRASS


class CameraKeys(Keys):
    """Keys of `[camera]`; what is absent keeps its default."""

    sensor_width_mm: Annotated[float, number(1, 200)] | None = None
    aspect: Annotated[float, number(0.5, 5)] | None = None
    squeeze: Annotated[float, number(1, 3)] | None = None
    iso: Annotated[float, number(1, 1_000_000)] | None = None
    shutter_deg: Annotated[float, number(1, 360)] | None = None
    frames_s: Annotated[float, number(1, 10_000)] | None = None
    stop: Annotated[float, number(0.5, 64)] | None = None
    height_m: Annotated[float, number(0.01, 50)] | None = None


class WeatherKeys(Keys):
    """Keys of `[weather]`, as somebody has read them in a forecast."""

    gust_m_s: Annotated[float, number(0, 100)] | None = None
    air_c: Annotated[float, number(-60, 60)] | None = None
    humidity: Annotated[float, number(0, 100)] | None = None
    haze: Annotated[Haze, one_of(Haze, "not a haze")] = Haze.CLEAR


class MoveKeys(Keys):
    """Keys of one `[[move]]`."""

    between: list[Name] | None = None
    minutes: Minutes | None = None


class CastKeys(Keys):
    """Keys of one `[[cast]]`."""

    name: Name | None = None
    here: Spans | None = None


class RigKeys(Keys):
    """Keys of one `[[rig]]`; the name is one that the shot list gives."""

    name: Name | None = None
    overhead: Truth = False
    frames: list[Name] = []
    subject_m: Annotated[float, number(0.1, 20)] = SUBJECT_M


class FrameKeys(Keys):
    """Keys of one `[[frame]]`; its size in feet or in metres. All but that is common practice."""

    name: Name | None = None
    kind: Annotated[FrameKind, one_of(FrameKind, "not a kind of frame")] | None = None
    side_ft: Annotated[float, number(1, 60)] | None = None
    side_m: Annotated[float, number(0.3, 20)] | None = None
    above_m: Annotated[float, number(0.2, 30)] = ABOVE_M
    away_m: Annotated[float, number(0.2, 100)] = AWAY_M
    cloth: Annotated[str, text(60)] = ""
    reflectance: Share = REFLECTANCE
    finish: Annotated[Finish, one_of(Finish, "not a finish")] = Finish.MATT


class MatchKeys(Keys):
    """Keys of one `[match.<name>]`; the name is one that the shot list gives."""

    by: Annotated[MatchBy, one_of(MatchBy, "not what shots match by")] | None = None


class SizeKeys(Keys):
    """Keys of one `[size.<name>]`; what is absent keeps its default."""

    weight: Annotated[float, number(0.01, MAX_WEIGHT)] | None = None
    setup_min: Minutes | None = None
    adjust_min: Minutes | None = None
    top_light: Share | None = None
    control: Share | None = None
    flat: Share | None = None


class SizesKeys(Keys):
    """Tables of `[size]`."""

    wide: SizeKeys | None = None
    full: SizeKeys | None = None
    medium: SizeKeys | None = None
    close_up: SizeKeys | None = Field(default=None, alias="close-up")
    insert: SizeKeys | None = None


class OverrunKeys(Keys):
    """Keys of one `[overrun.<name>]`; what is absent keeps its default."""

    changeover_median: Annotated[float, number(*MEDIANS)] | None = None
    changeover_spread: Annotated[float, number(*SPREADS)] | None = None
    roll_median: Annotated[float, number(*MEDIANS)] | None = None
    roll_spread: Annotated[float, number(*SPREADS)] | None = None


class OverrunOfDayKeys(Keys):
    """Keys of `[overrun.day]`."""

    spread: Annotated[float, number(*SPREADS)] = 0.0


class OverrunsKeys(Keys):
    """Tables of `[overrun]`."""

    day: OverrunOfDayKeys = OverrunOfDayKeys()
    wide: OverrunKeys | None = None
    full: OverrunKeys | None = None
    medium: OverrunKeys | None = None
    close_up: OverrunKeys | None = Field(default=None, alias="close-up")
    insert: OverrunKeys | None = None


class CostsKeys(Keys):
    """Keys of `[costs]`; what is absent keeps its default."""

    left_out: Points | None = None
    wait: Points | None = None
    match: Points | None = None
    match_free_deg: Annotated[float, number(0, 180)] | None = None
    match_span_deg: Annotated[float, number(1, 180)] | None = None
    after_meal: Points | None = None
    wide_to_tight: Points | None = None
    overtime: Points | None = None
    move: Points | None = None
    rig_change: Points | None = None
    turned_round: Points | None = None


class ChangeoverKeys(Keys):
    """Keys of `[changeover]`; what is absent keeps its default."""

    move_min: Minutes | None = None
    turnaround_min: Minutes | None = None


class WordsKeys(Keys):
    """Keys of `[words]`: what words of the shot list stand for.

    Words for elevations stand for degrees; those of `[words.size]` for one of the five sizes.
    """

    low: Angles | None = None
    high: Angles | None = None
    golden: Angles | None = None
    dusk: Angles | None = None
    size: dict[str, Annotated[Size, one_of(Size, "not one of the five sizes")]] = {}


class Settings(Keys):
    """All of `day.toml`."""

    title: Annotated[str, text(MAX_TITLE)] | None = None
    date: Date | None = None
    bearings: Annotated[str, one_of(("true", "magnetic"), "not a kind of bearings")] = "true"
    declination_deg: Annotated[float, number(-180, 180)] | None = None
    place: PlaceKeys = PlaceKeys()
    hours: HoursKeys = HoursKeys()
    meal: MealKeys = MealKeys()
    spot: list[SpotKeys] = []
    camera: CameraKeys = CameraKeys()
    weather: WeatherKeys = WeatherKeys()
    move: list[MoveKeys] = []
    cast: list[CastKeys] = []
    rig: list[RigKeys] = []
    frame: list[FrameKeys] = []
    match: dict[str, MatchKeys] = {}
    size: SizesKeys = SizesKeys()
    overrun: OverrunsKeys = OverrunsKeys()
    costs: CostsKeys = CostsKeys()
    changeover: ChangeoverKeys = ChangeoverKeys()
    words: WordsKeys = WordsKeys()


ANY_MATCH = "match.<name>"
TABLES: dict[str, type[Keys]] = {
    "": Settings,
    "place": PlaceKeys,
    "hours": HoursKeys,
    "meal": MealKeys,
    "spot": SpotKeys,
    "camera": CameraKeys,
    "weather": WeatherKeys,
    "move": MoveKeys,
    "cast": CastKeys,
    "rig": RigKeys,
    "frame": FrameKeys,
    ANY_MATCH: MatchKeys,
    "size": SizesKeys,
    **{f"size.{size}": SizeKeys for size in Size},
    "overrun": OverrunsKeys,
    **{f"overrun.{size}": OverrunKeys for size in Size},
    "overrun.day": OverrunOfDayKeys,
    "costs": CostsKeys,
    "changeover": ChangeoverKeys,
    "words": WordsKeys,
}
MANY = ("spot", "move", "cast", "rig", "frame")
