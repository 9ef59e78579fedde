"""Which plans are saved in a day folder, by the names of their files alone."""

from __future__ import annotations

import re
from pathlib import Path

from sunsched.errors import Fault, FolderError
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

    Raises
    ------
    FolderError
        When the folder of saved plans cannot be read.

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
        found = [path.name for path in plans.iterdir()]
    except FileNotFoundError:
        if not plans.is_symlink():
            return ()
        raise FolderError((Fault(file=PLANS, problem="a link to nothing"),)) from None
    except OSError as error:
        # A folder that cannot be looked into may hold the plan that everybody follows.
        problem = f"cannot be read ({str(error.strerror).lower()})"
        hint = "saved plans stand in this folder; nothing is known of them until it can be read"
        raise FolderError((Fault(file=PLANS, problem=problem, hint=hint),)) from None
    names = (re.fullmatch(r"(\d{4,})\.json", name, re.ASCII) for name in found)
    return tuple(sorted(int(name[1]) for name in names if name))
