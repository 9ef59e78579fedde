"""Cells of a table that other programs read: what people typed stays text, never a formula."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import date, datetime

from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.worksheet.worksheet import Worksheet

from sunsched.show.layout import plain

Value = str | int | float | datetime | None

# Where decimals have a comma, spreadsheets part the cells of a .csv at semicolons.
_INNER_FORMULA = re.compile(r"(;\s*)(?=[=+\-@＝＋－＠])")
# What a spreadsheet may take for the start of a formula, the wide forms of East Asia too.
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
ZIP_TIME = (1980, 1, 1, 0, 0, 0)  # the first that a zip file can hold
_NOT_XML = re.compile("[\ud800-\udfff\ufffe\uffff]")  # XML 1.0, 2.2; controls are gone by then


def csv_cell(value: Value) -> str | int | float | None:
    """Give a cell for a .csv; a text that a spreadsheet would take for a formula is marked."""
    if isinstance(value, datetime):
        return f"{value:%Y-%m-%d %H:%M}"
    if isinstance(value, str):
        # Looked at before and after the cleaning, which turns a tab into a space.
        text = plain(value)
        risky = value.startswith(FORMULA_SIGNS) or text.lstrip().startswith(FORMULA_SIGNS)
        return _INNER_FORMULA.sub(r"\1'", f"'{text}" if risky else text)
    return value


def text_cell(where: Worksheet, text: str, *, bold: bool = False) -> WriteOnlyCell:
    """Give a cell of a workbook that is text, whatever the text looks like."""
    cell = WriteOnlyCell(where, xml_text(text))
    cell.data_type = "s"  # openpyxl takes a leading `=` for a formula unless told otherwise
    cell.alignment = Alignment(vertical="top", wrap_text=True)
    cell.font = Font(bold=bold)
    # Text that is edited in the cell stays text too.
    cell.quotePrefix = text.lstrip().startswith(FORMULA_SIGNS)
    return cell


def value_cell(where: Worksheet, value: Value, on: date) -> WriteOnlyCell:
    """Give a cell of a workbook; of a moment only its time where it is of the day's date."""
    if isinstance(value, str):
        return text_cell(where, value)
    cell = WriteOnlyCell(where, value)
    cell.alignment = Alignment(vertical="top")
    if isinstance(value, datetime):
        cell.number_format = "hh:mm" if value.date() == on else "yyyy-mm-dd hh:mm"
    return cell


def append_stamp(where: Worksheet, warning: str, text: str, count: int) -> None:
    """Say in a row across `count` columns what the sheet is; a warning comes first, on black."""
    told = "; ".join(filter(None, (warning, text)))
    cells = [text_cell(where, one, bold=bool(warning)) for one in (told, *[""] * (count - 1))]
    for cell in cells:
        cell.alignment = Alignment(vertical="center")  # one line, over the cells beside it
        if warning:
            cell.font = Font(bold=True, color="FFFFFFFF")
            cell.fill = PatternFill("solid", fgColor="FF000000")
    where.append(cells if warning else cells[:1])


def xml_text(text: str) -> str:
    """Give a text on one line in signs that a workbook may hold."""
    return _NOT_XML.sub("\ufffd", plain(text))


def without_clock(raw: bytes, made: datetime) -> bytes:
    """Give a workbook whose bytes do not tell when it was written, only when it was made."""
    stamp = f"{made.isoformat()}Z".encode()
    packed = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(raw)) as old,
        zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            content = old.read(name)
            if name == "docProps/core.xml":
                content = re.sub(
                    rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>" + stamp, content, count=1
                )
            entry = zipfile.ZipInfo(name, ZIP_TIME)
            entry.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(entry, content)
    return packed.getvalue()
