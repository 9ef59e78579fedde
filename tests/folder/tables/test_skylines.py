"""Horizons and clouds: each kind of fault in full, and what good files give."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from sunsched.folder.read import read_day

# The file, its text, and all that is then said.
FILES = [
    pytest.param(
        "sky_csv",
        "",
        "sky.csv: empty (expected a header line and rows below it)",
        id="sky empty",
    ),
    pytest.param(
        "sky_csv",
        "time,cloud_cover\n6,0\n",
        "sky.csv:1: unknown column: `time` (expected hour or cloud_cover)\n"
        "sky.csv:1: no column `hour` (expected hour and cloud_cover)",
        id="sky header",
    ),
    pytest.param(
        "sky_csv",
        "hour,cloud_cover\n# none\n",
        "sky.csv:1: no hours (expected rows below the header)",
        id="sky no rows",
    ),
    pytest.param(
        "sky_csv",
        "hour,cloud_cover\n25,0\n",
        "sky.csv:2, hour: not an hour: `25` (expected an hour from 0 to 23 or a clock time, "
        "such as 6 or 06:00)",
        id="sky hour",
    ),
    pytest.param(
        "sky_csv",
        "hour,cloud_cover\n,0\n",
        "sky.csv:2, hour: blank (expected an hour from 0 to 23)",
        id="sky hour blank",
    ),
    pytest.param(
        "sky_csv",
        "hour,cloud_cover\n6,40\n",
        "sky.csv:2, cloud_cover: out of range: `40` (expected a number from 0 to 1, such as 0.5)\n"
        "  hint: write 40 percent as `0.4`",
        id="sky percent",
    ),
    pytest.param(
        "sky_csv",
        "hour,cloud_cover\n6,40%\n",
        "sky.csv:2, cloud_cover: not a number: `40%` (expected a number from 0 to 1, such as 0.5)\n"
        "  hint: write 40 percent as `0.4`",
        id="sky percent sign",
    ),
    pytest.param(
        "sky_csv",
        "hour,cloud_cover\n6,overcast\n",
        "sky.csv:2, cloud_cover: not a number: `overcast` (expected a number from 0 to 1, "
        "such as 0.5)",
        id="sky cover text",
    ),
    pytest.param(
        "sky_csv",
        "hour,cloud_cover\n6,0\n06:00,1\n",
        "sky.csv:3, hour: an hour that stands twice: `06:00`\n  hint: it is also on line 2",
        id="sky hour twice",
    ),
    pytest.param(
        "sky_csv",
        "hour,cloud_cover\n24:00,0\n",
        "sky.csv:2, hour: not an hour: `24:00` (expected an hour from 0 to 23 or a "
        "clock time, such as 6 or 06:00)\n"
        "  hint: write midnight as `00:00`",
        id="sky midnight",
    ),
    pytest.param(
        "horizon_salt_pans_csv",
        "azimuth_deg,elevation_deg\n361,3\n",
        "horizon-salt-pans.csv:2, azimuth_deg: not a bearing: `361` (expected degrees "
        "from 0 to 360 or a compass point such as NNW)",
        id="horizon beyond",
    ),
    pytest.param(
        "horizon_salt_pans_csv",
        "azimuth_deg,elevation_deg\n0,-6\n",
        "horizon-salt-pans.csv:2, elevation_deg: out of range: `-6` (expected a number "
        "from -5 to 89, such as 20.5)",
        id="horizon deep",
    ),
    pytest.param(
        "horizon_salt_pans_csv",
        "azimuth_deg,elevation_deg\n0,3\n90,2\n360,4\n",
        "horizon-salt-pans.csv:4, azimuth_deg: an azimuth that stands twice: `360`\n"
        "  hint: it is also on line 2; 360 is 0, and a vertical edge is two lines that follow each "
        "other",
        id="horizon twice",
    ),
    pytest.param(
        "horizon_salt_pans_csv",
        "azimuth_deg,elevation_deg\n0,3\n0,9\n0,4\n",
        "horizon-salt-pans.csv:4, azimuth_deg: an azimuth that stands twice: `0`\n"
        "  hint: it is also on line 2; 360 is 0, and a vertical edge is two lines that follow each "
        "other",
        id="horizon thrice",
    ),
    pytest.param(
        "horizon_salt_pans_csv",
        "azimuth_deg,elevation_deg,joined\n0,3,wal\n90,2,\n",
        "horizon-salt-pans.csv:2, joined: not a way to be joined: `wal` (expected wall, or blank "
        "where the skyline is straight in angle)\n  hint: did you mean `wall`?",
        id="horizon joined by nothing",
    ),
    pytest.param(
        "horizon_salt_pans_csv",
        "azimuth_deg,elevation_deg,joined\n10,3,\n90,3,wall\n270,2,\n",
        "horizon-salt-pans.csv:3, joined: a straight wall that is seen over 180° or more "
        "(expected the next corner, clockwise, nearer than that)",
        id="horizon wall behind itself",
    ),
    pytest.param(
        "horizon_salt_pans_csv",
        "azimuth_deg,elevation_deg,under_deg\n0,3,\n90,20,30\n",
        "horizon-salt-pans.csv:3, under_deg: an overhang whose underside is above its upper edge: "
        "`30` (expected degrees from -5 to 20)",
        id="horizon overhang upside down",
    ),
    pytest.param(
        "horizon_salt_pans_csv",
        "azimuth_deg,elevation_deg\n",
        "horizon-salt-pans.csv:1: no points (expected rows below the header)",
        id="horizon no rows",
    ),
    pytest.param(
        "horizon_salt_pans_csv",
        "0,3\n",
        "horizon-salt-pans.csv:1: no header line: `0, 3` (expected a first line with the names of "
        "columns: azimuth_deg, elevation_deg, joined, under_deg or part)",
        id="horizon headless",
    ),
    pytest.param(
        "horizon_salt_pans_csv",
        "azimuth_deg,elevation_deg\n0,\n",
        "horizon-salt-pans.csv:2, elevation_deg: blank (expected degrees from -5 to 89)",
        id="horizon blank",
    ),
    pytest.param(
        "horizon_salt_pans_csv",
        "azimuth_deg,elevation_deg\nN,tree\n",
        "horizon-salt-pans.csv:2, elevation_deg: not a number: `tree` (expected a "
        "number from -5 to 89, such as 20.5)",
        id="horizon text",
    ),
]


@pytest.mark.parametrize(("file", "text", "message"), FILES)
def test_fault_of_the_sky_is_told_in_full(file, text, message, make_folder, faults):
    """Each fault comes with its file, line, column, value and what was expected."""
    assert "\n".join(faults(make_folder(**{file: text}))) == message


def test_horizon_is_sorted_and_may_have_comments(make_folder):
    """Points come out by azimuth; `#` lines, decimal commas and compass points are read."""
    text = "# from the map\nazimuth_deg;elevation_deg\n350;2,5\n# the ridge\nE;7\n0;1\n"
    day = read_day(make_folder(horizon_salt_pans_csv=text))
    points = [(point.azimuth_deg, point.elevation_deg) for point in day.spots[0].horizon]
    assert points == [(0, 1), (90, 7), (350, 2.5)]


def test_horizon_has_edges_walls_and_overhangs(make_folder):
    """Two lines at one azimuth keep their order; overhangs follow, as the file has them."""
    text = (
        "azimuth_deg,elevation_deg,joined,under_deg,part\n"
        "350,20,,12,Bridge\n0,3,wall,,\n90,7,,,\n90,2,,,\n10,90,,12,bridge\n40,9,,5,eaves\n"
    )
    points = read_day(make_folder(horizon_salt_pans_csv=text)).spots[0].horizon
    base = [point for point in points if point.under_deg is None]
    assert [(one.azimuth_deg, one.elevation_deg, one.is_wall) for one in base] == [
        (0, 3, True),
        (90, 7, False),
        (90, 2, False),
    ]
    assert [(one.azimuth_deg, one.under_deg, one.elevation_deg) for one in points[3:]] == [
        (350, 12, 20),
        (10, 12, 90),
        (40, 5, 9),
    ]


def test_magnetic_bearings_turn_the_whole_folder(minimal_day, make_folder):
    """True is magnetic plus declination, east positive: for looks, bands and horizons alike."""
    day = read_day(
        make_folder(
            'bearings = "magnetic"\ndeclination_deg = 10\n' + minimal_day,
            "id,description,size,look,shoot_min,azimuth\n1,Wide,wide,355,30,345..W\n",
            horizon_salt_pans_csv="azimuth_deg,elevation_deg\n355,3\n90,1\n",
        )
    )
    assert day.shots[0].look_deg == 5
    band = day.shots[0].wish.azimuth
    assert band is not None
    assert (band.low_deg, band.high_deg) == (355, 280)
    assert [point.azimuth_deg for point in day.spots[0].horizon] == [5, 100]


def test_horizon_key_names_the_file_and_spots_may_share_it(minimal_day, make_folder, faults):
    """A shared file is read for both spots, and its fault is told once."""
    spots = "".join(f'[[spot]]\nname = "{name}"\nhorizon = "ridge.csv"\n' for name in "ab")
    shots = "id,description,size,look,shoot_min,spot\n1,Wide,wide,N,30,a\n"
    folder = make_folder(minimal_day + spots, shots, ridge_csv="azimuth_deg,elevation_deg\n0,99\n")
    assert faults(folder) == [
        (
            "ridge.csv:2, elevation_deg: out of range: `99` (expected a number from -5 to 89, "
            "such as 20.5)"
        )
    ]
    (folder / "ridge.csv").write_text("azimuth_deg,elevation_deg\n0,9\n")
    day = read_day(folder)
    assert [spot.horizon[0].elevation_deg for spot in day.spots] == [9, 9]


def test_horizon_file_of_no_spot_is_a_warning(make_folder, warnings_of):
    """A slip in the file's name would else leave the horizon level without a word."""
    text = "azimuth_deg,elevation_deg\n0,3\n"
    assert warnings_of(make_folder(horizon_salt_pan_csv=text)) == [
        (
            "horizon-salt-pan.csv: not used, as no spot has this name\n  hint: did you mean "
            "`horizon-salt-pans.csv`?"
        )
    ]


