"""Lettering for pictures: what a text measures in the font that is drawn with, cut and wrapped."""

from __future__ import annotations

import logging
import unicodedata
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import accumulate

from matplotlib import get_data_path
from matplotlib.font_manager import FontProperties, findfont, fontManager, get_font
from matplotlib.textpath import text_to_path

from sunsched.show.layout import plain

FONT = "DejaVu Sans"  # comes with matplotlib, so a picture is the same on every machine
LACKING = "□"  # stands for a sign that no font has
LINE = 1.3  # height of a line of text, in sizes of its letters
POINT_IN = 1.0 / 72.0
SLACK = 1.03  # letters on a screen come out up to this much wider than their outlines

_MOST_NAMED = 12  # signs that a warning shows
_JOINERS = "\u200c\u200d"
_NO_LETTERS = ("last resort", "lastresort", "blank")  # fonts whose glyphs show nothing of a sign

INK, FAINT = "black", "0.28"


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """One line of lettering, not yet on the page."""

    text: str
    size_pt: float
    bold: bool = False
    color: str = INK

    @property
    def height_in(self) -> float:
        """Height that the line takes."""
        return LINE * self.size_pt * POINT_IN


@lru_cache(4096)
def as_text(text: str) -> str:
    """Give a text on one line as letters that a device has a font for, or finds none.

    Signs that steer what stands beside them are taken out; joiners stay, as words need them.
    """
    kept = []
    for sign in plain(text):
        kind = unicodedata.category(sign)
        if kind == "Cf" and sign not in _JOINERS:
            continue
        # Halves of signs, and the two places that Unicode keeps free, stand in no file of text.
        kept.append(LACKING if kind == "Cs" or ord(sign) & 0xFFFE == 0xFFFE else sign)
    return "".join(kept)


@lru_cache(4096)
def lettering(text: str) -> str:
    """Give a text on one line in signs that the font has; a mark stands for each it lacks."""
    signs = _signs()
    return "".join(
        sign if ord(sign) in signs else LACKING for sign in as_text(text) if not _is_inkless(sign)
    )


@lru_cache(4096)
def lettered(text: str) -> tuple[str, tuple[str, ...]]:
    """Give a text as it is drawn, with the fonts that it takes: ours, then those of the machine.

    A mark stands for each sign that none of them has.
    """
    signs = _signs()
    drawn, fonts = [], [FONT]
    for sign in as_text(text):
        if _is_inkless(sign):
            continue
        other = "" if ord(sign) in signs else _font_of(sign)
        if other:
            fonts.append(other)
        drawn.append(sign if other or ord(sign) in signs else LACKING)
    return "".join(drawn), tuple(dict.fromkeys(fonts))


def lacking(texts: Iterable[str], *, with_others: bool = False) -> list[str]:
    """Give the signs that the font lacks, each once, in the order in which they come.

    Parameters
    ----------
    with_others : only those that no font of the machine has either
    """
    signs = _signs()
    found = dict.fromkeys(
        sign
        for text in texts
        for sign in as_text(text)
        if ord(sign) not in signs and not _is_inkless(sign)
    )
    return [sign for sign in found if not (with_others and _font_of(sign))]


def lacking_text(texts: Iterable[str], kind: str) -> str:
    """Say which signs the font lacks, and what a file of this kind does; "" for none."""
    signs = lacking(texts, with_others=kind not in ("svg", "html"))
    if not signs:
        return ""
    scripts = dict.fromkeys(unicodedata.name(sign, "UNNAMED").split()[0] for sign in signs)
    shown = "".join(signs[:_MOST_NAMED]) + ("…" if len(signs) > _MOST_NAMED else "")
    number = "1 sign" if len(signs) == 1 else f"{len(signs)} signs"
    does = (
        f"{LACKING} stands for each\n  hint: an .svg and the phone page (.html) keep them as text"
    )
    if kind in ("svg", "html"):
        does = "they are kept as text, for a font of the device that shows it"
    return f"the font of pictures lacks {number} ({', '.join(scripts)}): {shown}; {does}"


def width_in(text: str, size_pt: float, *, bold: bool = False) -> float:
    """Measure a text on one line, sign by sign; joined letters may come out a little narrower."""
    return SLACK * size_pt * _ends_of_one_pt(as_text(text), bold)[-1]


def cut(text: str, room_in: float, size_pt: float, *, bold: bool = False) -> str:
    """Give as much of a text as fits, with `…` where something is missing."""
    text = as_text(text)
    if width_in(text, size_pt, bold=bold) <= room_in:
        return text
    ends, mark = _ends_of_one_pt(text, bold), _width_of_one_pt("…", bold)
    fits, too_long = 0, len(text)
    while too_long - fits > 1:
        middle = (fits + too_long) // 2
        if SLACK * size_pt * (ends[len(text[:middle].rstrip())] + mark) <= room_in:
            fits = middle
        else:
            too_long = middle
    return text[:fits].rstrip() + "…"


