"""What `new` asks on a terminal: each question, answers that cannot be read, and no answer."""

from __future__ import annotations

import io
import os
import pty
import select
import sys
import time
import tomllib

import pytest

PLACE, DATE, CALL, WRAP = "Where is it shot?", "Which date is the day?", "crew called?", "is wrap?"


class _Terminal(io.StringIO):
    """Answers typed ahead; a text that ends is Ctrl-D."""

    def isatty(self):
        return True


@pytest.fixture
def answer(monkeypatch, tmp_path, run):
    """Give a function that runs `new my-day` and answers its questions."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sunsched.cli.shared.asking.is_terminal", lambda: True)
    monkeypatch.setattr("sunsched.cli.shared.new_day.is_terminal", lambda: True)

    def give(*words, answers):
        monkeypatch.setattr(sys, "stdin", _Terminal("".join(f"{one}\n" for one in answers)))
        return run("new", "my-day", *words)

    return give


def _written(folder):
    settings = tomllib.loads((folder / "my-day/day.toml").read_text(encoding="utf-8"))
    return (
        settings["date"].isoformat(),
        settings["place"]["name"],
        settings["hours"]["crew_call"],
        settings["hours"]["wrap"],
    )


def test_everything_is_asked_and_written(answer, tmp_path):
    """Date, place, call and wrap, in this order."""
    ran = answer(answers=["2027-11-03", "36.5, -10.2", "7", "18:30"])
    assert ran.code == 0
    asked = [ran.out.index(one) for one in (DATE, PLACE, CALL, WRAP)]
    assert asked == sorted(asked)
    date, _, call, wrap = _written(tmp_path)
    assert (date, call, wrap) == ("2027-11-03", "07:00", "18:30")


def test_enter_takes_what_is_offered(answer, tmp_path):
    """Lisbon, and the hours between sunrise and sunset that the question shows."""
    ran = answer(answers=["2027-11-03", "", "", ""])
    assert ran.code == 0
    _, place, call, wrap = _written(tmp_path)
    assert place == "Lisbon"
    assert f"[{call}]" in ran.out
    assert f"[{wrap}]" in ran.out


def test_what_is_given_is_not_asked(answer, tmp_path):
    """Only the date is missing."""
    ran = answer(*["--at", "Lisbon", "--call", "07:00", "--wrap", "18:00"], answers=["2027-11-03"])
    assert ran.code == 0
    assert all(one not in ran.out for one in (PLACE, CALL, WRAP))
    assert _written(tmp_path)[2:] == ("07:00", "18:00")


def test_wrong_answers_are_told_and_asked_again(answer, tmp_path):
    """Each with what to type; the right answer then counts."""
    answers = [
        *("3/11/2027", "2027-02-30", "2027-11-03"),
        *("Xyzzyqq", "95, 10", "Lisbon"),
        *("soon", "25:00", "7:00"),
        *("7:00", "18:00"),
    ]
    ran = answer(answers=answers)
    assert ran.code == 0
    assert [ran.out.count(one) for one in (DATE, PLACE, CALL, WRAP)] == [3, 3, 3, 2]
    for told in (
        "not a date: `3/11/2027` (expected a date such as 2027-06-09",
        "not a date: `2027-02-30`",
        "no such town in the gazetteer: `Xyzzyqq` (expected a town such as `Lisbon`",
        "latitude comes first: did you mean `10, 95`?",
        "not a clock time: `soon` (expected a clock time from 00:00 to 23:59, such as 06:00)",
        "not a clock time: `25:00`",
        "the call and the wrap are one: `7:00` (expected another time, such as 19:00)",
    ):
        assert told in ran.err
    assert _written(tmp_path) == ("2027-11-03", "Lisbon", "07:00", "18:00")


def test_one_of_several_places_is_chosen_by_its_number(answer):
    """Numbers past the list are asked again."""
    fixed = ("--date", "2027-11-03", "--call", "07:00", "--wrap", "18:00")
    ran = answer("--at", "Springfield", *fixed, answers=["0", "99", "two", "2"])
    assert ran.code == 0
    assert ran.out.count("Which one?") == 4
    assert ran.err.count("(expected a whole number from 1 to ") == 3
    second = next(line for line in ran.out.splitlines() if line.lstrip().startswith("2  "))
    assert second.split("2  ", 1)[1].split(", ")[1] in ran.out.split("place  ")[1]


def test_wrong_options_are_told_before_anything_is_asked(answer, tmp_path):
    """Nobody answers four questions to be refused."""
    ran = answer("--wrap", "soon", answers=[])
    assert ran.code == 2
    assert ran.out == ""
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("answered", range(4))
def test_no_answer_writes_nothing(answered, answer, tmp_path):
    """Ctrl-D at any of the questions."""
    ran = answer(answers=["2027-11-03", "Lisbon", "07:00", "18:00"][:answered])
    assert ran.code == 1
    assert ran.err.endswith("ended; nothing more was written\n")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="terminals of Unix")
@pytest.mark.parametrize("key", [b"\x03", b"\x04"], ids=["Ctrl-C", "Ctrl-D"])
def test_keys_of_a_real_terminal_end_it(key, tmp_path):
    """On a terminal of its own: the question stands there, the key ends it, nothing is written."""
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(tmp_path)
        code = "from sunsched.cli import main; main()"
        os.execv(sys.executable, [sys.executable, "-c", code, "new", "my-day"])  # noqa: S606  no shell is wanted
    shown, sent, until = b"", False, time.monotonic() + 60
    while time.monotonic() < until:
        if not select.select([terminal], [], [], 0.5)[0]:
            continue
        try:
            part = os.read(terminal, 4096)
        except OSError:  # the other end is closed
            break
        if not part:
            break
        shown += part
        if not sent and shown.rstrip().endswith(b":"):
            os.write(terminal, key)
            sent = True
    # A terminal that closes first would hang up on the program.
    ended = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    os.close(terminal)
    assert sent, shown
    assert ended in (1, 130), shown
    assert b"Which date is the day?" in shown
    assert b"Traceback" not in shown
    assert list(tmp_path.iterdir()) == []
