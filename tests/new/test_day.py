"""A day folder made by a plain function, or all that is still open of it as data."""

from __future__ import annotations

from datetime import time
from pathlib import Path
from typing import Any

import pytest
from folder.intake.workbooks import book_bytes

import sunsched
from sunsched.new.day import AskedDay, MadeDay, OpenDay, make_day_folder

PASTED = (
    "Shot\tAction\tSize\tCamera\tLight\tMin\tCrew food\r\n"
    "1\tHal at the weir\twide\tN\tback\t30\tsoup\r\n"
    '2\t"Hal\nsits"\t{size}\t{look}\tside\t20\t\r\n'
)
WHOLE = PASTED.format(size="MS", look="W")
OPEN = PASTED.format(size="huge", look="")


PLACE_AND_DATE = {"place": "Lisbon", "date": "2027-06-09"}


def made(folder: Path, **asked: Any) -> MadeDay:
    """Make a day that has nothing open."""
    found = make_day_folder(folder, AskedDay(**(PLACE_AND_DATE | asked)))
    assert isinstance(found, MadeDay)
    return found


def left_open(folder: Path, **asked: Any) -> OpenDay:
    """Ask for a day that cannot be made; nothing is written."""
    found = make_day_folder(folder, AskedDay(**(PLACE_AND_DATE | asked)))
    assert isinstance(found, OpenDay)
    assert [path.name for path in folder.parent.iterdir() if path.name.startswith(".new")] == []
    return found


def test_starter_day_is_made_and_reads(tmp_path):
    """Its place and hours are told; it is named as its folder."""
    found = made(tmp_path / "weir")
    day = sunsched.read_day(tmp_path / "weir")
    assert (day.title, len(day.shots)) == ("weir", 6)
    assert found.place.place == day.place
    assert (found.is_laid, found.shots) == (True, None)
    assert day.hours.crew_call.astimezone(day.place.zone).time() == found.hours[0]


def test_hours_and_title_are_those_given(tmp_path):
    """One hour alone leaves the other to the sun."""
    assert made(tmp_path / "a", call="7", wrap="18:30").hours == (time(7), time(18, 30))
    found = made(tmp_path / "b", call="7:00", title="Two weirs")
    assert (found.hours[0], found.is_laid) == (time(7), True)
    assert sunsched.read_day(tmp_path / "b").title == "Two weirs"


@pytest.mark.parametrize(
    ("listed", "name"),
    [
        (WHOLE, ""),
        (WHOLE.replace("\t", "  ").replace('"', "").replace("Hal\n", "Hal "), ""),
        (WHOLE.replace("\t", ";").encode("utf-16"), "weir.csv"),
        (WHOLE.replace("\t", ",").encode("cp1252"), "weir.csv"),
    ],
)
def test_pasted_text_and_files_become_the_list(tmp_path, listed, name):
    """Whatever parts its cells; what nothing reads is kept."""
    found = made(tmp_path / "weir", listed=listed, list_name=name)
    day = sunsched.read_day(tmp_path / "weir")
    assert found.shots == 2
    assert [(one.id, str(one.size), one.look_deg) for one in day.shots] == [
        ("1", "wide", 0.0),
        ("2", "medium", 270.0),
    ]
    assert day.shots[0].kept == (("Crew food", "soup"),)
    assert any("`Camera` is look" in note for note in found.notes)


def test_workbook_becomes_the_list(tmp_path):
    """Told by what stands in it, whatever its name."""
    content = book_bytes("46-cover.xlsx")
    found = made(tmp_path / "weir", listed=content, list_name="blob")
    assert found.shots == 2


def test_all_that_is_open_is_told_at_once(tmp_path):
    """Each at its field; the places that are meant, and the questions of the list."""
    (tmp_path / "weir").mkdir()
    (tmp_path / "weir" / "notes.txt").touch()
    found = left_open(
        tmp_path / "weir",
        place="Springfield",
        date="soon",
        call="25:00",
        wrap="noon-ish",
        listed=OPEN,
        answers={("size", "huge"): "giant", ("rig", "A"): "x"},
    )
    assert set(found.problems) == {"folder", "place", "date", "call", "wrap"}
    assert len(found.candidates) > 10
    assert [one.key for one in found.questions] == [("size", "huge"), ("look", "at the spot")]
    assert list(found.refused) == [("size", "huge")]
    assert found.refused["size", "huge"].startswith("not a size")


def test_what_a_candidate_writes_is_that_place(tmp_path):
    """So that a form can offer them."""
    several = left_open(tmp_path / "weir", place="Springfield").candidates
    found = made(tmp_path / "weir", place=several[2].write)
    assert found.place.place.latitude_deg == pytest.approx(several[2].point.latitude_deg, abs=1e-3)


def test_answers_fill_what_the_list_leaves_open(tmp_path):
    """Also a question that comes up only after another was answered."""
    answers = {("size", "huge"): " medium ", ("look", "at the spot"): "SW"}
    made(tmp_path / "weir", listed=OPEN, answers=answers)
    shot = sunsched.read_day(tmp_path / "weir").shots[1]
    assert (str(shot.size), shot.look_deg) == ("medium", 225.0)


@pytest.mark.parametrize(
    ("asked", "field", "told"),
    [
        ({"place": ""}, "place", "no place (expected a town"),
        ({"place": "Lisbonn"}, "place", "no such town in the gazetteer: `Lisbonn`"),
        ({"place": "36.5"}, "place", ""),
        ({"date": ""}, "date", "not a date (expected a date such as"),
        ({"call": "8:00", "wrap": "8:00"}, "wrap", "the call and the wrap are one"),
        ({"listed": ""}, "listed", "the pasted text: nothing in it looks like shots"),
        ({"listed": "\0\1"}, "listed", "the pasted text: nothing in it looks like shots"),
        ({"listed": b"PK\3\4", "list_name": "a.xlsx"}, "listed", "a.xlsx: not a workbook"),
        ({"listed": b"x" * 5_000_001, "list_name": "a"}, "listed", "a: 5,000,001 bytes long"),
        ({"listed": "id,size,look\n\n"}, "listed", "the pasted text: no shots below its head"),
    ],
)
def test_each_field_says_what_is_wrong_with_it(tmp_path, asked, field, told):
    """And nothing is made."""
    found = left_open(tmp_path / "weir", **asked)
    assert list(found.problems) == [field]
    assert found.problems[field].startswith(told)
    assert not (tmp_path / "weir").exists()


def test_no_file_is_looked_for_as_a_place(tmp_path, monkeypatch):
    """What a form says is nobody's word for a path: photos and GPX files are not opened."""
    (tmp_path / "here.gpx").write_text(
        '<gpx version="1.1" creator="us" xmlns="http://www.topografix.com/GPX/1/1">'
        '<wpt lat="38.7" lon="-9.1"><name>Weir</name></wpt></gpx>'
    )
    monkeypatch.chdir(tmp_path)
    for name in ("here.gpx", "photo.jpg", "list.csv", str(tmp_path / "here.gpx")):
        problem = left_open(tmp_path / "weir", place=name).problems["place"]
        assert problem.startswith("no place")
        assert "GPX" not in problem


def test_day_that_would_not_read_is_told_with_its_faults(tmp_path):
    """Of the list as it would be written."""
    shots = "".join(f"{number}\tA\twide\tN\t5\n" for number in range(1, 131))
    found = left_open(tmp_path / "weir", listed="Shot\tAction\tSize\tCamera\tMin\n" + shots)
    assert [one.problem for one in found.faults] == ["130 shots"]
    assert not (tmp_path / "weir").exists()
