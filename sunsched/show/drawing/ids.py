"""Ids in lanes over a strip, or under it: each at its place, none over another or its staff."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from sunsched.show.drawing.figure import Style, write
from sunsched.show.drawing.lettering import LINE, POINT_IN, Words, cut, width_in

MOST_LANES = 3  # with more than these the ids stand upright, side by side
LONGEST_IN = 0.9  # that an id may be
GAP_IN = 0.05  # between two ids on one lane


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedId:
    """An id with its place across, its lane (0 is nearest to the strip), and where it is written.

    All are inches from the left edge of the page.
    """

    text: str
    staff_in: float
    lane: int
    left_in: float
    right_in: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lanes:
    """Ids that are placed, the height of one of their lanes, and whether they stand upright."""

    ids: tuple[PlacedId, ...]
    lane_in: float
    is_upright: bool
    size_pt: float

    @property
    def high_in(self) -> float:
        """Height of all lanes."""
        return self.lane_in * (1 + max((one.lane for one in self.ids), default=-1))


def place_ids(
    marks: Sequence[tuple[str, float]], left_in: float, right_in: float, size_pt: float
) -> Lanes:
    """Place ids by where they belong across the page, between two edges of it."""
    marks = [(cut(text, LONGEST_IN, size_pt, bold=True), at) for text, at in marks]
    line_in = LINE * size_pt * POINT_IN
    wide = [width_in(text, size_pt, bold=True) + GAP_IN for text, _ in marks]
    lying = _placed(marks, wide, left_in, right_in)
    if max((one.lane for one in lying), default=0) < MOST_LANES:
        return Lanes(ids=lying, lane_in=line_in, is_upright=False, size_pt=size_pt)
    standing = _placed(marks, [line_in] * len(marks), left_in, right_in)
    return Lanes(ids=standing, lane_in=max(wide), is_upright=True, size_pt=size_pt)


def draw_ids(figure: Figure, lanes: Lanes, edge_in: float, *, below: bool = False) -> None:
    """Write ids over the edge of a strip, or under it, those of higher lanes on staffs."""
    way, high = (1.0 if below else -1.0), figure.get_figheight()
    for one in lanes.ids:
        foot = edge_in + way * one.lane * lanes.lane_in
        words = Words(text=one.text, size_pt=lanes.size_pt, bold=True)
        turn = {"rotation": 90} if lanes.is_upright else {}
        middle = (one.left_in + one.right_in) / 2
        write(figure, middle, foot + way * lanes.lane_in / 2, words, align="center", **turn)
        if one.lane:
            place: Style = {"transform": figure.dpi_scale_trans, "color": "0.45", "linewidth": 0.7}
            up = [high - edge_in, high - foot]
            figure.add_artist(Line2D([one.staff_in] * 2, up, label=f"staff {one.text}", **place))


def _placed(
    marks: Sequence[tuple[str, float]], wide: Sequence[float], left_in: float, right_in: float
) -> tuple[PlacedId, ...]:
    placed: list[PlacedId] = []
    order = sorted(range(len(marks)), key=lambda number: marks[number][1])
    for rank, number in enumerate(order):
        coming = [marks[later][1] for later in order[rank + 1 :]]
        choices = [*_choices(*marks[number], wide[number], left_in, right_in, len(marks))]
        free = [one for one in choices if not any(_meet(one, other) for other in placed)]
        # What is yet to come may have to stand higher, so its staff is left free if that can be.
        clear = (one for one in free if not any(_covers(one, staff) for staff in coming))
        placed.append(next(clear, next(iter(free), choices[-1])))
    return tuple(placed)


def _choices(
    text: str, staff: float, wide: float, left_in: float, right_in: float, lanes: int
) -> Iterator[PlacedId]:
    """Yield the places of an id: over its own, then beside it, lane by lane."""
    for lane in range(lanes + 1):
        for left in (staff - wide / 2, staff - GAP_IN, staff - wide + GAP_IN):
            inside = max(left_in, min(left, right_in - wide))
            yield PlacedId(
                text=text, staff_in=staff, lane=lane, left_in=inside, right_in=inside + wide
            )


def _meet(one: PlacedId, other: PlacedId) -> bool:
    if one.lane == other.lane:
        return one.left_in < other.right_in and other.left_in < one.right_in
    low, high = sorted((one, other), key=lambda placed: placed.lane)
    return _covers(low, high.staff_in)


def _covers(one: PlacedId, staff_in: float) -> bool:
    return one.left_in + GAP_IN / 2 < staff_in < one.right_in - GAP_IN / 2
