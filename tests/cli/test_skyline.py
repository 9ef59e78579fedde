"""The command `skyline`: from what one types to a file that the day is judged by, or to no file."""

from __future__ import annotations

import json
import math
import re

import numpy as np
import pytest

from sunsched.folder.read import read_day
from sunsched.sky.horizon import horizon_deg, overhangs

COURT = (
    *("--wall", "from 315 to 45, 20 m away, 12 m high"),
    *("--wall", "from 45 to 135, 20 m away, 12 m high"),
    *("--wall", "from 135 to 225, 20 m away, 12 m high"),
)


@pytest.fixture
def folder(make_folder, minimal_day):
    """Give a day in a court, and at a mill whose subject stands elsewhere."""
    spots = '[[spot]]\nname = "Court"\n[[spot]]\nname = "mill"\nsubject_distance_m = 8\n'
    spots += 'subject_bearing = "N"\nsubject_height_m = 1\n'
    shots = "id,description,size,look,shoot_min,spot,lens_mm\n1,Wide,wide,N,30,Court,35\n"
    return make_folder(minimal_day + spots, shots)


def heights(folder, azimuths, spot=0):
    """Give the skyline that the day is judged by."""
    return horizon_deg(read_day(folder).spots[spot].horizon, azimuths)


def test_houses_on_three_sides_need_no_trigonometry(run, folder):
    """12 m at 20 m, over a face at 1.6 m: 27.5° square on, 20.2° in the corners."""
    ran = run("skyline", folder, "court", *COURT)
    assert ran.code == 0
    square, corner = (math.degrees(math.atan(10.4 / d)) for d in (20, 20 * math.sqrt(2)))
    found = heights(folder, [0, 45, 90, 135, 180, 226, 270, 314])
    expected = [square, corner, square, corner, square, 0, 0, 0]
    assert found == pytest.approx(expected, abs=0.02)
    assert (
        "taken:\n- wall from 315 to 45, 20 m away, 12 m high: up to 27.5° high at 0°\n" in ran.out
    )
    assert "highest: 27.5° at 0°, 27.5° at 90°, 27.5° at 180°\n" in ran.out
    assert "where nothing was told the horizon is level\n" in ran.out
    times = re.findall(r"direct sun on 2027-06-09: ([\d:]+)–", ran.out)
    assert times > re.findall(r"on a level horizon: ([\d:]+)–", ran.out)
    assert "horizon-court.csv written" in ran.out
    assert "Never look at the sun" in ran.out


def test_a_file_is_never_written_over_in_silence(run, folder):
    """It is refused, added to, or replaced when that is asked for; what was told stays in it."""
    path = folder / "horizon-court.csv"
    assert run("skyline", folder, "Court", "--note", "100:15").code == 0
    before = path.read_bytes()
    refused = run("skyline", folder, "Court", "--note", "200:20")
    assert refused.code == 1
    assert "`horizon-court.csv` is there already, and nothing was written\n  hint:" in refused.err
    assert path.read_bytes() == before
    assert run("skyline", folder, "Court", "--note", "200:20", "--add").code == 0
    assert heights(folder, [100, 200]) == pytest.approx([15, 20], abs=0.01)
    assert run("skyline", folder, "Court", "--note", "300:9", "--replace").code == 0
    assert heights(folder, [100, 200, 300]) == pytest.approx([0, 0, 9], abs=0.01)
    assert path.read_text().splitlines()[2] == "# note 300:9"
    assert run("skyline", folder, "Court", "--add", "--replace", "--note", "1:1").code == 2
    assert run("skyline", folder, "Court", "--replace").code == 2


def test_what_a_file_was_made_of_can_be_made_again(run, folder):
    """`--add` alone: the same file, or that of a subject who has moved."""
    path = folder / "horizon-mill.csv"
    told = ("--wall", "from 320 to 40, 20 m away, 9 m high")
    assert run("skyline", folder, "mill", *told).code == 0
    assert heights(folder, 0, 1) == pytest.approx(math.degrees(math.atan(8 / 12)), abs=0.01)
    before = path.read_bytes()
    assert run("skyline", folder, "mill", "--add").code == 0
    assert path.read_bytes() == before
    assert run("skyline", folder, "mill", *told, "--add").code == 0  # told twice is once
    assert path.read_bytes() == before
    day = folder / "day.toml"
    day.write_text(day.read_text().replace("subject_distance_m = 8", "subject_distance_m = 10"))
    ran = run("skyline", folder, "mill", "--add")
    assert heights(folder, 0, 1) == pytest.approx(math.degrees(math.atan(8 / 10)), abs=0.01)
    assert "1 m above the ground, 10 m from the camera at 0°" in " ".join(ran.out.split())


