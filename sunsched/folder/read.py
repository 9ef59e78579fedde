"""The one reader of day folders: `day.toml`, the shot list, horizons and clouds into one `Day`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from sunsched.day.decided import without_decision
from sunsched.day.demand import Demand
from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import CastMember, Day, Shot
from sunsched.errors import Fault, FolderError
from sunsched.folder.decisions.file import DECISIONS_FILE
from sunsched.folder.decisions.read import decisions_of, read_words
from sunsched.folder.horizons import read_spots
from sunsched.folder.intake import shot_file
from sunsched.folder.intake.take import Taken, take_sheet
from sunsched.folder.log.event import Kind
from sunsched.folder.log.file import read_rows, split_torn
from sunsched.folder.settings import document, names
from sunsched.folder.settings.document import Document
from sunsched.folder.settings.facts import read_facts
from sunsched.folder.settings.frames import read_frames
from sunsched.folder.settings.keys import Settings
from sunsched.folder.settings.reader import read_settings
from sunsched.folder.shot_list.shots import read_shots
from sunsched.folder.store import files
from sunsched.folder.store.files import LOG_FILE, SETTINGS_FILE, Files
from sunsched.folder.tables import skylines
from sunsched.folder.tables.cloths import cloths_of
from sunsched.folder.tables.table import Row, Table
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where, by_place

CLOUD_FILE = "sky.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A day, what is odd about its folder without being wrong, and the files it was read from.

    `asked` is the day without its decisions. `taken` says in sentences what was taken for what.
    """

    day: Day
    asked: Day
    warnings: tuple[Fault, ...]
    files: tuple[Path, ...]
    taken: tuple[str, ...] = ()

    def lifted(self, demand: Demand) -> Day:
        """Give the day under all of its decisions but one."""
        return without_decision(self.asked, self.day.decisions, demand)


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What was read of a day folder: its day, None where anything is at fault, and the rest.

    `asked` is the day without its decisions, and without the shots at fault, if all else reads.
    """

    day: Day | None
    asked: Day | None
    faults: tuple[Fault, ...]
    warnings: tuple[Fault, ...]
    files: tuple[Path, ...]
    taken: tuple[str, ...]


def read_day(folder: Path | str) -> Day:
    """Read a day folder.

    Parameters
    ----------
    folder : Path or str
        The folder that holds `day.toml` and the shot list.

    Returns
    -------
    Day
        The day, frozen; its times are in UTC.

    Raises
    ------
    FolderError
        When anything is at fault; it carries every fault of the folder at once.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> from datetime import date, time
    >>> from pathlib import Path
    >>> from sunsched.folder.starter import starter_texts
    >>> folder, place = Path(tempfile.mkdtemp()), sunsched.example_day().place
    >>> texts = starter_texts("A day", place, date(2027, 6, 9), (time(8), time(20)), 80, 260)
    >>> for name, text in texts.items():
    ...     _ = (folder / name).write_text(text, encoding="utf-8")
    >>> sunsched.read_day(folder).title
    'A day'
    """
    return read_folder(folder).day


def read_folder(folder: Path | str, *, decided: bool = True) -> Reading:
    """Read a day folder, and tell its warnings too.

    Parameters
    ----------
    folder : Path or str
        The folder that holds `day.toml` and the shot list.
    decided : bool
        Whether the decisions of the day are read and obeyed; else `day` is the day as `asked`.

    Raises
    ------
    FolderError
        When anything is at fault; it carries every fault of the folder at once.
    """
    found = look_at_folder(Path(folder), decided=decided)
    if found.asked is None or found.day is None:
        raise FolderError(found.faults)
    day, asked, warnings = found.day, found.asked, found.warnings
    return Reading(day=day, asked=asked, warnings=warnings, files=found.files, taken=found.taken)


def look_at_folder(
    folder: Path, unsaved: Mapping[str, bytes] | None = None, *, decided: bool = True
) -> Look:
    """Read a day folder whatever is wrong with it.

    Parameters
    ----------
    folder : Path
        The folder.
    unsaved : mapping of str to bytes, optional
        Files that are read as if they stood in the folder already, in the place of their own.
    decided : bool
        Whether the decisions of the day are read and obeyed.
    """
    findings = Findings()
    found = files.open_folder(folder, findings, unsaved)
    notes: list[str] = []
    asked = day = None if found is None else _read(found, findings, notes)
    if found is not None and decided:
        day = _decide(found, asked, findings)
    return Look(
        day=None if findings.faults else day,
        asked=asked,
        faults=by_place(findings.faults),
        warnings=by_place(findings.warnings),
        files=tuple(folder / name for name in findings.files),
        taken=tuple(notes),
    )


def _read(found: Files, findings: Findings, notes: list[str]) -> Day | None:
    written = _read_document(found, findings)
    if written is None:
        # Nothing is known of the spots, so the shots are read without asking for them.
        nothing = Document(file=SETTINGS_FILE, data={}, lines={})
        facts = replace(read_facts(nothing, Settings(), Findings()), spots=())
        listed = _read_list(found, findings)
        if listed is not None:
            read_shots(listed.table, facts, findings)
        return None

    def rows() -> Table | None:
        taken = _read_list(found, findings)
        notes.extend(() if taken is None else taken.notes)
        return None if taken is None else taken.table

    return build_day(written, rows, lambda: _read_added(found), found, findings)


def _decide(found: Files, asked: Day | None, findings: Findings) -> Day | None:
    """Give the day under its decisions; where it is at fault itself, they are read and not held
    against it."""
    if DECISIONS_FILE not in found.names:
        return asked
    content = files.read_bytes(found, DECISIONS_FILE, findings)
    rows = () if content is None else read_words(content, findings)
    if asked is None or findings.faults:
        return asked
    return decisions_of(rows, asked, _added_ids(found), findings)


def added_ids(folder: Path) -> frozenset[str]:
    """Give the ids of the shots that the log of a day folder adds to those of the list."""
    found = files.open_folder(folder, Findings())
    return frozenset() if found is None else _added_ids(found)


def _added_ids(found: Files) -> frozenset[str]:
    rows = (row.cells for row in _read_added(found) or () if row.cells.get("event") == Kind.ADD)
    return frozenset(words.plain_hyphens(cells.get("id", "")) for cells in rows)


def build_day(
    written: Document,
    read_list: Callable[[], Table | None],
    read_added: Callable[[], tuple[Row, ...] | None],
    found: Files | None,
    findings: Findings,
) -> Day | None:
    """Put the settings, the shot list and the tables of the sky together.

    Parameters
    ----------
    written : the settings
    read_list : gives the rows of the shot list, None where they cannot be read
    read_added : gives the rows of the log, which may add shots, None where they cannot be read
    found : the folder with skylines and clouds; None for a day that has no folder
    findings : where faults and warnings are noted
    """
    settings = read_settings(written, findings)
    facts = read_facts(written, settings, findings)
    listed = read_list()
    added = read_added()
    rows = None if listed is None or added is None else (*listed.rows, *added)
    rigs = names.read_rigs(written, settings, rows, findings)
    frames = read_frames(written, settings.frame, cloths_of(found, findings), findings)
    matches = names.read_matches(written, settings.match, rows, findings)
    shots = () if listed is None else read_shots(listed, facts, findings)
    spots = read_spots(found, written, facts, findings)
    clouds: tuple[CloudHour, ...] = ()
    if found is not None and CLOUD_FILE in found.names:
        clouds = skylines.read_clouds(found, CLOUD_FILE, facts.calendar, facts.hours, findings)
    if (
        facts.title is None
        or settings.date is None
        or facts.place is None
        or facts.hours is None
        or facts.meal is None
    ):
        return None
    return Day(
        title=facts.title,
        date=settings.date,
        place=facts.place,
        hours=facts.hours,
        meal=facts.meal,
        spots=spots,
        shots=shots,
        moves=facts.moves,
        cast=facts.cast or _free_cast(shots),
        clouds=clouds,
        sizes=facts.sizes,
        overruns=facts.overruns,
        day_spread=facts.day_spread,
        rigs=rigs,
        matches=matches,
        camera=facts.camera,
        frames=frames,
        weather=facts.weather,
        declination_deg=facts.declination_deg if settings.bearings == "magnetic" else None,
        costs=facts.costs,
        changeover=facts.changeover,
    )


def _free_cast(shots: tuple[Shot, ...]) -> tuple[CastMember, ...]:
    """Give everyone named in the shot list, all day long, for a folder without `[[cast]]`."""
    names = sorted({name for shot in shots for name in shot.cast})
    return tuple(CastMember(name=name) for name in names)


def _read_document(found: Files, findings: Findings) -> Document | None:
    if SETTINGS_FILE not in found.names:
        hint = words.did_you_mean(SETTINGS_FILE, found.names)
        findings.fault(Where(file=SETTINGS_FILE), "no such file in the day folder", hint=hint)
        return None
    text = files.read_text(found, SETTINGS_FILE, findings, strict=True)
    return None if text is None else document.parse(text, SETTINGS_FILE, findings)


def _read_list(found: Files, findings: Findings) -> Taken | None:
    """Give the rows of the shot list as text; None, with the faults noted, if there are none."""
    name = shot_file.find_name(found, findings)
    if name is None:
        return None
    notes: list[str] = []
    sheet = shot_file.read_sheet(found, name, findings, notes)
    taken = take_sheet(sheet, name, findings) if sheet else None
    return None if taken is None else replace(taken, notes=(*notes, *taken.notes))


def _read_added(found: Files) -> tuple[Row, ...] | None:
    """Give the rows of the log, whose shots name rigs too; None if unreadable, told elsewhere."""
    notes = Findings()
    if LOG_FILE not in found.names:
        return ()
    content = files.read_bytes(found, LOG_FILE, notes)
    logged = None if content is None else read_rows(split_torn(content)[0], notes)
    if notes.faults:
        return None
    return () if logged is None else logged.rows
