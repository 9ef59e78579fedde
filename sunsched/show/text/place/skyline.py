"""A skyline in words: what was taken, what was made of it, and when the sun clears it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path, PurePath

import numpy as np

from sunsched.day.model import Day, Span, Spot
from sunsched.show.agenda import CAUTIONS
from sunsched.show.layout import bearing_text, bearings_note, heading, span_times, wrapped
from sunsched.show.text.day import WIDTH
from sunsched.sky.horizon import overhangs
from sunsched.sky.skyline.peaks import highest
from sunsched.sky.skyline.ridge import HELD_DEG, JOINED_DEG
from sunsched.sky.skyline.seen import Seen
from sunsched.sky.skyline.skyline import Skyline
from sunsched.sky.skyline.terrain import Terrain

MAPPED = ("terrain", "footprints")  # what has coordinates
NEAR_M = 10_000.0  # terrain that is known for less may lack the ridge that hides the sun


def skyline_text(
    day: Day,
    spot: Spot,
    made: Skyline | None,
    direct: Sequence[Span],
    level: Sequence[Span],
    written: Path | None,
    width: int = WIDTH,
) -> str:
    """Say what a skyline was made of and what it is."""
    lines = [*heading(day, width), ""]
    lines += wrapped(seen_from(day, spot), width)
    if made is not None:
        lines.append("taken:")
        for one in made.seen:
            lines += wrapped(f"- {_taken_text(day, one, made.terrain)}", width)
        for text in _unknown_texts(day, spot, made):
            lines += wrapped(text, width)
    lines.append("")
    for text in _made_texts(day, spot, direct, level, written):
        lines += wrapped(text, width)
    if bearings_note(day):
        lines += wrapped(bearings_note(day), width)
    return "\n".join([*lines, "", *wrapped(CAUTIONS[0], width)])


def seen_from(day: Day, spot: Spot) -> str:
    """Say from where a skyline is seen."""
    subject = spot.subject
    where = f"{subject.height_m:g} m above the ground"
    if subject.distance_m:
        bearing = bearing_text(day, subject.bearing_deg)
        where += f", {subject.distance_m:g} m from the camera at {bearing}"
    return f"the skyline of {spot.name}, seen from its subject's face, {where}"


def _taken_text(day: Day, one: Seen, terrain: Terrain | None) -> str:
    kind, found = one.line.kind, f"{one.line.kind} {one.told}"
    if kind == "terrain" and terrain is not None:
        tiles = "a tile" if one.count == 1 else f"{one.count} tiles"
        found = f"terrain of {tiles}, the ground at the subject {terrain.ground_m:.0f} m above sea"
    if kind == "footprints":
        found = f"footprints {PurePath(one.told).name}, {one.count} near enough to count"
    if one.elevation_deg is None or one.azimuth_deg is None:
        return f"{found}: hides nothing above the level horizon"
    at = f"{one.elevation_deg:.1f}° high at {bearing_text(day, one.azimuth_deg)}"
    if kind == "sun":
        return f"{found}: the skyline is {at}"
    if one.elevation_deg >= 90:
        at = "overhead"
    text = f"{found}: up to {at}" if kind != "note" else f"{found}: {at}"
    if one.under_deg is not None:
        text += f", open below, from {one.under_deg:.1f}° down"
    if one.span_deg is not None and kind == "wall" and "from" not in one.told:
        start, end = (bearing_text(day, azimuth) for azimuth in one.span_deg)
        text += f", from {start} to {end}"
    return text


def _unknown_texts(day: Day, spot: Spot, made: Skyline) -> Iterator[str]:
    """Say what is not known, and was taken for something."""
    if spot.latitude_deg is None and any(one.line.kind in MAPPED for one in made.seen):
        yield (
            f"terrain and footprints are seen from the place's {day.place.latitude_deg:.5f}, "
            f"{day.place.longitude_deg:.5f}, as the spot has no coordinates of its own"
        )
    if made.ridges_deg:
        spans = ", ".join(
            f"{bearing_text(day, start)} to {bearing_text(day, end)}"
            for start, end in made.ridges_deg
            if end - start < 360
        )
        if spans:
            yield (
                f"ridges by notes and the sun: {spans}; points up to {JOINED_DEG:g}° apart are "
                "joined, and the ends go on level, past where the sun rose or set, for "
                f"{HELD_DEG:g}° (common practice, no source). Note more points where the sun passes"
            )
    if made.terrain is None:
        yield "where nothing was told the horizon is level"
    elif made.terrain.known_m.min() < NEAR_M:
        least = int(np.argmin(made.terrain.known_m))
        yield (
            f"terrain is known for {made.terrain.known_m[least] / 1000:.0f} km only toward "
            f"{bearing_text(day, float(made.terrain.rays_deg[least]))}: what stands behind is not "
            "in the skyline; add the tile beside it"
        )


def _made_texts(
    day: Day, spot: Spot, direct: Sequence[Span], level: Sequence[Span], written: Path | None
) -> Iterator[str]:
    if not spot.horizon:
        yield (
            "no skyline yet, so the horizon is level; tell walls (`--wall`), ridges (`--sun`, "
            "`--note`), roofs, terrain or footprints: `sunsched skyline --help`"
        )
    tops = highest(spot.horizon)
    if tops:
        listed = ", ".join(
            f"{top.elevation_deg:.1f}° at {bearing_text(day, top.azimuth_deg)}" for top in tops
        )
        yield f"highest: {listed}"
    over = overhangs(spot.horizon)
    if over:
        yield f"overhangs: {len(over)}; the sun is seen below them and above them"
    yield f"direct sun on {day.date}: {span_times(day, direct) if direct else 'none'}"
    yield f"on a level horizon: {span_times(day, level) if level else 'none'}"
    if written is not None:
        base = sum(point.under_deg is None for point in spot.horizon)
        yield f"{written.name} written, {base} points"