def test_a_file_by_hand_is_not_added_to(run, folder):
    """Nobody knows what it was made of."""
    path = folder / "horizon-court.csv"
    path.write_text("azimuth_deg,elevation_deg\n0,5\n")
    ran = run("skyline", folder, "Court", "--note", "100:15", "--add")
    assert (ran.code, path.read_text()) == (1, "azimuth_deg,elevation_deg\n0,5\n")
    assert "was not made by `skyline`" in ran.err
    shown = run("skyline", folder, "Court")
    assert shown.code == 0
    assert "highest: 5.0° at 0°" in shown.out


def test_magnetic_bearings_are_those_of_the_folder(run, folder):
    """Typed and written by the compass, looked at true."""
    day = folder / "day.toml"
    day.write_text('bearings = "magnetic"\ndeclination_deg = 10\n' + day.read_text())
    ran = run("skyline", folder, "Court", "--note", "100..130:15", "--note", "200:20")
    assert "- note 200:20: 20.0° high at 200°M 210°T\n" in ran.out
    assert "\n100,15\n" in (folder / "horizon-court.csv").read_text()
    assert heights(folder, [109.9, 110.1, 139.9, 140.1, 210]) == pytest.approx(
        [0, 15, 15, 0, 20], abs=0.01
    )


def test_the_sun_noted_on_another_day(run, folder):
    """A clock time is a point of the ridge; the day's own date is meant where none is told."""
    ran = run("skyline", folder, "Court", "--sun", "met ridge at 18:00 on 2027-04-20")
    text = " ".join(ran.out.split())
    found = re.search(r"the skyline is ([\d.]+)° high at (\d+)°", text)
    assert found
    assert heights(folder, int(found[2])) == pytest.approx(float(found[1]), abs=0.06)
    assert "points up to 45° apart are joined" in text
    today = run("skyline", folder, "Court", "--replace", "--sun", "cleared it at 09:00")
    assert "direct sun on 2027-06-09: 09:00–" in today.out
    # The date is kept, for when the day is moved.
    kept = (folder / "horizon-court.csv").read_text()
    assert "# sun cleared it at 09:00 on 2027-06-09\n" in kept


def test_a_roof_has_the_sun_below_it(run, folder):
    """The file has its columns, and the day is judged by them."""
    slab = "from 60 to 120, 3 m to 6 m away, 3 m to 3.5 m high"
    ran = run("skyline", folder, "Court", "--roof", slab)
    assert ran.code == 0
    assert "open below, from" in ran.out
    assert "overhangs: 1;" in ran.out
    [chain] = overhangs(read_day(folder).spots[0].horizon)
    middle = min(chain, key=lambda point: abs(point.azimuth_deg - 90))
    assert middle.under_deg == pytest.approx(math.degrees(math.atan(1.4 / 6)), abs=0.01)
    assert middle.elevation_deg == pytest.approx(math.degrees(math.atan(1.9 / 3)), abs=0.01)
    assert ran.out.count(",") >= 1
    spans = re.search(r"direct sun on 2027-06-09: (.*)", ran.out)
    assert spans
    assert spans[1].count("–") == 2


def hgt(path, height_of):
    """Write a tile of 1201 rows whose height is a function of latitude and longitude."""
    south, west = int(path.stem[1:3]), -int(path.stem[4:7])
    latitude = south + 1 - np.arange(1201)[:, np.newaxis] / 1200
    longitude = west + np.arange(1201)[np.newaxis, :] / 1200
    path.write_bytes(np.round(height_of(latitude, longitude)).astype(">i2").tobytes())


def house(south, west, north, east, **properties):
    """Give a footprint as GeoJSON."""
    ring = [[west, south], [east, south], [east, north], [west, north], [west, south]]
    geometry = {"type": "Polygon", "coordinates": [ring]}
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def test_terrain_and_houses_stand_on_one_another(run, folder, tmp_path):
    """A ridge of 500 m along 36.3°, 11 km to the north, and a house on ground that is 20 m higher.

    The place is 36.2, -5.9; a degree of latitude there is 110,957 m, one of longitude 89,951 m
    (WGS84, from memory).
    """
    tile = tmp_path / "N36W006.hgt"
    hgt(
        tile,
        lambda latitude, longitude: (
            np.maximum(0.0, 500 - 50_000 * np.abs(latitude - 36.3)) + 20.0 * (longitude > -5.8995)
        ),
    )
    houses = tmp_path / "houses.geojson"
    near, far = -5.9 + 90 / 89_951, -5.9 + 110 / 89_951
    houses.write_text(json.dumps(house(36.1995, near, 36.2005, far, height=15)))
    ran = run("skyline", folder, "Court", "--terrain", tile, "--footprints", houses)
    assert ran.code == 0, ran.err
    ridge = math.degrees(math.atan((500 - 1.6 - 11_096**2 * 0.87 / 2 / 6_371_000) / 11_096))
    front = math.degrees(math.atan((20 + 15 - 1.6) / 90))
    assert heights(folder, 0) == pytest.approx(ridge, abs=0.06)
    assert heights(folder, 90) == pytest.approx(front, abs=0.05)
    text = " ".join(ran.out.split())
    assert "terrain of a tile, the ground at the subject 0 m above sea: up to" in text
    assert "footprints houses.geojson, 1 near enough to count" in text
    assert "are seen from the place's 36.20000, -5.90000, as the spot has no coordinates" in text
    assert re.search(r"terrain is known for 9 km only toward 2[67]\d°", text)
    kept = (folder / "horizon-court.csv").read_text()
    assert f"# terrain {tile}\n" in kept


