"""The chances of whole minutes against scipy's log-normal distribution (a reference library)."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import lognorm

from sunsched.average.model.minutes import in_slots, law_of, whole_minutes


@pytest.mark.parametrize("planned", [5, 20, 45])
@pytest.mark.parametrize(("median", "spread"), [(1.0, 0.3), (1.15, 0.5), (0.6, 0.25)])
def test_chances_are_those_of_rounded_log_normal_minutes(planned, median, spread):
    """Each minute has the chance of its half-minute edges; three spreads off all is one."""
    law = law_of(planned, median, spread)
    minutes = law.first + np.arange(len(law.chances))
    real = lognorm(s=spread, scale=planned * median)
    inner = slice(1, len(minutes) - 1)
    expected = real.cdf(minutes + 0.5) - real.cdf(minutes - 0.5)
    assert law.chances[inner] == pytest.approx(expected[inner], abs=1e-12)
    assert law.chances.sum() == pytest.approx(1.0, abs=1e-12)
    assert law.chances[0] == pytest.approx(real.cdf(minutes[0] + 0.5), abs=1e-12)


def test_work_without_spread_or_minutes_is_certain():
    """The median to the minute, none if none are planned, and never less than one."""
    for planned, median, minutes in ((30, 1.1, 33), (0, 1.1, 0), (1, 0.2, 1)):
        law = law_of(planned, median, 0.0)
        assert (law.first, law.chances.tolist()) == (minutes, [1.0])
        assert int(whole_minutes(planned, median)) == minutes


@pytest.mark.parametrize("grid_min", [5, 10])
def test_slots_keep_the_mean(grid_min):
    """To a fiftieth: only what is rare at either end is moved."""
    law = law_of(40, 1.1, 0.3)
    slotted = in_slots(law, grid_min)
    mean = law.chances @ (law.first + np.arange(len(law.chances)))
    found = grid_min * (slotted.chances @ (slotted.first + np.arange(len(slotted.chances))))
    assert slotted.chances.sum() == pytest.approx(1.0)
    assert found == pytest.approx(mean, rel=0.02)
