"""Eight who note at once, while the desk is killed and started again: nothing lost, nothing twice.

Everything here is done to real files by real processes.
"""

from __future__ import annotations

import http.client
import itertools
import json
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

import sunsched
from desk.conftest import KEYS, copied
from desk.on_set.conftest import CALL, DAY
from desk.on_set.own_process import OwnProcess
from sunsched.day.clock import instant_ms

PHONES, TERMINALS = 5, 3
TAPS, RUNS = 24, 4  # of each phone, of each terminal
KILLS = 4
PATIENCE_S = 180.0
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform != "linux", reason="counts processes as Linux shows them"),
]
TERMINAL = "from sunsched.cli import main; main()"


class Phone(threading.Thread):
    """Sends its taps one after the other, as the page does: each until the desk says it is noted.

    `sent` counts requests, `noted` the taps that were answered.
    """

    def __init__(self, port: int, name: str, number: int) -> None:
        super().__init__(daemon=True)
        self.port, self.sent, self.noted = port, 0, 0
        self.faults: list[str] = []
        self.taps = [
            {"event": "late", "value": str(number * TAPS + turn + 1)}
            if turn % 3
            else {"event": "note", "subject": f"{name} {turn}"}
            for turn in range(TAPS)
        ]

    def run(self) -> None:
        """Send all taps."""
        newest = 0
        for turn, tap in enumerate(self.taps):
            body = {"uid": f"{self.name}-{turn:08}", "at": instant_ms(CALL), "seen": newest, **tap}
            until = time.monotonic() + PATIENCE_S
            while (answer := self._send(body)) is None:
                body["again"] = True
                if time.monotonic() > until:
                    self.faults.append(f"no answer to {tap}")
                    return
                time.sleep(0.1)
            if "events" not in answer:
                self.faults.append(f"{tap}: {answer}")
                return
            newest, self.noted = max(newest, *answer["events"]), self.noted + 1

    def _send(self, body: dict[str, object]) -> dict[str, list[int]] | None:
        self.sent += 1
        host = f"127.0.0.1:{self.port}"
        line = http.client.HTTPConnection(host, timeout=30)
        headers = {"origin": f"http://{host}", "cookie": f"sunsched-desk-{self.port}={KEYS.note}"}
        try:
            line.request("POST", f"/api/{DAY}/note", json.dumps(body), headers)
            found: dict[str, list[int]] = json.loads(line.getresponse().read())
        except (OSError, http.client.HTTPException, ValueError):
            return None
        finally:
            line.close()
        return found


class Terminal(threading.Thread):
    """Notes by commands, one after the other."""

    def __init__(self, folder: Path, name: str) -> None:
        super().__init__(daemon=True)
        self.folder = folder
        self.wanted = [f"{name} {turn}" for turn in range(RUNS)]
        self.faults: list[str] = []

    def run(self) -> None:
        """Run all commands."""
        for text in self.wanted:
            words = ["log", str(self.folder), "note", text, "--at", "08:00"]
            command = [sys.executable, "-c", TERMINAL, *words]
            made = subprocess.run(command, capture_output=True, text=True, check=False)
            if made.returncode:
                self.faults.append(made.stderr)


@pytest.fixture
def desk_to_kill(tmp_path: Path) -> Iterator[OwnProcess]:
    """Give a desk that can be killed."""
    found = OwnProcess(copied(DAY, tmp_path), CALL)
    yield found
    found.kill()


def test_eight_writers_and_kills(desk_to_kill: OwnProcess) -> None:
    """Five phones and three terminals; the desk dies four times while they are at it."""
    folder = desk_to_kill.folder
    phones = [Phone(desk_to_kill.port, f"phone {one}", one) for one in range(PHONES)]
    terminals = [Terminal(folder, f"terminal {one}") for one in range(TERMINALS)]
    writers: list[Phone | Terminal] = [*phones, *terminals]
    for writer in writers:
        writer.start()
    # Between the kills at least this many more taps are answered, so that each hits some work.
    for part in range(1, KILLS + 1):
        until = time.monotonic() + PATIENCE_S
        while sum(one.noted for one in phones) < part * PHONES * TAPS // (KILLS + 2):
            assert time.monotonic() < until, [one.faults for one in writers]
            time.sleep(0.003)
        assert any(one.is_alive() for one in phones)
        desk_to_kill.kill()
        desk_to_kill.start()
    for writer in writers:
        writer.join(PATIENCE_S)
    assert [one.faults for one in writers] == [[]] * len(writers)
    assert not any(one.is_alive() for one in writers)
    # Some were sent more than once, as their answers were lost.
    assert sum(one.sent for one in phones) > PHONES * TAPS

    log = sunsched.read_log(folder, sunsched.read_day(folder))
    assert log.warnings == ()
    assert [one.number for one in log.events] == list(range(1, len(log.events) + 1))
    found = [(str(one.kind), one.subject, str(one.minutes or "")) for one in log.events]
    wanted = [
        *(
            [(tap["event"], tap.get("subject", ""), tap.get("value", "")) for tap in one.taps]
            for one in phones
        ),
        *([("note", text, "") for text in one.wanted] for one in terminals),
    ]
    assert sorted(found) == sorted(itertools.chain(*wanted))
    for row in wanted:
        # Those of one writer stand in their order.
        assert [one for one in found if one in row] == row
