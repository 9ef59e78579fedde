"""Edits of a table as a page sends them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from sunsched.errors import SunschedError
from sunsched.folder.editing.edit import AddRow, DeleteRow, Edit, MoveRow, SetCell


def edits_of(given: Sequence[Mapping[str, Any]]) -> tuple[Edit, ...]:
    """Give edits: each has its `kind` and what that needs."""
    return tuple(_edits(given))


def _edits(given: Sequence[Mapping[str, Any]]) -> Iterator[Edit]:
    for one in given:
        row = one["row"]
        match one["kind"]:
            case "set":
                if one["column"] is None:
                    raise SunschedError("an edit of no column")
                yield SetCell(row=row, column=one["column"], text=one["text"])
            case "add":
                yield AddRow(row=row, after=one["after"], cells=one["cells"])
            case "delete":
                yield DeleteRow(row=row)
            case _:
                yield MoveRow(row=row, after=one["after"])
