"""The process that answers: it waits for a question, and sends its answers one by one."""

from __future__ import annotations

import gc
import os
import signal
import sys
import traceback
from collections import OrderedDict
from collections.abc import Callable, Hashable
from contextlib import closing
from importlib import import_module
from queue import SimpleQueue
from threading import Thread
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

Made = TypeVar("Made")
Question = tuple[int, str, dict[str, Any]]

KEPT = 8  # things that a process remembers
END, ERROR, LEAVE = "end", "error", "leave"
UNUSED = "scipy.linalg.cython_blas"  # numba would load it to see whether matrices can be multiplied
ALONE = ("OPENBLAS_NUM_THREADS", "1")


class Left(Exception):
    """Nobody waits for the answer any more."""


class Memory:
    """What was worked out before, by what it was worked out from; the oldest is forgotten.

    It knows too whether the question that is being answered is still waited for.
    """

    def __init__(self) -> None:
        self._kept: OrderedDict[Hashable, Any] = OrderedDict()
        # Numbers of the question that is answered and of the last one that was left.
        self.asked, self.left = 1, 0

    def keep(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """Give what was made before of this key, or make it."""
        if key not in self._kept:
            self._kept[key] = make()
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        self._kept.move_to_end(key)
        found: Made = self._kept[key]
        return found

    def is_left(self) -> bool:
        """Say whether nobody waits for the answer any more."""
        return self.left >= self.asked

    def refuse_left(self) -> None:
        """End the work on an answer that nobody waits for; what was made is not whole then.

        Raises
        ------
        Left
            When nobody waits.
        """
        if self.is_left():
            raise Left


def run(pipe: Connection) -> None:
    """Answer questions until the asker has gone."""
    # Ctrl-C ends the server, which ends this.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.environ.setdefault(*ALONE)
    modules: dict[str, Any] = sys.modules
    modules.setdefault(UNUSED, None)
    gc.set_threshold(200_000)
    memory, questions = Memory(), SimpleQueue[Question]()
    # While one question is answered, it can be heard that nobody waits for it.
    Thread(target=_listen, args=(pipe, questions, memory), daemon=True).start()
    while True:
        number, kind, asked = questions.get()
        memory.asked = number
        _answer(pipe, number, kind, asked, memory)


def _listen(pipe: Connection, questions: SimpleQueue[Question], memory: Memory) -> None:
    while True:
        try:
            number, kind, asked = pipe.recv()
        except (EOFError, OSError):
            # The asker has gone, and with it all who wait; work that is under way ends too.
            os._exit(0)
        if kind == LEAVE:
            memory.left = number
        else:
            questions.put((number, kind, asked))


def _answer(
    pipe: Connection, number: int, kind: str, asked: dict[str, Any], memory: Memory
) -> None:
    from sunsched.errors import SunschedError

    try:
        module = import_module(f"sunsched.desk.answers.{kind}")
        with closing(module.answer(memory, **asked)) as records:
            for record in records:
                memory.refuse_left()
                pipe.send((number, "", record))
        pipe.send((number, END, None))
    except Left:
        pipe.send((number, END, None))
    except SunschedError as error:
        pipe.send((number, ERROR, str(error)))
    except Exception:  # noqa: BLE001  the process goes on; what went wrong is told to the developer
        traceback.print_exc()
        pipe.send((number, ERROR, "this went wrong; the terminal of the desk says how"))
