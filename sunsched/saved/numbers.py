"""Which plans are saved in a day folder, by the names of their files alone."""

from __future__ import annotations

import re
from pathlib import Path

from sunsched.folder.store.write import PLANS


def revision_numbers(folder: Path | str) -> tuple[int, ...]:
    """Give the numbers of the plans saved in a day folder, the oldest first.

    Parameters
    ----------
    folder : the day folder

    Returns
    -------
    tuple[int, ...]
        The numbers; none where nothing is saved.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> folder = tempfile.mkdtemp()
    >>> sunsched.revision_numbers(folder)
    ()
    """
    plans = Path(folder) / PLANS
    try:
        found = [path.name for path in plans.iterdir()] if plans.is_dir() else []
    except OSError:
        found = []  # a folder that cannot be looked into has nothing to read
    names = (re.fullmatch(r"(\d{4,})\.json", name, re.ASCII) for name in found)
    return tuple(sorted(int(name[1]) for name in names if name))
