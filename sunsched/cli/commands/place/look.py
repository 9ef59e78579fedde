"""The command that says which way a lens must look: look."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sunsched.cli.shared.app import app, terminal_width
from sunsched.cli.shared.common import DayArgument, JsonOption, print_json, read_asked
from sunsched.cli.shared.new_day import place_at
from sunsched.cli.shared.spots import day_track
from sunsched.cli.shared.wrong_use import refuse, whole_option
from sunsched.errors import SunschedError

if TYPE_CHECKING:
    from sunsched.day.model import Day
    from sunsched.light.looks import Arc

FROM_LENS = re.compile(r"(\d+(?:[.,]\d+)?)\s*°?\s*(left|right)(?:\s+of\s+(?:the\s+)?lens)?")


@app.command(epilog='Example: sunsched look data/late-ridge --sun "back left" --at 11:00')
def look(
    day: DayArgument,
    shot: Annotated[
        str | None, typer.Option("--shot", metavar="ID", help="This shot's sun and its cheats.")
    ] = None,
    sun: Annotated[
        str | None,
        typer.Option(
            "--sun", metavar="SIDE", help='Such as "back left", or "40 right" of the lens.'
        ),
    ] = None,
    at: Annotated[
        str | None, typer.Option("--at", metavar="HH:MM", help="At that time alone.")
    ] = None,
    start: Annotated[
        str | None,
        typer.Option(
            "--from", metavar="POINT", help="Where the camera stands: coordinates, a photo."
        ),
    ] = None,
    end: Annotated[
        str | None, typer.Option("--to", metavar="POINT", help="What it looks at.")
    ] = None,
    photo: Annotated[
        Path | None, typer.Option("--photo", metavar="FILE", help="The direction of a photo.")
    ] = None,
    every: Annotated[int, whole_option("--every", 1, 720, "MIN", "Minutes between rows,")] = 30,
    as_json: JsonOption = False,
) -> None:
    """Say which way to look: by a shot's day, a sun at a time, two points, or a photo."""
    asked = [
        name
        for name, value in (
            ("--shot", shot),
            ("--sun", sun),
            ("--from", start or end),
            ("--photo", photo),
        )
        if value
    ]
    if len(asked) != 1:
        text = "give one of --shot ID, --sun SIDE --at HH:MM, --from POINT --to POINT, --photo FILE"
        raise typer.BadParameter(text)
    if at is not None and asked[0] not in ("--shot", "--sun"):
        raise typer.BadParameter("it goes with --shot or --sun", param_hint="--at")
    one = read_asked(day).day
    when = None if at is None else _time(one, at)
    if shot is not None:
        _show_shot(one, shot, when, every, as_json)
    elif sun is not None:
        if when is None:
            raise typer.BadParameter("say when, with --at HH:MM", param_hint="--sun")
        _show_sun(one, sun, when, as_json)
    elif photo is not None:
        _show_photo(one, photo, as_json)
    elif start is not None and end is not None:
        _show_points(one, start, end, as_json)
    else:
        raise typer.BadParameter("--from and --to go together")


def _time(asked: Day, text: str) -> datetime:
    from sunsched.folder.text.clock import Calendar, clock_time
    from sunsched.folder.text.findings import Findings, Where
    from sunsched.folder.text.words import WordError

    call = asked.hours.crew_call.astimezone(asked.place.zone).time()
    calendar = Calendar(date=asked.date, zone=asked.place.zone, call=call)
    findings = Findings()
    try:
        found = calendar.nearest(clock_time(text), asked.hours, Where(file="--at"), findings)
    except WordError as error:
        refuse("--at", error.problem, text, expected=error.expected, hint=error.hint)
    if found is None:
        fault = findings.faults[0]
        refuse("--at", fault.problem, fault.value, expected=fault.expected, hint=fault.hint)
    return found


def _show_shot(asked: Day, shot_id: str, when: datetime | None, every: int, as_json: bool) -> None:
    """Show the sun from a shot's lens through its hours, with the least turn at each time."""
    from sunsched.folder.text.words import choice, did_you_mean
    from sunsched.light.angles import side_arcs
    from sunsched.light.fit import fit_day
    from sunsched.light.looks import nearest_turn
    from sunsched.light.windows import windows
    from sunsched.show.text.place.look import Moment, shot_record, shot_text
    from sunsched.sky.track import sun_from_lens_deg

    known = {shot.id.casefold(): shot for shot in asked.shots}
    shot = known.get(shot_id.strip().casefold())
    if shot is None:
        ids = [one.id for one in asked.shots]
        hint = did_you_mean(shot_id, ids)
        refuse("--shot", "no such shot", shot_id, expected=choice(ids, "shot"), hint=hint)
    fit = fit_day(asked)
    own, arcs = fit.shots[shot.id], side_arcs(shot.wish)
    first, last = fit.minute_of(asked.hours.first_roll), fit.minute_of(asked.hours.hard_wrap)
    minutes = range(first, last + 1, every) if when is None else [fit.minute_of(when)]
    found = []
    for minute in minutes:
        if not 0 <= minute < len(fit.track) or fit.track.elevation_deg[minute] < 0.0:
            continue
        azimuth = float(fit.track.azimuth_deg[minute])
        found.append(
            Moment(
                time=fit.time_of(minute),
                azimuth_deg=azimuth,
                elevation_deg=float(fit.track.apparent_elevation_deg[minute]),
                from_lens_deg=float(sun_from_lens_deg(azimuth, shot.look_deg)),
                light=float(own.by_itself[minute]),
                turn=nearest_turn(arcs, azimuth, shot.look_deg) if arcs else None,
            )
        )
    spans = next(one.spans for one in windows(fit) if one.shot == shot.id)
    if as_json:
        print_json(shot_record(asked, shot, spans, found))
    else:
        typer.echo(shot_text(asked, shot, spans, found, width=terminal_width()))


