"""Commands that write and read a day and ask about its sun: new, check, sun, windows."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.app import app
from sunsched.cli.common import (
    DayArgument,
    JsonOption,
    PictureOption,
    kind_of,
    print_json,
    read_asked,
    write_pictures,
)
from sunsched.errors import FolderError, SunschedError

if TYPE_CHECKING:
    from sunsched.day.model import Day


@app.command(epilog="Example: sunsched new salt-pans --at Lisbon --date 2027-06-09")
def new(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A folder not there yet.")],
    date: Annotated[str, typer.Option("--date", metavar="YYYY-MM-DD", help="The day's date.")],
    at: Annotated[
        str, typer.Option("--at", metavar="PLACE", help="A town, or `town, region`.")
    ] = "Lisbon",
) -> None:
    """Write a starter day to edit."""
    from datetime import timedelta

    from sunsched.folder.starter import starter_texts
    from sunsched.folder.store.write import write_folder
    from sunsched.folder.text.clock import calendar_date
    from sunsched.folder.text.words import WordError
    from sunsched.sky.events import sun_events
    from sunsched.sky.opinion import find_place, nearest_places
    from sunsched.sky.track import sun_at

    try:
        on = calendar_date(date)
    except WordError as error:
        raise typer.BadParameter(f"`{date}` is {error.problem}", param_hint="--date") from None
    place = find_place(at)
    if place is None:
        near = ", ".join(f"`{name}`" for name in nearest_places(at))
        hints = [f"did you mean {near}?"] if near else []
        hints.append("any larger town will do: edit its coordinates and time zone in day.toml then")
        lines = "".join(f"\n  hint: {hint}" for hint in hints)
        raise SunschedError(f"no such place in the list: `{at}`{lines}")
    events = sun_events(place, on)
    quarter = timedelta(hours=3)
    if events.sunrise is not None and events.sunset is not None:
        quarter = min(quarter, (events.sunset - events.sunrise) / 4)
    texts = starter_texts(
        title=folder.absolute().name,
        place=place,
        on=on,
        sunrise=events.sunrise and events.sunrise.astimezone(place.zone),
        sunset=events.sunset and events.sunset.astimezone(place.zone),
        morning_deg=sun_at(place, events.solar_noon - quarter).azimuth_deg,
        afternoon_deg=sun_at(place, events.solar_noon + quarter).azimuth_deg,
    )
    write_folder(folder, texts)
    typer.echo(f"{folder}: {', '.join(texts)}")
    typer.echo(f"next: sunsched check {folder}", err=True)


@app.command(epilog="Example: sunsched check data/last-lamp")
def check(day: DayArgument, as_json: JsonOption = False) -> None:
    """Read everything, list every fault, and ask for a second opinion on the sun."""
    from sunsched.plan.timetable import least_builds_min
    from sunsched.show.records.day import check_record, fault_record
    from sunsched.show.text.day import check_text
    from sunsched.sky.opinion import moon_phase, second_opinion

    try:
        reading = read_asked(day)
    except FolderError as error:
        if as_json:
            print_json({"faults": [fault_record(fault) for fault in error.faults]})
        raise
    asked = reading.day
    opinion, moon = second_opinion(asked.place, asked.date), moon_phase(asked.date)
    if as_json:
        print_json(check_record(reading, opinion, moon) | _minutes(asked))
    else:
        typer.echo(check_text(asked, opinion, moon, least_builds_min(asked)))
        typer.echo(_minutes_text(asked))


def _minutes(day: Day) -> dict[str, dict[str, int]]:
    """Count the shots whose setup and adjust are those of their size, and those with their own."""
    sizes, total = day.sizes, len(day.shots)
    setup = sum(shot.setup_min == sizes[shot.size].setup_min for shot in day.shots)
    # A blank adjust never takes longer than the shot's setup: that too comes from the size.
    adjust = sum(
        shot.adjust_min == min(sizes[shot.size].adjust_min, shot.setup_min) for shot in day.shots
    )
    return {
        "setup": {"by_size": setup, "own": total - setup},
        "adjust": {"by_size": adjust, "own": total - adjust},
    }


def _minutes_text(day: Day) -> str:
    """Say how many shots take the minutes of their size, and when adjust stands for setup."""
    from sunsched.show.layout import wrapped
    from sunsched.show.text.day import WIDTH

    setup, adjust = _minutes(day).values()
    shots = "shot" if setup["by_size"] == 1 else "shots"
    text = (
        f"setup: {setup['by_size']} {shots} by size, {setup['own']} with their own minutes; "
        f"adjust: {adjust['by_size']} by size, {adjust['own']} own (used instead of setup when the "
        "shot before stands in the same spot and rig)"
    )
    return "\n".join(wrapped(text, WIDTH))


@app.command(epilog="Example: sunsched sun data/late-ridge --every 15 --spot barn")
def sun(
    day: DayArgument,
    every: Annotated[
        int, typer.Option("--every", min=1, max=720, metavar="MIN", help="Minutes between rows.")
    ] = 30,
    spot: Annotated[
        str | None, typer.Option("--spot", metavar="NAME", help="Only this spot's direct sun.")
    ] = None,
    picture: PictureOption = None,
    as_json: JsonOption = False,
) -> None:
    """Print the day's events, each spot's direct sun, and the sun every so many minutes."""
    from datetime import datetime, time, timedelta

    from sunsched.folder.text import words
    from sunsched.show.records.day import sun_record
    from sunsched.show.text.day import sun_text
    from sunsched.sky.events import day_kind, sun_events
    from sunsched.sky.horizon import direct_spans
    from sunsched.sky.track import sun_track

    asked = read_asked(day, picture).day
    place = asked.place
    spots = {one.name: one for one in asked.spots}
    if spot is not None:
        names = [name for name in spots if words.key_of(name) == words.key_of(spot)]
        if not names:
            hint = words.did_you_mean(spot, spots)
            text = f"no spot `{spot}`, there is {words.listed(spots, 'and')}"
            raise typer.BadParameter(f"{text}; {hint}" if hint else text, param_hint="--spot")
        spots = {name: spots[name] for name in names}
    start = datetime.combine(asked.date, time(), place.zone)
    end = datetime.combine(asked.date + timedelta(days=1), time(), place.zone)
    track = sun_track(place, start, max(end, asked.hours.hard_wrap))
    if picture is not None:
        from sunsched.light.fit import fit_day
        from sunsched.show.charts.sun import sun_figure

        fit = fit_day(asked)
        write_pictures(picture, [partial(sun_figure, fit, name) for name in spots], "--spot")
    direct = {name: direct_spans(one.horizon, track) for name, one in spots.items()}
    events, kind = sun_events(place, asked.date), day_kind(place, asked.date)
    if as_json:
        print_json(sun_record(asked, events, kind, direct, track, every))
    else:
        typer.echo(sun_text(asked, events, kind, direct, track, every))


@app.command(epilog="Example: sunsched windows data/ferry-light")
def windows(
    day: DayArgument,
    shot: Annotated[
        str | None, typer.Option("--shot", metavar="ID", help="Only this shot.")
    ] = None,
    picture: PictureOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say when each shot's sun is right, and why not where it never is."""
    from sunsched.folder.text import words
    from sunsched.light.fit import fit_day
    from sunsched.light.windows import windows as find_windows
    from sunsched.show.records.day import windows_record
    from sunsched.show.text.day import windows_text

    asked = read_asked(day, picture).day
    ids = [one.id for one in asked.shots]
    if shot is not None and shot not in ids:
        hint = words.did_you_mean(shot, ids)
        text = f"no shot `{shot}`"
        raise typer.BadParameter(f"{text}; {hint}" if hint else text, param_hint="--shot")
    fit = fit_day(asked)
    found = tuple(one for one in find_windows(fit) if shot in (None, one.shot))
    if picture is not None:
        from sunsched.show.charts.shot import shot_figure
        from sunsched.show.paper_size import Shape

        shape = Shape.A4 if kind_of(picture, "--picture") == "pdf" else Shape.PHONE
        figures = [partial(shot_figure, fit, one.shot, shape=shape) for one in found]
        write_pictures(picture, figures, "--shot")
    if as_json:
        print_json(windows_record(asked, found))
    else:
        typer.echo(windows_text(asked, found))
