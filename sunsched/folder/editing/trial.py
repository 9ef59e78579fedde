"""An edited list tried out: the day as it would be read, with every fault at its cell."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from sunsched.day.model import Day
from sunsched.errors import Fault
from sunsched.folder.editing.edit import ColumnKey, Edit, EditRefused, RowKey
from sunsched.folder.editing.editable import Column
from sunsched.folder.editing.edited import Edited, edited_list
from sunsched.folder.editing.saved import checked_list
from sunsched.folder.read import look_at_folder
from sunsched.folder.tables.table import column_name
from sunsched.folder.text import words


@dataclass(frozen=True, slots=True, kw_only=True)
class CellFault:
    """A fault, or a warning, with the row and the column of the list that it is about.

    Either is None where it is about none: the row of a fault in `day.toml`, the column of one that
    is about a whole row. The row is called as the edits call it.
    """

    fault: Fault
    row: RowKey | None
    column: ColumnKey | None

    @property
    def text(self) -> str:
        """The fault without its file and line, as it is told beside the cell."""
        return str(self.fault).partition(": ")[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What a day folder would be with an edited list; nothing is written.

    `day` is None where there are faults; `readable` is the day without the shots at fault and
    without its decisions, if all else of it can be read. `shots` has the row of each shot of that
    by its id. `columns` are those of the edited list: what a title is taken for may depend on the
    cells below it. `taken` says what was taken for what, in whole sentences.
    """

    day: Day | None
    readable: Day | None
    faults: tuple[CellFault, ...]
    warnings: tuple[CellFault, ...]
    shots: dict[str, RowKey]
    columns: tuple[Column, ...]
    taken: tuple[str, ...]


def check_edits(folder: Path | str, version: str, edits: Sequence[Edit]) -> Trial:
    """Read a day folder as it would be with an edited list.

    Parameters
    ----------
    folder : Path or str
        The day folder.
    version : str
        That of the list that the edits are for.
    edits : sequence of Edit
        What changes; none to ask about the list as it is.

    Returns
    -------
    Trial
        The day, or every fault with its cell. An edit that the file cannot take is the only fault.

    Raises
    ------
    ListChanged
        When the list is not of that version any more; it carries the list as it is.
    FolderError
        When there is no folder, or its list cannot be read at all.
    """
    listed = checked_list(folder, version)
    try:
        edited = edited_list(listed, edits)
    except EditRefused as error:
        fault = Fault(
            file=listed.file,
            problem=error.problem,
            value=error.value,
            expected=error.expected,
            hint=error.hint,
        )
        refused = CellFault(fault=fault, row=error.row, column=error.column)
        return Trial(
            day=None,
            readable=None,
            faults=(refused,),
            warnings=(),
            shots={},
            columns=listed.columns,
            taken=(),
        )
    look = look_at_folder(Path(folder), {listed.file: edited.listed.raw})
    return Trial(
        day=look.day,
        readable=look.asked,
        faults=tuple(_placed(look.faults, edited)),
        warnings=tuple(_placed(look.warnings, edited)),
        shots={} if look.asked is None else _shots(look.asked, edited),
        columns=edited.listed.columns,
        taken=look.taken,
    )


def _placed(faults: Iterable[Fault], edited: Edited) -> Iterable[CellFault]:
    for fault in faults:
        if fault.file != edited.listed.file:
            yield CellFault(fault=fault, row=None, column=None)
            continue
        line = edited.listed.head_line if fault.line is None else fault.line
        known = column_name(fault.column) or None
        yield CellFault(fault=fault, row=edited.keys.get(line or 0), column=known)


def _shots(day: Day, edited: Edited) -> dict[str, RowKey]:
    """Give the row of each shot, whose id a list may write in other letters."""
    ids = {shot.id.casefold(): shot.id for shot in day.shots}
    found: dict[str, RowKey] = {}
    for row in edited.listed.rows:
        written = words.plain_hyphens(row.cells.get("id", "")).lstrip("#").casefold()
        if written in ids and row.line in edited.keys:
            found.setdefault(ids[written], edited.keys[row.line])
    return found
