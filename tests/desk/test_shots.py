"""The shot list as a table: checked as it is typed, saved whole, never over somebody else's."""

from __future__ import annotations

import threading

import pytest

import sunsched
from desk.conftest import KEYS, copied
from sunsched.desk.answers.shots import check, keep, table
from sunsched.desk.work.worker import Memory
from sunsched.errors import SunschedError

DAY = "/api/ferry-light"


@pytest.fixture
def folder(tmp_path):
    """Give a day folder whose list has a column of its own."""
    made = copied("ferry-light", tmp_path)
    shots = made / "shots.csv"
    rows = shots.read_text("utf-8").splitlines()
    whole = [f"{row},{'who' if not place else '<b>Ana</b>'}" for place, row in enumerate(rows)]
    shots.write_text("\n".join(whole) + "\n", "utf-8")
    return made


def listed(folder):
    """Give the list as the page has it."""
    return next(table.answer(Memory(), folder=str(folder)))


def change(row, column, text):
    """Give one edit as the page sends it."""
    return {"kind": "set", "row": row, "column": column, "text": text, "after": None, "cells": {}}


def tried(folder, *edits):
    """Try edits out."""
    version = listed(folder)["version"]
    return next(check.answer(Memory(), folder=str(folder), version=version, edits=edits))


def kept(folder, before, *edits, is_kept=True):
    """Save edits of a list as it was before."""
    rows = []
    for row in before["rows"]:
        own = {one["column"]: one["text"] for one in edits if one["row"] == row["key"]}
        rows.append({"key": row["key"], "kind": row["kind"], "cells": row["cells"] | own})
    asked = {"file": before["file"], "columns": before["columns"], "rows": rows}
    answers = keep.answer(
        Memory(),
        folder=str(folder),
        version=before["version"],
        edits=edits,
        is_kept=is_kept,
        **asked,
    )
    return next(answers)


def row_of(found, shot):
    """Give the row of a shot."""
    return next(row for row in found["rows"] if row["cells"]["id"] == shot)


def test_the_list_is_shown_as_it_is_written(folder):
    """Known columns first, then those that nothing reads; texts stay texts."""
    found = listed(folder)
    known = [column["known"] for column in found["columns"]]
    assert known[:6] == ["id", "description", "size", "spot", "look", "sun"]
    assert [one["title"] for one in found["columns"] if one["known"] is None] == ["who"]
    assert set(row_of(found, "1")["cells"].values()) >= {"140", "<b>Ana</b>"}
    assert "control" in found["more"]


def test_faults_stand_at_their_cells(folder):
    """In the reader's words; the other rows keep their light."""
    found = listed(folder)
    row, other = row_of(found, "2")["key"], row_of(found, "3")["key"]
    answer = tried(folder, change(row, "size", "clsoe-up"), change(row, "sun", "=1+1"))
    at = {(one["row"], one["column"]): one["text"] for one in answer["faults"]}
    assert "did you mean `close-up`?" in at[row, "size"]
    assert "=1+1" in at[row, "sun"]
    assert row not in answer["rows"]
    assert max(answer["rows"][other]["light"]) == 100


def test_the_light_is_that_of_the_edited_row(folder):
    """As the day folder has it once it is saved."""
    before = listed(folder)
    row = row_of(before, "1")["key"]
    edit = change(row, "look", "320")
    found = tried(folder, edit)["rows"][row]
    assert found["look_deg"] == 320
    assert found["light"] != tried(folder)["rows"][row]["light"]
    kept(folder, before, edit)
    assert tried(folder)["rows"][row]["light"] == found["light"]
    assert sunsched.read_day(folder).shot("1").look_deg == 320


def test_what_is_not_touched_stays_to_the_byte(folder):
    """One cell changes."""
    path = folder / "shots.csv"
    before = path.read_text("utf-8")
    found = listed(folder)
    kept(folder, found, change(row_of(found, "7")["key"], "spot", "racks"))
    lines = list(zip(before.splitlines(), path.read_text("utf-8").splitlines(), strict=True))
    assert [(one, other) for one, other in lines if one != other] == [
        (lines[7][0], lines[7][0].replace(",wide,mole,", ",wide,racks,"))
    ]


