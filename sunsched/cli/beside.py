"""A sheet drawn in a process of its own, which loads matplotlib while this one finds the plan."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

# Everything else is imported inside the functions, so that `--help` is quick.
if TYPE_CHECKING:
    from sunsched.show.agenda import Sheet

DRAWN_KINDS = ("pdf", "png", "svg", "html")


@contextmanager
def drawn_beside(kind: str) -> Iterator[Callable[[Sheet], bytes]]:
    """Give what makes the bytes of a sheet of this kind.

    Loading matplotlib takes as long as finding a plan does, and both keep one core busy. Where no
    second process can be had the sheet is drawn in this one.
    """
    from sunsched.show.sheet import sheet_bytes, warm_up

    if kind not in DRAWN_KINDS or not _can_fork():
        yield lambda sheet: sheet_bytes(sheet, kind)
        return
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    pool = ProcessPoolExecutor(1, mp_context=get_context("fork"), initializer=_leave_ctrl_c)
    try:
        pool.submit(warm_up, kind)
    except OSError:
        yield lambda sheet: sheet_bytes(sheet, kind)
        return

    def draw(sheet: Sheet) -> bytes:
        try:
            return pool.submit(sheet_bytes, sheet, kind).result()
        except BrokenProcessPool:
            return sheet_bytes(sheet, kind)

    try:
        yield draw
    finally:
        # Not waited for, so that what went wrong here is told at once.
        pool.shutdown(wait=False, cancel_futures=True)


def _can_fork() -> bool:
    """Say whether a copy of this process is safe: on Linux, before anything that runs threads."""
    return sys.platform == "linux" and not {"numpy", "matplotlib"} & set(sys.modules)


def _leave_ctrl_c() -> None:
    """Leave Ctrl-C to the process that solves: it ends the solve, and the sheet is drawn still."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
