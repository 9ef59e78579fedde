"""What the days of a folder are called, when and where they are, and which plan is the newest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from sunsched.desk.watched.version import version_of
from sunsched.desk.work.worker import Memory
from sunsched.errors import FolderError
from sunsched.folder.read import read_folder
from sunsched.saved.numbers import revision_numbers
from sunsched.show.layout import plain

Record = dict[str, Any]


def answer(memory: Memory, *, root: str, names: Sequence[str]) -> Iterator[Record]:
    """Give a few lines of each day; of one at fault, how many faults it has."""
    yield {"days": [{"name": name, **_told(memory, Path(root) / name)} for name in names]}


def _told(memory: Memory, folder: Path) -> Record:
    told: Record = memory.keep(("told", folder, version_of(folder)), lambda: _read(folder))
    return told


def _read(folder: Path) -> Record:
    newest = None
    try:
        newest = max(revision_numbers(folder), default=None)
        day = read_folder(folder).day
    except FolderError as error:
        return {"faults": len(error.faults), "revision": newest}
    return {
        "faults": 0,
        "revision": newest,
        "title": plain(day.title),
        "place": plain(day.place.name),
        "date": day.date.isoformat(),
        "weekday": f"{day.date:%A}",
        "shots": len(day.shots),
    }
