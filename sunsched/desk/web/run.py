"""What one run of the desk holds: its folders, its keys, its processes and its clock."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime
from itertools import count
from pathlib import Path

from sunsched.desk.door.guard import Door
from sunsched.desk.watched.folders import Folders
from sunsched.desk.watched.standing import Standing
from sunsched.desk.work.process import Process
from sunsched.errors import SunschedError

WARM_AFTER_S = 3.0  # once the first page has its day: what it asks for next comes before


@dataclass(slots=True, kw_only=True)
class Desk:
    """One run of the desk.

    Attributes
    ----------
    folders, door : what is shown, and who is let in
    clock : gives the moment now, aware
    addresses : under which others reach it, such as `http://10.0.0.5:8400`; empty without `--lan`
    quick : answers what a page waits for; never ended by a question that nobody waits for
    slow : answers what takes seconds
    """

    folders: Folders
    door: Door
    clock: Callable[[], datetime]
    addresses: tuple[str, ...] = ()
    quick: Process = field(default_factory=Process)
    slow: Process = field(default_factory=lambda: Process(is_frugal=True))
    _standing: dict[Path, Standing] = field(default_factory=dict)
    _first: asyncio.Task[None] | None = None
    _warming: asyncio.Task[None] | None = None

    def standing(self, folder: Path) -> Standing:
        """Give a day folder as it stands, the same one for all who look at it."""
        if folder not in self._standing:
            self._standing[folder] = Standing(folder=folder, quick=self.quick)
        return self._standing[folder]

    def start(self) -> None:
        """Start the process that the first page asks; the other would only keep it waiting.

        The page of one day alone is worked out while the browser opens.
        """
        self.quick.start()
        if self.folders.only is not None:
            self._first = asyncio.create_task(self._look(self.folders.only))

    async def _look(self, folder: Path) -> None:
        with suppress(SunschedError):  # it is told where the page asks
            await self.standing(folder).view()

    def warm(self, folder: Path) -> None:
        """Let the slow process load what its first answer needs; done once, beside all else."""
        if self._warming is None:
            self._warming = asyncio.create_task(self._warm(folder))

    async def _warm(self, folder: Path) -> None:
        await asyncio.sleep(WARM_AFTER_S)
        with suppress(SunschedError):  # it ended: a new one loads when it is asked
            for step in count():
                found = await self.slow.answer("on_set.warm", folder=str(folder), step=step)
                if found["is_last"]:
                    return

    async def leave(self) -> None:
        """End what nobody has asked for, however far it is."""
        for task in (self._first, self._warming):
            if task is not None:
                task.cancel()
                with suppress(asyncio.CancelledError):
                    await task

    def stop(self) -> None:
        """End the processes."""
        self.quick.stop()
        self.slow.stop()
