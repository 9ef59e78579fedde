"""A spot's horizon file: which it is, and its text: what it was made of, then its points."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from sunsched.day.skyline import HorizonPoint
from sunsched.errors import WriteRefused
from sunsched.folder.settings import document
from sunsched.folder.skyline.told import Line, kept_text
from sunsched.folder.store import files
from sunsched.folder.store.files import SETTINGS_FILE
from sunsched.folder.tables.skylines import horizon_file
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings

HEADER = "azimuth_deg,elevation_deg"
OVER_HEADER = f"{HEADER},under_deg,part"


def horizon_path(folder: Path, spot: str) -> tuple[Path, tuple[str, ...]]:
    """Give a spot's horizon file, which may not be there yet, and the spots that share it.

    Parameters
    ----------
    folder : Path
        A day folder that reads without a fault.
    spot : str
        The name of one of its spots.

    Raises
    ------
    WriteRefused
        When no file can have the spot's name, and `day.toml` gives no other.
    """
    notes = Findings()
    found = files.open_folder(folder, notes)
    text = None if found is None else files.read_text(found, SETTINGS_FILE, notes)
    parsed = None if text is None else document.parse(text, SETTINGS_FILE, notes)
    if found is None or parsed is None:
        raise WriteRefused(f"`{folder.name}` cannot be read any more")
    named = {one.get("name"): one.get("horizon") for one in parsed.data.get("spot", ())}
    if named.get(spot):
        sharing = [name for name, file in named.items() if file == named[spot] and name != spot]
        return folder / named[spot], tuple(sharing)
    key = words.key_of(spot)
    if not re.fullmatch(r"[\w.,()+'& -]+", key):
        raise WriteRefused(
            f"no file can have the name of the spot `{spot}`\n"
            f"  hint: make an empty file in the day folder and name it in {SETTINGS_FILE}, as "
            "`horizon` of the spot"
        )
    return folder / (horizon_file(spot, found) or f"horizon-{key}.csv"), ()


def horizon_text(
    lines: Iterable[Line],
    points: Sequence[HorizonPoint],
    declination_deg: float,
    notes: Sequence[str],
) -> str:
    """Write a horizon file.

    Parameters
    ----------
    lines : iterable of Line
        What it is made of, in the order in which it was told.
    points : sequence of HorizonPoint
        The skyline by true azimuths, overhangs last.
    declination_deg : float
        What turned typed bearings into true ones.
    notes : sequence of str
        What else there is to say, a line each.
    """
    has_over = any(point.under_deg is not None for point in points)
    rows = [*_rows(points, declination_deg, has_over)]
    head = [*(f"# {note}" for note in notes), *kept_text(lines)]
    return "\n".join([*head, OVER_HEADER if has_over else HEADER, *rows, ""])


def _rows(points: Sequence[HorizonPoint], declination_deg: float, has_over: bool) -> Iterator[str]:
    base = [
        (_azimuth(point, declination_deg), point) for point in points if point.under_deg is None
    ]
    start = min(range(len(base)), key=lambda place: (base[place][0], place), default=0)
    turned = base[start:] + base[:start]
    for place, (azimuth, point) in enumerate(turned):
        # Of several points at one azimuth, rounded, the first and the last are its edge.
        if 0 < place < len(turned) - 1 and turned[place - 1][0] == azimuth == turned[place + 1][0]:
            continue
        yield f"{azimuth:g},{_degrees(point.elevation_deg)}" + (",," if has_over else "")
    for point in points:
        if point.under_deg is not None:
            azimuth = _azimuth(point, declination_deg)
            heights = f"{_degrees(point.elevation_deg)},{_degrees(point.under_deg)}"
            yield f"{azimuth:g},{heights},{point.part}"


def _azimuth(point: HorizonPoint, declination_deg: float) -> float:
    return round((point.azimuth_deg - declination_deg) % 360.0, 2) % 360.0


def _degrees(value: float) -> str:
    return f"{round(value, 3) + 0.0:g}"
