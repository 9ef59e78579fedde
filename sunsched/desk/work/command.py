"""A command of the terminal run for the desk: what draws takes more room than a server should."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Sequence
from pathlib import Path

MOST_S = 60
START = "from sunsched.cli import main; main()"


async def made_by_command(
    words: Sequence[str], file: Path, most_s: float = MOST_S
) -> tuple[bytes | None, str]:
    """Run a command; give the file that it wrote, or None, with what it said."""
    process = await asyncio.create_subprocess_exec(
        *(sys.executable, "-c", START, *words),
        stdin=asyncio.subprocess.DEVNULL,
        stdout=asyncio.subprocess.PIPE,
        stderr=asyncio.subprocess.STDOUT,
    )
    try:
        told, _ = await asyncio.wait_for(process.communicate(), most_s)
    except TimeoutError:
        return None, f"the sheet was not made within {most_s:g} s"
    finally:
        if process.returncode is None:  # too long, or nobody waits for it any more
            process.kill()
    text = told.decode("utf-8", "replace").strip()
    return (file.read_bytes(), text) if process.returncode == 0 else (None, text)
