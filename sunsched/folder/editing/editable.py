"""A shot list as it is written: its columns and rows in the file's order, with the texts typed."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path

from sunsched.errors import FolderError
from sunsched.folder.editing.edit import ColumnKey, RowKey
from sunsched.folder.intake import shot_file
from sunsched.folder.intake.header import Head, best_place, read_head
from sunsched.folder.intake.rows import read_rows
from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.folder.store import files
from sunsched.folder.store.files import Files
from sunsched.folder.tables.sheet import Sheet
from sunsched.folder.tables.table import Line, column_name, says
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings

NEW_FILE = shot_file.SHOT_FILES[0]
NO_VERSION = ""  # of a list that is not there yet
# The columns of a list that is not there yet, in the order of the starter's.
NEW_COLUMNS = (
    *("id", "description", "size", "spot", "look", "sun", "shoot_min"),
    *("rig", "match", "after", "cast"),
)


class Kind(StrEnum):
    """What a row of a list is taken for."""

    SHOT = "shot"
    SECTION = "section"
    HEAD = "head"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a list: its title as written, and the column of ours that it was taken for.

    `known` is None where the column is only kept; `at` is its place in the file, from 0.
    """

    key: ColumnKey
    title: str
    known: str | None
    at: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ListRow:
    """A row of a list that holds anything, below its head; blank cells are left out."""

    key: RowKey
    line: int
    kind: Kind
    cells: Mapping[ColumnKey, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class EditableList:
    """A shot list as it is written.

    `version` changes whenever the file does. `notes` say what was not read. `raw` is the file,
    `head_line` the line of its head (None where it has none), `lines` every line that was read.
    """

    file: str
    version: str
    columns: tuple[Column, ...]
    rows: tuple[ListRow, ...]
    notes: tuple[str, ...] = ()
    raw: bytes = field(repr=False)
    head_line: int | None = field(repr=False)
    lines: tuple[Line, ...] = field(repr=False)
    sheet: str = field(default="", repr=False)

    @property
    def free_at(self) -> int:
        """The place, from 0, of a column that is added: behind all that the table holds."""
        if self.head_line is None:
            return 0
        cut = [cells for line, cells in self.lines if line >= self.head_line]
        return max((at + 1 for cells in cut for at, cell in enumerate(cells) if says(cell)))

    def column(self, key: ColumnKey) -> Column | None:
        """Give a column by its key; None where the list does not have it."""
        return next((one for one in self.columns if one.key == key), None)

    def row(self, key: RowKey) -> ListRow | None:
        """Give a row by its key; None where the list does not have it."""
        return next((one for one in self.rows if one.key == key), None)


def editable_list(folder: Path | str) -> EditableList:
    """Read the shot list of a day folder as it is written.

    Parameters
    ----------
    folder : Path or str
        The day folder. Where it has no shot list, the list is a new and empty `shots.csv`.

    Raises
    ------
    FolderError
        When there is no folder, or its list cannot be read at all, with every fault.
    """
    findings = Findings()
    found = files.open_folder(Path(folder), findings)
    if found is None:
        raise FolderError(tuple(findings.faults))
    if not any(name in found.names for name in shot_file.SHOT_FILES):
        return new_list()
    name = shot_file.find_name(found, Findings()) or NEW_FILE
    raw = files.read_bytes(found, name, findings)
    if raw is None:
        raise FolderError(tuple(findings.faults))
    return list_of(raw, name)


def new_list() -> EditableList:
    """Give the list of a folder that has none: the columns of a `shots.csv`, and no rows."""
    columns = tuple(
        Column(key=name, title=name, known=name, at=at) for at, name in enumerate(NEW_COLUMNS)
    )
    raw = (",".join(NEW_COLUMNS) + "\n").encode()
    return EditableList(
        file=NEW_FILE,
        version=NO_VERSION,
        columns=columns,
        rows=(),
        raw=raw,
        head_line=1,
        lines=((1, [*NEW_COLUMNS]),),
    )


def version_of(raw: bytes) -> str:
    """Give what tells one content of a file from every other."""
    return hashlib.sha256(raw).hexdigest()


def list_of(raw: bytes, file: str) -> EditableList:
    """Read a shot list from its bytes.

    Parameters
    ----------
    raw : bytes
        The whole file.
    file : str
        Its name, which says whether it is a workbook.

    Raises
    ------
    FolderError
        When it cannot be read at all.
    """
    findings = Findings()
    notes: list[str] = []
    held = Files(folder=Path(), names=(file,), unsaved={file: raw})
    sheet = shot_file.read_sheet(held, file, findings, notes)
    if sheet is None:
        raise FolderError(tuple(findings.faults))
    lines = [(line, cells) for line, cells in sheet.lines if line not in sheet.hidden_lines]
    head, is_plain = _head(lines)
    columns = () if head is None else _columns(lines, head)
    return EditableList(
        file=file,
        version=version_of(raw),
        columns=columns,
        rows=() if head is None else _rows(sheet, lines, head, columns, is_plain=is_plain),
        notes=tuple(notes),
        raw=raw,
        head_line=None if head is None else lines[head.place][0],
        lines=tuple(sheet.lines),
        sheet=sheet.name,
    )


def _head(lines: Sequence[Line]) -> tuple[Head | None, bool]:
    """Give the head as the reader takes it, and whether it is but the first line that holds any."""
    place = best_place(lines)
    if place is not None:
        return read_head(lines, place), False
    first = next((at for at, (_, cells) in enumerate(lines) if any(map(says, cells))), None)
    if first is None:
        return None, True
    titles = tuple(words.clean(title or "") for title in lines[first][1])
    names = [column_name(title) for title in titles]
    columns = tuple(
        name if name in COLUMNS and name not in names[:at] else "" for at, name in enumerate(names)
    )
    return Head(place=first, titles=titles, columns=columns, languages=frozenset()), True


def _columns(lines: Sequence[Line], head: Head) -> tuple[Column, ...]:
    below = [cells for _, cells in lines[head.place + 1 :]]
    written = [cell or "" for cell in lines[head.place][1]]
    return tuple(
        Column(key=known or f"#{at + 1}", title=written[at].strip(), known=known or None, at=at)
        for at, (title, known) in enumerate(zip(head.titles, head.columns, strict=True))
        if title or any(at < len(cells) and says(cells[at]) for cells in below)
    )


def _rows(
    sheet: Sheet,
    lines: Sequence[Line],
    head: Head,
    columns: Sequence[Column],
    *,
    is_plain: bool,
) -> tuple[ListRow, ...]:
    shots = read_rows(lines, head)
    kinds = dict.fromkeys(shots.sections, Kind.SECTION)
    kinds |= dict.fromkeys(shots.passed, Kind.OTHER) | dict.fromkeys(shots.heads, Kind.HEAD)
    if is_plain:
        kinds = {}
    found = []
    for line, cells in lines[head.place + 1 :]:
        if not any(map(says, cells)):
            continue
        texts = {}
        for column in columns:
            cell = cells[column.at] if column.at < len(cells) else ""
            if cell is None:  # such as a date, which a spreadsheet made of an id
                cell = sheet.faults[line, column.at].value
            if cell and cell.strip():
                texts[column.key] = cell.strip()
        kind = kinds.get(line, Kind.SHOT)
        found.append(ListRow(key=str(line), line=line, kind=kind, cells=texts))
    return tuple(found)
