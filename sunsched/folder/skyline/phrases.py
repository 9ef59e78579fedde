"""What one types about a skyline, turned into facts: walls, roofs, notes, times of the sun.

Each reader takes one phrase and what turns its bearings into true ones, and raises `WordError` for
what it cannot read.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from datetime import date, time
from itertools import pairwise

from sunsched.day.skyline import Corner, Level, Roof, Sighting, Wall
from sunsched.folder.skyline.lengths import length_m
from sunsched.folder.text import bands, clock, words
from sunsched.folder.text.words import WordError

WALL_EXPECTED = (
    "a wall such as `from 80 to 130, 20 m away, 12 m high` or `80 at 25 m, 130 at 31 m, 12 m high`"
)
ROOF_EXPECTED = "a roof such as `from 80 to 130, 4 m to 10 m away, 3 m to 5 m high`"
NOTE_EXPECTED = "pairs of bearing and angle such as `100:15 120:18`, or `200..260:15`"
SUN_EXPECTED = "a time of the sun such as `cleared ridge at 09:40 on 2026-11-02`"
ANGLE_DEG = (-5.0, 89.0)
MOST_WALL_DEG = 178.0  # square on to its middle a wider one would reach to no end

# The first of the sun that shows and the last of it, as people say it; common practice, no source.
COMES = ("cleared", "clears", "rose", "rises", "came", "comes", "appeared", "appears", "over")
GOES = ("met", "meets", "left", "leaves", "went", "goes", "gone", "set", "sets", "behind", "hit")
WHOLE = ("whole", "wholly", "fully")

_BETWEEN = re.compile(r"(?<!\d),|,(?!\d)|;")  # no decimal comma
# Where people leave the comma out: behind the bearings, and behind `away` or `high`.
_NO_COMMA = re.compile(
    r"(^(?:from )?\S+ to \S+|\b(?:away|off) at \S+|\b(?:away|off|high|tall)(?! at\b)) (?=[a-z\d])"
)
_FROM = re.compile(r"(?:from )?(\S+?)(?: to |\s*\.\.\s*)(\S+)")
_CORNER = re.compile(
    r"(?:corners? )?(\S+?)(?: at |: ?)(.+?)(?: away)?(?: (\S+ ?\S*) (?:high|tall))?"
)
_AWAY = re.compile(r"(?:(.+?)(?: to | ?- ?))?(.+?) (?:away|off|distant)(?: at (\S+))?")
_HIGH = re.compile(r"(?:(.+?)(?: to | ?- ?))?(.+?) (?:high|tall|up)")
_LENGTH = re.compile(r"\d ?(?:m|ft|feet|metres)\b")
_ANGLE = re.compile(r"([-+\d.,]+) ?(?:°|deg|degrees?)")
_AT = re.compile(r"\bat (\S+(?: ?[ap]\.?m\.?)?)", re.IGNORECASE)
_ON = re.compile(r"\bon (\S+)", re.IGNORECASE)
_PAIR = re.compile(r"([^:\s]+?)(?:\.\.([^:\s]+))?:([^:\s]+)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Clauses:
    """The clauses of a wall or a roof, as they were typed."""

    ends: list[tuple[float, float]] = field(default_factory=list)
    corners: list[tuple[float, str, str]] = field(default_factory=list)
    away: list[tuple[str, str, str]] = field(default_factory=list)
    high: list[tuple[str, str]] = field(default_factory=list)


def wall(text: str, turn_deg: float = 0.0) -> Wall:
    """Read a straight wall: its ends, how near it comes and its height; or its corners.

    `from 80 to 130, 20 m away, 12 m high` stands square on to the middle of its bearings and is
    nearest there; `20 m away at 95` says where it is nearest. Corners have a distance each, or the
    angle of the upper edge alone.
    """
    told = _clauses(text, WALL_EXPECTED)
    if bool(told.ends) == bool(told.corners) or len(told.ends) > 1 or len(told.high) > 1:
        raise WordError("not a wall", expected=WALL_EXPECTED)
    height = told.high[0][1] if told.high else ""
    if told.high and told.high[0][0]:
        raise WordError("a wall from one height to another", hint="tell a slab with `--roof`")
    if told.corners:
        if len(told.corners) < 2 or told.away:
            raise WordError("a wall of one corner", expected=WALL_EXPECTED)
        corners = [_corner(*one, height, turn_deg) for one in told.corners]
        for one, other in pairwise(corners):
            _check_wide(one.azimuth_deg, other.azimuth_deg, turn_deg, either_way=True)
        return Wall(told=words.clean(text), corners=tuple(corners))
    if not height:
        raise WordError("a wall without its height", expected=WALL_EXPECTED)
    [(start, end)] = told.ends
    _check_wide(start, end, 0.0)
    angle = _angle(height)
    if angle is None and not told.away:
        raise WordError("a wall without its distance", expected=WALL_EXPECTED)
    near, far, at = told.away[0] if told.away else ("", "1 m", "")
    if near or len(told.away) > 1:
        raise WordError("a wall at two distances", expected=WALL_EXPECTED)
    square = bands.bearing(at) if at else start + (end - start) % 360 / 2
    nearest = _distance(far)
    corners = []
    for bearing in (start, end):
        aslant = math.radians((bearing - square + 180) % 360 - 180)
        if abs(aslant) >= math.radians(MOST_WALL_DEG / 2):
            raise WordError(
                f"an end at {bearing:g}° that a straight wall nearest at {square % 360:g}° never "
                "reaches",
                expected="less than 89° from there",
            )
        distance = nearest / math.cos(aslant)
        azimuth = (bearing + turn_deg) % 360
        if angle is not None:
            up = math.degrees(math.atan(math.tan(math.radians(angle)) * math.cos(aslant)))
            corners.append(Corner(azimuth_deg=azimuth, elevation_deg=up))
        else:
            corners.append(
                Corner(azimuth_deg=azimuth, distance_m=distance, height_m=length_m(height))
            )
    return Wall(told=words.clean(text), corners=tuple(corners))


def roof(text: str, turn_deg: float = 0.0) -> Roof:
    """Read a slab above the ground, from its near to its far edge and from its underside up."""
    told = _clauses(text, ROOF_EXPECTED)
    counts = (len(told.ends), len(told.away), len(told.high), len(told.corners))
    if counts[1:3] == (1, 1) and not (told.away[0][0] and told.high[0][0]):
        what = "height, of its underside" if told.away[0][0] else "distance, of its near edge"
        raise WordError(f"a roof without a second {what}", expected=ROOF_EXPECTED)
    if counts != (1, 1, 1, 0):
        raise WordError("not a roof", expected=ROOF_EXPECTED)
    [(start, end)], [(near, far, at)], [(low, high)] = told.ends, told.away, told.high
    _check_wide(start, end, 0.0)
    nearest, farthest = length_m(near, plain_unit=_unit(far)), _distance(far)
    underside, upper = length_m(low, plain_unit=_unit(high)), length_m(high)
    if nearest >= farthest or underside >= upper:
        raise WordError("a roof that ends before it begins", expected=ROOF_EXPECTED)
    square = bands.bearing(at) if at else start + (end - start) % 360 / 2
    ring = []
    for bearing, reach in ((start, nearest), (end, nearest), (end, farthest), (start, farthest)):
        aslant = math.radians((bearing - square + 180) % 360 - 180)
        if abs(aslant) >= math.radians(MOST_WALL_DEG / 2):
            raise WordError("an end that a straight roof never reaches", expected=ROOF_EXPECTED)
        ring.append(
            Corner(azimuth_deg=(bearing + turn_deg) % 360, distance_m=reach / math.cos(aslant))
        )
    return Roof(told=words.clean(text), corners=tuple(ring), low_m=underside, high_m=upper)


def notes(text: str, turn_deg: float = 0.0) -> tuple[Sighting | Level, ...]:
    """Read a clinometer's notes: `100:15 120:18` are points, `200..260:15` is level between."""
    plain = re.sub(r"\s*[:=]\s*", ":", words.plain_hyphens(text))
    pairs = [one for one in re.split(r"[\s;]+|(?<!\d),|,(?!\d)", plain) if one]
    found: list[Sighting | Level] = []
    for pair in pairs:
        match = _PAIR.fullmatch(pair)
        if match is None:
            raise WordError(f"not a note: {pair}", expected=NOTE_EXPECTED)
        start = (bands.bearing(match[1]) + turn_deg) % 360
        angle = words.number(match[3].removesuffix("°"), *ANGLE_DEG)
        if match[2] is None:
            found.append(Sighting(told=pair, azimuth_deg=start, elevation_deg=angle))
        else:
            end = (bands.bearing(match[2]) + turn_deg) % 360
            found.append(Level(told=pair, azimuths_deg=(start, end), elevation_deg=angle))
    if not found:
        raise WordError("blank", expected=NOTE_EXPECTED)
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class SunTime:
    """When the sun passed a skyline: the date if it is told, the time, which way, and how much."""

    on: date | None
    at: time
    comes: bool
    is_whole: bool


