"""Decisions are kept and lifted whole or not at all, whoever else does so meanwhile."""

from __future__ import annotations

import shutil
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from sunsched.day.decided import decision_texts
from sunsched.day.demand import CallAt, Cut, First, KeepOrder, MealAt, RollAt, RollBefore
from sunsched.errors import DayImpossible, FolderError, SunschedError, WriteRefused
from sunsched.folder.decisions.file import DECISIONS_FILE
from sunsched.folder.keep import keep_decision, lift_decision
from sunsched.folder.read import read_day

HEAD = "# What was decided for the day. A line taken out is a decision lifted.\n"
DATA = Path(__file__).parents[3] / "data"
# Keeps a decision about each of some shots, and says so once it is on the disk.
WRITER = """
import sys
from datetime import timedelta
from pathlib import Path
from sunsched.day.demand import RollAt
from sunsched.folder.keep import keep_decision, lift_decision
from sunsched.folder.read import read_folder

folder, ids, turns = Path(sys.argv[1]), sys.argv[2].split(","), int(sys.argv[3])
day = read_folder(folder, decided=False).day
for turn in range(turns):
    for place, shot in enumerate(ids):
        when = day.hours.crew_call + timedelta(minutes=60 + 30 * place + turn)
        keep_decision(folder, RollAt(shot=shot, time=when))
        print(shot, flush=True)
if "lift" in sys.argv:
    for one in read_folder(folder).day.decisions:
        if one.shot == ids[0]:
            lift_decision(folder, one)
"""


@pytest.fixture
def folder(tmp_path):
    """Give a copy of a demo day, without saved plans."""
    made = tmp_path / "last-lamp"
    shutil.copytree(DATA / "last-lamp", made, ignore=shutil.ignore_patterns("plans"))
    return made


def at(folder, clock):
    """Give a clock time of the day in UTC; Tunis is an hour ahead."""
    hour, minute = (int(part) for part in clock.split(":"))
    return read_day(folder).hours.crew_call.replace(hour=hour - 1, minute=minute)


def written(folder):
    """Give the text of the file."""
    return (folder / "decisions.csv").read_text(encoding="utf-8")


def test_what_is_kept_is_read_again(folder):
    """In the order in which it was kept; the day that comes back obeys it."""
    seven, meal = RollAt(shot="7", time=at(folder, "13:00")), MealAt(time=at(folder, "12:00"))
    order = KeepOrder(shots=("4", "7", "9"))
    assert keep_decision(folder, seven, meal).gone == ()
    kept = keep_decision(folder, order)
    assert kept.day == read_day(folder)
    assert kept.day.decisions == (seven, meal, order)
    rows = "decision,subject,time\nat,7,13:00\nmeal,,12:00\nkeep-order,4 7 9,\n"
    assert written(folder) == HEAD + rows


def test_another_about_the_same_takes_its_place(folder):
    """A new time for a shot, the same shots in another order; the same again changes nothing."""
    keep_decision(folder, RollAt(shot="7", time=at(folder, "13:00")), Cut(shot="3"))
    keep_decision(folder, KeepOrder(shots=("4", "9")))
    kept = keep_decision(folder, RollAt(shot="7", time=at(folder, "13:30")))
    assert decision_texts(kept.day)[0] == "7 rolls at 13:30"
    assert kept.gone == (RollAt(shot="7", time=at(folder, "13:00")),)
    assert keep_decision(folder, KeepOrder(shots=("9", "4"))).gone == (KeepOrder(shots=("4", "9")),)
    rows = "decision,subject,time\nat,7,13:30\ncut,3,\nkeep-order,9 4,\n"
    assert written(folder) == HEAD + rows
    before = (folder / "decisions.csv").stat()
    assert keep_decision(folder, Cut(shot="3")).gone == ()
    assert (folder / "decisions.csv").stat() == before


def test_what_others_wrote_beside_it_stays(folder):
    """Comments, other columns and their cells, separators, line ends and the mark at the start."""
    text = (
        '\ufeff# on the hill\r\nwho;decision;subject;time\r\n"AD; and Bo";at;7;13:00\r\n'
        "\r\n# light goes\r\nDP;cut;3;\r\n"
    )
    path = folder / "decisions.csv"
    path.write_bytes(text.encode())
    keep_decision(folder, RollAt(shot="7", time=at(folder, "14:00")))
    keep_decision(folder, MealAt(time=at(folder, "12:00")))
    lift_decision(folder, Cut(shot="3"))
    assert path.read_bytes().decode() == (
        '\ufeff# on the hill\r\nwho;decision;subject;time\r\n"AD; and Bo";at;7;14:00\r\n'
        "\r\n# light goes\r\n;meal;;12:00\r\n"
    )


def test_a_decision_lifted_is_gone(folder):
    """Its line goes, and the day is what it was; what does not stand cannot be lifted."""
    plain, seven = read_day(folder), RollAt(shot="7", time=at(folder, "13:00"))
    keep_decision(folder, seven)
    assert lift_decision(folder, seven).day == plain
    assert written(folder) == f"{HEAD}decision,subject,time\n"
    with pytest.raises(SunschedError, match="no such decision: 7 rolls at 13:00"):
        lift_decision(folder, seven)


