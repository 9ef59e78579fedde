"""A day from a data frame: its rows are read by the same code as those of `shots.csv`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from sunsched.day.model import Day
from sunsched.errors import FolderError
from sunsched.folder.intake.take import take_sheet
from sunsched.folder.read import build_day
from sunsched.folder.settings.document import Document
from sunsched.folder.tables.cells import cell_text
from sunsched.folder.tables.sheet import Sheet
from sunsched.folder.tables.table import Line, Table
from sunsched.folder.text.findings import Findings, Where, by_place

if TYPE_CHECKING:
    import pandas as pd

SHOTS, SETTINGS = "shots", "settings"


def day_from_frame(shots: pd.DataFrame, settings: Mapping[str, Any]) -> Day:
    """Make a day from a shot list in a data frame and the settings in a mapping.

    Parameters
    ----------
    shots : pandas.DataFrame
        One row a shot, with the columns of `shots.csv`; the index is not read. Cells may be texts
        as people write them or values: numbers, truths, times, tuples of ids and of names. None
        and NaN are blank.
    settings : mapping
        The keys and tables of `day.toml`, as `tomllib` gives them. Clock times may be texts or
        `datetime.time`, the date a text or `datetime.date`.

    Returns
    -------
    Day
        The day; its shots stand in the natural order of their ids. Skylines and clouds, which
        folders have in files of their own, can be put in by `dataclasses.replace`.

    Raises
    ------
    FolderError
        With every fault at once, as of a folder. The file of a fault is `settings` or `shots`; the
        line of a shot is that of the frame written as CSV: the header is 1, the first row 2.

    Examples
    --------
    >>> import pandas as pd
    >>> import sunsched
    >>> shots = pd.DataFrame(
    ...     [
    ...         {"id": 1, "description": "The gate", "size": "wide", "look": "W", "shoot_min": 30},
    ...         {"id": 2, "description": "A key", "size": "insert", "look": 90, "shoot_min": 15},
    ...     ]
    ... )
    >>> settings = {
    ...     "title": "A gate",
    ...     "date": "2027-06-09",
    ...     "place": {"latitude_deg": 38.7, "longitude_deg": -9.1, "timezone": "Europe/Lisbon"},
    ...     "hours": {"crew_call": "07:00", "wrap": "15:00"},
    ... }
    >>> day = sunsched.day_from_frame(shots, settings)
    >>> [(shot.id, shot.setup_min) for shot in day.shots]
    [('1', 25), ('2', 10)]
    >>> try:
    ...     sunsched.day_from_frame(shots.assign(shoot_min=[0, None]), settings)
    ... except sunsched.FolderError as error:
    ...     print(error)
    shots:2, shoot_min: out of range: `0` (expected a whole number from 1 to 720, such as 20)
    shots:3, shoot_min: blank (expected a whole number from 1 to 720, such as 20)
    """
    findings = Findings()
    written = Document(file=SETTINGS, data=dict(settings), lines={})
    day = build_day(written, lambda: _table(shots, findings), lambda: (), None, findings)
    if day is None or findings.faults:
        raise FolderError(by_place(findings.faults))
    return day


def _table(shots: pd.DataFrame, findings: Findings) -> Table | None:
    titles = [str(column) for column in shots.columns]
    lines: list[Line] = [(1, [*titles])]
    blank = shots.isna().to_numpy()
    for number, values in enumerate(shots.astype(object).to_numpy().tolist()):
        line = number + 2
        cells: list[str | None] = []
        for place, value in enumerate(values):
            text = cell_text(None if blank[number, place] else value)
            if text is None:
                where = Where(file=SHOTS, line=line, column=titles[place])
                findings.fault(where, "a date", f"{value:%Y-%m-%d}", expected="text or a number")
            cells.append(text)
        lines.append((line, cells))
    taken = take_sheet(Sheet(name="", lines=lines), SHOTS, findings)
    return None if taken is None else taken.table