def sun_time(text: str) -> SunTime:
    """Read when the sun passed the skyline.

    The first of the sun that shows is meant, or the last of it; `whole` says the whole disc.
    """
    plain = words.plain_hyphens(text)
    at, on = _AT.search(plain), _ON.search(plain)
    said = {word.casefold() for word in re.findall(r"[^\W\d]+", plain)}
    if not said & {*COMES, *GOES}:
        near = words.did_you_mean(plain.split(" ")[0], (*COMES, *GOES))
        raise WordError("not what the sun did", expected=SUN_EXPECTED, hint=near)
    if at is None:
        raise WordError("a sun without its time", expected=SUN_EXPECTED)
    when = clock.clock_time(at[1])
    return SunTime(
        on=None if on is None else clock.calendar_date(on[1]),
        at=when,
        comes=not said & {*GOES},
        is_whole=bool(said & {*WHOLE}),
    )


def _clauses(text: str, expected: str) -> Clauses:
    told = Clauses()
    plain = _NO_COMMA.sub(r"\1, ", words.plain_hyphens(text).casefold())
    for clause in filter(None, (part.strip() for part in _BETWEEN.split(plain))):
        if corner := _CORNER.fullmatch(clause):
            told.corners.append((bands.bearing(corner[1]), corner[2], corner[3] or ""))
        elif away := _AWAY.fullmatch(clause):
            told.away.append((away[1] or "", away[2], away[3] or ""))
        elif high := _HIGH.fullmatch(clause):
            told.high.append((high[1] or "", high[2]))
        elif ends := _FROM.fullmatch(clause):
            told.ends.append((bands.bearing(ends[1]), bands.bearing(ends[2])))
        else:
            hint = (
                "say of each length whether it is `away` or `high`"
                if _LENGTH.search(clause)
                else ""
            )
            raise WordError(f"not understood: {clause}", expected=expected, hint=hint)
    return told