def _show_sun(asked: Day, text: str, when: datetime, as_json: bool) -> None:
    """Show the looks at which the sun stands as asked at a time."""
    from sunsched.light.looks import looks_for
    from sunsched.show.text.place.look import sun_look_record, sun_look_text

    track = day_track(asked)
    minute = round((when - track.start).total_seconds() / 60)
    azimuth = float(track.azimuth_deg[minute])
    height = float(track.apparent_elevation_deg[minute])
    looks = looks_for(_arcs(text), azimuth)
    if as_json:
        print_json(sun_look_record(asked, when, azimuth, height, looks))
    else:
        typer.echo(
            sun_look_text(asked, when, azimuth, height, text.strip(), looks, width=terminal_width())
        )


def _arcs(text: str) -> tuple[Arc, ...]:
    """Give the arcs around the lens that words or degrees ask the sun to stand in."""
    from sunsched.day.wish import Wish
    from sunsched.folder.text.suns import sun_words
    from sunsched.folder.text.words import WordError
    from sunsched.light.angles import side_arcs

    degrees = FROM_LENS.fullmatch(text.strip().casefold())
    if degrees:
        off = float(degrees[1].replace(",", "."))
        if off <= 180.0:
            signed = off if degrees[2] == "right" else -off
            return ((signed, signed),)
    expected = "a side of the sun such as `back left`, or degrees such as `40 right`"
    try:
        sides = sun_words(text).sides
    except WordError as error:
        refuse("--sun", error.problem, text, expected=expected, hint=error.hint)
    found: list[Arc] = []
    for side, camera_side in sides:
        found += side_arcs(Wish(side=side, camera_side=camera_side))
    if not found:
        refuse("--sun", "it asks for no side", text, expected=expected)
    return tuple(found)


def _show_points(asked: Day, start: str, end: str, as_json: bool) -> None:
    """Show the bearing of the geodesic from one point to another (Karney 2013)."""
    from geographiclib.geodesic import Geodesic

    from sunsched.folder.place.take import take_point

    a, b = place_at(take_point, start, "--from"), place_at(take_point, end, "--to")
    line = Geodesic.WGS84.Inverse(a.latitude_deg, a.longitude_deg, b.latitude_deg, b.longitude_deg)
    far_m = float(line["s12"])
    if far_m < 1.0:
        raise SunschedError("both points are one: give two at least a metre apart")
    far = f"{far_m:,.0f} m" if far_m < 10_000 else f"{far_m / 1000:,.0f} km"
    _show_bearing(
        asked, f"from the one point to the other, {far}", float(line["azi1"]) % 360.0, as_json
    )


def _show_photo(asked: Day, file: Path, as_json: bool) -> None:
    """Show which way the lens of a photo looked; a compass's word is turned to true north."""
    from sunsched.folder.place.declination import declination
    from sunsched.folder.place.photo import read_photo
    from sunsched.folder.text.words import WordError

    try:
        found = read_photo(file)
    except WordError as error:
        expected = f" (expected {error.expected})" if error.expected else ""
        raise SunschedError(f"--photo: {error.problem}: `{file}`{expected}") from None
    if found.direction_deg is None:
        raise SunschedError(
            f"{file}: the photo tells no direction\n"
            "  hint: give two points with --from and --to, or the sun with --sun and --at"
        )
    look_deg, what = found.direction_deg, "the photo looks"
    if found.is_magnetic:
        own = asked.declination_deg
        model = declination(asked.place, found.taken or asked.date)
        if own is None and model is None:
            raise SunschedError(
                f"{file}: its direction is magnetic, and no model has that date's declination\n"
                "  hint: write `declination_deg` into day.toml"
            )
        turn = own if own is not None else model.deg if model is not None else 0.0
        look_deg = (look_deg + turn) % 360.0
        what = (
            f"the photo looks (by its compass {found.direction_deg:.1f}°, declination {turn:+.1f}°)"
        )
    _show_bearing(asked, what, look_deg, as_json)


def _show_bearing(asked: Day, what: str, look_deg: float, as_json: bool) -> None:
    from sunsched.show.text.place.look import bearing_line

    if as_json:
        print_json({"look_deg": round(look_deg, 3)})
    else:
        typer.echo(bearing_line(asked, what, look_deg, width=terminal_width()))
