"""The command that puts another order beside ours: compare."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.aim import Aim, AimOption, aim_at, plan_for
from sunsched.cli.shared.app import app, terminal_width
from sunsched.cli.shared.common import (
    DayArgument,
    Grid,
    JsonOption,
    LimitOption,
    PaperOption,
    PictureOption,
    SheetOption,
    print_json,
    read_asked,
    refuse_loss,
    this_minute,
    warn_of_log,
)
from sunsched.cli.shared.out.shape import shape_of
from sunsched.cli.shared.out.written import handing_out, write_pictures
from sunsched.cli.shared.saved_plan import stamp_of, stamp_without_plan
from sunsched.cli.shared.wrong_use import choice_option

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sunsched.day.model import Day
    from sunsched.show.stamp import Stamp
    from sunsched.whatif.orders.sides import Source


@app.command(epilog="Example: sunsched compare data/last-lamp monday.csv")
def compare(
    day: DayArgument,
    order: Annotated[
        str,
        typer.Argument(
            metavar="ORDER",
            help="A .csv, .xlsx or .ods with ids in order, or the number of a saved revision.",
        ),
    ],
    other: Annotated[
        str | None,
        typer.Argument(metavar="[ORDER]", help="Beside this one, not beside our plan."),
    ] = None,
    grid: Annotated[
        Grid, choice_option("--grid", Grid, "Minutes between two possible starts.")
    ] = Grid.FIVE,
    limit: LimitOption = None,
    aim: AimOption = Aim.AVERAGE,
    picture: PictureOption = None,
    sheet: SheetOption = None,
    paper: PaperOption = None,
    as_json: JsonOption = False,
) -> None:
    """Put another order beside ours: light by shot, what the crew counts, and what would help."""
    from sunsched.plan.plan import Plan
    from sunsched.show.handouts.arguments import comparison_handout
    from sunsched.show.text.comparison import comparison_record, comparison_text
    from sunsched.whatif.compare.compare import compare_source, compare_two
    from sunsched.whatif.orders.sides import put_side, read_source, source_of

    if other is not None and limit is not None:
        text = "nothing is solved where two orders are compared"
        raise typer.BadParameter(text, param_hint="--limit")
    hand_out = handing_out(sheet, paper, picture)
    shape = shape_of(picture, paper, others=True)
    asked = read_asked(day, picture, sheet).day
    refuse_loss([picture, sheet], (Path(one) for one in (order, other) if one is not None))
    sources = [read_source(one, day, asked) for one in (order, other) if one is not None]
    for source in sources:
        for warning in source.warnings:
            typer.echo(f"warning: {warning}", err=True)
    if other is None:
        warn_of_log(day)
        plan = plan_for(aim, asked, int(grid), limit)
        if isinstance(plan, Plan):
            found = compare_source(plan.fit, plan, sources[0])
        else:
            ours, theirs = (put_side(one, int(grid)) for one in (source_of(plan), sources[0]))
            found = compare_two(ours, theirs, int(grid), on_average=True)
    else:
        first, second = (put_side(source, int(grid)) for source in sources)
        is_average = aim_at(asked, aim) is Aim.AVERAGE
        found = compare_two(first, second, int(grid), on_average=is_average)
    stamp = _stamp(day, asked, sources, other is None)
    hand_out(partial(comparison_handout, found), stamp)
    if picture is not None:
        from sunsched.show.charts.orders.arguments import comparison_figure

        figures = [partial(comparison_figure, found, shape=shape)]
        write_pictures(picture, figures, "--picture", asked, stamp)
    if as_json:
        print_json(comparison_record(found))
    else:
        typer.echo(comparison_text(found, width=terminal_width()))


def _stamp(folder: Path, asked: Day, sources: Sequence[Source], has_ours: bool) -> Stamp:
    """Give what stands on a comparison: ours is a proposal; what two others are, its head says."""
    if has_ours:
        return stamp_of(folder, asked, this_minute())
    saved = [one.revision for one in sources if one.revision is not None]
    if not saved:
        return stamp_without_plan()
    newest = max(saved, key=lambda one: one.number)
    return replace(stamp_of(folder, asked, this_minute(), newest), has_plan=False)
