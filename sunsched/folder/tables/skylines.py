"""The two tables of the sky: a spot's horizon and the day's clouds."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import time

from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import Hours
from sunsched.day.skyline import HorizonPoint
from sunsched.folder.store import files
from sunsched.folder.store.files import Files
from sunsched.folder.tables import table
from sunsched.folder.tables.cells import Cells
from sunsched.folder.tables.table import Row, Table
from sunsched.folder.text import bands, clock, words
from sunsched.folder.text.clock import Calendar
from sunsched.folder.text.findings import Findings, Where
from sunsched.folder.text.words import WordError

MAX_POINTS = 5_000
MAX_CLOUD_HOURS = 100
HORIZON_DEG = (-5, 89)  # the lowest and the highest point that a skyline may have
OVERHEAD_DEG = 90  # an overhang may reach over the subject's head
WALL = "wall"  # what the column `joined` says of a straight wall to the next point
HORIZON_COLUMNS = ("azimuth_deg", "elevation_deg", "joined", "under_deg", "part")
CLOUD_COLUMNS = ("hour", "cloud_cover")
NEEDED = {"azimuth_deg", "elevation_deg", *CLOUD_COLUMNS}


def horizon_file(spot: str, files: Files) -> str | None:
    """Give the file that holds a spot's horizon by its name alone, `horizon-<spot>.csv`."""
    wanted = f"horizon-{words.key_of(spot)}.csv"
    same = (name for name in files.names if name.startswith("horizon-") and name.endswith(".csv"))
    return next((name for name in same if _file_key(name) == wanted), None)


def _file_key(name: str) -> str:
    return f"horizon-{words.key_of(name.removeprefix('horizon-').removesuffix('.csv'))}.csv"


def read_horizon(
    files: Files, name: str, declination_deg: float, findings: Findings
) -> tuple[HorizonPoint, ...]:
    """Read a skyline: its points in the order of their azimuths, then those of its overhangs.

    An azimuth on two lines that follow each other is a vertical edge; a line with `under_deg` is a
    point of an overhang, and those of one `part` stand in the file clockwise.

    Parameters
    ----------
    files : Files
        The folder.
    name : str
        Path of the file in the folder.
    declination_deg : float
        What turns the file's azimuths into true ones, east positive.
    findings : Findings
        Where faults are noted.
    """
    found = _read_table(files, name, HORIZON_COLUMNS, MAX_POINTS, "points", findings)
    walls: dict[float, Row] = {}
    points: list[HorizonPoint] = []
    parts: dict[str, list[HorizonPoint]] = {}
    rows: dict[float, list[Row]] = {}
    before: Row | None = None
    for row in found.rows if found else ():
        cells = Cells(row=row, findings=findings)
        azimuth = cells.need("azimuth_deg", bands.bearing, None, "degrees from 0 to 360")
        under = cells.get("under_deg", _elevation, None)
        elevation = cells.need(
            "elevation_deg",
            _elevation if under is None else _overhead,
            None,
            "degrees from -5 to 89",
        )
        is_wall = cells.get("joined", _joined, False)
        part = cells.get("part", words.line_of_text, "")
        if azimuth is None or elevation is None:
            continue
        point = HorizonPoint(
            azimuth_deg=(azimuth + declination_deg) % 360,
            elevation_deg=elevation,
            is_wall=is_wall,
            under_deg=under,
            part=part,
        )
        if under is not None:
            if under > elevation:
                findings.fault(
                    row.at("under_deg"),
                    "an overhang whose underside is above its upper edge",
                    row.cells["under_deg"],
                    expected=f"degrees from -5 to {elevation:g}",
                )
            parts.setdefault(words.key_of(part), []).append(point)
            continue
        _check_edge(row, rows.setdefault(azimuth, []), before, findings)
        points.append(point)
        before = row
        if is_wall:
            walls[point.azimuth_deg] = row
    points.sort(key=lambda point: point.azimuth_deg)  # the two points of an edge keep their order
    _check_walls(points, walls, findings)
    return (*points, *(point for chain in parts.values() for point in chain))


def _check_walls(points: list[HorizonPoint], walls: dict[float, Row], findings: Findings) -> None:
    """Note walls that go round the subject: a straight one is seen over less than 180°."""
    for number, point in enumerate(points):
        after = points[(number + 1) % len(points)]
        wide = (after.azimuth_deg - point.azimuth_deg) % 360 or 360 * (len(points) == 1)
        if point.is_wall and wide >= 180:
            findings.fault(
                walls[point.azimuth_deg].at("joined"),
                "a straight wall that is seen over 180° or more",
                expected="the next corner, clockwise, nearer than that",
            )


