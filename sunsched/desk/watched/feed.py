"""News for open pages: each follows a day folder and is told when its files have changed.

Server-sent events: https://html.spec.whatwg.org/multipage/server-sent-events.html
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from pathlib import Path

from sunsched.desk.watched.version import version_of

LOOK_S = 0.4  # between two looks at the files
QUIET_S = 15.0  # after which a line without news keeps the connection
AGAIN_MS = 1000  # after which a page that lost the connection asks again


class Watch:
    """A day folder that is looked at once for all pages that follow it, while any does."""

    def __init__(self, folder: Path, *, look_s: float = LOOK_S) -> None:
        self._folder = folder
        self._look_s = look_s
        self._version = ""
        self._news = asyncio.Event()
        self._waiting = 0
        self._looking: asyncio.Task[None] | None = None

    def look(self) -> None:
        """Look now: what was just written is told without waiting for the next look."""
        version = version_of(self._folder)
        if version != self._version:
            self._version = version
            self._news.set()
            self._news = asyncio.Event()

    async def after(self, told: str, quiet_s: float) -> str | None:
        """Give the version once it is another than `told`; None when none came for so long."""
        self._waiting += 1
        if self._looking is None or self._looking.done():
            self.look()
            self._looking = asyncio.create_task(self._look_on())
        try:
            async with asyncio.timeout(quiet_s):
                while self._version == told:
                    await self._news.wait()
        except TimeoutError:
            return None
        finally:
            self._waiting -= 1
        return self._version

    async def _look_on(self) -> None:
        while self._waiting:
            await asyncio.sleep(self._look_s)
            self.look()


async def changes(watch: Watch, *, quiet_s: float = QUIET_S) -> AsyncIterator[bytes]:
    """Give an event now and each time that a file of the folder has changed."""
    told = ""
    yield f"retry: {AGAIN_MS}\n\n".encode()
    while True:
        version = await watch.after(told, quiet_s)
        if version is None:
            yield b": nothing new\n\n"
        else:
            told = version
            yield f"event: change\ndata: {json.dumps({'version': version})}\n\n".encode()
