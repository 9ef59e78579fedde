"""What the pictures share: paper, headings, axes, and the bytes of a file.

Lengths are inches from the top left corner of the page unless a name says otherwise. No mark is
told by its colour alone: each differs in lightness, hatch or shape too. The two colours are
vermilion and a darker tone of the blue of Okabe & Ito, "Color universal design" (2008), which every
eye tells apart; the blue is dark so that it stands out of the darkest grey when printed without
colour.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, TypeAlias

from matplotlib import rc_context, style
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import FigureCanvasPdf, PdfPages
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from sunsched.day.model import Day
from sunsched.show.lettering import FAINT, FONT, Words, lettering, wrapped_words

Style: TypeAlias = dict[str, Any]  # how a mark looks, in matplotlib's own words

DARK_BLUE = "#00466E"
VERMILION = "#D55E00"
RULE = "0.72"
_RC: Any = {
    "font.family": [FONT],
    "text.parse_math": False,
    "hatch.linewidth": 0.6,
    "svg.fonttype": "none",
    "pdf.fonttype": 42,
    "figure.facecolor": "white",
}
# What an SVG can do without, a third of it: a turn by no degrees at every text, and new lines,
# which no lettering holds.
_SVG_WASTE = (
    (re.compile(rb'(<text [^>]*?) transform="rotate\(-0 [^">]*\)">'), rb"\1>"),
    (re.compile(rb">\s*\n\s*<"), b"><"),
    (re.compile(rb"\s*\n\s*"), b" "),
)


class Shape(StrEnum):
    """The paper of a picture: a sheet for a clipboard, or a tall strip as wide as a phone."""

    A4 = "a4"
    LETTER = "letter"
    PHONE = "phone"


# Short and long edge.
_SHEETS_IN = {Shape.A4: (8.27, 11.69), Shape.LETTER: (8.5, 11.0)}
PHONE_WIDTH_IN = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """How a shape is set: width and height (None: as tall as it needs), margin, letters, dots.

    On a phone 360 px wide an inch is 90 px, so the smallest letters there are 10 px.
    """

    width_in: float
    height_in: float | None
    margin_in: float
    title_pt: float
    text_pt: float
    small_pt: float
    dots_per_in: float

    @property
    def room_in(self) -> float:
        """Width between the margins."""
        return self.width_in - 2 * self.margin_in


@contextmanager
def house_style() -> Iterator[None]:
    """Draw with matplotlib's own defaults and ours, whatever a user's settings say."""
    with style.context("default"), rc_context(_RC):
        yield


def paper(shape: Shape, *, upright: bool = False) -> Paper:
    """Give the setting of a shape; sheets lie on their long edge unless upright."""
    if shape is Shape.PHONE:
        return Paper(
            width_in=PHONE_WIDTH_IN,
            height_in=None,
            margin_in=0.1,
            title_pt=12.0,
            text_pt=9.0,
            small_pt=8.0,
            dots_per_in=270.0,
        )
    short, long = _SHEETS_IN[shape]
    return Paper(
        width_in=short if upright else long,
        height_in=long if upright else short,
        margin_in=0.4,
        title_pt=15.0,
        text_pt=8.5,
        small_pt=7.5,
        dots_per_in=150.0,
    )


def new_figure(setting: Paper, height_in: float, name: str) -> Figure:
    """Make an empty page, higher than its paper if it must be; files carry its name as a title."""
    figure = Figure(
        figsize=(setting.width_in, max(setting.height_in or 0.0, height_in)),
        dpi=setting.dots_per_in,
    )
    figure.set_label(lettering(name))
    return figure


def picture_bytes(figures: Sequence[Figure], kind: str) -> bytes:
    """Write figures as a file of a kind: `png` and `svg` take one, `pdf` a page for each.

    The same figures give the same bytes. Raises ValueError for another kind or number of figures.
    """
    if kind not in ("png", "svg", "pdf"):
        raise ValueError(f"no pictures are made of kind `{kind}`")
    if not figures or (kind != "pdf" and len(figures) > 1):
        raise ValueError(f"a {kind} file holds one picture, not {len(figures)}")
    target = io.BytesIO()
    title = str(figures[0].get_label())
    # Marks in an SVG are named by hashes; with the title in them, several pictures in one page of
    # HTML do not take each other's hatches.
    with house_style(), rc_context({"svg.hashsalt": title}):
        if kind == "png":
            FigureCanvasAgg(figures[0])
            figures[0].savefig(target, format=kind, dpi="figure", metadata={"Software": None})
        elif kind == "svg":
            FigureCanvasSVG(figures[0])
            unsaid = dict.fromkeys(("Date", "Creator", "Format", "Type"))
            figures[0].savefig(target, format=kind, metadata={"Title": title} | unsaid)
            return _without_waste(target.getvalue())
        else:
            about = {"Title": title, "CreationDate": None, "Creator": None, "Producer": None}
            with PdfPages(target, metadata=about) as pages:
                for figure in figures:
                    FigureCanvasPdf(figure)
                    pages.savefig(figure)
    return target.getvalue()


def _without_waste(svg: bytes) -> bytes:
    for waste, rest in _SVG_WASTE:
        svg = waste.sub(rest, svg)
    return svg


def heading(day: Day, setting: Paper, subject: str = "") -> list[Words]:
    """Give what stands over every picture: subject and title, then place, date and zone."""
    room, size = setting.room_in, setting.text_pt
    place = f"{day.title}, {day.place.name}" if subject else day.place.name
    when = f"{day.date:%A} {day.date.isoformat()}, local time ({day.place.timezone})"
    return [
        *wrapped_words(subject or day.title, room, setting.title_pt, bold=True, lines=2),
        *wrapped_words(place, room, size, color=FAINT, lines=2),
        *wrapped_words(when, room, size, color=FAINT),
    ]


def write_lines(figure: Figure, left_in: float, top_in: float, lines: Sequence[Words]) -> float:
    """Put lines under one another; gives where the next one would start."""
    for line in lines:
        write(figure, left_in, top_in + line.height_in / 2, line)
        top_in += line.height_in
    return top_in


def write(
    figure: Figure, x_in: float, y_in: float, words: Words, *, align: str = "left", **more: Any
) -> None:
    """Put one line on the page, its middle at this height."""
    figure.text(
        x_in,
        figure.get_figheight() - y_in,
        lettering(words.text),
        transform=figure.dpi_scale_trans,
        fontsize=words.size_pt,
        fontweight="bold" if words.bold else "normal",
        color=words.color,
        ha=align,
        va="center",
        parse_math=False,
        **more,
    )


def add_axes(figure: Figure, left_in: float, top_in: float, wide_in: float, high_in: float) -> Axes:
    """Add axes without ticks or frame at a place of the page."""
    width, height = figure.get_size_inches()
    axes = figure.add_axes(
        (
            left_in / width,
            1.0 - (top_in + high_in) / height,
            wide_in / width,
            high_in / height,
        )
    )
    axes.set_xticks([])
    axes.set_yticks([])
    axes.spines[:].set_visible(False)
    axes.patch.set_visible(False)
    return axes
