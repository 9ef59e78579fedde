"""The parts of an .xlsx workbook (Office Open XML, ECMA-376): that of a sheet, and its links."""

from __future__ import annotations

import posixpath
from collections.abc import Mapping
from typing import Any

from sunsched.folder.editing.books import packed

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
LINKS = "{http://schemas.openxmlformats.org/package/2006/relationships}"
LINK = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
BOOK, SHEETS = "xl/workbook.xml", "xl/worksheets/"


def sheet_of(parts: Mapping[str, bytes], sheet: str) -> Any:
    """Give what the workbook says of one of its sheets."""
    book = packed.tree(parts[BOOK])
    (found,) = (one for one in book.iter(f"{MAIN}sheet") if one.get("name") == sheet)
    return found


def sheet_part(parts: Mapping[str, bytes], sheet: str) -> str:
    """Give the name of the part that holds a sheet."""
    link = sheet_of(parts, sheet).get(LINK)
    (found,) = (target for key, _, target in linked(parts, BOOK) if key == link)
    return found


def linked(parts: Mapping[str, bytes], name: str) -> list[tuple[str, str, str]]:
    """Give what a part leads to: the key, the last word of the kind, and the part's name."""
    folder, _, file = name.rpartition("/")
    links = parts.get(f"{folder}/_rels/{file}.rels")
    if links is None:
        return []
    return [
        (
            one.get("Id"),
            one.get("Type").rpartition("/")[2],
            posixpath.normpath(posixpath.join(f"/{folder}", one.get("Target"))).lstrip("/"),
        )
        for one in packed.tree(links).iter(f"{LINKS}Relationship")
        if one.get("TargetMode") != "External"
    ]
