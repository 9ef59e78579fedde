"""The files that are the day's own: what is handed out never takes the place of one."""

from __future__ import annotations

from pathlib import Path

from sunsched.folder.decisions.file import DECISIONS_FILE
from sunsched.folder.intake.shot_file import SHOT_FILES
from sunsched.folder.read import CLOUD_FILE
from sunsched.folder.store.files import LOG_FILE, SETTINGS_FILE, TORN_FILE
from sunsched.folder.store.write import PLANS
from sunsched.folder.tables.cloths import CLOTH_FILE

_NAMES = {
    *(SETTINGS_FILE, *SHOT_FILES, LOG_FILE, TORN_FILE, DECISIONS_FILE, CLOUD_FILE, CLOTH_FILE),
}


def is_own_file(folder: Path, path: Path) -> bool:
    """Say whether a path names a file of a day folder that this program reads or writes itself.

    Whether it is there does not matter: what is written there would be read as one of them.
    """
    own, name = folder.resolve(), path.name.casefold()
    parent = path.parent.resolve()
    is_horizon = name.startswith("horizon-") and name.endswith(".csv")
    return parent == own / PLANS or (parent == own and (name in _NAMES or is_horizon))
