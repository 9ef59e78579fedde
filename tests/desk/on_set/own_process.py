"""A desk in a process of its own, to be killed or measured; on Linux."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from datetime import datetime
from pathlib import Path

from sunsched.day.clock import instant_ms
from sunsched.desk.serve import _listen

# The desk as the command starts it, with keys that a new run has too.
SERVER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from sunsched.desk import serve
from sunsched.desk.door.access import Keys
from sunsched.desk.watched.folders import folders_of

serve.new_keys = lambda: Keys(see="see-key", note="note-key", all="all-key")
serve.serve(
    folders_of(Path(sys.argv[1]), Path.cwd()),
    clock=lambda: datetime.fromtimestamp(int(sys.argv[3]) / 1000, UTC),
    port=int(sys.argv[2]),
    tell=lambda desk, address: None,
)
"""


class OwnProcess:
    """A desk in a process of its own, which is killed and started again."""

    def __init__(self, folder: Path, now: datetime) -> None:
        self.folder, self.now = folder, now
        with _listen("127.0.0.1", 0) as listener:
            self.port: int = listener.getsockname()[1]
        self.start()

    def start(self) -> None:
        """Start a new run on the same port."""
        words = [str(self.folder), str(self.port), str(instant_ms(self.now))]
        self.process = subprocess.Popen([sys.executable, "-c", SERVER, *words])

    def workers(self) -> list[int]:
        """List the processes that it has started."""
        number = self.process.pid
        children = Path(f"/proc/{number}/task/{number}/children").read_text(encoding="ascii")
        return [int(one) for one in children.split()]

    def kill(self) -> None:
        """Kill it, and wait until the processes that it started have gone by themselves."""
        workers = self.workers()
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()
        until = time.monotonic() + 60
        while any(_is_alive(one) for one in workers):
            assert time.monotonic() < until, "a process outlives its desk"
            time.sleep(0.02)


def _is_alive(number: int) -> bool:
    try:
        os.kill(number, 0)
        state = Path(f"/proc/{number}/stat").read_text(encoding="utf-8").rpartition(")")[2]
    except OSError:
        return False
    return state.split()[0] != "Z"
