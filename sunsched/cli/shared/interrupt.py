"""Ctrl-C during long work: it ends the work, and what is known by then is printed."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event

import typer


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
