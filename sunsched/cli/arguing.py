"""Commands for arguing the day with somebody else: compare."""

from __future__ import annotations

from typing import Annotated

import typer

from sunsched.cli.app import app
from sunsched.cli.common import (
    DayArgument,
    Grid,
    JsonOption,
    LimitOption,
    found_plan,
    print_json,
    read_asked,
)


@app.command(epilog="Example: sunsched compare data/last-lamp monday.csv")
def compare(
    day: DayArgument,
    order: Annotated[
        str,
        typer.Argument(
            metavar="ORDER",
            help="A .csv or .xlsx with ids in order, or the number of a saved revision.",
        ),
    ],
    grid: Annotated[
        Grid, typer.Option("--grid", help="Minutes between two possible starts.")
    ] = Grid.FIVE,
    limit: LimitOption = None,
    as_json: JsonOption = False,
) -> None:
    """Put another order beside ours: light by shot, what the crew counts, and what would help."""
    from sunsched.change.compare import compare as compare_orders
    from sunsched.change.orders import read_order
    from sunsched.order.fit import fit_day
    from sunsched.show.comparing import comparison_record, comparison_text

    asked = read_asked(day).day
    reading = read_order(order, day, asked)
    for warning in reading.warnings:
        typer.echo(f"warning: {warning}", err=True)
    plan = found_plan(asked, int(grid), limit)
    found = compare_orders(fit_day(asked), plan, reading.order)
    if as_json:
        print_json(comparison_record(found, int(order) if order.isdecimal() else None))
    else:
        typer.echo(comparison_text(found))
