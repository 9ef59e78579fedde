"""How long changeovers and rolls really took on days that are over, against their planned minutes.

A log does not tell building from standing ready for the light. So a changeover counts only where
nothing asked for a wait: the shot could roll at the end of its planned minutes, in light as good as
in the hour after. The first one of a day does not count, as nobody notes when it began. Minutes
that were lost before a roll count as its changeover's: to the order, they are.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from sunsched.day.model import Day, Shot, Size, SizeFacts
from sunsched.day.overruns import MEDIANS, SPREADS
from sunsched.day.past import Past
from sunsched.folder.settings.keys import MAX_MINUTES
from sunsched.light.fit import DayFit, fit_day
from sunsched.plan.availability import needs
from sunsched.plan.changeover import changeover

if TYPE_CHECKING:
    import pandas as pd

ENOUGH = 3  # fewer pieces of work say nothing about a pace
AHEAD_MIN = 60  # how far on better light is looked for
LITTLE = 0.005  # a difference of fit that nobody waits for


class Work(StrEnum):
    """What is timed: changeovers from scratch, those in the same spot and rig, and rolls."""

    SETUP = "setup"
    ADJUST = "adjust"
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
    """The pace of one kind of work of one size.

    `median` is of real over planned minutes. `spread` is the standard deviation of that ratio's
    logarithm, None for a single one.
    """

    size: Size
    work: Work
    count: int
    median: float
    spread: float | None

    @property
    def is_enough(self) -> bool:
        """Whether there are enough of them to plan by."""
        return self.count >= ENOUGH


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What to write in the next `day.toml` for one size; None leaves a key as it is.

    Medians that `setup_min` and `adjust_min` already hold are not asked for twice: with one of them
    `changeover_median` is 1.
    """

    size: Size
    setup_min: int | None
    adjust_min: int | None
    changeover_median: float | None
    changeover_spread: float | None
    roll_median: float | None
    roll_spread: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """The pace of some days, size by size.

    `waited` counts changeovers left out because they may hold a wait, `unplanned` shots that were
    added during the day, whose minutes nobody had planned.
    """

    days: int
    paces: tuple[PaceOf, ...]
    advice: tuple[Advice, ...]
    waited: int
    unplanned: int


def pace(played: Sequence[tuple[Day, Past]]) -> Pace:
    """Compare real with planned minutes.

    Parameters
    ----------
    played : days as they were asked, with planned minutes, and what has happened on each; the sizes
        of the last one are those that the advice is for

    Returns
    -------
    Pace
        By size and kind of work: how many, and the ratio of real to planned minutes.

    Examples
    --------
    >>> import sunsched
    >>> from sunsched.day.past import Past
    >>> day = sunsched.example_day()
    >>> now = day.hours.crew_call
    >>> sunsched.pace([(day, Past(at=now, free_at=now))]).paces
    ()
    """
    timed: list[Timed] = []
    waited = unplanned = 0
    for day, past in played:
        fit = fit_day(day)
        shots = {shot.id: shot for shot in day.shots}
        over = [one for one in past.made if one.shot_id != past.running]
        for before, made in zip([None, *over], over, strict=False):
            shot = shots.get(made.shot_id)
            if shot is None:
                unplanned += 1
                continue
            timed.append(_timed(shot, Work.ROLL, shot.shoot_min, made.roll_end - made.roll_start))
            if before is None or before.shot_id not in shots:
                continue
            parts = changeover(day, shots[before.shot_id], shot)
            if _may_wait(fit, shot, made.changeover_start + timedelta(minutes=parts.total_min)):
                waited += 1
            elif parts.total_min:
                work = Work.ADJUST if parts.is_adjust else Work.SETUP
                real = made.roll_start - made.changeover_start
                timed.append(_timed(shot, work, parts.total_min, real))
    table = _table(timed)
    paces = tuple(_paces(table))
    return Pace(
        days=len(played),
        paces=paces,
        advice=tuple(_advice(played[-1][0].sizes, table, paces)) if played else (),
        waited=waited,
        unplanned=unplanned,
    )


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


def _table(timed: Sequence[Timed]) -> pd.DataFrame:
    """Give a row for each piece of work, with how far its ratio lies from its kind's median."""
    import pandas as pd  # here because it takes half a second to load

    table = pd.DataFrame(
        {
            "size": [str(one.size) for one in timed],
            "work": [str(one.work) for one in timed],
            "ratio": np.array([one.ratio for one in timed], dtype=np.float64),
        }
    )
    kinds = table.groupby(["size", "work"])["ratio"]
    table["log"] = np.log(table["ratio"])
    table["apart"] = table["log"] - np.log(kinds.transform("median"))
    table["is_enough"] = kinds.transform("count") >= ENOUGH
    return table


def _paces(table: pd.DataFrame) -> Iterator[PaceOf]:
    kinds = table.groupby(["size", "work"]).agg(
        count=("ratio", "count"), median=("ratio", "median"), spread=("log", "std")
    )
    found = {(row["size"], row["work"]): row for row in kinds.reset_index().to_dict("records")}
    for size in Size:
        for work in Work:
            row = found.get((str(size), str(work)))
            if row is not None:
                yield PaceOf(
                    size=size,
                    work=work,
                    count=int(row["count"]),
                    median=float(row["median"]),
                    spread=float(row["spread"]) if row["count"] > 1 else None,
                )


def _advice(
    sizes: dict[Size, SizeFacts], table: pd.DataFrame, paces: Sequence[PaceOf]
) -> Iterator[Advice]:
    known = {(one.size, one.work): one for one in paces if one.is_enough}
    # How far changeovers lie from the median of their own kind.
    built = table[table["is_enough"] & (table["work"] != str(Work.ROLL))]
    spreads = built.groupby("size")["apart"].std()
    for size in Size:
        setup, adjust = known.get((size, Work.SETUP)), known.get((size, Work.ADJUST))
        roll, has_built = known.get((size, Work.ROLL)), str(size) in spreads.index
        if not has_built and roll is None:
            continue
        facts = sizes[size]
        yield Advice(
            size=size,
            setup_min=None if setup is None else _minutes(facts.setup_min, setup.median),
            adjust_min=None if adjust is None else _minutes(facts.adjust_min, adjust.median),
            changeover_median=1.0 if has_built else None,
            changeover_spread=_within(float(spreads[str(size)]), SPREADS) if has_built else None,
            roll_median=None if roll is None else _within(roll.median, MEDIANS),
            roll_spread=None if roll is None else _within(roll.spread or 0.0, SPREADS),
        )


def _minutes(planned_min: int, ratio: float) -> int:
    return min(MAX_MINUTES, round(planned_min * ratio))


def _within(figure: float, limits: tuple[float, float]) -> float:
    """Give a figure to two digits, as near as `day.toml` takes it."""
    return round(min(max(figure, limits[0]), limits[1]), 2)
