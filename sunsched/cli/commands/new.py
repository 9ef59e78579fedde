"""The command that writes a starter day: new."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from sunsched.cli.shared.app import app
from sunsched.errors import SunschedError


@app.command(epilog="Example: sunsched new salt-pans --at Lisbon --date 2027-06-09")
def new(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="A folder that does not exist yet.")
    ],
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
        hints.append("take any larger town, then edit its coordinates and time zone in day.toml")
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
