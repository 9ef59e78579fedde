"""Every reader with the file that it reads, and what may come of feeding it a mutated one."""

from __future__ import annotations

import json
import resource
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random

from hostile import binary, whole
from hostile.mutated import mutated
from sunsched.day.model import Day
from sunsched.errors import SunschedError
from sunsched.folder.check import check_day
from sunsched.folder.intake.file import list_of_bytes
from sunsched.folder.keep import keep_decision
from sunsched.folder.log.log import note_events, read_log
from sunsched.folder.place.gpx import gpx_points
from sunsched.folder.place.photo import read_photo
from sunsched.folder.place.take import take_written
from sunsched.folder.read import look_at_folder, read_day
from sunsched.folder.skyline import phrases
from sunsched.folder.skyline.footprints import read_footprints
from sunsched.folder.skyline.terrain import read_tile
from sunsched.folder.text.findings import Findings, Where
from sunsched.folder.text.words import WordError
from sunsched.light.fit import fit_day
from sunsched.saved.restore import checked_timetable, plan_of_revision, revision_day
from sunsched.saved.revisions import read_revision
from sunsched.underway.state import day_so_far
from sunsched.whatif.orders.order import read_order, read_pasted

MAX_S = 10.0
MAX_KIB = 1 << 20  # 1 GiB
"""Of memory that the process has held at any time, by what the system counts."""

Read = Callable[[Path, bytes], object]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fed:
    """One reader: the file that it is given, what that is made of, and how it is called."""

    kind: str
    raw: Callable[[], bytes]
    read: Read
    weight: float = 1.0


class StandsStill(BaseException):
    """A reader has not come back in time; nothing may take this for an error of a file."""


def _in_folder(name: str, **others: str) -> Read:
    """Read a day folder in which one file is the mutated one, and look at its light if it reads."""

    def read(folder: Path, raw: bytes) -> object:
        for other, text in {**whole.FILES, **others}.items():
            if other != name and not (name.startswith("shots.") and other == "shots.csv"):
                (folder / other).write_text(text, encoding="utf-8")
        (folder / name).write_bytes(raw)
        found = look_at_folder(folder)
        if found.day is not None:
            fit_day(found.day)
        return [str(fault) for fault in (*found.faults, *found.warnings)]

    return read


def _plain_day(folder: Path) -> Day:
    """Give the whole day, with its settings in a folder; it is read once."""
    (folder / "day.toml").write_text(whole.DAY, encoding="utf-8")
    return _read_once()


@cache
def _read_once() -> Day:
    with tempfile.TemporaryDirectory() as made:
        for name, text in whole.FILES.items():
            (Path(made) / name).write_text(text, encoding="utf-8")
        return read_day(made)


def _log(folder: Path, raw: bytes) -> object:
    day = _plain_day(folder)
    (folder / "log.csv").write_bytes(raw)
    log = read_log(folder, day)
    told = [str(event) for event in log.events]
    if log.events:
        latest = max(one.at for one in log.events)
        told.append(str(day_so_far(day, log.events, at=latest, planned=None)))
    return told


def _noted(folder: Path, raw: bytes) -> object:
    """Note an event whose words are the lines of the input, over a log of its own."""
    day = _plain_day(folder)
    names = ("event", "subject", "value", "at", "from", "until")
    words = raw.decode("utf-8", "replace").split("\n")
    cells = dict(zip(names, words, strict=False))
    return str(note_events(folder, day, lambda _: [cells])[1])


def _plan(folder: Path, raw: bytes) -> object:
    day = _plain_day(folder)
    (folder / "log.csv").write_text(whole.LOG, encoding="utf-8")
    (folder / "plans").mkdir()
    (folder / "plans" / "0001.json").write_bytes(raw)
    revision = read_revision(folder, 1)
    planned = revision_day(folder, day, revision)
    told = [str(checked_timetable(planned, revision))]
    told.append(str(read_order("1", folder, day)))
    if revision.average is None:
        told.append(str(plan_of_revision(planned, revision).changes))
    return told


def _order(name: str) -> Read:
    def read(folder: Path, raw: bytes) -> object:
        day = _plain_day(folder)
        (folder / name).write_bytes(raw)
        return str(read_order(folder / name, folder, day))

    return read


