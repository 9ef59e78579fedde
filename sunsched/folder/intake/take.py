"""One list as it comes turned into rows of our columns, with notes of all that was taken."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from sunsched.errors import lines_text
from sunsched.folder.intake.above import NAMED_ONCE, fill_from_above
from sunsched.folder.intake.header import Head, best_place, read_head
from sunsched.folder.intake.rows import Shots, read_rows
from sunsched.folder.intake.titles import SHORT_SIZES, slip_of
from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.folder.tables.sheet import Sheet
from sunsched.folder.tables.table import Line, Table, column_name, says, table_of
from sunsched.folder.text import bands, words
from sunsched.folder.text.findings import Findings

# Letters of compass points in two families of languages: `O` is east in one and west in the other.
EAST = {"de"}
WEST = {"fr", "es", "it", "pt"}
_POINT = re.compile(r"[NSOEWL]{1,3}")


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenColumn:
    """A column of a list: its title, the first of its cells, and the column of ours that it is.

    `known` is None where the title is not known: the column is kept and nothing reads it.
    """

    title: str
    first: str
    known: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A list as rows of our columns; `notes` say what was taken for what, in whole sentences.

    `columns` are those of the list that hold anything. `sheet` is the one of a
    workbook that was read; "" for a text.
    """

    table: Table
    notes: tuple[str, ...]
    columns: tuple[TakenColumn, ...] = ()
    sheet: str = ""


def take_sheet(
    sheet: Sheet, file: str, findings: Findings, *, is_slip_taken: bool = False
) -> Taken | None:
    """Turn one sheet into rows of our columns.

    Parameters
    ----------
    sheet : Sheet
        Its rows of cells.
    file : str
        Its name, for faults.
    findings : Findings
        Where faults are noted: slips of known titles, titles that stand twice, cells that cannot be
        read.
    is_slip_taken : bool
        Take a slip of a known title for the title, and keep a column without one; both are said.

    Returns
    -------
    Taken or None
        None, with the fault noted, when there is no table.
    """
    lines = [(line, cells) for line, cells in sheet.lines if line not in sheet.hidden_lines]
    notes: list[str] = []
    hidden = [
        line for line, cells in sheet.lines if line in sheet.hidden_lines and any(map(says, cells))
    ]
    if hidden:
        notes.append(f"{_lines_are(hidden)} hidden in the spreadsheet: not read; show what counts")
    place = best_place(lines)
    if place is None:
        _note_cells(sheet, {}, None, findings)
        table = table_of(lines, file, COLUMNS, findings)
        return None if table is None else Taken(table=table, notes=tuple(notes))
    above = [line for line, cells in lines[:place] if any(map(says, cells))]
    if above:
        notes.append(f"{_lines_are(above)} above the head: not read")
    head = read_head(lines, place)
    if is_slip_taken:
        head = _without_slips(head, notes)
    shots = read_rows(lines, head)
    names, kept = _names(head, shots)
    _note_cells(sheet, dict(enumerate(names)), shots, findings, kept)
    notes += _head_notes(head, kept)
    notes += _row_notes(shots)
    table = table_of(
        _filled(sheet, lines[place][0], head, names, shots, notes), file, COLUMNS, findings, kept
    )
    if table is None:
        return None
    columns = tuple(_columns(lines[place][1], head, shots))
    return Taken(table=table, notes=tuple(notes), columns=columns)


def _columns(written: Sequence[str | None], head: Head, shots: Shots) -> Iterable[TakenColumn]:
    """Give the columns that hold anything, by the titles that stand in the list."""
    for at, column in enumerate(head.columns):
        cells = (cells[at] for _, cells in shots.rows if at < len(cells))
        first = next((words.clean(cell) for cell in cells if cell and says(cell)), "")
        title = words.clean(written[at] or "") if at < len(written) else ""
        if first:
            yield TakenColumn(title=title, first=first, known=column or None)


def _without_slips(head: Head, notes: list[str]) -> Head:
    """Give a head whose slips are what they most likely are, and whose blanks have a name."""
    columns, titles = list(head.columns), list(head.titles)
    for at, title in enumerate(titles):
        slip = "" if columns[at] else slip_of(title)
        if slip and slip not in columns:
            columns[at] = slip
            notes.append(f"`{title}` is nearly {slip}, and taken for it")
        elif slip:
            titles[at] = f"{title} (list)"
        elif not title:
            titles[at] = f"column {at + 1}"
    return replace(head, columns=tuple(columns), titles=tuple(titles))


def _names(head: Head, shots: Shots) -> tuple[list[str], dict[str, str]]:
    """Give the name of each column, and the titles of those that are kept, by name.

    A slip of a known title keeps its own, which is a fault; a column without title and cells is
    none.
    """
    names: list[str] = []
    kept: dict[str, str] = {}
    for at, (title, column) in enumerate(zip(head.titles, head.columns, strict=True)):
        own = column_name(title)
        is_empty = not any(at < len(cells) and says(cells[at]) for _, cells in shots.rows)
        if column:
            names.append(title if own == column else column)
        elif is_empty and (not own or title == f"column {at + 1}"):
            names.append("")
        elif slip_of(title) or not own:
            names.append(title)
        else:
            name = f"kept_{own}" if own in COLUMNS or f"kept_{own}" in kept else own
            kept[name] = title
            names.append(name)
    return names, kept


