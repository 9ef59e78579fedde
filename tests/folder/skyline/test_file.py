"""The horizon file: what is written is what is read, in the folder's own bearings."""

from __future__ import annotations

import numpy as np
import pytest

from sunsched.day.skyline import HorizonPoint
from sunsched.folder.read import read_day
from sunsched.folder.skyline.file import horizon_path, horizon_text
from sunsched.folder.skyline.told import MADE_BY, kept_lines, line_of, path_text
from sunsched.sky.horizon import horizon_deg, overhangs, overhangs_deg

BASE = tuple(
    HorizonPoint(azimuth_deg=azimuth, elevation_deg=height)
    for azimuth, height in ((0, 3), (0, 12.3456), (40, 20), (77.123, 1), (77.123, -2), (300, 0))
)
OVER = tuple(
    HorizonPoint(azimuth_deg=azimuth, elevation_deg=high, under_deg=low, part=part)
    for azimuth, low, high, part in (
        (350, 10, 20, "roof 1"),
        (20, 12, 90, "roof 1"),
        (100, 5, 9, "roof 2"),
        (100.5, 5, 9, "roof 2"),
    )
)
LINES = (line_of("wall", "from 80 to 130,  20 m away, 12 m high"), line_of("note", "100:15"))


@pytest.mark.parametrize("declination_deg", [0.0, 7.5, -13.25])
@pytest.mark.parametrize("points", [BASE, BASE + OVER, OVER, BASE[:1]], ids=len)
def test_what_is_written_is_read(points, declination_deg, make_folder, minimal_day):
    """Heights at every azimuth, edges and overhangs, also across the compass's north."""
    text = horizon_text(LINES, points, declination_deg, ["seen from the yard"])
    day = minimal_day
    if declination_deg:
        day = f'bearings = "magnetic"\ndeclination_deg = {declination_deg}\n{day}'
    read = read_day(make_folder(day, horizon_salt_pans_csv=text)).spots[0].horizon
    asked = np.arange(0.05, 360, 0.37)
    assert horizon_deg(read, asked) == pytest.approx(horizon_deg(points, asked), abs=0.11)
    assert [len(one) for one in overhangs(read)] == [len(one) for one in overhangs(points)]
    for ours, theirs in zip(overhangs_deg(points, asked), overhangs_deg(read, asked), strict=True):
        assert theirs[0] == pytest.approx(ours[0], abs=0.01, nan_ok=True)
        assert theirs[1] == pytest.approx(ours[1], abs=0.11, nan_ok=True)


def test_the_head_keeps_what_was_told(tmp_path):
    """Kinds, words and line numbers; what is no such line ends it."""
    path = tmp_path / "horizon-yard.csv"
    path.write_text(horizon_text(LINES, BASE, 0.0, ["seen from the yard"]))
    kept = kept_lines(path)
    assert [(one.kind, one.text, one.where.line) for one in kept] == [
        ("wall", "from 80 to 130, 20 m away, 12 m high", 3),
        ("note", "100:15", 4),
    ]
    assert path.read_text().splitlines()[:2] == ["# seen from the yard", MADE_BY]


def test_a_file_within_the_folder_is_named_from_there(tmp_path):
    """So that the folder may be moved; others keep their whole path."""
    folder = tmp_path / "day"
    assert path_text(folder / "maps" / "N46E013.hgt", folder) == "maps/N46E013.hgt"
    assert path_text(tmp_path / "N46E013.hgt", folder) == str(tmp_path / "N46E013.hgt")


def test_a_spot_has_its_file(make_folder, minimal_day):
    """The one in the folder, however it is spelled; else the name that the reader looks for."""
    spots = '[[spot]]\nname = "Old Mill"\n[[spot]]\nname = "a/b"\n'
    shots = "id,description,size,look,shoot_min,spot\n1,Wide,wide,N,30,Old mill\n"
    folder = make_folder(minimal_day + spots, shots)
    assert horizon_path(folder, "Old Mill") == (folder / "horizon-old-mill.csv", ())
    (folder / "horizon-Old_Mill.csv").write_text("azimuth_deg,elevation_deg\n0,1\n")
    assert horizon_path(folder, "Old Mill") == (folder / "horizon-Old_Mill.csv", ())
    with pytest.raises(Exception, match="no file can have the name of the spot `a/b`"):
        horizon_path(folder, "a/b")
