"""When each shot's sun is right, and by how much it is missed where it never is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from sunsched.day.model import Span
from sunsched.day.wish import SunSide
from sunsched.light.angles import degrees, past_arc_deg, past_band_deg, side_arcs
from sunsched.light.fit import (
    HALF,
    SUNLIT_SHADE,
    BoolArray,
    DayFit,
    ShotFit,
)
from sunsched.light.parts import DAYLIGHT_DEG, TOP_LIGHT_DEG
from sunsched.light.stretches import runs
from sunsched.sky.horizon import lacking_deg, showing_deg
from sunsched.sky.track import FloatArray, sun_from_lens_deg

ARRIVAL = ("direct sun", "clear sky")  # the parts that say how much of the sun reaches the subject


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotWindows:
    """One shot's windows within the hours, from the first roll to the hard wrap; times are UTC.

    A window tells when the sun itself is right. `flat` are the stretches between them in which
    flat light keeps half of the shot's light, `frames` those in which frames are needed for that,
    `most_light` the most that any minute keeps. `held` are the stretches in which a held shot's
    wish is fully met, empty for other shots. `best_time` is the minute of the hours that is best by
    the sun itself, `best_fit` what it keeps; where every minute has none, the one in which the
    angles come nearest. The rest is set only for a shot without a window: `fails` is the part of
    the fit that is smallest at that minute, `miss_deg` how far its angle is off then (None for a
    part without an angle), `miss` the same in words, `miss_min` how far the hours would have to
    reach to touch the nearest window of the same day: negative before the first roll, positive past
    the hard wrap, None when the day has no window at all.
    """

    shot: str
    spans: tuple[Span, ...]
    flat: tuple[Span, ...]
    frames: tuple[Span, ...]
    held: tuple[Span, ...]
    most_light: float
    best_fit: float
    best_time: datetime
    fails: str | None = None
    miss_deg: float | None = None
    miss: str = ""
    miss_min: int | None = None


def windows(fit: DayFit) -> tuple[ShotWindows, ...]:
    """Find each shot's windows, in the order of the day's shots.

    Parameters
    ----------
    fit : the day's sun and light, of `fit_day`

    Returns
    -------
    tuple[ShotWindows, ...]
        Windows in UTC, for each shot.

    Examples
    --------
    >>> import sunsched
    >>> fit = sunsched.fit_day(sunsched.example_day())
    >>> [(found.shot, len(found.spans)) for found in sunsched.windows(fit)][:2]
    [('1', 1), ('2', 1)]
    """
    hours = fit.day.hours
    first, last = fit.minute_of(hours.first_roll), fit.minute_of(hours.hard_wrap)
    return tuple(_shot_windows(fit, own, first, last) for own in fit.shots.values())


def taken_by(own: ShotFit, name: str) -> FloatArray:
    """Give the light that a part of the fit costs a shot: what the shot would win with it at 1.

    Below 0 where more sun would be worse, as for a shot that wants shade.
    """
    wish = own.shot.wish
    parts = own.parts | {name: np.ones_like(own.fit)}
    arrives, direct = np.ones_like(own.fit), np.ones_like(own.fit)
    for part, values in parts.items():
        if part in ARRIVAL:
            arrives = arrives * values
        elif part not in ("shade", "daylight"):
            direct = direct * values
    if wish.is_twilight:
        return direct - own.fit
    if wish.side is SunSide.SHADE:
        direct = direct * SUNLIT_SHADE
        arrives = np.zeros_like(arrives) if name == "shade" else arrives
    loss = 1.0 - (arrives * direct + (1.0 - arrives) * own.flat)
    whole: FloatArray = parts["daylight"] * (1.0 - (1.0 - own.control) * loss)
    return whole - own.fit


def _shot_windows(fit: DayFit, own: ShotFit, first: int, last: int) -> ShotWindows:
    right = own.by_itself >= HALF
    misses = _misses_deg(fit, own)
    best = first + _best_minute(own, misses, first, last)
    spans = _spans(fit, right, first, last)
    is_flat = ~right & (_without_frames(own) >= HALF)
    is_framed = ~right & ~is_flat & (own.fit >= HALF)
    found = ShotWindows(
        shot=own.shot.id,
        spans=spans,
        flat=_spans(fit, is_flat, first, last),
        frames=_spans(fit, is_framed, first, last),
        most_light=float(own.fit[first:last].max()),
        held=_spans(fit, own.held, first, last) if own.shot.hold else (),
        best_fit=float(own.by_itself[best]),
        best_time=fit.time_of(best),
    )
    if spans:
        return found
    # Of parts that are equally small, the one whose angle is furthest off tells most.
    fails = min(
        own.parts,
        key=lambda name: (own.parts[name][best], -misses[name][best] if name in misses else 0.0),
    )
    return replace(
        found,
        fails=fails,
        miss_deg=float(misses[fails][best]) if fails in misses else None,
        miss=_miss_text(fit, own, fails, misses, best),
        miss_min=_miss_min(right, first, last),
    )


def _without_frames(own: ShotFit) -> FloatArray:
    """Give what the light of a shot is at each minute, flat light counted, if no frame helps."""
    lit = own.arrives * own.direct + (1.0 - own.arrives) * own.flat
    return lit * own.parts.get("daylight", 1.0)


def _miss_text(
    fit: DayFit, own: ShotFit, fails: str, misses: dict[str, FloatArray], minute: int
) -> str:
    """Say how a sun is wrong by the part that fails, as people say it."""
    track, wish = fit.track, own.shot.wish
    off = degrees(float(misses[fails][minute])) if fails in misses else ""
    height = float(track.elevation_deg[minute])
    if fails == "elevation" and wish.elevation is not None:
        return f"the sun is {off} too {'low' if height < wish.elevation.low_deg else 'high'}"
    if fails == "direct sun":
        return f"the skyline hides the sun, {off} too low"
    if fails == "clear sky":
        return f"cloud hides the sun ({1.0 - own.parts[fails][minute]:.0%} cover)"
    return {
        "sun side": f"the sun is {off} too far round",
        "azimuth": f"the sun is {off} past its azimuths",
        "evening": "the sun still climbs",
        "top light": f"the sun lights from {height:.0f}° above",
        "shade": "the sun reaches it",
        "daylight": "it is dark",
    }[fails]


def _best_minute(own: ShotFit, misses: dict[str, FloatArray], first: int, last: int) -> int:
    """Give the best minute of the hours, counted from their first."""
    inside = own.by_itself[first:last]
    if inside.max() > 0.0 or not misses:
        return int(inside.argmax())
    off = np.sum([miss[first:last] for miss in misses.values()], axis=0)
    return int(off.argmin())


def _spans(fit: DayFit, right: BoolArray, first: int, last: int) -> tuple[Span, ...]:
    return tuple(
        Span(start=fit.time_of(first + start), end=fit.time_of(first + end))
        for start, end in runs(right[first:last])
    )


def _miss_min(right: BoolArray, first: int, last: int) -> int | None:
    minutes = np.flatnonzero(right)
    before, after = minutes[minutes < first], minutes[minutes >= last]
    reaches = [int(before.max()) - first] if before.size else []
    if after.size:
        reaches.append(int(after.min()) - last + 1)
    return min(reaches, key=abs, default=None)


def _misses_deg(fit: DayFit, own: ShotFit) -> dict[str, FloatArray]:
    """Give, for each part with an angle, the degrees by which it is off at every minute."""
    track, wish = fit.track, own.shot.wish
    skyline = fit.day.spot(own.shot.spot).horizon
    misses: dict[str, FloatArray] = {}
    for name in own.parts:
        if name == "sun side":
            from_lens = sun_from_lens_deg(track.azimuth_deg, own.shot.look_deg)
            arcs = [past_arc_deg(from_lens, low, high) for low, high in side_arcs(wish)]
            misses[name] = np.min(arcs, axis=0)
        elif name == "azimuth" and wish.azimuth is not None:
            band = wish.azimuth
            misses[name] = past_arc_deg(track.azimuth_deg, band.low_deg, band.high_deg)
        elif name == "elevation" and wish.elevation is not None:
            misses[name] = past_band_deg(track.elevation_deg, wish.elevation)
        elif name == "direct sun":
            misses[name] = lacking_deg(skyline, track)
        elif name == "shade":
            misses[name] = np.maximum(0.0, showing_deg(skyline, track))
        elif name == "top light":
            misses[name] = np.maximum(0.0, track.elevation_deg - TOP_LIGHT_DEG[0])
        elif name == "daylight":
            misses[name] = np.maximum(0.0, DAYLIGHT_DEG - track.elevation_deg)
    return misses