BAD = [
    (
        ["Cort", "--note", "1:1"],
        2,
        "no such spot: `Cort` (expected Court or mill) hint: did you mean `Court`?",
    ),
    ([], 2, "name one of its spots: Court, mill"),
    (
        ["Court", "--wall", "from 80 to 270, 20 m away, 12 m high"],
        1,
        "--wall: a straight wall that goes behind the subject: from 80 to 270 clockwise is 190°",
    ),
    (["Court", "--wall", "from 80 to 130, 0 m away, 12 m high"], 1, "--wall: no distance"),
    (
        ["Court", "--wall", "from 80 to 130, 20 m away, 12 hands high"],
        1,
        "--wall: a unit that is not known: hands",
    ),
    (
        ["Court", "--wall", "80 at 0.1 m, 130 at 0.1 m, 12 m high"],
        1,
        "--wall: a wall that runs through the subject",
    ),
    (
        ["Court", "--sun", "cleared ridge at 05:10 on 2026-11-02"],
        1,
        "--sun: the sun was not up at 05:10 on 2026-11-02, but",
    ),
    (
        ["Court", "--sun", "met tower at 10:00 on 2026-11-02"],
        1,
        "--sun: the sun was climbing at 10:00, so it went behind the side of something at 130°",
    ),
    (
        ["Court", "--sun", "cleared tower at 16:00 on 2026-11-02"],
        1,
        "--sun: the sun was sinking at 16:00, so it came out beside something at",
    ),
    (["Court", "--sun", "cleared ridge at 02:30 on 2027-03-28"], 1, "--sun: a time that does not"),
    (
        ["Court", "--roof", "from 80 to 130, 3 m to 5 m away, 1 m to 2 m high"],
        1,
        "--roof: a roof whose underside is not above the face at 1.6 m",
    ),
    (["Court", "--note", "100"], 1, "--note: not a note: 100"),
    (["Court", "--terrain", "N47E013.hgt"], 1, "--terrain: no such file"),
    (["Court", "--note", "1:1", "--picture", "court.doc"], 2, "court.doc"),
]


@pytest.mark.parametrize(("words", "code", "message"), BAD)
def test_what_cannot_be_is_told_and_nothing_is_written(words, code, message, run, folder):
    """In a line, with what would help, and no file."""
    before = sorted(path.name for path in folder.iterdir())
    ran = run("skyline", folder, *words)
    assert ran.code == code
    assert message in re.sub(r"\s*\n[ │]*", " ", ran.err).replace("│", "")
    assert "Traceback" not in ran.err
    assert sorted(path.name for path in folder.iterdir()) == before


def test_all_faults_are_told_at_once(run, folder, tmp_path):
    """A tile elsewhere, houses without heights, a house around the subject, a bad note."""
    tile = tmp_path / "N40W003.hgt"
    hgt(tile, lambda latitude, longitude: latitude * 0 + longitude * 0)
    bare, around = tmp_path / "bare.geojson", tmp_path / "around.geojson"
    bare.write_text(json.dumps(house(36.1995, -5.899, 36.2005, -5.898)))
    around.write_text(json.dumps(house(36.19, -5.91, 36.21, -5.89, height=9, name="barn")))
    ran = run(
        *("skyline", folder, "Court", "--terrain", tile, "--footprints", bare),
        *("--footprints", around, "--note", "x:1"),
    )
    assert ran.code == 1
    for part in (
        "--terrain: does not cover the subject at 36.20000, -5.90000: `N40W003.hgt`",
        "(expected a tile that does, such as N36W006.hgt)",
        "--footprints: a footprint has no height: no. 1: `bare.geojson`",
        "--footprints: the subject stands in footprint barn",
        "--note: not a bearing: `x:1`",
    ):
        assert part in ran.err
    assert not (folder / "horizon-court.csv").exists()


