"""The log under real trouble: two writers, killed processes, a full disk, a file put in its place.

Everything here is done to real files by real processes, as a hill in the rain would do it.
"""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest
from draws import seeded
from seeds import few_first

from sunsched.errors import WriteRefused
from sunsched.folder.log.file import split_torn
from sunsched.folder.log.log import note_events, read_log
from sunsched.folder.read import read_day

# Notes events for ever, or so many, and says each number once it is on the disk.
WRITER = """
import sys
from pathlib import Path
from sunsched.folder.read import read_day
from sunsched.folder.log.log import note_events

folder, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
day = read_day(folder)
for turn in range(count):
    cells = {"event": "add", "at": "09:00", "id": f"{name}{turn}", "description": name * 80,
             "size": "insert", "look": "N", "shoot_min": "10"}
    if turn % 50:
        cells = {"event": "late", "at": "09:00", "value": str(1 + turn % 700)}
    _, (event,) = note_events(folder, day, lambda log: [cells])
    print(event.number, flush=True)
"""
# Takes hold of the log and never lets go.
HOLDER = """
import sys
import time
from pathlib import Path
from sunsched.folder.store.shared import append_lines
from sunsched.folder.log.file import split_torn


def more(content):
    print("held", flush=True)
    time.sleep(600)
    return b""


path = Path(sys.argv[1])
append_lines(path, path.with_name("aside"), split_torn, more)
"""
# Runs one command on a file system of its own with so many bytes.
SMALL_DISK = 'mount -t tmpfs -o size=64k tmpfs "$1" && cp -r "$2/." "$1" && shift 2 && exec "$@"'
FILLER = """
import sys
from pathlib import Path
from sunsched.folder.read import read_day
from sunsched.folder.log.log import note_events, read_log
from sunsched.errors import WriteRefused

folder = Path(sys.argv[1])
day = read_day(folder)
noted = []
for turn in range(200):
    cells = {"event": "add", "at": "09:00", "id": f"n{turn}", "description": "x" * 450,
             "size": "insert", "look": "N", "shoot_min": "10"}
    try:
        noted += note_events(folder, day, lambda log: [cells])[1]
    except WriteRefused as refused:
        print(refused)
        break
log = read_log(folder, day)
assert log.events == tuple(noted), (len(log.events), len(noted))
assert log.warnings == ()
(folder / "shots.bak").unlink()
assert note_events(folder, day, lambda log: [cells])[1][0].number == len(noted) + 1
print("room again")
"""


@pytest.fixture
def folder(make_folder):
    """Give a day folder with one shot."""
    return make_folder()


@pytest.fixture
def start():
    """Give a function that starts a process of ours, which does not outlive the test."""
    started: list[subprocess.Popen[str]] = []

    def call(code, *words):
        command = [sys.executable, "-c", code, *map(str, words)]
        started.append(subprocess.Popen(command, stdout=subprocess.PIPE, text=True))
        return started[-1]

    yield call
    for process in started:
        process.kill()
        process.wait()
        if process.stdout is not None:
            process.stdout.close()


def late(folder, minutes=5):
    """Note some lost minutes from this process."""
    cells = {"event": "late", "at": "09:00", "value": str(minutes)}
    return note_events(folder, read_day(folder), lambda _: [cells])[1][0]


def test_two_writers_at_once(folder, start):
    """Fifty events from each of two processes: all there, numbered through, none torn."""
    writers = [start(WRITER, folder, name, 50) for name in ("a", "b")]
    said = [writer.communicate()[0].split() for writer in writers]
    assert [writer.returncode for writer in writers] == [0, 0]
    log = read_log(folder, read_day(folder))
    assert [event.number for event in log.events] == list(range(1, 101))
    assert sorted(int(number) for one in said for number in one) == list(range(1, 101))
    assert {event.subject for event in log.events if event.subject} == {"a0", "b0"}
    assert log.warnings == ()


@pytest.mark.parametrize("turns", few_first((4, 12), 1))
def test_killed_writer_loses_nothing_it_said(folder, start, turns):
    """Killed at random moments: every acknowledged event is there, and the next one fits."""
    chance = seeded(6)
    day = read_day(folder)
    for turn in range(turns):
        writer = start(WRITER, folder, f"k{turn}x", 100_000)
        assert writer.stdout is not None
        last = int(writer.stdout.readline())
        time.sleep(chance.uniform(0, 0.05))
        writer.kill()
        rest = writer.communicate()[0].split("\n")
        whole = [int(number) for number in rest[:-1]]
        last = max([last, *whole])
        log = read_log(folder, day)
        # One more may be on the disk than could be said.
        assert last <= len(log.events) <= last + 1
        assert late(folder).number == len(log.events) + 1


