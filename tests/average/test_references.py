"""The suns of matches that are worth most to an order, against every sun of the day."""

from __future__ import annotations

import numpy as np
import pytest
from draws import seeded
from under_way import by_plan

from average.chances import a_small_day
from sunsched.average.model.drift import make_drifts
from sunsched.average.model.rest import make_rest
from sunsched.average.order.search import Climb, Scratch
from sunsched.light.fit import fit_checked
from sunsched.solver.solve import make_plan

STRIDE = 5  # suns between those that are looked at first


@pytest.mark.parametrize("seed", [2, 3, 5, 6])
@pytest.mark.parametrize("made", [0, 2])
def test_no_sun_near_by_and_none_in_strides_is_worth_more(seed, made):
    """One match at a time, also where some of its shots are made."""
    plan = make_plan(a_small_day(seed, matches=("a", "a", "b")))
    rest = make_rest(fit_checked(by_plan(plan, made)), 5)
    drifts = make_drifts(rest)
    random, scratch = seeded(seed), Scratch(rest, drifts)
    order = np.array(random.sample(range(len(rest.shots)), len(rest.shots)), dtype=np.int64)
    start = np.array([random.randrange(drifts.references) for _ in drifts.names], dtype=np.int64)
    found = Climb(rest, drifts).references(order, start)
    best = scratch.worth(order, found)
    assert best >= scratch.worth(order, start) - 1e-6
    for group in range(len(drifts.names)):
        for sun in range(drifts.references):
            if sun % STRIDE and abs(sun - found[group]) >= STRIDE:
                continue
            other = found.copy()
            other[group] = sun
            assert scratch.worth(order, other) <= best + 0.01, (group, sun)
