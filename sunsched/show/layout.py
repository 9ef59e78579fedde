"""Lines of plain text for a terminal: tables, wrapped and cut lines, clock times.

Room is counted in a terminal's cells, of which signs of East Asia take two.
"""

from __future__ import annotations

import math
import re
import textwrap
import unicodedata
from collections.abc import Iterator, Sequence

from rich.cells import cell_len, set_cell_size

from sunsched.day.clock import clock
from sunsched.day.model import Day, Place, Span

LAST_CYRILLIC = "\u052f"
NAME_WIDTH = 9  # a spot's name or an id in a table
PROSE_WIDTH = 100  # the widest line of words; tables take all the room there is
_RTL = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff"
_MARKS = "\u2066-\u2069\u200e\u200f\u202a-\u202e"  # of direction
_WORD = rf"[^\s,:;()“”'\"{_MARKS}]*"
# Words that are written from right to left, with what stands in them and between two of them.
_RTL_WORD = rf"{_WORD}[{_RTL}]{_WORD}"
_RTL_RUN = re.compile(rf"\u2068[^\u2069]*\u2069|{_RTL_WORD}(?: {_RTL_WORD})*")
_HAS_RTL = re.compile(rf"[{_RTL}]")


def heading(day: Day, width: int) -> list[str]:
    """Give the title, place, date and zone of a day."""
    when = f"{day.date:%A} {day.date.isoformat()}, local time ({day.place.timezone})"
    return [isolated(cut(day.title, width).rstrip()), *wrapped(f"{day.place.name}, {when}", width)]


def table(
    header: tuple[str, ...],
    rows: Sequence[tuple[str, ...] | str],
    width: int,
    flexible: int | None,
) -> Iterator[str]:
    """Align columns two spaces apart; the flexible one takes what room the others leave it.

    A row that is one text goes on under its own words, which stand two spaces after its time.
    """
    cells = [header, *(row for row in rows if isinstance(row, tuple))]
    wide = [max(cell_len(plain(row[place])) for row in cells) for place in range(len(header))]
    for place, name in enumerate(header):
        if name in ("id", "spot"):
            wide[place] = min(wide[place], NAME_WIDTH)
    if flexible is not None:
        names = [place for place, name in enumerate(header) if name in ("spot", "id")]
        # Where the room ends, names go before figures: no column is lost that has a few signs.
        for place, least in (
            (flexible, 8),
            *((place, 4) for place in reversed(names)),
            (flexible, 4),
        ):
            excess = sum(wide) + 2 * (len(wide) - 1) - width
            wide[place] = max(min(wide[place], least), wide[place] - max(0, excess))
    for row in (header, *rows):
        if isinstance(row, str):
            time, gap, _ = row.partition("  ")
            for line in wrapped(row, width, indent=len(time + gap) if gap else 2):
                # Signs that are two columns wide may still be too many for a line.
                yield isolated(cut(line, width).rstrip())
        else:
            line = "  ".join(_cell(cell, room) for cell, room in zip(row, wide, strict=True))
            yield cut(line, width).rstrip()


def _cell(text: str, room: int) -> str:
    """Give a cell of a table at its width; one from right to left is kept apart as a whole."""
    line = cut(text, room)
    if _HAS_RTL.search(line) is None:
        return line
    own = line.rstrip()
    return f"\u2068{own}\u2069{line[len(own) :]}"


def wrapped(text: str, width: int, indent: int = 2) -> list[str]:
    """Wrap a text, later lines indented."""
    line, width = plain(text), min(width, PROSE_WIDTH)
    if cell_len(line) == len(line):
        lines = textwrap.wrap(line, width, subsequent_indent=" " * indent)
    else:
        lines = _wrapped_by_cells(line, width, indent)
    return [isolated(one) for one in lines]


