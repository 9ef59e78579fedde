"""What marks a change of a day folder."""

from __future__ import annotations

import hashlib
from pathlib import Path

from sunsched.folder.store.write import PLANS


def version_of(folder: Path) -> str:
    """Give a mark that changes with any file of a day folder or of its saved plans."""
    marks = []
    for within in (folder, folder / PLANS):
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
            if not path.name.startswith("."):
                marks.append(f"{path.name} {facts.st_mtime_ns} {facts.st_size}")
    return hashlib.sha256("\n".join(marks).encode("utf-8", "replace")).hexdigest()[:16]