def _filled(
    sheet: Sheet,
    header_line: int,
    head: Head,
    names: list[str],
    shots: Shots,
    notes: list[str],
) -> list[Line]:
    """Give the lines with our names: spots of sections put in, empty columns left out."""
    places = [
        at
        for at, name in enumerate(names)
        # Cells without any title above them are told as such.
        if name or any(at < len(cells) and says(cells[at]) for _, cells in shots.rows)
    ]
    titles = [names[at] for at in places]
    columns = [column_name(title) for title in titles]
    added = {"spot": shots.spots, "scene": shots.scenes}
    if "spot" in columns:  # then a section only says it again, unless the cell is blank
        at = places[columns.index("spot")]
        rows = [line for line, cells in shots.rows if at < len(cells) and says(cells[at])]
        added["spot"] = {line: spot for line, spot in shots.spots.items() if line not in rows}
    extra = [name for name in NAMED_ONCE if added[name] and name not in columns]
    if added["spot"]:
        spots = list(dict.fromkeys(added["spot"].values()))
        notes.append(f"spots taken from rows that stand alone: {words.listed(spots, 'and')}")
    table: list[Line] = [(header_line, [*titles, *extra])]
    width = len(names)
    for line, cells in shots.rows:
        row = [_cell(cells[at] if at < len(cells) else "", at, head) for at in places]
        for number, at in enumerate(places):
            # A date is no fault in a column that nothing reads.
            fault = sheet.faults.get((line, at))
            if row[number] is None and not head.columns[at] and fault is not None:
                row[number] = fault.value
        for name in NAMED_ONCE:
            if name in columns and not row[columns.index(name)] and line in added[name]:
                row[columns.index(name)] = added[name][line]
        row += [added[name].get(line, "") for name in extra]
        table.append((line, [*row, *(cells[width:])]))
    notes += fill_from_above(table[1:], [*columns, *extra])
    return table


def _cell(cell: str | None, at: int, head: Head) -> str | None:
    """Give a cell as our readers know it: hours as such, and compass points of other languages."""
    if not cell:
        return cell
    text = words.clean(cell)
    if at in head.hours and re.fullmatch(r"\d+(?:[.,]\d+)?", text):
        return f"{text} h"
    column = head.columns[at]
    if column == "lens_mm":
        return re.sub(r"(?i)\s*mm\.?$", "", text)
    if column in ("id", "after"):
        return text.lstrip("#")
    if column == "size" and len(head.languages) == 1:
        return SHORT_SIZES[min(head.languages)].get(text.upper(), cell)
    if column == "look" and _POINT.fullmatch(bands.joined_point(text)):
        text = bands.joined_point(text)
        if head.languages and head.languages <= EAST:
            return text.upper().replace("O", "E")
        if head.languages & WEST and not head.languages & EAST:
            east = text.upper().replace("L", "E") if "pt" in head.languages else text.upper()
            return east.replace("O", "W")
    return cell


def _note_cells(
    sheet: Sheet,
    names: Mapping[int, str],
    shots: Shots | None,
    findings: Findings,
    kept: Mapping[str, str] | None = None,
) -> None:
    """Note the faults of cells that are read; what stands in a column that is kept is none."""
    rows = None if shots is None else {line for line, _ in shots.rows}
    for (line, at), fault in sheet.faults.items():
        name = names.get(at, fault.column)
        if (rows is None or line in rows) and name not in (kept or {}):
            findings.faults.append(replace(fault, column=name))


def _head_notes(head: Head, kept: Mapping[str, str]) -> Iterable[str]:
    taken = [
        f"`{title}` is {column}"
        for title, column in zip(head.titles, head.columns, strict=True)
        if column and column_name(title) != column
    ]
    if taken:
        yield f"columns: {', '.join(taken)}"
    if kept:
        yield f"columns kept as they are: {', '.join(kept.values())}"
    for at in sorted(head.hours):
        yield f"`{head.titles[at]}` is in hours"
    for at in sorted(head.clocks):
        yield (
            f"`{head.titles[at]}` holds clock times: kept, and no shot is held to them; call the "
            "column `pin` to hold all to theirs"
        )


def _row_notes(shots: Shots) -> Iterable[str]:
    if shots.sections:
        text = ", ".join(f"`{one}`" for one in shots.sections.values())
        yield f"sections, not shots: {text}"
    if shots.passed:
        texts = [one.strip() for one in shots.passed.values()]
        texts = [one if len(one) < 40 else one[:39] + "…" for one in texts]
        yield f"rows that are no shots: {', '.join(f'`{one}`' for one in texts)}"
    if shots.heads:
        yield f"the head stands again on {lines_text(shots.heads)}"


def _lines_are(lines: Sequence[int]) -> str:
    """Say which lines are meant, with the verb that fits their number."""
    return f"{lines_text(lines)} {'is' if len(lines) == 1 else 'are'}"
