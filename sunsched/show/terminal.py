"""Days, suns, windows and plans as plain text that fits a terminal; no colour, no control signs."""

from __future__ import annotations

import math
import textwrap
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import fields
from datetime import datetime, timedelta

from rich.cells import cell_len, set_cell_size

from sunsched.change.windows import ShotWindows
from sunsched.day.model import Day, Span
from sunsched.order.plan import HALF, Plan, PlannedShot
from sunsched.sky.events import SunEvents
from sunsched.sky.opinion import MoonPhase, SecondOpinion
from sunsched.sky.shadow import shadow_direction_deg, shadow_length_ratio
from sunsched.sky.track import SunTrack

WIDTH = 80
NAME_WIDTH = 9  # a spot's name or an id in a table
TRACK_FROM_DEG = -6.0  # the track is printed from civil twilight up

PLAN_HEADER = ("time", "id", "what", "size", "spot", "sun", "lens", "light", "last")
CAUTIONS = (
    "Never look at the sun through a finder, a lens or any other optics.",
    "Frames in the wind are the key grip's call; local codes come before this plan.",
)


def plan_text(plan: Plan, width: int = WIDTH) -> str:
    """Lay out a plan: the day in its order, then what it keeps, what is missing and the notes."""
    day = plan.day
    rows: list[tuple[str, ...] | str] = [f"{_clock(day, day.hours.crew_call)}  crew call"]
    free_at: datetime | None = None
    meal = plan.meal
    for planned in plan.shots:
        if meal is not None and meal.start < planned.roll_start:
            if free_at is not None:
                rows += _wait(day, free_at, meal.start, "until the meal")
            rows.append(_meal_line(day, meal))
            free_at, meal = meal.end, None
        if free_at is not None:
            rows += _wait(day, free_at, planned.changeover_start, "until the spot opens")
        rows += _changeover_lines(day, planned)
        rows.append(_shot_row(day, planned))
        free_at = planned.roll_end
    if meal is not None:
        rows.append(_meal_line(day, meal))
    if free_at is not None:
        rows.append(
            f"{_clock(day, free_at)}  last roll ends, wrap is {_clock(day, day.hours.wrap)}"
        )
    lines = [*_heading(day, width), "", *_table(PLAN_HEADER, rows, width, flexible=2), ""]
    for text in _verdict(plan):
        lines += _wrapped(text, width)
    for left in plan.left_out:
        lines += _wrapped(
            f"left out: {left.shot.id} {_cut(left.shot.description, 40).rstrip()}: {left.why}",
            width,
        )
    for text in _notes(plan):
        lines += _wrapped(text, width)
    lines.append("")
    for text in CAUTIONS:
        lines += _wrapped(text, width)
    return "\n".join(lines)


def windows_text(day: Day, found: Sequence[ShotWindows], width: int = WIDTH) -> str:
    """Lay out each shot's windows, and what is missed where there is none."""
    rows: list[tuple[str, ...] | str] = []
    for one in found:
        shot = day.shot(one.shot)
        texts = [_spans(day, one.spans)] if one.spans else [*_miss(day, one)]
        if one.held:
            texts.append(f"held only {_spans(day, one.held)}")
        elif shot.hold:
            texts.append("never whole enough for its hold")
        parts = [part for text in texts for part in textwrap.wrap(text, 34)]
        for row, part in enumerate(parts):
            names = (shot.id, shot.description, shot.size, shot.spot) if row == 0 else ("",) * 4
            rows.append((*names, part))
    table = _table(("id", "what", "size", "spot", "its sun is right"), rows, width, flexible=1)
    return "\n".join([*_heading(day, width), "", *table])


