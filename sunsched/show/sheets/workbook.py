"""The order as a workbook for people: heads in words, one page wide in print.

What a crew reads stands in the printed columns; what else the .csv has stands to their right.
What people typed stays text: no cell of theirs is ever a formula.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from datetime import UTC

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from sunsched.plan.plan import Plan
from sunsched.show.afterwards import dropped_texts, kept_sentence
from sunsched.show.agenda import CAUTIONS, Sheet, issued
from sunsched.show.cautions import caution_texts
from sunsched.show.notes import sheet_notes
from sunsched.show.paper_size import Shape
from sunsched.show.proof import verdict
from sunsched.show.sheets.cells import (
    append_stamp,
    text_cell,
    value_cell,
    without_clock,
    xml_text,
)
from sunsched.show.sheets.spreadsheet import MAGNETIC_COLUMNS, columns_of, order_rows
from sunsched.show.stamp import behind_text

MARGIN_IN = 0.3
PAPERS = {Shape.A4: 9, Shape.LETTER: 1}  # the numbers of ECMA-376, 18.3.1.63
# Head and width in signs of each printed column, in their order; times stand on the place's clock.
PRINTED: dict[str, tuple[str, float]] = {
    "number": ("order", 5),
    "kind": ("kind", 6),
    "state": ("state", 7),
    "id": ("shot", 7),
    "scene": ("scene", 6),
    "description": ("what", 20),
    "size": ("size", 8),
    "spot": ("spot", 8),
    "rig": ("rig", 8),
    "cast": ("cast", 11),
    "changeover_start_local": ("build from", 7.5),
    "roll_start_local": ("rolls from", 7.5),
    "roll_end_local": ("to", 7.5),
    "planned_start_local": ("planned from", 7.5),
    "planned_end_local": ("planned to", 7.5),
    "later_than_planned_min": ("later by min", 6),
    "planned_light_percent": ("planned light %", 7),
    "roll_min": ("roll min", 5),
    "made_percent": ("made on %", 6),
    "average_light_percent": ("average light %", 7),
    "roll_tenth_local": ("8 days of 10 from", 7.5),
    "roll_nine_tenths_local": ("8 days of 10 to", 7.5),
    "not_before_local": ("not before", 7.5),
    "begin_by_local": ("begin by", 7.5),
    "last_start_local": ("last start", 7.5),
    "look_deg": ("look °", 5.5),
    "sun_azimuth_deg": ("sun °", 5.5),
    "sun_elevation_deg": ("sun height °", 6.5),
    "sun_from_lens_deg": ("sun from lens °", 7),
}
BESIDE: dict[str, tuple[str, float]] = {
    "light_percent": ("light %", 6),
    "match": ("match", 12),
    "move_min": ("move min", 8),
    "build_min": ("build min", 8),
    "turnaround_min": ("turnaround min", 11),
    "wait_min": ("wait min", 8),
    "utc_offset_min": ("UTC offset min", 10),
    "look_magnetic_deg": ("look magnetic °", 9),
    "sun_azimuth_magnetic_deg": ("sun magnetic °", 9),
    "points": ("points", 9),
    "why": ("why", 60),
    "cautions": ("cautions", 60),
}
# Of a day that is over; nothing is to come any more.
MADE = {"roll_start_local": "rolled from", "light_percent": "kept light %"}
LIKELY = {"roll_start_local": "likely from", "roll_end_local": "likely to"}
KEPT_WIDTH = 24


def printed_of(plan: Plan, before: Plan | None = None) -> list[str]:
    """Give the columns of a plan that are printed; of a magnetic folder its own bearings are.

    The light of planned minutes is printed where there is no other.
    """
    there = columns_of(plan, before)
    turned = [MAGNETIC_COLUMNS.get(name, name) for name in PRINTED]
    own = [new if new in there else name for name, new in zip(PRINTED, turned, strict=True)]
    light = ["light_percent"] if plan.outlook is None else []
    return [*(name for name in own if name in there), *light]


def heads_of(plan: Plan, before: Plan | None = None) -> dict[str, tuple[str, float]]:
    """Give head and width of every column, those that are printed first."""
    printed = printed_of(plan, before)
    known = PRINTED | BESIDE
    if plan.outlook is not None:
        known |= {name: (head, known[name][1]) for name, head in LIKELY.items()}
    if before is not None:
        known |= {name: (head, known[name][1]) for name, head in MADE.items()}
    names = [*printed, *(name for name in columns_of(plan, before) if name not in printed)]
    return {name: known.get(name, (name, KEPT_WIDTH)) for name in names}


def xlsx_bytes(sheet: Sheet) -> bytes:
    """Give the order as a workbook: the table first, then what the sheet is."""
    book = Workbook(write_only=False)
    order = book.active
    if not isinstance(order, Worksheet):
        raise TypeError("a new workbook has no worksheet")
    order.title = "order"
    _fill_order(order, sheet)
    about = book.create_sheet("about")
    for name, text in _about(sheet):
        about.append([text_cell(about, name), text_cell(about, text)])
    about.column_dimensions["A"].width, about.column_dimensions["B"].width = 14, 80
    for one in (order, about):
        _set_page(one, sheet)
    order.page_setup.orientation = "landscape"
    stamp = sheet.stamp
    made = stamp.made_at.astimezone(UTC).replace(tzinfo=None, microsecond=0)
    book.properties.creator = "sunsched"
    book.properties.title = xml_text(sheet.plan.day.title)
    book.properties.subject = xml_text(issued(sheet))
    book.properties.description = xml_text(behind_text(stamp)) or None
    book.properties.version = None if stamp.revision is None else str(stamp.revision)
    book.properties.created = made
    raw = io.BytesIO()
    book.save(raw)
    return without_clock(raw.getvalue(), made)


def _fill_order(order: Worksheet, sheet: Sheet) -> None:
    plan, before = sheet.plan, sheet.before
    heads = heads_of(plan, before)
    printed = len(printed_of(plan, before))
    append_stamp(order, behind_text(sheet.stamp), issued(sheet), printed)
    order.append([text_cell(order, head, bold=True) for head, _ in heads.values()])
    for row in order_rows(plan, before):
        order.append([value_cell(order, row.get(name), plan.day.date) for name in heads])
    for place, (_, width) in enumerate(heads.values(), start=1):
        order.column_dimensions[get_column_letter(place)].width = width
    # What the sheet is, the head, and which shot it is, stay in sight.
    order.freeze_panes = f"{get_column_letter(list(heads).index('id') + 2)}3"
    order.print_title_rows = "1:2"
    order.print_area = f"A1:{get_column_letter(printed)}{order.max_row}"


def _set_page(one: Worksheet, sheet: Sheet) -> None:
    """Make a worksheet one page wide in print, with its issue and the page's number at its foot."""
    one.page_setup.paperSize = PAPERS.get(sheet.paper, PAPERS[Shape.A4])
    one.page_setup.fitToWidth, one.page_setup.fitToHeight = 1, 0
    one.sheet_properties.pageSetUpPr.fitToPage = True
    one.page_margins.left = one.page_margins.right = MARGIN_IN
    one.oddFooter.left.text = xml_text(issued(sheet)).replace("&", "&&")
    one.oddFooter.right.text = "page &P of &N"


def _about(sheet: Sheet) -> Iterator[tuple[str, str]]:
    day = sheet.plan.day
    yield "title", day.title
    yield "place", day.place.name
    yield "date", f"{day.date:%A} {day.date.isoformat()}"
    yield "times", f"local, {day.place.timezone}"
    if sheet.stamp.behind:
        yield "warning", behind_text(sheet.stamp)
    yield "sheet", issued(sheet)
    told = verdict(sheet.plan)
    yield "plan", told if sheet.before is None else kept_sentence(sheet.before, sheet.plan)
    if sheet.before is not None:
        for text in dropped_texts(sheet.before, sheet.plan):
            yield "dropped", text
    for note in sheet_notes(sheet.plan):
        yield "note", note
    for caution in (*caution_texts(sheet.plan), *CAUTIONS):
        yield "caution", caution
