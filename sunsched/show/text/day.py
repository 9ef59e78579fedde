"""Days, suns, windows and plans as plain text that fits a terminal; no colour, no control signs."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import fields
from datetime import datetime, timedelta

from sunsched.day.clock import clock
from sunsched.day.model import Day, Span
from sunsched.light.windows import ShotWindows
from sunsched.plan.plan import Plan
from sunsched.plan.reasons import NOTHING
from sunsched.plan.score import Score
from sunsched.show.agenda import (
    CAUTIONS,
    Line,
    LineKind,
    day_lines,
    last_start_text,
    lens_text,
    timed_text,
)
from sunsched.show.layout import (
    bearing_text,
    bearings_note,
    cut,
    heading,
    position,
    span_times,
    table,
    wrapped,
)
from sunsched.show.notes import decisions_note, told_notes
from sunsched.show.proof import grid_text, proof_text
from sunsched.show.text.windows import without_sun_texts
from sunsched.sky.events import SunEvents
from sunsched.sky.opinion import MoonPhase, SecondOpinion
from sunsched.sky.shadow import shadow_direction_deg, shadow_length_ratio
from sunsched.sky.track import SunTrack

WIDTH = 80
TRACK_FROM_DEG = -6.0  # the track is printed from civil twilight up

WINDOWS_NOTE = (
    "right: at least half of the shot's light. The sun alone is looked at, not frames, cast, spot "
    "hours, pins or order."
)
PLAN_HEADER = ("time", "id", "what", "size", "spot", "sun", "lens", "light", "last")


def plan_text(plan: Plan, width: int = WIDTH) -> str:
    """Lay out a plan: the day in its order, then what it keeps, what is missing and the notes."""
    day = plan.day
    lines = [*heading(day, width), "", *table(PLAN_HEADER, plan_rows(plan), width, flexible=2), ""]
    for text in verdict_texts(plan):
        lines += wrapped(text, width)
    for left in plan.left_out:
        lines += wrapped(
            f"left out: {left.shot.id} {cut(left.shot.description, 40).rstrip()}: {left.why}",
            width,
        )
    for text in told_notes(plan):
        lines += wrapped(text, width)
    lines.append("")
    for text in CAUTIONS:
        lines += wrapped(text, width)
    return "\n".join(lines)


def plan_rows(plan: Plan) -> list[tuple[str, ...] | str]:
    """Give each line of the day: a shot's in columns, any other in words."""
    return [_plan_row(plan, line) for line in day_lines(plan)]


def verdict_texts(plan: Plan) -> Iterator[str]:
    """Say what a plan keeps, where its points come from, and how sure it is."""
    yield f"light kept {plan.light_kept:.1%}, {plan.points} points: {_account(plan.score)}"
    if plan.status == "proven":
        yield proof_text(plan)
    else:
        yield (
            f"not proven: with starts {grid_text(plan)} no order is worth more than "
            f"{plan.bound} points, "
            f"{plan.bound - plan.points} above this one ({plan.gap:.1%})"
        )


def windows_text(day: Day, found: Sequence[ShotWindows], width: int = WIDTH) -> str:
    """Lay out each shot's windows, and what is missed where there is none."""
    rows: list[tuple[str, ...] | str] = []
    for one in found:
        shot = day.shot(one.shot)
        texts = [span_times(day, one.spans)] if one.spans else [*_miss(day, one)]
        if one.held:
            texts.append(f"held only {span_times(day, one.held)}")
        elif shot.hold:
            texts.append("never fully met, as its hold asks")
        parts = [part for text in texts for part in textwrap.wrap(text, 34)]
        for row, part in enumerate(parts):
            names = (shot.id, shot.description, shot.size, shot.spot) if row == 0 else ("",) * 4
            rows.append((*names, part))
    rights = table(("id", "what", "size", "spot", "its sun is right"), rows, width, flexible=1)
    lines = [*heading(day, width), "", *rights, "", *wrapped(WINDOWS_NOTE, width)]
    return "\n".join(lines)


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
    lines = [*heading(day, width), ""]
    if kind is not None:
        lines.append(f"{kind}: the sun neither rises nor sets")
    for field in fields(events):
        when: datetime | None = getattr(events, field.name)
        lines.append(
            f"{field.name.replace('_', ' '):18}  {'none' if when is None else clock(day, when)}"
        )
    lines.append("")
    for name, spans in direct.items():
        text = f"direct sun at {name}: {span_times(day, spans) if spans else 'none'}"
        lines += wrapped(text, width)

    def magnetic(azimuth_deg: float) -> tuple[str, ...]:
        if day.declination_deg is None:
            return ()
        return (f"{(azimuth_deg - day.declination_deg) % 360:.1f}°",)

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
                clock(day, track.time_of(minute)),
                f"{azimuth:.1f}°",
                *magnetic(azimuth),
                f"{height:.1f}°",
                f"{length:.2f} m" if length < 100 else "over 100 m" if height > 0 else "none",
                bearing_text(day, shadow) if height > 0 else "",
            )
        )
    if not rows:
        return "\n".join([*lines, "", "the sun stays more than 6° below the horizon all day"])
    names = ("azimuth",) if day.declination_deg is None else ("true azimuth", "magnetic")
    header = ("time", *names, "height", "shadow of 1 m", "falls to")
    note = bearings_note(day)
    notes = ["", *wrapped(note, width)] if note else []
    return "\n".join([*lines, "", *table(header, rows, width, flexible=None), *notes])


