"""How good the light is for each shot, minute by minute, with every part kept apart.

The light of a shot at a minute is a share from 0 to 1:

    light = daylight · [1 − (1 − control) · (1 − (a · D + (1 − a) · F))]

with *a* the share of the sun that arrives past skyline and cloud, *D* what the shot is worth in
that sun, *F* what it is worth without, and *control* what frames pulled in make up for. A shot that
rolls for d minutes from minute t earns the mean of its light over minutes t … t+d−1, times its
weight, times 1000, rounded. Every figure is common practice; no standard defines one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
import numpy.typing as npt

from sunsched.day.model import Day, Shot
from sunsched.day.wish import SunSide
from sunsched.folder.check import check_day
from sunsched.light.day_sun import DaySun, day_sun
from sunsched.light.frames import covered_by_frames
from sunsched.light.parts import arrival_parts, daylight_part, geometry_parts, top_parts
from sunsched.sky.track import FloatArray, SunTrack

IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]

SUNLIT_SHADE = 0.2  # what direct sun is worth to a shot that wants shade
WHOLE = 1.0 - 1e-9  # a part at or above this is fully met
HALF = 0.5  # a shot keeps its light while its fit over the roll is at least this


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotFit:
    """One shot's light through the day; every array has one value a minute of the track.

    `parts` maps the name of a part to its values; parts that are not asked of the shot are missing.
    `arrives` is the share of the sun that reaches the subject, `direct` what the shot is worth in
    it, `flat` what it is worth without it, `control` the share of a loss that frames make up for at
    the minute: none where the frame that is named for it does not cover the subject.
    `fit` is its light. `held` is True where the sun side, the bands and the horizon are fully met.
    `mean` is the light averaged over a roll that starts at the minute, `points` what that roll
    earns; both are 0 where the roll would run past the end of the track.
    """

    shot: Shot
    parts: dict[str, FloatArray]
    arrives: FloatArray
    direct: FloatArray
    flat: float
    control: FloatArray
    fit: FloatArray
    held: BoolArray
    mean: FloatArray
    points: IntArray

    @property
    def by_itself(self) -> FloatArray:
        """What its light is without frames, and with flat light counted only where it is wanted."""
        wish = self.shot.wish
        is_flat_wanted = wish.asks_nothing or wish.side is SunSide.SHADE
        flat = self.flat if is_flat_wanted else 0.0
        lit = self.arrives * self.direct + (1.0 - self.arrives) * flat
        return lit * self.parts.get("daylight", np.ones_like(lit))


@dataclass(frozen=True, slots=True, kw_only=True)
class DayFit:
    """The sun of a day and the fit of each of its shots, on one minute grid.

    Minute 0 is local midnight of the day's date, or the crew call where that comes first.
    """

    day: Day
    track: SunTrack
    shots: dict[str, ShotFit]

    def __repr__(self) -> str:
        """Give one line, not every minute."""
        return f"<DayFit of {self.day.title!r}, {self.day.date}: {len(self.shots)} shots>"

    def minute_of(self, when: datetime) -> int:
        """Give the minute of a moment; it may lie outside the track."""
        return self.track.minute_of(when)

    def time_of(self, minute: int) -> datetime:
        """Give the moment at which a minute starts."""
        return self.track.time_of(minute)


def fit_day(day: Day) -> DayFit:
    """Compute the sun of the whole local day and how it meets every shot (about 30 ms).

    Parameters
    ----------
    day : Day
        The day, read or made by hand.

    Returns
    -------
    DayFit
        `track` is the sun at each minute; `shots` has the light of each shot by its id, as arrays
        of shape (minutes of the track,), 0 to 1.

    Raises
    ------
    FolderError
        With every fault of a day made by hand.

    Examples
    --------
    >>> import sunsched
    >>> fit = sunsched.fit_day(sunsched.example_day())
    >>> noon = fit.track.apparent_elevation_deg.argmax()
    >>> print(f"{fit.track.apparent_elevation_deg[noon]:.1f}° at {fit.time_of(noon):%H:%M} UTC")
    75.7° at 12:29 UTC
    >>> fit.shots["1"].fit.shape == fit.track.azimuth_deg.shape
    True
    """
    check_day(day)
    return fit_checked(day)


def fit_checked(day: Day, sun: DaySun | None = None) -> DayFit:
    """Compute what `fit_day` does for a day that was checked, or was made of one that was.

    The sun of the day is computed too unless it is given.
    """
    sun = day_sun(day) if sun is None else sun
    shots = {shot.id: fit_shot(day, shot, sun) for shot in day.shots}
    return DayFit(day=day, track=sun.track, shots=shots)


def fit_shot(day: Day, shot: Shot, sun: DaySun) -> ShotFit:
    """Compute the light of one shot of a day under the day's sun (less than a millisecond)."""
    return _fit_shot(day, shot, sun.track, sun.clear[shot.spot], sun.clouds)


