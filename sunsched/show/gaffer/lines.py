"""Lines of the gaffer's page, and how its figures are written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import log10

Figure = float | int | str | bool | list[float] | None

NOT_COMPUTED = "not computed"
_THIRDS = ("", "⅓", "⅔")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line: what it is about, what it says, and its figures by name for `--json`.

    `brief` says it in the fewest words, for a cell on paper: a piece for each line of the cell.
    """

    name: str
    text: str
    brief: tuple[str, ...] = ()
    figures: Mapping[str, Figure] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Lines that belong together."""

    title: str
    lines: tuple[Line, ...]


def stops_text(stops: float) -> str:
    """Write stops in thirds, as meters and rings have them: `2⅓`, `−⅔`, `0`."""
    thirds = round(3.0 * stops)
    whole, rest = divmod(abs(thirds), 3)
    text = f"{whole or ''}{_THIRDS[rest]}" or "0"
    return f"−{text}" if thirds < 0 else text


def counted_stops(stops: float) -> str:
    """Write stops with their word: `⅔ stop`, `1 stop`, `2⅓ stops`."""
    text = stops_text(stops)
    return f"{text} stop{'' if abs(round(3.0 * stops)) <= 3 else 's'}"


def ev_text(ev: float) -> str:
    """Write an exposure value in thirds."""
    return f"EV {stops_text(ev)}"


def t_stop_text(stop: float) -> str:
    """Write a T-stop in two figures, as far as anybody sets one."""
    return f"T{stop:.2g}" if stop < 100 else f"T{round(stop, -1):.0f}"


def klx_text(klx: float) -> str:
    """Write light in two figures, as a single day may have twice or half of it."""
    if klx >= 1.0:
        return f"{_two(klx)} klx"
    return f"{_two(1000.0 * klx)} lx" if klx >= 1e-3 else "under 1 lx"


def metres_text(metres: float) -> str:
    """Write a length: to the decimetre below ten metres, to the metre above."""
    return f"{metres:.1f} m" if metres < 9.95 else f"{metres:.0f} m"


def degrees_text(degrees: float) -> str:
    """Write a height of the sun to the degree, below the horizon with its sign."""
    whole = round(degrees)
    return f"−{-whole}°" if whole < 0 else f"{abs(whole)}°"


def kelvin_text(kelvin: float) -> str:
    """Write a colour temperature to the fifty, with its mired."""
    return f"{50 * round(kelvin / 50)} K ({round(1e6 / kelvin)} mired)"


def _two(value: float) -> str:
    """Write a number above 0 in two figures, without a power of ten."""
    digits = 1 - int(log10(value)) if value >= 1.0 else 1
    return f"{round(value, digits):.{max(0, digits)}f}"
