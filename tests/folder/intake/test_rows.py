"""Rows below a head: shots, sections with their spot and scene, breaks, and what is no row."""

from __future__ import annotations

import pytest

from sunsched.folder.intake.header import read_head
from sunsched.folder.intake.question import Desk, Question
from sunsched.folder.intake.rows import Shots, read_rows, section_of

HEAD = ["Shot", "Action", "Size", "Min"]


def sorted_rows(*rows, head=HEAD) -> Shots:
    """Sort rows below a head; the first of them is on line 2."""
    shots = [["901", "Tree", "WS", "30"], ["902", "Hill", "CU", "20"]]
    lines = list(enumerate([head, *rows, *shots], 1))
    found = read_rows(lines, read_head(lines, 0))
    assert [line for line, _ in found.rows[-2:]] == [len(rows) + 2, len(rows) + 3]
    return found


@pytest.mark.parametrize(
    ("row", "kind"),
    [
        (["Lunch", "12:30", "", "60"], "passed"),
        (["Lunch", "12:30", "crew", "60"], "rows"),
        (["", "Lunch on the rocks", "WS", "30"], "rows"),
        (["", "Lunch on the rocks", "", "30"], "passed"),
        (["The dam", "The dam", "The dam", ""], "sections"),
        (["2", "", "", ""], "rows"),
        (["Day 2", "", "", ""], "sections"),
        (["", "2", "", ""], "sections"),
        ([None, "", "", ""], "rows"),
        (["", " ", "", ""], ""),
        (["Shot", "Action", "Size", "Min"], "heads"),
        (["shot no.", "What", "Size", "Min"], "rows"),
        (["shot", "ACTION", "size", "min."], "heads"),
        (["the dam", "", "", ""], "sections"),
        (["the long dam", "", "", ""], "passed"),
        (["The dam of the mill by Po", "", "", ""], "sections"),
        (["The dam of the mill by the Po", "", "", ""], "passed"),
        (["Ask Bo about it.", "", "", ""], "passed"),
        (["Ana ana@x.org", "", "", ""], "passed"),
    ],
)
def test_kind_of_a_row(row, kind):
    """Breaks have few words, sections one text, remarks an end or too many words."""
    found = sorted_rows(row)
    kinds = {
        "rows": [line for line, _ in found.rows],
        "sections": list(found.sections),
        "passed": list(found.passed),
        "heads": found.heads,
    }
    assert [name for name, lines in kinds.items() if 2 in lines] == ([kind] if kind else [])


def test_a_row_with_a_size_and_a_look_is_a_shot():
    """Whatever its words begin with."""
    head = ["Action", "Size", "Looking", "Min"]
    rows = [["Lunch on the rocks", "WS", "N", ""], ["Lunch", "", "N", ""]]
    found = sorted_rows(*rows, head=head)
    assert list(found.passed) == [3]


def test_a_section_gives_its_spot_and_scene_to_the_rows_below_it():
    """Until the next one, which may name neither."""
    one, two = ["1", "Tree", "WS", "30"], ["2", "Hill", "CU", "20"]
    found = sorted_rows(["Sc. 12: EXT. THE DAM - DAY", "", "", ""], one, ["Mill", "", "", ""], two)
    assert found.spots == {3: "The Dam", 5: "Mill", 6: "Mill", 7: "Mill"}
    assert found.scenes == {3: "12"}


@pytest.mark.parametrize(
    ("text", "spot", "scene"),
    [
        ("INT./EXT. BARN - NIGHT", "Barn", ""),
        ("*** Old mill ***", "Old mill", ""),
        ("LOT", "LOT", ""),
        ("Location 2: The weir", "The weir", ""),
        ("Szene 4A – Moor", "Moor", "4A"),
        ("Scene 7", "", "7"),
        ("Barn, golden hour", "Barn", ""),
        ("INNEN WALD / TAG", "Wald", ""),
        ("External wall", "External wall", ""),
    ],
)
def test_spot_and_scene_of_a_section(text, spot, scene):
    """In and out, day and night, and what frames a title are left away."""
    assert section_of(text) == (spot, scene)


def test_one_question_is_asked_once_for_all_its_shots():
    """Values that differ, and columns, are other questions; a blank answer is one too."""

    def question(shot: str, column: str = "size", value: str = "") -> Question:
        return Question(
            column=column,
            value=value,
            shots=(shot,),
            text="which",
            expected="one",
            hint=f"of {shot}",
        )

    desk = Desk(answers={("sun", "x"): ""}, own={})
    asked = (question("1"), question("2"), question("3", value="odd"), question("4", column="look"))
    assert [desk.ask(one) for one in asked] == [None] * 4
    assert [(one.shots, one.hint) for one in desk.asked.values()] == [
        (("1", "2"), "of 2"),
        (("3",), "of 3"),
        (("4",), "of 4"),
    ]
    assert desk.ask(question("5", column="sun", value="x")) == ""
    assert len(desk.asked) == 3
