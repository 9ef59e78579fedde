"""The order as a table for other programs: .csv (RFC 4180) and .xlsx, one row a shot and the meal.

What people typed stays text: no cell of theirs is ever a formula.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from datetime import UTC, datetime

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from sunsched.day.model import Shot, Span
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import CAUTIONS, Sheet, State, issued, second_meal, state_of
from sunsched.show.notes import sheet_notes
from sunsched.show.proof import verdict
from sunsched.show.sheets.cells import (
    Value,
    append_stamp,
    csv_cell,
    text_cell,
    value_cell,
    without_clock,
    xml_text,
)
from sunsched.show.stamp import behind_text, stamp_cells

# Width in signs of each column; times are those of the place's clock, angles from true north.
COLUMNS: dict[str, int] = {
    "number": 8,
    "kind": 9,
    "id": 9,
    "scene": 8,
    "description": 44,
    "size": 10,
    "spot": 14,
    "rig": 14,
    "match": 12,
    "cast": 22,
    "changeover_start_local": 22,
    "move_min": 10,
    "build_min": 10,
    "turnaround_min": 15,
    "wait_min": 10,
    "roll_start_local": 17,
    "roll_end_local": 17,
    "roll_min": 10,
    "last_start_local": 17,
    "utc_offset_min": 15,
    "look_deg": 10,
    "sun_azimuth_deg": 16,
    "sun_elevation_deg": 18,
    "sun_from_lens_deg": 18,
    "light_percent": 14,
    "points": 9,
    "why": 60,
}
# Of a plan for the average day, after the points.
AVERAGE_COLUMNS = {
    "made_percent": 14,
    "average_light_percent": 21,
    "roll_tenth_local": 17,
    "roll_nine_tenths_local": 22,
    "not_before_local": 17,
    "begin_by_local": 17,
}
OUT_OF_DATE_COLUMN = "out_of_date"  # the first one of a .csv that is, so that nobody misses it
STATE_COLUMN = {"state": 10}  # stands after the kind on a day under way
# Of a folder with magnetic bearings, after the true ones.
MAGNETIC_COLUMNS = {
    "look_deg": "look_magnetic_deg",
    "sun_azimuth_deg": "sun_azimuth_magnetic_deg",
}


def columns_of(plan: Plan) -> dict[str, int]:
    """Give the columns of a plan's table and their widths."""
    columns: dict[str, int] = {}
    for name, width in COLUMNS.items():
        columns[name] = width
        if name == "kind" and plan.day.past is not None:
            columns |= STATE_COLUMN
        if name == "points" and plan.outlook is not None:
            columns |= AVERAGE_COLUMNS
        if name in MAGNETIC_COLUMNS and plan.day.declination_deg is not None:
            columns[MAGNETIC_COLUMNS[name]] = 24
    for shot in plan.day.shots:
        columns |= {_kept_column(title): 24 for title, _ in shot.kept}
    return columns


def _kept_column(title: str) -> str:
    """Name a column of somebody's list so that it is never taken for one of the plan."""
    return f"{title} (list)"


def _kept_cells(shot: Shot) -> dict[str, Value]:
    return {_kept_column(title): text for title, text in shot.kept}


