"""The tables and keys that `day.toml` may have, and what each value must be.

Every key may be absent here. What must be written is told where the file is read, so that one
reading can go on and find the other faults.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import partial
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from sunsched.day import bands, clock, words
from sunsched.day.model import Size
from sunsched.day.overruns import MEDIANS, SPREADS
from sunsched.day.words import WordError

MAX_TITLE = 120
MAX_MINUTES = 480
MAX_POINTS = 100_000
MAX_WEIGHT = 100


def _as_text(
    reader: Callable[[str], object], value: object, expected: str = "a text in quotes"
) -> object:
    if not isinstance(value, str):
        raise WordError("not a text", expected=expected)
    return reader(value)


def _as_clock(value: object) -> object:
    if isinstance(value, dt.time):
        return clock.clock_time(value.isoformat())
    return _as_text(clock.clock_time, value, 'a clock time in quotes, such as "06:00"')


def _as_date(value: object) -> object:
    if isinstance(value, dt.date):
        return clock.calendar_date(value.isoformat())
    return _as_text(clock.calendar_date, value, "a date such as 2027-06-09")


def _as_number(low: float, high: float, hint: str, value: object) -> float:
    expected = f"a number from {low:g} to {high:g}"
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise WordError("not a number", expected=f"{expected}, without quotes")
    if not low <= value <= high:
        nearly = abs(value) <= 180  # the hint is about the two coordinates of a place
        raise WordError("out of range", expected=expected, hint=hint if nearly else "")
    return float(value)


def _as_whole(low: int, high: int, value: object) -> int:
    expected = f"a whole number from {low} to {high}"
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise WordError("not a number", expected=f"{expected}, without quotes")
    if not low <= value <= high:
        raise WordError("out of range", expected=expected)
    if value != int(value):
        raise WordError("not a whole number", expected=expected)
    return int(value)


def _as_list(value: object) -> object:
    if value == []:
        raise WordError("an empty list", hint="leave the key out for the whole day")
    return [value] if isinstance(value, str) else value


def _as_bearings(text: str) -> str:
    if text not in ("true", "magnetic"):
        hint = words.did_you_mean(text, ("true", "magnetic"))
        raise WordError("not a kind of bearings", expected="true or magnetic", hint=hint)
    return text


def _spot_name(text: str) -> str:
    name = words.line_of_text(text)
    if not words.key_of(name):
        raise WordError("not a name", expected="a name with a letter or a digit in it")
    return name


def _text(limit: int = words.MAX_NAME) -> BeforeValidator:
    return BeforeValidator(partial(_as_text, partial(words.line_of_text, limit=limit)))


def _number(low: float, high: float, hint: str = "") -> BeforeValidator:
    return BeforeValidator(partial(_as_number, low, high, hint))


def _whole(low: int, high: int) -> BeforeValidator:
    return BeforeValidator(partial(_as_whole, low, high))


Name = Annotated[str, BeforeValidator(partial(_as_text, _spot_name))]
Clock = Annotated[dt.time, BeforeValidator(_as_clock)]
Spans = Annotated[
    list[Annotated[tuple[dt.time, dt.time], BeforeValidator(partial(_as_text, clock.clock_span))]],
    BeforeValidator(_as_list),
]
Minutes = Annotated[int, _whole(0, MAX_MINUTES)]
Points = Annotated[int, _whole(0, MAX_POINTS)]
Angles = Annotated[
    tuple[float, float],
    BeforeValidator(partial(_as_text, partial(bands.elevation_band, known={}))),
]


class Keys(BaseModel):
    """One table of `day.toml`: no other keys than those named."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class PlaceKeys(Keys):
    """Keys of `[place]`."""

    name: Name | None = None
    latitude_deg: (
        Annotated[float, _number(-90, 90, "latitude and longitude may be swapped")] | None
    ) = None
    longitude_deg: Annotated[float, _number(-180, 180)] | None = None
    elevation_m: Annotated[float, _number(-430, 9000)] = 0.0
    timezone: Annotated[str, BeforeValidator(partial(_as_text, clock.timezone))] | None = None


class HoursKeys(Keys):
    """Keys of `[hours]`."""

    crew_call: Clock | None = None
    first_roll: Clock | None = None
    wrap: Clock | None = None
    hard_wrap: Clock | None = None


