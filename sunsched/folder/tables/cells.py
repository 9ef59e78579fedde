"""The cells of one row of a table, read one by one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TypeVar

from sunsched.folder.tables.table import Row
from sunsched.folder.text.findings import Findings

Value = TypeVar("Value")
Default = TypeVar("Default")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """The cells of one row, read one by one, with a default for the blank ones.

    A cell at fault is noted and gives its default too: what the row says is then not used.
    """

    row: Row
    findings: Findings

    def get(self, column: str, reader: Callable[[str], Value], default: Default) -> Value | Default:
        """Read a cell that may be blank."""
        text = self.row.cells.get(column)
        if text is None:
            return default
        value = self.findings.read(self.row.at(column), text, reader)
        return default if value is None else value

    def need(
        self, column: str, reader: Callable[[str], Value], default: Default, expected: str
    ) -> Value | Default:
        """Read a cell that may not be blank."""
        self.note_blank(column, expected)
        return self.get(column, reader, default)

    def note_blank(self, column: str, expected: str) -> None:
        """Note a fault if a cell is blank, unless it is already told to be unreadable."""
        if column not in self.row.cells and column not in self.row.unreadable:
            self.findings.fault(self.row.at(column), "blank", expected=expected)


def cell_text(value: object, *, has_hours: bool = False) -> str | None:
    """Give a value of a workbook, a data frame or a shot as people write it in a cell.

    Parameters
    ----------
    value : object
        A number, a text, a truth, a time, or several texts; None is blank.
    has_hours : bool
        Says that a moment at midnight is one, and not a date.

    Returns
    -------
    str or None
        None for a date alone: no column holds one.
    """
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case float() if value.is_integer():
            return str(int(value))
        case time():
            return _clock(value.hour, value.minute, value.second)
        case timedelta():
            minutes, seconds = divmod(round(value.total_seconds()), 60)
            return _clock(*divmod(minutes, 60), seconds)
        case datetime() if value.year < 1901:
            # A time of day alone is kept as a time on day 0 of a spreadsheet's own calendar.
            return _clock(value.hour, value.minute, value.second)
        case datetime() if value.time() != time() or has_hours:
            # A moment, as the sheets of this program have them; a date alone has no hours.
            return f"{value:%Y-%m-%d %H:%M}"
        case date():
            return None
        case list() | tuple():
            return ", ".join(str(one) for one in value)
        case _:
            return str(value)


def _clock(hour: int, minute: int, second: int) -> str:
    return f"{hour:02}:{minute:02}" + (f":{second:02}" if second else "")
