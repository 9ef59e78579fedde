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
import warnings
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeAlias

from matplotlib import rc_context, rcParams, rcParamsDefault
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Text
from matplotlib.transforms import Transform

from sunsched.day.model import Day
from sunsched.show.drawing.lettering import (
    FAINT,
    FONT,
    Words,
    as_text,
    lettered,
    lettering,
    quiet_fonts,
    wrapped_words,
)
from sunsched.show.drawing.line import Line
from sunsched.show.paper_size import Paper

Style: TypeAlias = dict[str, Any]  # how a mark looks, in matplotlib's own words

DARK_BLUE = "#00466E"
VERMILION = "#D55E00"
RULE = "0.72"
# Read as a plain dict, because matplotlib's own access warns of deprecated names.
_RC: Any = {
    name: value for name, value in dict.items(rcParamsDefault) if not name.startswith("backend")
} | {
    "font.family": [FONT],
    "font.enable_last_resort": False,  # signs that the font lacks are replaced before
    "text.parse_math": False,
    "hatch.linewidth": 0.6,
    "svg.fonttype": "none",
    "pdf.fonttype": 3,
    "figure.facecolor": "white",
}
# A third of an SVG does nothing: a rotation by 0° at every text, and line breaks, which no
# lettering has.
_SVG_WASTE = (
    (re.compile(rb'(<text [^>]*?) transform="rotate\(-0 [^">]*\)">'), rb"\1>"),
    (re.compile(rb">\s*\n\s*<"), b"><"),
    (re.compile(rb"\s*\n\s*"), b" "),
    # Each text runs the way of its first letter, as it does on paper; where it begins stays.
    (re.compile(rb"\*\{stroke-line"), b"text{unicode-bidi: plaintext}*{stroke-line"),
    # No text names a family of its own, which would win over the list of the whole picture.
    (re.compile(rb"font-family: '[^']*'(, '[^']*')*; "), b""),
)
# Ours first, as the picture is measured in it; what it lacks comes from a font of the device.
FONTS = b"DejaVu Sans, Verdana, Noto Sans, system-ui, sans-serif"


@contextmanager
def house_style() -> Iterator[None]:
    """Draw with matplotlib's own defaults and ours, whatever a user's settings say."""
    # Only what differs is set, as each setting is checked anew: many pictures enter here.
    changed = {name: _RC[name] for name in _RC if dict.get(rcParams, name) != _RC[name]}
    with quiet_fonts(), rc_context(changed):
        yield


def new_figure(setting: Paper, height_in: float, name: str) -> Figure:
    """Make an empty page, higher than its paper if it must be; files carry its name as a title."""
    figure = Figure(
        figsize=(setting.width_in, max(setting.height_in or 0.0, height_in)),
        dpi=setting.dots_per_in,
    )
    figure.set_label(lettering(name))
    return figure


