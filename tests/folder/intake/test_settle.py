"""What is missing in a list: filled in and said where it does no harm, else asked."""

from __future__ import annotations

from pathlib import Path

import pytest

from sunsched.day.model import Size
from sunsched.folder.intake.file import read_list
from sunsched.folder.intake.settle import Settled, settle
from sunsched.folder.text import words
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


def test_any_look_is_none(tmp_path):
    """North where the sun does not need to know, else it is asked."""
    text = "id,description,size,look,sun,shoot_min\n1,A,wide,any,,9\n2,B,wide,Any,back,9\n"
    found = settled(tmp_path, text)
    assert found.rows[0]["look"] == "N"
    assert [(one.column, one.shots) for one in found.questions] == [("look", ("2",))]


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


def test_scene_that_is_named_once_counts_for_the_rows_below_it(tmp_path):
    """Numbers that start anew are told apart by it, also where its cell is blank."""
    found = settled(
        tmp_path, "Scene,Shot,Action,Size,Dir\n1,A,x,WS,N\n,B,y,WS,N\n2,A,z,WS,N\n,B,z,CU,N\n"
    )
    assert column(found, "id") == ["1-A", "1-B", "2-A", "2-B"]
    assert column(found, "scene") == ["1", "1", "2", "2"]


def test_one_number_on_every_row_is_told_apart(tmp_path):
    """Also where letters run out; no id is longer than ids can be, in capitals or not."""
    rows = "".join(f"7,x{row},WS,N\n" for row in range(30))
    ids = column(settled(tmp_path, f"Shot,Action,Size,Dir\n{rows}"), "id")
    assert ids[:3] == ["7", "7b", "7c"]
    assert ids[25:28] == ["7z", "7-27", "7-28"]
    assert len(set(ids)) == 30
    long = "a" * 25
    found = settled(tmp_path, f"id,Action,Size,Dir\n{long},x,WS,N\n{long.upper()},y,WS,N\n")
    assert column(found, "id") == ["a" * 20, "A" * 19 + "b"]


def test_letter_behind_a_number_is_one_that_nobody_has(tmp_path):
    """Neither above nor below it; a row without a number takes none of another row."""
    text = "Shot,Action,Size,Dir\n4,x,WS,N\n4,y,WS,N\n4B,z,CU,N\n,v,CU,N\n5,w,CU,N\n"
    assert column(settled(tmp_path, f"{text}"), "id") == ["4", "4c", "4B", "6", "5"]


@pytest.mark.parametrize(
    ("written", "lens", "listed"),
    [
        ("85mm", "85", ""),
        ("T1.3 85 mm", "85", ""),
        ("50mm f/2.8", "50", ""),
        ("24-70", "", "24-70"),
        ("24–70mm", "", "24–70"),
        ("24/70", "", "24/70"),
        ("35 or 50", "", "35 or 50"),
        ("the long one", "", "the long one"),
    ],
)
def test_a_zoom_is_no_focal_length(written, lens, listed, tmp_path):
    """With whatever dash it is written; the stop of a lens is none either."""
    found = settled(tmp_path, f"Shot,Action,Size,Dir,Lens\n1,x,WS,N,{written}\n2,y,WS,N,35\n")
    assert column(found, "lens_mm") == [lens, "35"]
    assert column(found, "lens as listed") == [listed, ""]


def test_numbers_that_stand_twice_in_a_scene_get_letters(tmp_path):
    """Then the scene does not tell them apart; `Shot 4`, `Plan 4` and `Nr. 4` are one number."""
    found = settled(tmp_path, "Scene,Shot,Action,Size,Dir\n1,A,x,WS,N\n1,A,y,WS,N\n2,A,z,CU,N\n")
    assert column(found, "id") == ["A", "Ab", "Ac"]
    rows = "".join(f"{one},x,WS,N\n" for one in ("Shot 4", "plan 4", "Nr. 4", "sc 12", "scenic"))
    found = settled(tmp_path, f"id,Action,Size,Dir\n{rows}")
    assert column(found, "id") == ["4", "4b", "4c", "12", "scenic"]


