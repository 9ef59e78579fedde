"""Commands for the day itself: log, replan."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import StrEnum
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
    PictureOption,
    followed,
    json_text,
    kind_of,
    print_json,
    read_asked,
    solving,
    this_minute,
    warn_of,
    write_pictures,
)
from sunsched.errors import SunschedError, WriteRefused

if TYPE_CHECKING:
    from sunsched.day.model import Day
    from sunsched.folder.log.log import Log
    from sunsched.saved.revisions import PastRef, Revision
    from sunsched.whatif.replan.choices import Choice

AS_PLANNED = "as-planned"
# What each event takes after its word; `add` takes as many as are given.
TAKES: dict[str, tuple[str, ...]] = {
    "rolled": ("SHOT",),
    "done": ("SHOT",),
    "cut": ("SHOT",),
    "more": ("SHOT", "MINUTES"),
    "late": ("MINUTES",),
    "gone": ("NAME",),
    "here": ("NAME",),
    "closed": ("SPOT",),
    "open": ("SPOT",),
    "cloud": ("COVER",),
    "meal": (),
    "add": ("COLUMN=VALUE...",),
    AS_PLANNED: (),
    "undo": (),
}
COLUMN_OF = {"MINUTES": "value", "COVER": "value"}
NOT_COLUMNS = frozenset({"number", "at", "event", "from", "until"})
NO_PLAN = (
    "no plan is saved that the day could have gone by\n  hint: `sunsched plan DAY --save` saves one"
)


class Take(StrEnum):
    """The choices of `replan` by the word that saves them."""

    BEST = "best"
    PUSH = "push"
    DROP = "drop"


@app.command(epilog="Example: sunsched log data/last-lamp rolled 7 --at 09:40")
def log(
    day: DayArgument,
    event: Annotated[
        str | None, typer.Argument(metavar="EVENT", help="What happened; none: print the log.")
    ] = None,
    words: Annotated[
        list[str] | None, typer.Argument(metavar="WORDS", help="What the event takes.")
    ] = None,
    at: Annotated[
        str | None, typer.Option("--at", metavar="HH:MM", help="When it was, instead of now.")
    ] = None,
    since: Annotated[
        str | None,
        typer.Option(
            "--from", metavar="HH:MM", help="It holds from then (gone here closed open cloud)."
        ),
    ] = None,
    until: Annotated[
        str | None, typer.Option("--until", metavar="HH:MM", help="It holds until then (cloud).")
    ] = None,
    as_json: JsonOption = False,
) -> None:
    """Note what happened, or print what is noted. It is on the disk when the command returns.

    \b
    rolled SHOT        the camera starts         done SHOT    its roll ends
    cut SHOT           it will not be made       undo         take back the last event
    more SHOT MINUTES  it takes longer           late MINUTES minutes lost
    gone NAME          someone has left          here NAME    someone has come
    closed SPOT        a spot is closed          open SPOT    a spot is open
    cloud COVER        0 to 1, or such as 80%    meal         lunch begins
    add COLUMN=VALUE…  a new shot, with the columns of the shot list
    as-planned         all up to now went by the last saved plan
    """
    from sunsched.folder.log.log import note_events, read_log
    from sunsched.show.text.log import event_records, log_record, log_text, noted_text

    if event is None:
        _refuse_times("it goes with an EVENT", **{"at": at, "from": since, "until": until})
        asked = read_asked(day).day
        found = read_log(day, asked)
        warn_of(found.warnings)
        if as_json:
            print_json(log_record(asked, found))
        else:
            typer.echo(log_text(asked, found))
        return
    cells = _cells(event, words or [])
    if event == AS_PLANNED:
        _refuse_times(f"`{event}` takes none", **{"from": since, "until": until})
    asked = read_asked(day).day
    moment = at if at is not None else _now(asked)
    if event == AS_PLANNED:
        wanted = _as_planned(day, asked, moment)
    else:
        times = {"at": moment, "from": since or "", "until": until or ""}

        def wanted(_: Log) -> Sequence[dict[str, str]]:
            return [{**cells, **times}]

    found, noted = note_events(day, asked, wanted)
    warn_of(found.warnings)
    if as_json:
        print_json({"events": event_records(asked, noted)})
    else:
        typer.echo(noted_text(asked, found, noted))


@app.command(epilog="Example: sunsched replan data/last-lamp --at 11:40 --late 25")
def replan(
    day: DayArgument,
    at: Annotated[
        str | None, typer.Option("--at", metavar="HH:MM", help="The moment, instead of now.")
    ] = None,
    late: Annotated[
        int, typer.Option("--late", min=0, max=720, metavar="MIN", help="Minutes lost from then.")
    ] = 0,
    take: Annotated[
        Take | None, typer.Option("--take", help="Save this choice as the next revision.")
    ] = None,
    grid: Annotated[
        Grid | None,
        typer.Option("--grid", help="Minutes between two possible starts; else as last planned."),
    ] = None,
    limit: LimitOption = None,
    picture: PictureOption = None,
    as_json: JsonOption = False,
) -> None:
    """Find the best rest of the day, near to the last saved plan. Saves only what is taken."""
    from sunsched.folder.log.log import read_log
    from sunsched.folder.log.row import desk_of, read_moment
    from sunsched.saved.revisions import PastRef
    from sunsched.show.records.replan import replan_record
    from sunsched.show.text.replan import choices_by_name, replan_text
    from sunsched.whatif.replan.replan import replan as plan_anew

    if picture is not None:
        kind_of(picture, "--picture")
    asked = read_asked(day, picture).day
    noted = read_log(day, asked)
    warn_of(noted.warnings)
    plan = followed(day, asked)
    if plan is None:
        raise SunschedError(NO_PLAN)
    saved, before = plan
    moment = read_moment(desk_of(day, asked), _now(asked) if at is None else at)
    with solving() as watch:
        found = plan_anew(
            asked,
            noted.events,
            saved.timetable,
            at=moment,
            late_min=late,
            planned_day=before,
            grid_min=saved.grid_min if grid is None else int(grid),
            limit_s=limit,
            watch=watch,
        )
    name, choices = (take or Take.BEST).value, choices_by_name(found)
    if name not in choices:
        hint = f"there is {' and '.join(f'`{one}`' for one in choices)}"
        raise SunschedError(f"`{name}` cannot be had now\n  hint: {hint}")
    shown, number = choices[name], None
    if take is not None:
        past = PastRef(at=moment, late_min=late, events=len(noted.events))
        number = _save(day, saved, shown, past)
    if picture is not None:
        from sunsched.show.charts.day import day_figure

        write_pictures(picture, [partial(day_figure, found.fit, shown.plan)], "--picture")
    if as_json:
        print_json(replan_record(found, shown, follows=saved.number, revision=number))
        return
    typer.echo(replan_text(found, name, follows=saved.number))
    if number is None:
        takes = ", ".join(f"`--take {one}`" for one in choices)
        typer.echo(f"nothing is saved; to save one as the next revision: {takes}", err=True)


def _save(folder: Path, follows: Revision, taken: Choice, past: PastRef) -> int:
    """Save a choice as the next revision, unless another was saved since the day was read."""
    from sunsched.folder.store.write import save_revision
    from sunsched.saved.revisions import revision_numbers
    from sunsched.show.records.day import revision_record

    made_at = this_minute()

    def text_of(number: int) -> str:
        newest = revision_numbers(folder)[-1:]
        if newest != (follows.number,):
            hint = "`replan` again, from that one on"
            raise WriteRefused(f"revision {newest[0]} was saved meanwhile\n  hint: {hint}")
        return json_text(revision_record(taken.plan, number, made_at, past)) + "\n"

    number = save_revision(folder, text_of)
    typer.echo(f"saved as revision {number}", err=True)
    return number


def _cells(event: str, words: list[str]) -> dict[str, str]:
    """Give the cells of the log that the words of an event fill; wrong ones are wrong use."""
    from sunsched.folder.text.words import did_you_mean, listed

    if any("\ud800" <= sign <= "\udfff" for sign in "".join(words)):
        raise typer.BadParameter("not text in the terminal's encoding", param_hint="WORDS")
    takes = TAKES.get(event)
    if takes is None:
        hint = did_you_mean(event, TAKES)
        text = f"no event `{event}`, there is {listed(TAKES, 'and')}"
        raise typer.BadParameter(f"{text}; {hint}" if hint else text, param_hint="EVENT")
    usage = " ".join((event, *takes))
    if event == "add":
        pairs = [word.partition("=") for word in words]
        unfit = any(not sign or name in NOT_COLUMNS for name, sign, _ in pairs)
        columns = {name: value for name, _, value in pairs}
        if unfit or not pairs or len(columns) < len(pairs):
            text = f"write `{usage}`, each column of the shot list once, such as `size=insert`"
            raise typer.BadParameter(text, param_hint="WORDS")
        return {"event": event, **columns}
    if len(words) != len(takes):
        raise typer.BadParameter(f"write `{usage}`", param_hint="WORDS")
    filled = zip(takes, words, strict=True)
    return {"event": event, **{COLUMN_OF.get(name, "subject"): word for name, word in filled}}


def _refuse_times(text: str, **times: str | None) -> None:
    for name, value in times.items():
        if value is not None:
            raise typer.BadParameter(text, param_hint=f"--{name}")


def _now(asked: Day) -> str:
    """Give the machine's clock in whole minutes, if that is on the day."""
    from sunsched.folder.log.row import span_of

    now = this_minute()
    span = span_of(asked)
    if not span.start <= now <= span.end:
        local = now.astimezone(asked.place.zone)
        raise SunschedError(
            f"it is {local:%Y-%m-%d %H:%M} there, and the day is {asked.date}\n"
            "  hint: say when it was with `--at HH:MM`"
        )
    return now.isoformat()


def _as_planned(folder: Path, asked: Day, at: str) -> Callable[[Log], Sequence[dict[str, str]]]:
    """Give what the last saved plan says of the time up to a moment."""
    from sunsched.folder.log.row import desk_of, read_moment
    from sunsched.saved.revisions import newest_revision
    from sunsched.underway.as_planned import events_as_planned

    saved = newest_revision(folder)
    if saved is None:
        raise SunschedError(NO_PLAN)
    until = read_moment(desk_of(folder, asked), at)

    def wanted(log: Log) -> Sequence[dict[str, str]]:
        return events_as_planned(asked, log, saved.timetable, until)

    return wanted
