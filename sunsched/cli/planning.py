"""Commands that find the plan and hand it out: plan, sheet."""

from __future__ import annotations

import time
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.app import app
from sunsched.cli.common import (
    DayArgument,
    Grid,
    JsonOption,
    LimitOption,
    Paper,
    PictureOption,
    found_plan,
    json_text,
    kind_of,
    print_json,
    read_asked,
    solve_asked,
    write_pictures,
)

if TYPE_CHECKING:
    from sunsched.change.alternatives import Alternative


@app.command(epilog="Example: sunsched plan data/last-lamp --save")
def plan(
    day: DayArgument,
    save: Annotated[
        bool, typer.Option("--save", help="Keep the plan as the next file in plans/.")
    ] = False,
    grid: Annotated[
        Grid, typer.Option("--grid", help="Minutes between two possible starts.")
    ] = Grid.FIVE,
    limit: LimitOption = None,
    others: Annotated[
        int,
        typer.Option("--alternatives", min=0, max=20, metavar="N", help="Next best plans too."),
    ] = 0,
    picture: PictureOption = None,
    as_json: JsonOption = False,
) -> None:
    """Find the order that keeps the most light, with its times. Ctrl-C gives the best so far."""
    from sunsched.day.keeping import save_revision
    from sunsched.order.fit import fit_day
    from sunsched.show.record import plan_record
    from sunsched.show.terminal import plan_text

    if picture is not None:
        kind_of(picture, is_picture=True)
    asked = read_asked(day).day
    listed: tuple[Alternative, ...] = ()
    if others:
        from sunsched.change.alternatives import alternatives

        solved = solve_asked(asked, int(grid), limit)
        found, listed = solved.plan, alternatives(solved, others)
    else:
        found = found_plan(asked, int(grid), limit)
    revision = None
    if save:
        revision = save_revision(day, lambda number: json_text(plan_record(found, number)) + "\n")
        typer.echo(f"saved as revision {revision}", err=True)
    if picture is not None:
        from sunsched.show.day_chart import day_figure

        write_pictures(picture, [partial(day_figure, fit_day(asked), found)], "--picture")
    if as_json:
        from sunsched.show.price_record import alternative_records

        record = plan_record(found, revision)
        print_json({**record, "alternatives": alternative_records(listed)} if others else record)
        return
    typer.echo(plan_text(found))
    if others:
        from sunsched.show.pricing import alternatives_text

        typer.echo(f"\n{alternatives_text(listed)}")


@app.command(epilog="Example: sunsched sheet data/last-lamp last-lamp.pdf")
def sheet(
    day: DayArgument,
    file: Annotated[
        Path,
        typer.Argument(metavar="FILE", help="Ends with .pdf .png .svg .html .ics .csv or .xlsx."),
    ],
    paper: Annotated[
        Paper, typer.Option("--paper", help="The shape of pages and pictures.")
    ] = Paper.A4,
    grid: Annotated[
        Grid, typer.Option("--grid", help="Minutes between two possible starts.")
    ] = Grid.FIVE,
    limit: LimitOption = None,
) -> None:
    """Write one sheet of the plan, of the kind that the file's ending asks for."""
    from datetime import UTC, datetime

    from sunsched.order.fit import fit_day
    from sunsched.show.agenda import Sheet
    from sunsched.show.drawing import Shape
    from sunsched.show.sheet import write_sheet

    kind_of(file, is_picture=False)
    asked = read_asked(day).day
    found = found_plan(asked, int(grid), limit)
    made_at = datetime.fromtimestamp(time.time() // 60 * 60, UTC)
    made = Sheet(
        fit=fit_day(asked), plan=found, made_at=made_at, revision=None, paper=Shape(paper.value)
    )
    write_sheet(file, made)
    typer.echo(f"{file} written", err=True)
