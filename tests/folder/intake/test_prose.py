"""Sentences of a mail: what each says of a shot, and which lines are one item."""

from __future__ import annotations

import pytest

from sunsched.folder.intake.prose import COLUMNS, facts_of, prose_sheet


@pytest.mark.parametrize(
    ("text", "facts"),
    [
        ("size: WS; size: CU", {"size": "WS", "description": "WS"}),
        ("Sun: side; the backlit tree", {"sun": "side", "description": "The backlit tree"}),
        (
            "big wide of the yard, half an hour",
            {"size": "big wide", "shoot_min": "30 min", "description": "Big wide of the yard"},
        ),
        ("the sun behind Ana, CU", {"size": "CU", "sun": "back"}),
        ("WS tree, in the shade, 300 min", {"sun": "in the shade", "shoot_min": "300 min"}),
        ("WS tree, 20 min, 30 min", {"shoot_min": "20 min", "description": "Tree, 30 min"}),
        ("WS, looking W, looking E", {"look": "W", "description": "Looking E"}),
        ("WS tree, N, E", {"look": "N", "description": "Tree, E"}),
        ("WS tree, 12, N", {"look": "N", "description": "Tree, 12"}),
        ("WS tree, CU, MS", {"size": "CU", "description": "WS tree, MS"}),
        ("WS x, back, front", {"sun": "back", "description": "X, front"}),
        ("insert: the cup, on a 50mm lens, N", {"lens_mm": "50", "description": "The cup"}),
        ("Look: W; 15'", {"look": "W", "shoot_min": "15'"}),
    ],
)
def test_what_a_sentence_says(text, facts):
    """Of two that say one thing the first counts, and the other stays in the description."""
    found = facts_of(text)
    assert {column: found[column] for column in facts} == facts


def rows(text: str) -> list[tuple[int, dict[str, str]]]:
    """Give the filled cells of each row, with its line."""
    sheet = prose_sheet(text)
    assert sheet is not None
    named = [(line, zip(COLUMNS, cells, strict=True)) for line, cells in sheet.lines[1:]]
    return [(line, {column: cell or "" for column, cell in row if cell}) for line, row in named]


@pytest.mark.parametrize(
    ("between", "described"),
    [
        ("1. WS tree\nAt the mill", "Tree"),
        ("1. WS tree with a long and winding road that goes on behind\nold barns", None),
        ("1. WS tree, N, 20 min\n   seen from a hill", "Tree, seen from a hill"),
        ("1. WS tree, N, 20 min\n\tseen from a hill", "Tree, seen from a hill"),
        ("1. WS tree, N, 20 min\nWS hill, N, 10 min", "Tree"),
    ],
)
def test_a_line_goes_on_with_the_item_above_or_names_a_spot(between, described):
    """By how far it stands in, how long the line above is and whether that one is whole."""
    found = rows(f"{between}\n2. CU lamp, N, 10 min\n")
    whole = described or "Tree with a long and winding road that goes on behind old barns"
    assert found[0][1]["description"] == whole
    assert [line for line, _ in found] == (
        [1, 3] if "a hill" in whole or not described else [1, 2, 3]
    )
    if between.endswith("mill"):
        assert found[1][1] == {"id": "Mill:"}


def test_marks_and_quotes_of_mails():
    """A number is an id, a dash none; what is quoted reads as it was written."""
    found = rows("> 1. WS tree, N, 20 min\n> > Shot 2b: MS lamp, W\n>\n> - CU lamp, 5 min\n")
    assert [(line, cells.get("id")) for line, cells in found] == [(1, "1"), (2, "2b"), (4, None)]


def test_one_word_of_a_shot_makes_none():
    """Without a mark it takes two facts, with one it takes one; a text without any is no list."""
    found = rows("Dear all,\nThe wide one is lovely.\n- the wide one\n\nThe wide one, 10 min\n")
    assert [cells.get("size") for _, cells in found] == [None, None, "wide", "wide"]
    assert prose_sheet("Dear all,\nthe wide one is lovely.\n") is None
    assert prose_sheet("") is None
