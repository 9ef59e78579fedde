"""Sixty-five lists as people keep them, made by us: what each becomes, and how few ask anything.

`lists/` holds tables and mails, `workbooks` writes the .xlsx; `expected.txt` has a line for each
with its shots as id, size, look, what they want of the sun, and minutes, each checked by eye.
"""

from __future__ import annotations

from datetime import date, time
from pathlib import Path

import pytest

import sunsched
from folder.intake.workbooks import BOOKS, book_bytes
from sunsched.folder.intake.file import read_list
from sunsched.folder.intake.settle import Settled, settle
from sunsched.folder.listing import day_of_list, list_text, read_as_written
from sunsched.folder.starter import starter_texts
from sunsched.folder.text.findings import Findings

HERE = Path(__file__).parent
NAMES = sorted([*(path.name for path in (HERE / "lists").iterdir()), *BOOKS])
EXPECTED = dict(
    line.split(" | ", 1) for line in (HERE / "expected.txt").read_text("utf-8").splitlines()
)


def settled(name: str, folder: Path) -> Settled:
    """Read one of the lists, with no question answered."""
    path = HERE / "lists" / name
    if name in BOOKS:
        path = folder / name
        path.write_bytes(book_bytes(name))
    findings = Findings()
    taken = read_list(path, findings)
    assert taken is not None
    assert findings.faults == []
    return settle(taken, {})


def summary(found: Settled) -> str:
    """Write the shots of a list on one line."""
    shots = []
    for row in found.rows:
        sun = " ".join(filter(None, (row.get(one) for one in ("sun", "elevation", "azimuth"))))
        rest = (row.get(column, "") for column in ("id", "size", "look"))
        shots.append(", ".join(one or "?" for one in (*rest, sun, row.get("shoot_min", ""))))
    return "; ".join(shots)


def test_nine_lists_in_ten_import_without_a_question(tmp_path):
    """Sixty-five lists; of those that ask, none asks more than three things."""
    assert len(NAMES) == 65
    asked = {name: len(settled(name, tmp_path).questions) for name in NAMES}
    assert sum(count == 0 for count in asked.values()) >= 59
    assert max(asked.values()) <= 3
    assert {name for name, count in asked.items() if count} == {
        name for name in NAMES if name[:2] in ("55", "56", "57", "58", "59", "60")
    }


@pytest.mark.parametrize("name", NAMES)
def test_list_becomes_what_it_says(name, tmp_path):
    """A question mark stands where the list does not say."""
    assert summary(settled(name, tmp_path)) == EXPECTED[name]


@pytest.mark.parametrize("name", [name for name in NAMES if name[:2] < "55"])
def test_list_without_a_question_makes_a_day_without_a_fault(name, tmp_path):
    """With its own spots and cast; what is written reads back as the same shots."""
    found = settled(name, tmp_path)
    place = sunsched.example_day().place
    texts = starter_texts("A day", place, date(2027, 6, 9), (time(8), time(20)), 80, 260)
    texts["day.toml"] = day_of_list(texts["day.toml"], found)
    texts["shots.csv"] = list_text(found)
    day = read_as_written(None, texts).day
    assert {(shot.id, shot.shoot_min) for shot in day.shots} == {
        (row["id"], int(row["shoot_min"])) for row in found.rows
    }


def test_who_wrote_a_message_and_when_is_no_part_of_it(tmp_path):
    """The stamps of a chat, and how far a spot is."""
    spots = [row["spot"] for row in settled("61-chat.txt", tmp_path).rows]
    assert spots == ["Quay"] * 3 + ["Market"] * 4


def test_where_the_lens_looks_is_no_part_of_a_spot(tmp_path):
    """It is its look, and the spot is one."""
    spots = [row["spot"] for row in settled("64-table.md", tmp_path).rows]
    assert spots == ["beach", "beach", "beach, down", "stairs", "stairs"]


def test_sizes_of_two_letters_are_no_numbers_beside_numbers(tmp_path):
    """Under `shot` one list has ids, another sizes."""
    path = tmp_path / "list.csv"
    path.write_text("No.,Shot,Action,Look,Mins\n1,WS,Boats,W,20\n2,MS,Ana,N,20\n3,CU,Salt,N,20\n")
    taken = read_list(path, Findings())
    assert taken is not None
    assert [row.cells["id"] for row in taken.table.rows] == ["1", "2", "3"]
    assert [row.cells["size"] for row in taken.table.rows] == ["WS", "MS", "CU"]