def fit_again(fit: DayFit, day: Day) -> DayFit:
    """Give what `fit_checked` gives for a day that was made of the day of a fit.

    Where no more has changed than who is there, what is eaten when, which shots are pinned or come
    after others, and how long work takes, the light of the minutes is the same.
    """
    as_long = {shot.id: shot for shot in fit.day.shots}
    timed = [_as_long_as(shot, as_long.get(shot.id, shot)) for shot in day.shots]
    moved = replace(day, shots=tuple(timed), moves=fit.day.moves, changeover=fit.day.changeover)
    if not _keeps_light(fit.day, moved):
        return fit_checked(day)
    own = {shot.id: _for_roll(fit.shots[shot.id], shot) for shot in day.shots}
    return DayFit(day=day, track=fit.track, shots=own)


def _as_long_as(shot: Shot, other: Shot) -> Shot:
    return replace(
        shot,
        setup_min=other.setup_min,
        adjust_min=other.adjust_min,
        shoot_min=other.shoot_min,
    )


def _for_roll(own: ShotFit, shot: Shot) -> ShotFit:
    """Give the light of a shot for a roll that may take another time than it did."""
    if shot.shoot_min == own.shot.shoot_min:
        return replace(own, shot=shot)
    mean = _mean_over_roll(own.fit, shot.shoot_min)
    return replace(own, shot=shot, mean=mean, points=_points(shot, mean))


def is_same_light(fit: DayFit, other: DayFit) -> bool:
    """Say of two fits whether `fit_again` made one of them of the other; hours are the same too."""
    return fit.track is other.track and _keeps_light(other.day, fit.day)


def _keeps_light(was: Day, day: Day) -> bool:
    """Say whether no more has changed of a day than what no light depends on."""
    as_was = replace(
        day, shots=was.shots, cast=was.cast, meal=was.meal, decisions=was.decisions, past=was.past
    )
    shots = {shot.id: replace(shot, pin=None, after=()) for shot in was.shots}
    return as_was == was and all(
        replace(shot, pin=None, after=()) == shots.get(shot.id) for shot in day.shots
    )


def _fit_shot(
    day: Day, shot: Shot, track: SunTrack, clear: FloatArray, clouds: FloatArray
) -> ShotFit:
    wish, everywhere = shot.wish, np.ones(len(track))
    geometry = geometry_parts(shot, track)
    arrival = arrival_parts(wish, track, clear, clouds)
    covered = covered_by_frames(day, shot, track)
    top = top_parts(day, shot, track, covered)
    arrives = _product(arrival, everywhere)
    direct = _product(geometry | top, everywhere)
    control: FloatArray = day.control(shot) * covered.astype(np.float64)
    flat = day.sizes[shot.size].flat
    parts = geometry | arrival | top
    if wish.side is SunSide.SHADE:
        direct = direct * SUNLIT_SHADE
        parts["shade"] = 1.0 - arrives
        flat = 1.0
    elif wish.asks_nothing:
        flat = 1.0
    elif shot.hold:
        flat = 0.0
    if wish.is_twilight:
        control, flat = np.zeros(len(track)), 0.0
        fit = direct
    else:
        parts["daylight"] = daylight_part(wish, track)
        loss = 1.0 - (arrives * direct + (1.0 - arrives) * flat)
        fit = parts["daylight"] * (1.0 - (1.0 - control) * loss)
    # A hold does not look at cloud, so its light is that of a clear sky.
    asked = geometry | arrival_parts(wish, track, clear, np.zeros_like(clouds))
    if wish.side is SunSide.SHADE:
        asked = geometry | {"shade": 1.0 - clear}
    held = np.ones(len(track), dtype=np.bool_)
    for part in asked.values():
        held &= part >= WHOLE
    mean = _mean_over_roll(fit, shot.shoot_min)
    return ShotFit(
        shot=shot,
        parts=parts,
        arrives=arrives,
        direct=direct,
        flat=flat,
        control=control,
        fit=fit,
        held=held,
        mean=mean,
        points=_points(shot, mean),
    )


def _product(parts: dict[str, FloatArray], everywhere: FloatArray) -> FloatArray:
    whole = everywhere
    for part in parts.values():
        whole = whole * part
    return whole


def _points(shot: Shot, mean: FloatArray) -> IntArray:
    return np.floor(1000.0 * shot.weight * mean + 0.5).astype(np.int64)


def _mean_over_roll(fit: FloatArray, shoot_min: int) -> FloatArray:
    """Average the fit over a roll from each minute; 0 where the roll leaves the track."""
    mean = np.zeros_like(fit)
    if shoot_min <= len(fit):
        sums = np.concatenate(([0.0], np.cumsum(fit)))
        mean[: len(fit) - shoot_min + 1] = (sums[shoot_min:] - sums[:-shoot_min]) / shoot_min
    return np.clip(mean, 0.0, 1.0)