def test_a_line_at_fault_in_the_file_is_told_by_its_number(run, folder):
    """What was edited by hand is read as what is typed."""
    assert run("skyline", folder, "Court", "--note", "100:15").code == 0
    path = folder / "horizon-court.csv"
    path.write_text(path.read_text().replace("100:15\n", "100:115\n"))
    ran = run("skyline", folder, "Court", "--add")
    assert ran.code == 1
    assert "horizon-court.csv:3: out of range: `100:115`" in ran.err


def test_the_file_that_day_toml_names_is_written(run, folder):
    """Also for the spots that share it, of which a warning tells."""
    day = folder / "day.toml"
    day.write_text(day.read_text().replace('"Court"\n', '"Court"\nhorizon = "all.csv"\n'))
    day.write_text(day.read_text().replace('"mill"\n', '"mill"\nhorizon = "all.csv"\n'))
    (folder / "all.csv").write_text("azimuth_deg,elevation_deg\n0,5\n")
    assert run("skyline", folder, "Court", "--note", "100:15").code == 1
    ran = run("skyline", folder, "Court", "--note", "100:15", "--replace")
    assert ran.code == 0
    assert "warning: all.csv is also the skyline of mill" in ran.err
    assert heights(folder, 100, 1) == pytest.approx(15)


def test_json_and_picture(run, folder, tmp_path):
    """The record has all that the text says; the picture is written beside it."""
    picture = tmp_path / "court.svg"
    ran = run("skyline", folder, "Court", *COURT, "--json", "--picture", picture)
    record = json.loads(ran.out)
    assert record["file"] == "horizon-court.csv"
    assert [one["kind"] for one in record["told"]] == ["wall"] * 3
    assert record["told"][0]["elevation_deg"] == pytest.approx(27.47)
    assert [one["elevation_deg"] for one in record["highest"]] == pytest.approx([27.47] * 3)
    assert len(record["direct"]) >= 1
    assert record["points"][0]["azimuth_deg"] == 0
    assert b"skyline of Court" in picture.read_bytes()
    again = json.loads(run("skyline", folder, "Court", "--json").out)
    assert (again["file"], again["told"]) == (None, [])
    assert run("skyline", folder, "Court", "--picture", folder / "shots.csv").code == 2


def test_a_wall_below_the_face_hides_nothing_and_says_so(run, folder):
    """It is odd, not wrong."""
    ran = run("skyline", folder, "Court", "--wall", "from 80 to 130, 5 m away, 1.2 m high")
    assert ran.code == 0
    assert "warning: --wall: hides nothing, as the face is 1.6 m above the ground" in ran.err
    assert "hides nothing above the level horizon" in " ".join(ran.out.split())


def test_a_court_of_many_houses_is_quick_enough_to_be_read_again(run, folder, tmp_path):
    """A town of 900 houses in rows: the file holds what is seen of it, and reads."""
    step = 25 / 100_000
    town = [
        house(
            36.2 + row * step,
            -5.9 + column * step,
            36.2 + row * step + 1e-4,
            -5.9 + column * step + 1e-4,
            height=6 + (row * column) % 7,
        )
        for row in range(-15, 15)
        for column in range(-15, 15)
        if (row, column) != (0, 0)
    ]
    path = tmp_path / "town.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": town}))
    ran = run("skyline", folder, "Court", "--footprints", path)
    assert ran.code == 0, ran.err
    assert "899 near enough to count" in " ".join(ran.out.split())
    assert heights(folder, np.arange(0, 360, 1.0)).max() > 10


def test_notes_that_do_not_fit_each_other_are_warned_of(run, folder):
    """The sun stood 14° and 33° high in one direction: one of the two has a wrong time or date."""
    ran = run(
        *("skyline", folder, "Court", "--sun", "met ridge at 17:00 on 2026-11-02"),
        *("--sun", "met ridge at 17:00 on 2026-09-02", "--note", "100:15 101:16"),
    )
    assert ran.code == 0
    assert "warning: --sun: does not fit `met ridge at 17:00 on" in ran.err
    assert "hint: look at the times and dates" in ran.err
    assert "warning" not in run("skyline", folder, "mill", "--note", "100:15 120:25").err


def test_footprints_that_are_not_there(run, folder):
    """A slip in a name is told with the nearest."""
    (folder / "houses.geojson").write_text("{}")
    ran = run("skyline", folder, "Court", "--footprints", folder / "house.geojson")
    assert ran.code == 1
    assert "--footprints: no such file: `house.geojson`" in ran.err
    assert "did you mean `houses.geojson`?" in ran.err
