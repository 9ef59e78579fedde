"""Ctrl-C at any moment: what is known is shown, nothing is saved unasked, nothing stands still."""

import signal
import subprocess
import sys

import pytest
from benchmarks.soak.interrupts import DATA, draw_round, run_rounds
from command_line import ctrl_c_heard

from sunsched.cli.terminal.interrupt import ENDED
from sunsched.folder.read import read_day
from sunsched.saved.numbers import revision_numbers
from sunsched.solver.machine.halt import ask_for_end, forget_end, is_end_asked
from sunsched.solver.solve import make_plan

posix = pytest.mark.skipif(sys.platform == "win32", reason="no SIGINT for one process on Windows")
PRESSED = """
import os, signal, sys, time
from sunsched.cli.terminal.interrupt import hear_ctrl_c, looking, unbroken
from sunsched.solver.machine.halt import begin_compiling, is_end_asked

signal.signal(signal.SIGINT, signal.default_int_handler)
hear_ctrl_c()
press = lambda: os.kill(os.getpid(), signal.SIGINT)
{code}
print("went on", is_end_asked(), flush=True)
"""


def pressed(code):
    """Give the exit code, what was printed and what was said of a few lines with presses."""
    done = subprocess.run(
        [sys.executable, "-c", PRESSED.format(code=code)], capture_output=True, text=True
    )
    return done.returncode, done.stdout, done.stderr


@posix
@pytest.mark.parametrize(
    "code",
    [
        "press()",
        "with looking(): press(); press()",
        "with looking(): begin_compiling(1); press()",
        "try: press()\nexcept BaseException: pass",
        "with unbroken(): press(); press()",
    ],
    ids=["at any moment", "twice", "while functions are compiled", "no exception", "twice in one"],
)
def test_it_ends_at_once(code):
    """Where nothing looks for it, and the second time wherever it comes: exit code 1, one line."""
    ended, printed, said = pressed(code)
    assert (ended, printed) == (1, "")
    assert said.endswith(f"{ENDED}\n")
    assert "Traceback" not in said


@posix
def test_work_that_looks_for_it_goes_on_with_what_it_knows():
    """It is told what came of it, once, though works stand inside one another."""
    ended, printed, said = pressed("with looking('so it is'):\n  with looking(): press()")
    assert (ended, printed) == (0, "went on True\n")
    assert said.count("ended early") == 1


@posix
def test_a_write_is_finished_and_told_before_it_ends():
    """What is said of a write that was done comes out, and nothing after it."""
    code = "with unbroken():\n  press()\n  print('saved', flush=True)"
    assert pressed(code) == (1, "saved\n", f"{ENDED}\n")


@posix
def test_processes_that_are_started_do_not_hear_it():
    """From their first instruction on; the one that starts them hears it afterwards."""
    code = (
        "from sunsched.solver.machine.halt import unheard\n"
        "import subprocess\n"
        "with unheard():\n"
        "  child = subprocess.Popen([sys.executable, '-c', 'input()'], stdin=subprocess.PIPE)\n"
        "child.send_signal(signal.SIGINT)\n"
        "child.communicate(b'go on\\n')\n"
        "print(child.returncode)\n"
        "with looking(): press()"
    )
    assert pressed(code)[:2] == (0, "0\nwent on True\n")


def test_a_plan_that_was_ended_early_is_not_saved(run, make_folder, monkeypatch):
    """It is printed, and the command that saves as good a one is named; exit code 1."""
    folder = make_folder()
    monkeypatch.setattr("sunsched.cli.commands.plan.is_end_asked", lambda: True)
    ran = run("plan", folder, "--for", "planned", "--save")
    assert ran.code == 1
    assert "light kept" in ran.out
    hint = f"`sunsched plan {folder} --for planned --save --limit "
    assert ran.err.startswith(f"not saved, because it was ended early\n  hint: {hint}")
    assert revision_numbers(folder) == ()


def test_a_solve_ends_where_an_end_is_asked_for():
    """With the best plan by then, and the bound by then: at its first look as at a later one."""
    day, calls = read_day(DATA / "last-lamp"), list[object]()

    def asking(now):
        calls.append(now)
        if len(calls) == 30:
            ask_for_end()

    try:
        for plan in (make_plan(day, progress=asking), make_plan(day)):
            assert plan.status == "bounded"
            assert plan.bound > plan.points > 0
    finally:
        forget_end()


def test_a_choice_that_was_ended_early_is_not_taken(run, make_folder, monkeypatch):
    """The choices are printed, and the saved plans stay as they were."""
    folder = make_folder()
    assert run("plan", folder, "--for", "planned", "--save").code == 0
    words = ("replan", folder, "--at", "09:00", "--for", "planned", "--take", "push")
    monkeypatch.setattr("sunsched.cli.commands.replan.is_end_asked", lambda: True)
    ran = run(*words, "--assume", "log")
    assert ran.code == 1
    assert ran.out
    assert "not saved, because it was ended early\n  hint: `sunsched replan" in ran.err
    assert revision_numbers(folder) == (1,)


def test_the_next_command_begins_anew(run, make_folder):
    """An end that was asked for is not that of the next command."""
    ask_for_end()
    assert run("check", make_folder()).code == 0
    assert not is_end_asked()


@posix
def test_what_tests_start_hears_it_in_the_background_too():
    """Where a shell has started them to ignore it; else no command of the rounds would be ended."""
    press = "import os, signal; os.kill(os.getpid(), signal.SIGINT)"
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with ctrl_c_heard():
            done = subprocess.run([sys.executable, "-c", press], capture_output=True)
        assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
    finally:
        signal.signal(signal.SIGINT, before)
    assert done.returncode == -signal.SIGINT


@posix
@pytest.mark.slow
def test_commands_are_ended_at_drawn_moments():
    """A few of the rounds that `benchmarks.soak.interrupts` runs by hundreds, and two terminals."""
    rounds = [draw_round(seed, is_kill=seed % 3 == 0) for seed in range(9)]
    wrong: list[str] = []
    ended = run_rounds(rounds, 2, 60.0, wrong.append, takes=1)
    assert len(ended) == len(rounds)
    assert wrong == []
