"""What several commands share: their options, reading a day, finding its plan, writing pictures."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from enum import StrEnum
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.wrong_use import choice_option, seconds_option
from sunsched.cli.terminal.interrupt import looking
from sunsched.errors import SunschedError

# Everything else is imported inside the functions, so that `--help` is quick.
if TYPE_CHECKING:
    from sunsched.day.model import Day
    from sunsched.errors import Fault
    from sunsched.folder.read import Reading
    from sunsched.plan.plan import Plan
    from sunsched.saved.plan_file import Revision
    from sunsched.solver.search.progress import Progress
    from sunsched.solver.solved import Solved

DayArgument = Annotated[Path, typer.Argument(metavar="DAY", help="The day folder.")]
JsonOption = Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")]


PictureOption = Annotated[
    Path | None, typer.Option("--picture", metavar="FILE", help="Write a .png, .svg or .pdf too.")
]
LimitOption = Annotated[
    float | None,
    seconds_option("--limit", 0.1, "How long it may take; then the best plan so far is given."),
]
FIRST_S = 10, 20  # what is compiled for planned minutes, and for the average day, takes about that
QUIET_S = 2.0  # how long a solve may take before it shows how far it has come


class Paper(StrEnum):
    """The shape of printed pages and of pictures."""

    A4 = "a4"
    LETTER = "letter"
    PHONE = "phone"


SheetOption = Annotated[
    Path | None,
    typer.Option("--sheet", metavar="FILE", help="Write a .pdf, .html, .csv or .xlsx too."),
]
PaperOption = Annotated[
    Paper | None,
    choice_option("--paper", Paper, "The shape of --picture and --sheet; a4 unless given."),
]


class Grid(StrEnum):
    """Minutes between two possible starts."""

    ONE = "1"
    FIVE = "5"


def read_asked(folder: Path, *written: Path | None) -> Reading:
    """Read a day folder; its warnings go to stderr.

    `written` are the files that will be written: none may be one that the day is read from.
    """
    from sunsched.folder.read import read_folder

    reading = read_folder(folder)
    warn_of(reading.warnings)
    refuse_loss(written, reading.files)
    _refuse_own(folder, written)
    return reading


def warn_of(warnings: Iterable[Fault]) -> None:
    """Write on stderr what is odd without being wrong."""
    for warning in warnings:
        typer.echo(f"warning: {warning}", err=True)


def warn_of_log(folder: Path, other: str = "`sunsched replan` does") -> None:
    """Warn that the log is not looked at; `other` says which command does look at it."""
    from sunsched.folder.store.files import LOG_FILE

    if (folder / LOG_FILE).is_file():
        text = f"this plans the whole day and does not look at its log; {other}"
        typer.echo(f"warning: {text}", err=True)


def followed(folder: Path, asked: Day) -> tuple[Revision, Day] | None:
    """Give the newest saved plan with the day that it was made for; None where none is saved."""
    from sunsched.saved.restore import checked_timetable, revision_day
    from sunsched.saved.revisions import newest_revision

    saved = newest_revision(folder)
    if saved is None:
        return None
    before = revision_day(folder, asked, saved)
    _, gone = checked_timetable(before, saved)
    for shot_id in gone:
        text = f"{shot_id} is in revision {saved.number} and no longer in the day"
        typer.echo(f"warning: {text}", err=True)
    return saved, before


def rest_asked(folder: Path, asked: Day, now: str) -> tuple[Day, int]:
    """Give a day under way, of which the rest is to be decided, and the number of its events."""
    from sunsched.errors import DayImpossible
    from sunsched.folder.log.log import read_log
    from sunsched.folder.log.moments import desk_of, read_moment
    from sunsched.underway.state import day_so_far

    noted = read_log(folder, asked)
    warn_of(noted.warnings)
    moment = read_moment(desk_of(folder, asked), now, "--now")
    plan = followed(folder, asked)
    planned = None if plan is None else plan[0].timetable
    day = day_so_far(asked, noted.events, at=moment, planned=planned)
    if day.over_ids >= {shot.id for shot in day.shots}:
        raise DayImpossible("nothing is left to decide: every shot is made or cut")
    return day, len(noted.events)


def refuse_loss(written: Iterable[Path | None], read: Iterable[Path]) -> None:
    """Refuse to write over what was read."""
    from sunsched.errors import WriteRefused

    for file, source in product(written, read):
        if file is not None and _is_same(file, source):
            raise WriteRefused(
                f"`{file.name}` is a file that is read here\n"
                "  hint: give what is written another name"
            )


def _refuse_own(folder: Path, written: Iterable[Path | None]) -> None:
    """Refuse to write what would be read as a file of the day."""
    from sunsched.errors import WriteRefused
    from sunsched.folder.own import is_own_file

    for file in written:
        if file is not None and is_own_file(folder, file):
            raise WriteRefused(
                f"`{file.name}` is the name of one of the day's own files\n"
                "  hint: give what is written another name"
            )


def _is_same(file: Path, other: Path) -> bool:
    try:
        return file.samefile(other)
    except OSError:
        return False  # one of them does not exist, or no file can have its name


def found_plan(asked: Day, grid_min: int, limit_s: float | None) -> Plan:
    """Find the plan, and show on a terminal how far the search is if it takes long."""
    from sunsched.solver.solve import make_plan

    with solving() as progress:
        return make_plan(asked, grid_min=grid_min, limit_s=limit_s, progress=progress)


def certified_by_checker(asked: Day, grid_min: int, limit_s: float | None) -> Plan:
    """Find the plan, have its proof checked a second way, and say on stderr that it holds."""
    from sunsched.solver.certified import certified_plan

    with solving() as progress:
        plan = certified_plan(asked, grid_min=grid_min, limit_s=limit_s, progress=progress)
    typer.echo("certified: a second, independent check of the proof holds", err=True)
    return plan


def solve_asked(
    asked: Day, grid_min: int, limit_s: float | None, *, is_start: bool = False
) -> Solved:
    """Find the plan, and keep what is learnt; as a start for the average day with less work."""
    from sunsched.solver.search.budget import START_WORK, WORK
    from sunsched.solver.solved import solve_day

    work = START_WORK if is_start else WORK
    with solving(is_average=is_start) as progress:
        return solve_day(asked, grid_min=grid_min, limit_s=limit_s, work=work, progress=progress)


@contextmanager
def solving(*, is_average: bool = False) -> Iterator[Callable[[Progress], None] | None]:
    """Give the function to which a solve tells how far it is; None where no terminal shows it.

    It looks for Ctrl-C. What is needed and was never compiled on this machine is compiled before.

    Parameters
    ----------
    is_average : whether what the average day needs is needed too
    """
    with looking(), _compiling():
        _compile(["sunsched.solver.needed", *(["sunsched.average.needed"] if is_average else [])])
        if sys.stderr.isatty():
            with _shown_progress() as show:
                yield show
        else:
            yield None


def _compile(modules: list[str]) -> None:
    """Compile what modules need, if it is not kept; say so before, and how far it is."""
    from sunsched.solver.machine.early import are_compiled, compile_early

    if are_compiled(modules):
        return
    seconds = FIRST_S[len(modules) - 1]
    about = f"first plan on this machine: compiling the solver, about {seconds} seconds"
    typer.echo(about, err=True)
    if not sys.stderr.isatty():
        compile_early(modules)
        return
    from sunsched.cli.terminal.streams import progress_console

    with progress_console().status("") as status:
        compile_early(modules, lambda done, whole: status.update(f"{done} of {whole} parts"))


@contextmanager
def _compiling() -> Iterator[None]:
    """Say once, when functions have been compiled, that they could not be kept well."""
    from sunsched.solver.machine.function import poorly_kept

    yield
    if text := poorly_kept():
        hint = "`NUMBA_CACHE_DIR` in the environment names a folder for them"
        typer.echo(f"{text}\n  hint: {hint}", err=True)


@contextmanager
def _shown_progress() -> Iterator[Callable[[Progress], None]]:
    from sunsched.cli.terminal.streams import progress_console

    began = time.monotonic()
    with progress_console().status("") as status:
        status.stop()

        def show(now: Progress) -> None:
            if time.monotonic() - began >= QUIET_S:
                status.update(
                    f"best {now.points}, bound {now.bound}, gap {now.gap:.1%}; Ctrl-C ends it here"
                )
                status.start()

        yield show


def this_moment() -> datetime:
    """Give the moment now, by the machine's clock."""
    return datetime.fromtimestamp(time.time(), UTC)


def this_minute() -> datetime:
    """Give the moment now, to the minute."""
    return this_moment().replace(second=0, microsecond=0)


def print_json(record: dict[str, object]) -> None:
    from sunsched.show.records.day import record_text

    typer.echo(record_text(record))


def now_text(asked: Day) -> str:
    """Give the machine's clock in whole minutes, if that is on the day."""
    from sunsched.folder.log.moments import span_of

    now = this_minute()
    span = span_of(asked)
    if not span.start <= now <= span.end:
        local = now.astimezone(asked.place.zone)
        raise SunschedError(
            f"it is {local:%Y-%m-%d %H:%M} there, and the day is {asked.date}\n"
            "  hint: say when it was with `--at HH:MM`"
        )
    return now.isoformat()
