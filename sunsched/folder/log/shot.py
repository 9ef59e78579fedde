"""A shot added during the day: one row of the log, read as a row of the shot list is."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from sunsched.day.model import Shot
from sunsched.folder.settings.facts import Facts, find
from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.folder.shot_list.shots import read_shots
from sunsched.folder.tables.cells import Cells
from sunsched.folder.tables.table import Row, Table
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings


def shot_cells(row: Row) -> tuple[tuple[str, str], ...]:
    """Give the cells of a row that belong to the shot list, as they are kept."""
    return tuple(
        (column, words.clean(row.cells[column])) for column in COLUMNS if column in row.cells
    )


def read_added(cells: Cells, facts: Facts, others: Mapping[str, Shot]) -> Shot | None:
    """Read a new shot as the shot list is read; None, with the faults noted, if it cannot be.

    Parameters
    ----------
    cells : the row, with the columns of the shot list
    facts : what `day.toml` says
    others : the shots that there are, by id
    """
    row, findings = cells.row, cells.findings
    before = len(findings.faults)
    # The reader of the shot list knows one list only, so the ids of other shots are read here.
    own = {column: text for column, text in row.cells.items() if column != "after"}
    alone = Row(file=row.file, line=row.line, cells=own, unreadable=row.unreadable)
    notes = Findings(faults=findings.faults)
    table = Table(file=row.file, header_line=row.line, columns=tuple(COLUMNS), rows=(alone,))
    shots = read_shots(table, facts, notes)
    # A match of one shot here is most often one with shots of the list.
    findings.warnings.extend(one for one in notes.warnings if one.column != "match")
    known = {shot_id.casefold(): shot_id for shot_id in others}
    new_id = words.plain_hyphens(own.get("id", "")).casefold()
    if new_id in known:
        findings.fault(row.at("id"), "an id that is taken", own["id"], expected="a new one")
    after = []
    for word in cells.get("after", words.id_list, ()):
        if word.casefold() in known:
            after.append(known[word.casefold()])
        else:
            hint = words.did_you_mean(word, known.values())
            findings.fault(
                row.at("after"), "no such shot", word, expected="ids of the list", hint=hint
            )
    if len(findings.faults) > before or not shots:
        return None
    return replace(
        shots[0],
        after=tuple(after),
        rig=_as_spelled(shots[0].rig, [shot.rig for shot in others.values()]),
        match=_as_spelled(shots[0].match, [shot.match for shot in others.values()]),
    )


def _as_spelled(name: str, others: Collection[str]) -> str:
    """Give a name as the shot list spells it, as `Tent` and `tent` are one rig."""
    return (find(name, others) or name) if name else ""
