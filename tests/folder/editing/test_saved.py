"""Lists saved: whole, never over another's change, and by many at once without a lost row."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from sunsched.errors import FolderError, WriteRefused
from sunsched.folder.editing.edit import AddRow, EditRefused, SetCell
from sunsched.folder.editing.editable import NO_VERSION, editable_list
from sunsched.folder.editing.saved import ListChanged, save_list
from sunsched.folder.store import exchange as exchange_module
from sunsched.folder.store.write import made_part

LIST = b"id,description,size,look,shoot_min\r\n1,A,wide,N,30\r\n2,B,insert,E,10\r\n"

# Adds so many rows to the list of a folder, each as often as somebody else was first.
EDITOR = """
import sys
from sunsched.folder.editing.edit import AddRow
from sunsched.folder.editing.editable import editable_list
from sunsched.folder.editing.saved import ListChanged, save_list

folder, name, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
for turn in range(count):
    while True:
        listed = editable_list(folder)
        row = AddRow(row="new", after=None, cells={"id": f"{name}{turn}", "description": name * 99})
        try:
            save_list(folder, listed.version, [row])
            break
        except ListChanged:
            continue
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a folder with a list."""
    (tmp_path / "shots.csv").write_bytes(LIST)
    return tmp_path


def test_list_is_saved_and_read_back(folder):
    """The new version is that of the file; nothing else is left beside it."""
    before = editable_list(folder)
    new = save_list(folder, before.version, [SetCell(row="3", column="look", text="W")])
    assert (folder / "shots.csv").read_bytes() == LIST.replace(b",E,", b",W,")
    assert new == editable_list(folder)
    assert new.version != before.version
    assert [path.name for path in folder.iterdir()] == ["shots.csv"]


def test_nothing_is_written_where_nothing_changes(folder):
    """An edit that says what stands there leaves the file, and its time, alone."""
    before = (folder / "shots.csv").stat()
    version = editable_list(folder).version
    save_list(folder, version, [SetCell(row="3", column="look", text="E")])
    after = (folder / "shots.csv").stat()
    assert (before.st_ino, before.st_mtime_ns) == (after.st_ino, after.st_mtime_ns)


def test_list_that_was_changed_meanwhile_is_not_overwritten(folder):
    """The error carries the list as it is, so that both can be shown."""
    version = editable_list(folder).version
    theirs = LIST.replace(b",30", b",25")
    (folder / "shots.csv").write_bytes(theirs)
    with pytest.raises(ListChanged, match="changed meanwhile") as told:
        save_list(folder, version, [SetCell(row="3", column="look", text="W")])
    assert told.value.now.rows[0].cells["shoot_min"] == "25"
    assert (folder / "shots.csv").read_bytes() == theirs


def test_change_between_the_look_and_the_writing_is_not_lost(folder, monkeypatch):
    """An editor without any lock may save while our file is being written."""
    version = editable_list(folder).version
    theirs = LIST.replace(b",30", b",25")
    part = made_part

    def saved_meanwhile(path: Path, new: bytes) -> Path:
        (folder / "shots.csv").write_bytes(theirs)
        return part(path, new)

    monkeypatch.setattr(exchange_module, "made_part", saved_meanwhile)
    with pytest.raises(ListChanged):
        save_list(folder, version, [SetCell(row="3", column="look", text="W")])
    assert (folder / "shots.csv").read_bytes() == theirs
    assert [path.name for path in folder.iterdir()] == ["shots.csv"]


def test_list_that_went_away_is_told(folder):
    """As it is then a folder without a list."""
    version = editable_list(folder).version
    (folder / "shots.csv").unlink()
    with pytest.raises(ListChanged) as told:
        save_list(folder, version, [SetCell(row="3", column="look", text="W")])
    assert told.value.now.version == NO_VERSION
    assert list(folder.iterdir()) == []


def test_new_list_is_made_once(tmp_path):
    """Whoever comes second is told of the first, and takes nothing away."""
    row = AddRow(row="a", after=None, cells={"id": "1"})
    new = save_list(tmp_path, NO_VERSION, [row])
    assert new.rows[0].cells == {"id": "1"}
    if os.name == "posix":
        plain = tmp_path / "plain"
        plain.touch()
        assert (tmp_path / "shots.csv").stat().st_mode == plain.stat().st_mode
    with pytest.raises(ListChanged):
        save_list(tmp_path, NO_VERSION, [row])
    assert editable_list(tmp_path) == new


@pytest.mark.skipif(os.name != "posix", reason="permissions of another kind")
def test_permissions_and_links_stay(folder):
    """A link within the folder stays one; the file behind it keeps who may read it."""
    held = folder / "kept.csv"
    (folder / "shots.csv").rename(held)
    held.chmod(0o640)
    (folder / "shots.csv").symlink_to("kept.csv")
    version = editable_list(folder).version
    save_list(folder, version, [SetCell(row="3", column="look", text="W")])
    assert (folder / "shots.csv").is_symlink()
    assert held.stat().st_mode & 0o777 == 0o640
    assert b",W," in held.read_bytes()


@pytest.mark.skipif(os.name != "posix", reason="links of another kind")
def test_link_out_of_the_folder_is_not_followed(folder, tmp_path_factory):
    """It is not even read."""
    other = tmp_path_factory.mktemp("other") / "shots.csv"
    (folder / "shots.csv").rename(other)
    (folder / "shots.csv").symlink_to(other)
    with pytest.raises(FolderError, match="a link that leads out"):
        editable_list(folder)
    with pytest.raises(WriteRefused, match="a link that leads out"):
        exchange_module.exchange(folder / "shots.csv", LIST, b"")
    assert other.read_bytes() == LIST


def test_full_disk_leaves_the_list_as_it_was(folder, monkeypatch):
    """And nothing beside it."""

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    version = editable_list(folder).version
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(WriteRefused, match="no space left on device"):
        save_list(folder, version, [SetCell(row="3", column="look", text="W")])
    assert (folder / "shots.csv").read_bytes() == LIST
    assert [path.name for path in folder.iterdir()] == ["shots.csv"]


def test_refused_edit_writes_nothing(folder):
    """Not even the edits before it."""
    version = editable_list(folder).version
    edits = [SetCell(row="3", column="look", text="W"), SetCell(row="9", column="look", text="W")]
    with pytest.raises(EditRefused):
        save_list(folder, version, edits)
    assert (folder / "shots.csv").read_bytes() == LIST


def test_four_editors_at_once_lose_no_row(folder):
    """Each process adds its rows; whoever is late reads anew and tries again."""
    names, count = "pqrs", 6
    editors = [
        subprocess.Popen([sys.executable, "-c", EDITOR, str(folder), name, str(count)])
        for name in names
    ]
    assert [editor.wait(timeout=120) for editor in editors] == [0] * len(names)
    ids = {row.cells["id"] for row in editable_list(folder).rows}
    assert ids == {"1", "2"} | {f"{name}{turn}" for name in names for turn in range(count)}
    assert (folder / "shots.csv").read_bytes().endswith(LIST.partition(b"\r\n")[2])
    assert [path.name for path in folder.iterdir()] == ["shots.csv"]
