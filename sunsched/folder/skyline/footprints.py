"""Footprints with heights from GeoJSON (RFC 7946, 2016): houses, and what stands on posts."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sunsched.folder.skyline.lengths import FLOOR_M, length_m
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where, shown
from sunsched.folder.text.words import WordError

MAX_BYTES = 50_000_000
EXPECTED = "a GeoJSON file such as `houses.geojson`"
# The names of heights in open data are those of OpenStreetMap's keys; a plain number is in metres.
HEIGHT_KEYS = ("height", "building:height", "height_m", "building_height")
FLOOR_KEYS = ("building:levels", "levels", "floors", "storeys")
LOW_KEYS = ("min_height", "building:min_height")
NAME_KEYS = ("name", "id", "@id")
WGS84_NAMES = ("CRS84", "4326")

Ring = tuple[tuple[float, float], ...]
"""Corners around an area or a hole in it: latitude and longitude, the first not repeated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Footprint:
    """A house on the ground, or from `low_m` up; its outer ring first, then its yards."""

    name: str
    rings: tuple[Ring, ...]
    low_m: float
    high_m: float


def read_footprints(path: Path, where: Where, findings: Findings) -> tuple[Footprint, ...]:
    """Read the polygons of a GeoJSON file with their heights, noting every one without.

    Parameters
    ----------
    path : Path
        The file.
    where : Where
        What names it, for faults.
    findings : Findings
        Where faults are noted.
    """
    try:
        data = _document(path)
    except WordError as error:
        findings.misread(where, error, path.name)
        return ()
    found = []
    lacking: list[str] = []
    for number, (geometry, properties) in enumerate(_features(data), start=1):
        name = _name(properties, number)
        try:
            polygons = [*_polygons(geometry)]
            if not polygons:
                continue
            high = _height(properties)
            low = _metres(properties, LOW_KEYS) or 0.0
        except WordError as error:
            text = f"{error.problem}: footprint {name}"
            findings.fault(where, text, path.name, expected=error.expected, hint=error.hint)
            continue
        if high is None:
            lacking.append(name)
        elif low >= high:
            text = f"footprint {name} has its lower height above its upper one"
            findings.fault(where, text, path.name, expected=f"less than {high:g} m")
        else:
            found += [
                Footprint(name=name, rings=rings, low_m=low, high_m=high) for rings in polygons
            ]
    if lacking:
        count = len(lacking)
        plural = f"{count} footprints have no height" if count > 1 else "a footprint has no height"
        findings.fault(
            where,
            f"{plural}: {words.listed(lacking[:5], 'and')}{' and others' if count > 5 else ''}",
            path.name,
            expected=f"`{HEIGHT_KEYS[0]}` in metres, or `{FLOOR_KEYS[0]}`, among its properties",
            hint="take out those that hide nothing, or give them their height",
        )
    elif not found and not findings.faults:
        findings.fault(where, "no polygons", path.name, expected="footprints with heights")
    return tuple(found)


def _document(path: Path) -> dict[str, Any]:
    try:
        if not path.is_file():
            near = [one.name for one in path.parent.iterdir()] if path.parent.is_dir() else []
            hint = words.did_you_mean(path.name, near)
            raise WordError("no such file", expected=EXPECTED, hint=hint)
        if path.stat().st_size > MAX_BYTES:
            raise WordError(
                f"{path.stat().st_size:,} bytes long", expected=f"at most {MAX_BYTES:,} bytes"
            )
        raw = path.read_bytes()
    except OSError as error:
        raise WordError(f"cannot be read ({str(error.strerror).lower()})") from None
    try:
        data = json.loads(raw.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        raise WordError("not JSON", expected="GeoJSON") from None
    if not isinstance(data, dict) or "type" not in data:
        raise WordError("not GeoJSON", expected='an object with a "type"')
    named = json.dumps(data.get("crs"))
    if data.get("crs") is not None and not any(name in named for name in WGS84_NAMES):
        raise WordError(
            "coordinates in another system",
            expected="longitude and latitude (WGS84), as RFC 7946 asks",
        )
    return data


def _features(data: Any) -> Iterator[tuple[Any, dict[str, Any]]]:
    """Give each geometry with its properties, whatever it is packed in."""
    if not isinstance(data, dict):
        return
    kind = data.get("type")
    if kind == "FeatureCollection":
        listed = data.get("features")
        for one in listed if isinstance(listed, list) else []:
            yield from _features(one)
    elif kind == "Feature":
        properties = data.get("properties")
        named = dict(properties) if isinstance(properties, dict) else {}
        yield data.get("geometry"), {"id": data.get("id"), **named}
    else:
        yield data, {}


def _polygons(geometry: Any) -> Iterator[tuple[Ring, ...]]:
    if not isinstance(geometry, dict):
        return
    kind, coordinates = geometry.get("type"), geometry.get("coordinates")
    if kind == "Polygon":
        yield _rings(coordinates)
    elif kind == "MultiPolygon":
        for one in coordinates if isinstance(coordinates, list) else []:
            yield _rings(one)
    elif kind == "GeometryCollection":
        inner = geometry.get("geometries")
        for one in inner if isinstance(inner, list) else []:
            yield from _polygons(one)


def _rings(coordinates: Any) -> tuple[Ring, ...]:
    try:
        rings = tuple(
            tuple((float(point[1]), float(point[0])) for point in ring) for ring in coordinates
        )
    except (TypeError, ValueError, IndexError, KeyError):
        raise WordError("corners that are not pairs of numbers") from None
    if not rings or any(len(ring) < 4 or ring[0] != ring[-1] for ring in rings):
        raise WordError(
            "a ring that is not closed", expected="four positions or more, the last as the first"
        )
    if any(abs(lat) > 90 or abs(lon) > 360 for ring in rings for lat, lon in ring):
        raise WordError(
            "coordinates that are no degrees", expected="longitude and latitude, in this order"
        )
    return tuple(ring[:-1] for ring in rings)


def _height(properties: dict[str, Any]) -> float | None:
    height = _metres(properties, HEIGHT_KEYS)
    if height is not None:
        return height
    for key in FLOOR_KEYS:
        if properties.get(key) not in (None, ""):
            return FLOOR_M * words.number(str(properties[key]), 0, 300)
    return None


def _metres(properties: dict[str, Any], keys: tuple[str, ...]) -> float | None:
    for key in keys:
        value = properties.get(key)
        if isinstance(value, int | float) and not isinstance(value, bool):
            return words.within(float(value), 0, 1000)
        if isinstance(value, str) and value.strip():
            return length_m(value, plain_unit="m")
    return None


def _name(properties: dict[str, Any], number: int) -> str:
    found = (properties.get(key) for key in NAME_KEYS)
    return shown(str(next((one for one in found if one not in (None, "")), f"no. {number}")))
