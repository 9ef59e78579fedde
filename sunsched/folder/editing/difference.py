"""Two versions of one list beside each other: which cells differ, and which edits still fit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher

from sunsched.folder.editing.edit import (
    AddRow,
    ColumnKey,
    DeleteRow,
    Edit,
    MoveRow,
    RowKey,
    SetCell,
)
from sunsched.folder.editing.editable import Column, EditableList, Kind, ListRow
from sunsched.folder.text import words

Pair = tuple[Column, ColumnKey | None]
"""A column of one version, and its key in the other; None where that does not have it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A cell that two versions of a list do not have alike; empty texts are blank cells.

    A row that only one version has is told by its first cells: the row of the other is None.
    `shot` is the id of the row, or its first text; `title` that of the column.
    """

    shot: str
    title: str
    ours_row: RowKey | None
    theirs_row: RowKey | None
    column: ColumnKey
    ours: str
    theirs: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rebased:
    """Edits of an older version as edits of a newer one, and those that both sides changed."""

    edits: tuple[Edit, ...]
    collisions: tuple[Edit, ...]


def differences(ours: EditableList, theirs: EditableList) -> tuple[Difference, ...]:
    """Give every cell that two versions of a list do not have alike, in the order of ours.

    Rows are the same where their ids are, those without one where they stand alike among the
    others.

    Parameters
    ----------
    ours, theirs : EditableList
        Two versions of one list.
    """
    there = _same_rows(ours, theirs)
    same = _same_columns(ours, theirs)
    columns: list[Pair] = [(column, same.get(column.key)) for column in ours.columns]
    # Those that only they have stand behind ours.
    alone = [column for column in theirs.columns if column.key not in same.values()]
    columns += [(column, column.key) for column in alone]
    found: list[Difference] = []
    for row in ours.rows:
        other = theirs.row(there[row.key]) if row.key in there else None
        found += _cells(row, other, columns, alone)
    met = set(there.values())
    for row in theirs.rows:
        if row.key not in met:
            found += _cells(None, row, columns, alone)
    return tuple(found)


def rebased(edits: Sequence[Edit], old: EditableList, new: EditableList) -> Rebased:
    """Turn edits of one version of a list into edits of a newer one.

    Parameters
    ----------
    edits : sequence of Edit
        What changes in `old`.
    old, new : EditableList
        The version that the edits are for, and the one that there is now.

    Returns
    -------
    Rebased
        An edit collides where the newer version has other text in its cell, or does not have its
        row any more; with it collide those that build on it.
    """
    there, columns = _same_rows(old, new), _same_columns(old, new)
    moved: list[Edit] = []
    collisions: list[Edit] = []
    added: set[RowKey] = set()
    for edit in edits:
        after = edit.after if isinstance(edit, AddRow | MoveRow) else None
        is_known = isinstance(edit, AddRow) or edit.row in there or edit.row in added
        if not is_known or not (after is None or after in there or after in added):
            collisions.append(edit)
            continue
        row = there.get(edit.row, edit.row)
        match edit:
            case SetCell():
                column = columns.get(edit.column, edit.column)
                if _is_changed(old, new, edit, row, column):
                    collisions.append(edit)
                else:
                    moved.append(replace(edit, row=row, column=column))
            case AddRow():
                added.add(edit.row)
                cells = {columns.get(key, key): text for key, text in edit.cells.items()}
                moved.append(replace(edit, after=_key(after, there), cells=cells))
            case DeleteRow():
                if edit.row in there and _texts(old, edit.row, columns) != _texts(new, row, {}):
                    collisions.append(edit)
                else:
                    moved.append(replace(edit, row=row))
            case MoveRow():
                moved.append(replace(edit, row=row, after=_key(after, there)))
    return Rebased(edits=tuple(moved), collisions=tuple(collisions))


def _key(after: RowKey | None, there: Mapping[RowKey, RowKey]) -> RowKey | None:
    return None if after is None else there.get(after, after)


def _is_changed(
    old: EditableList, new: EditableList, edit: SetCell, row: RowKey, column: ColumnKey
) -> bool:
    before, now = old.row(edit.row), new.row(row)
    if before is None or now is None:  # a new row, which nobody else knows
        return False
    theirs = now.cells.get(column, "")
    return theirs not in (before.cells.get(edit.column, ""), edit.text.strip())


def _texts(
    listed: EditableList, key: RowKey, columns: Mapping[ColumnKey, ColumnKey]
) -> dict[ColumnKey, str]:
    row = listed.row(key)
    cells = {} if row is None else row.cells
    return {columns.get(column, column): text for column, text in cells.items()}


def _cells(
    ours: ListRow | None,
    theirs: ListRow | None,
    columns: Sequence[Pair],
    alone: Sequence[Column],
) -> Iterator[Difference]:
    shown = ours or theirs
    cells = {} if shown is None else shown.cells
    shot = cells.get("id") or next(iter(cells.values()), "")
    for column, other in columns:
        is_ours = column not in alone
        our_text = ours.cells.get(column.key, "") if ours is not None and is_ours else ""
        their_text = theirs.cells.get(other, "") if theirs is not None and other else ""
        if words.clean(our_text) != words.clean(their_text):
            yield Difference(
                shot=shot,
                title=column.title,
                ours_row=None if ours is None else ours.key,
                theirs_row=None if theirs is None else theirs.key,
                column=column.key,
                ours=our_text,
                theirs=their_text,
            )


def _same_columns(one: EditableList, other: EditableList) -> dict[ColumnKey, ColumnKey]:
    """Give the keys of the columns that both have: ours by name, those kept by title."""
    by_title: dict[str, list[Column]] = {}
    for column in other.columns:
        if column.known is None:
            by_title.setdefault(column.title, []).append(column)
    known = {column.key for column in other.columns if column.known is not None}
    found = {}
    for column in one.columns:
        if column.known is not None:
            if column.key in known:
                found[column.key] = column.key
        elif by_title.get(column.title):
            found[column.key] = by_title[column.title].pop(0).key
    return found


def _same_rows(one: EditableList, other: EditableList) -> dict[RowKey, RowKey]:
    """Give the keys of the rows that both have."""
    there = {key: row.key for key, row in _by_id(other).items()}
    found = {row.key: there[key] for key, row in _by_id(one).items() if key in there}
    met = set(found.values())
    rest = [row for row in one.rows if row.key not in found]
    others = [row for row in other.rows if row.key not in met]
    # Shots without an id, sections and remarks: those alike first, then those between them.
    texts = [[(row.kind, *sorted(row.cells.items())) for row in rows] for rows in (rest, others)]
    matcher = SequenceMatcher(a=texts[0], b=texts[1], autojunk=False)
    for _, start, end, first, last in matcher.get_opcodes():
        if end - start == last - first:
            pairs = zip(rest[start:end], others[first:last], strict=True)
            found |= {row.key: twin.key for row, twin in pairs if not _is_other(row, twin)}
    return found


def _is_other(row: ListRow, twin: ListRow) -> bool:
    """Say whether two rows that stand alike are two shots, and not one that was given a new id."""
    if row.kind is not Kind.SHOT or twin.kind is not Kind.SHOT:
        return row.kind is not twin.kind
    if not (row.cells.get("id") and twin.cells.get("id")):
        return False
    alike = [column for column, text in row.cells.items() if twin.cells.get(column) == text]
    return 2 * len(alike) < len(row.cells)


def _by_id(listed: EditableList) -> dict[str, ListRow]:
    """Give the shots by their ids; an id that stands twice names none."""
    found: dict[str, list[ListRow]] = {}
    for row in listed.rows:
        if row.kind is Kind.SHOT and row.cells.get("id"):
            found.setdefault(words.clean(row.cells["id"]).casefold(), []).append(row)
    return {key: rows[0] for key, rows in found.items() if len(rows) == 1}
