"""The command that says what a decision costs: price."""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.aim import Aim, AimOption, aim_at
from sunsched.cli.shared.app import app
from sunsched.cli.shared.common import (
    DayArgument,
    Grid,
    JsonOption,
    LimitOption,
    PaperOption,
    PictureOption,
    SheetOption,
    read_asked,
    rest_asked,
    solve_asked,
    this_minute,
    warn_of_log,
)
from sunsched.cli.shared.out.answer import Out, draw_answer, print_answer
from sunsched.cli.shared.out.kept import keep_and_say, refuse_unkept
from sunsched.cli.shared.out.shape import shape_of
from sunsched.cli.shared.out.written import handing_out
from sunsched.cli.shared.saved_plan import stamp_of
from sunsched.cli.shared.wrong_use import choice_option
from sunsched.cli.terminal.interrupt import counted, ended_by_ctrl_c, looking, refuse_unasked
from sunsched.solver.machine.halt import is_end_asked

if TYPE_CHECKING:
    from sunsched.day.demand import Decision
    from sunsched.day.model import Day
    from sunsched.show.records.day import Record
    from sunsched.show.text.average_day.price import Rules, Wraps
    from sunsched.solver.solved import Solved
    from sunsched.whatif.price.cells import PriceTable

UNKNOWN = "what is not known has a `?`"
BOUNDS = "the price lies between two bounds where it is not known"


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
    call: Annotated[
        str | None, typer.Option("--call", metavar="HH:MM", help="The crew is called then.")
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
    keep: Annotated[
        bool, typer.Option("--keep", help="Make it a decision of the day, in decisions.csv.")
    ] = False,
    now: Annotated[
        str | None,
        typer.Option("--now", metavar="HH:MM", help="Price the rest of the day from then on."),
    ] = None,
    curve: Annotated[
        bool, typer.Option("--wrap-curve", help="Light against wrap, every 15 minutes.")
    ] = False,
    calls: Annotated[
        bool, typer.Option("--call-curve", help="Light against the call, every half-hour.")
    ] = False,
    aim: AimOption = Aim.AVERAGE,
    grid: Annotated[
        Grid, choice_option("--grid", Grid, "Minutes between two possible starts.")
    ] = Grid.FIVE,
    limit: LimitOption = None,
    picture: PictureOption = None,
    sheet: SheetOption = None,
    paper: PaperOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what a decision costs; without one, every shot at every half-hour and every rule."""
    from sunsched.whatif.price.request import Asked, read_decision

    asked = Asked(
        shots=shot or (),
        at=at or (),
        before=before or (),
        after=after or (),
        meal=meal,
        releases=release or (),
        wrap=wrap,
        call=call,
        cuts=cut or (),
        first=first,
        keep_orders=keep_order or (),
    )
    shape = shape_of(picture, paper, others=True)
    hand_out = handing_out(sheet, paper, picture)
    whole = read_asked(day, picture, sheet).day
    one, known = (whole, 0) if now is None else rest_asked(day, whole, now)
    if now is None:
        warn_of_log(day, "`--now HH:MM` does")
    decision = read_decision(one, asked)
    if keep:
        refuse_unkept(day, decision)
    if decision and curve:
        raise typer.BadParameter("it takes no decision beside it", param_hint="--wrap-curve")
    if calls and (decision or curve or sheet or aim is Aim.PLANNED):
        text = "it goes alone, for the average day; with --picture and --json at most"
        raise typer.BadParameter(text, param_hint="--call-curve")
    if decision and picture is not None:
        text = "it draws half-hours, --wrap-curve or --call-curve; --sheet hands out a decision"
        raise typer.BadParameter(text, param_hint="--picture")
    aim = aim_at(one, aim)
    solved = solve_asked(one, int(grid), limit, is_start=aim is Aim.AVERAGE)
    stamp = stamp_of(day, whole, this_minute(), known=known)
    out = Out(picture=picture, shape=shape, hand_out=hand_out, as_json=as_json, stamp=stamp)
    if calls:
        _show_calls(solved, limit, out)
        return
    show = _show_planned if aim is Aim.PLANNED else _show_average
    show(solved, decision, curve, limit, out)
    if keep and is_end_asked():
        refuse_unasked("not kept")
    if keep:
        keep_and_say(day, decision)


def _show_planned(
    solved: Solved, decision: Decision, curve: bool, limit_s: float | None, out: Out
) -> None:
    """Price a decision, all half-hours or all wraps if every minute holds."""
    from sunsched.show.records.price import curve_record, price_record, table_record

    day = solved.fit.day
    if decision:
        from sunsched.show.handouts.arguments import price_handout
        from sunsched.show.text.price import price_text
        from sunsched.whatif.price.price import price as price_of

        with looking(BOUNDS):
            found = price_of(solved, decision, limit_s=limit_s)
        out.hand_out(partial(price_handout, day, solved.plan, found), out.stamp)
        print_answer(
            out,
            price_record(day, solved.plan, found),
            partial(price_text, day, solved.plan, found),
        )
    elif curve:
        from sunsched.whatif.price.wrap import wrap_curve

        _show_curve(day, partial(wrap_curve, solved), curve_record, out)
    else:
        from sunsched.whatif.price.half_hours import price_table
        from sunsched.whatif.price.rules import rule_prices

        shots = partial(price_table, solved, processes=min(4, os.cpu_count() or 1))
        rules = partial(rule_prices, solved)
        _show_table(shots, rules, table_record, out)


def _show_average(
    solved: Solved, decision: Decision, curve: bool, limit_s: float | None, out: Out
) -> None:
    """Price a decision, all half-hours or all wraps on the average day."""
    from sunsched.average.plan import average_plan
    from sunsched.show.records.price_average import (
        average_curve_record,
        average_price_record,
        average_table_record,
    )
    from sunsched.whatif.price.price import refuse_impossible

    day = solved.fit.day
    if decision:
        from sunsched.show.handouts.arguments import average_price_handout
        from sunsched.show.text.average_day.price import average_price_text
        from sunsched.whatif.price_average.price import average_price

        refuse_impossible(solved, decision)  # at once, not after a search
        with looking(BOUNDS):
            best = average_plan(solved, limit_s=limit_s)
            found = average_price(solved, best, decision, limit_s=limit_s)
        out.hand_out(partial(average_price_handout, day, found), out.stamp)
        print_answer(
            out,
            average_price_record(day, found),
            partial(average_price_text, day, found),
        )
        return
    with looking(UNKNOWN):
        best = average_plan(solved, limit_s=limit_s)
    if curve:
        from sunsched.whatif.price_average.wrap import average_wrap_curve

        wraps = partial(average_wrap_curve, best)
        _show_curve(day, wraps, average_curve_record, out)
    else:
        from sunsched.whatif.price_average.half_hours import average_price_table
        from sunsched.whatif.price_average.rules import average_rule_prices

        shots = partial(average_price_table, best, threads=os.cpu_count() or 1)
        rules = partial(average_rule_prices, best)
        _show_table(shots, rules, average_table_record, out)


def _show_calls(solved: Solved, limit: float | None, out: Out) -> None:
    """Look at earlier and later calls on the average day."""
    from sunsched.average.plan import average_plan
    from sunsched.show.text.average_day.call import call_curve_record, call_curve_text
    from sunsched.whatif.price_average.call import average_call_curve

    day = solved.fit.day
    with looking():
        best = average_plan(solved, limit_s=limit)
    with (
        ended_by_ctrl_c("later calls are left out") as is_ended,
        counted("calls looked at") as progress,
    ):
        found = average_call_curve(best, progress=progress, is_ended=is_ended)
    if out.picture is not None:
        from sunsched.show.charts.prices.calls import call_figure

        draw_answer(out, day, partial(call_figure, day, found))
    print_answer(out, call_curve_record(day, found), partial(call_curve_text, day, found))


def _show_table(
    price_shots: Callable[..., PriceTable],
    price_rules: Callable[..., Rules],
    record_of: Callable[..., Record],
    out: Out,
) -> None:
    """Price all half-hours and all rules, and show them."""
    from sunsched.show.handouts.tables import price_table_handout
    from sunsched.show.text.average_day.price import rules_text
    from sunsched.show.text.price import table_text

    with ended_by_ctrl_c(UNKNOWN) as is_ended:
        with counted("shots priced") as progress:
            found = price_shots(progress=progress, is_ended=is_ended)
        with counted("rules priced") as progress:
            rules = price_rules(progress=progress, is_ended=is_ended)
    if out.picture is not None:
        from sunsched.show.charts.prices.half_hours import table_figure

        draw_answer(out, found.day, partial(table_figure, found))
    out.hand_out(partial(price_table_handout, found, rules), out.stamp)
    texts = (partial(table_text, found), partial(rules_text, rules))
    print_answer(out, record_of(found, rules), *texts)


def _show_curve(
    day: Day, price_wraps: Callable[..., Wraps], record_of: Callable[..., Record], out: Out
) -> None:
    """Price all wraps, and show them."""
    from sunsched.show.handouts.tables import curve_handout
    from sunsched.show.text.average_day.price import curve_text

    with (
        ended_by_ctrl_c("later wraps are left out") as is_ended,
        counted("wraps priced") as progress,
    ):
        found = price_wraps(progress=progress, is_ended=is_ended)
    if out.picture is not None:
        from sunsched.show.charts.prices.wraps import curve_figure

        draw_answer(out, day, partial(curve_figure, day, found))
    out.hand_out(partial(curve_handout, day, found), out.stamp)
    print_answer(out, record_of(day, found), partial(curve_text, day, found))
