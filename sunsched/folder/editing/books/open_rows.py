"""Blank rows put into a sheet of an .ods workbook (OpenDocument, OASIS standard 1.3)."""

from __future__ import annotations

import copy
import re
from typing import Any

from sunsched.folder.editing.books import packed
from sunsched.folder.editing.books.open_parts import (
    CELL,
    CELLS_REPEATED,
    CONTENT,
    COVERED,
    ROW,
    ROWS_REPEATED,
    TABLE,
    row_at,
    table_of,
)
from sunsched.folder.editing.books.open_words import moved_addresses, moved_formula
from sunsched.folder.editing.books.opened import NotMoved, Opened

ROWS_SPANNED, STYLE = f"{TABLE}number-rows-spanned", f"{TABLE}style-name"
# Attributes that hold a formula, and those that hold addresses.
_FORMULA = re.compile(r"\{[^}]*(?:table:1\.0|calcext:1\.0)\}(?:formula|condition|value|expression)")
_ADDRESSES = re.compile(r"\{[^}]*\}(?:[a-z-]*-address(?:es)?|print-ranges)")


def with_rows(raw: bytes, opened: Opened) -> bytes:
    """Give a workbook with blank rows in one of its sheets.

    Raises
    ------
    NotMoved
        Where something looks at the rows below and cannot be moved along.
    """
    parts = packed.parts(raw)
    for name, part in parts.items():
        if name != CONTENT and name.endswith("content.xml") and opened.sheet.encode() in part:
            raise NotMoved("a chart that shows the list")
    tree = packed.tree(parts[CONTENT])
    table = table_of(tree, opened.sheet)
    _check_merged(table, opened)
    for one in tree.iter():
        for name, text in one.attrib.items():
            if _FORMULA.fullmatch(name):
                is_here = next((up for up in one.iterancestors() if up is table), None) is table
                one.set(name, moved_formula(text, opened, is_here=is_here))
            elif _ADDRESSES.fullmatch(name):
                one.set(name, moved_addresses(text, opened))
    for before in sorted(opened.counts, reverse=True):
        like, below = row_at(table, opened.like(before)), row_at(table, before)
        for _ in range(opened.counts[before]):
            below.addprevious(_blank(like))
    return packed.packed(raw, {CONTENT: packed.part(tree)})


def _check_merged(table: Any, opened: Opened) -> None:
    line = 1
    for row in table.iter(ROW):
        if next(row.iterancestors(f"{TABLE}table")) is not table:
            continue
        deep = max((int(cell.get(ROWS_SPANNED) or 1) for cell in row), default=1)
        if deep > 1 and opened.is_within(line, line + deep - 1):
            raise NotMoved("a merged cell that runs over the place")
        line += int(row.get(ROWS_REPEATED) or 1)


def _blank(like: Any) -> Any:
    """Give a row that looks like another one and holds nothing."""
    made = copy.deepcopy(like)
    made.tail = None
    for part in [*made]:
        if part.tag not in (CELL, COVERED):
            made.remove(part)
            continue
        for inner in [*part]:
            part.remove(inner)
        part.tag = CELL
        for name in [*part.attrib]:
            if name not in (STYLE, CELLS_REPEATED):
                del part.attrib[name]
    return made