def wrap(
    text: str, room_in: float, size_pt: float, *, bold: bool = False, lines: int | None = None
) -> list[str]:
    """Break a text into lines that fit; words too long for a line are broken too."""
    wrapped: list[str] = []
    rest = " ".join(as_text(text).split())
    while rest:
        if lines is not None and len(wrapped) == lines - 1:
            return [*wrapped, cut(rest, room_in, size_pt, bold=bold)]
        line = rest
        if width_in(rest, size_pt, bold=bold) > room_in:
            line = cut(rest, room_in, size_pt, bold=bold)[:-1] or rest[0]
            if rest[len(line)] != " " and " " in line:
                line = line[: line.rindex(" ")]
        wrapped.append(line)
        rest = rest[len(line) :].strip()
    return wrapped


def wrapped_words(
    text: str,
    room_in: float,
    size_pt: float,
    *,
    bold: bool = False,
    color: str = INK,
    lines: int | None = None,
) -> list[Words]:
    """Give a text as the lines of lettering that fit."""
    return [
        Words(text=line, size_pt=size_pt, bold=bold, color=color)
        for line in wrap(text, room_in, size_pt, bold=bold, lines=lines)
    ]


def _is_inkless(sign: str) -> bool:
    """Tell a joiner or a mark of a variant, which leaves nothing on paper."""
    return sign in _JOINERS or "\ufe00" <= sign <= "\ufe0f"


@lru_cache(4096)
def _ends_of_one_pt(text: str, bold: bool) -> tuple[float, ...]:
    """Measure where each sign of a text ends, after 0 for where it begins.

    A page is laid out many times over before it fits, and no text of it is measured twice.
    """
    wide = (0.0 if _is_inkless(sign) else _width_of_one_pt(sign, bold) for sign in text)
    return tuple(accumulate(wide, initial=0.0))


@contextmanager
def quiet_fonts() -> Iterator[None]:
    """Say nothing of a font of the machine that has no bold letters: its others are drawn."""
    log = logging.getLogger("matplotlib.font_manager")
    level = log.level
    log.setLevel(logging.ERROR)
    try:
        yield
    finally:
        log.setLevel(level)


@cache
def _signs() -> frozenset[int]:
    """Give the code points that both weights of our font have."""
    return _signs_of(FONT)


@cache
def _signs_of(family: str) -> frozenset[int]:
    with quiet_fonts():
        regular, bold = (
            set(get_font(findfont(FontProperties(family=family, weight=weight))).get_charmap())
            for weight in ("normal", "bold")
        )
    return frozenset(regular & bold)


@lru_cache(4096)
def _font_of(sign: str) -> str:
    """Give the font of the machine that a sign which ours lacks is drawn with; "" for none.

    Of those that have it, the one with the most signs, so that texts of one script look alike, and
    the same machine draws the same picture.
    """
    if unicodedata.category(sign) in ("Co", "Cn", "Cs"):
        return ""  # of no script: what a font draws there is its own affair
    return next((name for name in _others() if ord(sign) in _signs_of(name)), "")


@cache
def _others() -> tuple[str, ...]:
    """Give the fonts of the machine, those with the most signs first; equals by their names."""
    # Those that come with matplotlib are for formulas, but for ours.
    names = {one.name for one in fontManager.ttflist if get_data_path() not in one.fname} - {FONT}
    kept = (name for name in names if not any(word in name.casefold() for word in _NO_LETTERS))
    return tuple(sorted(kept, key=lambda name: (-len(_signs_of(name)), name)))


@cache
def _width_of_one_pt(sign: str, bold: bool) -> float:
    """Measure a sign in inches for each point of its size, at 100 pt, where no grid rounds.

    One that no font has is as wide as its mark, or as the square that most such signs fill.
    """
    other = "" if ord(sign) in _signs() else _font_of(sign)
    if not other and ord(sign) not in _signs():
        return max(POINT_IN, _width_of_one_pt(LACKING, bold))
    fonts = [FONT, other] if other else [FONT]
    font = FontProperties(family=fonts, weight="bold" if bold else "normal", size=100)
    # Between two bars, because a space alone measures nothing.
    with quiet_fonts():
        pair, alone = (
            text_to_path.get_text_width_height_descent(text, font, ismath=False)[0]
            for text in (f"|{sign}|", "||")
        )
    wide = float(pair - alone) / 100.0 * POINT_IN
    # As text in an .svg it is drawn with a font of the device, in which most fill a square.
    return max(POINT_IN, wide) if other else wide
