"""Commands with hostile words and days, in this process and a few in their own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from random import Random

import pytest

from hostile import whole
from hostile.mutated import NASTY, mutated

WORDS = [word for word in NASTY if "\x00" not in word and len(word) < 6000]
# Commands that look for no plan, each with words that would be right.
QUICK = (
    ("check", "DAY"),
    ("sun", "DAY", "--every", "30"),
    ("windows", "DAY", "1"),
    ("look", "DAY", "36.2, -5.9"),
    ("skyline", "DAY", "pans", "--wall", "from 80 to 130, 20 m away, 12 m high"),
    ("log", "DAY", "cloud", "0.5", "--at", "07:20", "--until", "09:00"),
    ("log", "DAY", "rolled", "1", "--at", "06:40"),
    ("log", "DAY", "late", "15", "--at", "07:00"),
    ("new", "NEW", "--at", "36.2, -5.9", "--date", "2027-06-09"),
    ("import", "LIST", "NEW", "--at", "36.2, -5.9", "--date", "2027-06-09"),
    ("compare", "DAY", "ORDER", "9"),
    ("sheet", "DAY", "OUT.csv", "--revision", "9"),
    ("gaffer", "DAY", "9"),
    ("pace", "DAY"),
    ("price", "DAY", "9", "--at", "9:00"),
    ("replan", "DAY", "--at", "later"),
)
SEED = 20270610


@pytest.fixture
def holder(tmp_path):
    """Give a folder with a day, a list and an order in it."""
    (tmp_path / "day").mkdir()
    for name, text in whole.FILES.items():
        (tmp_path / "day" / name).write_text(text, encoding="utf-8")
    (tmp_path / "list.csv").write_text(whole.LIST, encoding="utf-8")
    (tmp_path / "order.csv").write_text(whole.ORDER, encoding="utf-8")
    return tmp_path


def drawn(number: int, holder: Path) -> list[str]:
    """Draw the words of a command, one or two of them hostile."""
    random = Random(f"{SEED} {number}")  # noqa: S311  nothing is secret
    places = {"DAY": "day", "NEW": "new", "LIST": "list.csv", "ORDER": "order.csv"}
    name, *words = random.choice(QUICK)
    words = [str(holder / places.get(one, one)) if one.isupper() else one for one in words]
    words = [str(holder / "out.csv") if one == "OUT.csv" else one for one in words]
    for _ in range(random.choice((1, 1, 2))):
        if len(words) > 1:
            words[random.randrange(1, len(words))] = random.choice(WORDS)
        else:
            words.append(random.choice(WORDS))
    if name in ("new", "import"):  # what they write is named by their words
        words[name == "import"] = str(holder / "new")
    return [name, *words]


def test_hostile_words_are_answered_or_refused(holder, run, monkeypatch):
    """No traceback, an exit code of three, and nothing written but where the command says."""
    monkeypatch.chdir(holder / "day")
    before = {path.name for path in holder.iterdir()}
    for number in range(30):
        words = drawn(number, holder)
        ran = run(*words)
        assert ran.code in (0, 1, 2), words
        assert "Traceback" not in ran.err, words
        assert ran.code == 0 or ran.err.strip(), words
        after = {path.name for path in holder.iterdir()}
        assert after - before <= {"new", "out.csv"}, words


@pytest.mark.skipif(sys.platform == "win32", reason="time zones are told by a variable")
@pytest.mark.parametrize("command", ["check", "log"])
def test_hostile_days_are_refused_by_the_whole_program(command, holder):
    """As a shell runs it: the same words at all hash seeds, in other zones and locales."""
    random = Random(f"{SEED} {command}")  # noqa: S311  nothing is secret
    raw = mutated(whole.SHOTS.encode(), "cells", random)
    (holder / "day" / "shots.csv").write_bytes(raw + b"\n1,\x1b[31mtwice\x1b[0m,,\n")
    words = [sys.executable, "-c", "from sunsched.cli import main; main()"]
    words += [command, str(holder / "day")]
    words += ["note", "wind", "--at", "07:00"] if command == "log" else []
    told = set()
    for seed, zone in (("1", "Pacific/Kiritimati"), ("2", "America/St_Johns")):
        env = os.environ | {"PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": "C"}
        ran = subprocess.run(words, env=env, capture_output=True, timeout=100, check=False)
        assert ran.returncode == 1
        assert b"shots.csv:" in ran.stderr
        assert b"Traceback" not in ran.stderr
        assert b"\x1b" not in ran.stderr
        told.add(ran.stderr)
    assert len(told) == 1
