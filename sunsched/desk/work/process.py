"""A process that is asked one thing at a time, and is ended when nobody waits for the answer."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator
from contextlib import aclosing
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from sunsched.desk.work.worker import END, ERROR, run
from sunsched.errors import SunschedError

Record = dict[str, Any]


class Process:
    """One process with what it remembers; questions wait for one another."""

    def __init__(self) -> None:
        # Not a copy of this process, which runs threads.
        self._context = get_context("spawn")
        self._lock = asyncio.Lock()
        self._number = 0
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None

    def start(self) -> None:
        """Start the process, so that the first question finds it ready."""
        self._begin()

    def _begin(self) -> Connection:
        here, there = self._context.Pipe()
        process = self._context.Process(target=run, args=(there,), daemon=True)
        process.start()
        there.close()
        self._process, self._pipe = process, here
        return here

    def _ready(self) -> Connection:
        """Give the pipe to a process that lives."""
        if self._process is not None and self._pipe is not None and self._process.is_alive():
            return self._pipe
        self.stop()
        return self._begin()

    def stop(self) -> None:
        """End the process, whatever it does."""
        if self._process is not None and self._pipe is not None:
            self._process.kill()
            self._process.join(5)
            self._pipe.close()
        self._process, self._pipe = None, None

    async def answer(self, kind: str, **asked: Any) -> Record:
        """Ask, and give the last answer.

        Raises
        ------
        SunschedError
            As the answer does.
        """
        last: Record = {}
        async with aclosing(self.answers(kind, **asked)) as given:
            async for record in given:
                last = record
        return last

    async def answers(self, kind: str, **asked: Any) -> AsyncGenerator[Record]:
        """Ask, and give each answer as it comes; leaving early ends the process, for a new one.

        Parameters
        ----------
        kind : name of a module of `desk/answers`
        asked : plain data

        Raises
        ------
        SunschedError
            As the answer does, or when the process has died.
        """
        async with self._lock:
            pipe = self._ready()
            self._number += 1
            number, is_over = self._number, False
            try:
                pipe.send((number, kind, asked))
                while not is_over:
                    of, how, record = await asyncio.to_thread(pipe.recv)
                    is_over = how in (END, ERROR)
                    if how == ERROR:
                        raise SunschedError(str(record))
                    if not is_over and of == number:
                        yield record
            except (EOFError, OSError):
                raise SunschedError("the process that works it out has ended; ask again") from None
            finally:
                if not is_over:
                    self.stop()
                    self.start()