def test_a_name_is_spelled_as_it_was_first(tmp_path):
    """Spots and people; nobody stands twice in a shot, and an open cell is nobody."""
    text = (
        "Shot,Action,Size,Dir,Set,Cast\n1,x,WS,N,Old mill,Ana; ANA\n2,y,MS,N,old-mill,ana and Bo\n"
        "3,z,MS,N,,tbd\n4,z,MS,N,-,none\n5,v,MS,N,Dam,All\n"
    )
    found = settled(tmp_path, text)
    assert column(found, "spot") == [*["Old mill"] * 4, "Dam"]
    assert column(found, "cast") == ["Ana", "Ana; Bo", "", "", "Ana; Bo"]


def test_every_column_of_remarks_is_read(tmp_path):
    """The first says where the lens looks, the second what light is wanted."""
    text = "Shot,Action,Size,Mins,Notes,Comments\n1,x,WS,20,looking W,want it backlit\n"
    found = settled(tmp_path, text)
    assert (column(found, "look"), column(found, "sun")) == (["W"], ["back"])


def test_what_is_open_stays_open_and_what_is_plain_is_not_told_again(tmp_path):
    """In any case of letters; minutes are written as such."""
    text = (
        "Shot,Action,Size,Dir,Light,Mins,Setup time\n1,x,WS,N,TBD,Tbc,0:20\n"
        "2,y,OTS,?,any,20-30,1h\n3,z,CU,N,back,30 - 20 min,TBA\n"
    )
    found = settled(tmp_path, text)
    assert found.questions == ()
    assert column(found, "sun") == ["", "any", "back"]
    assert column(found, "shoot_min") == ["30", "30", "30"]
    assert column(found, "setup_min") == ["20", "60", ""]
    assert column(found, "size as listed") == ["", "OTS", ""]
    assert "sun `TBD` left blank: 1" in found.notes
    assert "the longer of two figures of minutes: 2 and 3" in found.notes


def test_a_side_of_the_sun_needs_a_look_and_shade_none(tmp_path):
    """Also one that only the side of the camera tells; each is asked by its spot."""
    text = (
        "Shot,Action,Size,Set,Light,Sun side\n1,x,WS,Dam,shade,\n2,y,WS,Dam,dusk,\n"
        "3,z,WS,Mill,any,left\n4,v,WS,Weir,side left,\n5,q,WS,Weir,front,\n"
    )
    found = settled(tmp_path, text)
    assert [(one.column, one.shots) for one in found.questions] == [
        ("look", ("3",)),
        ("look", ("4", "5")),
    ]
    assert column(found, "look") == ["N", "N", "", "", ""]


def test_minutes_that_cannot_be_are_asked(tmp_path):
    """No minute at all, or more than a shot can take; the answer is written."""
    text = "Shot,Action,Size,Dir,Mins\n1,x,WS,N,0\n2,y,WS,N,720\n3,y,WS,N,721\n"
    assert [one.shots for one in settled(tmp_path, text).questions] == [("1",), ("3",)]
    assert column(settled(tmp_path, text, shoot_min="25"), "shoot_min") == ["25", "720", "25"]


def test_a_height_that_is_written_stays_before_that_of_an_hour(tmp_path):
    """And a description is no longer than it may be, nor ever blank."""
    text = (
        "Shot,Action,Size,Dir,Light,Elevation\n1,x,WS,N,golden hour,>30\n2,y,WS,N,golden hour,\n"
        f"3,{'long ' * 200},WS,N,any,\n4,,WS,N,any,\n"
    )
    found = settled(tmp_path, text)
    assert column(found, "elevation") == [">30", "golden", "", ""]
    assert column(found, "sun")[:2] == ["", ""]
    long, blank = column(found, "description")[2:]
    assert len(long) <= words.MAX_DESCRIPTION < 1000
    assert blank == "wide"


