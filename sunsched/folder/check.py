"""A day made by hand is checked as its folder would be: by the same code, every fault at once.

The day is written out as the tables that its folder would hold and these are read; what only a
`Day` can get wrong, such as a moment without a zone, is looked at besides.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, fields, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any

from sunsched.day.model import Day, Hours, Shot, Size, Span
from sunsched.day.wish import Band
from sunsched.errors import FolderError
from sunsched.folder.settings.document import Document
from sunsched.folder.settings.facts import read_facts
from sunsched.folder.settings.hours import check_hours, check_meal
from sunsched.folder.settings.keys import HoursKeys
from sunsched.folder.settings.names import MAX_RIGS
from sunsched.folder.settings.reader import read_settings
from sunsched.folder.settings.spots import check_names
from sunsched.folder.shot_list.columns import COLUMNS, MAX_SHOOT
from sunsched.folder.shot_list.shots import check_pin, read_shots
from sunsched.folder.tables.cells import cell_text
from sunsched.folder.tables.skylines import HORIZON_DEG, OVERHEAD_DEG
from sunsched.folder.tables.table import Row, Table
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where

FILE = "day"
SHOTS = "day.shots"
NAMES = ("spot", "after", "cast")  # fields of a shot that name other parts of the day
FAR = timedelta(days=1)  # from the day's date: its hours lie within, whatever the zone


def check_day(day: Day, *, grid_min: int | None = None) -> None:
    """Refuse a day that no folder could hold, with every fault at once.

    All functions that take a day call it, so a day made by hand need not be checked before. It is
    read as its folder would be, in a few milliseconds. Of a day under way, what the log may have
    changed is not looked at: the meal's times, pins and the hours of cast and spots.

    Parameters
    ----------
    day : Day
        The day, made by hand or read.
    grid_min : int, optional
        Minutes between two possible starts, if they are to be checked too: 1 to 60, a divisor of
        an hour.

    Raises
    ------
    FolderError
        With every fault. The file of a fault is `day`, its column the field; for shots it is
        `day.shots`, its line the place of the shot in the day, from 1.

    Examples
    --------
    >>> from dataclasses import replace
    >>> import sunsched
    >>> day = sunsched.example_day()
    >>> sunsched.check_day(day)
    >>> late = replace(day.hours, wrap=day.hours.wrap.replace(tzinfo=None))
    >>> shots = (replace(day.shots[0], after=("9",), shoot_min=-5), *day.shots[1:])
    >>> try:
    ...     sunsched.check_day(replace(day, hours=late, shots=shots))
    ... except sunsched.FolderError as error:
    ...     print(error)
    day, hours.wrap: a time without a zone: `2027-06-09T17:00:00` (expected an aware time in UTC)
    day.shots:1, after: no such shot: `9` (expected ids of the list)
    day.shots:1, shoot_min: out of range: `-5` (expected a whole number from 1 to 720, such as 20)
    """
    findings = Findings()
    if grid_min is not None and (grid_min < 1 or 60 % grid_min):
        findings.fault(
            Where(file="grid_min"),
            f"starts cannot stand every {grid_min} minutes",
            expected="1 to 60, a divisor of an hour",
        )
    document = Document(file=FILE, data=_settings(day), lines={})
    settings = read_settings(document, findings)
    # The hours of a `Day` are moments already: no clock times have to be turned into moments.
    keys = settings.model_copy(update={"hours": HoursKeys()})
    facts = replace(read_facts(document, keys, findings), declination_deg=0.0)
    if not day.spots:
        findings.fault(_at("spots"), "no spots", expected="one at least")
    _check_figures(day, findings)
    if _are_in_utc(day, findings) and settings.place.timezone is not None:
        _check_times(day, findings)
    read = read_shots(_table(day), facts, findings)
    _check_spelling(day.shots, read, findings)
    if findings.faults:
        raise FolderError(tuple(findings.faults))


def _at(column: str) -> Where:
    return Where(file=FILE, column=column)


def _settings(day: Day) -> dict[str, Any]:
    """Write the day as its `day.toml`, without what is a moment here and a clock time there."""
    place = {key: value for key, value in asdict(day.place).items() if key != "name" or value}
    magnetic = {"bearings": "magnetic", "declination_deg": day.declination_deg}
    return {
        "title": day.title,
        "date": day.date,
        "place": place,
        "hours": {"crew_call": "00:00", "wrap": "00:00"},
        "meal": {"length_min": day.meal.length_min, "second": str(day.meal.second)},
        "spot": [{"name": spot.name} for spot in day.spots],
        "move": [{"between": list(one.between), "minutes": one.minutes} for one in day.moves],
        "cast": [{"name": member.name} for member in day.cast],
        "match": {name: {"by": str(by)} for name, by in day.matches.items()},
        "size": {str(size): asdict(one) for size, one in day.sizes.items()},
        "overrun": {str(size): asdict(one) for size, one in day.overruns.items()}
        | {"day": {"spread": day.day_spread}},
        "costs": asdict(day.costs),
        "changeover": asdict(day.changeover),
        **({} if day.declination_deg is None else magnetic),
    }


def _check_figures(day: Day, findings: Findings) -> None:
    """Check what no key of `day.toml` holds, and the rigs, which shots added in a log may use."""
    rigs = Document(file=FILE, data={}, lines={})
    check_names(rigs, "rig", [rig.name for rig in day.rigs], MAX_RIGS, findings)
    for size in Size:
        for name, known in (("sizes", day.sizes), ("overruns", day.overruns)):
            if size not in known:
                findings.fault(_at(name), "a size is missing", str(size))
    low, high = HORIZON_DEG
    for number, spot in enumerate(day.spots):
        base = [point for point in spot.horizon if point.under_deg is None]
        azimuths = [point.azimuth_deg for point in base]
        over = [point for point in spot.horizon if point.under_deg is not None]
        column = f"spots[{number}].horizon"
        if any(not 0 <= point.azimuth_deg < 360 for point in spot.horizon):
            findings.fault(_at(column), "an azimuth out of range", expected="from 0 to below 360")
        elif any(one > other for one, other in pairwise(azimuths)) or any(
            one == other for one, other in zip(azimuths, azimuths[2:], strict=False)
        ):
            findings.fault(
                _at(column),
                "points not in the order of their azimuths, each once",
                expected="two at one azimuth on a vertical edge alone",
            )
        if any(not low <= point.elevation_deg <= high for point in base) or any(
            not low <= (point.under_deg or 0.0) <= point.elevation_deg <= OVERHEAD_DEG
            for point in over
        ):
            findings.fault(
                _at(column), "an elevation out of range", expected=f"degrees from {low} to {high}"
            )
    if any(not 0 <= cloud.cover <= 1 for cloud in day.clouds):
        findings.fault(_at("clouds"), "a cover out of range", expected=words.a_number(0, 1))
    for place, shot in enumerate(day.shots, start=1):
        for name, band in (("azimuth", shot.wish.azimuth), ("elevation", shot.wish.elevation)):
            if band is not None and not 0 <= band.give_deg <= 180:
                where = Where(file=SHOTS, line=place, column=name)
                expected = "degrees from 0 to 180"
                findings.fault(where, "a give out of range", f"{band.give_deg}", expected=expected)


def _moments(day: Day) -> Iterator[tuple[Where, datetime]]:
    for one in fields(Hours):
        yield _at(f"hours.{one.name}"), getattr(day.hours, one.name)
    if day.past is None:  # else they may be the moment of the replan, in the caller's zone
        yield _at("meal.earliest"), day.meal.earliest
        yield _at("meal.latest"), day.meal.latest
    for column, spans in _spans(day):
        for span in spans:
            yield _at(column), span.start
            yield _at(column), span.end
    for number, cloud in enumerate(day.clouds):
        yield _at(f"clouds[{number}].time"), cloud.time
    for place, shot in enumerate(day.shots, start=1):
        if shot.pin is not None:
            yield Where(file=SHOTS, line=place, column="pin"), shot.pin


def _spans(day: Day) -> Iterator[tuple[str, tuple[Span, ...]]]:
    for number, spot in enumerate(day.spots):
        yield f"spots[{number}].open", spot.open
    for number, member in enumerate(day.cast):
        yield f"cast[{number}].here", member.here


def _are_in_utc(day: Day, findings: Findings) -> bool:
    """Say whether every moment is a whole minute of UTC, so that all can be compared."""
    before = len(findings.faults)
    expected = "an aware time in UTC"
    for where, when in _moments(day):
        if when.utcoffset() is None:
            findings.fault(where, "a time without a zone", when.isoformat(), expected=expected)
        elif when.utcoffset():
            hint = f"write {when.astimezone(UTC).isoformat()}"
            problem = "a time in another zone"
            findings.fault(where, problem, when.isoformat(), expected=expected, hint=hint)
        elif when.second or when.microsecond:
            problem = "not a whole minute"
            findings.fault(where, problem, when.isoformat(), expected="no seconds")
    return len(findings.faults) == before


def _check_times(day: Day, findings: Findings) -> None:
    hours, zone = day.hours, day.place.zone
    written = {one.name: getattr(hours, one.name) for one in fields(Hours)}
    clocks = {name: f"{when.astimezone(zone):%H:%M}" for name, when in written.items()}
    check_hours(hours, lambda key: _at(f"hours.{key}"), clocks, findings)
    if hours.crew_call.astimezone(zone).date() != day.date:
        when = f"{hours.crew_call.astimezone(zone):%Y-%m-%d %H:%M}"
        findings.fault(_at("hours.crew_call"), "on another date", when, expected=f"{day.date}")
    times = [cloud.time for cloud in day.clouds]
    if times != sorted(set(times)):
        findings.fault(_at("clouds"), "hours not in the order of time, each once")
    if day.past is not None:
        return
    _check_meal_times(day, findings)
    for column, spans in _spans(day):
        for span in spans:
            if span.start >= span.end:
                value = f"{span.start.astimezone(zone):%H:%M}-{span.end.astimezone(zone):%H:%M}"
                findings.fault(_at(column), "a span that ends before it starts", value)
        touching = (one for one in spans if one.start < hours.hard_wrap)
        # Decided hours may leave a spot or a cast member nothing of the day.
        if spans and not day.decisions and not any(one.end > hours.crew_call for one in touching):
            expected = "a span that touches the hours from crew call to hard wrap"
            findings.fault(_at(column), "outside the working day", expected=expected)
    for place, shot in enumerate(day.shots, start=1):
        if shot.pin is not None:
            where = Where(file=SHOTS, line=place, column="pin")
            check_pin(shot.pin, shot.shoot_min, hours, zone, where, findings)


def _check_meal_times(day: Day, findings: Findings) -> None:
    hours, meal = day.hours, day.meal
    check_meal(meal, hours, day.place.zone, _at("meal.earliest"), findings)
    if not hours.crew_call <= meal.latest <= hours.crew_call + timedelta(days=1):
        findings.fault(
            _at("meal.latest"),
            "outside the day",
            f"{meal.latest.astimezone(day.place.zone):%H:%M}",
            expected="a time in the 24 hours from the crew call",
        )


def _table(day: Day) -> Table:
    """Write the shots out as the rows of their shot list.

    On a day under way a shot's minutes are those that really rolled, which nobody can refuse.
    """
    rows = []
    for place, shot in enumerate(day.shots, start=1):
        wish = shot.wish
        values = {
            **{column: getattr(shot, column, None) for column in COLUMNS},
            "look": shot.look_deg,
            "sun": " or ".join(" ".join(filter(None, one)) for one in wish.sides),
            "elevation": _band(wish.elevation),
            "azimuth": _band(wish.azimuth),
            "give_deg": wish.give_deg,
            "shoot_min": shot.shoot_min if day.past is None else min(shot.shoot_min, MAX_SHOOT),
            "pin": None,
        }
        texts = {column: cell_text(value) or "" for column, value in values.items()}
        cells = {column: text for column, text in texts.items() if words.clean(text)}
        rows.append(Row(file=SHOTS, line=place, cells=cells, unreadable=frozenset()))
    return Table(file=SHOTS, header_line=None, columns=tuple(COLUMNS), rows=tuple(rows))


def _band(band: Band | None) -> str | None:
    return None if band is None else f"{band.low_deg}..{band.high_deg}"


def _check_spelling(shots: Sequence[Shot], read: Iterable[Shot], findings: Findings) -> None:
    """Note names that are one name in a folder and two in a day, such as `Yard` and `yard`."""
    known = {shot.id: shot for shot in read}
    for place, shot in enumerate(shots, start=1):
        found = known.get(shot.id)
        for name in NAMES if found is not None else ():
            written, meant = cell_text(getattr(shot, name)), cell_text(getattr(found, name))
            if written != meant:
                where = Where(file=SHOTS, line=place, column=name)
                problem = "not the name as the day has it"
                findings.fault(where, problem, written, expected=meant or "")
