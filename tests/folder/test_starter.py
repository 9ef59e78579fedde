"""The starter day: what it shows of a day folder, and that it reads as it says."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

import pytest

from sunsched.day.kit.frame import Rig
from sunsched.day.model import MatchBy, SecondMeal
from sunsched.day.skyline import Subject
from sunsched.folder.read import read_folder

# Lines that the starter has as comments, with the values that hold without them.
DEFAULTS = (
    'bearings = "true"',
    "[size.close-up]",
    "control = 0.65",
    "flat = 0.55",
    "[camera]",
    "sensor_width_mm = 24.9",
    "[words.size]",
    '"over the shoulder" = "medium"',
)
SUBJECT = ("subject_distance_m = 4", 'subject_bearing = "E"', "subject_height_m = 1.6")
DAYS = [("Lisbon", "2027-06-09"), ("Oslo", "2027-12-21"), ("Wellington", "2027-06-09")]


@pytest.mark.parametrize(("place", "date"), DAYS)
def test_meal_is_written_out(place, date, run, tmp_path):
    """The times in `[meal]` are those that the reader would take without them."""
    folder = tmp_path / "day"
    assert run("new", folder, "--at", place, "--date", date).code == 0
    written = read_folder(folder)
    assert written.warnings == ()
    meal, hours = written.day.meal, written.day.hours
    assert meal.latest == hours.crew_call + timedelta(hours=6)
    assert meal.second is SecondMeal.LINE
    text = (folder / "day.toml").read_text(encoding="utf-8")
    latest = meal.latest.astimezone(written.day.place.zone)
    assert f"six hours after the call at the latest, here {latest:%H:%M} " in text
    lines = text.splitlines(keepends=True)
    for key in ("latest_after_call_min", "length_min", "earliest", "second"):
        (line,) = [one for one in lines if one.startswith(f"{key} = ")]
        lines.remove(line)
    (folder / "day.toml").write_text("".join(lines), encoding="utf-8")
    assert read_folder(folder).day.meal == meal


def test_newer_keys_are_shown(run, tmp_path):
    """Rigs, matches, waiting and control stand there to be changed, with the default figures."""
    folder = tmp_path / "day"
    assert run("new", folder, "--date", "2027-06-09").code == 0
    day = read_folder(folder).day
    assert day.rigs == (Rig(name="8x8 silk", overhead=True),)
    assert day.matches == {"cups": MatchBy.SUN}
    assert day.costs.wait == 10
    assert [shot.control for shot in day.shots] == [None, None, None, None, None, 0.2]
    # The commented lines are right too.
    path = folder / "day.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(
        uncommented(text, *DEFAULTS, *SUBJECT),
        encoding="utf-8",
    )
    changed = read_folder(folder).day
    subject = Subject(distance_m=4, bearing_deg=90, height_m=1.6)
    assert changed.spots[0] == replace(day.spots[0], subject=subject)
    assert replace(changed, spots=day.spots) == day  # the others say what holds without them
    assert '# "over the shoulder" = "medium"\n' in text


def test_new_keys_are_shown_with_a_list(run, tmp_path):
    """A day made of a list shows them too, and how a subject is told for its spots."""
    listed = tmp_path / "list.csv"
    listed.write_text(LIST.replace(",look,", ",look,spot,").replace(",N,", ",N,Quay,"), "utf-8")
    folder = tmp_path / "day"
    told = run("import", listed, folder, "--at", "Lisbon", "--date", "2027-06-09")
    assert told.code == 0, told.err
    path = folder / "day.toml"
    text = path.read_text(encoding="utf-8")
    day = read_folder(folder).day
    keys = 'subject_distance_m = 4, subject_bearing = "E"'
    assert f"for `skyline`: {keys}\n" in text
    path.write_text(
        uncommented(text, *DEFAULTS).replace(
            '"Quay"\n', '"Quay"\n' + keys.replace(", ", "\n") + "\n"
        ),
        encoding="utf-8",
    )
    changed = read_folder(folder).day
    assert replace(changed, spots=day.spots) == day
    assert changed.spots[0].subject.distance_m == 4


def uncommented(text, *lines):
    for line in lines:
        assert text.count(f"# {line}\n") == 1, line
        text = text.replace(f"# {line}\n", f"{line}\n")
    return text


LIST = """\
id,description,size,look,shoot_min,setup_min,adjust_min
1,The pans,wide,N,30,,
2,Ana,medium,N,20,20,
3,Ben,medium,N,20,5,
4,Salt,insert,N,20,12,2
"""


def test_check_counts_whose_minutes_are_used(run, make_folder):
    """A figure that the size implies is the size's, written or not; so is a shortened adjust."""
    folder = make_folder(shots=LIST)
    assert run("check", folder).out.splitlines()[-2:] == [
        "setup: 2 shots by size, 2 with their own minutes; adjust: 3 by size, 1 own (used",
        "  instead of setup when the shot before stands in the same spot and rig)",
    ]
    record = json.loads(run("check", folder, "--json").out)
    assert record["setup"] == {"by_size": 2, "own": 2}
    assert record["adjust"] == {"by_size": 3, "own": 1}


def test_check_counts_by_the_sizes_of_the_day(run, minimal_day, make_folder):
    """A size changed in `day.toml` is what its shots are compared with."""
    folder = make_folder(minimal_day + "[size.insert]\nsetup_min = 12\nadjust_min = 2\n", LIST)
    record = json.loads(run("check", folder, "--json").out)
    assert record["setup"] == {"by_size": 3, "own": 1}
    assert record["adjust"] == {"by_size": 4, "own": 0}


def test_check_of_one_shot(run, make_folder):
    """One shot is no shots."""
    assert "\nsetup: 1 shot by size, 0 with" in run("check", make_folder()).out
