"""Sheets drawn in a second process: the same bytes as in one, whatever becomes of that process."""

import subprocess
import sys
from pathlib import Path

import pytest

# Runs the command as a new process does, and tells on stderr where it drew.
RUN = """
import os, signal, sys, time
import sunsched.cli.shared.render_process as render_process
import sunsched.show.sheets.sheet as sheets

main_process, make = os.getpid(), sheets.sheet_bytes
def sheet_bytes(sheet, kind):
    print("drawn", "here" if os.getpid() == main_process else "beside", file=sys.stderr, flush=True)
    return make(sheet, kind)
sheets.sheet_bytes = sheet_bytes
time.time = lambda: 1_800_000_000.0  # the minute stands on the sheet
{fault}
from sunsched.cli import main
main()
"""
KILLED = """
def warm_up(kind):
    os.kill(os.getpid(), signal.SIGKILL)
sheets.warm_up = warm_up
"""
REFUSED = """
import os
def fork():
    raise OSError("no more processes")
os.fork = fork
"""
THREADED = """
import threading
threading.Thread(target=time.sleep, args=(30,), daemon=True).start()
"""
NO_ROOM = """
from sunsched.errors import WriteRefused
def sheet_bytes(sheet, kind):
    place = "here" if os.getpid() == main_process else "beside"
    raise WriteRefused(f"no room {place}\\n  hint: more room")
sheets.sheet_bytes = sheet_bytes
"""
DEFECT = """
make_whole = sheets.sheet_bytes
def sheet_bytes(sheet, kind):
    if os.getpid() != main_process:
        raise RuntimeError("only beside")
    return make_whole(sheet, kind)
sheets.sheet_bytes = sheet_bytes
"""
NO_PIPES = """
import multiprocessing.connection as connection
def pipe(duplex=True):
    raise OSError("no more files")
connection.Pipe = pipe
"""
INTERRUPTED = """
loads = sheets.warm_up
def warm_up(kind):
    os.kill(os.getpid(), signal.SIGINT)
    loads(kind)
sheets.warm_up = warm_up
"""
LATE = """
def warm_up(kind):
    time.sleep(3)
    print("loaded", file=sys.stderr, flush=True)
sheets.warm_up = warm_up
"""
# A process left behind would hold stderr open, and this run would never end.
GONE = """
import sunsched.cli.commands.sheet as command
command.read_asked = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
"""
linux = pytest.mark.skipif(sys.platform != "linux", reason="elsewhere a fork is not safe")


def drawn(tmp_path: Path, kind: str, fault: str = "", *more: str) -> tuple[str, bytes]:
    """Give what a new process said, and the sheet that it wrote."""
    file = tmp_path / f"sheet.{kind}"
    done = subprocess.run(
        [sys.executable, "-c", RUN.format(fault=fault), "sheet", *more, str(file)],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=60,
    )
    return done.stderr, file.read_bytes() if file.exists() else b""


@pytest.fixture(scope="module")
def day(tmp_path_factory) -> str:
    """Give a short day with a saved plan."""
    folder = tmp_path_factory.mktemp("saved") / "day"
    command = "import sunsched.cli; sunsched.cli.main()"
    for words in (
        ("new", str(folder), "--date", "2027-05-20"),
        ("plan", str(folder), "--for", "planned", "--save"),
    ):
        subprocess.run([sys.executable, "-c", command, *words], check=True)
    return str(folder)


@pytest.fixture(scope="module")
def drawn_here(day, tmp_path_factory) -> bytes:
    """Give the sheet of the day as this process draws it: with a thread there is no second one."""
    folder = tmp_path_factory.mktemp("here")
    said, file = drawn(folder, "svg", THREADED, day)
    assert said == f"drawn here\n{folder / 'sheet.svg'} written\n"
    assert file != b""
    return file


@linux
@pytest.mark.parametrize(
    ("fault", "place"),
    [
        ("", "beside"),
        (KILLED, "here"),
        pytest.param(INTERRUPTED, "beside", marks=pytest.mark.slow),
        pytest.param(REFUSED, "here", marks=pytest.mark.slow),
        pytest.param(NO_PIPES, "here", marks=pytest.mark.slow),
        pytest.param(DEFECT, "here", marks=pytest.mark.slow),
    ],
    ids=["", "killed", "interrupted", "refused", "no pipes", "defect"],
)
def test_a_second_process_draws_the_same_bytes(day, drawn_here, tmp_path, fault, place):
    """A sheet is made beside; with that process killed or refused it is made here."""
    said, file = drawn(tmp_path, "svg", fault, day)
    assert said == f"drawn {place}\n{tmp_path / 'sheet.svg'} written\n"
    assert file == drawn_here


@pytest.mark.slow
@linux
def test_what_is_refused_is_told_as_in_one_process(day, tmp_path):
    """An error of the process beside is told in two lines, and no file is written."""
    said, file = drawn(tmp_path, "pdf", NO_ROOM, day)
    assert said.splitlines() == ["no room beside", "  hint: more room"]
    assert file == b""


@pytest.mark.slow
@linux
def test_the_process_beside_ends_with_this_one(tmp_path):
    """A day at fault is told before the process has loaded, and a killed command takes it along."""
    said, _ = drawn(tmp_path, "svg", LATE, str(tmp_path / "none"))
    assert said.endswith(": no such folder (expected a day folder)\nloaded\n")
    said, _ = drawn(tmp_path, "svg", GONE, str(tmp_path / "none"))
    assert said == ""


def test_what_draws_does_without_the_solver():
    """Compiled functions take as long to load as matplotlib does, and no sheet is drawn by them."""
    code = (
        "import sys; from sunsched.show.sheets.sheet import load_shared, warm_up; load_shared();"
        "warm_up('pdf'); warm_up('html'); sys.exit('numba' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], timeout=60).returncode == 0
