"""The shot list: rows of text turned into shots, with every fault of every row."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from functools import partial
from zoneinfo import ZoneInfo

from sunsched.day.model import Hours, Shot, Size
from sunsched.folder.settings.facts import Facts, find
from sunsched.folder.settings.keys import MAX_MINUTES, MAX_WEIGHT
from sunsched.folder.settings.names import check_lone_matches, spellings
from sunsched.folder.shot_list.circles import check_circles
from sunsched.folder.shot_list.columns import COLUMNS, MAX_SHOOT
from sunsched.folder.shot_list.wishes import read_control, read_wish
from sunsched.folder.tables.cells import Cells
from sunsched.folder.tables.table import Row, Table
from sunsched.folder.text import bands, clock, minutes, sizes, words
from sunsched.folder.text.findings import Findings, Where

MAX_SHOTS = 120  # the solver is tested with so many; its labels can hold six more


def read_shots(table: Table, facts: Facts, findings: Findings) -> tuple[Shot, ...]:
    """Turn the rows of the shot list into shots, in the natural order of their ids.

    Parameters
    ----------
    table : Table
        The rows as text.
    facts : Facts
        What `day.toml` says.
    findings : Findings
        Where faults and warnings are noted.

    Returns
    -------
    tuple of Shot
        Rows at fault are left out of it.
    """
    header = Where(file=table.file, line=table.header_line)
    needed = {column for column, expected in COLUMNS.items() if expected}
    if len(facts.spots) > 1:
        needed.add("spot")
    for column in COLUMNS:
        if column in needed and column not in table.columns:
            expected = COLUMNS[column] or words.choice([s.name for s in facts.spots], "spot")
            findings.fault(header, f"no column `{column}`", expected=expected)
    if not table.rows:
        findings.fault(header, "no shots", expected="one row a shot below the header")
    if len(table.rows) > MAX_SHOTS:
        at = Where(file=table.file, line=table.rows[MAX_SHOTS].line)
        findings.fault(at, f"{len(table.rows)} shots", expected=f"at most {MAX_SHOTS}")
    rows = [
        # A column that is not there is told once, not again on every row.
        Row(
            file=row.file,
            line=row.line,
            cells=row.cells,
            unreadable=row.unreadable | (needed - set(table.columns)),
        )
        for row in table.rows[:MAX_SHOTS]
    ]
    ids = _read_ids(rows, findings)
    known = list(ids.values())
    rigs, matches = spellings(rows, "rig"), spellings(rows, "match")
    shots = []
    after: dict[str, tuple[str, ...]] = {}
    lines: dict[str, Where] = {}
    for row in rows:
        shot_id = ids.get(row.line, "")
        lines[shot_id] = row.at("after")
        after[shot_id] = _read_after(row, shot_id, known, findings)
        shot = _read_shot(row, shot_id, after[shot_id], facts, rigs, matches, table.kept, findings)
        if shot is not None:
            shots.append(shot)
    check_circles(after, lines, findings)
    check_lone_matches(rows, matches, findings)
    return tuple(sorted(shots, key=lambda shot: words.natural_key(shot.id)))


def _read_ids(rows: list[Row], findings: Findings) -> dict[int, str]:
    """Give the id of each row by its line; rows without one, or with one twice, have none."""
    ids: dict[int, str] = {}
    first: dict[str, int] = {}
    for row in rows:
        shot_id = Cells(row=row, findings=findings).need("id", words.shot_id, "", COLUMNS["id"])
        key = shot_id.casefold()
        if not shot_id:
            continue
        if key in first:
            hint = f"it is also on line {first[key]}"
            findings.fault(row.at("id"), "an id that stands twice", shot_id, hint=hint)
            continue
        first[key] = row.line
        ids[row.line] = shot_id
    return ids


def _read_after(row: Row, shot_id: str, known: list[str], findings: Findings) -> tuple[str, ...]:
    by_key = {one.casefold(): one for one in known}
    found = []
    for word in Cells(row=row, findings=findings).get("after", words.id_list, ()):
        other = by_key.get(word.casefold())
        if other is None:
            hint = words.did_you_mean(word, known)
            findings.fault(
                row.at("after"), "no such shot", word, expected="ids of the list", hint=hint
            )
        elif other == shot_id:
            findings.fault(row.at("after"), "a shot that waits for itself", word)
        else:
            found.append(other)
    return tuple(found)


def _read_shot(
    row: Row,
    shot_id: str,
    after: tuple[str, ...],
    facts: Facts,
    rigs: Mapping[str, str],
    matches: Mapping[str, str],
    kept: Mapping[str, str],
    findings: Findings,
) -> Shot | None:
    cells = Cells(row=row, findings=findings)
    before = len(findings.faults)
    size = cells.need(
        "size", partial(sizes.size, own=facts.size_words), Size.INSERT, COLUMNS["size"]
    )
    implied = facts.sizes[size]
    setup_min = cells.get("setup_min", _minutes, implied.setup_min)
    adjust_min = cells.get("adjust_min", _minutes, min(implied.adjust_min, setup_min))
    if adjust_min > setup_min:
        findings.warn(
            row.at("adjust_min"),
            f"longer than the setup of {setup_min} minutes",
            f"{adjust_min}",
        )
    shoot_min = cells.need("shoot_min", _shoot, 1, COLUMNS["shoot_min"])
    look_deg = cells.need("look", bands.bearing, 0.0, COLUMNS["look"]) + facts.declination_deg
    wish = read_wish(cells, facts)
    hold = cells.get("hold", words.yes_no, False)
    if hold and wish.asks_nothing:
        findings.warn(row.at("hold"), "a hold that asks nothing of the sun")
    shot = Shot(
        id=shot_id,
        description=cells.need("description", _description, "", COLUMNS["description"]),
        size=size,
        spot=_read_spot(cells, facts),
        look_deg=look_deg % 360,
        wish=wish,
        setup_min=setup_min,
        adjust_min=adjust_min,
        shoot_min=shoot_min,
        weight=cells.get(
            "weight", partial(words.number, low=0.01, high=MAX_WEIGHT), implied.weight
        ),
        scene=cells.get("scene", words.line_of_text, ""),
        rig=_read_name(cells, "rig", rigs),
        match=_read_name(cells, "match", matches),
        hold=hold,
        after=after,
        cast=_read_cast(cells, facts),
        pin=_read_pin(cells, shoot_min, facts),
        lens_mm=cells.get("lens_mm", partial(words.number, low=1, high=2000), None),
        control=read_control(cells, wish, hold),
        kept=_kept(row, kept),
    )
    return shot if shot_id and len(findings.faults) == before else None


def _kept(row: Row, titles: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """Give what is carried along: columns that nothing reads, and a size that says more than one.

    An over-the-shoulder counts as a medium, and is told as what it is.
    """
    found = [
        (title, words.clean(row.cells[name])) for name, title in titles.items() if name in row.cells
    ]
    size = row.cells.get("size", "")
    return tuple(found if sizes.is_plain(size) else [("size as listed", words.clean(size)), *found])


def _description(text: str) -> str:
    return words.line_of_text(text, words.MAX_DESCRIPTION)


def _shoot(text: str) -> int:
    return minutes.minutes(text, 1, MAX_SHOOT)


def _minutes(text: str) -> int:
    return minutes.minutes(text, 0, MAX_MINUTES)


def _read_name(cells: Cells, column: str, spelled: Mapping[str, str]) -> str:
    """Read the name of a rig or a match, and give it as it was first spelled."""
    name = cells.get(column, words.line_of_text, "")
    return spelled[words.key_of(name)] if name else ""


def _read_spot(cells: Cells, facts: Facts) -> str:
    names = [spot.name for spot in facts.spots]
    default = names[0] if len(names) == 1 else ""
    if len(names) > 1:
        cells.note_blank("spot", words.choice(names, "spot"))
    name = cells.get("spot", words.line_of_text, default)
    found = find(name, names)
    if found is None and name and names:
        cells.findings.fault(
            cells.row.at("spot"),
            "no such spot",
            name,
            expected=words.choice(names, "spot"),
            hint=words.did_you_mean(name, names),
        )
    return found or name


def _read_cast(cells: Cells, facts: Facts) -> tuple[str, ...]:
    known = [member.name for member in facts.cast]
    names = []
    for name in cells.get("cast", words.name_list, ()):
        found = find(name, known)
        if found is None and known:
            cells.findings.fault(
                cells.row.at("cast"),
                "no such name under `[[cast]]`",
                name,
                expected=words.choice(known, "cast"),
                hint=words.did_you_mean(name, known),
            )
        names.append(found or name)
    return tuple(dict.fromkeys(names))


def _read_pin(cells: Cells, shoot_min: int, facts: Facts) -> datetime | None:
    clocked = cells.get("pin", clock.clock_time, None)
    if clocked is None or facts.calendar is None or facts.hours is None:
        return None
    where = cells.row.at("pin")
    pin = facts.calendar.at(clocked, where, cells.findings)
    if pin is None:
        return None
    zone = facts.calendar.zone
    return pin if check_pin(pin, shoot_min, facts.hours, zone, where, cells.findings) else None


def check_pin(
    pin: datetime, shoot_min: int, hours: Hours, zone: ZoneInfo, where: Where, findings: Findings
) -> bool:
    """Say whether a pinned roll fits into the hours; a fault is noted where it does not."""
    last = hours.hard_wrap - timedelta(minutes=shoot_min)
    if hours.first_roll <= pin <= last:
        return True
    findings.fault(
        where,
        "a pin outside the day",
        f"{pin.astimezone(zone):%H:%M}",
        expected=f"from {hours.first_roll.astimezone(zone):%H:%M} to "
        f"{last.astimezone(zone):%H:%M}, so that {shoot_min} minutes fit before hard wrap",
    )
    return False
