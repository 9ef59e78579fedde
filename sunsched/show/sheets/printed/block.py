"""What a printed page is built of: blocks that stay together, and the size of their letters."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from sunsched.show.drawing.figure import RULE, write
from sunsched.show.drawing.lettering import FAINT, INK, POINT_IN, Words, cut, width_in, wrap
from sunsched.show.paper_size import Paper

TEXT_PT = 8.0  # of a page whose letters do not grow
SMALL_PT = 7.0  # the smallest letters of any page
GAP_IN = 0.09  # between columns
LINE = 1.22  # height of a line of a table, in sizes of its letters
SMALL = 0.86  # of the small letters, in sizes of the others
PADS_EM = (0.25, 0.35, 0.45, 0.6, 0.8, 1.0)  # from the least that a row is given on
BAND = "0.90"  # grey of a move and of the meal
FOOT_IN = 0.24  # of the foot's letters from the lower edge
FOOT_ROOM_IN = 0.38
FOOT_GAP_IN = 0.3  # between what the page is of and its number


@dataclass(frozen=True, slots=True, kw_only=True)
class Letters:
    """The size of a page's letters, points: all others are made from that of its text.

    `pad_em` is what stands over and under the lines of a row together, in sizes of the text.
    """

    text_pt: float
    pad_em: float = PADS_EM[0]

    @property
    def small_pt(self) -> float:
        """Of what is read from near."""
        return max(SMALL_PT, SMALL * self.text_pt)

    @property
    def id_pt(self) -> float:
        """Of a shot's id."""
        return self.text_pt + 1.0

    @property
    def pad_in(self) -> float:
        """Over and under the lines of a row together."""
        return self.pad_em * self.text_pt * POINT_IN

    def normal(self, text: str) -> Words:
        """Give a text as most of a page is written."""
        return Words(text=text, size_pt=self.text_pt)

    def bold(self, text: str) -> Words:
        """Give a text in bold."""
        return Words(text=text, size_pt=self.text_pt, bold=True)

    def small(self, text: str, *, bold: bool = False, color: str = INK) -> Words:
        """Give a text in small letters."""
        return Words(text=text, size_pt=self.small_pt, bold=bold, color=color)

    def head(self, text: str) -> Words:
        """Give the head of a column."""
        return self.small(text, color=FAINT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """What stays together on a page: its height, and how it is drawn from a height down."""

    high_in: float
    draw: Callable[[Figure, float], None]


def line_in(words: Words) -> float:
    """Give the height of a line of a table, inches."""
    return LINE * words.size_pt * POINT_IN


def high_in(lines: Sequence[Words]) -> float:
    """Give the height of lines under one another, inches."""
    return sum(line_in(words) for words in lines)


def wrapped(words: Words, room_in: float, lines: int | None = None) -> list[Words]:
    """Break a text into the lines that fit, in its own letters."""
    return [
        Words(text=text, size_pt=words.size_pt, bold=words.bold, color=words.color)
        for text in wrap(words.text, room_in, words.size_pt, bold=words.bold, lines=lines)
    ]


def write_under(figure: Figure, left_in: float, top_in: float, lines: Sequence[Words]) -> None:
    """Write lines under one another."""
    for words in lines:
        write(figure, left_in, top_in + line_in(words) / 2, words)
        top_in += line_in(words)


def paragraph(words: Words, setting: Paper, lines: int | None = None) -> Iterator[Block]:
    """Give a text that runs from margin to margin, a block for each of its lines."""
    for line in wrapped(words, setting.room_in, lines):

        def draw(figure: Figure, top: float, line: Words = line) -> None:
            write_under(figure, setting.margin_in, top, [line])

        yield Block(high_in=line_in(line), draw=draw)


def blank(high: float) -> Block:
    """Give an empty stretch."""
    return Block(high_in=high, draw=lambda _figure, _top: None)


def together(blocks: Sequence[Block]) -> Block:
    """Give blocks that stay on one page."""

    def draw(figure: Figure, top: float) -> None:
        for block in blocks:
            block.draw(figure, top)
            top += block.high_in

    return Block(high_in=sum(block.high_in for block in blocks), draw=draw)


def rule(figure: Figure, top: float, setting: Paper, width_pt: float) -> None:
    """Draw a line from margin to margin."""
    y = figure.get_figheight() - top
    line = Line2D(
        (setting.margin_in, setting.width_in - setting.margin_in),
        (y, y),
        color="black" if width_pt >= 1 else RULE,
        linewidth=width_pt,
        transform=figure.dpi_scale_trans,
    )
    figure.add_artist(line)


def box(
    figure: Figure, left: float, top: float, wide: float, high: float, *, fill: str, edge: str
) -> None:
    """Draw a box from its upper left corner."""
    drawn = Rectangle(
        (left, figure.get_figheight() - top - high),
        wide,
        high,
        facecolor=fill,
        edgecolor=edge,
        linewidth=0.0 if edge == "none" else 0.6,
        transform=figure.dpi_scale_trans,
    )
    figure.add_artist(drawn)


def write_foot(figure: Figure, setting: Paper, left: str, right: str) -> None:
    """Write at the foot of a page what it is of, and which page it is."""
    wide, high = figure.get_size_inches()
    room = setting.room_in - width_in(right, SMALL_PT) - FOOT_GAP_IN
    foot = Words(text=cut(left, room, SMALL_PT), size_pt=SMALL_PT)
    write(figure, setting.margin_in, high - FOOT_IN, foot)
    words = Words(text=right, size_pt=SMALL_PT)
    write(figure, wide - setting.margin_in, high - FOOT_IN, words, align="right")