def _corner(
    bearing_deg: float, value: str, own_height: str, height: str, turn_deg: float
) -> Corner:
    azimuth = (bearing_deg + turn_deg) % 360
    angle = _angle(value)
    if angle is not None:
        return Corner(azimuth_deg=azimuth, elevation_deg=angle)
    if not (own_height or height):
        raise WordError("a wall without its height", expected=WALL_EXPECTED)
    return Corner(
        azimuth_deg=azimuth,
        distance_m=_distance(value),
        height_m=length_m(own_height or height),
    )


def _distance(text: str) -> float:
    distance = length_m(text)
    if distance == 0:
        raise WordError("no distance", expected="more than 0 m")
    return distance


def _angle(text: str) -> float | None:
    found = _ANGLE.fullmatch(text)
    return None if found is None else words.number(found[1], *ANGLE_DEG)


def _unit(text: str) -> str:
    """Give the unit of a length, for the one before it that has none: `4 to 10 m`."""
    return text.lstrip("+-0123456789., ").rstrip(".")


def _check_wide(
    start_deg: float, end_deg: float, turn_deg: float, *, either_way: bool = False
) -> None:
    """Refuse a wall behind the subject: a straight one is seen over less than 180°."""
    wide = (end_deg - start_deg) % 360
    start, end = ((one - turn_deg) % 360 for one in (start_deg, end_deg))
    if wide == 0 or (either_way and wide == 180):
        raise WordError("a wall of no width, seen end on", expected="two different bearings")
    if not either_way and wide >= MOST_WALL_DEG:
        turned = f"`from {end:g} to {start:g}` is {360 - wide:g}° wide"
        hint = f"clockwise {turned}; else give it as two walls"
        raise WordError(
            f"a straight wall that goes behind the subject: from {start:g} to {end:g} clockwise "
            f"is {wide:g}°",
            expected=f"less than {MOST_WALL_DEG:g}°",
            hint=hint if wide > 182 else "give it as two walls",
        )
