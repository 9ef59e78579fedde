"""The words of the day's rows: on a sheet in columns beside the strips, on a phone over them."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib.figure import Figure

from sunsched.day.clock import clock
from sunsched.day.model import Day, Shot
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import State, state_of
from sunsched.show.drawing.figure import write
from sunsched.show.drawing.lettering import FAINT, LINE, POINT_IN, Words, cut, width_in
from sunsched.show.paper_size import Paper
from sunsched.show.prospects import light_text

PHONE_ROW_IN = 0.38


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row of the picture: a shot in the plan, one left out (no `planned`), or a heading.

    `times` says when it rolls and, on a day under way, whether that is over; `light` what is kept
    of its light.
    """

    shot: Shot | None = None
    planned: PlannedShot | None = None
    times: str = ""
    light: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Widths on a sheet of the columns to the left and to the right of the strips."""

    id_in: float
    what_in: float
    size_in: float
    spot_in: float
    right_in: float

    @property
    def left_in(self) -> float:
        """Width of all columns to the left."""
        return self.id_in + self.what_in + self.size_in + self.spot_in


def day_rows(plan: Plan) -> list[Row]:
    """Give the shots in shooting order, then those left out in a group of their own."""
    rows = [
        Row(
            shot=planned.shot,
            planned=planned,
            times=_roll_times(plan, planned),
            light=light_text(plan, planned),
        )
        for planned in plan.shots
    ]
    cut_ids = () if plan.day.past is None else plan.day.past.cut
    if plan.left_out:
        rows.append(Row())
    rows += [
        Row(shot=left.shot, times="cut" if left.shot.id in cut_ids else "")
        for left in plan.left_out
    ]
    return rows


def measure_columns(plan: Plan, setting: Paper) -> Columns:
    """Share a third of a sheet out over the columns; descriptions take what the others leave."""
    day, size, gap = plan.day, setting.text_pt, 0.1
    id_in = min(0.6, max(width_in(shot.id, size, bold=True) for shot in day.shots)) + gap
    size_in = max(width_in(shot.size, size) for shot in day.shots) + gap
    spot_in = min(0.8, max(width_in(spot.name, size) for spot in day.spots)) + gap
    left_in = 0.32 * setting.room_in
    return Columns(
        id_in=id_in,
        what_in=max(0.4, left_in - id_in - size_in - spot_in),
        size_in=size_in,
        spot_in=spot_in,
        right_in=max((width_in(row.times, size) for row in day_rows(plan)), default=0.0)
        + _share_in(size)
        + gap,
    )


def write_row(
    figure: Figure,
    row: Row,
    middle_in: float,
    row_in: float,
    columns: Columns,
    setting: Paper,
) -> None:
    """Write a row of a sheet in letters no higher than the row."""
    size = min(setting.text_pt, row_in / POINT_IN / LINE)
    left = setting.margin_in
    if row.shot is None:
        write(figure, left, middle_in, Words(text="left out", size_pt=size, bold=True))
        return
    for text, wide, bold in (
        (row.shot.id, columns.id_in, True),
        (row.shot.description, columns.what_in, False),
        (row.shot.size, columns.size_in, False),
        (row.shot.spot, columns.spot_in, False),
    ):
        fitting = cut(text, wide - 0.08, size, bold=bold)
        write(figure, left, middle_in, Words(text=fitting, size_pt=size, bold=bold))
        left += wide
    right = setting.width_in - setting.margin_in
    if row.planned is not None:
        share = Words(text=row.light, size_pt=size)
        write(figure, right, middle_in, share, align="right")
    if row.times:
        times = Words(text=row.times, size_pt=size)
        write(figure, right - _share_in(size), middle_in, times, align="right")


def write_phone_row(figure: Figure, day: Day, row: Row, top_in: float, setting: Paper) -> None:
    """Write the line over a phone's strip."""
    size, left, right = setting.text_pt, setting.margin_in, setting.width_in - setting.margin_in
    middle = top_in + 0.27 * PHONE_ROW_IN
    if row.shot is None:
        write(figure, left, middle, Words(text="left out", size_pt=size, bold=True))
        return
    name = Words(text=cut(row.shot.id, 0.9, size, bold=True), size_pt=size, bold=True)
    write(figure, left, middle, name)
    left += width_in(name.text, size, bold=True) + 0.08
    if row.times:
        write(figure, right, middle, Words(text=row.times, size_pt=size), align="right")
        right -= width_in(row.times, size) + 0.08
    spot = f"{cut(row.shot.spot, 0.75, size)}, " if len(day.spots) > 1 else ""
    text = cut(f"{spot}{row.shot.description}", right - left, size)
    write(figure, left, middle, Words(text=text, size_pt=size, color=FAINT))


def _roll_times(plan: Plan, planned: PlannedShot) -> str:
    day, state = plan.day, state_of(plan, planned)
    times = f"{clock(day, planned.roll_start)}–{clock(day, planned.roll_end)}"
    return times if state is State.COMING else f"{state} {times}"


def _share_in(size_pt: float) -> float:
    return width_in("100%", size_pt) + 0.1