def csv_bytes(sheet: Sheet) -> bytes:
    """Give the order as UTF-8 with a byte order mark, which tells spreadsheets the encoding."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    told = stamp_cells(sheet.plan.day, sheet.stamp)
    # In every row, so that it is still told of rows that were sorted or copied.
    warned = {OUT_OF_DATE_COLUMN: "; ".join(sheet.stamp.behind)} if sheet.stamp.behind else {}
    columns = [*warned, *columns_of(sheet.plan), *told]
    writer.writerow(columns)
    for row in order_rows(sheet.plan):
        filled = warned | row | told
        writer.writerow(csv_cell(filled.get(name)) for name in columns)
    return text.getvalue().encode("utf-8-sig")


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
    about.column_dimensions["A"].width, about.column_dimensions["B"].width = 14, 100
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


def order_rows(plan: Plan) -> Iterator[dict[str, Value]]:
    """Give a row by column name for each shot and each meal in their order, then what is left out.

    Times are naive and local; `utc_offset_min` is that of the roll's start, or the meal's.
    """
    meals = [("meal", plan.meal), ("second meal", second_meal(plan))]
    coming = [(name, meal) for name, meal in meals if meal is not None]
    for number, planned in enumerate(plan.shots, start=1):
        while coming and coming[0][1].start < planned.roll_start:
            yield _meal_row(plan, *coming.pop(0))
        yield {"number": number, **_shot_row(plan, planned)}
    for name, meal in coming:
        yield _meal_row(plan, name, meal)
    cut_ids = () if plan.day.past is None else plan.day.past.cut
    for left in plan.left_out:
        shot = left.shot
        yield {
            "kind": "left out",
            "state": "cut" if shot.id in cut_ids else "",
            "id": shot.id,
            "scene": shot.scene,
            "description": shot.description,
            "size": str(shot.size),
            "spot": shot.spot,
            "rig": shot.rig,
            "match": shot.match,
            "cast": "; ".join(shot.cast),
            "roll_min": shot.shoot_min,
            "look_deg": shot.look_deg,
            "look_magnetic_deg": _magnetic(plan, shot.look_deg),
            **_prospect_cells(plan, shot.id),
            "why": left.why,
            **_kept_cells(shot),
        }


def _shot_row(plan: Plan, planned: PlannedShot) -> dict[str, Value]:
    shot, last, state = planned.shot, planned.last_start, state_of(plan, planned)
    # Nobody wrote down how the changeover of a made shot was shared out.
    is_planned = state is State.COMING
    return {
        "kind": "shot",
        "state": str(state),
        "id": shot.id,
        "scene": shot.scene,
        "description": shot.description,
        "size": str(shot.size),
        "spot": shot.spot,
        "rig": shot.rig,
        "match": shot.match,
        "cast": "; ".join(shot.cast),
        "changeover_start_local": _local(plan, planned.changeover_start),
        "move_min": planned.move_min if is_planned else None,
        "build_min": planned.build_min if is_planned else None,
        "turnaround_min": planned.turnaround_min if is_planned else None,
        "wait_min": planned.wait_min if is_planned else None,
        "roll_start_local": _local(plan, planned.roll_start),
        "roll_end_local": _local(plan, planned.roll_end),
        "roll_min": shot.shoot_min,
        "last_start_local": None if last is None else _local(plan, last),
        "utc_offset_min": _offset_min(plan, planned.roll_start),
        "look_deg": round(shot.look_deg, 1),
        "look_magnetic_deg": _magnetic(plan, shot.look_deg),
        "sun_azimuth_deg": round(planned.sun_azimuth_deg, 1),
        "sun_azimuth_magnetic_deg": _magnetic(plan, planned.sun_azimuth_deg),
        "sun_elevation_deg": round(planned.sun_elevation_deg, 1),
        "sun_from_lens_deg": round(planned.sun_from_lens_deg, 1),
        "light_percent": round(100 * planned.fit, 1),
        "points": planned.points,
        **_prospect_cells(plan, planned.shot.id),
        "why": planned.why,
        **_kept_cells(shot),
    }


def _prospect_cells(plan: Plan, shot_id: str) -> dict[str, Value]:
    """Give the cells of a plan for the average day; none for any other, or a shot that is over."""
    found = None if plan.outlook is None else plan.outlook.of(shot_id)
    if found is None:
        return {}
    rolls, times = found.rolls, (found.not_before, found.begin_by)
    early, late = (None, None) if rolls is None else (rolls.start, rolls.end)
    cells = (early, late, *times)
    return {
        "made_percent": round(100 * found.made, 1),
        "average_light_percent": round(100 * found.light, 1),
        **{
            name: None if when is None else _local(plan, when)
            for name, when in zip([*AVERAGE_COLUMNS][2:], cells, strict=True)
        },
    }


def _magnetic(plan: Plan, azimuth_deg: float) -> float | None:
    """Give a true bearing as the compass of a magnetic folder reads it."""
    turn = plan.day.declination_deg
    return None if turn is None else round((azimuth_deg - turn) % 360.0, 1) % 360.0


def _meal_row(plan: Plan, name: str, meal: Span) -> dict[str, Value]:
    return {
        "kind": name,  # a second meal is of its own kind: an order has one meal to be read back
        "description": name,
        "roll_start_local": _local(plan, meal.start),
        "roll_end_local": _local(plan, meal.end),
        "utc_offset_min": _offset_min(plan, meal.start),
    }


def _local(plan: Plan, when: datetime) -> datetime:
    return when.astimezone(plan.day.place.zone).replace(tzinfo=None)


def _offset_min(plan: Plan, when: datetime) -> int:
    offset = when.astimezone(plan.day.place.zone).utcoffset()
    return 0 if offset is None else round(offset.total_seconds() / 60)


def _fill_order(order: Worksheet, sheet: Sheet) -> None:
    plan = sheet.plan
    columns = columns_of(plan)
    append_stamp(order, behind_text(sheet.stamp), issued(sheet), len(columns))
    order.append([text_cell(order, name, bold=True) for name in columns])
    for row in order_rows(plan):
        order.append([value_cell(order, row.get(name), plan.day.date) for name in columns])
    for place, width in enumerate(columns.values(), start=1):
        order.column_dimensions[get_column_letter(place)].width = width
    # What the sheet is, the head, and which shot it is, stay in sight.
    order.freeze_panes = f"{get_column_letter(list(columns).index('id') + 2)}3"
    order.print_title_rows = "1:2"
    order.page_setup.orientation = "landscape"
    order.page_setup.fitToHeight = 0
    order.sheet_properties.pageSetUpPr.fitToPage = True


def _about(sheet: Sheet) -> Iterator[tuple[str, str]]:
    day = sheet.plan.day
    yield "title", day.title
    yield "place", day.place.name
    yield "date", f"{day.date:%A} {day.date.isoformat()}"
    yield "times", f"local, {day.place.timezone}"
    if sheet.stamp.behind:
        yield "warning", behind_text(sheet.stamp)
    yield "sheet", issued(sheet)
    yield "plan", verdict(sheet.plan)
    for note in sheet_notes(sheet.plan):
        yield "note", note
    for caution in CAUTIONS:
        yield "caution", caution
