"""A shot's strip through the day: its light in greys, and what the crew does for it over them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from matplotlib.patches import Rectangle

from sunsched.light.angles import TAIL
from sunsched.light.fit import BoolArray, DayFit
from sunsched.plan.outlook import Prospect
from sunsched.plan.plan import Plan
from sunsched.show.agenda import State, moved_at, ready_at, state_of
from sunsched.show.drawing.figure import DARK_BLUE, Stage, Style
from sunsched.show.drawing.key import KeyEntry
from sunsched.show.drawing.timeline import TimeAxis, minutes_of
from sunsched.sky.track import FloatArray

# Lowest light of each shade and its grey, dark first. What is left far past a give is none, and
# from one half on a shot keeps its light.
SHADES = ((0.0, "0.6"), (TAIL, "0.71"), (0.5, "0.83"), (0.75, "0.92"), (0.95, "1.0"))
SHADE_LABELS = ("none", "some", "from 50%", "from 75%", "from 95%")

ROLL: Style = {"facecolor": "none", "edgecolor": DARK_BLUE, "linewidth": 1.5}
# A made roll is filled; one that goes on is filled in part, by a hatch.
MADE: Style = {"facecolor": DARK_BLUE, "edgecolor": DARK_BLUE, "linewidth": 1.5}
RUNNING: Style = {
    "facecolor": "white",
    "edgecolor": DARK_BLUE,
    "linewidth": 1.5,
    "hatch": "||||||",
}
ROLLS = {State.MADE: MADE, State.RUNNING: RUNNING, State.COMING: ROLL}
BUILD: Style = {"facecolor": "white", "edgecolor": "black", "linewidth": 0.5, "hatch": "//////"}
MOVE: Style = {"facecolor": "0.1", "edgecolor": "black", "linewidth": 0.5}
WAIT: Style = {"color": "black", "linewidth": 1.4, "linestyle": (0, (1.0, 1.2))}
LAST: Style = {
    "color": "black",
    "linestyle": "",
    "marker": 4,  # a triangle whose tip, on the left, stands at the last start
    "markersize": 4.5,
    "markerfacecolor": "black",
}
# Of the roll starts on the average day: from the tenth to the last tenth.
LIKELY: Style = {
    "color": "black",
    "linewidth": 1.1,
    "marker": "|",
    "markersize": 5.0,
    "markeredgewidth": 1.1,
}
BUILD_SHARE, MOVE_SHARE = 0.6, 0.3  # shares of the strip's height


class Doing(StrEnum):
    """What the crew does for a shot."""

    WAIT = "wait"
    MOVE = "move"
    BUILD = "build"
    ROLL = "roll"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A stretch of the plan that belongs to one shot; a build holds the turnaround too."""

    shot_id: str
    state: State
    doing: Doing
    start: datetime
    end: datetime


def plan_pieces(plan: Plan) -> tuple[Piece, ...]:
    """Cut a plan into what the crew does, in order of time; the meal is not among it."""
    pieces: list[Piece] = []
    free_at: datetime | None = None
    meal = plan.meal
    for planned in plan.shots:
        marks, state = [], state_of(plan, planned)
        if meal is not None and meal.start < planned.roll_start:
            if free_at is not None:
                marks.append((Doing.WAIT, free_at, meal.start))
            free_at, meal = meal.end, None
        moved, ready = moved_at(planned), ready_at(plan, planned)
        if free_at is not None:
            marks.append((Doing.WAIT, free_at, planned.changeover_start))
        marks += [
            (Doing.MOVE, planned.changeover_start, moved),
            (Doing.BUILD, moved, ready),
            (Doing.WAIT, ready, planned.roll_start),
            (Doing.ROLL, planned.roll_start, planned.roll_end),
        ]
        pieces += [
            Piece(shot_id=planned.shot.id, state=state, doing=doing, start=start, end=end)
            for doing, start, end in marks
            if start < end
        ]
        free_at = planned.roll_end
    return tuple(pieces)