def _wrapped_by_cells(text: str, width: int, indent: int) -> list[str]:
    """Wrap a text with signs that do not take one cell each; wide ones need no space to break."""
    lines, line = [], ""
    for piece in _pieces(text, width - indent):
        if line.strip() and cell_len((line + piece).rstrip()) > width:
            lines.append(line.rstrip())
            line = " " * indent + piece.lstrip()
        else:
            line += piece
    return [*lines, line.rstrip()] if line.strip() else lines


def _pieces(text: str, room: int) -> Iterator[str]:
    """Give what a line may be broken between: gaps, words, wide signs with marks on them."""
    piece = ""
    for sign in text:
        cells, is_gap = cell_len(sign), sign == " "
        is_whole = piece and (
            is_gap is not piece.endswith(" ")
            or cells > 1
            or cell_len(piece[0]) > 1
            or cell_len(piece) >= room
        )
        if is_whole and (cells or is_gap):
            yield piece
            piece = ""
        piece += sign
    if piece:
        yield piece


def isolated(text: str) -> str:
    """Keep words from right to left apart, so that ids and figures beside them change no places.

    By isolates (U+2068, U+2069 of Unicode's annex 9), which take no room.
    """

    def apart(found: re.Match[str]) -> str:
        run = found[0]
        return run if run.startswith("\u2068") else f"\u2068{run}\u2069"

    return _RTL_RUN.sub(apart, text)


def cut(text: str, width: int) -> str:
    """Give a text at exactly this width on a terminal, cut with `…` or filled with spaces."""
    line = plain(text)
    if cell_len(line) > width:
        return set_cell_size(set_cell_size(line, width - 1).rstrip() + "…", width)
    return set_cell_size(line, width)


def plain(text: str) -> str:
    """Give a text on one line without marks that steer a terminal; inner spaces stay."""
    return "".join(" " if unicodedata.category(m) in ("Cc", "Zl", "Zp") else m for m in text)


def unusual_texts(day: Day) -> list[str]:
    """Give a day's texts with letters past Latin, Greek and Cyrillic, which a font may lack."""
    texts = [day.title, day.place.name, *(one.name for one in day.spots)]
    texts += [one.name for one in day.cast]
    texts += [text for shot in day.shots for text in (shot.id, shot.description)]
    return [text for text in texts if any(sign > LAST_CYRILLIC for sign in text)]


def position(place: Place) -> str:
    """Write a place's coordinates with their hemispheres, and its height."""
    north = f"{abs(place.latitude_deg):.4f}° {'N' if place.latitude_deg >= 0 else 'S'}"
    east = f"{abs(place.longitude_deg):.4f}° {'E' if place.longitude_deg >= 0 else 'W'}"
    return f"{north}, {east}, {place.elevation_m:g} m"


def span_times(day: Day, spans: Sequence[Span]) -> str:
    """Write spans in clock time."""
    return ", ".join(f"{clock(day, span.start)}–{clock(day, span.end)}" for span in spans)


def bearing(azimuth_deg: float) -> str:
    """Write an azimuth in whole degrees, flush right."""
    return f"{f'{round(azimuth_deg) % 360}°':>4}"


def bearing_text(day: Day, azimuth_deg: float) -> str:
    """Write an azimuth in whole degrees; of a magnetic folder both ways: `71°M 74°T`."""
    true = bearing(azimuth_deg).strip()
    if day.declination_deg is None:
        return true
    return f"{bearing(azimuth_deg - day.declination_deg).strip()}M {true}T"


def bearings_note(day: Day) -> str:
    """Explain the letters of a magnetic folder's bearings; "" where bearings are true."""
    if day.declination_deg is None:
        return ""
    side = "west" if day.declination_deg < 0 else "east"
    return f"bearings: M magnetic, T true; declination {abs(day.declination_deg):g}° {side}"


def side(sun_from_lens_deg: float) -> str:
    """Give the side from the lens, such as `62° R`; straight ahead and behind have none."""
    whole = round(math.fabs(sun_from_lens_deg))
    side = "" if whole in (0, 180) else " R" if sun_from_lens_deg > 0 else " L"
    return f"{whole}°{side}"
