"""Where a photo was taken and which way its lens looked, by its Exif tags (CIPA DC-008, 2.32)."""

from __future__ import annotations

import math
import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from sunsched.folder.place.coordinates import Point, on_earth
from sunsched.folder.text.words import WordError

# Exif 2.32, table 15: the tags of the GPS directory, and those of the date.
GPS_DIRECTORY, EXIF_DIRECTORY = 0x8825, 0x8769
LATITUDE_REF, LATITUDE, LONGITUDE_REF, LONGITUDE = 1, 2, 3, 4
ALTITUDE_REF, ALTITUDE = 5, 6
DIRECTION_REF, DIRECTION = 16, 17
DATE_STAMP, DATE_TAKEN, DATE_CHANGED = 29, 0x9003, 0x0132
BELOW_SEA = (1, 3)  # of the altitude's reference; 3 is that of later editions
TYPE_INSTEAD = "write the coordinates instead, such as `36.5, -10.2`"


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """What a photo tells: its position, the direction of its lens, and the date on it.

    `direction_deg` is clockwise from north, from magnetic north if `is_magnetic`. What the photo
    does not tell is None.
    """

    point: Point | None
    direction_deg: float | None
    is_magnetic: bool
    taken: date | None


def read_photo(path: Path) -> Photo:
    """Read the tags of a photo: JPEG, TIFF, PNG, WebP or what else pillow opens.

    Raises
    ------
    WordError
        When the file is no photo that can be read, or a tag holds what it may not.
    """
    gps, dates = _tags(path)
    direction = _figure(gps, DIRECTION, "direction")
    if direction is not None and not 0 <= direction <= 360:
        raise WordError(f"a photo's direction of {direction:g}", expected="0 to 359.99 degrees")
    return Photo(
        point=_point(gps),
        direction_deg=None if direction is None else direction % 360,
        is_magnetic=_letter(gps, DIRECTION_REF) == "M",
        taken=_taken(dates),
    )


def photo_point(path: Path) -> Point:
    """Give where a photo was taken; raises WordError for one that does not tell."""
    point = read_photo(path).point
    if point is None:
        raise WordError("a photo without a position", expected="GPS tags", hint=TYPE_INSTEAD)
    return point


def _tags(path: Path) -> tuple[Mapping[int, Any], list[Any]]:
    """Give the tags of the GPS directory, and those that may hold the date, the best first.

    Tags are made out as they are looked at, so none is left for later.
    """
    from PIL import Image, UnidentifiedImageError

    limit = Image.MAX_IMAGE_PIXELS
    try:
        # Only tags are read, so a photo of 200 million points is no danger.
        Image.MAX_IMAGE_PIXELS = None
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(path) as image:
                exif = image.getexif()
                gps = dict(exif.get_ifd(GPS_DIRECTORY))
                taken = exif.get_ifd(EXIF_DIRECTORY).get(DATE_TAKEN)
                return gps, [gps.get(DATE_STAMP), taken, exif.get(DATE_CHANGED)]
    except (UnidentifiedImageError, SyntaxError, ValueError, KeyError, TypeError, EOFError):
        hint = "save it as JPEG" if path.suffix.casefold() in (".heic", ".heif", ".dng") else ""
        expected = "a photo as JPEG, TIFF, PNG or WebP"
        raise WordError("not a photo that can be read", expected=expected, hint=hint) from None
    except OSError as error:
        reason = str(error.strerror or "it is damaged").lower()
        expected = "the path of a photo, such as `spot.jpg`"
        raise WordError(f"cannot be read ({reason})", expected=expected) from None
    finally:
        Image.MAX_IMAGE_PIXELS = limit


def _point(gps: Mapping[int, Any]) -> Point | None:
    if LATITUDE not in gps or LONGITUDE not in gps:
        return None
    angles = []
    for tag, ref, letters in ((LATITUDE, LATITUDE_REF, "NS"), (LONGITUDE, LONGITUDE_REF, "EW")):
        parts = gps[tag] if isinstance(gps[tag], tuple) else (gps[tag],)
        figures = [_number(part) for part in parts]
        letter = _letter(gps, ref)
        if not figures or letter not in tuple(letters) or not all(map(math.isfinite, figures)):
            problem = "a photo whose position cannot be read"
            expected = f"degrees, minutes and seconds with {letters[0]} or {letters[1]}"
            raise WordError(problem, expected=expected, hint=TYPE_INSTEAD)
        value = sum(figure / 60**place for place, figure in enumerate(figures))
        angles.append(-value if letter in "SW" else value)
    if angles == [0.0, 0.0]:  # what a phone writes that knew no position
        return None
    height = _figure(gps, ALTITUDE, "altitude")
    if height is not None and _byte(gps.get(ALTITUDE_REF)) in BELOW_SEA:
        height = -height
    return on_earth(angles[0], angles[1], height)


def _figure(gps: Mapping[int, Any], tag: int, what: str) -> float | None:
    if tag not in gps:
        return None
    value = _number(gps[tag])
    if not math.isfinite(value):
        raise WordError(f"a photo whose {what} cannot be read", expected="a number")
    return value


def _number(value: Any) -> float:
    """Give a rational as a number; not a number for one without a denominator, or for a text."""
    try:
        return float(value)
    except (TypeError, ValueError, ZeroDivisionError):
        return math.nan


def _letter(gps: Mapping[int, Any], tag: int) -> str:
    value = gps.get(tag, "")
    text = value.decode("ascii", "replace") if isinstance(value, bytes) else str(value)
    return text.strip("\x00 ").upper()[:1]


def _byte(value: Any) -> int:
    if isinstance(value, bytes):
        return value[0] if value else 0
    return value if isinstance(value, int) else 0


def _taken(dates: Sequence[Any]) -> date | None:
    """Give the first date: of the photo's GPS, else when it was taken, else when it was changed."""
    for text in dates:
        try:
            return date.fromisoformat(str(text)[:10].replace(":", "-"))
        except ValueError:
            continue
    return None
