"""The command that finds the plan: plan."""

from __future__ import annotations

from enum import StrEnum
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.app import app
from sunsched.cli.shared.common import (
    DayArgument,
    Grid,
    HandOut,
    JsonOption,
    LimitOption,
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
from sunsched.cli.shared.interrupt import ended_by_ctrl_c
from sunsched.cli.shared.saved_plan import RevisionOption, restored, used_options

if TYPE_CHECKING:
    from collections.abc import Callable

    from sunsched.day.model import Day
    from sunsched.plan.plan import Plan
    from sunsched.whatif.price.alternatives import Alternative


class Aim(StrEnum):
    """The day that an order is looked for."""

    PLANNED = "planned"
    AVERAGE = "average"


@app.command(epilog="Example: sunsched plan data/last-lamp --save")
def plan(
    context: typer.Context,
    day: DayArgument,
    save: Annotated[
        bool, typer.Option("--save", help="Keep the plan as the next file in plans/.")
    ] = False,
    revision: RevisionOption = None,
    aim: Annotated[
        Aim,
        typer.Option(
            "--for",
            help="Planned minutes, or the average day: work takes longer and shorter by chance.",
        ),
    ] = Aim.PLANNED,
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
        used = used_options(
            context, "save", "aim", "grid", "limit", "certify", "others", "sheet", "paper"
        )
        if used:
            text = f"{used} is for a new plan, and this shows one that is saved"
            raise typer.BadParameter(text, param_hint="--revision")
        _show_revision(day, revision, picture, as_json)
        return
    if aim is Aim.AVERAGE:
        used = used_options(context, "save", "certify", "others", "sheet", "paper")
        if used:
            raise typer.BadParameter(f"{used} is for planned minutes", param_hint="--for")
        _show_average(day, int(grid), limit, picture, as_json)
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

        write_pictures(picture, [partial(day_figure, found.fit, found)], "--picture")
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


def _show_average(
    folder: Path, grid_min: int, limit_s: float | None, picture: Path | None, as_json: bool
) -> None:
    """Find the order for the average day and show it."""
    from sunsched.average.plan import average_plan
    from sunsched.average.solve import is_certain
    from sunsched.errors import SunschedError
    from sunsched.show.records.average import average_record
    from sunsched.show.text.average import average_text, picture_text

    asked = read_asked(folder, picture).day
    warn_of_log(folder)
    if is_certain(asked):
        raise SunschedError(
            "by `[overrun.<size>]` all work takes its planned minutes: `--for planned` is this "
            "day's plan, and proves it"
        )
    solved = solve_asked(asked, grid_min, limit_s)
    found = average_plan(solved, limit_s=limit_s)
    if picture is not None:
        from sunsched.show.charts.day import day_figure

        likely, verdict = found.likely, picture_text(found)
        drawn = partial(day_figure, likely.fit, likely, verdict=verdict)
        write_pictures(picture, [drawn], "--picture")
    if as_json:
        print_json(average_record(found))
    else:
        typer.echo(average_text(found))


def _show_revision(folder: Path, number: int, picture: Path | None, as_json: bool) -> None:
    """Show a plan that is saved."""
    from sunsched.saved.revisions import read_revision
    from sunsched.show.records.day import revision_record
    from sunsched.show.text.comparison import revision_text
    from sunsched.show.text.day import plan_text

    saved = read_revision(folder, number)
    found = restored(folder, read_asked(folder, picture).day, saved)
    if picture is not None:
        from sunsched.show.charts.day import day_figure

        write_pictures(picture, [partial(day_figure, found.plan.fit, found.plan)], "--picture")
    if as_json:
        print_json(revision_record(found.plan, number, saved.made_at, saved.past))
    else:
        typer.echo(plan_text(found.plan))
        typer.echo(f"\n{revision_text(found.plan.day, number, saved.made_at)}")
