"""The day folders that the desk shows, each by its name; no other file is read or written."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sunsched.folder.store.files import SETTINGS_FILE

MOST_FOLDERS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Folders:
    """Where day folders are looked for: one folder alone, or all within another.

    `only` is the day folder that was asked for; None to show all that stand in `root`.
    """

    root: Path
    only: Path | None = None

    def names(self) -> tuple[str, ...]:
        """Give the names of the day folders, in order."""
        if self.only is not None:
            return (self.only.name,)
        try:
            found = [path.name for path in self.root.iterdir() if _is_day(path)]
        except OSError:
            found = []
        return tuple(sorted(found)[:MOST_FOLDERS])

    def find(self, name: str) -> Path | None:
        """Give the day folder of this name; None where there is none."""
        if self.only is not None:
            return self.only if name == self.only.name else None
        return self.root / name if name in self.names() else None


def folders_of(asked: Path | None, here: Path) -> Folders:
    """Give the folders to show: one day, or those where the command was given.

    Parameters
    ----------
    asked : a day folder, or None
    here : the working folder
    """
    if asked is not None:
        return Folders(root=asked.resolve().parent, only=asked.resolve())
    if _is_day(here):
        return Folders(root=here.resolve().parent, only=here.resolve())
    return Folders(root=here.resolve())


def _is_day(path: Path) -> bool:
    try:
        return not path.name.startswith(".") and (path / SETTINGS_FILE).is_file()
    except OSError:
        return False
