"""Files that several terminals write at once: each change is made to what the others have left."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from sunsched.errors import Fault, FolderError, WriteRefused
from sunsched.folder.store import lock
from sunsched.folder.store.files import MAX_FILE_BYTES
from sunsched.folder.store.write import refused_by, sync_folder, write_whole


def append_lines(
    path: Path,
    aside: Path,
    split: Callable[[bytes], tuple[bytes, bytes]],
    more: Callable[[bytes], bytes],
) -> None:
    """Add lines to a file that several terminals may add to at once; they last when this returns.

    Parameters
    ----------
    path : Path
        The file; it is made if it is not there.
    aside : Path
        Where the rest of a line that was cut short is kept.
    split : callable
        Gives the whole lines of the file's content, and the rest.
    more : callable
        Gives the lines to add to the file's content, or raises to add none. Nobody else writes
        while it runs. It is asked again if the file was replaced meanwhile.

    Raises
    ------
    WriteRefused
        When the lines cannot be written; the whole lines are then as they were.
    """
    try:
        _check_inside(path)
        while not _appended(path, aside, split, more):
            pass
    except (OSError, RuntimeError) as error:  # a loop of links is a RuntimeError before 3.13
        raise refused_by(path, error) from error


def rewrite(path: Path, change: Callable[[bytes], bytes]) -> None:
    """Write a file anew that several people may write at once; it lasts when this returns.

    Parameters
    ----------
    path : Path
        The file; it is made if it is not there.
    change : callable
        Gives the new content for the file's content, or raises to leave it as it is. Nobody else
        writes while it runs. It is asked again if the file was replaced meanwhile.

    Raises
    ------
    WriteRefused
        When the file cannot be written; it is then as it was.
    """
    try:
        _check_inside(path)
        while not _rewritten(path, change):
            pass
    except (OSError, RuntimeError) as error:  # a loop of links is a RuntimeError before 3.13
        raise refused_by(path, error) from error


def _rewritten(path: Path, change: Callable[[bytes], bytes]) -> bool:
    """Write the file anew as it stands; False when another took its place meanwhile."""
    with _held(path) as held:
        if held is None:
            return False
        handle, content = held
        after = change(content)
        if after != content:
            if os.name == "posix":
                write_whole(path, after)
            else:
                _put(handle, content, after)  # an open file cannot be replaced there
            sync_folder(path.parent)
        return True


@contextmanager
def _held(path: Path) -> Iterator[tuple[int, bytes] | None]:
    """Hold a file alone, made if it is not there: its handle and its content.

    None when another took its place meanwhile. An error leaves no file that was not there.
    """
    handle, is_made = _opened(path)
    try:
        lock.hold(handle)
        if not lock.is_still(path, handle):
            yield None
            return
        size = os.fstat(handle).st_size
        if size > MAX_FILE_BYTES:
            expected = f"at most {MAX_FILE_BYTES:,} bytes"
            fault = Fault(file=path.name, problem=f"{size:,} bytes long", expected=expected)
            raise FolderError((fault,))
        content = lock.content(handle)
        try:
            yield handle, content
        except BaseException:
            if is_made and not content and os.name == "posix":
                path.unlink()  # nothing is written, not even an empty file
            raise
    finally:
        os.close(handle)


def _opened(path: Path) -> tuple[int, bool]:
    """Open a file, and say whether it was made for that; a link to nothing is not followed."""
    flags = os.O_RDWR | getattr(os, "O_BINARY", 0)
    try:
        return os.open(path, flags | os.O_CREAT | os.O_EXCL, 0o666), True
    except FileExistsError:
        return os.open(path, flags), False


def _put(handle: int, before: bytes, after: bytes) -> None:
    """Put other bytes in the place of all that a file holds, or leave it as it was."""
    try:
        _add(handle, 0, after)
    except OSError:
        _add(handle, 0, before)
        raise


def _check_inside(path: Path) -> None:
    if not path.resolve().is_relative_to(path.parent.resolve()):
        raise WriteRefused(f"`{path.name}` is a link that leads out of the day folder")
    if path.is_symlink() and not path.exists():
        raise WriteRefused(f"`{path.name}` is a link to nothing")
    if path.exists() and not path.is_file():
        raise WriteRefused(f"`{path.name}` is not a file")


def _appended(
    path: Path,
    aside: Path,
    split: Callable[[bytes], tuple[bytes, bytes]],
    more: Callable[[bytes], bytes],
) -> bool:
    """Add lines to the file as it stands; False when another took its place meanwhile."""
    with _held(path) as held:
        if held is None:
            return False
        handle, content = held
        lines = more(content)
        whole, rest = split(content)
        if rest:
            _keep_aside(aside, rest)
        _add(handle, len(whole), lines)
        if not content:
            sync_folder(path.parent)
        return lock.is_still(path, handle)


def _add(handle: int, length: int, lines: bytes) -> None:
    """Put lines behind the first `length` bytes, all of them or none, and on the disk."""
    try:
        os.ftruncate(handle, length)
        os.lseek(handle, length, os.SEEK_SET)
        if os.write(handle, lines) < len(lines):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        os.fsync(handle)
    except OSError:
        os.ftruncate(handle, length)
        raise


def _keep_aside(path: Path, rest: bytes) -> None:
    """Add the rest of a line to the file for such; never behind a link, nor into a pipe."""
    if path.is_symlink() or (path.exists() and not path.is_file()):
        raise WriteRefused(
            f"`{path.name}` is not a file of the day folder\n"
            "  hint: a line that was cut short is kept in it: move away what stands there"
        )
    with path.open("ab") as file:
        file.write(rest + b"\n")
        file.flush()
        os.fsync(file.fileno())
    sync_folder(path.parent)
