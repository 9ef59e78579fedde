"""A shot's strip through the day: its light in greys, and what the crew does for it over them.

Grey means the same in every picture of the project: the lighter, the better. White is all the light
or a price of nothing, dark is none or the dearest; shade, night and what is shut are dark too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from matplotlib.patches import Rectangle

from sunsched.light.angles import TAIL
from sunsched.light.fit import HALF, BoolArray, DayFit
from sunsched.plan.outlook import Prospect
from sunsched.show.agenda import State
from sunsched.show.drawing.figure import DARK_BLUE, Stage, Style
from sunsched.show.drawing.key import KeyEntry
from sunsched.show.drawing.timeline import TimeAxis, minutes_of
from sunsched.show.pieces import Doing, Piece
from sunsched.sky.track import FloatArray

# Lowest light of each shade and its grey, dark first. What is left far past a give is none, and
# from one half on a shot keeps its light. Neighbours have 1.6 times each other's contrast, as WCAG
# 2.2 counts it, and the ends 6.5 times, so that glare and a poor copy leave them apart. The white
# of light is a hair off that of paper, which a dark page turns round.
SHADES = ((0.0, "0.365"), (TAIL, "0.49"), (HALF, "0.635"), (0.75, "0.80"), (0.95, "0.997"))
SHADE_LABELS = ("none", "some", "from 50%", "from 75%", "from 95%")
DARK, LIGHT = SHADES[0][1], SHADES[-1][1]
FRAME: Style = {"facecolor": "none", "edgecolor": "0.3", "linewidth": 0.4}
# The third sign beside the greys: a line around all that keeps at least half.
HALF_EDGE: Style = {"facecolor": "none", "edgecolor": "black", "linewidth": 0.9}
LOW_SHARE = 0.36  # height of a strip, as a share, where its spot is shut or its cast away

# What stands over greys of any depth has a white casing or is white itself.
CASING_PT = 1.0
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
MOVE: Style = {"facecolor": "black", "edgecolor": "white", "linewidth": 0.8}
WAIT: Style = {"color": "black", "linewidth": 1.4, "linestyle": (0, (1.0, 1.2))}
LAST: Style = {
    "color": "black",
    "linestyle": "",
    "marker": 4,  # a triangle whose tip, on the left, stands at the last start
    "markersize": 6.0,
    "markerfacecolor": "black",
    "markeredgecolor": "white",
    "markeredgewidth": 0.7,
}
# A roll that keeps less than half its light.
BELOW_HALF: Style = {
    "color": "black",
    "linestyle": "",
    "marker": "X",
    "markersize": 6.0,
    "markerfacecolor": "black",
    "markeredgecolor": "white",
    "markeredgewidth": 0.6,
}
# Of the roll starts on the average day: from the tenth to the last tenth, in a lane of its own.
LIKELY: Style = {"facecolor": "black", "edgecolor": "black", "linewidth": 0.5}
BUILD_SHARE, MOVE_SHARE = 0.6, 0.3  # shares of the strip's height
MOVE_IN = 0.054  # height of a company move in the key, about that in a strip of a day


def draw_strip(
    axes: Axes | Stage,
    axis: TimeAxis,
    light: FloatArray,
    middle: float,
    high: float,
    label: str,
    there: BoolArray | None = None,
) -> None:
    """Draw a strip of grey, each shade over the next darker one, so that no seam shows.

    Parameters
    ----------
    there : the minutes at which spot and cast are there, (minutes,); the strip is low elsewhere
    """
    ground: list[tuple[int, int, float]] = [(axis.first, axis.last, high)]
    if there is not None:
        ground = [(first, last, high) for first, last in runs(there, axis)]
        ground += [(first, last, high * LOW_SHARE) for first, last in runs(~there, axis)]
    boxes = [(SHADES[0][1], *one) for one in ground]
    for least, grey in SHADES[1:]:
        boxes += [(grey, *one) for one in _within(runs(light >= least, axis), ground)]
    shapes = [_box(middle, *one) for _, *one in boxes]
    greys = [grey for grey, *_ in boxes]
    strip = PolyCollection(shapes, facecolors=greys, linewidths=0.0, zorder=1.0, label=label)
    axes.add_artist(strip)
    good = [_box(middle, *one) for one in _within(runs(light >= HALF, axis), ground)]
    frame = [_box(middle, *one) for one in ground]
    for shapes, look, name in (
        (frame, FRAME | {"zorder": 1.2}, f"frame {label}"),
        (good, HALF_EDGE | {"zorder": 1.3}, f"half {label}"),
    ):
        axes.add_artist(PolyCollection(shapes, label=name, **look))


def _within(
    stretches: Iterable[tuple[int, int]], ground: Sequence[tuple[int, int, float]]
) -> Iterator[tuple[int, int, float]]:
    """Cut stretches to those of a strip, each of which has a height."""
    for start, end in stretches:
        for first, last, high in ground:
            if max(start, first) < min(end, last):
                yield max(start, first), min(end, last), high


def _box(middle: float, first: float, last: float, high: float) -> list[tuple[float, float]]:
    low, up = middle - high / 2, middle + high / 2
    return [(first, low), (first, up), (last, up), (last, low)]


def draw_piece(
    axes: Axes | Stage, fit: DayFit, piece: Piece, middle: float, high: float, roll_share: float
) -> None:
    """Draw what is done for a shot over its strip: shapes tell roll, build, move and wait apart."""
    start, end = minutes_of(fit, piece.start), minutes_of(fit, piece.end)
    label = f"{piece.doing} {piece.shot_id}"
    if piece.doing is Doing.WAIT:
        for name, look in ((f"casing {label}", casing(WAIT)), (label, WAIT)):
            axes.plot([start, end], [middle, middle], label=name, zorder=3, **look)
        return
    style, share = {
        Doing.MOVE: (MOVE, MOVE_SHARE),
        Doing.BUILD: (BUILD, BUILD_SHARE),
        Doing.ROLL: (ROLLS[piece.state], roll_share),
    }[piece.doing]
    corner, tall = (start, middle - high * share / 2), high * share
    zorder = 5.0 if piece.doing is Doing.ROLL else 4.0
    if piece.doing is Doing.ROLL:
        around = ROLL | {"edgecolor": "white", "linewidth": ROLL["linewidth"] + 2 * CASING_PT}
        name = f"casing {label}"
        axes.add_artist(
            Rectangle(corner, end - start, tall, label=name, zorder=zorder - 0.1, **around)
        )
    axes.add_artist(Rectangle(corner, end - start, tall, label=label, zorder=zorder, **style))


def casing(look: Style) -> Style:
    """Give the white line that stands around a line over greys."""
    return {"color": "white", "linewidth": look["linewidth"] + 2 * CASING_PT}


def draw_likely(axes: Axes, fit: DayFit, prospect: Prospect, at: float, high: float) -> None:
    """Draw when a roll is likely to start, as a band of this height."""
    if prospect.rolls is None:
        return
    first, last = (minutes_of(fit, one) for one in (prospect.rolls.start, prospect.rolls.end))
    corner, label = (first, at - high / 2), f"likely {prospect.shot_id}"
    axes.add_artist(Rectangle(corner, last - first, high, label=label, zorder=6, **LIKELY))


def piece_key(pieces: Sequence[Piece], move_in: float = MOVE_IN) -> list[KeyEntry]:
    """Explain what `draw_piece` draws of these pieces.

    `move_in` is the height of a company move, which is as thick in the key as in a strip.
    """
    rolls = {
        State.COMING: "roll",
        State.RUNNING: "roll that goes on",
        State.MADE: "made",
    }
    states = {piece.state for piece in pieces if piece.doing is Doing.ROLL}
    entries = {
        Doing.BUILD: KeyEntry(label="build or adjust before it", box=BUILD, share=BUILD_SHARE),
        Doing.MOVE: KeyEntry(label="company move", box=MOVE, high_in=move_in),
        Doing.WAIT: KeyEntry(label="wait", line=WAIT),
    }
    drawn = {piece.doing for piece in pieces}
    return [
        *(KeyEntry(label=rolls[one], box=ROLLS[one]) for one in rolls if one in states),
        *(entry for doing, entry in entries.items() if doing in drawn),
    ]


def shade_key() -> list[KeyEntry]:
    """Explain the greys of a strip, and the line around those of at least one half."""
    return [
        KeyEntry(label="light kept at each minute, the lighter the better:"),
        *(
            KeyEntry(label=label, box=(HALF_EDGE if least >= HALF else FRAME) | {"facecolor": grey})
            for label, (least, grey) in zip(SHADE_LABELS, SHADES, strict=True)
        ),
    ]


def runs(on: BoolArray, axis: TimeAxis) -> Iterator[tuple[int, int]]:
    """Give the stretches of the shown minutes in which a condition holds, ends excluded."""
    padded = np.concatenate(([False], on[axis.first : axis.last], [False]))
    edges = axis.first + np.flatnonzero(padded[1:] != padded[:-1])
    yield from zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)
