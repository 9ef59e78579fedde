"""An edited list saved: whole or not at all, and never over what somebody else has changed."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from sunsched.errors import WriteRefused
from sunsched.folder.editing.edit import Edit
from sunsched.folder.editing.editable import NO_VERSION, EditableList, editable_list
from sunsched.folder.editing.edited import edited_list
from sunsched.folder.store.exchange import exchange


class ListChanged(WriteRefused):
    """Nothing was written, as the list is another one by now; `now` is the list as it is."""

    def __init__(self, now: EditableList) -> None:
        super().__init__(f"`{now.file}` was changed meanwhile, and nothing was written")
        self.now = now


def save_list(folder: Path | str, version: str, edits: Sequence[Edit]) -> EditableList:
    """Save the shot list of a day folder with edits.

    Parameters
    ----------
    folder : Path or str
        The day folder.
    version : str
        That of the list that the edits are for.
    edits : sequence of Edit
        What changes, each on top of those before it.

    Returns
    -------
    EditableList
        The list as it now is; its rows have keys of their own.

    Raises
    ------
    ListChanged
        When the list is not of that version any more; it carries the list as it is.
    EditRefused
        When the file cannot take an edit as it stands.
    FolderError
        When there is no folder, or its list cannot be read at all.
    WriteRefused
        When it cannot be written.
    """
    listed = checked_list(folder, version)
    new = edited_list(listed, edits).listed
    old = None if listed.version == NO_VERSION else listed.raw
    if new.raw == old:
        return listed
    if not exchange(Path(folder) / listed.file, old, new.raw):
        raise ListChanged(editable_list(folder))
    return new


def checked_list(folder: Path | str, version: str) -> EditableList:
    """Give the list of a folder; raises `ListChanged` where it is not of a version any more."""
    listed = editable_list(folder)
    if listed.version != version:
        raise ListChanged(listed)
    return listed