def test_a_list_that_was_changed_meanwhile_is_not_overwritten(folder):
    """Both versions are given, cell by cell; what was tried out for the old one is refused."""
    before = listed(folder)
    row = row_of(before, "1")["key"]
    theirs = kept(folder, before, change(row, "look", "90"))["saved"]
    held = (folder / "shots.csv").read_bytes()
    mine = change(row, "description", "Mine")
    answer = kept(folder, before, mine)
    assert (folder / "shots.csv").read_bytes() == held
    assert answer["now"]["version"] == theirs["version"]
    different = {(one["shot"], one["column"]): one for one in answer["differences"]}
    assert set(different) == {("1", "look"), ("1", "description")}
    assert different["1", "look"]["theirs"] == "90"
    assert different["1", "description"]["ours"] == "Mine"
    late = check.answer(Memory(), folder=str(folder), version=before["version"], edits=[mine])
    assert next(late) == {"changed": True}


def test_to_compare_writes_nothing(folder):
    """Only the versions are put beside each other."""
    before = listed(folder)
    held = (folder / "shots.csv").read_bytes()
    answer = kept(folder, before, change(before["rows"][0]["key"], "look", "1"), is_kept=False)
    assert [one["ours"] for one in answer["differences"]] == ["1"]
    assert (folder / "shots.csv").read_bytes() == held


def test_of_two_editors_of_one_row_one_is_told(folder):
    """However they meet: one of the two lists is saved, and the other one is shown both."""
    before = listed(folder)
    row = row_of(before, "4")["key"]
    looks, found = [str(look) for look in range(100, 108)], []
    start = threading.Barrier(len(looks))

    def edit(look):
        start.wait()
        found.append((look, kept(folder, before, change(row, "look", look))))

    threads = [threading.Thread(target=edit, args=(look,)) for look in looks]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    saved = [look for look, answer in found if "saved" in answer]
    assert len(saved) == 1
    assert row_of(listed(folder), "4")["cells"]["look"] == saved[0]
    others = [answer for look, answer in found if look not in saved]
    assert all(len(answer["differences"]) == 1 for answer in others)


def test_rows_are_added_and_deleted(folder):
    """Each at its place."""
    before = listed(folder)
    first, second = (row_of(before, one)["key"] for one in "12")
    cells = {**row_of(before, "1")["cells"], "id": "99", "description": "New"}
    new = {"kind": "add", "row": "new-1", "column": None, "text": "", "after": first}
    gone = {"kind": "delete", "row": second, "column": None, "text": "", "after": None}
    answer = keep.answer(
        Memory(),
        folder=str(folder),
        version=before["version"],
        edits=[gone | {"cells": {}}, new | {"cells": cells}],
        file=before["file"],
        columns=before["columns"],
        rows=[],
        is_kept=True,
    )
    ids = [row["cells"]["id"] for row in next(answer)["saved"]["rows"]]
    assert ids[:3] == ["1", "99", "3"]
    assert "2" not in ids


def test_edits_that_no_page_makes_are_refused(asker):
    """By their form, and by what they name."""
    version = asker.post(f"{DAY}/quick/shots.table", json={}).json()["version"]
    wrong = {"version": version, "edits": [{"kind": "burn", "row": "2"}]}
    assert asker.post(f"{DAY}/quick/shots.check", json=wrong).status_code == 422
    edit = change("2", "nothing", "x")
    answer = asker.post(f"{DAY}/quick/shots.check", json={"version": version, "edits": [edit]})
    assert "no such column" in answer.json()["faults"][0]["text"]
    asker.cookies.set(f"sunsched-desk-{8999}", KEYS.note)
    assert asker.post(f"{DAY}/quick/shots.table", json={}).status_code == 403
    with pytest.raises(SunschedError):
        next(check.answer(Memory(), folder="/nowhere", version=version, edits=[edit]))
