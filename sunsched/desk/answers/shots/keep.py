"""The list saved with edits, or both versions of it where somebody else has changed it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from sunsched.desk.answers.shots.edits import edits_of
from sunsched.desk.answers.shots.table import list_record, shown_list
from sunsched.desk.work.worker import Memory
from sunsched.folder.editing.difference import differences
from sunsched.folder.editing.editable import EditableList, editable_list
from sunsched.folder.editing.saved import ListChanged, save_list

Record = dict[str, Any]


def answer(
    _: Memory,
    *,
    folder: str,
    version: str,
    edits: Sequence[Mapping[str, Any]],
    file: str,
    columns: Sequence[Mapping[str, Any]],
    rows: Sequence[Mapping[str, Any]],
    is_kept: bool,
) -> Iterator[Record]:
    """Save a list; of one that was changed meanwhile, give it with every cell that differs.

    Parameters
    ----------
    version, edits : what changes, and of which version of the list
    file, columns, rows : the table as the page shows it, edits and all
    is_kept : False to compare only, and write nothing
    """
    ours = shown_list(file, columns, rows)
    now = editable_list(Path(folder))
    if not is_kept:
        yield _both(ours, now)
        return
    try:
        yield {"saved": list_record(save_list(Path(folder), version, edits_of(edits)))}
    except ListChanged as error:
        yield _both(ours, error.now)


def _both(ours: EditableList, now: EditableList) -> Record:
    return {
        "now": list_record(now),
        "differences": [asdict(one) for one in differences(ours, now)],
    }
