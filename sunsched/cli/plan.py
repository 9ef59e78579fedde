"""Commands that find the plan and hand it out: plan, sheet."""

from __future__ import annotations

from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.app import app
from sunsched.cli.common import (
    DayArgument,
    Grid,
    HandOut,
    JsonOption,
    LimitOption,
    Paper,
    PaperOption,
    PictureOption,
    SheetOption,
    certified_by_checker,
    found_plan,
    handing_out,
    json_text,
    kind_of,
    print_json,
    read_asked,
    solve_asked,
    this_minute,
    warn_of_log,
    write_pictures,
)
from sunsched.cli.interrupt import ended_by_ctrl_c
from sunsched.cli.render_process import drawn_beside

if TYPE_CHECKING:
    from collections.abc import Callable

    from sunsched.day.model import Day
    from sunsched.plan.plan import Plan
    from sunsched.saved.restore import Restored
    from sunsched.saved.revisions import Revision
    from sunsched.show.agenda import Sheet
    from sunsched.show.paper_size import Shape
    from sunsched.whatif.price.alternatives import Alternative

RevisionOption = Annotated[
    int | None,
    typer.Option("--revision", min=1, metavar="N", help="A saved plan instead of a new one."),
]


@app.command(epilog="Example: sunsched plan data/last-lamp --save")
def plan(
    context: typer.Context,
    day: DayArgument,
    save: Annotated[
        bool, typer.Option("--save", help="Keep the plan as the next file in plans/.")
    ] = False,
    revision: RevisionOption = None,
    grid: Annotated[
        Grid, typer.Option("--grid", help="Minutes between two possible starts.")
    ] = Grid.FIVE,
    limit: LimitOption = None,
    certify: Annotated[
        bool,
        typer.Option("--certify", help="Check the proof by a second, slow way: may take minutes."),
    ] = False,
    others: Annotated[
        int,
        typer.Option("--alternatives", min=0, max=20, metavar="N", help="Next best plans too."),
    ] = 0,
    picture: PictureOption = None,
    sheet: SheetOption = None,
    paper: PaperOption = None,
    as_json: JsonOption = False,
) -> None:
    """Find the order that keeps the most light, with its times. Ctrl-C gives the best so far."""
    if picture is not None:
        kind_of(picture, "--picture")
    if revision is not None:
        used = _used(context, "save", "grid", "limit", "certify", "others", "sheet", "paper")
        if used:
            text = f"{used} is for a new plan, and this shows one that is saved"
            raise typer.BadParameter(text, param_hint="--revision")
        _show_revision(day, revision, picture, as_json)
        return
    if sheet is not None and not others:
        text = "it is for --alternatives; `sunsched sheet` writes one of the plan alone"
        raise typer.BadParameter(text, param_hint="--sheet")
    if certify and others:
        raise typer.BadParameter("it is for the plan alone", param_hint="--certify")
    hand_out = handing_out(sheet, paper)
    asked = read_asked(day, picture, sheet).day
    warn_of_log(day)
    find = certified_by_checker if certify else found_plan
    folder = day if save else None
    _show_new(asked, folder, int(grid), limit, find, others, picture, hand_out, as_json)


def _show_new(
    asked: Day,
    folder: Path | None,
    grid_min: int,
    limit_s: float | None,
    find: Callable[[Day, int, float | None], Plan],
    others: int,
    picture: Path | None,
    hand_out: HandOut,
    as_json: bool,
) -> None:
    """Find a plan and show it; `folder` is where it is saved, None for nowhere."""
    from sunsched.folder.store.write import save_revision
    from sunsched.light.fit import fit_day
    from sunsched.show.records.day import plan_record, revision_record
    from sunsched.show.text.day import plan_text

    listed: tuple[Alternative, ...] = ()
    if others:
        from sunsched.whatif.price.alternatives import alternatives

        solved = solve_asked(asked, grid_min, limit_s)
        with ended_by_ctrl_c("there may be more alternatives") as is_ended:
            found, listed = solved.plan, alternatives(solved, others, is_ended=is_ended)
    else:
        found = find(asked, grid_min, limit_s)
    record = plan_record(found)
    if folder is not None:
        made_at = this_minute()
        number = save_revision(
            folder, lambda own: json_text(revision_record(found, own, made_at)) + "\n"
        )
        record = revision_record(found, number, made_at)
        typer.echo(f"saved as revision {number}", err=True)
    if picture is not None:
        from sunsched.show.charts.day import day_figure

        write_pictures(picture, [partial(day_figure, fit_day(asked), found)], "--picture")
    if others:
        from sunsched.show.handouts.arguments import alternatives_handout

        hand_out(partial(alternatives_handout, found, listed))
    if as_json:
        from sunsched.show.records.price import alternative_records

        print_json({**record, "alternatives": alternative_records(listed)} if others else record)
        return
    typer.echo(plan_text(found))
    if others:
        from sunsched.show.text.price import alternatives_text

        typer.echo(f"\n{alternatives_text(listed)}")


