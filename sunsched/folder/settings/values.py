"""What one value of `day.toml` may be, and what is said of one that is something else."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Collection
from functools import partial
from typing import Annotated

from pydantic import BeforeValidator

from sunsched.day.kit.ground import GROUNDS, Ground
from sunsched.folder.text import bands, clock, words
from sunsched.folder.text.words import WordError


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
    expected = words.a_number(low, high)
    if isinstance(value, bool) or not isinstance(value, int | float):
        comma = isinstance(value, str) and re.fullmatch(r"\s*([+-]?\d+),(\d+)\s*", value)
        hint = f"write `{comma[1]}.{comma[2]}`" if comma else ""
        raise WordError("not a number", expected=f"{expected}, without quotes", hint=hint)
    if not low <= value <= high:
        nearly = abs(value) <= 180  # the hint is about the two coordinates of a place
        raise WordError("out of range", expected=expected, hint=hint if nearly else "")
    return float(value)


def _as_whole(low: int, high: int, value: object) -> int:
    expected = words.a_whole_number(low, high)
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


def _as_bearing(value: object) -> object:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return bands.bearing(str(value))
    return _as_text(bands.bearing, value, "degrees, or a compass point in quotes")


def _as_truth(value: object) -> bool:
    if not isinstance(value, bool):
        raise WordError("neither true nor false", expected="true or false, without quotes")
    return value


def _as_known(known: Collection[str], problem: str, text: str) -> str:
    if text not in known:
        hint = words.did_you_mean(text, known)
        raise WordError(problem, expected=words.listed(known), hint=hint)
    return text


def _as_ground(value: object) -> Ground:
    if isinstance(value, int | float) and not isinstance(value, bool):
        share = _as_number(0.0, 1.0, "", value)
        return Ground(name=f"a ground of {share:.0%}", share=share)
    expected = f"{words.listed(GROUNDS)}, or the share that it throws back, such as 0.3"
    if not isinstance(value, str):
        raise WordError("not a ground", expected=expected)
    if value not in GROUNDS:
        hint = words.did_you_mean(value, GROUNDS)
        raise WordError("not a ground", expected=expected, hint=hint)
    return GROUNDS[value]


def _name(text: str) -> str:
    name = words.line_of_text(text)
    if not words.key_of(name):
        raise WordError("not a name", expected="a name with a letter or a digit in it")
    return name


def text(limit: int) -> BeforeValidator:
    """Take a text of 1 to `limit` characters on one line."""
    return BeforeValidator(partial(_as_text, partial(words.line_of_text, limit=limit)))


def one_of(known: Collection[str], problem: str) -> BeforeValidator:
    """Take one of the known words; `problem` says what another one is not."""
    return BeforeValidator(partial(_as_text, partial(_as_known, tuple(known), problem)))


def number(low: float, high: float, hint: str = "") -> BeforeValidator:
    """Take a number within limits."""
    return BeforeValidator(partial(_as_number, low, high, hint))


def whole(low: int, high: int) -> BeforeValidator:
    """Take a whole number within limits."""
    return BeforeValidator(partial(_as_whole, low, high))


Name = Annotated[str, BeforeValidator(partial(_as_text, _name))]
Clock = Annotated[dt.time, BeforeValidator(_as_clock)]
Spans = Annotated[
    list[Annotated[tuple[dt.time, dt.time], BeforeValidator(partial(_as_text, clock.clock_span))]],
    BeforeValidator(_as_list),
]
Bearing = Annotated[float, BeforeValidator(_as_bearing)]
Truth = Annotated[bool, BeforeValidator(_as_truth)]
GroundValue = Annotated[Ground, BeforeValidator(_as_ground)]
Share = Annotated[float, number(0, 1)]
Angles = Annotated[
    tuple[float, float],
    BeforeValidator(partial(_as_text, partial(bands.elevation_band, known={}))),
]
Date = Annotated[dt.date, BeforeValidator(_as_date)]
Zone = Annotated[str, BeforeValidator(partial(_as_text, clock.timezone))]