def _pasted(folder: Path, raw: bytes) -> object:
    return str(read_pasted(raw.decode("utf-8", "replace"), _plain_day(folder)))


def _list(_: Path, raw: bytes) -> object:
    findings = Findings()
    taken = list_of_bytes(raw, "list.txt", findings)
    return [str(fault) for fault in findings.faults], None if taken is None else taken.notes


def _kept(folder: Path, raw: bytes) -> object:
    """Keep a decision beside those of a mutated file."""
    from sunsched.day.demand import Cut

    for name, text in whole.FILES.items():
        (folder / name).write_text(text, encoding="utf-8")
    (folder / "decisions.csv").write_bytes(raw)
    return str(keep_decision(folder, Cut(shot="3")))


def _gpx(folder: Path, raw: bytes) -> object:
    (folder / "way.gpx").write_bytes(raw)
    return str(gpx_points(folder / "way.gpx"))


def _houses(folder: Path, raw: bytes) -> object:
    findings = Findings()
    (folder / "houses.geojson").write_bytes(raw)
    found = read_footprints(folder / "houses.geojson", Where(file="houses"), findings)
    return found, [str(fault) for fault in findings.faults]


def _tile(name: str) -> Read:
    def read(folder: Path, raw: bytes) -> object:
        (folder / name).write_bytes(raw)
        return str(read_tile(folder / name).heights_m)

    return read


def _photo(folder: Path, raw: bytes) -> object:
    (folder / "spot.jpg").write_bytes(raw)
    return str(read_photo(folder / "spot.jpg"))


def _phrase(_: Path, raw: bytes) -> object:
    text, told = raw.decode("utf-8", "replace"), []
    for reader in (phrases.wall, phrases.roof, phrases.notes, phrases.sun_time):
        try:
            told.append(str(reader(text)))
        except WordError as error:
            told.append(str(error))
    return told


def _place(_: Path, raw: bytes) -> object:
    return take_written(raw.decode("utf-8", "replace")).told


def _checked(folder: Path, raw: bytes) -> object:
    """Check a day that reads as one made by hand."""
    for name in whole.FILES:
        (folder / name).write_text(whole.FILES[name], encoding="utf-8")
    (folder / "shots.csv").write_bytes(raw)
    check_day(read_day(folder))
    return "a day"


def _of(text: str) -> Callable[[], bytes]:
    return text.encode


READERS: dict[str, Fed] = {
    "day": Fed(kind="lines", raw=_of(whole.DAY), read=_in_folder("day.toml"), weight=4),
    "shots": Fed(kind="cells", raw=_of(whole.SHOTS), read=_in_folder("shots.csv"), weight=4),
    "shots.xlsx": Fed(
        kind="package", raw=whole.office_book, read=_in_folder("shots.xlsx"), weight=2
    ),
    "shots.ods": Fed(kind="package", raw=whole.open_book, read=_in_folder("shots.ods"), weight=2),
    "horizon": Fed(kind="cells", raw=_of(whole.HORIZON), read=_in_folder("horizon-pans.csv")),
    "sky": Fed(kind="cells", raw=_of(whole.SKY), read=_in_folder("sky.csv")),
    "cloths": Fed(kind="cells", raw=_of(whole.CLOTHS), read=_in_folder("cloths.csv")),
    "decisions": Fed(
        kind="cells", raw=_of(whole.DECISIONS), read=_in_folder("decisions.csv"), weight=2
    ),
    "kept": Fed(kind="cells", raw=_of(whole.DECISIONS), read=_kept),
    "log": Fed(kind="cells", raw=_of(whole.LOG), read=_log, weight=3),
    "noted": Fed(kind="lines", raw=_of("cloud\n\n0.5\n07:20\n08:00\n09:00"), read=_noted, weight=2),
    "plan": Fed(kind="json", raw=_of(whole.plan_text()), read=_plan, weight=3),
    "plain plan": Fed(kind="json", raw=_of(whole.plan_text(plain=True)), read=_plan, weight=2),
    "order": Fed(kind="cells", raw=_of(whole.ORDER), read=_order("order.csv"), weight=2),
    "order.xlsx": Fed(kind="package", raw=whole.office_book, read=_order("order.xlsx")),
    "pasted": Fed(kind="lines", raw=_of(whole.PASTED), read=_pasted, weight=2),
    "list": Fed(kind="cells", raw=_of(whole.LIST), read=_list, weight=2),
    "prose": Fed(kind="lines", raw=_of(whole.PROSE), read=_list),
    "list.xlsx": Fed(kind="package", raw=whole.office_book, read=_list),
    "gpx": Fed(kind="tags", raw=_of(whole.GPX), read=_gpx),
    "houses": Fed(kind="json", raw=_of(json.dumps(whole.HOUSES)), read=_houses),
    "tile": Fed(kind="lines", raw=_of(whole.GRID), read=_tile("tile.asc")),
    "geotiff": Fed(kind="bytes", raw=binary.geotiff, read=_tile("tile.tif")),
    "hgt": Fed(kind="bytes", raw=binary.survey_tile, read=_tile("N36W011.hgt"), weight=0.1),
    "photo": Fed(kind="exif", raw=binary.photo, read=_photo),
    "phrase": Fed(kind="lines", raw=_of("\n".join(whole.PHRASES)), read=_phrase),
    "place": Fed(kind="lines", raw=_of("36.5, -10.2"), read=_place, weight=0.1),
    "checked": Fed(kind="cells", raw=_of(whole.SHOTS), read=_checked),
}


