"""The process that answers: it waits for a question, and sends its answers one by one."""

from __future__ import annotations

import gc
import os
import signal
import sys
import traceback
from collections import OrderedDict
from collections.abc import Callable, Hashable
from importlib import import_module
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

Made = TypeVar("Made")

KEPT = 12  # things that a process remembers
END, ERROR = "end", "error"
UNUSED = "scipy.linalg.cython_blas"  # numba would load it to see whether matrices can be multiplied
ALONE = ("OPENBLAS_NUM_THREADS", "1")


class Memory:
    """What was worked out before, by what it was worked out from; the oldest is forgotten."""

    def __init__(self) -> None:
        self._kept: OrderedDict[Hashable, Any] = OrderedDict()

    def keep(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """Give what was made before of this key, or make it."""
        if key not in self._kept:
            self._kept[key] = make()
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        self._kept.move_to_end(key)
        found: Made = self._kept[key]
        return found


def run(pipe: Connection) -> None:
    """Answer questions until the asker has gone."""
    # Ctrl-C ends the server, which ends this.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.environ.setdefault(*ALONE)
    modules: dict[str, Any] = sys.modules
    modules.setdefault(UNUSED, None)
    gc.set_threshold(200_000)
    memory = Memory()
    while True:
        try:
            number, kind, asked = pipe.recv()
        except (EOFError, OSError):
            return
        _answer(pipe, number, kind, asked, memory)


def _answer(
    pipe: Connection, number: int, kind: str, asked: dict[str, Any], memory: Memory
) -> None:
    from sunsched.errors import SunschedError

    try:
        for record in import_module(f"sunsched.desk.answers.{kind}").answer(memory, **asked):
            pipe.send((number, "", record))
        pipe.send((number, END, None))
    except SunschedError as error:
        pipe.send((number, ERROR, str(error)))
    except Exception:  # noqa: BLE001  the process goes on; what went wrong is told to the developer
        traceback.print_exc()
        pipe.send((number, ERROR, "this went wrong; the terminal of the desk says how"))
