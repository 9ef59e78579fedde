"""The command that notes what happens: log."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.app import app, terminal_width
from sunsched.cli.shared.common import (
    DayArgument,
    JsonOption,
    PictureOption,
    now_text,
    print_json,
    read_asked,
    this_minute,
    warn_of,
)
from sunsched.cli.shared.out.shape import PicturePaperOption, shape_of
from sunsched.cli.shared.out.written import write_pictures
from sunsched.cli.shared.saved_plan import NO_PLAN, stamp_of
from sunsched.cli.shared.wrong_use import refuse
from sunsched.cli.terminal.interrupt import unbroken
from sunsched.cli.terminal.streams import done_first
from sunsched.errors import FolderError, SunschedError

if TYPE_CHECKING:
    from sunsched.day.model import Day
    from sunsched.folder.log.log import Log
    from sunsched.show.paper_size import Shape

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
    "note": ("TEXT...",),
    "add": ("COLUMN=VALUE...",),
    AS_PLANNED: (),
    "undo": (),
}
COLUMN_OF = {"MINUTES": "value", "COVER": "value"}
SAME = {"lunch": "meal"}  # what crews say for an event
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
        str | None,
        typer.Option(
            "--until",
            metavar="HH:MM",
            help="It holds until then (cloud); rolled: it was done then.",
        ),
    ] = None,
    forgotten: Annotated[
        bool, typer.Option("--forgotten", help="Put it in its place among what is noted already.")
    ] = False,
    picture: PictureOption = None,
    paper: PicturePaperOption = None,
    as_json: JsonOption = False,
) -> None:
    """Note what happened, or print what is noted. It is on the disk when the command returns.

    \b
    rolled SHOT        the camera starts         done SHOT    its roll ends
    cut SHOT           it will not be made       undo         take back the last event
    more SHOT MINUTES  it takes longer           late MINUTES lost from --at on
    gone NAME          someone has left          here NAME    someone has come
    closed SPOT        a spot is closed          open SPOT    a spot is open
    cloud COVER        0 to 1, or such as 80%    meal         lunch begins
    note TEXT          whatever is worth keeping
    add COLUMN=VALUE…  a new shot, with the columns of the shot list
    as-planned         all up to now went by the last saved plan
    """
    from sunsched.folder.log.log import note_events, read_log
    from sunsched.show.text.log import event_records, log_record, log_text, noted_text

    shape = shape_of(picture, paper)
    if event is None:
        _refuse_times("it goes with an EVENT", **{"at": at, "from": since, "until": until})
        asked = read_asked(day, picture).day
        found = read_log(day, asked)
        warn_of(found.warnings)
        if picture is not None:
            _draw(picture, day, asked, found, shape)
        if as_json:
            print_json(log_record(asked, found))
        else:
            typer.echo(log_text(asked, found, width=terminal_width()))
        return
    if picture is not None:
        raise typer.BadParameter("it draws the log, without an EVENT", param_hint="--picture")
    for option, text in (("--from", since), ("--until", until)):
        if text is not None and not text.strip():
            refuse(option, "blank", expected="a clock time such as 06:00")
    cells = _cells(event, words or [])
    event = cells["event"]
    if event == AS_PLANNED:
        _refuse_times(f"`{event}` takes none", **{"from": since, "until": until})
    if forgotten and (at is None or event in (AS_PLANNED, "undo")):
        text = "say when it was with --at" if at is None else f"`{event}` cannot be"
        raise typer.BadParameter(text, param_hint="--forgotten")
    asked = read_asked(day).day
    moment = at if at is not None else now_text(asked)
    wanted: Callable[[Log], Sequence[Mapping[str, str]]]
    if event == AS_PLANNED:
        wanted = _as_planned(day, asked, moment)
    else:
        wanted = _told(day, asked, _rows(cells, moment, since, until), forgotten=forgotten)
    with unbroken():
        try:
            found, noted = note_events(day, asked, wanted)
        except FolderError as error:
            # What is noted again below a forgotten event is at odds because of the first fault.
            raise FolderError(error.faults[:1] if forgotten else error.faults) from None
        warn_of(found.warnings)
        with done_first("the event is noted"):
            if as_json:
                print_json({"events": event_records(asked, noted)})
            else:
                typer.echo(noted_text(asked, found, noted))


def _draw(file: Path, folder: Path, asked: Day, found: Log, shape: Shape) -> None:
    """Draw what the newest plan before the log said, over what was made by the last event."""
    from sunsched.saved.numbers import revision_numbers
    from sunsched.saved.restore import plan_of_revision
    from sunsched.saved.revisions import read_revision
    from sunsched.show.charts.orders.made import made_figure
    from sunsched.underway.state import day_so_far

    numbers = revision_numbers(folder)
    saved = [read_revision(folder, number) for number in numbers]
    before = [one for one in saved if one.past is None]
    if not before:
        raise SunschedError(NO_PLAN)
    if not found.events:
        raise SunschedError("nothing is noted yet, so there is nothing to draw")
    planned = plan_of_revision(asked, before[-1]).plan
    at = max(event.at for event in found.events)
    so_far = day_so_far(asked, found.events, at=at, planned=saved[-1].timetable)
    number = before[-1].number
    stamp = stamp_of(folder, asked, this_minute(), saved[-1], known=len(found.events))
    figures = [partial(made_figure, planned, so_far, number, shape=shape)]
    write_pictures(file, figures, "--picture", asked, stamp)


def _cells(event: str, words: list[str]) -> dict[str, str]:
    """Give the cells of the log that the words of an event fill; wrong words are wrong use."""
    from sunsched.folder.text.words import did_you_mean, listed

    if any("\ud800" <= sign <= "\udfff" for sign in "".join(words)):
        raise typer.BadParameter("not text in the terminal's encoding", param_hint="WORDS")
    event = event.casefold()
    event = SAME.get(event, event)
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
    if event == "note" and words:
        return {"event": event, "subject": " ".join(words)}
    if len(words) != len(takes):
        raise typer.BadParameter(f"write `{usage}`", param_hint="WORDS")
    filled = zip(takes, words, strict=True)
    return {"event": event, **{COLUMN_OF.get(name, "subject"): word for name, word in filled}}


def _rows(
    cells: dict[str, str], at: str, since: str | None, until: str | None
) -> list[dict[str, str]]:
    """Give the rows that an event is noted as: a roll that is told with its end has two."""
    if cells["event"] == "rolled" and until is not None:
        _refuse_times("`rolled` takes none", **{"from": since})
        return [{**cells, "at": at}, {**cells, "event": "done", "at": until}]
    return [{**cells, "at": at, "from": since or "", "until": until or ""}]


def _told(
    folder: Path, asked: Day, rows: list[dict[str, str]], *, forgotten: bool
) -> Callable[[Log], Sequence[Mapping[str, str]]]:
    """Give what is to be noted: the rows alone, or with what they come before."""
    from sunsched.folder.log.forgotten import put_in_place
    from sunsched.folder.log.moments import desk_of, read_moment

    if not forgotten:
        return lambda _: rows
    desk = desk_of(folder, asked)
    timed = [(read_moment(desk, row["at"]), row) for row in rows]
    return lambda log: put_in_place(asked, log, timed)


def _refuse_times(text: str, **times: str | None) -> None:
    for name, value in times.items():
        if value is not None:
            raise typer.BadParameter(text, param_hint=f"--{name}")


def _as_planned(folder: Path, asked: Day, at: str) -> Callable[[Log], Sequence[dict[str, str]]]:
    """Give what the last saved plan says of the time up to a moment."""
    from sunsched.folder.log.moments import desk_of, read_moment
    from sunsched.saved.revisions import newest_revision
    from sunsched.saved.silence import went_as_planned

    saved = newest_revision(folder)
    if saved is None:
        raise SunschedError(NO_PLAN)
    return went_as_planned(asked, saved, read_moment(desk_of(folder, asked), at))
