"""A day folder as it stands: its page as data, made once for all who look at it."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, field
from pathlib import Path

from sunsched.desk.watched.feed import Watch
from sunsched.desk.watched.noted import Noted
from sunsched.desk.watched.version import version_of
from sunsched.desk.work.process import Process, Record


@dataclass(slots=True, kw_only=True)
class Standing:
    """One day folder, and the newest data of its page, which is made once for all who look.

    `watch` tells of its changes, `noted` knows the taps that this run of the desk has noted.
    """

    folder: Path
    quick: Process
    watch: Watch = field(init=False)
    noted: Noted = field(default_factory=Noted)
    _lock: asyncio.Lock = field(default_factory=asyncio.Lock)
    _made: tuple[str, Record] | None = None

    def __post_init__(self) -> None:
        self.watch = Watch(self.folder)

    async def view(self) -> Record:
        """Give the data of the page for the files as they are now."""
        async with self._lock:
            version = version_of(self.folder)
            if self._made is None or self._made[0] != version:
                # Files that change meanwhile have another version, and are read again then.
                record = await self.quick.answer("view", folder=str(self.folder))
                self._made = version, {**record, "version": version}
            return self._made[1]
