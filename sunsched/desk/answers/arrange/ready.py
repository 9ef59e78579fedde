"""What prices start from, worked out before anybody asks for one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sunsched.desk.answers.arrange.base import base_of
from sunsched.desk.answers.arrange.proposal import solved_of
from sunsched.desk.work.steps import Tell, steps
from sunsched.desk.work.worker import Memory

Record = dict[str, Any]


def answer(memory: Memory, *, folder: str, base: Record | None) -> Iterator[Record]:
    """Solve the day for planned minutes, so that the first price need not wait for that."""
    held = base_of(memory, Path(folder), base)

    def work(tell: Tell) -> Record:
        solved_of(memory, held.day, tell)
        return {"is_ready": True}

    yield from steps(work)
