"""Lines of plain text for a terminal: tables, wrapped and cut lines, clock times."""

from __future__ import annotations

import math
import textwrap
import unicodedata
from collections.abc import Iterator, Sequence

from rich.cells import cell_len, set_cell_size

from sunsched.day.clock import clock
from sunsched.day.model import Day, Place, Span

LAST_CYRILLIC = "\u052f"
NAME_WIDTH = 9  # a spot's name or an id in a table


def heading(day: Day, width: int) -> list[str]:
    """Give the title, place, date and zone of a day."""
    when = f"{day.date:%A} {day.date.isoformat()}, local time ({day.place.timezone})"
    return [cut(day.title, width).rstrip(), *wrapped(f"{day.place.name}, {when}", width)]


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
                yield cut(line, width).rstrip()
        else:
            line = "  ".join(cut(cell, room) for cell, room in zip(row, wide, strict=True))
            yield cut(line, width).rstrip()


def wrapped(text: str, width: int, indent: int = 2) -> list[str]:
    """Wrap a text, later lines indented."""
    return textwrap.wrap(plain(text), width, subsequent_indent=" " * indent)


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
