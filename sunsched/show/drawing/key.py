"""A picture's key: each mark as it is drawn, with its meaning, in rows that fit the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from sunsched.show.drawing.figure import Style, write
from sunsched.show.drawing.lettering import POINT_IN, Words, cut, width_in
from sunsched.show.paper_size import Paper


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyEntry:
    """One mark of a key and its meaning; without a mark it is a heading.

    A box is as high as its share of the line, or so many inches.
    """

    label: str
    box: Style = field(default_factory=dict)
    share: float = 1.0
    high_in: float | None = None
    line: Style = field(default_factory=dict)

    @property
    def width_in(self) -> float:
        """Width of the mark and the gap behind it."""
        return 0.39 if self.box or self.line else 0.0


def key_rows(entries: Sequence[KeyEntry], setting: Paper) -> list[list[KeyEntry]]:
    """Share the entries of a key out over rows that fit the page."""
    rows: list[list[KeyEntry]] = []
    used = 0.0
    for entry in entries:
        wide = _entry_width_in(entry, setting)
        if not rows or used + wide > setting.room_in + 0.16:
            rows.append([])
            used = 0.0
        rows[-1].append(entry)
        used += wide
    return rows


def key_height_in(rows: Sequence[Sequence[KeyEntry]], setting: Paper) -> float:
    """Give the height of a key."""
    return len(rows) * 1.6 * setting.small_pt * POINT_IN


def draw_key(
    figure: Figure, top_in: float, rows: Sequence[Sequence[KeyEntry]], setting: Paper
) -> None:
    """Draw a key's rows from this height down."""
    high = 1.6 * setting.small_pt * POINT_IN
    for row, entries in enumerate(rows):
        left, middle = setting.margin_in, top_in + (row + 0.5) * high
        for entry in entries:
            _draw_mark(figure, left, figure.get_figheight() - middle, entry, 0.62 * high)
            label = cut(entry.label, _label_room_in(entry, setting), setting.small_pt)
            write(
                figure,
                left + entry.width_in,
                middle,
                Words(text=label, size_pt=setting.small_pt),
            )
            left += _entry_width_in(entry, setting)


def _draw_mark(figure: Figure, left: float, middle: float, entry: KeyEntry, high: float) -> None:
    place: Style = {"transform": figure.dpi_scale_trans}
    wide, high = 0.3, high * entry.share if entry.high_in is None else entry.high_in
    if entry.box:
        corner = (left, middle - high / 2)
        figure.add_artist(Rectangle(corner, wide, high, **place, **entry.box))
    if entry.line:
        only_mark = entry.line.get("linestyle") == ""
        across = [left + wide * share for share in ([0.5] if only_mark else [0.0, 0.5, 1.0])]
        figure.add_artist(Line2D(across, [middle] * len(across), **place, **entry.line))


def _label_room_in(entry: KeyEntry, setting: Paper) -> float:
    return setting.room_in - entry.width_in


def _entry_width_in(entry: KeyEntry, setting: Paper) -> float:
    label = min(width_in(entry.label, setting.small_pt), _label_room_in(entry, setting))
    return entry.width_in + label + 0.16
