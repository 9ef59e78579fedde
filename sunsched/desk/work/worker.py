"""The process that answers: it waits for a question, and sends its answers one by one."""

from __future__ import annotations

import gc
import json
import os
import signal
import sys
import traceback
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator
from contextlib import closing
from importlib import import_module
from queue import SimpleQueue
from threading import Thread
from typing import IO, Any, TypeVar

Made = TypeVar("Made")
Question = tuple[int, str, dict[str, Any]]

ANSWERS = "sunsched.desk.answers"
KEPT = 8  # things that a process remembers
END, ERROR, LEAVE = "end", "error", "leave"
UNUSED = "scipy.linalg.cython_blas"  # numba would load it to see whether matrices can be multiplied
YOUNG = 1  # the generations of objects that the last collection did not see
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


class Pipe:
    """What leads to the asker: a line of JSON for each message."""

    def __init__(self, asked: IO[bytes], told: IO[bytes]) -> None:
        self._asked, self._told = asked, told

    def send(self, message: Any) -> None:
        """Send plain data."""
        self._told.write(json.dumps(message, ensure_ascii=False).encode() + b"\n")
        self._told.flush()

    def received(self) -> Iterator[Any]:
        """Give what the asker sends until it has gone."""
        for line in self._asked:
            yield json.loads(line)


def main() -> None:
    """Answer questions until the asker has gone; what the command names is loaded before."""
    # Ctrl-C ends the server, which ends this.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.environ.setdefault(*ALONE)
    modules: dict[str, Any] = sys.modules
    modules.setdefault(UNUSED, None)
    gc.set_threshold(200_000)
    pipe = Pipe(sys.stdin.buffer, os.fdopen(os.dup(1), "wb"))
    os.dup2(2, 1)  # what a library prints goes where errors go
    import_module(f"{ANSWERS}.{sys.argv[1]}")
    memory, questions = Memory(), SimpleQueue[Question]()
    # While one question is answered, it can be heard that nobody waits for it.
    Thread(target=_listen, args=(pipe, questions, memory), daemon=True).start()
    while True:
        number, kind, asked = questions.get()
        _work(pipe, number, kind, asked, memory)


def _listen(pipe: Pipe, questions: SimpleQueue[Question], memory: Memory) -> None:
    for number, kind, asked in pipe.received():
        if kind == LEAVE:
            memory.left = number
        else:
            questions.put((number, kind, asked))
    # The asker has gone, and with it all who wait; work that is under way ends too.
    os._exit(0)


def _work(pipe: Pipe, number: int, kind: str, asked: dict[str, Any], memory: Memory) -> None:
    """Answer a question; what was worked out for one that was left is given back at once.

    Its tables hang on the exception that ended it, in rings that nothing else takes apart, as few
    objects are made: 15 MB each time that a page looks elsewhere. What is older is not looked at.
    """
    memory.asked = number
    _answer(pipe, number, kind, asked, memory)
    if memory.is_left():
        gc.collect(YOUNG)


def _answer(pipe: Pipe, number: int, kind: str, asked: dict[str, Any], memory: Memory) -> None:
    from sunsched.errors import SunschedError

    try:
        module = import_module(f"{ANSWERS}.{kind}")
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
