"""Small days on which work takes one of two or three lengths, in steps of five minutes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from oracles.days import random_day

from sunsched.average.model.minutes import Law
from sunsched.day.model import Day

GRID_MIN = 5
SPLITS = (((0.8, 0.5), (1.5, 0.5)), ((0.7, 0.25), (1.0, 0.5), (2.0, 0.25)))


def points_of(seed: int, planned_min: int) -> Mapping[int, float]:
    """Give the chances of the minutes of planned work, by one of two splits."""
    if planned_min == 0:
        return {0: 1.0}
    found: dict[int, float] = {}
    for factor, chance in SPLITS[seed % 2]:
        minutes = max(GRID_MIN, GRID_MIN * round(planned_min * factor / GRID_MIN))
        found[minutes] = found.get(minutes, 0.0) + chance
    return found


@contextmanager
def split_laws(seed: int) -> Iterator[None]:
    """Let work take those minutes."""

    @cache
    def law(planned_min: int, _median: float, _spread: float) -> Law:
        points = points_of(seed, planned_min)
        first, last = min(points), max(points)
        chances = np.array([points.get(k, 0.0) for k in range(first, last + 1)])
        return Law(first=first, chances=chances)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sunsched.average.model.work.law_of", law)
        yield


def a_small_day(seed: int, shots: int = 5, matches: tuple[str, ...] = ()) -> Day:
    """Give a random day with every rule but pins, whose minutes are multiples of five."""
    day = random_day(seed, shots, matches)
    return replace(
        day,
        shots=tuple(
            replace(
                shot,
                pin=None,
                setup_min=_rounded(shot.setup_min),
                adjust_min=_rounded(shot.adjust_min),
                shoot_min=max(GRID_MIN, _rounded(shot.shoot_min)),
            )
            for shot in day.shots
        ),
        overruns={
            size: replace(one, roll_median=1.0, changeover_median=1.0)
            for size, one in day.overruns.items()
        },
    )


def _rounded(minutes: int) -> int:
    return GRID_MIN * round(minutes / GRID_MIN)
