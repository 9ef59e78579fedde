"""The command that hands the plan out: sheet."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.aim import Aim, AimOption, plan_for
from sunsched.cli.shared.app import app
from sunsched.cli.shared.common import (
    DayArgument,
    Grid,
    LimitOption,
    Paper,
    read_asked,
    this_minute,
)
from sunsched.cli.shared.out.written import kind_of
from sunsched.cli.shared.render_process import DRAWN_KINDS, drawn_beside
from sunsched.cli.shared.saved_plan import restored, stamp_of, used_options
from sunsched.cli.shared.wrong_use import NO_LIMIT, choice_option, whole_option
from sunsched.cli.terminal.interrupt import unbroken

if TYPE_CHECKING:
    from sunsched.day.model import Day
    from sunsched.plan.plan import Plan
    from sunsched.saved.plan_file import Revision
    from sunsched.show.agenda import Course

PAGED_KINDS = ("pdf", "html")  # sheets with several pictures


@app.command(epilog="Example: sunsched sheet data/last-lamp last-lamp.pdf")
def sheet(
    context: typer.Context,
    day: DayArgument,
    file: Annotated[
        Path,
        typer.Argument(
            metavar="FILE", help="A name that ends with .pdf .png .svg .html .ics .csv or .xlsx."
        ),
    ],
    paper: Annotated[
        Paper, choice_option("--paper", Paper, "The shape of pages and pictures.")
    ] = Paper.A4,
    revision: Annotated[
        int | None,
        whole_option("--revision", 1, NO_LIMIT, "N", "Its number, if not the newest plan;"),
    ] = None,
    grid: Annotated[
        Grid, choice_option("--grid", Grid, "Minutes between two possible starts.")
    ] = Grid.FIVE,
    limit: LimitOption = None,
    aim: AimOption = Aim.AVERAGE,
) -> None:
    """Write one sheet of the newest saved plan, or of a new one where none is saved."""
    from sunsched.folder.store.write import write_whole
    from sunsched.saved.revisions import newest_revision, read_revision
    from sunsched.show.agenda import Sheet
    from sunsched.show.layout import unusual_texts
    from sunsched.show.paper_size import Shape

    kind = kind_of(file, "FILE")
    _refuse_paper(context, kind, paper)
    with drawn_beside(kind) as drawn:
        asked = read_asked(day, file).day
        saved = newest_revision(day) if revision is None else read_revision(day, revision)
        now, shape = this_minute(), Shape(paper.value)
        if saved is None:
            plan = _new_plan(asked, aim, int(grid), limit)
            made = Sheet(plan=plan, stamp=stamp_of(day, asked, now), paper=shape)
        else:
            used = used_options(context, "grid", "limit", "aim")
            if used:
                text = f"it is for a new plan, and the sheet is of revision {saved.number}"
                raise typer.BadParameter(text, param_hint=used)
            over = _after_the_day(day, asked, saved) if revision is None else None
            if over is None:
                found = restored(day, asked, saved)
                stamp = stamp_of(day, asked, now, saved, found=found)
                course = _course(day, asked, saved, found.plan) if kind in PAGED_KINDS else None
                made = Sheet(plan=found.plan, stamp=stamp, paper=shape, course=course)
            else:
                plan, before, events = over
                stamp = stamp_of(day, asked, now, saved, known=events)
                made = Sheet(plan=plan, stamp=stamp, paper=shape, before=before)
        content = drawn(made)
        with unbroken():
            write_whole(file, content)
            typer.echo(f"{file} written", err=True)
    if kind in DRAWN_KINDS and (texts := unusual_texts(asked)):
        from sunsched.show.drawing.lettering import lacking_text

        if text := lacking_text(texts, kind):
            typer.echo(text, err=True)


def _refuse_paper(context: typer.Context, kind: str, paper: Paper) -> None:
    """Refuse a paper that a kind of sheet has no use for."""
    if kind == "pdf" and paper is Paper.PHONE:
        text = "a .pdf is printed on a4 or letter; a phone reads .html or .png"
        raise typer.BadParameter(text, param_hint="--paper")
    if kind not in ("pdf", "png", "svg") and used_options(context, "paper"):
        raise typer.BadParameter(f"a .{kind} is the same on every paper", param_hint="--paper")


def _new_plan(asked: Day, aim: Aim, grid_min: int, limit_s: float | None) -> Plan:
    from sunsched.plan.plan import Plan

    found = plan_for(aim, asked, grid_min, limit_s)
    return found if isinstance(found, Plan) else found.likely


def _after_the_day(folder: Path, asked: Day, saved: Revision) -> tuple[Plan, Plan, int] | None:
    """Give what was made of a day, the plan that it began with, and how many events tell of it.

    None where the log does not tell the whole day, or cannot be read, which its stamp says.
    """
    from sunsched.errors import FolderError
    from sunsched.folder.log.log import read_log
    from sunsched.underway.over import plan_made

    try:
        log = read_log(folder, asked)
    except FolderError:
        return None
    made = plan_made(asked, log, saved.timetable)
    if made is None:
        return None
    return made, _first_plan(folder, asked), len(log.events)


def _course(folder: Path, asked: Day, saved: Revision, plan: Plan) -> Course | None:
    """Give the plan that a day began with, and the day by the newest event, if any shot is made."""
    from sunsched.errors import SunschedError
    from sunsched.folder.log.log import read_log
    from sunsched.show.agenda import Course
    from sunsched.underway.state import day_so_far

    try:
        log = read_log(folder, asked)
        if log.state.last is None:
            return None
        at = max(event.at for event in log.events)
        so_far = day_so_far(asked, log.events, at=at, planned=saved.timetable)
    except SunschedError:
        return None  # the stamp says what is wrong with the log
    if so_far.past is None or not so_far.past.made:
        return None
    followed = plan if saved.past is None else _first_plan(folder, asked)
    return Course(followed=followed, so_far=so_far)


def _first_plan(folder: Path, asked: Day) -> Plan:
    from sunsched.saved.restore import plan_of_revision, revision_day
    from sunsched.saved.revisions import first_followed

    first = first_followed(folder)
    return plan_of_revision(revision_day(folder, asked, first), first).plan
