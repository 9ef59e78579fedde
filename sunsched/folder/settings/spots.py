"""The spots of `day.toml`: their names, hours and coordinates, and where their subjects stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import time

from sunsched.day.kit.ground import GRASS, Ground
from sunsched.day.model import Hours, Span
from sunsched.day.skyline import Subject
from sunsched.folder.settings.document import Document
from sunsched.folder.settings.keys import Settings, SpotKeys
from sunsched.folder.text import words
from sunsched.folder.text.clock import Calendar
from sunsched.folder.text.findings import Findings, Where

MAX_SPOTS = 64
FAR_DEG = 1.0  # of a spot from its place: its sun is then no longer the place's


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotFacts:
    """What `day.toml` says of one spot; its horizon is still the name of a file, or nothing."""

    name: str
    open: tuple[Span, ...] = ()
    horizon: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    subject: Subject = field(default_factory=Subject)
    ground: Ground = GRASS


def read_spots(
    document: Document,
    settings: Settings,
    place_name: str,
    calendar: Calendar | None,
    hours: Hours | None,
    declination_deg: float,
    findings: Findings,
) -> tuple[SpotFacts, ...]:
    """Read the spots; one with the place's name where there are none, none where one is at fault.

    Parameters
    ----------
    document : Document
        The parsed file, for the lines.
    settings : Settings
        Its keys as plain values.
    place_name : str
        What the place is called.
    calendar : Calendar or None
        What turns clock times into moments.
    hours : Hours or None
        The working day, which opening hours must touch.
    declination_deg : float
        What turns the file's bearings into true ones, east positive.
    findings : Findings
        Where faults and warnings are noted.
    """
    if not settings.spot and not document.data.get("spot"):
        return (SpotFacts(name=place_name),)
    check_names(document, "spot", [one.name for one in settings.spot], MAX_SPOTS, findings)
    spots = []
    for place, keys in enumerate(settings.spot):
        where = document.at("spot", place, "open")
        spans = read_spans(keys.open, where, calendar, hours, findings)
        _check_coordinates(document, settings, place, keys, findings)
        subject = _subject(document, place, keys, declination_deg, findings)
        if keys.name is not None:
            spots.append(
                SpotFacts(
                    name=keys.name,
                    open=spans,
                    horizon=keys.horizon,
                    latitude_deg=keys.latitude_deg,
                    longitude_deg=keys.longitude_deg,
                    subject=subject,
                    ground=keys.ground,
                )
            )
    return tuple(spots) if len(spots) == len(settings.spot) else ()


def read_spans(
    clocks: Sequence[tuple[time, time]] | None,
    where: Where,
    calendar: Calendar | None,
    hours: Hours | None,
    findings: Findings,
) -> tuple[Span, ...]:
    """Read the hours of a spot or of somebody; none where nothing says when the day is."""
    if not clocks or calendar is None or hours is None:
        return ()
    return calendar.spans(clocks, hours, where, findings)


def check_names(
    document: Document,
    table: str,
    names: Sequence[str | None],
    limit: int,
    findings: Findings,
) -> None:
    """Note names that stand twice in the tables of one kind, and tables past the limit."""
    if len(names) > limit:
        findings.fault(
            document.at(table, limit),
            f"{len(names)} `[[{table}]]` tables",
            expected=f"at most {limit}",
        )
    first: dict[str, int | None] = {}
    for place, name in enumerate(names):
        if name is None:
            continue
        where = document.at(table, place, "name")
        key = words.key_of(name)
        if key in first:
            line = first[key]
            hint = "" if line is None else f"it is also on line {line}"
            findings.fault(where, "a name that stands twice", name, hint=hint)
        first.setdefault(key, where.line)


def _check_coordinates(
    document: Document, settings: Settings, place: int, keys: SpotKeys, findings: Findings
) -> None:
    one, other = keys.latitude_deg, keys.longitude_deg
    if (one is None) != (other is None):
        given, missing = ("latitude_deg", "longitude_deg")[:: 1 if other is None else -1]
        findings.fault(
            document.at("spot", place, given), "one coordinate alone", expected=f"`{missing}` too"
        )
    for name, value, of_place in (
        ("latitude_deg", one, settings.place.latitude_deg),
        ("longitude_deg", other, settings.place.longitude_deg),
    ):
        if value is not None and of_place is not None and abs(value - of_place) > FAR_DEG:
            findings.warn(
                document.at("spot", place, name),
                "more than a degree from the place, whose sun is taken",
                f"{value:g}",
                hint=f"the place has {of_place:g}",
            )


def _subject(
    document: Document,
    place: int,
    keys: SpotKeys,
    declination_deg: float,
    findings: Findings,
) -> Subject:
    usual = Subject()
    if keys.subject_distance_m and keys.subject_bearing is None:
        findings.fault(
            document.at("spot", place, "subject_distance_m"),
            "a subject's distance without its bearing",
            expected="`subject_bearing`, as seen from the camera",
        )
    height, bearing = keys.subject_height_m, keys.subject_bearing
    return Subject(
        distance_m=keys.subject_distance_m or usual.distance_m,
        bearing_deg=usual.bearing_deg if bearing is None else (bearing + declination_deg) % 360.0,
        height_m=usual.height_m if height is None else height,
    )
