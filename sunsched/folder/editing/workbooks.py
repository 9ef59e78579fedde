"""A list in a workbook after edits: rows are put in where they need room, then cells are set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from sunsched.errors import FolderError
from sunsched.folder.editing import office_sheet, open_sheet
from sunsched.folder.editing.books import office_rows, open_rows
from sunsched.folder.editing.books.opened import NotMoved, Opened
from sunsched.folder.editing.cells_set import IN_SHEET, cells_set, lines_to_open
from sunsched.folder.editing.edit import AddRow, Edit, EditRefused, MoveRow, RowKey
from sunsched.folder.editing.editable import EditableList, list_of


def edited_book(listed: EditableList, edits: Sequence[Edit]) -> tuple[bytes, dict[int, RowKey]]:
    """Give the bytes of an edited workbook, and the keys of its rows by their lines now.

    Raises
    ------
    EditRefused
        When the workbook cannot take an edit as it stands.
    """
    is_open = listed.file.endswith(".ods")
    with_cells = open_sheet.with_cells if is_open else office_sheet.with_cells
    with_rows = open_rows.with_rows if is_open else office_rows.with_rows
    new = lines_to_open(listed, edits)
    if not new:
        made = cells_set(listed, edits)
        return with_cells(listed.raw, listed.sheet, made), made.keys
    counts = {line: len(keys) for line, keys in new.items()}
    opened = Opened(sheet=listed.sheet, head=listed.head_line or 0, counts=counts)
    first = next(iter(new.values()))[0]
    try:
        held = list_of(with_rows(listed.raw, opened), listed.file)
    except NotMoved as error:
        raise EditRefused(
            f"a row in the middle of this list would not move all that is below it: {error}",
            row=first,
            hint=f"add it at the end, or {IN_SHEET}",
        ) from None
    except FolderError as error:
        raise EditRefused("the list could not be read after this", hint=str(error)) from None
    lines = [line for line, _ in listed.lines]
    keys = {str(line): str(opened.line(line)) for line in lines}
    names = {other: key for key, other in keys.items()}
    try:
        made = cells_set(held, [_with_keys(edit, keys) for edit in edits])
        raw = with_cells(held.raw, held.sheet, made)
    except EditRefused as error:
        if error.row is not None:
            error.row = names.get(error.row, error.row)
        raise
    return raw, {line: names.get(key, key) for line, key in made.keys.items()}


def _with_keys(edit: Edit, keys: Mapping[RowKey, RowKey]) -> Edit:
    """Give an edit with the rows of the file by other keys."""
    row = keys.get(edit.row, edit.row)
    if isinstance(edit, (AddRow, MoveRow)):
        after = None if edit.after is None else keys.get(edit.after, edit.after)
        return replace(edit, row=row, after=after)
    return replace(edit, row=row)
