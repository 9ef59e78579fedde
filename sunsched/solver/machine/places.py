"""Where compiled functions may be kept: the first folder that takes them has them."""

from __future__ import annotations

import os
import stat
import tempfile
from pathlib import Path

from numba import config
from numba.core.caching import _CacheLocator
from numba.misc.appdirs import AppDirs

OWN = "sunsched"


def places_of(file: str) -> tuple[Path, ...]:
    """Give the folders in which what is compiled of a module may be kept, the best first.

    That of `NUMBA_CACHE_DIR` if it is set; the one beside the module; one in the user's folder for
    such files; a temporary one that nobody else can write to.
    """
    within = _CacheLocator.get_suitable_cache_subpath(file)
    found = [Path(config.CACHE_DIR) / within] if config.CACHE_DIR else []
    found.append(Path(file).parent / "__pycache__")
    found.append(Path(AppDirs(appname=OWN, appauthor=False).user_cache_dir) / within)
    temporary = temporary_place()
    return (*found, temporary / within) if temporary is not None else tuple(found)


def temporary_place() -> Path | None:
    """Give the temporary folder for this user; None where there is none that is surely theirs.

    What is read from it is run, so nobody else may have laid it there.
    """
    try:
        above = Path(tempfile.gettempdir())
    except OSError:
        return None
    if os.name != "posix":
        return above / OWN  # each user has their own there
    path = above / f"{OWN}-{os.getuid()}"
    try:
        path.mkdir(mode=0o700, exist_ok=True)
        found = path.lstat()
    except OSError:
        return None
    is_own = stat.S_ISDIR(found.st_mode) and found.st_uid == os.getuid()
    return path if is_own and not found.st_mode & 0o022 else None