@pytest.mark.parametrize(
    ("demand", "told"),
    [
        (
            Cut(shot="7"),
            (
                "7 rolls at 13:00, and yet 7 is cut\n"
                "  hint: decisions.csv:3 says: 7 rolls at 13:00; lift it first"
            ),
        ),
        (KeepOrder(shots=("9", "4", "8")), "shots that wait for each other"),
        (KeepOrder(shots=("4", "3")), "3 is cut\n  hint: decisions.csv:4 says: 3 is cut"),
    ],
)
def test_a_contradiction_is_refused_by_naming_both(folder, demand, told):
    """Nothing is written."""
    keep_decision(folder, RollAt(shot="7", time=at(folder, "13:00")), Cut(shot="3"))
    keep_decision(folder, KeepOrder(shots=("4", "9")))
    before = written(folder)
    with pytest.raises(DayImpossible) as refused:
        keep_decision(folder, MealAt(time=at(folder, "12:00")), demand)
    assert told in str(refused.value)
    assert written(folder) == before


def test_what_no_day_can_be_told_is_refused(folder):
    """By its kind, and with those that there are; no file is left behind."""
    early = RollBefore(shot="7", time=at(folder, "13:00"))
    for demand in (early, First(shot="7")):
        with pytest.raises(SunschedError, match="before, after or first is priced and cannot be"):
            keep_decision(folder, demand)
    other = CallAt(time=at(folder, "20:00"))
    with pytest.raises(DayImpossible, match="it can be from 19:30-1 to before the wrap at 19:15"):
        keep_decision(folder, other)
    assert not (folder / "decisions.csv").exists()


def test_a_moment_that_its_clock_time_does_not_mean_is_refused(folder):
    """As a pin on the day after, which would be read as one of the day."""
    late = RollAt(shot="7", time=at(folder, "13:00").replace(day=16))
    with pytest.raises(SunschedError, match="cannot be written as a clock time"):
        keep_decision(folder, late)


def test_a_file_at_fault_is_not_written(folder):
    """Its faults are told instead."""
    path = folder / "decisions.csv"
    path.write_text("decision,subject,time\ncutt,3,\n", encoding="utf-8")
    for change in (keep_decision, lift_decision):
        with pytest.raises(FolderError, match="not a decision: `cutt`"):
            change(folder, Cut(shot="3"))
    assert written(folder) == "decision,subject,time\ncutt,3,\n"


def test_a_file_that_cannot_be_written_is_told(folder):
    """A folder in its place, or a link that leads out of the day."""
    (folder / "decisions.csv").symlink_to(folder.parent / "elsewhere.csv")
    with pytest.raises(WriteRefused, match="leads out of the day folder"):
        keep_decision(folder, Cut(shot="3"))
    assert not (folder.parent / "elsewhere.csv").exists()


def test_two_writers_at_once_lose_nothing(folder):
    """Each keeps what the other has kept, changed and lifted."""
    halves = ("1,2,3,4,5,6,7,8", "9,10,11,12,13,14,15,16")
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, str(folder), ids, "2", "lift"], stdout=subprocess.DEVNULL
        )
        for ids in halves
    ]
    assert [one.wait() for one in writers] == [0, 0]
    day = read_day(folder)
    pins = [one for one in day.decisions if isinstance(one, RollAt)]
    assert sorted(int(one.shot) for one in pins) == [2, 3, 4, 5, 6, 7, 8, *range(10, 17)]
    minutes = {(one.time - day.hours.crew_call).seconds // 60 % 30 for one in pins}
    assert minutes == {1}
    assert sorted(path.name for path in folder.iterdir() if path.name.startswith(".")) == []


def test_killed_in_the_middle_what_was_said_stands(folder):
    """What a killed writer said it had kept is there, the file is whole, and others go on."""
    ids = ",".join(str(one) for one in range(1, 17))
    command = [sys.executable, "-c", WRITER, str(folder), ids, "1000"]
    for pause_s in (0.03, 0.1, 0.3):
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
            assert writer.stdout is not None
            said = {writer.stdout.readline().strip()}
            time.sleep(pause_s)
            writer.kill()
            said |= set(writer.stdout.read().split())
        pins = {one.shot for one in read_day(folder).decisions if isinstance(one, RollAt)}
        assert said <= pins
    keep_decision(folder, MealAt(time=at(folder, "12:00")))
    assert "the meal starts at 12:00" in decision_texts(read_day(folder))


@pytest.mark.skipif(sys.platform == "win32", reason="holds the file as this system does")
def test_who_writes_waits_for_who_holds_the_file(tmp_path):
    """Whoever else holds the file, be it for one line, is waited for and then read."""
    import fcntl

    folder = Path(shutil.copytree(DATA / "last-lamp", tmp_path / "day"))
    path = folder / DECISIONS_FILE
    with path.open("a", encoding="utf-8") as held, ThreadPoolExecutor(1) as other:
        fcntl.flock(held, fcntl.LOCK_EX)
        kept = other.submit(keep_decision, folder, Cut(shot="9"))
        with pytest.raises(TimeoutError):
            kept.result(0.5)
        held.write("decision,subject,time\ncut,8,\n")
        held.flush()
        fcntl.flock(held, fcntl.LOCK_UN)
        kept.result(20)
    assert set(decision_texts(read_day(folder))) == {"8 is cut", "9 is cut"}
