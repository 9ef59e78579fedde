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


async def changes(folder: Path, *, look_s: float = LOOK_S) -> AsyncIterator[bytes]:
    """Give an event now and each time that a file of the folder has changed."""
    told, quiet_s = "", 0.0
    while True:
        version = version_of(folder)
        if version != told:
            told, quiet_s = version, 0.0
            yield f"event: change\ndata: {json.dumps({'version': version})}\n\n".encode()
        elif quiet_s >= QUIET_S:
            quiet_s = 0.0
            yield b": nothing new\n\n"
        await asyncio.sleep(look_s)
        quiet_s += look_s
