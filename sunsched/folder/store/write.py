"""The one writer beside the reader: files appear whole or not at all, and none is overwritten."""

from __future__ import annotations

import os
import re
import secrets
import shutil
import stat
import tempfile
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path

from sunsched.errors import WriteRefused
from sunsched.folder.store import lock

PLANS = "plans"
_REVISION = re.compile(r"(\d{4,})\.json", re.ASCII)


def write_folder(folder: Path, texts: Mapping[str, str | bytes]) -> None:
    """Make a folder of files, all of them or none.

    Parameters
    ----------
    folder : Path
        A folder that does not exist yet, or an empty one; its parent must exist.
    texts : mapping of str to str or bytes
        The text, or the content, of each file by its name.

    Raises
    ------
    WriteRefused
        When the folder holds something already, or cannot be written.
    """
    folder = folder.absolute()
    check_new_folder(folder)
    try:
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".new-") as holder:
            made = Path(holder) / "day"
            made.mkdir()
            for name, text in texts.items():
                _write_whole(made / name, text)
            _move_in(made, folder)
    except OSError as error:
        raise refused_by(folder, error) from error


def check_new_folder(folder: Path) -> None:
    """Refuse a folder that holds something already.

    Raises
    ------
    WriteRefused
        When it does, or cannot be looked at.
    """
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise WriteRefused(
                f"`{folder.name}` exists already and is not an empty folder\n"
                "  hint: nothing was written; give a name that is not taken"
            )
    except OSError as error:
        raise refused_by(folder, error) from error


def save_revision(folder: Path, text_of: Callable[[int], str]) -> int:
    """Save a plan under the next free number in the day folder's `plans`.

    Parameters
    ----------
    folder : Path
        The day folder.
    text_of : callable
        Gives the file's text for a revision's number, or raises to save nothing. Nobody else saves
        while it runs, so what it finds newest is what this one follows.

    Returns
    -------
    int
        The revision: one more than the highest there is, from 1 on.

    Raises
    ------
    WriteRefused
        When `plans` leads out of the day folder, or the file cannot be written.
    """
    plans = folder / PLANS
    try:
        if not plans.resolve().is_relative_to(folder.resolve()):
            raise WriteRefused(f"`{PLANS}` is a link that leads out of the day folder")
        plans.mkdir(exist_ok=True)
        with lock.folder_held(plans):
            revision = 1 + max(_revisions(plans), default=0)
            _save(plans, revision, text_of(revision))
    except (OSError, RuntimeError) as error:  # a loop of links is a RuntimeError before 3.13
        raise refused_by(plans, error) from error
    return revision


def _save(plans: Path, revision: int, text: str) -> None:
    """Write one revision, of a number that nobody else has while the folder is held."""
    target = plans / f"{revision:04}.json"
    part = plans / f".{target.name}.part"  # one that is there was left by a run that was killed
    try:
        _write_whole(part, text)
        part.rename(target)
    finally:
        part.unlink(missing_ok=True)
    sync_folder(plans)


def write_whole(path: Path, content: bytes) -> None:
    """Write a file whole or not at all, in place of an older one of that name.

    An older file keeps its permissions and its owner, and a link within its folder stays one.

    Raises
    ------
    WriteRefused
        When it cannot be written, or what stands there is no file to be replaced: a folder, a
        pipe, a device, a link that leads elsewhere, a file that is read-only. It is then as it was.
    """
    try:
        target = place_of(path)
        part = made_part(target, content)
        try:
            if target.exists():
                keep_owner(target, part)
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
    except (OSError, RuntimeError) as error:  # a loop of links is a RuntimeError before 3.13
        raise refused_by(path, error) from error


def place_of(path: Path) -> Path:
    """Give the file that is written under a name, behind links; it need not be there yet.

    Raises
    ------
    WriteRefused
        When it is none that may be replaced.
    """
    target = path
    if path.is_symlink():
        target = path.resolve()
        if target.parent != path.parent.resolve():
            raise WriteRefused(f"`{path.name}` is a link that leads out of its folder")
    try:
        mode = target.stat().st_mode
    except FileNotFoundError:
        return target
    if stat.S_ISDIR(mode):
        raise WriteRefused(f"`{path.name}` is a folder")
    if not stat.S_ISREG(mode):
        raise WriteRefused(f"`{path.name}` is not a file")
    # A rename asks nobody: it would put a new file in the place of one that is protected.
    if not mode & 0o222 or not os.access(target, os.W_OK):
        raise WriteRefused(f"`{path.name}` is read-only\n  hint: give another name")
    return target


def made_part(path: Path, content: bytes) -> Path:
    """Write content beside its place, under a name that nobody else has."""
    part = path.with_name(f".{secrets.token_hex(8)}.part")
    try:
        with part.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return part


def keep_owner(path: Path, part: Path) -> None:
    """Give a part the permissions and the owner of the file whose place it takes."""
    shutil.copystat(path, part)
    os.utime(part)
    with suppress(OSError):  # to give a file away takes rights that few have
        found = path.stat()
        os.chown(part, found.st_uid, found.st_gid)


def _revisions(plans: Path) -> list[int]:
    found = (_REVISION.fullmatch(path.name) for path in plans.iterdir())
    return [int(match[1]) for match in found if match]


def _move_in(made: Path, folder: Path) -> None:
    if not folder.exists():
        made.rename(folder)
        sync_folder(folder.parent)
        return
    # An empty folder is filled, not replaced: a shell may stand in it.
    moved: list[Path] = []
    try:
        for path in sorted(made.iterdir()):
            path.rename(folder / path.name)
            moved.append(folder / path.name)
    except OSError:
        for path in moved:
            path.unlink()
        raise
    sync_folder(folder)


def _write_whole(path: Path, text: str | bytes) -> None:
    with path.open("wb") as file:
        file.write(text if isinstance(text, bytes) else text.encode())
        file.flush()
        os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """Make a rename last through a power cut, where the system lets a folder be opened."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def refused_by(path: Path, error: OSError | RuntimeError) -> WriteRefused:
    """Give what is raised where the system does not let a file be written."""
    reason = getattr(error, "strerror", None) or "its links run in a circle"
    text = f"`{path.name}` cannot be written ({str(reason).lower()})"
    if isinstance(error, FileNotFoundError | NotADirectoryError | PermissionError):
        text += f"\n  hint: its folder is `{path.parent}`"
    return WriteRefused(text)
