"""Sheets of a plan by the ending of their file, and the writing of such a file."""

from __future__ import annotations

import re
import string
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from sunsched.errors import WriteRefused
from sunsched.folder.store.write import write_whole
from sunsched.folder.text.words import listed
from sunsched.show.stamp import told_by_file

# Each kind loads what it needs and no more: a calendar does without pictures.
if TYPE_CHECKING:
    from sunsched.show.agenda import Sheet

SHEET_KINDS = ("pdf", "png", "svg", "html", "ics", "csv", "xlsx")
PICTURE_KINDS = ("png", "svg", "pdf")
HANDOUT_KINDS = ("pdf", "html", "csv", "xlsx")
# A sheet under one of these names would be read as a part of the day.
_DAY_FILES = re.compile(r"(shots|sky|log|horizon-.*)\.(csv|xlsx)", re.IGNORECASE)


def file_kind(path: Path, kinds: tuple[str, ...] = SHEET_KINDS) -> str:
    """Give the kind that a file's ending asks for.

    Raises
    ------
    WriteRefused
        When the ending is none of `kinds`, or the name is that of a file which a day is read from.
    """
    kind = path.suffix.lower().removeprefix(".")
    if kind not in kinds:
        endings = listed(f".{one}" for one in kinds)
        raise WriteRefused(
            f"`{path.name}` has no ending that can be written\n  hint: end the name with {endings}"
        )
    if _DAY_FILES.fullmatch(path.name):
        raise WriteRefused(
            f"`{path.name}` is the name of a file that a day is read from\n"
            "  hint: give the sheet another name"
        )
    return kind


def sheet_bytes(sheet: Sheet, kind: str) -> bytes:
    """Make a sheet of one of `SHEET_KINDS`; the same sheet gives the same bytes."""
    if kind == "pdf":
        from sunsched.show.drawing.figure import picture_bytes
        from sunsched.show.sheets.pdf import paper_figures

        told = told_by_file(sheet.plan.day, sheet.stamp)
        return picture_bytes(paper_figures(sheet), kind, told)
    if kind in ("png", "svg"):
        from sunsched.show.charts.day import day_figure
        from sunsched.show.drawing.figure import picture_bytes
        from sunsched.show.drawing.stamped import put_stamp

        day = sheet.plan.day
        figure = day_figure(sheet.plan.fit, sheet.plan, shape=sheet.paper)
        put_stamp(figure, day, sheet.stamp)
        return picture_bytes([figure], kind, told_by_file(day, sheet.stamp))
    if kind == "html":
        from sunsched.show.sheets.html import page_bytes

        return page_bytes(sheet)
    if kind == "ics":
        from sunsched.show.sheets.calendar import calendar_bytes

        return calendar_bytes(sheet)
    if kind == "csv":
        from sunsched.show.sheets.spreadsheet import csv_bytes

        return csv_bytes(sheet)
    if kind == "xlsx":
        from sunsched.show.sheets.spreadsheet import xlsx_bytes

        return xlsx_bytes(sheet)
    raise ValueError(f"no sheets are made of kind `{kind}`")


def load_shared() -> None:
    """Load what finding a plan and drawing its sheet both need, once, before two processes part."""
    import_module("sunsched.show.agenda")


def warm_up(kind: str) -> None:
    """Load all that a drawn sheet needs, fonts too: two of three seconds are spent on that."""
    from matplotlib.figure import Figure

    from sunsched.show.drawing.figure import house_style, picture_bytes
    from sunsched.show.drawing.lettering import width_in

    if kind == "html":
        from sunsched.show.sheets.html import page_template

        page_template()
    else:
        import_module("sunsched.show.sheets.pdf")

    with house_style():
        figure = Figure()
        for weight in ("normal", "bold"):
            figure.text(0.5, 0.5, "sun", fontweight=weight)
            width_in(string.printable.strip(), 1.0, bold=weight == "bold")
    picture_bytes([figure], "svg" if kind == "html" else kind)


def write_sheet(path: Path, sheet: Sheet) -> None:
    """Write a sheet of the kind that the file's ending asks for, in place of an older one.

    Raises
    ------
    WriteRefused
        When the ending or the name is refused, or the file cannot be written; an older file of
        that name is then as it was.
    """
    write_whole(path, sheet_bytes(sheet, file_kind(path)))
