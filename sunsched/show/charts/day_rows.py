"""The day's rows in words, and where each of them stands: beside the strips, or over them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure

from sunsched.day.clock import clock
from sunsched.day.model import Shot
from sunsched.light.fit import HALF
from sunsched.plan.plan import Plan, PlannedShot
from sunsched.show.agenda import State, state_of
from sunsched.show.drawing.figure import write
from sunsched.show.drawing.lettering import FAINT, LINE, POINT_IN, Words, cut, width_in, wrap
from sunsched.show.paper_size import Paper
from sunsched.show.prospects import chance, light_text

SHEET_LINE = 1.17  # height of a line of a row on a sheet, in sizes of its letters
GAP_IN = 0.1  # between two columns
LEFT_SHARE, MOST_LEFT_SHARE = 0.3, 0.45  # of a sheet's room, for the columns beside the strips
_ROUNDING_IN = 1e-6  # a sum of widths may come out this much short of one of them
HEADS = ("rolls", "made", "light")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row of the picture: a shot in the plan, one left out (no `planned`), or a heading.

    `times` says when it rolls and, on a day under way, whether that is over; `made` on how many
    days it is, `light` what is kept of its light, `why` why it is left out.
    """

    shot: Shot | None = None
    planned: PlannedShot | None = None
    times: str = ""
    made: str = ""
    light: str = ""
    why: str = ""

    @property
    def is_below_half(self) -> bool:
        """Tell whether it rolls, and keeps less than half its light."""
        return self.planned is not None and self.planned.fit < HALF


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Widths on a sheet of the columns to the left and to the right of the strips."""

    id_in: float
    size_in: float
    spot_in: float
    left_in: float
    rights_in: tuple[float, ...]  # of `HEADS`; 0 for one that no row has

    @property
    def right_in(self) -> float:
        """Width of all columns to the right."""
        return sum(self.rights_in)


def day_rows(plan: Plan) -> list[Row]:
    """Give the shots in shooting order, then those left out in a group of their own."""
    rows = [
        Row(
            shot=planned.shot,
            planned=planned,
            times=_roll_times(plan, planned),
            made=_made_text(plan, planned.shot),
            light=light_text(plan, planned),
        )
        for planned in plan.shots
    ]
    cut_ids = plan.day.cut_ids
    if plan.left_out:
        rows.append(Row())
    rows += [
        Row(
            shot=left.shot,
            times="cut" if left.shot.id in cut_ids else "",
            made=_made_text(plan, left.shot),
            why="" if left.why == "cut" else left.why,
        )
        for left in plan.left_out
    ]
    return rows


def measure_columns(rows: Sequence[Row], setting: Paper, size: float) -> Columns:
    """Let columns grow with what they hold; a long id goes on in the next line, uncut."""
    shots = [row.shot for row in rows if row.shot is not None]
    most = MOST_LEFT_SHARE * setting.room_in
    id_in = max((width_in(shot.id, size, bold=True) for shot in shots), default=0.0) + GAP_IN
    size_in = max((width_in(shot.size, size) for shot in shots), default=0.0) + GAP_IN
    spot_in = max((width_in(shot.spot, size) for shot in shots), default=0.0) + GAP_IN
    id_in = min(id_in, most - size_in - 0.5)
    spot_in = min(spot_in, most - size_in - id_in)
    rights = [
        max((width_in(text, size) for text in texts if text), default=0.0)
        for texts in zip(*((row.times, row.made, row.light) for row in rows), strict=True)
    ]
    heads = [width_in(head, setting.small_pt) for head in HEADS]
    return Columns(
        id_in=id_in,
        size_in=size_in,
        spot_in=spot_in,
        left_in=max(LEFT_SHARE * setting.room_in, id_in + size_in + spot_in),
        rights_in=tuple(
            max(wide, head) + GAP_IN if wide else 0.0
            for wide, head in zip(rights, heads, strict=True)
        ),
    )


def row_lines(row: Row, columns: Columns, size: float, lines: int) -> tuple[list[str], list[str]]:
    """Give the lines of an id, and the lines of the description under it, on a sheet."""
    if row.shot is None:
        return [], []
    ids = wrap(row.shot.id, columns.id_in - GAP_IN + _ROUNDING_IN, size, bold=True) or [""]
    return ids, wrap(row.shot.description, columns.left_in - GAP_IN, size, lines=lines)


def write_row(
    figure: Figure,
    row: Row,
    top_in: float,
    columns: Columns,
    setting: Paper,
    size: float,
    lines: int,
) -> None:
    """Write a row of a sheet from this height down."""
    left, line_in = setting.margin_in, SHEET_LINE * size * POINT_IN
    first = top_in + line_in / 2
    if row.shot is None:
        write(figure, left, first, Words(text="left out", size_pt=size, bold=True))
        return
    ids, what = row_lines(row, columns, size, lines)
    for number, text in enumerate(ids):
        words = Words(text=text, size_pt=size, bold=True)
        write(figure, left, first + number * line_in, words)
    write(figure, left + columns.id_in, first, Words(text=row.shot.size, size_pt=size))
    spot = cut(row.shot.spot, columns.spot_in - GAP_IN + _ROUNDING_IN, size)
    place = left + columns.id_in + columns.size_in
    write(figure, place, first, Words(text=spot, size_pt=size))
    for number, text in enumerate(what, start=len(ids)):
        words = Words(text=text, size_pt=size, color=FAINT)
        write(figure, left, first + number * line_in, words)
    right = setting.width_in - setting.margin_in
    for text, wide in zip(
        (row.light, row.made, row.times), reversed(columns.rights_in), strict=True
    ):
        if text:
            bold = row.is_below_half and text == row.light
            write(figure, right, first, Words(text=text, size_pt=size, bold=bold), align="right")
        right -= wide


def write_heads(figure: Figure, middle_in: float, columns: Columns, setting: Paper) -> None:
    """Write what the columns to the right hold."""
    right = setting.width_in - setting.margin_in
    for head, wide in zip(reversed(HEADS), reversed(columns.rights_in), strict=True):
        if wide:
            words = Words(text=head, size_pt=setting.small_pt, color=FAINT)
            write(figure, right, middle_in, words, align="right")
        right -= wide


def phone_lines(row: Row, setting: Paper, *, has_spots: bool) -> list[list[Words]]:
    """Give the lines over a phone's strip: words at the left and, if there are two, at the right.

    An id that leaves the times no room stands alone on its lines.
    """
    size, room = setting.text_pt, setting.room_in
    if row.shot is None:
        return [[Words(text="left out", size_pt=size, bold=True)]]
    ids = wrap(row.shot.id, room, size, bold=True) or [""]
    lines = [[Words(text=text, size_pt=size, bold=True)] for text in ids]
    right = ", ".join(filter(None, (row.times, row.made and f"made {row.made}")))
    if right:
        used = width_in(ids[-1], size, bold=True) + GAP_IN + width_in(right, size)
        if used > room:
            lines.append([Words(text="", size_pt=size)])
        lines[-1].append(Words(text=right, size_pt=size))
    spot = cut(row.shot.spot, room / 3, size) if has_spots else ""
    used = width_in(spot, size) + GAP_IN if spot else 0.0
    what = cut(row.shot.description, room - used, size)
    # Two texts, so that one which runs from right to left does not pull the other over.
    told = [Words(text=spot, size_pt=size)] if spot else []
    lines.append([*told, Words(text=what, size_pt=size, color=FAINT)])
    return lines


def write_phone_row(
    figure: Figure, lines: Sequence[Sequence[Words]], top_in: float, setting: Paper
) -> None:
    """Write the lines over a phone's strip."""
    left, right = setting.margin_in, setting.width_in - setting.margin_in
    for number, line in enumerate(lines):
        middle = top_in + LINE * setting.text_pt * POINT_IN * (number + 0.5)
        for place, words in enumerate(line):
            if place == 0:
                write(figure, left, middle, words)
            elif words.color == FAINT:
                after = left + width_in(line[0].text, words.size_pt) + GAP_IN
                write(figure, after, middle, words)
            else:
                write(figure, right, middle, words, align="right")


def why_lines(row: Row, room_in: float, setting: Paper, size: float) -> list[Words]:
    """Give why a shot is left out, as it stands under its strip."""
    most = 3 if setting.height_in is None else 1
    return [Words(text=text, size_pt=size) for text in wrap(row.why, room_in, size, lines=most)]


def _made_text(plan: Plan, shot: Shot) -> str:
    found = None if plan.outlook is None else plan.outlook.of(shot.id)
    return "" if found is None else chance(found.made)


def _roll_times(plan: Plan, planned: PlannedShot) -> str:
    day, state = plan.day, state_of(plan, planned)
    times = f"{clock(day, planned.roll_start)}–{clock(day, planned.roll_end)}"
    return times if state is State.COMING else f"{state} {times}"