def test_forecast_from_0_to_23_serves_a_day(minimal_day, make_folder):
    """Hours near the call stand on the date itself, even those before it."""
    day = minimal_day.replace("06:00", "06:30")
    sky = "hour,cloud_cover\n" + "".join(f"{hour},{hour / 100}\n" for hour in range(24))
    clouds = read_day(make_folder(day, sky_csv=sky)).clouds
    at_six = next(cloud for cloud in clouds if cloud.cover == 0.06)
    assert at_six.time == datetime(2027, 6, 9, 4, tzinfo=UTC)
    assert [cloud.time for cloud in clouds] == sorted(cloud.time for cloud in clouds)


def test_forecast_from_0_to_23_serves_a_night(minimal_day, make_folder):
    """On a night call the small hours are those of the next date."""
    day = minimal_day.replace("06:00", "18:00").replace("19:00", "04:00")
    sky = "hour,cloud_cover\n" + "".join(f"{hour},{hour / 100}\n" for hour in range(24))
    clouds = read_day(make_folder(day, sky_csv=sky)).clouds
    times = {round(cloud.cover * 100): cloud.time for cloud in clouds}
    assert times[2] == datetime(2027, 6, 10, 0, tzinfo=UTC)
    assert times[17] == datetime(2027, 6, 9, 15, tzinfo=UTC)
