"""The gaffer's page of every shot of the newest saved plan, line by line."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sunsched.desk.answers.known import known, known_plan
from sunsched.desk.work.worker import Memory
from sunsched.folder.tables.cloths import read_cloths
from sunsched.show.gaffer.page import gaffer_pages
from sunsched.show.records.gaffer import gaffer_record


def answer(memory: Memory, *, folder: str) -> Iterator[dict[str, Any]]:
    """Give the pages; `setups` is null where no plan is saved."""
    one = known(memory, Path(folder))
    plan = known_plan(memory, one)
    if plan is None:
        yield {"setups": None, "cautions": []}
        return
    shown = plan.restored.plan
    pages = gaffer_pages(shown, read_cloths(Path(folder)))
    yield {**gaffer_record(shown.day, pages), "revision": plan.revision.number}