def inputs(seed: int, count: int, names: Sequence[str] = ()) -> Iterator[tuple[str, int, bytes]]:
    """Draw inputs: for each the reader, its number and the bytes; the same for the same seed."""
    known = list(names) or list(READERS)
    weights = [READERS[name].weight for name in known]
    for number in range(count):
        random = Random(f"{seed} {number}")  # noqa: S311  nothing is secret
        name = random.choices(known, weights)[0]
        fed = READERS[name]
        raw = fed.raw()
        if name == "phrase":
            raw = random.choice(whole.PHRASES).encode()
        elif name == "place":
            raw = random.choice(whole.PLACES).encode()
        yield name, number, mutated(raw, fed.kind, random)


def feed(name: str, raw: bytes, holder: Path) -> tuple[str, str]:
    """Feed one input in an empty folder of its own: what came of it, and what is wrong with that.

    Parameters
    ----------
    holder : an empty folder, which is empty again afterwards; nothing may be written beside the
        day folder in it

    Returns
    -------
    str, str
        The answer or the refusal, and the traceback or complaint; "" where all is well.
    """
    folder = holder / "day"
    folder.mkdir()
    began, before = time.process_time(), most_kib()
    answer = wrong = ""
    try:
        with _in_time():
            answer = repr(READERS[name].read(folder, raw))
    except (SunschedError, WordError) as error:
        answer = f"refused: {error}"
    except BaseException as error:
        if isinstance(error, KeyboardInterrupt):
            raise
        wrong = traceback.format_exc()
    seconds = time.process_time() - began
    if not wrong and seconds > MAX_S:
        wrong = f"it took {seconds:.1f} s"
    # What the process held at most before is that of other work, as of the tests before this one.
    if not wrong and most_kib() - before > MAX_KIB:
        wrong = f"{(most_kib() - before) >> 10} MiB of memory"
    beside = sorted(path.name for path in holder.iterdir())
    if not wrong and beside != ["day"]:
        wrong = f"written outside the folder: {beside}"
    _emptied(holder)
    return answer, wrong


def most_kib() -> int:
    """Give the most memory that this process has held, KiB."""
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most >> 10 if sys.platform == "darwin" else most


@contextmanager
def _in_time() -> Iterator[None]:
    def late(*_: object) -> None:
        raise StandsStill

    # Seconds of work; what waits for something else has ten times as long, as machines are shared.
    clocks = (
        (signal.SIGPROF, signal.ITIMER_PROF, MAX_S),
        (signal.SIGALRM, signal.ITIMER_REAL, 10 * MAX_S),
    )
    before = [signal.signal(number, late) for number, _, _ in clocks]
    for _, timer, seconds in clocks:
        signal.setitimer(timer, seconds)
    try:
        yield
    finally:
        for (number, timer, _), handler in zip(clocks, before, strict=True):
            signal.setitimer(timer, 0)
            signal.signal(number, handler)


def _emptied(holder: Path) -> None:
    for path in sorted(holder.rglob("*"), reverse=True):
        if path.is_dir() and not path.is_symlink():
            path.rmdir()
        else:
            path.unlink()
