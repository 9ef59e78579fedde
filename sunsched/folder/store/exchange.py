"""A file exchanged for its next version, unless somebody else has changed it meanwhile."""

from __future__ import annotations

import os
from pathlib import Path

from sunsched.errors import WriteRefused
from sunsched.folder.store import lock
from sunsched.folder.store.write import keep_owner, made_part, refused_by, sync_folder


def exchange(path: Path, old: bytes | None, new: bytes) -> bool:
    """Put new content in the place of a file's old one, whole or not at all.

    Parameters
    ----------
    path : Path
        The file, in its day folder. It keeps its permissions; a link stays one.
    old : bytes or None
        What must stand in it still; None where there must be no file of that name.
    new : bytes
        What is to stand there.

    Returns
    -------
    bool
        False, with nothing written, when something else stands there.

    Raises
    ------
    WriteRefused
        When it leads out of the day folder, or cannot be written.
    """
    folder = path.parent
    try:
        if not path.resolve().is_relative_to(folder.resolve()):
            raise WriteRefused(f"`{path.name}` is a link that leads out of the day folder")
        if old is None:
            return _made(path, new)
        return _exchanged(path.resolve(), old, new)
    except (OSError, RuntimeError) as error:  # a loop of links is a RuntimeError before 3.13
        raise refused_by(path, error) from error


def _made(path: Path, new: bytes) -> bool:
    """Make a file that is not there yet; False where it is by now."""
    part = made_part(path, new)
    try:
        os.link(part, path)  # unlike a rename, it never takes the place of a file
    except FileExistsError:
        return False
    finally:
        part.unlink(missing_ok=True)
    sync_folder(path.parent)
    return True


def _exchanged(path: Path, old: bytes, new: bytes) -> bool:
    while True:
        handle: int | None
        try:
            handle = os.open(path, os.O_RDWR | getattr(os, "O_BINARY", 0))
        except FileNotFoundError:
            return False
        try:
            lock.hold(handle)
            # Whoever was waited for may have put another file in its place.
            if not lock.is_still(path, handle):
                continue
            if os.fstat(handle).st_size != len(old) or lock.content(handle) != old:
                return False
            part = made_part(path, new)
            try:
                keep_owner(path, part)
                # Editors that know no lock may have written while the part was.
                if not lock.is_still(path, handle) or path.read_bytes() != old:
                    return False
                if os.name == "nt":  # where an open file cannot be replaced
                    os.close(handle)
                    handle = None
                part.replace(path)
            finally:
                part.unlink(missing_ok=True)
            sync_folder(path.parent)
            return True
        finally:
            if handle is not None:
                os.close(handle)
