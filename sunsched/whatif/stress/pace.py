"""How long changeovers and rolls really took on days that are over, against their planned minutes.

A log does not tell building from standing ready for the light. So a changeover counts only where
nothing asked for a wait: the shot could roll at the end of its planned minutes, in light as good as
in the hour after. The first one of a day does not count, as nobody notes when it began. Minutes
that were told to be lost are neither building nor rolling, and are taken away.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from sunsched.day.model import Day, Shot, Size
from sunsched.day.overruns import DEFAULT_OVERRUNS, MEDIANS, SPREADS, Overrun
from sunsched.day.past import Lost, Past
from sunsched.light.fit import DayFit, fit_day
from sunsched.plan.availability import needs
from sunsched.plan.changeover import changeover
from sunsched.whatif.stress.factor import Factor, fit_factor

AHEAD_MIN = 60  # how far on better light is looked for
LITTLE = 0.005  # a difference of fit that nobody waits for


class Work(StrEnum):
    """What is timed."""

    CHANGEOVER = "changeover"
    ROLL = "roll"


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed:
    """One piece of work that was done: its size, and its planned and its real minutes."""

    size: Size
    work: Work
    planned_min: int
    real_min: int

    @property
    def ratio(self) -> float:
        """Real over planned."""
        return self.real_min / self.planned_min


@dataclass(frozen=True, slots=True, kw_only=True)
class PaceOf:
    """The pace of one kind of work of one size, as a factor on its planned minutes."""

    size: Size
    work: Work
    factor: Factor

    @property
    def median_to_paste(self) -> float:
        """The shrunk median to two digits, as near as `day.toml` takes it."""
        return _within(self.factor.shrunk_median, MEDIANS)

    @property
    def spread_to_paste(self) -> float:
        """The shrunk spread, likewise."""
        return _within(self.factor.shrunk_spread, SPREADS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """The pace of some days: each kind of work that was seen, size by size.

    `waited` counts changeovers left out because they may hold a wait, `unplanned` shots that were
    added during the day, whose minutes nobody had planned, `by_plan` rolls and changeovers whose
    times were taken to be as planned.
    """

    days: int
    paces: tuple[PaceOf, ...]
    waited: int
    unplanned: int
    by_plan: int = 0


def pace(played: Sequence[tuple[Day, Past]]) -> Pace:
    """Compare real with planned minutes.

    Parameters
    ----------
    played : days as they were asked, with planned minutes, and what has happened on each

    Returns
    -------
    Pace
        By size and kind of work: how many, median and spread of real over planned minutes with
        their standard errors, and both shrunk toward the defaults, to be pasted.

    Examples
    --------
    >>> import sunsched
    >>> from sunsched.day.past import Lost, Past
    >>> day = sunsched.example_day()
    >>> now = day.hours.crew_call
    >>> sunsched.pace([(day, Past(at=now, free_at=now))]).paces
    ()
    """
    timed: list[Timed] = []
    waited = unplanned = by_plan = 0
    for day, past in played:
        fit = fit_day(day)
        shots = {shot.id: shot for shot in day.shots}
        over = [one for one in past.made if one.shot_id != past.running]
        for before, made in zip([None, *over], over, strict=False):
            shot = shots.get(made.shot_id)
            if shot is None:
                unplanned += 1
                continue
            rolled = made.roll_end - made.roll_start - _length(made.lost_in_roll)
            if made.starts_by_plan or made.ends_by_plan:
                by_plan += 1
            else:
                timed.append(_timed(shot, Work.ROLL, shot.shoot_min, rolled))
            if before is None or before.shot_id not in shots:
                continue
            parts = changeover(day, shots[before.shot_id], shot)
            lost = _length(made.lost_before_roll)
            ready = made.changeover_start + timedelta(minutes=parts.total_min) + lost
            if made.starts_by_plan or before.ends_by_plan:
                by_plan += 1
            elif _may_wait(fit, shot, ready):
                waited += 1
            elif parts.total_min:
                real = made.roll_start - made.changeover_start - lost
                timed.append(_timed(shot, Work.CHANGEOVER, parts.total_min, real))
    return Pace(
        days=len(played),
        paces=tuple(_paces(timed)),
        waited=waited,
        unplanned=unplanned,
        by_plan=by_plan,
    )


def _length(spans: Sequence[Lost]) -> timedelta:
    return sum((until - since for since, until in spans), timedelta())


def _timed(shot: Shot, work: Work, planned_min: int, real: timedelta) -> Timed:
    real_min = max(1, round(real / timedelta(minutes=1)))
    return Timed(size=shot.size, work=work, planned_min=planned_min, real_min=real_min)


def _may_wait(fit: DayFit, shot: Shot, ready: datetime) -> bool:
    """Say whether a shot that is ready then has anything to wait for."""
    if shot.pin is not None:
        return True
    own = fit.shots[shot.id]
    minute = min(max(0, fit.minute_of(ready)), len(fit.track) - 1)
    for need in needs(fit, shot):
        is_there = any(first <= minute < last for first, last in need.stretches)
        if need.name and not is_there:
            return True
    if shot.wish.asks_nothing:
        return False
    best = float(own.mean[minute : minute + AHEAD_MIN].max())
    return best > float(own.mean[minute]) + LITTLE


def _paces(timed: Sequence[Timed]) -> Iterator[PaceOf]:
    for size in Size:
        for work in Work:
            seen = [one.ratio for one in timed if (one.size, one.work) == (size, work)]
            if seen:
                yield PaceOf(
                    size=size,
                    work=work,
                    factor=fit_factor(seen, *_usual(DEFAULT_OVERRUNS[size], work)),
                )


def _usual(overrun: Overrun, work: Work) -> tuple[float, float]:
    if work is Work.CHANGEOVER:
        return overrun.changeover_median, overrun.changeover_spread
    return overrun.roll_median, overrun.roll_spread


def _within(figure: float, limits: tuple[float, float]) -> float:
    return round(min(max(figure, limits[0]), limits[1]), 2)
