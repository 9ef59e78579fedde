"""A process that answers, as the server holds it: begun, told, heard and ended.

Begun by its own command, it loads nothing of the server, and one can be begun before the server has
loaded what it needs itself.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from typing import IO, Any, cast

from sunsched.solver.machine.halt import unheard

START = "import sys; sys.path[:] = {path!r}; from sunsched.desk.work.worker import main; main()"
FIRST = "view"  # what the first page asks
END_S = 5.0
# With these glibc gives back the memory that was needed once (mallopt(3)), at the price of a
# twentieth of the time; elsewhere they mean nothing.
FRUGAL = {
    "MALLOC_ARENA_MAX": "2",
    "MALLOC_MMAP_THRESHOLD_": "1000000",
    "MALLOC_TRIM_THRESHOLD_": "4000000",
}


class Child:
    """One process, with the two pipes that lead to it."""

    def __init__(self, loading: str = FIRST, *, is_frugal: bool = False) -> None:
        """Begin a process.

        Parameters
        ----------
        loading : name of the module of `desk/answers` that it loads while nobody asks it yet
        is_frugal : whether room comes before time
        """
        words = (sys.executable, "-c", START.format(path=sys.path), loading)
        with unheard():
            self._process = subprocess.Popen(  # noqa: S603  no shell, and no word is typed by others
                words,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                env={**os.environ, **(FRUGAL if is_frugal else {})},
            )
        self._to = cast(IO[bytes], self._process.stdin)
        self._from = cast(IO[bytes], self._process.stdout)

    @property
    def pid(self) -> int:
        """Number of the process."""
        return self._process.pid

    def is_alive(self) -> bool:
        """Say whether it has not ended."""
        return self._process.poll() is None

    def tell(self, message: Any) -> None:
        """Send plain data.

        Raises
        ------
        OSError
            When it has ended.
        """
        if self._to.closed:
            raise BrokenPipeError
        self._to.write(json.dumps(message).encode() + b"\n")
        self._to.flush()

    def told(self) -> Iterator[Any]:
        """Give what it says until it has ended."""
        with self._from as lines:
            for line in lines:
                # The last line of one that was killed may be cut off.
                with suppress(json.JSONDecodeError):
                    yield json.loads(line)

    def end(self) -> None:
        """End it, whatever it does."""
        self._process.kill()
        with suppress(subprocess.TimeoutExpired):
            self._process.wait(END_S)
        with suppress(OSError):
            self._to.close()