def draw_strip(
    axes: Axes, axis: TimeAxis, light: FloatArray, middle: float, high: float, label: str
) -> None:
    """Draw a strip of grey, each shade over the next darker one, so that no seam shows."""
    low, high = middle - high / 2, middle + high / 2
    boxes, greys = [[(axis.first, low), (axis.last, high)]], [SHADES[0][1]]
    for least, grey in SHADES[1:]:
        for start, end in runs(light >= least, axis):
            boxes.append([(start, low), (end, high)])
            greys.append(grey)
    corners = [[(x, y), (x, v), (u, v), (u, y)] for (x, y), (u, v) in boxes]
    strip = PolyCollection(corners, facecolors=greys, linewidths=0.0, zorder=1.0, label=label)
    axes.add_collection(strip, autolim=False)
    frame: Style = {"linewidth": 0.4, "edgecolor": "0.3", "zorder": 1.2, "facecolor": "none"}
    axes.add_artist(Rectangle((axis.first, low), axis.last - axis.first, high - low, **frame))


def draw_piece(
    axes: Axes | Stage, fit: DayFit, piece: Piece, middle: float, high: float, roll_share: float
) -> None:
    """Draw what is done for a shot over its strip: shapes tell roll, build, move and wait apart."""
    start, end = minutes_of(fit, piece.start), minutes_of(fit, piece.end)
    label = f"{piece.doing} {piece.shot_id}"
    if piece.doing is Doing.WAIT:
        axes.plot([start, end], [middle, middle], label=label, zorder=3, **WAIT)
        return
    style, share = {
        Doing.MOVE: (MOVE, MOVE_SHARE),
        Doing.BUILD: (BUILD, BUILD_SHARE),
        Doing.ROLL: (ROLLS[piece.state], roll_share),
    }[piece.doing]
    corner = (start, middle - high * share / 2)
    zorder = 5 if piece.doing is Doing.ROLL else 4
    axes.add_artist(
        Rectangle(corner, end - start, high * share, label=label, zorder=zorder, **style)
    )


def draw_likely(axes: Axes, fit: DayFit, prospect: Prospect, at: float) -> None:
    """Draw when a roll is likely to start, as a line with ends."""
    if prospect.rolls is None:
        return
    minutes = [minutes_of(fit, when) for when in (prospect.rolls.start, prospect.rolls.end)]
    axes.plot(minutes, [at, at], zorder=6, label=f"likely {prospect.shot_id}", **LIKELY)


def piece_key(pieces: Sequence[Piece]) -> list[KeyEntry]:
    """Explain what `draw_piece` draws of these pieces."""
    rolls = {
        State.COMING: "roll",
        State.RUNNING: "roll that goes on",
        State.MADE: "made",
    }
    states = {piece.state for piece in pieces if piece.doing is Doing.ROLL}
    entries = {
        Doing.BUILD: KeyEntry(label="build or adjust before it", box=BUILD, share=BUILD_SHARE),
        Doing.MOVE: KeyEntry(label="company move", box=MOVE, share=MOVE_SHARE),
        Doing.WAIT: KeyEntry(label="wait", line=WAIT),
    }
    drawn = {piece.doing for piece in pieces}
    return [
        *(KeyEntry(label=rolls[one], box=ROLLS[one]) for one in rolls if one in states),
        *(entry for doing, entry in entries.items() if doing in drawn),
    ]


def shade_key() -> list[KeyEntry]:
    """Explain the greys of a strip."""
    frame: Style = {"edgecolor": "0.3", "linewidth": 0.4}
    return [
        KeyEntry(label="light kept at each minute:"),
        *(
            KeyEntry(label=label, box={"facecolor": grey, **frame})
            for label, (_, grey) in zip(SHADE_LABELS, SHADES, strict=True)
        ),
    ]


def runs(on: BoolArray, axis: TimeAxis) -> Iterator[tuple[int, int]]:
    """Give the stretches of the shown minutes in which a condition holds, ends excluded."""
    padded = np.concatenate(([False], on[axis.first : axis.last], [False]))
    edges = axis.first + np.flatnonzero(padded[1:] != padded[:-1])
    yield from zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)
