"""Bars below an unrolled circle: how wide the frame of each shot is, and where its lens points."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from sunsched.day.model import Day, Shot
from sunsched.light.angles import frame_deg
from sunsched.show.drawing.figure import Style, write
from sunsched.show.drawing.lettering import Words, cut, width_in
from sunsched.show.paper_size import Paper

FRAME: Style = {"facecolor": "0.75", "edgecolor": "black", "linewidth": 0.8}
ROW_IN = 0.21
GAP_IN = 0.05  # between what stands in a row
MOST_NAMED = 0.7  # of a bar that its name may cover
LONGEST_IN = 0.9  # that a name may be


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The frame of a look and a lens as it is drawn: its name, where that begins, and its bars.

    There are two bars where the picture's edge cuts it. All are inches from the picture's left.
    """

    text: str
    name_in: float
    bars_in: tuple[tuple[float, float], ...]

    def takes(self, setting: Paper) -> list[tuple[float, float]]:
        """Give the stretches of its row that a frame takes, its name among them."""
        wide = width_in(self.text, setting.small_pt, bold=True)
        return [*self.bars_in, (self.name_in, self.name_in + wide)]


def frame_rows(
    day: Day,
    shots: Sequence[Shot],
    across: Callable[[float], float],
    wide_in: float,
    setting: Paper,
) -> list[list[Frame]]:
    """Share frames out over rows in which none comes near another; like ones are one frame.

    `across` gives how far right an azimuth stands in a picture that is `wide_in` inches wide.
    """
    same: dict[tuple[float, float], list[str]] = {}
    for shot in shots:
        if shot.lens_mm:
            wide = frame_deg(day.camera.sensor_width_mm, shot.lens_mm)
            same.setdefault((shot.look_deg % 360.0, wide), []).append(shot.id)
    rows: list[list[Frame]] = []
    for (look, wide), ids in sorted(same.items()):
        text = cut(", ".join(ids), LONGEST_IN, setting.small_pt, bold=True)
        frame = _frame(text, look, wide, across, wide_in, setting)
        free = next((row for row in rows if not _meets(frame, row, setting)), None)
        if free is None:
            rows.append([frame])
        else:
            free.append(frame)
    return rows


def draw_frames(
    figure: Figure, rows: Sequence[Sequence[Frame]], left: float, top: float, setting: Paper
) -> None:
    """Draw the rows of frames from a place of the page on."""
    for row, frames in enumerate(rows):
        middle = top + (row + 0.5) * ROW_IN
        low = figure.get_figheight() - middle - 0.3 * ROW_IN
        for frame in frames:
            for start, end in frame.bars_in:
                corner, wide = (left + start, low), end - start
                place: Style = {"transform": figure.dpi_scale_trans, "label": f"frame {frame.text}"}
                figure.add_artist(Rectangle(corner, wide, 0.6 * ROW_IN, **place, **FRAME))
            words = Words(text=frame.text, size_pt=setting.small_pt, bold=True)
            back = {"facecolor": "white", "edgecolor": "none", "pad": 0.6}
            write(figure, left + frame.name_in, middle, words, bbox=back)


def _frame(
    text: str,
    look_deg: float,
    wide_deg: float,
    across: Callable[[float], float],
    wide_in: float,
    setting: Paper,
) -> Frame:
    start, bar = across(look_deg - wide_deg / 2), wide_deg / 360.0 * wide_in
    bars = [
        (max(0.0, begin), min(wide_in, begin + bar))
        for begin in (start, start - wide_in)
        if max(0.0, begin) < min(wide_in, begin + bar)
    ]
    named = width_in(text, setting.small_pt, bold=True)
    if named < MOST_NAMED * max(end - begin for begin, end in bars):
        begin, end = max(bars, key=lambda one: one[1] - one[0])
        name = (begin + end - named) / 2
    else:  # a name as wide as its bar would hide it
        name = bars[0][1] + GAP_IN
        if name + named > wide_in:
            name = bars[0][0] - GAP_IN - named
    return Frame(text=text, name_in=name, bars_in=tuple(bars))


def _meets(frame: Frame, row: Sequence[Frame], setting: Paper) -> bool:
    mine = frame.takes(setting)
    others = [stretch for one in row for stretch in one.takes(setting)]
    return any(
        start < other_end + GAP_IN and other_start < end + GAP_IN
        for start, end in mine
        for other_start, other_end in others
    )
