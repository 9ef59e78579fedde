"""How well the sun meets each shot's wish, minute by minute, with every part kept apart.

The fit of a shot is the product of its parts, each 0 to 1. A shot that rolls for d minutes from
minute t earns the mean of its fit over minutes t … t+d−1, times its weight, times 1000, rounded.
Where a figure is a fact of the trade it is common practice; no standard defines it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
import numpy.typing as npt

from sunsched.day.model import Band, CameraSide, Day, Shot, Span, SunSide, Wish
from sunsched.sky.horizon import direct_share
from sunsched.sky.track import FloatArray, SunTrack, sun_from_lens_deg, sun_track

IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]

# |sun from lens| of each side, degrees. Common practice, no source.
SIDE_BANDS_DEG: dict[SunSide, tuple[float, float]] = {
    SunSide.BACK: (0.0, 35.0),
    SunSide.THREE_QUARTER_BACK: (35.0, 70.0),
    SunSide.SIDE: (70.0, 110.0),
    SunSide.THREE_QUARTER_FRONT: (110.0, 145.0),
    SunSide.FRONT: (145.0, 180.0),
}
# Light from above: harmless up to the first elevation, at its worst from the second on, degrees.
# Common practice, no source.
TOP_LIGHT_DEG = (45.0, 70.0)
# A shot that asks nothing leaves the low sun to the others: 0.85 at the first elevation and below,
# 1 at the second and above. Common practice, no source.
SPARE_DEG = (15.0, 45.0)
SPARE_FLOOR = 0.85
# The sun's centre at sunrise and sunset: Explanatory Supplement (2013), section 12.3.1.
DAYLIGHT_DEG = -50.0 / 60.0
WHOLE = 1.0 - 1e-9  # a part at or above this is fully met


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotFit:
    """One shot's fit through the day; every array has one value a minute of the track.

    `parts` maps the name of a part to its values; parts that are not asked of the shot are missing.
    `held` is True where the sun side, the bands and the horizon are fully met. `mean` is the fit
    averaged over a roll that starts at the minute, `points` what that roll earns; both are 0 where
    the roll would run past the end of the track.
    """

    shot: Shot
    parts: dict[str, FloatArray]
    fit: FloatArray
    held: BoolArray
    mean: FloatArray
    points: IntArray


@dataclass(frozen=True, slots=True, kw_only=True)
class DayFit:
    """The sun of a day and the fit of each of its shots, on one minute grid.

    Minute 0 is local midnight of the day's date, or the crew call where that comes first.
    """

    day: Day
    track: SunTrack
    shots: dict[str, ShotFit]

    def minute_of(self, when: datetime) -> int:
        """Give the minute of a moment; it may lie outside the track."""
        return self.track.minute_of(when)

    def time_of(self, minute: int) -> datetime:
        """Give the moment at which a minute starts."""
        return self.track.time_of(minute)


def fit_day(day: Day) -> DayFit:
    """Compute the sun of the whole local day and how it meets every shot (about 30 ms)."""
    midnight = datetime.combine(day.date, datetime.min.time(), tzinfo=day.place.zone)
    start = min(midnight.astimezone(day.hours.crew_call.tzinfo), day.hours.crew_call)
    next_midnight = datetime.combine(
        day.date + timedelta(days=1), datetime.min.time(), tzinfo=day.place.zone
    ).astimezone(day.hours.crew_call.tzinfo)
    end = max(next_midnight, day.hours.hard_wrap)
    track = sun_track(day.place, start, end)
    clouds = _cloud_cover(day, track)
    shares = {spot.name: direct_share(spot.horizon, track) for spot in day.spots}
    shots = {shot.id: _fit_shot(day, shot, track, shares[shot.spot], clouds) for shot in day.shots}
    return DayFit(day=day, track=track, shots=shots)


def held_throughout(fit: DayFit, shot: Shot, starts: IntArray) -> BoolArray:
    """Mark the starts from which a held shot's sun stays right for the whole roll."""
    held = fit.shots[shot.id].held
    missed = np.concatenate(([0], np.cumsum(~held)))
    last = len(held) - shot.shoot_min
    clipped = np.clip(starts, 0, max(last, 0))
    whole: BoolArray = missed[np.minimum(clipped + shot.shoot_min, len(held))] == missed[clipped]
    return whole & (starts >= 0) & (starts <= last)


def within(fit: DayFit, spans: tuple[Span, ...], starts: IntArray, ends: IntArray) -> BoolArray:
    """Mark the stretches from a start to an end, in minutes, that lie in one of some hours."""
    marked = np.zeros(starts.shape, dtype=np.bool_)
    for span in spans:
        marked |= (fit.minute_of(span.start) <= starts) & (ends <= fit.minute_of(span.end))
    return marked


def _fit_shot(
    day: Day, shot: Shot, track: SunTrack, direct: FloatArray, clouds: FloatArray
) -> ShotFit:
    geometry = _geometry_parts(shot, track)
    parts = geometry | _light_parts(shot.wish, direct, clouds) | _height_parts(day, shot, track)
    fit = np.ones(len(track))
    for part in parts.values():
        fit = fit * part
    # A hold does not look at cloud, so its light is that of a clear sky.
    clear = _light_parts(shot.wish, direct, np.zeros_like(direct))
    held = np.ones(len(track), dtype=np.bool_)
    for part in (geometry | clear).values():
        held &= part >= WHOLE
    mean = _mean_over_roll(fit, shot.shoot_min)
    points = np.floor(1000.0 * shot.weight * mean + 0.5).astype(np.int64)
    return ShotFit(shot=shot, parts=parts, fit=fit, held=held, mean=mean, points=points)


