"""The skyline of a subject, made of all that was told of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise

from sunsched.day.model import Place, Spot
from sunsched.day.skyline import HorizonPoint, Level, Roof, Sighting, SunNote, Wall
from sunsched.folder.skyline.tile import Tile
from sunsched.folder.skyline.told import Told
from sunsched.folder.text.findings import Findings
from sunsched.sky.events import SUNRISE_DEG
from sunsched.sky.skyline.envelope import skyline_of
from sunsched.sky.skyline.ground import Station
from sunsched.sky.skyline.houses import NEAREST_M, Eye, see_houses
from sunsched.sky.skyline.pieces import Edge, Piece, Space, distance_to_m
from sunsched.sky.skyline.ridge import Point, level_line, ridge_lines, steepest, sun_point
from sunsched.sky.skyline.seen import Seen, mark_of, seen_of
from sunsched.sky.skyline.terrain import Terrain, ground_m, see_terrain
from sunsched.sky.skyline.walls import corner_at, edges_of, slab_points
from sunsched.sky.track import sun_at

LOWEST_DEG, HIGHEST_DEG = -5.0, 89.0  # that a horizon file holds


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Skyline:
    """A skyline: its points by true azimuth, overhangs last, and what each part of it looks like.

    `ridges_deg` are the stretches that ridges known by angles were given; `terrain` is None where
    there is none.
    """

    points: tuple[HorizonPoint, ...]
    seen: tuple[Seen, ...]
    ridges_deg: tuple[tuple[float, float], ...]
    terrain: Terrain | None


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """From where parts are seen: the place, how far the subject is from the spot, its face."""

    place: Place
    away_m: tuple[float, float]
    eye: Eye
    findings: Findings


def make_skyline(
    place: Place, spot: Spot, told: Sequence[Told], declination_deg: float, findings: Findings
) -> Skyline:
    """Make the skyline of a spot's subject.

    Parameters
    ----------
    place : Place
        Where the sun is seen from.
    spot : Spot
        Whose subject it is; walls are told as seen from the spot itself.
    told : sequence of Told
        Walls, roofs, notes, times of the sun, tiles and footprints.
    declination_deg : float
        Half degrees of the folder's bearings may get points of their own.
    findings : Findings
        Where faults and warnings are noted; with a fault the skyline is not to be used.
    """
    tiles = [one.part for one in told if isinstance(one.part, Tile)]
    away, station = subject_at(place, spot)
    terrain = _terrain(told, tiles, station, spot.subject.height_m, findings)
    face = spot.subject.height_m
    sea = None if terrain is None else terrain.ground_m + face
    eye = Eye(station=station, face_m=face, sea_m=sea, tiles=tiles)
    view = View(place=place, away_m=away, eye=eye, findings=findings)
    pieces: list[Piece] = []
    over: list[HorizonPoint] = []
    noted: list[Point] = []
    marks: list[Seen] = []
    seen: list[Seen] = []
    for number, one in enumerate(told):
        part = one.part
        if isinstance(part, Sighting | SunNote):
            at = _point(view, one, part)
            noted += at
            marks += [mark_of(one.line, part.told, point) for point in at]
            continue
        if isinstance(part, Tile) and (terrain is None or part is not tiles[0]):
            continue
        mine, hanging, count = _parts(view, number, one, terrain)
        pieces += mine
        over += hanging
        words = part.told if isinstance(part, Level) else one.line.text
        seen.append(seen_of(one.line, words, mine, hanging, count))
    _warn_of_clash(noted, marks, findings)
    ridges = ridge_lines(len(told), noted)
    pieces += ridges
    floor = 0.0 if terrain is None else terrain.floor_deg
    base = [
        HorizonPoint(azimuth_deg=azimuth, elevation_deg=min(HIGHEST_DEG, max(LOWEST_DEG, height)))
        for azimuth, height, _ in skyline_of(pieces, floor, declination_deg)
    ]
    spans = [(one.start_deg, one.start_deg + one.wide_deg) for one in ridges]
    return Skyline(
        points=(*base, *over), seen=(*seen, *marks), ridges_deg=tuple(spans), terrain=terrain
    )


def subject_at(place: Place, spot: Spot) -> tuple[tuple[float, float], Station]:
    """Give how far east and north of its spot a subject stands, metres, and where that is.

    A spot without coordinates of its own has the place's.
    """
    bearing = math.radians(spot.subject.bearing_deg)
    distance = spot.subject.distance_m
    away = distance * math.sin(bearing), distance * math.cos(bearing)
    latitude, longitude = spot.latitude_deg, spot.longitude_deg
    if latitude is None or longitude is None:
        latitude, longitude = place.latitude_deg, place.longitude_deg
    return away, Station(latitude_deg=latitude, longitude_deg=longitude).moved(*away)


def _parts(
    view: View, number: int, one: Told, terrain: Terrain | None
) -> tuple[Sequence[Piece], Sequence[HorizonPoint], int]:
    """Give the pieces and the overhangs of one part, and how many things it is."""
    match one.part:
        case Wall():
            return _wall(view, number, one, one.part), (), 1
        case Roof():
            return (), _roof(view, number, one, one.part), 1
        case Level():
            return [level_line(number, one.part)], (), 1
        case tuple():
            houses = see_houses(number, one.part, view.eye, one.line.where, view.findings)
            return houses.edges, houses.overhangs, houses.near
        case _:
            return ([] if terrain is None else [terrain.line]), (), len(view.eye.tiles)


def _terrain(
    told: Sequence[Told],
    tiles: Sequence[Tile],
    station: Station,
    face_m: float,
    findings: Findings,
) -> Terrain | None:
    if not tiles:
        return None
    ground = ground_m(tiles, station)
    if ground is not None:
        return see_terrain(0, tiles, station, ground, face_m)
    line = next(one.line for one in told if one.part is tiles[0])
    latitude, longitude = station.latitude_deg, station.longitude_deg
    corner = (
        f"{'NS'[latitude < 0]}{abs(math.floor(latitude)):02}"
        f"{'EW'[longitude < 0]}{abs(math.floor(longitude)):03}"
    )
    findings.fault(
        line.where,
        f"does not cover the subject at {latitude:.5f}, {longitude:.5f}",
        ", ".join(tile.name for tile in tiles),
        expected=f"a tile that does, such as {corner}.hgt",
        hint="if the spot is elsewhere, give it its own `latitude_deg` and `longitude_deg`",
    )
    return None


def _wall(view: View, number: int, one: Told, wall: Wall) -> list[Edge]:
    face = view.eye.face_m
    corners: list[Space] = [corner_at(corner, view.away_m, face) for corner in wall.corners]
    if any(corner.distance_m is None for corner in wall.corners):
        return list(edges_of(number, corners))
    if min(distance_to_m(left, right) for left, right in pairwise(corners)) < NEAREST_M:
        view.findings.fault(
            one.line.where,
            "a wall that runs through the subject",
            one.line.text,
            expected=f"{NEAREST_M:g} m away or more from where the face is",
        )
        return []
    if max(height for _, _, height in corners) <= 0:
        problem = f"hides nothing, as the face is {face:g} m above the ground"
        view.findings.warn(one.line.where, problem, one.line.text)
    return list(edges_of(number, corners))


def _roof(view: View, number: int, one: Told, roof: Roof) -> list[HorizonPoint]:
    face = view.eye.face_m
    if roof.low_m <= face:
        view.findings.fault(
            one.line.where,
            f"a roof whose underside is not above the face at {face:g} m",
            one.line.text,
            hint="what reaches down that far is a wall: `--wall`",
        )
        return []
    ring = [corner_at(corner, view.away_m, face)[:2] for corner in roof.corners]
    return slab_points(ring, roof.low_m - face, roof.high_m - face, f"roof {number + 1}")


def _point(view: View, one: Told, part: Sighting | SunNote) -> list[Point]:
    if isinstance(part, Sighting):
        return [Point(azimuth_deg=part.azimuth_deg, elevation_deg=part.elevation_deg)]
    sun = sun_at(view.place, part.when)
    later = sun_at(view.place, part.when + timedelta(minutes=1))
    climbs = later.elevation_deg > sun.elevation_deg
    local = part.when.astimezone(view.place.zone)
    if sun.elevation_deg < SUNRISE_DEG:
        view.findings.fault(
            one.line.where,
            f"the sun was not up at {local:%H:%M} on {local:%Y-%m-%d}, but "
            f"{-sun.elevation_deg:.0f}° below the level horizon",
            one.line.text,
            expected="a moment between sunrise and sunset at the place",
            hint=f"clock times are those of {view.place.timezone}",
        )
    elif climbs != part.comes:
        bearing = f"{sun.azimuth_deg:.0f}°, {sun.apparent_elevation_deg:.0f}° high"
        view.findings.fault(
            one.line.where,
            f"the sun was {'climbing' if climbs else 'sinking'} at {local:%H:%M}, so it "
            f"{'came out beside' if part.comes else 'went behind the side of'} something at "
            f"{bearing}, not over a ridge",
            one.line.text,
            hint="tell what that is by `--wall` or, from its left side to its right one, "
            "`--note 120..135:40`; if it was the other way round, `cleared` is the first of the "
            "sun, `met` the last",
        )
    else:
        return [sun_point(view.place, part)]
    return []


def _warn_of_clash(noted: Sequence[Point], marks: Sequence[Seen], findings: Findings) -> None:
    """Warn of two notes that do not fit each other: one of them has a wrong time or date."""
    clash = steepest(noted)
    if clash is None:
        return
    one, other = (marks[place] for place in clash)
    near, far = (noted[place] for place in clash)
    findings.warn(
        one.line.where,
        f"does not fit `{other.told}`: {near.elevation_deg:.0f}° and {far.elevation_deg:.0f}° "
        f"high, {abs(far.azimuth_deg - near.azimuth_deg):.0f}° apart",
        one.told,
        hint="look at the times and dates; a house or a tree is told by `--wall`",
    )
