"""Footprints: the example polygons of RFC 7946 (2016, appendix A.3, from memory), and bad files."""

from __future__ import annotations

import json
from typing import Any

import pytest

from sunsched.folder.skyline.footprints import read_footprints
from sunsched.folder.text.findings import Findings, Where

# RFC 7946, A.3: a polygon without holes, and the same with a hole; corners are longitude, latitude.
OUTER = [[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]
HOLE = [[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]]
# A.6: a multipolygon of a square and one with a hole.
FIRST = [[102.0, 2.0], [103.0, 2.0], [103.0, 3.0], [102.0, 3.0], [102.0, 2.0]]


def feature(geometry: Any, **properties: Any) -> dict[str, Any]:
    """Give a feature of GeoJSON."""
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def polygon(*rings: Any) -> dict[str, Any]:
    """Give a polygon of these rings."""
    return {"type": "Polygon", "coordinates": list(rings)}


def read(tmp_path, data, name="houses.geojson"):
    """Read what is written as a file; gives footprints and the texts of faults."""
    path = tmp_path / name
    path.write_text(data if isinstance(data, str) else json.dumps(data), encoding="utf-8")
    findings = Findings()
    found = read_footprints(path, Where(file="--footprints"), findings)
    return found, [str(fault) for fault in findings.faults]


def test_the_polygons_of_the_standard(tmp_path):
    """Rings lose their last corner, holes are kept, and latitude comes first with us."""
    multi = {"type": "MultiPolygon", "coordinates": [[FIRST], [OUTER, HOLE]]}
    collection = {
        "type": "GeometryCollection",
        "geometries": [polygon(OUTER), {"type": "Point", "coordinates": [1, 2]}],
    }
    data = {
        "type": "FeatureCollection",
        "features": [
            feature(polygon(OUTER), height=12, name="mill"),
            feature(polygon(OUTER, HOLE), height="40 ft"),
            feature(multi, **{"building:levels": "3"}),
            feature(collection, height="7.5", min_height=3),
            feature({"type": "LineString", "coordinates": [[1, 2], [3, 4]]}),
            feature(None),
        ],
    }
    found, faults = read(tmp_path, data)
    assert faults == []
    assert [one.high_m for one in found] == pytest.approx([12, 12.192, 9, 9, 7.5])
    assert [one.low_m for one in found] == [0, 0, 0, 0, 3]
    assert [one.name for one in found] == ["mill", "no. 2", "no. 3", "no. 3", "no. 4"]
    assert found[0].rings == (((0.0, 100.0), (0.0, 101.0), (1.0, 101.0), (1.0, 100.0)),)
    assert [len(ring) for ring in found[1].rings] == [4, 4]
    assert found[2].rings[0][0] == (2.0, 102.0)


def test_footprints_without_heights_are_named_in_one_line(tmp_path):
    """With what to write, and where."""
    houses = [feature(polygon(OUTER), name=f"house {number}") for number in range(7)]
    found, faults = read(tmp_path, {"type": "FeatureCollection", "features": houses})
    assert found == ()
    assert faults == [
        (
            "--footprints: 7 footprints have no height: house 0, house 1, house 2, house 3 and "
            "house 4 and others: `houses.geojson` (expected `height` in metres, or "
            "`building:levels`, among its properties)\n  hint: take out those that hide nothing, "
            "or give them their height"
        )
    ]


@pytest.mark.parametrize(
    ("data", "message"),
    [
        ("{", "not JSON"),
        ("[]", "not GeoJSON"),
        ({"type": "FeatureCollection", "features": []}, "no polygons"),
        (
            feature(polygon(OUTER), height="12 spans", name="mill"),
            "a unit that is not known: spans: footprint mill",
        ),
        (feature(polygon(OUTER), height=-2), "out of range: footprint no. 1"),
        (feature(polygon(OUTER[:3]), height=2), "a ring that is not closed: footprint no. 1"),
        (
            feature(polygon([[y, x] for x, y in OUTER]), height=2),
            "coordinates that are no degrees: footprint no. 1",
        ),
        (feature(polygon("abc"), height=2), "corners that are not pairs of numbers"),
        (
            feature(polygon(OUTER), height=2, min_height=4),
            "footprint no. 1 has its lower height above its upper one",
        ),
        (
            {**polygon(OUTER), "crs": {"properties": {"name": "urn:ogc:def:crs:EPSG::32633"}}},
            "coordinates in another system",
        ),
    ],
)
def test_files_that_are_no_footprints(data, message, tmp_path):
    """Each is told in a line."""
    found, faults = read(tmp_path, data)
    assert found == ()
    assert len(faults) == 1
    assert faults[0].startswith(f"--footprints: {message}")
