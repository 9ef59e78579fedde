"""A skyline as the record of `--json`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from sunsched.day.clock import local_text
from sunsched.day.model import Day, Span, Spot
from sunsched.sky.skyline.peaks import highest
from sunsched.sky.skyline.seen import Seen
from sunsched.sky.skyline.skyline import Skyline


def skyline_record(
    day: Day, spot: Spot, made: Skyline | None, direct: Sequence[Span], written: Path | None
) -> dict[str, Any]:
    """Give a spot's skyline, what it was made of, and when the sun clears it; azimuths are true."""
    subject = spot.subject
    return {
        "spot": spot.name,
        "file": None if written is None else written.name,
        "subject": {
            "distance_m": subject.distance_m,
            "bearing_deg": subject.bearing_deg,
            "height_m": subject.height_m,
        },
        "told": [] if made is None else [_seen(one) for one in made.seen],
        "points": [
            {
                "azimuth_deg": round(point.azimuth_deg, 3),
                "elevation_deg": round(point.elevation_deg, 3),
                "under_deg": None if point.under_deg is None else round(point.under_deg, 3),
                "part": point.part,
                "is_wall": point.is_wall,
            }
            for point in spot.horizon
        ],
        "highest": [
            {
                "azimuth_deg": round(point.azimuth_deg, 2),
                "elevation_deg": round(point.elevation_deg, 2),
            }
            for point in highest(spot.horizon)
        ],
        "direct": [
            {"start": local_text(day, span.start), "end": local_text(day, span.end)}
            for span in direct
        ],
    }


def _seen(one: Seen) -> dict[str, Any]:
    return {
        "kind": one.line.kind,
        "words": one.told,
        "azimuth_deg": None if one.azimuth_deg is None else round(one.azimuth_deg, 2),
        "elevation_deg": None if one.elevation_deg is None else round(one.elevation_deg, 2),
        "under_deg": None if one.under_deg is None else round(one.under_deg, 2),
        "count": one.count,
    }
