"""Shots put back where they are worth most, against every place; orders that differ."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from draws import seeded

from average.chances import a_small_day
from sunsched.average.model.drift import make_drifts, with_references
from sunsched.average.model.rest import make_rest
from sunsched.average.order.recreate import recreate
from sunsched.average.order.search import SAME, Ordered, Scratch, differing, search
from sunsched.light.fit import fit_checked

SHOTS = 6


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
@pytest.mark.parametrize("out", [1, 2, 4])
def test_each_shot_goes_where_it_is_worth_most(seed, out):
    """One after the other, those not yet put back standing last; none before what comes first."""
    day = a_small_day(seed, shots=SHOTS, matches=("a", "a"))
    first, then = day.shots[0], day.shots[3]
    shots = (*day.shots[:3], replace(then, after=(first.id,)), *day.shots[4:])
    rest = make_rest(fit_checked(replace(day, shots=shots)), 5)
    drifts, random = make_drifts(rest), seeded(seed)
    ids = [shot.id for shot in rest.shots]
    is_before, is_after = ids.index(first.id), ids.index(then.id)
    references = np.array([random.randrange(drifts.references) for _ in drifts.names])
    scratch, odds = Scratch(rest, drifts), with_references(rest, drifts, references)
    order = random.sample(range(SHOTS), SHOTS)
    kept, waiting = order[: SHOTS - out], order[SHOTS - out :]
    if is_before in kept and is_after in kept:
        kept.sort(key=lambda shot: shot == is_after)
    start = np.array(kept + waiting, dtype=np.int64)
    best = -np.inf
    while waiting:
        shot = waiting.pop(0)
        tried = [[*kept[:place], shot, *kept[place:]] for place in range(len(kept) + 1)]
        allowed = [
            one
            for one in tried
            if not {is_before, is_after} <= set(one) or one.index(is_before) < one.index(is_after)
        ]
        worths = [scratch.worth(np.array(one + waiting), references, odds) for one in allowed]
        best = max(worths)
        # Of places that are worth the same it takes the last.
        kept = [one for one, worth in zip(allowed, worths, strict=True) if worth == best][-1]
    arrays = (scratch.free, scratch.fed, scratch.ready)
    found = recreate(odds, rest.forbidden, rest.fed, start, out, *arrays)
    assert start.tolist() == kept
    assert found == pytest.approx(
        best - rest.settled + float(sum(drifts.made[g, r] for g, r in enumerate(references)))
    )


def test_orders_that_are_worth_the_same_are_one():
    """The best first; the next one is worth more than a point less."""
    none = np.zeros(0, dtype=np.int64)
    worths = (100.0, 300.0, 300.0 - SAME, 100.5, 298.0)
    orders = [Ordered(order=none, references=none, worth=worth) for worth in worths]
    assert [one.worth for one in differing(orders)] == [300.0, 298.0, 100.5]


@pytest.mark.parametrize("matches", [(), ("a", "a", "b", "b")])
def test_a_search_is_the_same_again_and_no_worse_than_its_start(matches):
    """What it gives is judged as it says; without a round it gives the start."""
    rest = make_rest(fit_checked(a_small_day(5, matches=matches)), 5)
    drifts = make_drifts(rest)
    references = np.zeros(len(drifts.names), dtype=np.int64)
    scratch, order = Scratch(rest, drifts), np.arange(len(rest.shots))
    start = Ordered(order=order, references=references, worth=-np.inf)
    one, two = (search(rest, drifts, start, 60, 3, lambda: True) for _ in range(2))
    assert [found.order.tolist() for found in one] == [found.order.tolist() for found in two]
    for found in one:
        judged = scratch.worth(found.order, found.references)
        assert found.worth == pytest.approx(judged, abs=0.1)  # tables of drift have 32 bits
        assert sorted(found.order.tolist()) == order.tolist()
    assert one[0].worth >= scratch.worth(order, references) - 0.1
    (nothing,) = search(rest, drifts, start, 60, 3, lambda: False)
    assert nothing.order.tolist() == order.tolist()
