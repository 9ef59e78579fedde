"""Readers of files: a few hundred mutated inputs each time, thousands by `benchmarks.soak.fuzz`."""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from benchmarks.soak import fuzz

from hostile import fed
from hostile.costly import COSTLY
from hostile.fed import READERS, Fed, feed, inputs

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="clocks and limits of POSIX")
UGLY = Path(__file__).parent / "ugly"
# A seed per run of the suite would find more, and nobody could find it again.
SEED, COUNT = 20270609, 150

DIGEST = """
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
import hashlib
from hostile.fed import feed, inputs
told = hashlib.sha256()
with TemporaryDirectory() as made:
    for name, number, raw in inputs(5, 20, ["day", "shots", "shots.xlsx", "log", "plan", "order"]):
        told.update(repr((name, number, raw, feed(name, raw, Path(made)))).encode())
sys.stdout.write(told.hexdigest())
"""


def test_mutated_files_are_answered_or_refused(tmp_path):
    """No traceback, no standing still, little memory, and nothing beside the folder."""
    wrong = []
    for name, number, raw in inputs(SEED, COUNT):
        _, complaint = feed(name, raw, tmp_path)
        if complaint:
            wrong.append(f"{name}, number {number}: {complaint}")
    assert wrong == []


@pytest.mark.parametrize("name", sorted(READERS))
def test_the_whole_file_reads(name, tmp_path):
    """What is mutated is a good file, or nothing behind the first word would ever be reached."""
    answer, complaint = feed(name, READERS[name].raw(), tmp_path)
    assert complaint == ""
    assert not answer.startswith("refused")
    assert "(expected" not in answer


@pytest.mark.parametrize(
    "path", sorted(UGLY.rglob("*.*")), ids=lambda path: f"{path.parent.name}-{path.stem}"
)
def test_ugly_files_are_answered_or_refused(path, tmp_path):
    """Files that have tripped up a reader, each in the folder of its reader."""
    _, complaint = feed(path.parent.name, path.read_bytes(), tmp_path)
    assert complaint == ""


def test_costly_files_are_refused_for_little():
    """Each within ten seconds of work and a gibibyte, in a process that may have no more."""
    words = [sys.executable, "-m", "hostile.costly", *COSTLY]
    tests = Path(__file__).parents[1]
    ran = subprocess.run(words, cwd=tests, capture_output=True, text=True, check=True)
    rows = [json.loads(line) for line in ran.stdout.splitlines()]
    assert [row["name"] for row in rows] == [*COSTLY]
    assert [row for row in rows if row["s"] > 10 or row["mib"] > 1024] == []
    # Each is refused for its size, not because something else in it is wrong.
    said = re.compile(r"at most|more than [\d,]+ cells|document type|so much above|not an event")
    assert [row for row in rows if not said.search(row["told"])] == []


def test_what_is_wrong_is_found(tmp_path, monkeypatch):
    """A traceback, a reader that stands still, and a file beside the folder are each told."""

    def fails(_folder, _raw):
        raise ZeroDivisionError

    def stands_still(_folder, _raw):
        while True:
            pass

    def strays(folder, _raw):
        (folder.parent / "stray").write_bytes(b"")

    monkeypatch.setattr(fed, "MAX_S", 0.05)
    found = []
    for read in (fails, stands_still, strays):
        monkeypatch.setitem(READERS, "odd", Fed(kind="bytes", raw=bytes, read=read))
        found.append(feed("odd", b"", tmp_path)[1])
        assert list(tmp_path.iterdir()) == []
    assert "ZeroDivisionError" in found[0]
    assert "StandsStill" in found[1]
    assert found[2] == "written outside the folder: ['day', 'stray']"
    monkeypatch.setattr(fed, "MAX_S", 10)
    monkeypatch.setattr(fed, "MAX_KIB", -1)
    assert feed("sky", b"", tmp_path)[1].endswith("MiB of memory")


def test_one_seed_draws_one_set_of_inputs_anywhere(tmp_path):
    """Whatever the hash seed, zone, locale and folder: the inputs and all that is said of them."""
    tests = Path(__file__).parents[1]
    digests = set()
    for seed, zone, locale, folder in (
        ("1", "Pacific/Kiritimati", "C", tmp_path),
        ("2", "America/St_Johns", "tr_TR.UTF-8", tests),
    ):
        env = os.environ | {
            "PYTHONHASHSEED": seed,
            "TZ": zone,
            "LC_ALL": locale,
            "PYTHONPATH": str(tests),
        }
        words = [sys.executable, "-c", DIGEST]
        ran = subprocess.run(words, env=env, cwd=folder, capture_output=True, text=True, check=True)
        digests.add(ran.stdout)
    assert len(digests) == 1
    assert len(digests.pop()) == hashlib.sha256().digest_size * 2


def test_the_command_tells_figures_and_feeds_one_again(capsys):
    """Hours of it end with a table; a number of it is fed again alone."""
    with pytest.raises(SystemExit) as ended:
        fuzz.main(["--inputs", "6", "--reader", "sky"])
    assert ended.value.code == 0
    assert "6 inputs, 0 wrong" in capsys.readouterr().out
    with pytest.raises(SystemExit):
        fuzz.main(["--only", "3", "--reader", "sky"])
    told = capsys.readouterr().out
    assert "1 inputs, 0 wrong" in told
    assert "| sky | 1 | 0 |" in told
