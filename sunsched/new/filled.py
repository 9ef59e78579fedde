"""The files of a day with the shots of a list that is settled; each reads without a fault."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from sunsched.errors import FolderError
from sunsched.folder.intake.settle import Settled
from sunsched.folder.listing import (
    SHOTS_FILE,
    day_of_list,
    list_text,
    read_as_written,
    read_settings_text,
    with_new_names,
)
from sunsched.folder.starter import example_part
from sunsched.folder.store.files import SETTINGS_FILE


def new_texts(base: Mapping[str, str], settled: Settled) -> dict[str, str]:
    """Give the files of a new day with the shots of a list.

    Parameters
    ----------
    base : mapping of str to str
        The files of a starter day.
    settled : Settled
        The list.

    Raises
    ------
    FolderError
        With every fault that the day would have.
    """
    day = day_of_list(base[SETTINGS_FILE], settled)
    texts = {**base, SETTINGS_FILE: day, SHOTS_FILE: list_text(settled)}
    read_as_written(None, texts)
    return texts


def texts_for(folder: Path, settled: Settled) -> tuple[dict[str, str], list[str]]:
    """Give the files that put a list into a folder: its day.toml too if it lacks names.

    The second part says which names are new there. Raises as `new_texts`.
    """
    texts, added = {SHOTS_FILE: list_text(settled)}, list[str]()
    day = read_settings_text(folder)
    if example_part() in day:  # spots, cast, rig and match of the starter's own shots go with them
        texts[SETTINGS_FILE] = day_of_list(day, settled)
        added = ["the spots and the cast of the list, for those of the starter's shots"]
    try:
        read_as_written(folder, texts)
    except FolderError as error:
        day, added = with_new_names(day, error.faults, settled)
        if not added:
            raise
        texts[SETTINGS_FILE] = day
        read_as_written(folder, texts)
    return texts, added
