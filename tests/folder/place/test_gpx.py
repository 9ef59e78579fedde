"""Points of GPX files: what a place may be taken from, and files without one."""

import pytest

from sunsched.folder.place.gpx import gpx_points, within
from sunsched.folder.text.words import WordError

HEAD = (
    '<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'
)
WAY = '<wpt lat="36.9" lon="10.75"><ele>12.5</ele><name>Tërrace </name></wpt>'
OTHER = '<wpt lat="36.95" lon="10.8"/>'
ROUTE = '<rte><rtept lat="36.1" lon="10.1"/><rtept lat="36.2" lon="10.2"/></rte>'
STEPS = '<trkpt lat="1" lon="2"/><trkpt lat="3" lon="4"/><trkpt lat="5" lon="6"/>'
TRACK = f"<trk><trkseg>{STEPS}</trkseg></trk>"


@pytest.fixture
def gpx(tmp_path):
    """Give a function that writes a GPX file around some points."""

    def write(inside, head=HEAD):
        path = tmp_path / "points.gpx"
        path.write_text(f"{head}{inside}</gpx>", encoding="utf-8")
        return path

    return write


def test_waypoint(gpx):
    """A waypoint gives its name, position and height; routes and tracks are then not looked at."""
    (point,) = gpx_points(gpx(WAY + ROUTE + TRACK))
    assert (point.name, point.write) == ("Tërrace", "36.9, 10.75")
    assert point.point.elevation_m == 12.5


def test_several_points(gpx):
    """Every waypoint is told, with what to type for it; so are ends of tracks and route points."""
    assert [one.write for one in gpx_points(gpx(WAY + OTHER))] == ["36.9, 10.75", "36.95, 10.8"]
    assert [one.told for one in gpx_points(gpx(ROUTE + TRACK))] == [
        "route point 1: 36.1, 10.1",
        "route point 2: 36.2, 10.2",
    ]
    assert [one.name for one in gpx_points(gpx(TRACK))] == [
        "start of the track",
        "end of the track",
    ]
    assert [one.write for one in gpx_points(gpx(TRACK))] == ["1, 2", "5, 6"]


def test_points_of_one_place(gpx):
    """Points within two kilometres are one place; 5.6 km are not."""
    near = gpx_points(gpx(WAY + '<wpt lat="36.91" lon="10.755"/>'))
    assert within(near, 2.0)
    assert not within(gpx_points(gpx(WAY + '<wpt lat="36.95" lon="10.75"/>')), 2.0)


@pytest.mark.parametrize(
    ("inside", "head", "problem"),
    [
        ("", HEAD, "a GPX file without a point"),
        ("<trk><trkseg/></trk>", HEAD, "a GPX file without a point"),
        ('<wpt lat="x" lon="2"/>', HEAD, "not a GPX file"),
        (WAY, "", "not a GPX file"),
        ('<wpt lat="95" lon="2"/>', HEAD, "a latitude of 95"),
    ],
)
def test_files_without_a_place(gpx, inside, head, problem):
    """What holds no point is told as that."""
    with pytest.raises(WordError) as raised:
        gpx_points(gpx(inside, head))
    assert raised.value.problem == problem


def test_a_long_file_is_not_read(gpx, monkeypatch):
    """As long as may be it is read, a byte longer it is refused."""
    path = gpx(WAY)
    monkeypatch.setattr("sunsched.folder.place.gpx.MAX_FILE_BYTES", path.stat().st_size)
    assert len(gpx_points(path)) == 1
    monkeypatch.setattr("sunsched.folder.place.gpx.MAX_FILE_BYTES", path.stat().st_size - 1)
    with pytest.raises(WordError, match="too long"):
        gpx_points(path)


def test_bytes_that_are_no_text(tmp_path):
    """A file that is no text is no GPX file, and one that is not there is told."""
    path = tmp_path / "photo.gpx"
    path.write_bytes(b"\xff\xd8\xff\xe0\x00")
    with pytest.raises(WordError, match="not a GPX file"):
        gpx_points(path)
    with pytest.raises(WordError, match="cannot be read"):
        gpx_points(tmp_path / "missing.gpx")