def _check_edge(row: Row, same: list[Row], before: Row | None, findings: Findings) -> None:
    """Note an azimuth that stands twice and is no vertical edge, then keep its row."""
    is_edge = [before] == same and row.cells["azimuth_deg"] == same[0].cells["azimuth_deg"]
    if same and not is_edge:
        findings.fault(
            row.at("azimuth_deg"),
            "an azimuth that stands twice",
            row.cells["azimuth_deg"],
            hint=f"it is also on line {same[0].line}; 360 is 0, and a vertical edge is two lines "
            "that follow each other",
        )
    same.append(row)


def read_clouds(
    files: Files,
    name: str,
    calendar: Calendar | None,
    hours: Hours | None,
    findings: Findings,
) -> tuple[CloudHour, ...]:
    """Read a forecast of cloud cover, in the order of time.

    Each hour means its moment nearest to the working day, so that a list from 0 to 23 serves a day
    and a night alike.
    """
    found = _read_table(files, name, CLOUD_COLUMNS, MAX_CLOUD_HOURS, "hours", findings)
    covers: list[CloudHour] = []
    lines: dict[time, int] = {}
    for row in found.rows if found else ():
        cells = Cells(row=row, findings=findings)
        hour = cells.need("hour", _hour, None, "an hour from 0 to 23")
        cover = cells.need("cloud_cover", _cover, None, words.a_number(0, 1))
        if hour is not None and hour in lines:
            findings.fault(
                row.at("hour"),
                "an hour that stands twice",
                row.cells["hour"],
                hint=f"it is also on line {lines[hour]}",
            )
        elif hour is not None:
            lines[hour] = row.line
            if calendar and hours and cover is not None:
                at = calendar.nearest(hour, hours, row.at("hour"), findings)
                if at is not None:
                    covers.append(CloudHour(time=at, cover=cover))
    return tuple(sorted(covers, key=lambda cloud: cloud.time))


def _read_table(
    folder: Files,
    name: str,
    columns: Iterable[str],
    limit: int,
    kind: str,
    findings: Findings,
) -> Table | None:
    text = files.read_text(folder, name, findings)
    lines = None if text is None else table.csv_lines(text, name, findings, comments=True)
    found = None if lines is None else table.table_of(lines, name, columns, findings)
    if found is None:
        return None
    header = Where(file=name, line=found.header_line)
    needed = [column for column in columns if column in NEEDED]
    missing = [column for column in needed if column not in found.columns]
    for column in missing:
        findings.fault(header, f"no column `{column}`", expected=words.listed(needed, "and"))
    if missing:
        return None
    if not found.rows:
        findings.fault(header, f"no {kind}", expected="rows below the header")
    if len(found.rows) > limit:
        at = Where(file=name, line=found.rows[limit].line)
        findings.fault(at, f"{len(found.rows):,} {kind}", expected=f"at most {limit:,}")
        return None
    return found


def _elevation(text: str) -> float:
    return words.number(text, *HORIZON_DEG)


def _overhead(text: str) -> float:
    return words.number(text, HORIZON_DEG[0], OVERHEAD_DEG)


def _joined(text: str) -> bool:
    if words.key_of(text) != WALL:
        raise WordError(
            "not a way to be joined",
            expected=f"{WALL}, or blank where the skyline is straight in angle",
            hint=words.did_you_mean(text, [WALL]),
        )
    return True


def _hour(text: str) -> time:
    try:
        return time(words.whole(text, 0, 23))
    except WordError:
        pass
    try:
        return clock.clock_time(text)
    except WordError as error:
        raise WordError(
            "not an hour",
            expected="an hour from 0 to 23 or a clock time, such as 6 or 06:00",
            hint=error.hint,
        ) from None


def _cover(text: str) -> float:
    plain = words.clean(text)
    try:
        return words.number(plain, 0, 1)
    except WordError as error:
        hint = error.hint
        try:
            percent = words.number(plain.removesuffix("%").rstrip(), 0, 100)
        except WordError:
            pass
        else:
            hint = f"write {percent:g} percent as `{percent / 100:g}`"
        raise WordError(error.problem, expected=error.expected, hint=hint) from None