def test_own_words_for_sizes_count(tmp_path):
    """Those of the day that the list goes into."""
    (tmp_path / "list.csv").write_text("Shot,Action,Size,Dir\n1,x,hero,N\n2,y,WS,N\n")
    taken = read_list(tmp_path / "list.csv", Findings())
    assert taken is not None
    assert [one.value for one in settle(taken, {}).questions] == ["hero"]
    assert column(settle(taken, {}, {"hero": Size.FULL}), "size") == ["full", "wide"]


def test_what_a_column_says_counts_before_the_words_of_the_description(tmp_path):
    """Look, minutes and sun; nothing is said of light then."""
    text = (
        'Shot,Action,Size,Dir,Light,Mins\n1,"backlit tree, looking E, 40 min",WS,N,side,1-2 h\n'
        "2,x,CU,N,any,10\n"
    )
    found = settled(tmp_path, text)
    one = found.rows[0]
    assert (one["look"], one["sun"], one["shoot_min"]) == ("N", "side", "120")
    assert found.notes == ("the longer of two figures of minutes: 1",)


def test_a_point_among_words_is_a_look_unless_all_is_in_capitals(tmp_path):
    """Then a letter may be one of the words."""
    text = "Shot,Action,Size,Dir\n1,x,WS,up the street N\n2,y,WS,S\n3,z,WS,PIER N\n4,v,WS,N or E\n"
    found = settled(tmp_path, text)
    assert column(found, "look") == ["N", "S", "", ""]
    assert [one.value for one in found.questions] == ["PIER N", "N or E"]


def test_sizes_for_each_are_given_to_the_shots_without_one(tmp_path):
    """In their order, whatever is answered about other shots between them."""
    (tmp_path / "list.csv").write_text(
        "Shot,Action,Size,Dir\n1,tree,,N\n2,hill,odd,N\n3,lake,,N\n4,dog,WS,N\n5,cat,WS,N\n"
    )
    taken = read_list(tmp_path / "list.csv", Findings())
    assert taken is not None
    found = settle(taken, {("size", ""): "full, insert", ("size", "odd"): "CU"})
    assert column(found, "size") == ["full", "close-up", "insert", "wide", "wide"]


def test_a_spot_that_is_nearly_another_is_told(tmp_path):
    """It may be a slip; rooms and gates told apart by a sign or a short word are none."""
    rows = "1,A,WS,N,Boathouse\n2,B,WS,N,Boathouse\n3,C,WS,N,Boathuose\n"
    rows += "4,D,WS,N,North gate\n5,E,WS,N,North gate\n6,F,WS,N,South gate\n7,G,WS,N,North gat\n"
    found = settled(tmp_path, f"Shot,Action,Size,Dir,Where\n{rows}")
    assert [note for note in found.notes if "nearly" in note] == [
        "spot `Boathuose` is nearly `Boathouse`, and kept as a spot of its own: 3"
    ]
    assert column(found, "spot")[2] == "Boathuose"


def test_a_wish_answered_with_nothing_is_none(tmp_path):
    """Words of the description do not stand in for a sun that somebody was asked about."""
    text = "Shot,Action,Size,Dir,Sun\n1,Ana in backlight,WS,N,soft\n2,B,WS,N,back\n"
    assert column(settled(tmp_path, text, sun=""), "sun") == ["", "back"]
    assert column(settled(tmp_path, text.replace("soft", "tbd")), "sun")[0] == "back"


def test_a_face_in_a_description_is_no_sun(tmp_path):
    """`Ana, face` says what is in the frame."""
    text = 'Shot,Action,Size,Dir\n1,"Ana, face",CU,N\n2,"Ana, back",CU,N\n'
    assert column(settled(tmp_path, text), "sun") == ["", "back"]
