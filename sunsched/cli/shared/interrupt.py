"""Long work: how far it is, and Ctrl-C, after which what is known by then is printed."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from sunsched.solver.search.progress import Counted


@contextmanager
def ended_by_ctrl_c(what: str) -> Iterator[Callable[[], bool]]:
    """Give a function that says whether Ctrl-C was pressed. A second Ctrl-C ends the whole run.

    Parameters
    ----------
    what : what to say on stderr of work that was ended early
    """
    pressed = Event()
    before = signal.getsignal(signal.SIGINT)

    def press(*_: object) -> None:
        pressed.set()
        signal.signal(signal.SIGINT, before)

    signal.signal(signal.SIGINT, press)
    try:
        yield pressed.is_set
    finally:
        signal.signal(signal.SIGINT, before)
    if pressed.is_set():
        typer.echo(f"ended early: {what}", err=True)


@contextmanager
def counted(what: str) -> Iterator[Callable[[Counted], None] | None]:
    """Give the function to which long work tells its progress; None where no terminal shows it."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda now: bar.update(task, completed=now.done, total=now.whole)
