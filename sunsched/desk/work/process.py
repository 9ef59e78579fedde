"""A process that is asked one thing at a time, and leaves what nobody waits for."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator
from contextlib import aclosing, suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from threading import Thread
from typing import Any

from sunsched.desk.work.worker import END, ERROR, LEAVE, run
from sunsched.errors import SunschedError
from sunsched.solver.machine.halt import unheard

Record = dict[str, Any]
Message = tuple[int, str, Any]

LEAVE_S = 2.0  # within which work that nobody waits for ends by itself; else the process is ended
GONE = "gone"


class Process:
    """One process with what it remembers; questions wait for one another."""

    def __init__(self) -> None:
        # Not a copy of this process, which runs threads.
        self._context = get_context("spawn")
        self._lock = asyncio.Lock()
        self._number = 0
        self._told: asyncio.Queue[tuple[str, Any]] = asyncio.Queue()
        self._idle = asyncio.Event()
        self._idle.set()
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None

    def start(self) -> None:
        """Start the process, so that the first question finds it ready."""
        self._begin()

    @property
    def pid(self) -> int | None:
        """Number of the process; None where none runs."""
        return None if self._process is None else self._process.pid

    def _begin(self) -> Connection:
        here, there = self._context.Pipe()
        process = self._context.Process(target=run, args=(there,), daemon=True)
        with unheard():
            process.start()
        there.close()
        self._process, self._pipe = process, here
        loop = asyncio.get_running_loop()
        Thread(target=self._hear, args=(here, loop), daemon=True).start()
        return here

    def _hear(self, pipe: Connection, loop: asyncio.AbstractEventLoop) -> None:
        """Pass on what a process says, in a thread, until it has ended."""
        # The loop may be closed before the process has ended.
        with pipe, suppress(RuntimeError):
            while True:
                try:
                    message = pipe.recv()
                except (EOFError, OSError):
                    loop.call_soon_threadsafe(self._got, pipe, None)
                    return
                loop.call_soon_threadsafe(self._got, pipe, message)

    def _got(self, pipe: Connection, message: Message | None) -> None:
        if pipe is not self._pipe:
            return  # of a process that was ended
        if message is None:
            self.stop()
            return
        number, how, record = message
        if number == self._number:
            self._told.put_nowait((how, record))
            if how in (END, ERROR):
                self._idle.set()

    def _ready(self) -> Connection:
        """Give the pipe to a process that lives."""
        if self._process is not None and self._pipe is not None and self._process.is_alive():
            return self._pipe
        self.stop()
        return self._begin()

    def stop(self) -> None:
        """End the process, whatever it does."""
        if self._process is not None:
            self._process.kill()
            self._process.join(5)
        self._process, self._pipe = None, None
        if not self._idle.is_set():
            self._told.put_nowait((GONE, None))
            self._idle.set()

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
        """Ask, and give each answer as it comes; leaving early ends the work on it.

        What the process has worked out for later questions it keeps, unless it does not hear.

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
            # The question before this one may have been left.
            await self._idle.wait()
            pipe = self._ready()
            self._number += 1
            number, told = self._number, asyncio.Queue[tuple[str, Any]]()
            self._told = told
            self._idle.clear()
            try:
                try:
                    pipe.send((number, kind, asked))
                except OSError:
                    self.stop()
                while True:
                    how, record = await told.get()
                    if how == END:
                        return
                    if how == GONE:
                        raise SunschedError("the process that works it out has ended; ask again")
                    if how == ERROR:
                        raise SunschedError(str(record))
                    yield record
            finally:
                if not self._idle.is_set():
                    self._leave(number)

    def _leave(self, number: int) -> None:
        """Say that nobody waits for an answer, without waiting for the process to hear it."""
        if self._pipe is not None:
            with suppress(OSError):
                self._pipe.send((number, LEAVE, {}))
        asyncio.get_running_loop().call_later(LEAVE_S, self._end_deaf, number)

    def _end_deaf(self, number: int) -> None:
        """Put a new process in the place of one that still works on what nobody waits for."""
        if number == self._number and not self._idle.is_set():
            self.stop()
            self._begin()
