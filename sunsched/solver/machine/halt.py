"""An end that somebody has asked for: work that takes long looks here now and then.

The command line asks for it at Ctrl-C. An exception in its place, raised wherever the work happens
to be, would leave locks held and compiled functions half loaded.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from threading import Thread


@dataclass(slots=True)
class _Halt:
    is_asked: bool = False
    compiled_now: set[object] = field(default_factory=set)


_halt = _Halt()


def ask_for_end() -> None:
    """Ask all work of this process to end with what is known by then."""
    _halt.is_asked = True


def forget_end() -> None:
    """Let work go on again, as before a new command."""
    _halt.is_asked = False


def is_end_asked() -> bool:
    """Say whether work is to end."""
    return _halt.is_asked


def begin_compiling(what: object) -> None:
    """Note that a function is compiled from now on, which takes seconds and looks at nothing."""
    _halt.compiled_now.add(what)


def end_compiling(what: object) -> None:
    """Note that a function is compiled."""
    _halt.compiled_now.discard(what)


def is_compiling() -> bool:
    """Say whether any function is being compiled, so that an end would be long in coming."""
    return bool(_halt.compiled_now)


def end_with_asker() -> None:
    """End this process with the one that started it, if that is killed; leave Ctrl-C to it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_alone, daemon=True).start()


def _end_alone() -> None:
    asker = multiprocessing.parent_process()
    if asker is not None:
        asker.join()
        os._exit(0)


@contextmanager
def unheard() -> Iterator[None]:
    """Start processes in here: Ctrl-C, which reaches all of a terminal, is for this one alone.

    From their first instruction on, and not only once they have loaded what could ignore it.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
