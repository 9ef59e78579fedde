"""What marks a change of a day folder."""

from __future__ import annotations

import hashlib
from collections.abc import Collection
from pathlib import Path

from sunsched.folder.store.files import LOG_FILE, TORN_FILE
from sunsched.folder.store.write import PLANS


def version_of(folder: Path) -> str:
    """Give a mark that changes with any file of a day folder or of its saved plans."""
    return _mark((folder, folder / PLANS))


def day_version(folder: Path) -> str:
    """Give a mark that changes with what the day is read from, and not with its log or plans."""
    return _mark((folder,), {LOG_FILE, TORN_FILE, PLANS})


def plans_version(folder: Path) -> str:
    """Give a mark that changes with the saved plans."""
    return _mark((folder / PLANS,))


def _mark(folders: Collection[Path], without: Collection[str] = ()) -> str:
    marks = []
    for within in folders:
        try:
            paths = sorted(within.iterdir())
        except OSError:
            continue
        for path in paths:
            try:
                facts = path.stat()
            except OSError:
                continue
            # Files that are still being written have such names.
            if not path.name.startswith(".") and path.name not in without:
                marks.append(f"{path.name} {facts.st_mtime_ns} {facts.st_size}")
    return hashlib.sha256("\n".join(marks).encode("utf-8", "replace")).hexdigest()[:16]
