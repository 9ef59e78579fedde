"""Ctrl-C: work that looks for it ends with what it knows by then, all else ends at once.

No exception is raised for it. One that came while modules load, or in a compiled function, would
leave a lock held, and the command would stand still for ever or end in a traceback.
"""

from __future__ import annotations

import os
import shlex
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING, NoReturn

from sunsched.solver.machine.halt import ask_for_end, forget_end, is_compiling, is_end_asked

# This module is the first that a command loads, so all else is imported inside the functions.
if TYPE_CHECKING:
    from types import FrameType

    from sunsched.solver.search.progress import Counted

BEST_SO_FAR = "this is the best by then"
ENDED = "ended; nothing more was written"
SHOW_CURSOR = b"\x1b[?25h"  # which a progress bar hides


@dataclass(slots=True)
class _Command:
    """The command that runs: since when, and what Ctrl-C does now.

    `looking` counts the works inside one another that look for it, `writing` those that it must not
    break; `presses` are those so far, and `is_told` says whether the person was told what came of
    them.
    """

    began: float = 0.0
    looking: int = 0
    writing: int = 0
    presses: int = 0
    is_told: bool = False


_command = _Command()


def hear_ctrl_c() -> None:
    """Hear Ctrl-C from now on until the process has ended, unless it was started to ignore it."""
    global _command
    _command = _Command(began=time.monotonic())
    forget_end()
    is_main = threading.current_thread() is threading.main_thread()
    if is_main and signal.getsignal(signal.SIGINT) is not signal.SIG_IGN:
        signal.signal(signal.SIGINT, _press)


def _press(_number: int, _frame: FrameType | None) -> None:
    _command.presses += 1
    is_awaited = _command.writing or (_command.looking and not is_compiling())
    if _command.presses > 1 or not is_awaited:
        end_at_once()
    if _command.looking:
        ask_for_end()
        _say(b"\nending with what is known; Ctrl-C again ends it at once\n")


def end_at_once() -> NoReturn:
    """End the process here. Files are written whole or not at all, whenever it ends."""
    _say(b"\n" + ENDED.encode() + b"\n")
    os._exit(1)


def _say(text: bytes) -> None:
    # Not by the stream, which may be in the middle of another line.
    with suppress(OSError):
        os.write(2, SHOW_CURSOR + text if os.isatty(2) else text.lstrip())


@contextmanager
def looking(what: str = BEST_SO_FAR) -> Iterator[None]:
    """Look for Ctrl-C, by `is_end_asked`, in what is done here; a second one ends all at once.

    Parameters
    ----------
    what : what to say on stderr of work that was ended early
    """
    _command.looking += 1
    try:
        yield
    finally:
        _command.looking -= 1
    if is_end_asked() and not _command.is_told:
        _tell(f"ended early: {what}")
        _command.is_told = True


@contextmanager
def ended_by_ctrl_c(what: str) -> Iterator[Callable[[], bool]]:
    """Give a function that says whether Ctrl-C was pressed; see `looking`."""
    with looking(what):
        yield is_end_asked


@contextmanager
def unbroken() -> Iterator[None]:
    """Write, and say so, without being broken by Ctrl-C in between; it ends the command then."""
    _command.writing += 1
    try:
        yield
    finally:
        _command.writing -= 1
    if _command.presses and not (_command.writing or is_end_asked()):
        end_at_once()


def refuse_unasked(what: str) -> NoReturn:
    """Say that a result that was ended early is not kept, and how it would be; ends with code 1.

    Parameters
    ----------
    what : what was not done, such as `not saved`
    """
    import typer

    limit_s = max(1, ceil(time.monotonic() - _command.began))
    again = shlex.join(["sunsched", *sys.argv[1:], "--limit", str(limit_s)])
    _tell(f"{what}, because it was ended early\n  hint: `{again}` does it in as long")
    raise typer.Exit(1)


def _tell(text: str) -> None:
    import typer

    typer.echo(text, err=True)


@contextmanager
def counted(what: str) -> Iterator[Callable[[Counted], None] | None]:
    """Give the function to which long work tells its progress; None where no terminal shows it."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.progress import Progress

    from sunsched.cli.terminal.streams import progress_console

    with Progress(console=progress_console(), transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda now: bar.update(task, completed=now.done, total=now.whole)
