"""What is missing in a list: filled in and said where it does no harm, else asked."""

from __future__ import annotations

from pathlib import Path

import pytest

from sunsched.folder.intake.file import read_list
from sunsched.folder.intake.settle import Settled, settle
from sunsched.folder.text.findings import Findings


def settled(folder: Path, text: str, name: str = "list.csv", **answers: str) -> Settled:
    """Settle a list; answers are by column."""
    (folder / name).write_text(text, encoding="utf-8")
    findings = Findings()
    taken = read_list(folder / name, findings)
    assert taken is not None, findings.faults
    first = settle(taken, {})
    return settle(taken, {one.key: answers[one.column] for one in first.questions if answers})


def column(found: Settled, name: str) -> list[str]:
    """Give the cells of one column."""
    return [row.get(name, "") for row in found.rows]


def test_numbers_start_anew_in_each_scene(tmp_path):
    """Then ids are scene and shot."""
    found = settled(tmp_path, "Scene,Shot,Action,Size,Dir\n1,A,x,WS,N\n2,A,y,WS,N\n2,B,z,CU,N\n")
    assert column(found, "id") == ["1-A", "2-A", "2-B"]
    assert "numbers start anew in each scene, so ids are scene-shot: 1-A" in found.notes


def test_doubled_and_missing_numbers_are_told_apart(tmp_path):
    """With a letter behind, or the number of the row."""
    found = settled(tmp_path, "Shot,Action,Size,Dir\n4,x,WS,N\n4,y,WS,N\n,z,CU,N\n")
    assert column(found, "id") == ["4", "4b", "3"]


def test_notes_and_the_hour_say_what_no_column_does(tmp_path):
    """A look and a light that stand in the notes count; dusk under day or night does too."""
    text = (
        "Shot,D/N,Description,Size,Mins,Notes\n1,D,Truck,WS,20,facing W want it backlit\n"
        "2,D,Gate,CU,10,\n3,DUSK,They leave,WS,15,looking W\n"
    )
    found = settled(tmp_path, text)
    assert column(found, "look") == ["W", "N", "W"]
    assert column(found, "sun") == ["back", "any", "dusk"]
    assert column(found, "Notes".casefold())[0] == "facing W want it backlit"
    assert "look taken from the notes: 1 and 3" in found.notes


def test_missing_minutes_are_those_of_the_size(tmp_path):
    """They are common practice, no source, and said aloud."""
    found = settled(
        tmp_path, "Shot,Action,Size,Dir\n1,x,WS,N\n2,y,FS,N\n3,z,MS,N\n4,a,CU,N\n5,b,ins,N"
    )
    assert column(found, "shoot_min") == ["30", "25", "25", "20", "15"]
    assert found.notes[0].startswith("no minutes in the list, so those of the size (wide 30, full")


def test_shots_without_a_size_are_asked_once(tmp_path):
    """One answer for all, or one for each."""
    text = "Shot,Action,Dir,Mins\n1,Tree,N,10\n2,Swing,N,10\n"
    assert [one.shots for one in settled(tmp_path, text).questions] == [("1", "2")]
    assert column(settled(tmp_path, text, size="wide"), "size") == ["wide", "wide"]
    assert column(settled(tmp_path, text, size="WS, insert"), "size") == ["wide", "insert"]


def test_look_is_asked_only_where_a_side_of_the_sun_needs_it(tmp_path):
    """For the others north is written, and said."""
    text = "Shot,Action,Size,Light\n1,Hill,WS,backlit\n2,Crow,CU,any\n3,Well,MS,golden hour\n"
    found = settled(tmp_path, text, look="250")
    assert column(found, "look") == ["250", "N", "N"]
    assert "no look and no side of the sun, so north is written: 2 and 3" in found.notes


@pytest.mark.parametrize(
    ("line", "cells"),
    [
        ("1. WS the yard, looking W, backlit, 30 min", ("wide", "W", "back", "30")),
        ("Shot 2: Close-up Ana – NE – side L – 20'", ("close-up", "NE", "side left", "20")),
        ("- start w/ a big wide, we look east. half an hour", ("wide", "E", "", "30")),
        ("3) OTS Jo, camera south, ~25 min, front or side", ("medium", "S", "front or side", "25")),
        ("• pickup: insert bucket, whenever, 10 min", ("insert", "N", "", "10")),
    ],
)  # fmt: skip
def test_sentence_of_a_mail_is_a_shot(line, cells, tmp_path):
    """Size, look, sun and minutes are found among the words."""
    found = settled(tmp_path, f"Hi,\n\n{line}\n", "mail.txt")
    names = ("size", "look", "sun", "shoot_min")
    assert tuple(column(found, name)[0] for name in names) == cells


def test_everyone_is_in_it(tmp_path):
    """Names are parted in all the ways that people part them."""
    text = "Shot,Action,Size,Dir,Cast\n1,x,WS,N,all\n2,y,MS,N,Ana & Bo\n3,z,MS,N,ana / Cy (hands)\n"
    found = settled(tmp_path, text)
    assert column(found, "cast") == ["Ana; Bo; Cy", "Ana; Bo", "Ana; Cy"]
