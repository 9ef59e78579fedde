"""Edits put together: the rows in their new order, and the texts of the cells that change."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from sunsched.folder.editing.edit import (
    AddRow,
    ColumnKey,
    DeleteRow,
    Edit,
    EditRefused,
    MoveRow,
    RowKey,
    SetCell,
)
from sunsched.folder.editing.editable import EditableList
from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.folder.tables.table import MAX_COLUMNS
from sunsched.folder.text import words

MAX_CELL = 5000  # characters; a description has far fewer


@dataclass(slots=True, kw_only=True)
class Arranged:
    """What a list is to be: rows below its head by key, cells that change by row and place.

    `titles` has the columns that are added, by place.
    """

    order: list[RowKey]
    texts: dict[RowKey, dict[int, str]] = field(default_factory=dict)
    titles: dict[int, str] = field(default_factory=dict)
    added: set[RowKey] = field(default_factory=set)

    def is_blank(self, key: RowKey) -> bool:
        """Say whether a row is new and nothing was written into it: it is then none."""
        return key in self.added and not any(self.texts.get(key, {}).values())


def arrange(listed: EditableList, keys: Sequence[RowKey], edits: Sequence[Edit]) -> Arranged:
    """Put edits together, each on top of those before it.

    Parameters
    ----------
    listed : EditableList
        The list that they change.
    keys : sequence of RowKey
        Every line of the file below its head, blank ones too.
    edits : sequence of Edit
        What changes.

    Raises
    ------
    EditRefused
        For a row or a column that there is none of, and for a text that no cell can hold.
    """
    found = Arranged(order=[*keys])
    for edit in edits:
        match edit:
            case SetCell():
                _check_row(found, edit.row)
                _write(listed, found, edit.row, edit.column, edit.text)
            case AddRow():
                if edit.row in found.order or edit.row.isdecimal():
                    raise EditRefused("a new row needs a name of its own", row=edit.row)
                found.order.insert(_place_after(found, edit.after), edit.row)
                found.added.add(edit.row)
                for column, text in edit.cells.items():
                    _write(listed, found, edit.row, column, text)
            case DeleteRow():
                _check_row(found, edit.row)
                found.order.remove(edit.row)
                found.texts.pop(edit.row, None)
            case MoveRow():
                _check_row(found, edit.row)
                if edit.row != edit.after:
                    found.order.remove(edit.row)
                    found.order.insert(_place_after(found, edit.after), edit.row)
    return found


def plain_text(text: str) -> str:
    """Give a text as a cell is given it: no space around it, and one kind of line ends."""
    return text.replace("\r\n", "\n").replace("\r", "\n").strip()


def _check_row(found: Arranged, key: RowKey) -> None:
    if key not in found.order:
        raise EditRefused("no such row in the list", row=key)


def _place_after(found: Arranged, key: RowKey | None) -> int:
    if key is None:
        return 0
    _check_row(found, key)
    return found.order.index(key) + 1


def _write(
    listed: EditableList, found: Arranged, row: RowKey, column: ColumnKey, text: str
) -> None:
    text = plain_text(text)
    if len(text) > MAX_CELL:
        expected = f"at most {MAX_CELL:,} characters"
        raise EditRefused("a text too long for a cell", row=row, column=column, expected=expected)
    odd = next((mark for mark in text if _is_odd(mark)), None)
    if odd is not None:
        value = f"U+{ord(odd):04X}"
        raise EditRefused("a sign that is no text", row=row, column=column, value=value)
    at = _at(listed, found, row, column, text)
    if at is not None:
        found.texts.setdefault(row, {})[at] = text


def _is_odd(mark: str) -> bool:
    kind = unicodedata.category(mark)
    return (kind == "Cc" and mark not in "\n\t") or kind == "Cs" or mark in "\ufffe\uffff"


def _at(
    listed: EditableList, found: Arranged, row: RowKey, column: ColumnKey, text: str
) -> int | None:
    """Give the place of a column, which is added where there is none; None for a blank in none."""
    known = listed.column(column)
    if known is not None:
        return known.at
    at = next((at for at, title in found.titles.items() if title == column), None)
    if at is not None or (not text and column in COLUMNS):
        return at
    if column not in COLUMNS:
        hint = words.did_you_mean(column, COLUMNS)
        raise EditRefused("no such column", row=row, column=column, value=column, hint=hint)
    at = listed.free_at + len(found.titles)
    if at >= MAX_COLUMNS:
        expected = f"at most {MAX_COLUMNS} columns"
        raise EditRefused("no room for one more column", row=row, column=column, expected=expected)
    found.titles[at] = column
    return at


def cells_of(listed: EditableList, found: Arranged, key: RowKey) -> Mapping[int, str]:
    """Give the texts that a row is to have, by place; blank ones are left out."""
    own: dict[int, str] = {}
    for line, cells in listed.lines:
        if str(line) == key and key not in found.added:
            own = {at: cell for at, cell in enumerate(cells) if cell is not None}
    own |= found.texts.get(key, {})
    return {at: text for at, text in own.items() if words.clean(text)}
