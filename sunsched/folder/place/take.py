"""The one way from what somebody wrote of a place to the place, with what was taken in words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from sunsched.day.model import Place
from sunsched.errors import SunschedError
from sunsched.folder.place import gpx, photo, towns, zones
from sunsched.folder.place.candidate import Candidate
from sunsched.folder.place.coordinates import (
    MAX_LATITUDE,
    Point,
    coordinates,
    geo_link,
    looks_like_coordinates,
    written,
)
from sunsched.folder.text import words
from sunsched.folder.text.findings import shown
from sunsched.folder.text.words import WordError

PLAIN = (
    "a town such as `Lisbon` or `Springfield, US-IL`, coordinates such as `36.5, -10.2` or "
    "`36°30'N 10°12'W`"
)
WRITTEN = f"{PLAIN} or a `geo:` link"
WAYS = f"{PLAIN}, a `geo:` link, a GPX file or a photo"
GPX_ENDING = ".gpx"
PHOTO_ENDINGS = (".jpg", ".jpeg", ".tif", ".tiff", ".png", ".webp", ".heic", ".heif", ".dng")
# Of files that may hold a place in ways that are not read, and of those of a day folder.
OTHER_ENDINGS = (".kml", ".kmz", ".geojson", ".json", ".csv", ".xlsx", ".txt", ".pdf", ".toml")
FILES = f"a file that tells a place: {GPX_ENDING}, or a photo ({words.listed(PHOTO_ENDINGS)})"
MOST_LISTED = 8
ONE_PLACE_KM = 2.0  # points of a file that lie nearer to each other are one place
# The lowest and highest ground that a place may stand on, metres; a height past them is a slip of
# the device.
LOWEST_M, HIGHEST_M = -430.0, 9000.0

Choose = Callable[[Sequence[Candidate]], int]
"""Asks which of some places is meant; gives its number from 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A place, what it was taken for in words, and what else is worth saying of it."""

    place: Place
    told: str
    notes: tuple[str, ...] = ()


def take_place(text: str, choose: Choose | None = None) -> Taken:
    """Take the place that a text means: a town, coordinates, a `geo:` link, a GPX file, a photo.

    The zone is that of the coordinates. Nothing is chosen silently: among several places the one
    that most people mean is taken, and the notes name the others; where none is, `choose` is asked.

    Parameters
    ----------
    text : str
        What somebody wrote.
    choose : callable, optional
        Asks which of several is meant; without it they are all told as an error.

    Returns
    -------
    Taken
        The place, and what was taken, to be printed.

    Raises
    ------
    SunschedError
        For an unknown town, with the nearest names; for several, with what to type for each; for
        a file or figures without a place. The text says what to write instead.
    """
    return _take(text, choose, reads_files=True)


def take_written(text: str, choose: Choose | None = None) -> Taken:
    """Take the place that a text means, as `take_place` does, without a look at any file."""
    return _take(text, choose, reads_files=False)


def _take(text: str, choose: Choose | None, *, reads_files: bool) -> Taken:
    line = words.clean(text)
    try:
        found, notes = _find(line, choose, reads_files=reads_files)
    except WordError as error:
        value = f": `{shown(line)}`" if line else ""
        expected = f" (expected {error.expected})" if error.expected else ""
        hint = f"\n  hint: {error.hint}" if error.hint else ""
        raise SunschedError(f"{error.problem}{value}{expected}{hint}") from None
    return _taken(found, notes)


def take_point(text: str) -> Point:
    """Take a point for a bearing, written in any way that a place is; raises as `take_place`."""
    place = take_place(text).place
    return Point(latitude_deg=place.latitude_deg, longitude_deg=place.longitude_deg)


def _find(
    line: str, choose: Choose | None, *, reads_files: bool
) -> tuple[Candidate, tuple[str, ...]]:
    ending, ways = Path(line).suffix.casefold(), WAYS if reads_files else WRITTEN
    if not line:
        raise WordError("no place", expected=ways)
    if line.casefold().startswith("geo:"):
        return _at(geo_link(line), "geo: link"), ()
    is_named = ending == GPX_ENDING or ending in PHOTO_ENDINGS
    if is_named and reads_files:
        return _in_file(Path(line), ending, choose)
    if looks_like_coordinates(line):
        return _of_figures(line, choose), ()
    if not reads_files and (is_named or ending in OTHER_ENDINGS):
        raise WordError("no place", expected=WRITTEN)
    if reads_files and ending and (ending in OTHER_ENDINGS or Path(line).is_file()):
        raise WordError("no place", expected=FILES, hint="or write its coordinates or its town")
    return _town(line, choose, ways)


def _of_figures(line: str, choose: Choose | None) -> Candidate:
    """Take coordinates; a point at sea whose figures swapped are at a town is asked about.

    With their hemispheres nobody has swapped them.
    """
    point = coordinates(line)
    here = _at(point, "coordinates")
    latitude, longitude = point.latitude_deg, point.longitude_deg
    is_lettered = any(mark.isalpha() for mark in line)
    if is_lettered or abs(longitude) > MAX_LATITUDE or not zones.is_at_sea(latitude, longitude):
        return here
    if not towns.near_what(longitude, latitude):
        return here
    north, east = "N" if latitude >= 0 else "S", "E" if longitude >= 0 else "W"
    letters = f"{north} {abs(latitude):.6g} {east} {abs(longitude):.6g}"
    swapped = _at(Point(latitude_deg=longitude, longitude_deg=latitude), "on land, swapped")
    return _one_of([swapped, replace(here, told="at sea, as written", write=letters)], line, choose)


def _in_file(path: Path, ending: str, choose: Choose | None) -> tuple[Candidate, tuple[str, ...]]:
    if not path.is_file():
        raise WordError("no such file", expected=WAYS)
    if ending != GPX_ENDING:
        return _at(photo.photo_point(path), "photo"), ()
    points = gpx.gpx_points(path)
    if len(points) == 1:
        return points[0], ()
    if gpx.within(points, ONE_PLACE_KM):
        count = f"the first of {len(points)} points that lie within {ONE_PLACE_KM:g} km"
        return points[0], (count,)
    return _one_of(points, path.name, choose), ()


def _town(line: str, choose: Choose | None, ways: str) -> tuple[Candidate, tuple[str, ...]]:
    found = towns.find_towns(line)
    if not found:
        near = towns.nearest_names(line)
        raise WordError(
            "no such town in the gazetteer",
            expected=ways,
            hint=f"did you mean {words.listed(f'`{name}`' for name in near)}?" if near else "",
        )
    if not towns.is_clear(found):
        return _one_of(found, line, choose), ()
    others = [one.write for one in found[1:]]
    if not others:
        return found[0], ()
    named = words.some([f"`{one}`" for one in others], 3)
    return found[0], (f"other places of this name: {named}",)


def _one_of(found: Sequence[Candidate], text: str, choose: Choose | None) -> Candidate:
    if choose is not None:
        return found[choose(found)]
    listed = "".join(f"\n  `{one.write}`  {one.told}" for one in found[:MOST_LISTED])
    rest = len(found) - MOST_LISTED
    more = f"\n  and {rest} more: write region and country behind the name" if rest > 0 else ""
    raise SunschedError(
        f"`{shown(text)}` may mean {len(found)} places; write one of these instead{listed}{more}"
    )


def _at(point: Point, source: str) -> Candidate:
    text = written(point.latitude_deg, point.longitude_deg)
    near = towns.near_what(point.latitude_deg, point.longitude_deg)
    # The day is named after the town, if one is near; its heading shows it.
    name = near.removeprefix("in ") or text
    told = f"{source}, {near}" if near else f"{source}, near no town"
    return Candidate(name=name, point=point, told=told, write=text)


def _taken(found: Candidate, notes: tuple[str, ...]) -> Taken:
    latitude, longitude = found.point.latitude_deg, found.point.longitude_deg
    zone = zones.zone_at(latitude, longitude)
    told = [*notes, *_zone_notes(zone, latitude, longitude)]
    height = found.point.elevation_m
    if height is not None and not LOWEST_M <= height <= HIGHEST_M:
        told.append(f"its height of {height:g} m is not taken")
        height = None
    place = Place(
        name=found.name[: words.MAX_NAME].strip(" ,"),
        latitude_deg=round(latitude, 5),
        longitude_deg=round(longitude, 5),
        elevation_m=0.0 if height is None else round(height, 1),
        timezone=zone,
    )
    return Taken(place=place, told=found.told, notes=tuple(told))


def _zone_notes(zone: str, latitude: float, longitude: float) -> list[str]:
    if zone.startswith(zones.SEA):
        return ["at sea, far from land: the zone is that of the open sea"]
    near = [
        one
        for one in zones.zones_near(latitude, longitude)
        if not one.startswith(zones.SEA) and one != zone
    ]
    if not near:
        return []
    named = words.listed((f"`{one}`" for one in near), "and")
    return [f"within {zones.BORDER_KM:g} km other clocks are kept too: {named}"]