def test_writer_killed_while_it_holds_the_log_keeps_nobody_out(folder, start):
    """The lock dies with its holder: no other process waits for a dead one."""
    holder = start(HOLDER, folder / "log.csv")
    assert holder.stdout is not None
    assert holder.stdout.readline() == "held\n"
    waiting = start(WRITER, folder, "w", 1)
    time.sleep(1.0)
    assert waiting.poll() is None  # it waits for the holder
    holder.kill()
    holder.communicate()
    assert waiting.communicate(timeout=60)[0] == "1\n"


def test_full_disk_refuses_and_keeps_what_was(folder, tmp_path):
    """On a file system of 64 KiB: refused when full, whole before and after, room again later."""
    (folder / "shots.bak").write_bytes(b"x" * 20_000)
    small = tmp_path / "small"
    small.mkdir()
    mounted = ["unshare", "-m", "sh", "-c", SMALL_DISK, "sh", small, folder]
    done = subprocess.run(
        [*mounted, sys.executable, "-c", FILLER, small],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode and ("unshare" in done.stderr or "mount" in done.stderr):
        pytest.skip("no small file system can be mounted here")
    assert done.stderr == ""
    assert done.stdout == "`log.csv` cannot be written (no space left on device)\nroom again\n"


def test_write_that_ends_half_way_is_taken_back(folder, monkeypatch):
    """A disk that takes only half of a line leaves none of it."""
    late(folder)
    before = (folder / "log.csv").read_bytes()
    write = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: write(handle, data[: len(data) // 2]))
    with pytest.raises(WriteRefused, match=r"`log.csv` cannot be written \(no space left"):
        late(folder)
    assert (folder / "log.csv").read_bytes() == before


@pytest.mark.parametrize("first", [True, False])
def test_disk_that_fails_to_keep_it_refuses(folder, monkeypatch, first):
    """What could not be brought to the disk is not said to be noted, and is not in the file."""
    if not first:
        late(folder)
    names = sorted(path.name for path in folder.iterdir())
    before = None if first else (folder / "log.csv").read_bytes()

    def fail(_):
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(WriteRefused, match=r"`log.csv` cannot be written \(input/output error\)"):
        late(folder)
    assert sorted(path.name for path in folder.iterdir()) == names
    assert before is None or (folder / "log.csv").read_bytes() == before


def test_each_event_is_flushed_before_it_is_said(folder, monkeypatch):
    """The file is on the disk when noting returns, and the folder too when the file is new."""
    flushed = []
    fsync = os.fsync

    def watched(handle):
        flushed.append(str(Path(f"/proc/self/fd/{handle}").readlink()))
        fsync(handle)

    monkeypatch.setattr(os, "fsync", watched)
    late(folder)
    late(folder)
    log = str(folder / "log.csv")
    assert flushed == [log, str(folder), log]


def test_file_put_in_its_place_meanwhile_gets_the_event(folder):
    """An editor that saves by renaming does not make an event vanish with the old file."""
    late(folder)
    log, turns = folder / "log.csv", []

    def wanted(found):
        turns.append(len(found.events))
        if len(turns) == 1:
            shutil.copy(log, folder / "edited")
            (folder / "edited").rename(log)
        return [{"event": "late", "at": "09:00", "value": "7"}]

    note_events(folder, read_day(folder), wanted)
    assert turns == [1, 1]
    assert [event.minutes for event in read_log(folder, read_day(folder)).events] == [5, 7]


def test_link_out_of_the_folder_is_not_followed(folder, tmp_path):
    """A log that is a link to somewhere else is neither read nor written."""
    outside = tmp_path / "outside.csv"
    outside.write_bytes(b"")
    (folder / "log.csv").symlink_to(outside)
    with pytest.raises(WriteRefused, match="leads out of the day folder"):
        late(folder)
    assert outside.read_bytes() == b""


def test_folder_under_its_name_is_refused(folder):
    """A folder called log.csv is told, not written into."""
    (folder / "log.csv").mkdir()
    with pytest.raises(WriteRefused, match=r"`log.csv` is not a file"):
        late(folder)


def test_torn_rest_survives_a_full_disk(folder, monkeypatch):
    """The cut line is in its own file before it leaves the log, even if the event is refused."""
    late(folder)
    log = folder / "log.csv"
    whole, _ = split_torn(log.read_bytes())
    log.write_bytes(whole + b"2,2027")
    write = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: write(handle, data[:1]))
    with pytest.raises(WriteRefused):
        late(folder)
    assert log.read_bytes() == whole
    assert Path(folder / "log-torn.csv").read_bytes() == b"2,2027\n"
