"""What cloths take from the light: the package's table, over which a day folder lays its own."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from sunsched.errors import FolderError
from sunsched.folder.store import files as store
from sunsched.folder.store.files import Files
from sunsched.folder.tables import table
from sunsched.folder.tables.table import Row, Table
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where
from sunsched.folder.text.words import WordError

CLOTH_FILE = "cloths.csv"
COLUMNS = ("name", "stops", "source")
MOST_STOPS = 20.0
MAX_NAME = 60
MAX_CLOTHS = 500


def read_cloths(folder: Path | None) -> dict[str, float]:
    """Give the stops that each cloth takes, those of a day folder in place of the package's.

    Parameters
    ----------
    folder : a day folder, which may have a `cloths.csv`; None for the package's alone

    Returns
    -------
    dict[str, float]
        Stops by the cloth's name.

    Raises
    ------
    FolderError
        With every fault of the folder's table.

    Examples
    --------
    >>> import sunsched
    >>> sunsched.read_cloths(None)["single net"]
    0.5
    """
    findings = Findings()
    opened = None if folder is None else store.open_folder(folder, findings)
    found = cloths_of(opened, findings)
    if findings.faults:
        raise FolderError(tuple(findings.faults))
    return found


def cloths_of(found: Files | None, findings: Findings) -> dict[str, float]:
    """Give the same of an open folder, with its faults noted."""
    own = (files("sunsched.sky.grip") / CLOTH_FILE).read_text(encoding="utf-8")
    cloths = _read(own, findings)
    if found is not None and CLOTH_FILE in found.names:
        text = store.read_text(found, CLOTH_FILE, findings)
        cloths |= {} if text is None else _read(text, findings)
    return cloths


def _read(text: str, findings: Findings) -> dict[str, float]:
    lines = table.csv_lines(text, CLOTH_FILE, findings, comments=True)
    found = None if lines is None else table.table_of(lines, CLOTH_FILE, COLUMNS, findings)
    if found is None:
        return {}
    missing = [column for column in COLUMNS[:2] if column not in found.columns]
    for column in missing:
        where = Where(file=CLOTH_FILE, line=found.header_line)
        findings.fault(where, f"no column `{column}`", expected=words.listed(COLUMNS, "and"))
    return {} if missing else _cloths(found, findings)


def _cloths(found: Table, findings: Findings) -> dict[str, float]:
    cloths: dict[str, float] = {}
    keys: set[str] = set()
    if len(found.rows) > MAX_CLOTHS:
        at = Where(file=CLOTH_FILE, line=found.rows[MAX_CLOTHS].line)
        findings.fault(at, f"{len(found.rows):,} cloths", expected=f"at most {MAX_CLOTHS}")
    for row in found.rows[:MAX_CLOTHS]:
        name, stops = _cell(row, "name", findings), _cell(row, "stops", findings)
        if name is None or stops is None:
            continue
        if words.key_of(name) in keys:
            findings.fault(row.at("name"), "a cloth that stands twice", name)
            continue
        keys.add(words.key_of(name))
        try:
            cloths[words.line_of_text(name, limit=MAX_NAME)] = words.number(stops, 0, MOST_STOPS)
        except WordError as error:
            findings.fault(
                row.at("stops"), error.problem, stops, expected=error.expected, hint=error.hint
            )
    return cloths


def _cell(row: Row, column: str, findings: Findings) -> str | None:
    text = row.cells.get(column)
    if text is None:
        findings.fault(row.at(column), "blank", expected="a name" if column == "name" else "stops")
    return text
