"""Edits of a list in a workbook as cells that are set, once there are rows for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from sunsched.folder.editing.arranged import arrange
from sunsched.folder.editing.edit import (
    AddRow,
    ColumnKey,
    DeleteRow,
    Edit,
    EditRefused,
    MoveRow,
    RowKey,
)
from sunsched.folder.editing.editable import EditableList
from sunsched.folder.tables.sheet import cell_letters
from sunsched.folder.tables.table import says

IN_SHEET = "do it in the spreadsheet, where formulas and merged cells go along"


@dataclass(slots=True, kw_only=True)
class CellsSet:
    """The texts to be set, by line and place from 0; blank ones empty a cell.

    `keys` has what the edits call each row, by its line now, `names` those of deleted rows too, and
    `columns` what they call the columns. `like` is, for a line that holds a new row, the one whose
    looks it takes.
    """

    texts: dict[tuple[int, int], str] = field(default_factory=dict)
    keys: dict[int, RowKey] = field(default_factory=dict)
    like: dict[int, int] = field(default_factory=dict)
    names: dict[int, RowKey] = field(default_factory=dict)
    columns: dict[int, ColumnKey] = field(default_factory=dict)

    def refused(self, problem: str, line: int, at: int) -> EditRefused:
        """Give the refusal of what a cell is set to."""
        return EditRefused(
            problem,
            row=self.names.get(line),
            column=self.columns.get(at),
            value=f"{cell_letters(at)}{line}",
            hint="change it in the spreadsheet",
        )


def cells_set(listed: EditableList, edits: Sequence[Edit]) -> CellsSet:
    """Give the cells that edits set in a sheet.

    A row that is deleted is left blank, and a new one takes a blank line below the row that it
    follows: `lines_to_open` says where there is none yet.

    Raises
    ------
    EditRefused
        For a row that is moved, and for what `arrange` refuses.
    """
    head = listed.head_line or 0
    lines = {line: cells for line, cells in listed.lines if line > head}
    found = arrange(listed, [str(line) for line in lines], edits)
    made = CellsSet(
        keys={line: str(line) for line in lines},
        names={line: str(line) for line in lines},
        columns={one.at: one.key for one in listed.columns} | found.titles,
    )
    made.texts |= {(max(head, 1), at): title for at, title in found.titles.items()}
    for edit in edits:
        if isinstance(edit, MoveRow):
            raise EditRefused("rows of a workbook are not moved here", row=edit.row, hint=IN_SHEET)
        if isinstance(edit, DeleteRow) and edit.row.isdecimal():
            line = int(edit.row)
            filled = [at for at, cell in enumerate(lines[line]) if says(cell)]
            made.texts |= {(line, at): "" for at in filled}
            made.keys.pop(line)
    for key, texts in found.texts.items():
        if key not in found.added:
            made.texts |= {(int(key), at): text for at, text in texts.items()}
    taken: dict[RowKey, int] = {}
    after = {edit.row: edit.after for edit in edits if isinstance(edit, AddRow)}
    for key in found.order:
        if key not in found.added or found.is_blank(key):
            continue
        above = _line(after[key], after, taken, head)
        line = above + 1
        while line in taken.values():
            line += 1
        taken[key] = line
        made.keys[line] = made.names[line] = key
        if above > head:
            made.like[line] = above
        made.texts |= {(line, at): text for at, text in found.texts[key].items()}
    return made


def lines_to_open(listed: EditableList, edits: Sequence[Edit]) -> dict[int, list[RowKey]]:
    """Give the new rows for which a sheet has no blank lines, by the line that they come before.

    Raises
    ------
    EditRefused
        For what `arrange` refuses.
    """
    head = listed.head_line or 0
    lines = {line: cells for line, cells in listed.lines if line > head}
    found = arrange(listed, [str(line) for line in lines], edits)
    after = {edit.row: edit.after for edit in edits if isinstance(edit, AddRow)}
    new: dict[int, list[RowKey]] = {}
    for key in found.order:
        if key in found.added and not found.is_blank(key):
            new.setdefault(_line(after[key], after, {}, head), []).append(key)
    written = sorted(line for line, cells in lines.items() if any(map(says, cells)))
    opened: dict[int, list[RowKey]] = {}
    for above, keys in new.items():
        below = next((line for line in written if line > above), None)
        if below is not None and len(keys) > below - above - 1:
            opened[below] = keys[below - above - 1 :]
    return opened


def _line(
    key: RowKey | None,
    after: dict[RowKey, RowKey | None],
    taken: dict[RowKey, int],
    head: int,
) -> int:
    """Give the line of a row that another one follows; of one that is blank, that of its own."""
    while key is not None and not key.isdecimal() and key not in taken:
        key = after[key]
    return head if key is None else taken.get(key, int(key) if key.isdecimal() else head)