def sun_text(
    day: Day,
    events: SunEvents,
    kind: str | None,
    direct: dict[str, tuple[Span, ...]],
    track: SunTrack,
    every_min: int,
    width: int = WIDTH,
) -> str:
    """Lay out the day's events, each spot's direct sun and the sun every so many minutes."""
    lines = [*_heading(day, width), ""]
    if kind is not None:
        lines.append(f"{kind}: the sun neither rises nor sets")
    for field in fields(events):
        when: datetime | None = getattr(events, field.name)
        lines.append(
            f"{field.name.replace('_', ' '):18}  {'none' if when is None else _clock(day, when)}"
        )
    lines.append("")
    for name, spans in direct.items():
        text = f"direct sun at {name}: {_spans(day, spans) if spans else 'none'}"
        lines += _wrapped(text, width)
    rows: list[tuple[str, ...] | str] = []
    for minute in range(0, len(track), every_min):
        if track.elevation_deg[minute] < TRACK_FROM_DEG:
            continue
        height = float(track.apparent_elevation_deg[minute])
        azimuth = float(track.azimuth_deg[minute])
        length = float(shadow_length_ratio(height))
        shadow = float(shadow_direction_deg(azimuth))
        rows.append(
            (
                _clock(day, track.time_of(minute)),
                f"{azimuth:.1f}°",
                f"{height:.1f}°",
                f"{length:.2f} m" if length < 100 else "over 100 m" if height > 0 else "none",
                _bearing(shadow) if height > 0 else "",
            )
        )
    if not rows:
        return "\n".join([*lines, "", "the sun stays more than 6° below the horizon all day"])
    header = ("time", "azimuth", "height", "shadow of 1 m", "falls to")
    return "\n".join([*lines, "", *_table(header, rows, width, flexible=None)])


def check_text(
    day: Day, opinion: SecondOpinion, moon: MoonPhase, build_min: int, width: int = WIDTH
) -> str:
    """Lay out the summary of a day without faults; `build_min` is the least that builds take."""
    place, hours = day.place, day.hours
    roll = sum(shot.shoot_min for shot in day.shots)
    room = round((hours.hard_wrap - hours.crew_call) / timedelta(minutes=1))
    need = roll + build_min + day.meal.length_min
    north = f"{abs(place.latitude_deg):.4f}° {'N' if place.latitude_deg >= 0 else 'S'}"
    east = f"{abs(place.longitude_deg):.4f}° {'E' if place.longitude_deg >= 0 else 'W'}"
    clocks = ", ".join(
        f"{field.name.replace('_', ' ')} {_clock(day, getattr(hours, field.name))}"
        for field in fields(hours)
    )
    work = f"{roll} min of rolling, {build_min} of builds, {day.meal.length_min} of meal: {need} of"
    short = ": more than the hours hold" if need > room else ""
    texts = (
        f"place   {north}, {east}, {place.elevation_m:g} m, {place.timezone}",
        f"hours   {clocks}",
        f"spots   {', '.join(spot.name for spot in day.spots)}",
        f"shots   {len(day.shots)}, weights {sum(shot.weight for shot in day.shots):g}",
        f"work    {work} {room} min at the least, without moves and waits{short}",
        f"moon    {moon.name}, {moon.illumination:.0%} lit",
    )
    lines = _heading(day, width)
    for text in texts:
        lines += _wrapped(text, width, indent=8)
    lines += ["", "second opinion on the sun (astral)"]
    for event in opinion.events:
        ours = "none" if event.ours is None else _clock(day, event.ours, seconds=True)
        theirs = "none" if event.theirs is None else _clock(day, event.theirs, seconds=True)
        apart = "" if event.difference_s is None else f"  {abs(event.difference_s):.0f} s apart"
        lines.append(f"{event.name:10}  ours {ours:8}  theirs {theirs:8}{apart}")
    return "\n".join([*lines, "", "no faults"])


def _heading(day: Day, width: int) -> list[str]:
    when = f"{day.date:%A} {day.date.isoformat()}, local time ({day.place.timezone})"
    return [_cut(day.title, width).rstrip(), _cut(f"{day.place.name}, {when}", width).rstrip()]


def _shot_row(day: Day, planned: PlannedShot) -> tuple[str, ...]:
    start, end = _clock(day, planned.roll_start), _clock(day, planned.roll_end)
    return (
        f"{start}–{end}",
        planned.shot.id,
        planned.shot.description,
        planned.shot.size,
        planned.shot.spot,
        f"{_bearing(planned.sun_azimuth_deg)} {f'{round(planned.sun_elevation_deg)}°':>3}",
        _side(planned.sun_from_lens_deg),
        f"{planned.fit:.0%}",
        "–" if planned.last_start is None else _clock(day, planned.last_start),
    )


def _changeover_lines(day: Day, planned: PlannedShot) -> Iterator[str]:
    start = planned.changeover_start
    if planned.move_min:
        yield f"{_clock(day, start)}  {planned.move_min} min, move to {planned.shot.spot}"
    ready = planned.roll_start - timedelta(minutes=planned.wait_min)
    yield from _wait(day, ready, planned.roll_start, f"for the light of {planned.shot.id}")


def _wait(day: Day, start: datetime, end: datetime, until: str) -> Iterator[str]:
    minutes = round((end - start) / timedelta(minutes=1))
    if minutes > 0:
        yield f"{_clock(day, start)}  {minutes} min, wait {until}"


