"""The lock on a file that several programs change: the system's own, held by an open file."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl


def hold(handle: int) -> None:
    """Wait until nobody else holds the file; closing it, or dying, lets it go.

    The system's own lock cannot be left behind by a killed process, as a lock file would be.
    """
    if sys.platform == "win32":
        # Far past the end, as the locked bytes cannot be read meanwhile.
        os.lseek(handle, 1 << 30, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_LOCK, 1)
        os.lseek(handle, 0, os.SEEK_SET)
    else:
        fcntl.flock(handle, fcntl.LOCK_EX)


@contextmanager
def folder_held(folder: Path) -> Iterator[None]:
    """Hold a folder alone, among those who ask here, while its files are counted and one is added.

    A folder cannot be opened on Windows, where a hidden file in it stands for it.
    """
    path, flags = folder, os.O_RDONLY
    if os.name != "posix":
        path, flags = folder / ".lock", os.O_RDWR | os.O_CREAT
    handle = os.open(path, flags)
    try:
        hold(handle)
        yield
    finally:
        os.close(handle)


def is_still(path: Path, handle: int) -> bool:
    """True while the open file is the one of this name: an editor may put another in its place."""
    try:
        return os.path.samestat(os.fstat(handle), path.stat())
    except FileNotFoundError:
        return False


def content(handle: int) -> bytes:
    """Read an open file to its end."""
    parts = []
    while part := os.read(handle, 1 << 20):
        parts.append(part)
    return b"".join(parts)
