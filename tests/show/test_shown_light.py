"""What the light shows: waiting, the second meal, both kinds of bearings, windows of the sun."""

from __future__ import annotations

import csv
import io
import json

import pytest

from sunsched.folder.read import read_day
from sunsched.solver.solve import make_plan

MAGNETIC = """\
title = "Salt pans"
date = 2027-06-09
bearings = "magnetic"
declination_deg = -3

[place]
name = "Salt pans"
latitude_deg = 36.2
longitude_deg = -5.9
timezone = "Europe/Madrid"

[hours]
crew_call = "06:00"
wrap = "19:00"
"""
SHOTS = """\
id,description,size,look,sun,azimuth,elevation,shoot_min
1,Salt,insert,N,,,,20
2,Pans,wide,W,,240..300,,20
3,Heaps,wide,W,back,,5..25,20
"""
LONG = MAGNETIC.replace('bearings = "magnetic"\ndeclination_deg = -3\n', "").replace(
    'wrap = "19:00"', 'wrap = "21:00"\n\n[meal]\nlatest_after_call_min = 240\nearliest = "09:00"'
)


def test_waiting_stands_in_the_account(run, make_folder):
    """The minutes from the call on that no changeover, roll or meal fills, at 10 points each."""
    folder = make_folder(day=LONG, shots=SHOTS)
    plan = json.loads(run("plan", "--for", "planned", folder, "--json").out)
    assert plan["account"]["waits"] > 0
    assert plan["account"]["waits"] % 10 == 0
    text = " ".join(run("plan", "--for", "planned", folder).out.split())
    assert f"− {plan['account']['waits']} waiting" in text


def test_a_call_that_is_too_early_says_what_a_later_one_wins(run, make_folder):
    """One shot in the evening sun, and a call at three in the afternoon."""
    shots = "id,description,size,look,sun,elevation,shoot_min\n1,Pans,wide,W,back,5..20,20\n"
    day = LONG.replace("06:00", "15:00").replace('earliest = "09:00"', "")
    out = run("plan", "--for", "planned", make_folder(day=day, shots=shots)).out
    assert "nothing is begun until " in out
    assert " points of waiting" in out


@pytest.mark.parametrize("told", ["line", "note"])
def test_a_second_meal_is_a_line_or_a_note(run, make_folder, tmp_path, told):
    """Due four hours after the first one ends; on every sheet, and none of the crew's time."""
    day = LONG.replace("[meal]", f'[meal]\nsecond = "{told}"')
    folder = make_folder(day=day, shots=SHOTS)
    plan = json.loads(run("plan", "--for", "planned", folder, "--json").out)
    assert plan["second_meal"]["as"] == told
    assert plan["second_meal"]["length_min"] == 30
    due = plan["second_meal"]["due"][11:16]
    out = run("plan", "--for", "planned", folder).out
    line, note = f"{due}  second meal, 30 min", f"a second meal is due at {due}"
    assert (line in out) is (told == "line")
    assert (note in out) is (told == "note")
    table = tmp_path / "day.csv"
    assert run("sheet", folder, table).code == 0
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8-sig"))))
    assert ("second meal" in [row["description"] for row in rows]) is (told == "line")
    calendar = tmp_path / "day.ics"
    assert run("sheet", folder, calendar).code == 0
    assert (b"SUMMARY:second meal" in calendar.read_bytes()) is (told == "line")


def test_no_second_meal_is_null(run, make_folder):
    """A day that is over before it is due has none."""
    assert (
        json.loads(run("plan", "--for", "planned", make_folder(), "--json").out)["second_meal"]
        is None
    )


def test_a_magnetic_folder_shows_both_bearings(run, make_folder, tmp_path):
    """West by the compass, three degrees of declination west: 270°M is 267°T, and it says so."""
    folder = make_folder(day=MAGNETIC, shots=SHOTS)
    note = "bearings: M magnetic, T true; declination 3° west"
    plan = run("plan", "--for", "planned", folder).out
    assert note in plan
    record = json.loads(run("plan", "--for", "planned", folder, "--json").out)
    assert record["declination_deg"] == -3
    for one in record["shots"]:
        true = round(one["sun_azimuth_deg"])
        assert f"{round(one['sun_azimuth_deg'] + 3)}°M {true}°T" in plan
    sun = run("sun", folder).out
    assert note in sun
    assert "true azimuth" in sun
    page = tmp_path / "day.html"
    assert run("sheet", folder, page).code == 0
    text = page.read_text(encoding="utf-8")
    assert "look 270°M 267°T" in text
    assert note in text


def test_a_true_folder_shows_one_bearing(run, make_folder):
    """Nothing is labelled where there is nothing to confuse."""
    out = run("plan", "--for", "planned", make_folder()).out
    assert "°M" not in out
    assert "bearings:" not in out


def test_windows_are_those_of_the_sun_without_frames(run, make_folder):
    """A close-up with frames keeps two thirds of its light all day, and its sun is right in one."""
    shots = "id,description,size,look,sun,shoot_min\n1,A face,close-up,W,back,20\n"
    folder = make_folder(shots=shots)
    (one,) = json.loads(run("windows", folder, "--json").out)["shots"]
    (window,) = one["windows"]
    assert window["start"][11:13] >= "14"
    (folder / "sky.csv").write_text("hour,cloud_cover\n6,1\n20,1\n", encoding="utf-8")
    (one,) = json.loads(run("windows", folder, "--json").out)["shots"]
    assert (one["windows"], one["fails"]) == ([], "clear sky")


def test_saved_and_read_again_the_plan_is_the_same(run, make_folder):
    """A revision of a magnetic folder with a second meal is restored to the minute."""
    folder = make_folder(day=MAGNETIC, shots=SHOTS)
    assert run("plan", "--for", "planned", folder, "--save").code == 0
    again = run("plan", folder, "--revision", "1", "--json")
    assert json.loads(again.out)["points"] == make_plan(read_day(folder)).points


def test_our_own_table_read_back_is_the_same_day(run, make_folder, tmp_path):
    """With both meals in it, a table that was handed out is an order again, without a warning."""
    folder = make_folder(day=LONG, shots=SHOTS)
    table = tmp_path / "own.csv"
    assert run("sheet", folder, table).code == 0
    assert "second meal" in table.read_text(encoding="utf-8-sig")
    again = run("compare", folder, table)
    assert (again.code, again.err) == (0, "")
    assert "both are worth the same" in again.out


def test_a_grey_day_says_that_its_wides_are_flat_under_cloud(run, make_folder):
    """Under a full cover the wides lose their light to it; under a clear sky nothing is said."""
    folder = make_folder(shots=SHOTS)
    assert "flat under cloud" not in run("plan", "--for", "planned", folder).out
    (folder / "sky.csv").write_text("hour,cloud_cover\n6,1\n20,1\n", encoding="utf-8")
    told = " ".join(run("plan", "--for", "planned", folder).out.split())
    assert "with less than half their light: 2, 3; flat under cloud: 2, 3" in told
