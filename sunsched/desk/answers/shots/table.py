"""The shot list as it is written, and the words that its cells may hold."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from sunsched.day.model import Size
from sunsched.day.wish import SunSide
from sunsched.desk.work.worker import Memory
from sunsched.folder.editing.editable import Column, EditableList, Kind, ListRow, editable_list
from sunsched.folder.shot_list.columns import COLUMNS

FIRST = ("id", "description", "size", "spot", "look", "sun")  # where the list has them
MOST_SUNS = (SunSide.BACK, SunSide.SIDE, SunSide.FRONT)
Record = dict[str, Any]


def answer(_: Memory, *, folder: str) -> Iterator[Record]:
    """Give the list of a day folder; a folder without one has a new and empty list."""
    yield list_record(editable_list(Path(folder)))


def list_record(listed: EditableList) -> Record:
    """Give a list as plain data, its columns as they are shown: known ones first."""
    known = [column for column in listed.columns if column.known is not None]
    known.sort(key=lambda one: FIRST.index(one.known) if one.known in FIRST else len(FIRST))
    kept = [column for column in listed.columns if column.known is None]
    has = {column.known for column in known}
    return {
        "file": listed.file,
        "version": listed.version,
        "columns": [
            {"key": one.key, "title": one.title, "known": one.known, "at": one.at}
            for one in (*known, *kept)
        ],
        "more": [name for name in COLUMNS if name not in has],
        "rows": [
            {"key": one.key, "line": one.line, "kind": str(one.kind), "cells": dict(one.cells)}
            for one in listed.rows
        ],
        "notes": list(listed.notes),
        "sizes": [str(one) for one in Size],
        "suns": _suns(),
    }


def shown_list(
    file: str, columns: Sequence[Mapping[str, Any]], rows: Sequence[Mapping[str, Any]]
) -> EditableList:
    """Give what a page shows as a list again, to be put beside the one that there is."""
    return EditableList(
        file=file,
        version="",
        columns=tuple(
            Column(key=one["key"], title=one["title"], known=one["known"], at=one["at"])
            for one in columns
        ),
        rows=tuple(
            ListRow(key=one["key"], line=0, kind=Kind(one["kind"]), cells=one["cells"])
            for one in rows
        ),
        raw=b"",
        head_line=None,
        lines=(),
    )


def _suns() -> list[str]:
    """Give the words for the sun that are taken most often; any others can be written too."""
    sides = [str(side) for side in SunSide]
    return [*sides, *(f"{side} {camera}" for side in MOST_SUNS for camera in ("left", "right"))]