def _show_revision(folder: Path, number: int, picture: Path | None, as_json: bool) -> None:
    """Show a plan that is saved."""
    from sunsched.saved.revisions import read_revision
    from sunsched.show.records.day import revision_record
    from sunsched.show.text.comparison import revision_text
    from sunsched.show.text.day import plan_text

    saved = read_revision(folder, number)
    found = _restored(folder, read_asked(folder, picture).day, saved)
    if picture is not None:
        from sunsched.show.charts.day import day_figure

        write_pictures(picture, [partial(day_figure, found.fit, found.plan)], "--picture")
    if as_json:
        print_json(revision_record(found.plan, number, saved.made_at, saved.past))
    else:
        typer.echo(plan_text(found.plan))
        typer.echo(f"\n{revision_text(found.plan.day, number, saved.made_at)}")


@app.command(epilog="Example: sunsched sheet data/last-lamp last-lamp.pdf")
def sheet(
    context: typer.Context,
    day: DayArgument,
    file: Annotated[
        Path,
        typer.Argument(metavar="FILE", help="Ends with .pdf .png .svg .html .ics .csv or .xlsx."),
    ],
    paper: Annotated[
        Paper, typer.Option("--paper", help="The shape of pages and pictures.")
    ] = Paper.A4,
    revision: Annotated[
        int | None,
        typer.Option("--revision", min=1, metavar="N", help="Another than the newest saved plan."),
    ] = None,
    grid: Annotated[
        Grid, typer.Option("--grid", help="Minutes between two possible starts.")
    ] = Grid.FIVE,
    limit: LimitOption = None,
) -> None:
    """Write one sheet of the newest saved plan, or of a new one where none is saved."""
    from sunsched.folder.store.write import write_whole
    from sunsched.saved.revisions import newest_revision, read_revision
    from sunsched.show.paper_size import Shape

    kind = kind_of(file, "FILE")
    _refuse_paper(context, kind, paper)
    with drawn_beside(kind) as drawn:
        asked = read_asked(day, file).day
        saved = newest_revision(day) if revision is None else read_revision(day, revision)
        if saved is None:
            made = _new_sheet(asked, Shape(paper.value), int(grid), limit)
        else:
            used = _used(context, "grid", "limit")
            if used:
                text = f"it is for a new plan, and the sheet is of revision {saved.number}"
                raise typer.BadParameter(text, param_hint=used)
            news = _news(day, asked, saved)
            made = _saved_sheet(_restored(day, asked, saved), Shape(paper.value), saved, news)
        write_whole(file, drawn(made))
    typer.echo(f"{file} written", err=True)


def _refuse_paper(context: typer.Context, kind: str, paper: Paper) -> None:
    """Refuse a paper that a kind of sheet has no use for."""
    if kind == "pdf" and paper is Paper.PHONE:
        text = "a .pdf is printed on a4 or letter; a phone reads .html or .png"
        raise typer.BadParameter(text, param_hint="--paper")
    if kind not in ("pdf", "png", "svg") and _used(context, "paper"):
        raise typer.BadParameter(f"a .{kind} is the same on every paper", param_hint="--paper")


def _new_sheet(asked: Day, shape: Shape, grid_min: int, limit_s: float | None) -> Sheet:
    from sunsched.light.fit import fit_day
    from sunsched.show.agenda import Sheet

    found = found_plan(asked, grid_min, limit_s)
    return Sheet(fit=fit_day(asked), plan=found, made_at=this_minute(), revision=None, paper=shape)


def _saved_sheet(found: Restored, shape: Shape, saved: Revision, news: int) -> Sheet:
    from sunsched.show.agenda import Sheet

    return Sheet(
        fit=found.fit,
        plan=found.plan,
        made_at=saved.made_at or this_minute(),
        revision=saved.number,
        paper=shape,
        news=news,
    )


def _restored(folder: Path, asked: Day, saved: Revision) -> Restored:
    """Make a saved plan a plan again, and say on stderr what is not as it was saved."""
    from sunsched.saved.restore import plan_of_revision, revision_day

    found = plan_of_revision(revision_day(folder, asked, saved), saved)
    for change in found.changes:
        text = f"the day has changed since revision {saved.number} was saved: {change}"
        typer.echo(f"warning: {text}", err=True)
    news = _news(folder, asked, saved)
    if news:
        events = "an event" if news == 1 else f"{news} events"
        text = f"the log has {events} that revision {saved.number} does not know"
        typer.echo(f"warning: {text}; `sunsched replan` plans the rest anew", err=True)
    return found


def _news(folder: Path, asked: Day, saved: Revision) -> int:
    """Count the events of the log that a plan does not know, if it is the newest."""
    from sunsched.errors import FolderError
    from sunsched.folder.log.log import read_log
    from sunsched.saved.revisions import revision_numbers

    # A damaged log is told where it is read for more than this.
    with suppress(FolderError):
        if saved.number == revision_numbers(folder)[-1]:
            known = 0 if saved.past is None else saved.past.events
            return len(read_log(folder, asked).events) - known
    return 0


def _used(context: typer.Context, *names: str) -> str:
    """Give the first of these options that was written on the command line, empty for none."""
    options = {one.name: one.opts[0] for one in context.command.params}
    for name in names:
        source = context.get_parameter_source(name)
        if source is not None and source.name == "COMMANDLINE":
            return options[name]
    return ""
