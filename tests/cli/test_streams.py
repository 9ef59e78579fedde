"""What reaches a terminal, and what is said where it takes no more."""

import io
import json
import subprocess
import sys

import pytest

from sunsched.cli.terminal.streams import Plain, escaped
from sunsched.folder.log.log import read_log
from sunsched.folder.read import read_day

RUN = (sys.executable, "-c", "from sunsched.cli import main; main()")
FULL = "/dev/full"
needs_full = pytest.mark.skipif(sys.platform != "linux", reason="a device of Linux")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("\x1b[2J\x07", r"\u001b[2J\u0007"),  # ECMA-48: clear the screen, ring the bell
        ("\x9b31m", r"\u009b31m"),  # the same introducer in one sign
        ("a\rb\x7f", r"a\u000db\u007f"),
        ("\u202ecod.exe", r"\u202ecod.exe"),  # Unicode's annex 9: override, from memory
        ("\u2066x\u2067y\u200f", r"\u2066x\u2067y\u200f"),
        ("line\n\ttab é × 日", "line\n\ttab é × 日"),
        ("\u2068אב\u2069 1", "\u2068אב\u2069 1"),  # a pair turns nothing around it
        ("\u2069a\u2068", r"\u2069a\u2068"),
        ("\u2068a\n\u2069", "\\u2068a\n\\u2069"),
    ],
)
def test_signs_that_command_a_terminal_are_shown(text, shown):
    """Controls and marks of direction come out as letters; all else as it is."""
    assert escaped(text) == shown


def test_json_reads_as_it_was():
    """Escaped as JSON escapes, so that programs read the same text."""
    value = {"id": "\u202e7\x9b\u2066"}
    assert json.loads(escaped(json.dumps(value, ensure_ascii=False))) == value


def test_nothing_raw_reaches_the_terminal(run, make_folder):
    """An id, a title and a description with escapes: no command prints one of them raw."""
    evil = "\x9b2J\u202e"
    shots = f"id,description,size,look,shoot_min\nA{evil},gate{evil},wide,N,10\n"
    folder = make_folder(shots=shots)
    for words in (["check", folder], ["windows", folder], ["check", folder, "--json"]):
        ran = run(*words)
        assert "\x9b" not in ran.out + ran.err
        assert "\u202e" not in ran.out + ran.err
        assert r"\u202e" in ran.out + ran.err
    ran = run("check", f"no-such{evil}")
    assert r"\u202e" in ran.err
    assert "\u202e" not in ran.err


@needs_full
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("check", "DAY"), ""),
        (("log", "DAY", "late", "5", "--at", "09:00"), "the event is noted, and yet:\n"),
        (("--help",), ""),
    ],
)
def test_a_full_stdout_is_told(make_folder, words, said):
    """One line says why nothing is printed, and another what is done all the same."""
    folder = make_folder()
    with open(FULL, "w") as full:  # noqa: PTH123  a device
        done = subprocess.run(
            [*RUN, *(word.replace("DAY", str(folder)) for word in words)],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
        )
    assert done.returncode == 1
    assert done.stderr == f"{said}the answer cannot be printed (no space left on device)\n"
    assert len(read_log(folder, read_day(folder)).events) == bool(said)


@pytest.mark.skipif(sys.platform == "win32", reason="pipes of Unix")
def test_a_closed_pipe_is_quiet(make_folder):
    """Whoever has read enough is told nothing more."""
    command = subprocess.Popen(
        [*RUN, "check", str(make_folder())],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert command.stdout is not None
    assert command.stderr is not None
    command.stdout.close()
    with command:
        assert command.stderr.read() == ""
    assert command.returncode == 1


def test_what_is_said_beside_an_answer_may_be_lost():
    """A stderr that takes nothing stops no command."""

    class Full(io.StringIO):
        def write(self, _text):
            raise OSError(28, "No space left on device")

    assert Plain(Full(), is_answer=False).write("warning") == 7


@pytest.mark.parametrize(("name", "value"), [("TERM", ""), ("COLUMNS", "40"), ("COLUMNS", "1")])
def test_poor_terminals_are_served(run, make_folder, monkeypatch, name, value):
    """Without a kind, with 40 columns and with one: the same words, wrapped elsewhere."""
    folder = make_folder()
    usual = run("check", folder)
    monkeypatch.setenv(name, value)
    poor = run("check", folder)
    assert poor.code == 0
    assert poor.out.split() == usual.out.split()
