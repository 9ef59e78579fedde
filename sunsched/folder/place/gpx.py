"""The points of a GPX file: waypoints, else those of a route, else where tracks begin and end."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from sunsched.folder.place.candidate import Candidate
from sunsched.folder.place.coordinates import on_earth, written
from sunsched.folder.store.files import MAX_FILE_BYTES
from sunsched.folder.text import words
from sunsched.folder.text.words import WordError

if TYPE_CHECKING:
    from gpxpy.gpx import GPX

# What gpxpy calls a point; its waypoints, route points and track points are alike here.
Named = tuple[str, float, float, float | None]


def gpx_points(path: Path) -> tuple[Candidate, ...]:
    """Give the points of a GPX 1.0 or 1.1 file that a place may be taken from.

    Raises
    ------
    WordError
        When the file cannot be read, is no GPX or has no point.
    """
    named = list(dict.fromkeys(_points(_read(path))))
    if not named:
        raise WordError(
            "a GPX file without a point",
            expected="a waypoint, a route or a track",
            hint="write the coordinates instead, such as `36.5, -10.2`",
        )
    return tuple(_candidate(*one) for one in named)


def _read(path: Path) -> GPX:
    # Imported here, as it takes a tenth of a second.
    import gpxpy
    from gpxpy.gpx import GPXException

    try:
        if path.stat().st_size > MAX_FILE_BYTES:
            raise WordError("a GPX file that is too long", expected=f"{MAX_FILE_BYTES:,} bytes")
        raw = path.read_bytes()
        # XML without a word on its letters is UTF-8; with one, gpxpy would read it twice.
        return gpxpy.parse(raw.decode("utf-8-sig"))
    except (GPXException, UnicodeDecodeError, ValueError) as error:
        if isinstance(error, WordError):
            raise
        raise WordError("not a GPX file", expected="GPX 1.0 or 1.1, in UTF-8") from None
    except OSError as error:
        raise WordError(f"cannot be read ({str(error.strerror).lower()})") from None


def _points(read: GPX) -> Iterator[Named]:
    """Give names and figures: of waypoints if there are any, else of routes, else of tracks."""
    on_routes = [point for route in read.routes for point in route.points]
    if read.waypoints:
        for number, waypoint in enumerate(read.waypoints, start=1):
            yield _named(waypoint, f"waypoint {number}")
    elif on_routes:
        for number, point in enumerate(on_routes, start=1):
            yield _named(point, f"route point {number}")
    for track in () if read.waypoints or on_routes else read.tracks:
        every = [point for segment in track.segments for point in segment.points]
        if every:
            yield _named(every[0], "start of the track")
            yield _named(every[-1], "end of the track")


def _named(point: object, what: str) -> Named:
    latitude, longitude, height = (
        getattr(point, key) for key in ("latitude", "longitude", "elevation")
    )
    name = words.clean(getattr(point, "name", None) or "")[: words.MAX_NAME]
    return name or what, latitude, longitude, height


def _candidate(name: str, latitude: float, longitude: float, height: float | None) -> Candidate:
    point = on_earth(latitude, longitude, height)
    text = written(latitude, longitude)
    return Candidate(name=name, point=point, told=f"{name}: {text}", write=text)


def within(points: Iterable[Candidate], km: float) -> bool:
    """Say whether all points lie near to the first, so that any of them is the place."""
    from geographiclib.geodesic import Geodesic

    first, *others = [one.point for one in points]
    return all(
        Geodesic.WGS84.Inverse(
            first.latitude_deg, first.longitude_deg, other.latitude_deg, other.longitude_deg
        )["s12"]
        <= 1000 * km
        for other in others
    )
