"""The command that notes what happens: log."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.app import app
from sunsched.cli.shared.common import (
    DayArgument,
    JsonOption,
    now_text,
    print_json,
    read_asked,
    warn_of,
)
from sunsched.cli.shared.saved_plan import NO_PLAN
from sunsched.errors import SunschedError

if TYPE_CHECKING:
    from sunsched.day.model import Day
    from sunsched.folder.log.log import Log

AS_PLANNED = "as-planned"
# The words that follow the word of each event; `add` has as many as are given.
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


@app.command(epilog="Example: sunsched log data/last-lamp rolled 7 --at 09:40")
def log(
    day: DayArgument,
    event: Annotated[
        str | None, typer.Argument(metavar="EVENT", help="What happened; none: print the log.")
    ] = None,
    words: Annotated[
        list[str] | None, typer.Argument(metavar="WORDS", help="The words that the event needs.")
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
    moment = at if at is not None else now_text(asked)
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


def _cells(event: str, words: list[str]) -> dict[str, str]:
    """Give the cells of the log that the words of an event fill; wrong words are wrong use."""
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


def _as_planned(folder: Path, asked: Day, at: str) -> Callable[[Log], Sequence[dict[str, str]]]:
    """Give what the last saved plan says of the time up to a moment."""
    from sunsched.folder.log.row import desk_of, read_moment
    from sunsched.saved.revisions import newest_revision
    from sunsched.underway.as_planned import events_as_planned

    saved = newest_revision(folder)
    if saved is None:
        raise SunschedError(NO_PLAN)
    until, planned_day = read_moment(desk_of(folder, asked), at), asked
    if saved.average is not None:
        from sunsched.average.likely import likely_day

        planned_day = likely_day(asked)

    def wanted(log: Log) -> Sequence[dict[str, str]]:
        return events_as_planned(planned_day, log, saved.timetable, until)

    return wanted
