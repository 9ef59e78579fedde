"""A handout for spreadsheets: .csv with one table after the other, .xlsx with a sheet for each.

Figures are numbers; what people typed stays text, and no cell of theirs is ever a formula.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from datetime import UTC

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from sunsched.show.handouts.handout import Handout, Section
from sunsched.show.sheets.cells import append_stamp, csv_cell, text_cell, without_clock, xml_text
from sunsched.show.stamp import behind_text, stamp_text

NARROW, WIDE = 8, 44  # width of a column, in signs
LINE_PT = 15.0  # height of a line in a cell
NAME_SIGNS = 28  # of a sheet's name: 31 are allowed; a name used before gets a number, too
_FIGURE = re.compile(r"([+-]?)(\d+)(?:\.(\d+))?(%?)")
_NOT_IN_NAMES = re.compile(r"[\[\]:*?/\\]")


def handout_csv_bytes(handout: Handout) -> bytes:
    """Give all as UTF-8 with a byte order mark, which tells spreadsheets the encoding."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerows([csv_cell(line)] for line in _about(handout))
    for section in handout.sections:
        writer.writerow([])
        writer.writerow([csv_cell(section.heading)])
        if section.header:
            writer.writerow(csv_cell(head) for head in section.header)
        for row in section.rows:
            writer.writerow(_csv_row(section, row))
        writer.writerows([csv_cell(paragraph)] for paragraph in section.paragraphs)
    if handout.cautions:
        writer.writerow([])
        writer.writerows([csv_cell(caution)] for caution in handout.cautions)
    return text.getvalue().encode("utf-8-sig")


def handout_xlsx_bytes(handout: Handout) -> bytes:
    """Give a workbook: a sheet for each section, then what the handout is."""
    book = Workbook()
    if book.active is not None:
        book.remove(book.active)
    for section in handout.sections:
        sheet = book.create_sheet(_sheet_name(section.heading))
        warning = behind_text(handout.stamp)
        if warning:
            count = max(1, len(section.header))
            append_stamp(sheet, warning, stamp_text(handout.day, handout.stamp), count)
        _fill_sheet(sheet, section)
    about = book.create_sheet("about")
    for line in (*_about(handout), *handout.cautions):
        about.append([text_cell(about, line)])
    about.column_dimensions["A"].width = 100
    made = handout.stamp.made_at.astimezone(UTC).replace(tzinfo=None, microsecond=0)
    book.properties.creator = "sunsched"
    book.properties.title = xml_text(handout.day.title)
    book.properties.created = made
    raw = io.BytesIO()
    book.save(raw)
    return without_clock(raw.getvalue(), made)


def _about(handout: Handout) -> Iterator[str]:
    day = handout.day
    if handout.stamp.behind:
        yield behind_text(handout.stamp)
    yield handout.subject
    yield f"{day.title}, {day.place.name}"
    yield f"{day.date:%A} {day.date.isoformat()}, local time ({day.place.timezone})"
    yield stamp_text(day, handout.stamp)
    yield from handout.head


def _csv_row(section: Section, row: tuple[str, ...] | str) -> Iterator[str | int | float | None]:
    if isinstance(row, str):
        yield csv_cell(row)
        return
    for place, cell in enumerate(row):
        text = cell.strip()
        # A figure is safe with its sign before it; marked as a text it would be none.
        is_figure = place in section.figures and _FIGURE.fullmatch(text)
        yield text if is_figure else csv_cell(text)


def _fill_sheet(sheet: Worksheet, section: Section) -> None:
    wide = [NARROW] * max(1, len(section.header))
    if section.header:
        sheet.append([text_cell(sheet, head, bold=True) for head in section.header])
        # The heads, and what a row is about, stay in sight.
        sheet.freeze_panes = f"B{sheet.max_row + 1}"
        sheet.print_title_rows = f"1:{sheet.max_row}"
        for cells in (section.header, *section.cells):
            needs = (min(WIDE, len(cell) + 2) for cell in cells)
            wide = [max(width, need) for width, need in zip(wide, needs, strict=True)]
    else:
        wide = [100]
    for place, width in enumerate(wide, start=1):
        sheet.column_dimensions[get_column_letter(place)].width = width
    for row in section.rows:
        if isinstance(row, str):
            _append_across(sheet, row, wide)
        else:
            sheet.append(
                [
                    _cell(sheet, cell.strip(), is_figure=place in section.figures)
                    for place, cell in enumerate(row)
                ]
            )
    for paragraph in section.paragraphs:
        _append_across(sheet, paragraph, wide)
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True


def _append_across(sheet: Worksheet, text: str, wide: list[int]) -> None:
    """Add a row that is one text across all columns, as high as the text needs."""
    sheet.append([text_cell(sheet, text)])
    row = sheet.max_row
    if len(wide) > 1:
        sheet.merge_cells(start_row=row, end_row=row, start_column=1, end_column=len(wide))
    sheet.row_dimensions[row].height = LINE_PT * (1 + len(text) // max(1, sum(wide) - 4))


def _cell(sheet: Worksheet, text: str, *, is_figure: bool) -> WriteOnlyCell:
    """Give a cell: a number where a column of figures has one, else text."""
    found = _FIGURE.fullmatch(text) if is_figure else None
    if found is None:
        cell = text_cell(sheet, text)
        if is_figure:
            cell.alignment = Alignment(vertical="top", horizontal="right")
        return cell
    sign, _, decimals, percent = found.groups(default="")
    number = float(text.removesuffix("%"))
    places = len(decimals) + (2 if percent else 0)
    value = round(number / 100.0, places) if percent else number
    cell = WriteOnlyCell(sheet, value if places else int(number))
    shape = "0" + (f".{'0' * len(decimals)}" if decimals else "") + percent
    cell.number_format = f"+{shape};-{shape}" if sign else shape
    cell.alignment = Alignment(vertical="top")
    cell.font = Font(bold=False)
    return cell


def _sheet_name(heading: str) -> str:
    return _NOT_IN_NAMES.sub(" ", xml_text(heading))[:NAME_SIGNS].strip("' ") or "sheet"