def _geometry_parts(shot: Shot, track: SunTrack) -> dict[str, FloatArray]:
    """Give the parts that depend on where the sun stands: side, azimuth, elevation, evening."""
    wish = shot.wish
    parts: dict[str, FloatArray] = {}
    arcs = side_arcs(wish)
    if arcs:
        from_lens = sun_from_lens_deg(track.azimuth_deg, shot.look_deg)
        past = np.min([past_arc_deg(from_lens, low, high) for low, high in arcs], axis=0)
        parts["sun side"] = _falloff(past, wish.give_deg)
    if wish.azimuth is not None:
        band = wish.azimuth
        past = past_arc_deg(track.azimuth_deg, band.low_deg, band.high_deg)
        parts["azimuth"] = _falloff(past, band.give_deg)
    if wish.elevation is not None:
        parts["elevation"] = _falloff(
            past_band_deg(track.elevation_deg, wish.elevation), wish.elevation.give_deg
        )
    if wish.side is SunSide.DUSK:
        # Dusk is the end of the day: the sun on its way down, not the twilight before sunrise.
        sinking = (
            np.diff(
                track.elevation_deg, append=2 * track.elevation_deg[-1] - track.elevation_deg[-2]
            )
            < 0
        )
        parts["evening"] = sinking.astype(np.float64)
    return parts


def _light_parts(wish: Wish, direct: FloatArray, clouds: FloatArray) -> dict[str, FloatArray]:
    """Give the parts that say what of the sun reaches the subject, past skyline and cloud."""
    if wish.side is SunSide.SHADE:
        return {"shade": 1.0 - direct * (1.0 - clouds)}
    if wish.asks_direct_sun:
        return {"direct sun": direct, "clear sky": 1.0 - clouds}
    return {}


def _height_parts(day: Day, shot: Shot, track: SunTrack) -> dict[str, FloatArray]:
    """Give the parts that depend on the sun's height alone: top light, spare, daylight."""
    parts: dict[str, FloatArray] = {}
    wish, elevation = shot.wish, track.elevation_deg
    if wish.side not in (SunSide.SHADE, SunSide.DUSK):
        floor = day.sizes[shot.size].top_light
        parts["top light"] = np.interp(elevation, TOP_LIGHT_DEG, (1.0, floor))
    if wish.asks_nothing:
        parts["spare"] = np.interp(elevation, SPARE_DEG, (SPARE_FLOOR, 1.0))
    if wish.needs_daylight:
        parts["daylight"] = (elevation > DAYLIGHT_DEG).astype(np.float64)
    return parts


def side_arcs(wish: Wish) -> tuple[tuple[float, float], ...]:
    """Give the arcs of sun from lens that meet the side, clockwise; none when no side is asked."""
    if wish.side in SIDE_BANDS_DEG:
        low, high = SIDE_BANDS_DEG[wish.side]
    elif wish.camera_side is not None:
        low, high = 0.0, 180.0
    else:
        return ()
    right, left = (low, high), (-high, -low)
    if wish.camera_side is CameraSide.RIGHT:
        return (right,)
    if wish.camera_side is CameraSide.LEFT:
        return (left,)
    return (right, left)


def past_arc_deg(angle_deg: FloatArray, low_deg: float, high_deg: float) -> FloatArray:
    """Give the degrees by which an angle lies outside the arc from low clockwise to high."""
    width = (high_deg - low_deg) % 360.0
    if width == 0.0 and high_deg != low_deg:
        return np.zeros_like(angle_deg)
    past = (angle_deg - low_deg) % 360.0 - width
    return np.maximum(0.0, np.minimum(past, 360.0 - width - past))


def past_band_deg(elevation_deg: FloatArray, band: Band) -> FloatArray:
    """Give the degrees by which an elevation lies outside a band."""
    return np.maximum(0.0, np.maximum(band.low_deg - elevation_deg, elevation_deg - band.high_deg))


def _falloff(past_deg: FloatArray, give_deg: float) -> FloatArray:
    """Give 1 inside a band, falling linearly to 0 over the give."""
    if give_deg == 0.0:
        return (past_deg <= 0.0).astype(np.float64)
    return np.clip(1.0 - past_deg / give_deg, 0.0, 1.0)


def _cloud_cover(day: Day, track: SunTrack) -> FloatArray:
    """Give the forecast cloud cover at each minute; the first and last forecast are held."""
    if not day.clouds:
        return np.zeros(len(track))
    minutes = [(cloud.time - track.start).total_seconds() / 60.0 for cloud in day.clouds]
    covers = [cloud.cover for cloud in day.clouds]
    return np.interp(np.arange(len(track)), minutes, covers)


def _mean_over_roll(fit: FloatArray, shoot_min: int) -> FloatArray:
    """Average the fit over a roll from each minute; 0 where the roll leaves the track."""
    mean = np.zeros_like(fit)
    if shoot_min <= len(fit):
        sums = np.concatenate(([0.0], np.cumsum(fit)))
        mean[: len(fit) - shoot_min + 1] = (sums[shoot_min:] - sums[:-shoot_min]) / shoot_min
    return np.clip(mean, 0.0, 1.0)
