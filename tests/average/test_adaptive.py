"""The programme and its bound against plain recursion over every way of shooting."""

from __future__ import annotations

from functools import partial
from itertools import permutations

import numpy as np
import pytest
from draws import seeded
from oracles.adaptive import Chances
from seeds import few_first

from average.chances import GRID_MIN, a_small_day, points_of, split_laws
from sunsched.average.beside import rounds_of
from sunsched.average.bound.adaptive import make_worths
from sunsched.average.bound.boxes import bound_any
from sunsched.average.bound.memory import make_memory
from sunsched.average.bound.price import bound_at
from sunsched.average.bound.visits import visits
from sunsched.average.model.drift import make_drifts
from sunsched.average.model.rest import Rest, make_rest
from sunsched.average.order.search import Ordered, Scratch, search
from sunsched.day.model import Day
from sunsched.light.fit import DayFit, fit_day

NEAR = 1e-6  # points


def rest_of(day: Day, seed: int) -> tuple[DayFit, Rest]:
    """Pose a day whose work takes its split minutes."""
    fit = fit_day(day)
    with split_laws(seed):
        return fit, make_rest(fit, GRID_MIN)


@pytest.mark.parametrize("seed", few_first(range(12), quick=1))
def test_order_adaptive_bound(seed):
    """The best order ≤ the best way of shooting ≤ the bound."""
    fit, rest = rest_of(a_small_day(seed), seed)
    drifts = make_drifts(rest)
    scratch, none = Scratch(rest, drifts), np.zeros(0, dtype=np.int64)
    orders = [
        np.array(one)
        for one in permutations(range(len(rest.shots)))
        if not any(rest.forbidden[a, b] for k, a in enumerate(one) for b in one[k:])
    ]
    best = max(scratch.worth(order, none) for order in orders)
    adaptive = Chances(
        fit=fit, law=partial(points_of, seed), grid_min=GRID_MIN, references={}
    ).worth()
    first = Ordered(order=orders[-1], references=none, worth=-np.inf)
    found = search(rest, drifts, first, rounds_of(5), 1, lambda: True)[0]
    bound = bound_any(rest, rest, drifts, found, lambda: True).points
    assert best <= adaptive + NEAR
    assert adaptive <= bound + NEAR
    assert found.worth <= best + NEAR
    assert found.worth >= best - 0.005 * abs(best)


@pytest.mark.parametrize("seed", few_first(range(12), quick=2))
def test_the_bound_is_the_best_way_where_all_is_remembered(seed):
    """No more and no less: who remembers every shot begun can begin none again."""
    fit, rest = rest_of(a_small_day(seed, shots=4), seed)
    n = len(rest.shots)
    memory = make_memory(rest.odds, rest.forbidden, (frozenset(range(n)),) * n)
    worths, none = make_worths(rest.odds, memory), np.zeros(n)
    bound = bound_at(rest.odds, memory, worths, none, rest.fed) + rest.settled
    adaptive = Chances(
        fit=fit, law=partial(points_of, seed), grid_min=GRID_MIN, references={}
    ).worth()
    assert bound == pytest.approx(adaptive, abs=0.02)


@pytest.mark.parametrize("seed", few_first(range(12), quick=2))
@pytest.mark.parametrize("begins", [1, 2])
def test_the_best_way_begins_each_shot_at_most_once_where_all_is_remembered(seed, begins):
    """After the meal, and as the crew stands up from it: it begins a shot if that is worth it."""
    _, rest = rest_of(a_small_day(seed, shots=4), seed)
    n, odds = len(rest.shots), rest.odds._replace(meal_slots=-1)
    memory = make_memory(odds, rest.forbidden, (frozenset(range(n)),) * n)
    worths, none = make_worths(odds, memory), np.zeros(n)
    worth = bound_at(odds, memory, worths, none, begins)
    rolls = np.full(odds.gain.shape, 7.0)
    count = visits(odds, memory, none, worths, begins, rolls)
    assert count.max() <= 1.0 + 1e-9
    if worth > odds.end[0] + 1.0:
        assert count.sum() >= 1.0 - 1e-4
    for shot in range(n):
        rolled = rolls[odds.room_from[shot] : odds.room_from[shot + 1]]
        assert (rolled >= 0.0).all()
        assert rolled.sum() <= count[shot] + 1e-9


@pytest.mark.parametrize("seed", few_first(range(10), quick=1))
def test_an_order_is_worth_what_recursion_says(seed):
    """Of random orders and references, on days with matches."""
    day = a_small_day(seed, matches=("a", "b"))
    fit, rest = rest_of(day, seed)
    drifts = make_drifts(rest)
    random = seeded(seed)
    scratch, ids = Scratch(rest, drifts), [shot.id for shot in rest.shots]
    for _ in range(2):
        order = random.sample(range(len(ids)), len(ids))
        references = [random.randrange(drifts.references) for _ in drifts.names]
        oracle = Chances(
            fit=fit,
            law=partial(points_of, seed),
            grid_min=GRID_MIN,
            references=dict(zip(drifts.names, references, strict=True)),
            order=tuple(ids[s] for s in order),
        )
        worth = scratch.worth(np.array(order), np.array(references, dtype=np.int64))
        assert worth == pytest.approx(oracle.worth(), abs=0.02)


@pytest.mark.parametrize("seed", few_first(range(3), quick=1))
def test_the_bound_holds_for_every_reference(seed):
    """No choice of references lets a crew that is bound to no order keep more than the bound."""
    day = a_small_day(seed, shots=4, matches=("a",))
    fit, rest = rest_of(day, seed)
    drifts = make_drifts(rest)
    first = Ordered(
        order=np.arange(4), references=np.zeros(len(drifts.names), dtype=np.int64), worth=-1e5
    )
    bound = bound_any(rest, rest, drifts, first, lambda: True).points
    for reference in range(0, drifts.references, 12) if drifts.names else ():
        oracle = Chances(
            fit=fit,
            law=partial(points_of, seed),
            grid_min=GRID_MIN,
            references={"a": reference},
        )
        assert oracle.worth() <= bound + 0.02
