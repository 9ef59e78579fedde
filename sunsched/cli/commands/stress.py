"""The command that tries an order under overruns: stress."""

from __future__ import annotations

from functools import partial
from typing import Annotated

import typer

from sunsched.cli.shared.aim import Aim, AimOption, aim_at
from sunsched.cli.shared.app import app, terminal_width
from sunsched.cli.shared.common import (
    DayArgument,
    Grid,
    JsonOption,
    PictureOption,
    print_json,
    read_asked,
    solve_asked,
    this_minute,
)
from sunsched.cli.shared.out.shape import PicturePaperOption, shape_of
from sunsched.cli.shared.out.written import write_pictures
from sunsched.cli.shared.saved_plan import restored, stamp_of, stamp_without_plan
from sunsched.cli.shared.wrong_use import NO_LIMIT, whole_option
from sunsched.cli.terminal.interrupt import looking
from sunsched.errors import SunschedError
from sunsched.solver.machine.halt import is_end_asked


@app.command(epilog="Example: sunsched stress data/last-lamp --safest")
def stress(
    day: DayArgument,
    order: Annotated[
        str | None,
        typer.Option(
            "--order",
            metavar="ORDER",
            help="A .csv, .xlsx or .ods with ids in order, or the number of a saved revision; "
            "else the newest revision, or the plan where none is saved.",
        ),
    ] = None,
    days: Annotated[int, whole_option("--days", 1, 100_000, "N", "Days to draw,")] = 10_000,
    seed: Annotated[int, whole_option("--seed", 0, NO_LIMIT, "N", "The seed of the draws,")] = 1,
    safest: Annotated[
        bool,
        typer.Option("--safest", help="Look for the order that keeps the most light on bad days."),
    ] = False,
    aim: AimOption = Aim.AVERAGE,
    picture: PictureOption = None,
    paper: PicturePaperOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say how well an order copes with work that takes longer: each shot's chances, the day."""
    from sunsched.average.plan import average_plan
    from sunsched.saved.numbers import revision_numbers
    from sunsched.show.records.stress import safest_record, stress_record
    from sunsched.show.text.stress import safest_text, stress_text
    from sunsched.whatif.orders.sides import put_side, read_source
    from sunsched.whatif.stress.safest import safest as find_safest
    from sunsched.whatif.stress.stress import stress as stress_order
    from sunsched.whatif.stress.stress import stress_average

    shape = shape_of(picture, paper)
    asked = read_asked(day, picture).day
    saved = revision_numbers(day)
    if order is None and saved:
        order = str(saved[-1])
    revision, solved, average = None, None, None
    if order is None:
        aim = aim_at(asked, aim)
        solved = solve_asked(asked, int(Grid.FIVE), None, is_start=aim is Aim.AVERAGE)
        fit, timetable = solved.fit, solved.plan.timetable
        name = "the plan" if solved.plan.status == "proven" else "the plan, which is not proven"
        if aim is Aim.AVERAGE:
            with looking():
                average = average_plan(solved)
            timetable, name = average.likely.timetable, "the plan for the average day"
    else:
        source = read_source(order, day, asked)
        for warning in source.warnings:
            typer.echo(f"warning: {warning}", err=True)
        revision, name = source.revision, source.name
        if revision is not None and revision.average is not None:
            average = restored(day, asked, revision).average
        side = put_side(source, int(Grid.FIVE))
        fit, timetable = side.fit, side.clocked.timetable
    if not timetable.rolls:
        raise SunschedError(f"{name} has no shots, so nothing in it can run over")
    if average is not None and average.likely.timetable.rolls:
        found = stress_average(average, days=days, seed=seed)
    else:
        found = stress_order(fit, timetable, days=days, seed=seed)
    others = None
    if safest and not is_end_asked():
        if solved is None:
            solved = solve_asked(fit.day, int(Grid.FIVE), None, is_start=True)
        if order is not None or average is None:
            with looking():
                plan = average_plan(solved)
        else:
            plan = average
        if not plan.likely.timetable.rolls:
            raise SunschedError("no shot is likely to be made, so no order is safer than another")
        if not is_end_asked():
            asked_too = None if order is None else found
            others = find_safest(solved, plan, order=asked_too, days=days, seed=seed)
    if safest and others is None:  # it would take as long as all before
        typer.echo("the safest order is not looked for, because it was ended early", err=True)
    if picture is not None:
        from sunsched.show.charts.stress import stress_figure

        if order is not None and revision is None:
            stamp = stamp_without_plan()  # of somebody's table
        else:
            stamp = stamp_of(day, asked, this_minute(), revision)
        figures = [partial(stress_figure, found, shape=shape)]
        write_pictures(picture, figures, "--picture", asked, stamp)
    if as_json:
        record = stress_record(found, None if revision is None else revision.number)
        print_json(record if others is None else {**record, "safest": safest_record(others)})
        return
    typer.echo(stress_text(found, name, width=terminal_width()))
    if others is not None:
        typer.echo(f"\n{safest_text(others, name, width=terminal_width())}")
