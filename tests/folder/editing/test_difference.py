"""Two versions of one list: what differs, and which edits can be made on the other."""

from __future__ import annotations

import pytest

from sunsched.folder.editing.difference import differences, rebased
from sunsched.folder.editing.edit import AddRow, DeleteRow, Edit, MoveRow, SetCell
from sunsched.folder.editing.editable import EditableList, list_of
from sunsched.folder.editing.edited import edited_list

OLD = """\
id,description,size,look,shoot_min,Food
WEIR,,,,,
1,A,wide,N,30,soup
2,B,insert,E,10,
3,C,insert,E,10,tea
,a shot without an id,wide,S,20,
"""


def listed(text: str) -> EditableList:
    """Read a list from its text."""
    return list_of(text.encode(), "shots.csv")


def told(ours: str, theirs: str) -> list[tuple[str, str, str, str]]:
    """Give the differences of two texts in short."""
    found = differences(listed(ours), listed(theirs))
    return [(one.shot, one.title, one.ours, one.theirs) for one in found]


def test_a_list_is_as_it_is():
    """Nothing differs, nor do spaces around a text."""
    assert told(OLD, OLD) == []
    assert told(OLD, OLD.replace(",tea", ", tea ")) == []


def test_cells_that_differ_are_told_by_shot_and_title():
    """Also where rows were moved, and one put in above."""
    theirs = OLD.replace("3,C,insert,E,10,tea\n", "").replace(
        "1,A,wide,N,30,soup\n", "4,D,wide,N,30,\n3,C,wide,E,10,cake\n1,A,wide,N,30,soup\n"
    )
    assert told(OLD, theirs) == [
        ("3", "size", "insert", "wide"),
        ("3", "Food", "tea", "cake"),
        ("4", "id", "", "4"),
        ("4", "description", "", "D"),
        ("4", "size", "", "wide"),
        ("4", "look", "", "N"),
        ("4", "shoot_min", "", "30"),
    ]


def test_columns_that_one_side_has_alone_are_told():
    """A column of ours, one of theirs, and one that is only kept and moved."""
    ours = OLD.replace("Food", "Food,rig").replace("soup", "soup,open")
    theirs = (
        OLD.replace("id,desc", "Weather,id,desc")
        .replace("\n1,A", "\nwind,1,A")
        .replace("\n2", "\n,2")
    )
    theirs = theirs.replace("\n3", "\n,3").replace("\nW", "\n,W").replace("\n,a", "\n,,a")
    assert told(ours, theirs) == [("1", "rig", "open", ""), ("1", "Weather", "", "wind")]


def test_sections_and_shots_without_ids_are_told_by_their_place():
    """As nothing else names them."""
    theirs = OLD.replace("WEIR", "MILL").replace(",wide,S,", ",full,S,")
    assert told(OLD, theirs) == [
        ("WEIR", "id", "WEIR", "MILL"),
        ("a shot without an id", "size", "wide", "full"),
    ]


def test_a_shot_with_a_new_id_is_the_same_shot():
    """Where it stands where it stood, and most of it is as it was; else it is another."""
    assert told(OLD, OLD.replace("2,B", "2A,B")) == [("2", "id", "2", "2A")]
    other = told(OLD, OLD.replace("2,B,insert,E,10", "5,Sea,wide,W,10"))
    assert [(shot, ours, theirs) for shot, title, ours, theirs in other if title == "id"] == [
        ("2", "2", ""),
        ("5", "", "5"),
    ]


EDITS: list[Edit] = [
    SetCell(row="3", column="look", text="W"),
    SetCell(row="5", column="#6", text="cake"),
    AddRow(row="a", after="4", cells={"id": "9", "#6": "nuts"}),
    SetCell(row="a", column="size", text="wide"),
    DeleteRow(row="4"),
    MoveRow(row="6", after=None),
]


def test_edits_are_made_on_a_newer_version():
    """Other rows, other cells and other columns of it stay: both sides' work is there."""
    new = listed(
        OLD.replace("\n1,A,", "\n7,new,wide,N,5,\n1,Alpha,").replace("Food", "Food,Weather")
    )
    found = rebased(EDITS, listed(OLD), new)
    assert found.collisions == ()
    after = edited_list(new, found.edits).listed
    assert [row.cells.get("id") for row in after.rows] == [None, "WEIR", "7", "1", "9", "3"]
    rows = {row.cells["id"]: row.cells for row in after.rows[1:]}
    assert (rows["1"]["description"], rows["1"]["look"]) == ("Alpha", "W")
    assert (rows["3"]["#6"], rows["9"]["#6"], rows["9"]["size"]) == ("cake", "nuts", "wide")


@pytest.mark.parametrize(
    ("old", "new", "collides"),
    [
        ("1,A,wide,N", "1,A,wide,S", [0]),
        ("1,A,wide,N", "1,A,wide,W", []),  # both wrote the same
        (",tea", ",milk", [1]),
        ("2,B,insert", "2,Bravo,insert", [4]),
        ("3,C,insert,E,10,tea\n", "", [1]),
        ("2,B,insert,E,10,\n", "", [2, 3, 4]),
        (",a shot without an id,wide,S,20,\n", "", [5]),
    ],
)
def test_edits_that_meet_another_change_are_given_back(old, new, collides):
    """A cell that others wrote, a row that they took out, and what builds on such a row."""
    found = rebased(EDITS, listed(OLD), listed(OLD.replace(old, new)))
    assert found.collisions == tuple(EDITS[number] for number in collides)
    assert len(found.edits) == len(EDITS) - len(collides)
