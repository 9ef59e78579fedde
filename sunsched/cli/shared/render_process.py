"""A sheet drawn in a process of its own, which loads matplotlib while this one finds the plan."""

from __future__ import annotations

import gc
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

# Everything else is imported inside the functions, so that `--help` is quick.
if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from sunsched.show.agenda import Sheet

DRAWN_KINDS = ("pdf", "png", "svg", "html")


@contextmanager
def drawn_beside(kind: str) -> Iterator[Callable[[Sheet], bytes]]:
    """Give the function that makes the bytes of a sheet of this kind.

    Loading matplotlib takes as long as finding a plan does, and both keep one core busy. Where no
    second process can be had the sheet is drawn in this one.
    """
    from sunsched.show.sheets.sheet import load_shared, sheet_bytes
    from sunsched.solver.machine.halt import unheard

    load_shared()
    if kind not in DRAWN_KINDS or not _can_fork():
        yield lambda sheet: sheet_bytes(sheet, kind)
        return
    from multiprocessing import get_context

    context = get_context("fork")
    try:
        here, there = context.Pipe()
        process = context.Process(target=_draw, args=(kind, here, there))
        with unheard():
            process.start()
    except OSError:
        yield lambda sheet: sheet_bytes(sheet, kind)
        return
    there.close()

    def draw(sheet: Sheet) -> bytes:
        try:
            here.send(sheet)
            made = here.recv()
        except (EOFError, OSError):  # that process has ended
            return sheet_bytes(sheet, kind)
        if isinstance(made, Exception):
            raise made
        return bytes(made)

    try:
        yield draw
    finally:
        # An error here is told at once. The other process ends when it sees that the pipe is
        # closed, and only the exit waits for it. It is not killed: while matplotlib lists the fonts
        # for the first time, that would leave a lock behind.
        here.close()


def _can_fork() -> bool:
    """Say whether a copy of this process is safe: on Linux, while it runs one thread."""
    threads = Path("/proc/self/task")
    return sys.platform == "linux" and threads.is_dir() and len(list(threads.iterdir())) == 1


def _draw(kind: str, asker: Connection, there: Connection) -> None:
    """Draw one sheet for the process that asks, and hand back its bytes or what was refused."""
    # Ctrl-C is left to the process that solves: it ends the solve, and the sheet is still drawn.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    from sunsched.errors import SunschedError
    from sunsched.show.sheets.sheet import sheet_bytes, warm_up

    asker.close()  # else the end of that process would not be seen here
    gc.disable()  # it draws once and ends; looking for what nobody needs takes a tenth of the time
    # The same error comes again, and is told, where the sheet is drawn.
    with suppress(Exception):
        warm_up(kind)
        sheet = there.recv()
        try:
            there.send(sheet_bytes(sheet, kind))
        except SunschedError as error:
            there.send(error)
