"""What a skyline is made of, as it was told: phrases and files, read and kept for the next time.

The lines are kept as comments at the head of the horizon file that was made of them, each a kind
and what follows it, so that the file alone says where it comes from and can be made again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TypeAlias
from zoneinfo import ZoneInfo

from sunsched.day.skyline import Level, Roof, Sighting, SunNote, Wall
from sunsched.errors import WriteRefused
from sunsched.folder.skyline import phrases
from sunsched.folder.skyline.footprints import Footprint, read_footprints
from sunsched.folder.skyline.terrain import read_tile
from sunsched.folder.skyline.tile import Tile
from sunsched.folder.text import clock, words
from sunsched.folder.text.findings import Findings, Where
from sunsched.folder.text.words import WordError

KINDS = ("wall", "roof", "note", "sun", "terrain", "footprints")
FILES = ("terrain", "footprints")
MADE_BY = "# made by `sunsched skyline`; `--add` reads these lines again:"
MARK = "#"

Part: TypeAlias = Wall | Roof | Sighting | Level | SunNote | Tile | tuple[Footprint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing told of a skyline: its kind, the words or the file's path, and where it stands."""

    kind: str
    text: str
    where: Where


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A part of a skyline that was read, with the line that told it."""

    line: Line
    part: Part


def line_of(kind: str, text: str) -> Line:
    """Give the line of an option of the command line."""
    return Line(kind=kind, text=text, where=Where(file=f"--{kind}"))


def read_lines(
    lines: Iterable[Line],
    folder: Path,
    on: date,
    zone: ZoneInfo,
    declination_deg: float,
    findings: Findings,
) -> tuple[Told, ...]:
    """Read all that was told, noting every fault.

    Parameters
    ----------
    lines : iterable of Line
        What was told.
    folder : Path
        The day folder, in which files are looked for.
    on : date
        The date of a sun that was noted without one.
    zone : ZoneInfo
        The zone of clock times.
    declination_deg : float
        What turns typed bearings into true ones, east positive.
    findings : Findings
        Where faults and warnings are noted.
    """
    told: list[Told] = []
    for given in lines:
        line = given
        parts: Sequence[Part] = ()
        try:
            if line.kind == "wall":
                parts = (phrases.wall(line.text, declination_deg),)
            elif line.kind == "roof":
                parts = (phrases.roof(line.text, declination_deg),)
            elif line.kind == "note":
                parts = phrases.notes(line.text, declination_deg)
            elif line.kind == "sun":
                line, parts = _sun(line, on, zone, findings)
            elif line.kind == "terrain":
                parts = (read_tile(folder / line.text),)
            else:
                found = read_footprints(folder / line.text, line.where, findings)
                parts = (found,) if found else ()
        except WordError as error:
            # The end of a path says more than its beginning, which alone a fault has room for.
            value = Path(line.text).name if line.kind in FILES else line.text
            findings.misread(line.where, error, value)
        told += [Told(line=line, part=part) for part in parts]
    return tuple(told)


def kept_lines(path: Path) -> tuple[Line, ...]:
    """Read the lines that a horizon file was made of; raises WriteRefused if it has none."""
    lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
    if MADE_BY not in lines:
        raise WriteRefused(
            f"`{path.name}` was not made by `skyline`, so nothing can be added to it\n"
            "  hint: `--replace` puts a new skyline in its place; keep a copy of the old one"
        )
    found = []
    first = lines.index(MADE_BY) + 1
    for number, line in enumerate(lines[first:], first + 1):
        if not line.startswith(MARK):
            break
        kind, _, rest = line.removeprefix(MARK).strip().partition(" ")
        if kind in KINDS and rest.strip():
            where = Where(file=path.name, line=number)
            found.append(Line(kind=kind, text=rest.strip(), where=where))
    return tuple(found)


def kept_text(lines: Iterable[Line]) -> list[str]:
    """Give the lines for the head of the file that is made of them."""
    return [MADE_BY, *(f"{MARK} {line.kind} {words.clean(line.text)}" for line in lines)]


def path_text(path: Path, folder: Path) -> str:
    """Give a path as the day folder keeps it: from the folder if it is inside, else whole."""
    whole, root = path.absolute(), folder.absolute()
    return whole.relative_to(root).as_posix() if whole.is_relative_to(root) else str(whole)


def _sun(
    line: Line, on: date, zone: ZoneInfo, findings: Findings
) -> tuple[Line, tuple[SunNote, ...]]:
    """Read a time of the sun; its line comes back with its date, as the day may be moved."""
    noted = phrases.sun_time(line.text)
    if noted.on is None:
        line = replace(line, text=f"{words.clean(line.text)} on {on}")
    when = clock.moment(noted.on or on, noted.at, zone, line.where, findings)
    if when is None:
        return line, ()
    note = SunNote(told=line.text, when=when, comes=noted.comes, is_whole=noted.is_whole)
    return line, (note,)
