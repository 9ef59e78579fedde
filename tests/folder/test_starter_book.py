"""The starter's workbook: the same shots, every column with a comment, lists to choose from."""

from __future__ import annotations

import io

import openpyxl

from sunsched.folder.read import read_day
from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.folder.starter_book import COMMENTS, starter_book

PLACE = ("--at", "Lisbon", "--date", "2027-05-20")


def test_workbook_gives_the_shots_of_the_text(run, tmp_path):
    """`new --xlsx` writes one list, not two, and it reads as the other does."""
    assert run("new", tmp_path / "a" / "day", *PLACE).code == 1  # its parent must exist
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
    assert run("new", tmp_path / "a" / "day", *PLACE).code == 0
    done = run("new", tmp_path / "b" / "day", *PLACE, "--xlsx")
    assert done.out.endswith(f"\n{tmp_path / 'b' / 'day'}: day.toml, shots.xlsx\n")
    assert sorted(path.name for path in (tmp_path / "b" / "day").iterdir()) == [
        "day.toml",
        "shots.xlsx",
    ]
    assert read_day(tmp_path / "a" / "day") == read_day(tmp_path / "b" / "day")


def test_every_column_has_a_comment_and_some_a_list():
    """What may be typed stands where it is typed; a list is no rule."""
    raw = starter_book("id,description\n1,A\n", ("mill", "pans"))
    sheet = openpyxl.load_workbook(io.BytesIO(raw))["shots"]
    heads = {cell.value: cell.comment for cell in sheet[1]}
    assert list(heads) == list(COLUMNS) == list(COMMENTS)
    assert all(comment is not None and comment.text for comment in heads.values())
    lists = {str(one.sqref): one for one in sheet.data_validations.dataValidation}
    spots = lists["E2:E121"]
    assert (spots.formula1, spots.showErrorMessage) == ('"mill,pans"', False)
    assert len(lists) == 7
