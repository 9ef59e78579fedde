"""The bytes of a list after edits, read back before anybody is given them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sunsched.errors import FolderError
from sunsched.folder.editing.arranged import arrange, cells_of
from sunsched.folder.editing.delimited import edited_text
from sunsched.folder.editing.edit import Edit, EditRefused, RowKey
from sunsched.folder.editing.editable import EditableList, list_of
from sunsched.folder.editing.workbooks import edited_book
from sunsched.folder.tables import workbook
from sunsched.folder.text import words


@dataclass(frozen=True, slots=True, kw_only=True)
class Edited:
    """A list after edits; `keys` has what the edits call each of its rows, by its line now."""

    listed: EditableList
    keys: Mapping[int, RowKey]


def edited_bytes(listed: EditableList, edits: Sequence[Edit]) -> bytes:
    """Give the bytes of a list after edits; what they do not touch is as it was.

    Parameters
    ----------
    listed : EditableList
        The list that they change.
    edits : sequence of Edit
        What changes, each on top of those before it.

    Raises
    ------
    EditRefused
        When the file cannot take an edit as it stands.
    """
    return edited_list(listed, edits).listed.raw


def edited_list(listed: EditableList, edits: Sequence[Edit]) -> Edited:
    """Give a list after edits, with what the edits call its rows; raises as `edited_bytes`."""
    if listed.file.endswith(workbook.ENDINGS):
        raw, keys = edited_book(listed, edits)
    else:
        raw, keys = edited_text(listed, edits)
    try:
        new = list_of(raw, listed.file)
    except FolderError as error:
        raise EditRefused("the list could not be read after this", hint=str(error)) from None
    _check(listed, edits, new, keys)
    return Edited(listed=new, keys=keys)


def _check(
    listed: EditableList,
    edits: Sequence[Edit],
    new: EditableList,
    keys: Mapping[int, RowKey],
) -> None:
    """Compare what is read of the new bytes with what they should hold, cell by cell."""
    below = [str(line) for line, _ in listed.lines if line > (listed.head_line or 0)]
    found = arrange(listed, below, edits)
    meant = [(key, cells_of(listed, found, key)) for key in found.order]
    held = [
        (keys.get(line, ""), {at: cell for at, cell in enumerate(cells) if words.clean(cell or "")})
        for line, cells in new.lines
        if line > (new.head_line or 0)
    ]
    for (key, texts), (other, cells) in zip(
        ((key, texts) for key, texts in meant if texts),
        ((key, cells) for key, cells in held if cells),
        strict=False,
    ):
        same = {at: words.clean(text) for at, text in texts.items()}
        if key != other or same != {at: words.clean(cell or "") for at, cell in cells.items()}:
            raise EditRefused("what is written there would be read as something else", row=key)
    titles = {at: title for at, title in found.titles.items() if new.column(title) is None}
    counts = [sum(1 for _, texts in side if texts) for side in (meant, held)]
    if titles or counts[0] != counts[1]:
        raise EditRefused("the list would be read as another one after this")
