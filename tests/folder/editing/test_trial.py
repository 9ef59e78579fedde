"""An edited list tried out: faults at their cells, the light of each row, and nothing written."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from sunsched.folder.editing.edit import AddRow, DeleteRow, Edit, SetCell
from sunsched.folder.editing.editable import NO_VERSION, editable_list
from sunsched.folder.editing.saved import ListChanged
from sunsched.folder.editing.trial import check_edits
from sunsched.light.day_sun import day_sun
from sunsched.light.fit import fit_checked, fit_shot

LIST = """\
Shot,Action,Size,Camera,Light,Minutes,Crew food
SALT PANS
1,The pans at dawn,wide,N,any,30,soup

2,The salt,insert,E,back,10,
#3,Its glitter,CU,S,back,10,
"""


@pytest.fixture
def folder(tmp_path: Path, minimal_day: str) -> Path:
    """Give a day folder whose list has titles of its own, a section and a blank row."""
    (tmp_path / "day.toml").write_text(minimal_day)
    (tmp_path / "shots.csv").write_text(LIST)
    return tmp_path


def test_list_without_edits_is_the_day_as_it_is(folder):
    """Each shot with its row, whatever signs its id was written with."""
    found = check_edits(folder, editable_list(folder).version, ())
    assert found.day is not None
    assert found.faults == ()
    assert found.shots == {"1": "3", "2": "5", "3": "6"}
    assert any("`Camera` is look" in note for note in found.taken)


def test_faults_stand_at_their_cells(folder):
    """In the words of the reader, by the keys that the edits use; the file stays as it was."""
    edits: list[Edit] = [
        SetCell(row="5", column="look", text="nrth"),
        AddRow(row="new", after="3", cells={"id": "2", "shoot_min": "soon"}),
        SetCell(row="6", column="hold", text="perhaps"),
        DeleteRow(row="2"),
    ]
    found = check_edits(folder, editable_list(folder).version, edits)
    assert found.day is None
    told = {(one.row, one.column): one.text.split(" (")[0].split("\n")[0] for one in found.faults}
    assert told == {
        ("new", "shoot_min"): "not a number: `soon`",
        ("new", "description"): "blank",
        ("new", "size"): "blank",
        ("new", "look"): "blank",
        ("5", "id"): "an id that stands twice: `2`",
        ("5", "look"): "not a bearing: `nrth`",
        ("6", "hold"): "neither yes nor no: `perhaps`",
    }
    assert (folder / "shots.csv").read_text() == LIST


def test_shots_without_a_fault_keep_their_light_beside_one_with(folder):
    """The day without the rows at fault is there to be looked at, with the row of each shot."""
    version = editable_list(folder).version
    found = check_edits(folder, version, [SetCell(row="5", column="look", text="nrth")])
    assert found.readable is not None
    assert found.shots == {"1": "3", "3": "6"}
    assert set(fit_checked(found.readable).shots) == {"1", "3"}


def test_faults_of_other_files_have_no_row(folder, minimal_day):
    """Such as one of `day.toml`."""
    (folder / "day.toml").write_text(minimal_day.replace("36.2", "96.2"))
    (fault,) = check_edits(folder, editable_list(folder).version, ()).faults
    assert (fault.fault.file, fault.row, fault.column) == ("day.toml", None, None)


def test_fault_of_the_head_has_no_row(folder):
    """A column that is not there is a fault of the whole list."""
    (folder / "shots.csv").write_text("id,description,size,shoot_min\n1,A,wide,20\n")
    (fault,) = check_edits(folder, editable_list(folder).version, ()).faults
    assert fault.text.startswith("no column `look`")
    assert (fault.row, fault.column) == (None, None)


def test_warnings_stand_at_their_cells_too(folder):
    """A hold that asks nothing of the sun is odd, and no fault."""
    version = editable_list(folder).version
    found = check_edits(folder, version, [SetCell(row="3", column="hold", text="yes")])
    assert [(one.row, one.column) for one in found.warnings] == [("3", "hold")]
    assert found.day is not None


def test_refused_edit_is_a_fault_at_its_cell(folder):
    """It is told beside the cell, as the reader's are."""
    version = editable_list(folder).version
    found = check_edits(folder, version, [SetCell(row="3", column="look", text="\0")])
    assert [(one.row, one.column, one.text) for one in found.faults] == [
        ("3", "look", "a sign that is no text: `U+0000`")
    ]


def test_changed_list_is_told(folder):
    """Somebody else saved meanwhile: the error carries the list as it is."""
    version = editable_list(folder).version
    (folder / "shots.csv").write_text(LIST.replace("soup", "stew"))
    with pytest.raises(ListChanged) as told:
        check_edits(folder, version, ())
    assert told.value.now.rows[1].cells["#7"] == "stew"


def test_folder_without_a_list_begins_an_empty_one(folder):
    """Its rows are added to the columns of a starter's list."""
    (folder / "shots.csv").unlink()
    listed = editable_list(folder)
    assert (listed.version, listed.rows) == (NO_VERSION, ())
    cells = {"id": "1", "description": "A", "size": "wide", "look": "N", "shoot_min": "20"}
    found = check_edits(folder, NO_VERSION, [AddRow(row="a", after=None, cells=cells)])
    assert found.day is not None
    assert found.shots == {"1": "a"}


def test_light_of_one_shot_is_that_of_the_whole_day(folder):
    """Its minutes come from the sun of the day, which is computed once."""
    day = check_edits(folder, editable_list(folder).version, ()).day
    assert day is not None
    sun = day_sun(day)
    whole = fit_checked(day)
    for shot in day.shots:
        alone = fit_shot(day, shot, sun)
        assert np.array_equal(alone.fit, whole.shots[shot.id].fit)
        assert np.array_equal(alone.points, whole.shots[shot.id].points)


def test_sun_is_kept_until_the_day_has_another(folder, minimal_day):
    """Other shots have the same sun; another wrap, date or skyline does not."""
    version = editable_list(folder).version
    day = check_edits(folder, version, ()).day
    other = check_edits(folder, version, [SetCell(row="3", column="look", text="S")]).day
    assert day is not None
    assert other is not None
    sun = day_sun(day)
    assert sun.is_of(other)
    for text in (minimal_day.replace("19:00", "20:00"), minimal_day.replace("06-09", "06-10")):
        (folder / "day.toml").write_text(text)
        changed = check_edits(folder, version, ()).day
        assert changed is not None
        assert not sun.is_of(changed)
    (folder / "day.toml").write_text(minimal_day)
    (folder / "horizon-salt-pans.csv").write_text("azimuth_deg,elevation_deg\n0,10\n")
    with_skyline = check_edits(folder, version, ()).day
    assert with_skyline is not None
    assert sun.is_of(with_skyline) == (with_skyline.spots == day.spots)
