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


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A shot's frame: where its look stands and how wide it is, degrees, and its name."""

    look_deg: float
    wide_deg: float
    text: str


def frame_rows(
    day: Day, shots: Sequence[Shot], wide_in: float, setting: Paper
) -> list[list[Frame]]:
    """Share frames out over rows in which none comes near another; like ones are one frame."""
    same: dict[tuple[float, float], list[str]] = {}
    for shot in shots:
        if shot.lens_mm:
            wide = frame_deg(day.sensor_width_mm, shot.lens_mm)
            same.setdefault((shot.look_deg % 360.0, wide), []).append(shot.id)
    rows: list[list[Frame]] = []
    for (look, wide), ids in sorted(same.items()):
        text = cut(", ".join(ids), 0.9, setting.small_pt, bold=True)
        frame = Frame(look_deg=look, wide_deg=wide, text=text)
        room = _room_deg(frame, wide_in, setting)
        free = next(
            (
                row
                for row in rows
                if all(
                    abs((look - one.look_deg + 180.0) % 360.0 - 180.0)
                    > (room + _room_deg(one, wide_in, setting)) / 2
                    for one in row
                )
            ),
            None,
        )
        if free is None:
            rows.append([frame])
        else:
            free.append(frame)
    return rows


def _room_deg(frame: Frame, wide_in: float, setting: Paper) -> float:
    """Give the degrees that a frame and its name, in its middle, take of a row."""
    named = width_in(frame.text, setting.small_pt, bold=True) + 0.08
    return max(frame.wide_deg, named / wide_in * 360.0) + 2.0


def draw_frames(
    figure: Figure,
    across: Callable[[float], float],
    wide_in: float,
    rows: Sequence[Sequence[Frame]],
    left: float,
    top: float,
    setting: Paper,
) -> None:
    """Draw a bar as wide as each frame, in two where the picture's edge cuts it.

    `across` gives how far right of `left` an azimuth stands, up to `wide_in`; all are inches.
    """
    for row, frames in enumerate(rows):
        middle = top + (row + 0.5) * ROW_IN
        for frame in frames:
            start = across(frame.look_deg - frame.wide_deg / 2)
            wide = frame.wide_deg / 360.0 * wide_in
            for begin in (start, start - wide_in):
                first, last = max(0.0, begin), min(wide_in, begin + wide)
                if first < last:
                    figure.add_artist(
                        Rectangle(
                            (left + first, figure.get_figheight() - middle - 0.3 * ROW_IN),
                            last - first,
                            0.6 * ROW_IN,
                            transform=figure.dpi_scale_trans,
                            label=f"frame {frame.text}",
                            **FRAME,
                        )
                    )
            words = Words(text=frame.text, size_pt=setting.small_pt, bold=True)
            half = width_in(frame.text, setting.small_pt, bold=True) / 2
            at = across(frame.look_deg)
            at = min(max(at, half), wide_in - half)
            back = {"facecolor": "white", "edgecolor": "none", "pad": 0.6}
            write(figure, left + at, middle, words, align="center", bbox=back)
