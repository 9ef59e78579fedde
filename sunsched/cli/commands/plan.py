"""The command that finds the plan: plan."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.aim import Aim, AimOption, aim_at, plan_for, solved_on_average
from sunsched.cli.shared.app import app, terminal_width
from sunsched.cli.shared.common import (
    DayArgument,
    Grid,
    JsonOption,
    LimitOption,
    PaperOption,
    PictureOption,
    SheetOption,
    certified_by_checker,
    print_json,
    read_asked,
    solve_asked,
    this_minute,
    warn_of_log,
)
from sunsched.cli.shared.import_file import import_file, is_list
from sunsched.cli.shared.out.shape import shape_of
from sunsched.cli.shared.out.written import HandOut, handing_out, kind_of, write_pictures
from sunsched.cli.shared.saved_plan import RevisionOption, restored, stamp_of, used_options
from sunsched.cli.shared.wrong_use import choice_option, refuse, whole_option
from sunsched.cli.terminal.interrupt import ended_by_ctrl_c, refuse_unasked, unbroken
from sunsched.solver.machine.halt import is_end_asked

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sunsched.average.plan import AveragePlan
    from sunsched.day.model import Day
    from sunsched.plan.plan import Plan
    from sunsched.show.paper_size import Shape
    from sunsched.show.records.day import Record
    from sunsched.show.stamp import Stamp
    from sunsched.whatif.alternatives.alternatives import Alternative


@app.command(epilog="Example: sunsched plan data/last-lamp --save")
def plan(
    context: typer.Context,
    day: DayArgument,
    save: Annotated[
        bool, typer.Option("--save", help="Keep the plan as the next file in plans/.")
    ] = False,
    revision: RevisionOption = None,
    aim: AimOption = Aim.AVERAGE,
    grid: Annotated[
        Grid, choice_option("--grid", Grid, "Minutes between two possible starts.")
    ] = Grid.FIVE,
    limit: LimitOption = None,
    certify: Annotated[
        bool,
        typer.Option("--certify", help="Check the proof by a second, slow way: may take minutes."),
    ] = False,
    others: Annotated[
        int,
        whole_option("--alternatives", 0, 20, "N", "Other plans too that differ,"),
    ] = 0,
    picture: PictureOption = None,
    people: Annotated[
        bool, typer.Option("--people", help="--picture draws who waits when, not the day.")
    ] = False,
    sheet: SheetOption = None,
    paper: PaperOption = None,
    at: Annotated[
        str | None, typer.Option("--at", metavar="PLACE", help="Of a list: where its day is.")
    ] = None,
    date: Annotated[
        str | None, typer.Option("--date", metavar="YYYY-MM-DD", help="Of a list: when it is.")
    ] = None,
    as_json: JsonOption = False,
) -> None:
    """Find the order that keeps the most light, with its times. Ctrl-C gives the best so far.

    Given a shot list instead of a day folder, with its place and date, makes the folder first.
    """
    shape = shape_of(picture, paper, others=True)
    if people and (picture is None or others):
        text = "it is for the --picture of a plan alone"
        raise typer.BadParameter(text, param_hint="--people")
    draw = partial(_draw, picture, people, shape, day)
    if revision is not None:
        used = used_options(context, "save", "aim", "grid", "limit", "certify", "others", "sheet")
        if used:
            text = f"{used} is for a new plan, and this shows one that is saved"
            raise typer.BadParameter(text, param_hint="--revision")
        _show_revision(day, revision, picture, draw, as_json)
        return
    _refuse_aim(context, aim)
    if sheet is not None and not others:
        text = "it is for --alternatives; `sunsched sheet` writes one of the plan alone"
        raise typer.BadParameter(text, param_hint="--sheet")
    if certify and others:
        raise typer.BadParameter("it is for the plan alone", param_hint="--certify")
    hand_out = handing_out(sheet, paper, picture)
    if is_list(day):
        day = import_file(day, None, at, date, replace=False, is_told=True)
    elif (at is not None or date is not None) and not day.exists():
        expected = "a shot list, such as our-list.xlsx"
        refuse("DAY", "no such file or folder", str(day), expected=expected)
    elif at is not None or date is not None:
        text = "they are for a shot list; a day folder has its place and date in day.toml"
        raise typer.BadParameter(text, param_hint="--at, --date")
    asked = read_asked(day, picture, sheet).day
    warn_of_log(day)
    if others:
        drawn = (picture, shape)
        known = _with_alternatives(aim_at(asked, aim), asked, int(grid), limit, others)
        _show_alternatives(asked, day, save, *known, drawn, hand_out, as_json)
        if save and is_end_asked():
            refuse_unasked("not saved")
        return
    find = certified_by_checker if certify else partial(plan_for, aim)
    found = find(asked, int(grid), limit)
    is_kept = save and not is_end_asked()
    record = _saved(day if is_kept else None, found) if as_json or save else {}
    draw(found, asked, _number(record))
    if as_json:
        print_json(record)
    else:
        typer.echo(_text(found))
    if save and not is_kept:
        refuse_unasked("not saved")


def _refuse_aim(context: typer.Context, aim: Aim) -> None:
    """Refuse what only the exact plan for planned minutes has."""
    used = used_options(context, "certify")
    if aim is Aim.AVERAGE and used:
        text = f"{used} is for planned minutes: add `--for planned`"
        raise typer.BadParameter(text, param_hint="--for")


def _with_alternatives(
    aim: Aim, asked: Day, grid_min: int, limit_s: float | None, count: int
) -> tuple[Plan | AveragePlan, Sequence[Alternative]]:
    """Find the best plan for an aim, and others that differ."""
    may_be_more = "there may be more alternatives"
    if aim is Aim.PLANNED:
        from sunsched.whatif.alternatives.alternatives import alternatives

        solved = solve_asked(asked, grid_min, limit_s)
        with ended_by_ctrl_c(may_be_more) as is_ended:
            return solved.plan, alternatives(solved, count, is_ended=is_ended)
    from sunsched.whatif.alternatives.average import average_alternatives

    solved, best = solved_on_average(asked, grid_min, limit_s)
    with ended_by_ctrl_c(may_be_more) as is_ended:
        return best, average_alternatives(solved, best, count, is_ended=is_ended)


def _show_alternatives(
    asked: Day,
    folder: Path,
    save: bool,
    found: Plan | AveragePlan,
    listed: Sequence[Alternative],
    drawn: tuple[Path | None, Shape],
    hand_out: HandOut,
    as_json: bool,
) -> None:
    """Show the best plan and others that differ."""
    from sunsched.show.handouts.alternatives import alternatives_handout
    from sunsched.show.records.price import alternative_records
    from sunsched.show.text.price import alternatives_text

    record = _saved(folder if save and not is_end_asked() else None, found)
    _draw_alternatives(*drawn, found, listed, folder, asked, _number(record))
    stamp = stamp_of(folder, asked, this_minute())
    hand_out(partial(alternatives_handout, found, listed), stamp)
    if as_json:
        print_json({**record, "alternatives": alternative_records(listed)})
    else:
        typer.echo(f"{_text(found)}\n\n{alternatives_text(listed, terminal_width())}")


def _show_revision(
    folder: Path, number: int, picture: Path | None, draw: partial[None], as_json: bool
) -> None:
    """Show a plan that is saved."""
    from sunsched.saved.revisions import read_revision
    from sunsched.show.records.saved import revision_record
    from sunsched.show.text.headlines.sides import revision_text

    saved = read_revision(folder, number)
    asked = read_asked(folder, picture).day
    again = restored(folder, asked, saved)
    found = again.average or again.plan
    draw(found, asked, number)
    if as_json:
        print_json(revision_record(found, number, saved.made_at, saved.past))
    else:
        typer.echo(f"{_text(found)}\n\n{revision_text(found.day, number, saved.made_at)}")


def _saved(folder: Path | None, found: Plan | AveragePlan) -> Record:
    """Give the record of a plan; `folder` is where it is saved, None for nowhere."""
    from sunsched.plan.plan import Plan
    from sunsched.show.records.average import average_record
    from sunsched.show.records.day import plan_record
    from sunsched.show.records.saved import revision_record, save_plan

    if folder is None:
        return plan_record(found) if isinstance(found, Plan) else average_record(found)
    made_at = this_minute()
    with unbroken():
        number = save_plan(folder, found, made_at=made_at)
        typer.echo(f"saved as revision {number}", err=True)
    return revision_record(found, number, made_at)


def _number(record: Record) -> int | None:
    """Give the number under which a plan was just saved; None for a proposal."""
    number = record.get("revision")
    return number if isinstance(number, int) else None


def _draw(
    picture: Path | None,
    people: bool,
    shape: Shape,
    folder: Path,
    found: Plan | AveragePlan,
    asked: Day,
    number: int | None,
) -> None:
    """Draw a plan; `number` is that under which it is saved, None for a proposal."""
    from sunsched.plan.plan import Plan

    if picture is None:
        return
    from sunsched.show.charts.day import day_parts
    from sunsched.show.charts.orders.people import people_figure

    shown = found if isinstance(found, Plan) else found.likely
    figures = day_parts(shown.fit, shown, kind_of(picture, "--picture"), shape)
    if people:
        figures = [partial(people_figure, shown, shape=shape)]
    write_pictures(picture, figures, "--picture", asked, _stamp(folder, asked, shown, number))


def _stamp(folder: Path, asked: Day, shown: Plan, number: int | None) -> Stamp:
    """Give what stands on a picture of a plan."""
    from sunsched.saved.restore import Restored
    from sunsched.saved.revisions import read_revision

    saved = None if number is None else read_revision(folder, number)
    again = Restored(plan=shown, changes=())
    return stamp_of(folder, asked, this_minute(), saved, found=again)


def _draw_alternatives(
    picture: Path | None,
    shape: Shape,
    best: Plan | AveragePlan,
    found: Sequence[Alternative],
    folder: Path,
    asked: Day,
    number: int | None,
) -> None:
    """Draw the best plan over each of the next best; a .pdf has the day before them."""
    if picture is None:
        return
    from sunsched.plan.plan import Plan
    from sunsched.show.charts.day import day_parts
    from sunsched.show.charts.orders.arguments import alternatives_pages

    kind = kind_of(picture, "--picture")
    plan = best if isinstance(best, Plan) else best.likely
    figures = alternatives_pages(best, found, shape=shape, is_paged=kind == "pdf")
    if kind == "pdf" or not figures:
        figures = [*day_parts(plan.fit, plan, kind, shape), *figures]
    write_pictures(picture, figures, "--picture", asked, _stamp(folder, asked, plan, number))


def _text(found: Plan | AveragePlan) -> str:
    from sunsched.plan.plan import Plan
    from sunsched.show.text.average_day.plan import average_text
    from sunsched.show.text.day import plan_text

    width = terminal_width()
    return plan_text(found, width) if isinstance(found, Plan) else average_text(found, width)