def picture_bytes(
    figures: Sequence[Figure], kind: str, told: Mapping[str, str] | None = None
) -> bytes:
    """Write figures as a file of a kind: `png` and `svg` take one, `pdf` a page for each.

    The same figures give the same bytes. Raises ValueError for another kind or number of figures.

    Parameters
    ----------
    told : what the file says of itself to programs: `made` (a moment, ISO 8601), `about` and, of
        one that is out of date, `warning`
    """
    if kind not in ("png", "svg", "pdf"):
        raise ValueError(f"no pictures are made of kind `{kind}`")
    if not figures or (kind != "pdf" and len(figures) > 1):
        raise ValueError(f"a {kind} file holds one picture, not {len(figures)}")
    target = io.BytesIO()
    title = str(figures[0].get_label())
    made, about, warning = ((told or {}).get(name) for name in ("made", "about", "warning"))
    # Marks in an SVG are named by hashes; with the title in them, several pictures in one page of
    # HTML do not take each other's hatches.
    with house_style(), rc_context({"svg.hashsalt": title}):
        # Each kind loads the writer that it needs: that of PDF takes as long as a picture.
        if kind == "png":
            from matplotlib.backends.backend_agg import FigureCanvasAgg

            FigureCanvasAgg(figures[0])
            # Packed harder, these pictures take longer and come out no smaller.
            pack = {"compress_level": 3}
            # The key words of PNG (third edition, 11.3.3.2).
            named = {"Title": title, "Creation Time": made, "Comment": about, "Warning": warning}
            said: dict[str, Any] = {key: text for key, text in named.items() if text and told}
            said |= {"Software": None}
            figures[0].savefig(target, format=kind, dpi="figure", metadata=said, pil_kwargs=pack)
        elif kind == "svg":
            from matplotlib.backends.backend_svg import FigureCanvasSVG

            FigureCanvasSVG(figures[0])
            said = {"Title": title} | dict.fromkeys(("Creator", "Format", "Type"))
            said |= {"Date": made, "Description": _told_text(about, warning)}
            with _in_a_font_of_the_device(figures[0]):
                figures[0].savefig(target, format=kind, metadata=said)
            return _for_devices(target.getvalue())
        else:
            from matplotlib.backends.backend_pdf import FigureCanvasPdf, PdfPages

            said = {"Title": title, "Creator": None, "Producer": None}
            said |= {
                "CreationDate": None if made is None else datetime.fromisoformat(made),
                "Subject": _told_text(about, warning),
            }
            with PdfPages(target, metadata=said) as pages:
                for figure in figures:
                    FigureCanvasPdf(figure)
                    pages.savefig(figure)
    return target.getvalue()


def _told_text(about: str | None, warning: str | None) -> str | None:
    return "; ".join(filter(None, (warning, about))) or None


def _for_devices(svg: bytes) -> bytes:
    """Take out what does nothing, and name the fonts once for all texts."""
    for waste, rest in _SVG_WASTE:
        svg = waste.sub(rest, svg)
    return svg.replace(b"<svg ", b'<svg font-family="' + FONTS + b'" ', 1)


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
    """Put one line on the page, its middle at this height.

    A text with signs that our font lacks is labelled with what was asked for.
    """
    asked, (drawn, fonts) = as_text(words.text), lettered(words.text)
    line = Line(
        x_in,
        figure.get_figheight() - y_in,
        drawn,
        transform=figure.dpi_scale_trans,
        fontsize=words.size_pt,
        fontweight="bold" if words.bold else "normal",
        color=words.color,
        ha=align,
        va="center",
        parse_math=False,
        fontfamily=list(fonts),
        label="" if asked == lettering(words.text) else asked,
        **more,
    )
    line.set_figure(figure)
    figure.texts.append(line)


def asked_texts(figures: Sequence[Figure]) -> list[str]:
    """Give the texts of pictures whose signs the font lacks, as they were asked for."""
    texts = (text for figure in figures for text in _texts(figure))
    return [str(text.get_label()) for text in texts if text.get_label()]


def _texts(figure: Figure) -> list[Text]:
    """Give the texts of a picture; to search all artists would make ticks that nobody sees."""
    return [*figure.texts, *(text for axes in figure.axes for text in axes.texts)]


@contextmanager
def _in_a_font_of_the_device(figure: Figure) -> Iterator[None]:
    """Let texts say what was asked for, also where our font lacks a sign of it."""
    replaced = [text for text in _texts(figure) if text.get_label()]
    drawn = [text.get_text() for text in replaced]
    for text in replaced:
        text.set_text(text.get_label())
    try:
        with warnings.catch_warnings():
            # Nothing is drawn with our font here; the file names fonts for the reader's device.
            warnings.filterwarnings("ignore", "Glyph .* missing from font", UserWarning)
            yield
    finally:
        for text, before in zip(replaced, drawn, strict=True):
            text.set_text(before)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """A part of a page with units of its own: all of axes that a small picture needs.

    Axes make ticks even where none are shown, which takes longer than all else in such a picture.
    """

    figure: Figure
    units: Transform

    def add_artist(self, artist: Artist) -> None:
        """Draw an artist whose places are in the stage's units."""
        artist.set_transform(self.units)
        self.figure.add_artist(artist)

    def plot(self, x: Sequence[float], y: Sequence[float], **look: Any) -> None:
        """Draw a line, as axes do."""
        self.add_artist(Line2D(x, y, **look))


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
    axes.set_axis_off()
    return axes
