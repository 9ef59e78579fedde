"""What stands in the way of a write is told and left as it was: links, pipes, protected files."""

from __future__ import annotations

import os
import re
import sys

import pytest

from sunsched.errors import FolderError, WriteRefused
from sunsched.folder.own import is_own_file
from sunsched.folder.store.files import LOG_FILE, MAX_FILE_BYTES, TORN_FILE
from sunsched.folder.store.shared import append_lines
from sunsched.folder.store.write import write_whole
from sunsched.saved.revisions import newest_revision

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="links and pipes of POSIX")


def append(folder, line=b"new\n", *, refused=False):
    """Add a line to the log of a folder, or refuse to."""

    def more(_content):
        if refused:
            raise WriteRefused("no")
        return line

    def split(content):
        end = content.rfind(b"\n") + 1
        return content[:end], content[end:]

    append_lines(folder / LOG_FILE, folder / TORN_FILE, split, more)


@pytest.fixture
def outside(tmp_path):
    """Give a file outside the folder that the tests write to."""
    path = tmp_path / "outside"
    path.write_bytes(b"theirs")
    return path


@pytest.fixture
def folder(tmp_path):
    """Give a folder."""
    path = tmp_path / "day"
    path.mkdir()
    return path


def test_a_link_that_leads_elsewhere_is_not_written_through(folder, outside):
    """Neither the link nor what it leads to changes."""
    (folder / "our.csv").symlink_to(outside)
    with pytest.raises(WriteRefused, match=re.escape("`our.csv` is a link that leads out of")):
        write_whole(folder / "our.csv", b"ours")
    assert outside.read_bytes() == b"theirs"
    assert (folder / "our.csv").is_symlink()


def test_a_link_within_its_folder_stays_one(folder):
    """The file that it leads to is written."""
    (folder / "real.csv").write_bytes(b"old")
    (folder / "our.csv").symlink_to("real.csv")
    write_whole(folder / "our.csv", b"ours")
    assert (folder / "our.csv").is_symlink()
    assert (folder / "real.csv").read_bytes() == b"ours"


def test_a_pipe_is_not_replaced(folder):
    """Somebody waits at its other end."""
    os.mkfifo(folder / "our.csv")
    with pytest.raises(WriteRefused, match=re.escape("`our.csv` is not a file")):
        write_whole(folder / "our.csv", b"ours")
    assert (folder / "our.csv").is_fifo()


def test_a_read_only_file_is_not_replaced(folder):
    """Whoever took the right to write away wants to keep it."""
    (folder / "our.csv").write_bytes(b"old")
    (folder / "our.csv").chmod(0o444)
    with pytest.raises(WriteRefused, match=re.escape("`our.csv` is read-only")):
        write_whole(folder / "our.csv", b"ours")
    assert (folder / "our.csv").read_bytes() == b"old"
    assert [one.name for one in folder.iterdir()] == ["our.csv"]


def test_a_private_file_stays_private(folder):
    """A file that its owner alone may read is not opened to others by a new version."""
    (folder / "our.csv").write_bytes(b"old")
    (folder / "our.csv").chmod(0o600)
    write_whole(folder / "our.csv", b"ours")
    assert (folder / "our.csv").stat().st_mode & 0o777 == 0o600


def test_a_part_of_another_process_is_left_alone(folder):
    """A number of a process comes again, and so would a name made of it."""
    other = folder / f".{os.getpid()}-1.part"
    other.write_bytes(b"half")
    write_whole(folder / "our.csv", b"ours")
    assert other.read_bytes() == b"half"


def test_a_torn_line_is_not_kept_behind_a_link(folder, outside):
    """A file outside would be written to; the log stays as it was too."""
    (folder / LOG_FILE).write_bytes(b"one\ntwo")
    (folder / TORN_FILE).symlink_to(outside)
    with pytest.raises(WriteRefused, match=re.escape("`log-torn.csv` is not a file of the")):
        append(folder)
    assert outside.read_bytes() == b"theirs"
    assert (folder / LOG_FILE).read_bytes() == b"one\ntwo"


def test_a_torn_line_is_not_put_into_a_pipe(folder):
    """To open one would wait for ever, with the log held."""
    (folder / LOG_FILE).write_bytes(b"one\ntwo")
    os.mkfifo(folder / TORN_FILE)
    with pytest.raises(WriteRefused, match=re.escape("`log-torn.csv` is not a file of the")):
        append(folder)


def test_a_refused_line_leaves_a_link_and_an_empty_file(folder):
    """Only what was made for the line is taken away again."""
    (folder / "real.csv").write_bytes(b"")
    (folder / LOG_FILE).symlink_to("real.csv")
    with pytest.raises(WriteRefused, match="no"):
        append(folder, refused=True)
    assert (folder / LOG_FILE).is_symlink()
    assert (folder / "real.csv").exists()
    (folder / LOG_FILE).unlink()
    with pytest.raises(WriteRefused, match="no"):
        append(folder, refused=True)
    assert not (folder / LOG_FILE).exists()


def test_a_link_to_nothing_is_told(folder):
    """What it leads to is not made."""
    (folder / LOG_FILE).symlink_to("real.csv")
    with pytest.raises(WriteRefused, match=re.escape("`log.csv` is a link to nothing")):
        append(folder)
    assert not (folder / "real.csv").exists()


def test_a_huge_log_is_refused_before_it_is_read(folder):
    """A file with a hole in it takes no room on the disk, and all of the memory."""
    with (folder / LOG_FILE).open("wb") as file:
        file.truncate(1_500_000_000)
    with pytest.raises(FolderError, match=f"1,500,000,000 bytes .* {MAX_FILE_BYTES:,}"):
        append(folder)


@pytest.mark.parametrize("make", ["file", "loop", "nothing"])
def test_plans_that_cannot_be_read_are_told(folder, make):
    """They may hold the plan that everybody follows, so they are never counted as none."""
    plans = folder / "plans"
    if make == "file":
        plans.write_bytes(b"")
    else:
        plans.symlink_to("plans" if make == "loop" else "gone")
    with pytest.raises(FolderError, match=r"plans: (cannot be read|a link to nothing)"):
        newest_revision(folder)


@pytest.mark.parametrize(
    "name",
    [
        *("log.csv", "log-torn.csv", "LOG.csv", "decisions.csv", "sky.csv", "horizon-mill.csv"),
        *("cloths.csv", "shots.xlsx", "plans/0001.csv"),
    ],
)
def test_names_of_the_day_are_its_own(folder, name):
    """What is handed out under one would be read as a part of the day."""
    assert is_own_file(folder, folder / name)
    assert not is_own_file(folder, folder.parent / name)
    assert not is_own_file(folder, folder / "monday.csv")


def test_no_sheet_takes_a_name_of_the_day(make_folder, run):
    """Not even one that is free: it is told before anything is solved."""
    folder = make_folder()
    ran = run("sheet", folder, folder / "log-torn.csv")
    assert ran.code == 1
    assert "`log-torn.csv` is the name of one of the day's own files" in ran.err
    assert not (folder / "log-torn.csv").exists()
