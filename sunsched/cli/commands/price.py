"""The command that says what a decision costs: price."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
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
    handing_out,
    kind_of,
    print_json,
    read_asked,
    rest_asked,
    solve_asked,
    warn_of_log,
    write_pictures,
)
from sunsched.cli.shared.interrupt import ended_by_ctrl_c

if TYPE_CHECKING:
    from sunsched.solver.search.progress import Counted
    from sunsched.solver.solved import Solved


@app.command(epilog="Example: sunsched price data/last-lamp --shot 7 --at 13:00")
def price(
    day: DayArgument,
    shot: Annotated[
        list[str] | None,
        typer.Option("--shot", metavar="ID", help="The shot of --at, --before, --after."),
    ] = None,
    at: Annotated[
        list[str] | None, typer.Option("--at", metavar="HH:MM", help="The shot rolls at that time.")
    ] = None,
    before: Annotated[
        list[str] | None, typer.Option("--before", metavar="HH:MM", help="Its roll ends by then.")
    ] = None,
    after: Annotated[
        list[str] | None, typer.Option("--after", metavar="HH:MM", help="It rolls then or later.")
    ] = None,
    meal: Annotated[
        str | None, typer.Option("--meal", metavar="HH:MM", help="The meal starts then.")
    ] = None,
    release: Annotated[
        list[str] | None,
        typer.Option("--release", metavar="NAME=HH:MM", help="A cast member leaves then."),
    ] = None,
    wrap: Annotated[
        str | None, typer.Option("--wrap", metavar="HH:MM", help="Nothing rolls past it.")
    ] = None,
    cut: Annotated[
        list[str] | None, typer.Option("--cut", metavar="ID", help="This shot is not made.")
    ] = None,
    first: Annotated[
        str | None, typer.Option("--first", metavar="ID", help="This shot comes first.")
    ] = None,
    keep_order: Annotated[
        list[str] | None,
        typer.Option("--keep-order", metavar="A,B,C", help="These shots stay in this order."),
    ] = None,
    now: Annotated[
        str | None,
        typer.Option("--now", metavar="HH:MM", help="Price the rest of the day from then on."),
    ] = None,
    curve: Annotated[
        bool, typer.Option("--wrap-curve", help="Light against wrap, every 15 minutes.")
    ] = False,
    grid: Annotated[
        Grid, typer.Option("--grid", help="Minutes between two possible starts.")
    ] = Grid.FIVE,
    limit: LimitOption = None,
    picture: PictureOption = None,
    sheet: SheetOption = None,
    paper: PaperOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what a decision costs; without one, every shot at every half-hour and every rule."""
    from sunsched.show.handouts.arguments import price_handout
    from sunsched.show.records.price import price_record
    from sunsched.show.text.price import price_text
    from sunsched.whatif.price.price import price as price_of
    from sunsched.whatif.price.request import Asked, read_decision

    asked = Asked(
        shots=shot or (),
        at=at or (),
        before=before or (),
        after=after or (),
        meal=meal,
        releases=release or (),
        wrap=wrap,
        cuts=cut or (),
        first=first,
        keep_orders=keep_order or (),
    )
    if picture is not None:
        kind_of(picture, "--picture")
    hand_out = handing_out(sheet, paper)
    one = read_asked(day, picture, sheet).day
    if now is None:
        warn_of_log(day, "`--now HH:MM` does")
    else:
        one = rest_asked(day, one, now)
    decision = read_decision(one, asked)
    if decision and curve:
        raise typer.BadParameter("it takes no decision beside it", param_hint="--wrap-curve")
    if decision and picture is not None:
        text = "it draws all half-hours, or wraps with --wrap-curve; --sheet hands out a decision"
        raise typer.BadParameter(text, param_hint="--picture")
    solved = solve_asked(one, int(grid), limit)
    if curve:
        _print_curve(solved, picture, hand_out, as_json)
    elif not decision:
        _print_table(solved, picture, hand_out, as_json)
    else:
        found = price_of(solved, decision, limit_s=limit)
        hand_out(partial(price_handout, one, solved.plan, found))
        if as_json:
            print_json(price_record(one, found))
        else:
            typer.echo(price_text(one, solved.plan, found))


def _print_table(solved: Solved, picture: Path | None, hand_out: HandOut, as_json: bool) -> None:
    from sunsched.show.handouts.tables import price_table_handout
    from sunsched.show.records.price import table_record
    from sunsched.show.text.price import rules_text, table_text
    from sunsched.whatif.price.half_hours import price_table
    from sunsched.whatif.price.rules import rule_prices

    with ended_by_ctrl_c("what is not known has a `?`") as is_ended:
        with counted("shots priced") as progress:
            several = min(4, os.cpu_count() or 1)
            found = price_table(solved, processes=several, progress=progress, is_ended=is_ended)
        with counted("rules priced") as progress:
            rules = rule_prices(solved, progress=progress, is_ended=is_ended)
    if picture is not None:
        from sunsched.show.charts.price import table_figure

        write_pictures(picture, [partial(table_figure, found)], "--picture")
    hand_out(partial(price_table_handout, found, rules))
    if as_json:
        print_json(table_record(found, rules))
    else:
        typer.echo(f"{table_text(found)}\n\n{rules_text(rules)}")


def _print_curve(solved: Solved, picture: Path | None, hand_out: HandOut, as_json: bool) -> None:
    from sunsched.show.handouts.tables import curve_handout
    from sunsched.show.records.price import curve_record
    from sunsched.show.text.price import curve_text
    from sunsched.whatif.price.wrap import wrap_curve

    one = solved.fit.day
    with (
        ended_by_ctrl_c("later wraps are left out") as is_ended,
        counted("wraps priced") as progress,
    ):
        found = wrap_curve(solved, progress=progress, is_ended=is_ended)
    if picture is not None:
        from sunsched.show.charts.price import curve_figure

        write_pictures(picture, [partial(curve_figure, one, found)], "--picture")
    hand_out(partial(curve_handout, one, found))
    if as_json:
        print_json(curve_record(one, found))
    else:
        typer.echo(curve_text(one, found))


@contextmanager
def counted(what: str) -> Iterator[Callable[[Counted], None] | None]:
    """Give the function to which long work tells its progress; None where no terminal shows it."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda now: bar.update(task, completed=now.done, total=now.whole)
