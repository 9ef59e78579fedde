"""The order as a table for other programs: .csv (RFC 4180), one row a shot and the meal.

What people typed stays text: no cell of theirs is ever a formula.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from datetime import datetime, timedelta

from sunsched.day.model import Shot, Span
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import Sheet, State, state_of
from sunsched.show.cautions import shot_cautions
from sunsched.show.second_meal import second_meal
from sunsched.show.sheets.cells import Value, csv_cell
from sunsched.show.stamp import stamp_cells

# Times are those of the place's clock, angles from true north.
COLUMNS = (
    "number",
    "kind",
    "id",
    "scene",
    "description",
    "size",
    "spot",
    "rig",
    "match",
    "cast",
    "changeover_start_local",
    "move_min",
    "build_min",
    "turnaround_min",
    "wait_min",
    "roll_start_local",
    "roll_end_local",
    "roll_min",
    "last_start_local",
    "utc_offset_min",
    "look_deg",
    "sun_azimuth_deg",
    "sun_elevation_deg",
    "sun_from_lens_deg",
    "light_percent",
    "points",
    "why",
    "cautions",
)
# Of a plan for the average day, after the points.
AVERAGE_COLUMNS = (
    "made_percent",
    "average_light_percent",
    "roll_tenth_local",
    "roll_nine_tenths_local",
    "not_before_local",
    "begin_by_local",
)
OUT_OF_DATE_COLUMN = "out_of_date"  # the first one of a .csv that is, so that nobody misses it
# Of a day that is over, after the end of the roll: what was planned in the morning.
MADE_COLUMNS = (
    "planned_start_local",
    "planned_end_local",
    "later_than_planned_min",
    "planned_light_percent",
)
STATE_COLUMN = "state"  # stands after the kind on a day under way
# Of a folder with magnetic bearings, after the true ones.
MAGNETIC_COLUMNS = {
    "look_deg": "look_magnetic_deg",
    "sun_azimuth_deg": "sun_azimuth_magnetic_deg",
}


def columns_of(plan: Plan, before: Plan | None = None) -> list[str]:
    """Give the columns of a plan's table; `before` is what a day that is over began with."""
    columns: list[str] = []
    for name in COLUMNS:
        columns.append(name)
        if name == "kind" and plan.day.past is not None:
            columns.append(STATE_COLUMN)
        if name == "roll_end_local" and before is not None:
            columns += MADE_COLUMNS
        if name == "points" and plan.outlook is not None:
            columns += AVERAGE_COLUMNS
        if name in MAGNETIC_COLUMNS and plan.day.declination_deg is not None:
            columns.append(MAGNETIC_COLUMNS[name])
    kept = (_kept_column(title) for shot in plan.day.shots for title, _ in shot.kept)
    return [*columns, *dict.fromkeys(kept)]


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
    columns = [*warned, *columns_of(sheet.plan, sheet.before), *told]
    writer.writerow(columns)
    for row in order_rows(sheet.plan, sheet.before):
        filled = warned | row | told
        writer.writerow(csv_cell(filled.get(name)) for name in columns)
    return text.getvalue().encode("utf-8-sig")


def order_rows(plan: Plan, before: Plan | None = None) -> Iterator[dict[str, Value]]:
    """Give a row by column name for each shot and each meal in their order, then what is left out.

    Times are naive and local; `utc_offset_min` is that of the roll's start, or the meal's. Of a day
    that is over, `before` is the plan that it began with.
    """
    planned_ones = {} if before is None else {one.shot.id: one for one in before.shots}
    meals = [("meal", plan.meal), ("second meal", second_meal(plan))]
    coming = [(name, meal) for name, meal in meals if meal is not None]
    for number, planned in enumerate(plan.shots, start=1):
        while coming and coming[0][1].start < planned.roll_start:
            yield _meal_row(plan, *coming.pop(0), before)
        was = planned_ones.get(planned.shot.id)
        beside = _planned_cells(plan, was, planned.roll_start)
        yield {"number": number, **_shot_row(plan, planned), **beside}
    for name, meal in coming:
        yield _meal_row(plan, name, meal, before)
    cut_ids = plan.day.cut_ids
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
            **_planned_cells(plan, planned_ones.get(shot.id), None),
            **_kept_cells(shot),
        }


def _planned_cells(
    plan: Plan, was: PlannedShot | None, roll_start: datetime | None
) -> dict[str, Value]:
    """Give what was planned of a shot of a day that is over, and how much later it rolled."""
    if was is None:
        return {}
    return {
        **_planned_span(plan, Span(start=was.roll_start, end=was.roll_end), roll_start),
        "planned_light_percent": round(100 * was.fit, 1),
    }


def _planned_span(plan: Plan, was: Span, start: datetime | None) -> dict[str, Value]:
    return {
        "planned_start_local": _local(plan, was.start),
        "planned_end_local": _local(plan, was.end),
        "later_than_planned_min": None
        if start is None
        else round((start - was.start) / timedelta(minutes=1)),
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
        "cautions": "; ".join(shot_cautions(plan, planned)),
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
            for name, when in zip(AVERAGE_COLUMNS[2:], cells, strict=True)
        },
    }


def _magnetic(plan: Plan, azimuth_deg: float) -> float | None:
    """Give a true bearing as the compass of a magnetic folder reads it."""
    turn = plan.day.declination_deg
    return None if turn is None else round((azimuth_deg - turn) % 360.0, 1) % 360.0


def _meal_row(plan: Plan, name: str, meal: Span, before: Plan | None) -> dict[str, Value]:
    was = before.meal if before is not None and name == "meal" else None
    return {
        **({} if was is None else _planned_span(plan, was, meal.start)),
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