class MealKeys(Keys):
    """Keys of `[meal]`; the minutes are common practice, no source."""

    latest_after_call_min: Annotated[int, _whole(1, 1440)] = 360
    length_min: Annotated[int, _whole(1, 240)] = 60
    earliest: Clock | None = None


class SpotKeys(Keys):
    """Keys of one `[[spot]]`."""

    name: Name | None = None
    horizon: Annotated[str, _text(200)] | None = None
    open: Spans | None = None


class MoveKeys(Keys):
    """Keys of one `[[move]]`."""

    between: list[Name] | None = None
    minutes: Minutes | None = None


class CastKeys(Keys):
    """Keys of one `[[cast]]`."""

    name: Name | None = None
    here: Spans | None = None


class SizeKeys(Keys):
    """Keys of one `[size.<name>]`; what is absent keeps its default."""

    weight: Annotated[float, _number(0.01, MAX_WEIGHT)] | None = None
    setup_min: Minutes | None = None
    adjust_min: Minutes | None = None
    top_light: Annotated[float, _number(0, 1)] | None = None


class SizesKeys(Keys):
    """Tables of `[size]`."""

    wide: SizeKeys | None = None
    full: SizeKeys | None = None
    medium: SizeKeys | None = None
    close_up: SizeKeys | None = Field(default=None, alias="close-up")
    insert: SizeKeys | None = None


class OverrunKeys(Keys):
    """Keys of one `[overrun.<name>]`; what is absent keeps its default."""

    changeover_median: Annotated[float, _number(*MEDIANS)] | None = None
    changeover_spread: Annotated[float, _number(*SPREADS)] | None = None
    roll_median: Annotated[float, _number(*MEDIANS)] | None = None
    roll_spread: Annotated[float, _number(*SPREADS)] | None = None


class OverrunsKeys(Keys):
    """Tables of `[overrun]`."""

    wide: OverrunKeys | None = None
    full: OverrunKeys | None = None
    medium: OverrunKeys | None = None
    close_up: OverrunKeys | None = Field(default=None, alias="close-up")
    insert: OverrunKeys | None = None


class CostsKeys(Keys):
    """Keys of `[costs]`; what is absent keeps its default."""

    left_out: Points | None = None
    match: Points | None = None
    match_free_deg: Annotated[float, _number(0, 180)] | None = None
    match_span_deg: Annotated[float, _number(1, 180)] | None = None
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
    """Keys of `[words]`: the degrees that the words for elevations stand for."""

    low: Angles | None = None
    high: Angles | None = None
    golden: Angles | None = None
    dusk: Angles | None = None


class Settings(Keys):
    """All of `day.toml`."""

    title: Annotated[str, _text(MAX_TITLE)] | None = None
    date: Annotated[dt.date, BeforeValidator(_as_date)] | None = None
    bearings: Annotated[str, BeforeValidator(partial(_as_text, _as_bearings))] = "true"
    declination_deg: Annotated[float, _number(-180, 180)] | None = None
    place: PlaceKeys = PlaceKeys()
    hours: HoursKeys = HoursKeys()
    meal: MealKeys = MealKeys()
    spot: list[SpotKeys] = []
    move: list[MoveKeys] = []
    cast: list[CastKeys] = []
    size: SizesKeys = SizesKeys()
    overrun: OverrunsKeys = OverrunsKeys()
    costs: CostsKeys = CostsKeys()
    changeover: ChangeoverKeys = ChangeoverKeys()
    words: WordsKeys = WordsKeys()


TABLES: dict[str, type[Keys]] = {
    "": Settings,
    "place": PlaceKeys,
    "hours": HoursKeys,
    "meal": MealKeys,
    "spot": SpotKeys,
    "move": MoveKeys,
    "cast": CastKeys,
    "size": SizesKeys,
    **{f"size.{size}": SizeKeys for size in Size},
    "overrun": OverrunsKeys,
    **{f"overrun.{size}": OverrunKeys for size in Size},
    "costs": CostsKeys,
    "changeover": ChangeoverKeys,
    "words": WordsKeys,
}
MANY = ("spot", "move", "cast")
