"""A process that is asked one thing at a time, and leaves what nobody waits for."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator
from contextlib import aclosing, suppress
from threading import Thread
from typing import Any

from sunsched.desk.work.child import Child
from sunsched.desk.work.worker import END, ERROR, LEAVE
from sunsched.errors import SunschedError

Record = dict[str, Any]
Message = list[Any]  # number of the question, how it is answered, a record

LEAVE_S = 2.0  # within which work that nobody waits for ends by itself; else the process is ended
GONE = "gone"


class Process:
    """One process with what it remembers; questions wait for one another."""

    def __init__(self, child: Child | None = None, *, is_frugal: bool = False) -> None:
        """Take over a process that was begun already, or begin one when it is asked.

        Parameters
        ----------
        is_frugal : whether it gives back what it needed once, at the price of some time
        """
        self._is_frugal = is_frugal
        self._lock = asyncio.Lock()
        self._number = 0
        self._told: asyncio.Queue[tuple[str, Any]] = asyncio.Queue()
        self._idle = asyncio.Event()
        self._idle.set()
        self._begun = child
        self._child: Child | None = None

    def start(self) -> None:
        """Start the process, so that the first question finds it ready."""
        self._begin()

    @property
    def pid(self) -> int | None:
        """Number of the process; None where none runs."""
        return None if self._child is None else self._child.pid

    def _begin(self) -> Child:
        child, self._begun = self._begun or Child(is_frugal=self._is_frugal), None
        self._child = child
        loop = asyncio.get_running_loop()
        Thread(target=self._hear, args=(child, loop), daemon=True).start()
        return child

    def _hear(self, child: Child, loop: asyncio.AbstractEventLoop) -> None:
        """Pass on what a process says, in a thread, until it has ended."""
        # The loop may be closed before the process has ended.
        with suppress(RuntimeError):
            for message in child.told():
                loop.call_soon_threadsafe(self._got, child, message)
            loop.call_soon_threadsafe(self._got, child, None)

    def _got(self, child: Child, message: Message | None) -> None:
        if child is not self._child:
            return  # of a process that was ended
        if message is None:
            self.stop()
            return
        number, how, record = message
        if number == self._number:
            self._told.put_nowait((how, record))
            if how in (END, ERROR):
                self._idle.set()

    def _ready(self) -> Child:
        """Give a process that lives."""
        if self._child is not None and self._child.is_alive():
            return self._child
        self.stop()
        return self._begin()

    def stop(self) -> None:
        """End the process, whatever it does."""
        for child in (self._child, self._begun):
            if child is not None:
                child.end()
        self._child = self._begun = None
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
            child = self._ready()
            self._number += 1
            number, told = self._number, asyncio.Queue[tuple[str, Any]]()
            self._told = told
            self._idle.clear()
            try:
                try:
                    child.tell((number, kind, asked))
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
        if self._child is not None:
            with suppress(OSError):
                self._child.tell((number, LEAVE, {}))
        asyncio.get_running_loop().call_later(LEAVE_S, self._end_deaf, number)

    def _end_deaf(self, number: int) -> None:
        """Put a new process in the place of one that still works on what nobody waits for."""
        if number == self._number and not self._idle.is_set():
            self.stop()
            self._begin()