def _meal_line(day: Day, meal: Span) -> str:
    return f"{_clock(day, meal.start)}–{_clock(day, meal.end)}  meal"


def _verdict(plan: Plan) -> Iterator[str]:
    yield f"light kept {plan.light_kept:.1%}, {plan.points} points"
    if plan.status == "proven":
        yield "proven: no order keeps more"
    else:
        yield (
            f"not proven: no order is worth more than {plan.bound} points, "
            f"{plan.bound - plan.points} above this one ({plan.gap:.1%})"
        )


def _notes(plan: Plan) -> Iterator[str]:
    day = plan.day
    moves = sum(1 for planned in plan.shots if planned.move_min)
    last = plan.shots[-1].roll_end if plan.shots else day.hours.wrap
    over = max(0, round((last - day.hours.wrap) / timedelta(minutes=1)))
    yield f"company moves: {moves}; overtime: {over} min"
    poor = [planned.shot.id for planned in plan.shots if planned.fit < HALF]
    if poor:
        yield f"made with less than half their light: {', '.join(poor)}"
    if plan.second_meal_due is not None:
        yield f"a second meal is due at {_clock(day, plan.second_meal_due)} (common practice)"


def _miss(day: Day, one: ShotWindows) -> Iterator[str]:
    off = "" if one.miss_deg is None else f" by {one.miss_deg:.1f}°"
    yield f"never: {one.fails} fails{off}"
    yield f"nearest at {_clock(day, one.best_time)}, fit {one.best_fit:.0%}"
    if one.miss_min is not None:
        side = "before first roll" if one.miss_min < 0 else "past hard wrap"
        yield f"right {abs(one.miss_min)} min {side}"


def _table(
    header: tuple[str, ...],
    rows: Sequence[tuple[str, ...] | str],
    width: int,
    flexible: int | None,
) -> Iterator[str]:
    """Align columns two spaces apart; the flexible one takes what room the others leave it."""
    cells = [header, *(row for row in rows if isinstance(row, tuple))]
    wide = [max(cell_len(_plain(row[place])) for row in cells) for place in range(len(header))]
    for place, name in enumerate(header):
        if name in ("id", "spot"):
            wide[place] = min(wide[place], NAME_WIDTH)
    if flexible is not None:
        others = sum(wide) - wide[flexible] + 2 * (len(wide) - 1)
        wide[flexible] = min(wide[flexible], max(8, width - others))
    for row in (header, *rows):
        if isinstance(row, str):
            yield _cut(row, width).rstrip()
        else:
            line = "  ".join(_cut(cell, room) for cell, room in zip(row, wide, strict=True))
            yield _cut(line, width).rstrip()


def _wrapped(text: str, width: int, indent: int = 2) -> list[str]:
    return textwrap.wrap(_plain(text), width, subsequent_indent=" " * indent)


def _cut(text: str, width: int) -> str:
    """Give a text at exactly this width on a terminal, cut with `…` or filled with spaces."""
    line = _plain(text)
    if cell_len(line) > width:
        return set_cell_size(set_cell_size(line, width - 1).rstrip() + "…", width)
    return set_cell_size(line, width)


def _plain(text: str) -> str:
    """Give a text on one line without marks that steer a terminal; inner spaces stay."""
    return "".join(" " if unicodedata.category(m) in ("Cc", "Zl", "Zp") else m for m in text)


def _spans(day: Day, spans: Sequence[Span]) -> str:
    return ", ".join(f"{_clock(day, span.start)}–{_clock(day, span.end)}" for span in spans)


def _clock(day: Day, when: datetime, *, seconds: bool = False) -> str:
    """Write a moment on the local clock; `+1` or `-1` marks the next or the last date."""
    half = timedelta(seconds=0.5 if seconds else 30)
    local = (when + half).astimezone(day.place.zone)
    apart = (local.date() - day.date).days
    return f"{local:%H:%M:%S}"[: 8 if seconds else 5] + (f"{apart:+}" if apart else "")


def _bearing(azimuth_deg: float) -> str:
    return f"{f'{round(azimuth_deg) % 360}°':>4}"


def _side(sun_from_lens_deg: float) -> str:
    """Give the side from the lens, such as `62° R`; straight ahead and behind have none."""
    whole = round(math.fabs(sun_from_lens_deg))
    side = "" if whole in (0, 180) else " R" if sun_from_lens_deg > 0 else " L"
    return f"{whole}°{side}"