def check_text(
    day: Day,
    opinion: SecondOpinion,
    moon: MoonPhase,
    build_min: int,
    taken: Sequence[str] = (),
    width: int = WIDTH,
) -> str:
    """Lay out the summary of a day without faults; `build_min` is the least that builds take.

    `taken` says what in the shot list was taken for what.
    """
    place, hours = day.place, day.hours
    roll = sum(shot.shoot_min for shot in day.shots if shot.id not in day.cut_ids)
    room = round((hours.hard_wrap - hours.crew_call) / timedelta(minutes=1))
    # Work that can be over when lunch falls due needs none.
    due_min = round((day.meal.latest - hours.crew_call) / timedelta(minutes=1))
    meal_min = day.meal.length_min if roll + build_min > due_min else 0
    need = roll + build_min + meal_min
    clocks = ", ".join(
        f"{field.name.replace('_', ' ')} {clock(day, getattr(hours, field.name))}"
        for field in fields(hours)
    )
    meal = f", {meal_min} of meal" if meal_min else ""
    work = f"{roll} min of rolling, {build_min} of builds{meal}: {need} of"
    short = ": more than the hours hold" if need > room else ""
    texts = (
        f"place   {position(place)}, {place.timezone}",
        f"hours   {clocks}",
        f"spots   {', '.join(spot.name for spot in day.spots)}",
        f"shots   {len(day.shots)}, weights {sum(shot.weight for shot in day.shots):g}",
        f"work    {work} {room} min at the least, without moves and waits{short}",
        f"moon    {moon.name}, {moon.illumination:.0%} lit",
        *filter(None, [bearings_note(day), decisions_note(day)]),
    )
    lines = heading(day, width)
    for text in texts:
        lines += wrapped(text, width, indent=8)
    if taken:
        lines += ["", "taken from the shot list"]
        for note in taken:
            lines += wrapped(f"- {note}", width, indent=2)
    lines += ["", "second opinion on the sun (astral)"]
    for event in opinion.events:
        ours = "none" if event.ours is None else clock(day, event.ours, seconds=True)
        theirs = "none" if event.theirs is None else clock(day, event.theirs, seconds=True)
        apart = "" if event.difference_s is None else f"  {abs(event.difference_s):.0f} s apart"
        lines.append(f"{event.name:10}  ours {ours:8}  theirs {theirs:8}{apart}")
    lines += ["", "no faults in the files; `plan` says whether all rules can be obeyed at once"]
    return "\n".join(lines)


def _plan_row(plan: Plan, line: Line) -> tuple[str, ...] | str:
    day = plan.day
    start, end = clock(day, line.start), clock(day, line.end)
    if line.kind is LineKind.MEAL:
        return f"{start}–{end}  {line.text}"
    if line.kind is not LineKind.SHOT or line.planned is None:
        return f"{start}  {timed_text(line)}"
    planned = line.planned
    height = f"{round(planned.sun_elevation_deg)}°"
    return (
        f"{start}–{end}",
        planned.shot.id,
        planned.shot.description,
        planned.shot.size,
        planned.shot.spot,
        f"{bearing_text(plan.day, planned.sun_azimuth_deg):>4} {height:>3}",
        lens_text(planned),
        f"{planned.fit:.0%}",
        last_start_text(plan, planned),
    )


def _account(score: Score) -> str:
    """Give where the points come from."""
    costs = (
        ("left out", sum(score.left_out.values())),
        ("drift in matches", sum(score.match.values())),
        ("waiting", score.waiting),
        ("first shot after the meal", score.after_meal),
        ("tight before wide", score.wide_to_tight),
        ("overtime", score.overtime),
        ("moves", score.moves),
        ("rig changes", score.rig_changes),
    )
    lost = "".join(f" − {points} {name}" for name, points in costs if points)
    return f"{sum(score.light.values())} light{lost}"


def _miss(day: Day, one: ShotWindows) -> Iterator[str]:
    yield f"never: {one.miss}"
    if one.best_fit >= NOTHING:
        yield f"nearest at {clock(day, one.best_time)}, light {one.best_fit:.0%}"
    yield from without_sun_texts(day, one)
    if one.miss_min is not None:
        side = "before first roll" if one.miss_min < 0 else "past hard wrap"
        yield f"its sun is right {abs(one.miss_min)} min {side}"
