"""A spot's skyline from words, as the command makes it, for programs."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from sunsched.day.model import Day
from sunsched.errors import FolderError, SunschedError
from sunsched.folder.check import check_day
from sunsched.folder.skyline.told import KINDS, line_of, read_lines
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings
from sunsched.sky.skyline.skyline import Skyline, make_skyline


def told_skyline(
    day: Day, spot: str, told: Iterable[tuple[str, str]], folder: Path | str = "."
) -> Skyline:
    """Make the skyline of a spot's subject from what the command `skyline` takes.

    Parameters
    ----------
    day : Day
        The day whose spot it is; typed bearings are its own, magnetic or true.
    spot : str
        The name of one of its spots.
    told : iterable of pairs of str
        A kind (wall, roof, note, sun, terrain, footprints), and its words or the path of its file.
    folder : Path or str
        Where files are looked for whose path is not a whole one.

    Returns
    -------
    Skyline
        Its `points` are what `Spot.horizon` takes: degrees, azimuths from true north.

    Raises
    ------
    FolderError
        With every fault of what was told.
    SunschedError
        When the day has no such spot, or a kind is not known.

    Examples
    --------
    >>> import sunsched
    >>> day = sunsched.example_day()
    >>> told = [("wall", "from 80 to 130, 20 m away, 12 m high"), ("note", "200..260:15")]
    >>> made = sunsched.told_skyline(day, day.spots[0].name, told)
    >>> round(max(point.elevation_deg for point in made.points), 1)
    27.5
    """
    check_day(day)
    named = next((one for one in day.spots if words.key_of(one.name) == words.key_of(spot)), None)
    if named is None:
        names = [one.name for one in day.spots]
        raise SunschedError(f"no spot `{spot}`, there is {words.listed(names, 'and')}")
    lines = []
    for kind, text in told:
        if kind not in KINDS:
            hint = words.did_you_mean(kind, KINDS)
            raise SunschedError(
                f"not a kind of what hides the sky: `{kind}` (expected {words.listed(KINDS)})"
                + (f"\n  hint: {hint}" if hint else "")
            )
        lines.append(line_of(kind, text))
    findings = Findings()
    turn_deg = day.declination_deg or 0.0
    parts = read_lines(lines, Path(folder), day.date, day.place.zone, turn_deg, findings)
    made = make_skyline(day.place, named, parts, turn_deg, findings)
    if findings.faults:
        raise FolderError(tuple(findings.faults))
    return made
