"""The boxes of the bound: what a match pays over an interval of references, and their splits."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest

from average.chances import GRID_MIN, a_small_day, split_laws
from sunsched.average.bound import boxes, price
from sunsched.average.bound.adaptive import make_worths
from sunsched.average.bound.boxes import Box, bound_any
from sunsched.average.bound.memory import list_states, make_memory
from sunsched.average.bound.price import bound_at, subgradient
from sunsched.average.model.drift import make_drifts, with_references
from sunsched.average.model.rest import make_rest
from sunsched.average.order.search import Ordered, Scratch
from sunsched.light.fit import fit_checked


@pytest.fixture(scope="module")
def ground():
    """Give a day of four shots, some of which must cut together."""
    with split_laws(0):
        rest = make_rest(fit_checked(a_small_day(0, shots=4, matches=("a",))), GRID_MIN)
    drifts = make_drifts(rest)
    assert drifts.names
    return boxes._Ground(rest, drifts)


def a_box(ground, low, high) -> Box:
    """Give the box of one match, without prices."""
    none = np.zeros(len(ground.rest.shots))
    return Box(low=np.array([low]), high=np.array([high]), prices=none, bound=np.inf)


def test_a_box_of_one_reference_pays_what_that_costs(ground):
    """As the search for an order reckons it; what has no match pays nothing."""
    for reference in range(0, ground.drifts.references, 9):
        gain = ground.odds(a_box(ground, reference, reference)).gain
        other = with_references(ground.rest, ground.drifts, np.array([reference])).gain
        assert np.allclose(gain, other, atol=0.01)
        assert not np.allclose(gain, ground.rest.odds.gain, atol=0.01)


def test_a_box_pays_no_more_than_any_of_its_references(ground):
    """Both of its ends count; a wider one pays less."""
    wide = ground.odds(a_box(ground, 3, 40)).gain
    for reference in (3, 20, 40):
        assert (wide >= ground.odds(a_box(ground, reference, reference)).gain - 1e-3).all()
    narrow = ground.odds(a_box(ground, 39, 40)).gain
    ends = [ground.odds(a_box(ground, one, one)).gain for one in (39, 40)]
    assert (narrow >= np.maximum(*ends) - 1e-3).all()
    assert (wide > narrow + 1.0).any()


def test_made_shots_cost_the_least_of_the_box(ground):
    """Of its own references, both ends among them."""
    made = np.arange(ground.drifts.references, 0, -1, dtype=np.float64).reshape(1, -1)
    known = boxes._Ground(ground.rest, replace(ground.drifts, made=made))
    for low, high in ((0, 0), (2, 5), (0, ground.drifts.references - 1)):
        assert known.made(a_box(ground, low, high)) == made[0, high]


def test_boxes_cover_every_reference_once(ground, monkeypatch):
    """The first has all of them, and each is split into two that have what it had."""
    looked_at, splits, count = [], [], iter(range(500))
    priced, split = boxes._priced, boxes._split

    def note_priced(*words):
        looked_at.append(words[3])
        return priced(*words)

    def note_split(*words):
        splits.append((words[-1], split(*words)))
        return splits[-1][1]

    monkeypatch.setattr(boxes, "_priced", note_priced)
    monkeypatch.setattr(boxes, "_split", note_split)
    monkeypatch.setattr(boxes, "CLOSE", 0.0)
    rest, drifts = ground.rest, ground.drifts
    order = Ordered(order=np.arange(4), references=np.array([0]), worth=-1e5)
    bound_any(rest, rest, drifts, order, lambda: next(count, None) is not None)
    assert (looked_at[0].low[0], looked_at[0].high[0]) == (0, drifts.references - 1)
    parted = [(box, parts) for box, parts in splits if parts]
    assert parted
    for box, (one, other) in parted:
        ends = [int(end[0]) for end in (one.low, one.high, other.low, other.high)]
        assert ends == [box.low[0], ends[1], ends[1] + 1, box.high[0]]
        assert ends[0] <= ends[1] < ends[2] <= ends[3]


def test_prices_begin_with_what_a_roll_can_win(ground):
    """No shot is priced below nothing, nor above the best of its rolls."""
    rest, odds = ground.rest, ground.rest.odds
    order = np.arange(len(rest.shots))
    worth = Scratch(rest, ground.drifts).worth(order, np.array([0]))
    prices = boxes._what_each_wins(
        rest, ground.drifts, Ordered(order=order, references=np.array([0]), worth=worth)
    )
    for shot, asked in enumerate(prices):
        own = odds.gain[odds.room_from[shot] : odds.room_from[shot + 1]].max(initial=0.0)
        assert 0.0 <= asked <= own
    assert prices.max() > 0.0


def test_the_bound_is_that_of_the_worst_box(ground):
    """With all that is settled, and no smaller than an order that keeps to a reference in one."""
    rest, drifts = ground.rest, ground.drifts
    none = (frozenset[int](),) * len(rest.shots)
    halves = [a_box(ground, 0, 30), a_box(ground, 31, drifts.references - 1)]
    each = [boxes._fine_bound(rest, drifts, none, [box]) for box in halves]
    assert boxes._fine_bound(rest, drifts, none, halves) == max(each)
    scratch = Scratch(rest, drifts)
    for box, bound in zip(halves, each, strict=True):
        for order in permutations(range(len(rest.shots))):
            worth = scratch.worth(np.array(order), box.low)
            assert worth <= bound + 1e-6
    later = replace(rest, settled=rest.settled + 100.0)
    assert boxes._fine_bound(later, drifts, none, halves) == pytest.approx(max(each) + 100.0)
    dearer = replace(drifts, made=drifts.made + 70.0)
    assert boxes._fine_bound(rest, dearer, none, halves) == pytest.approx(max(each) - 70.0)


def test_a_state_pays_for_all_that_came_first_as_far_as_it_is_remembered(ground):
    """The move from the shot built last, and each that is known to stand before it."""
    rest, random = ground.rest, np.random.default_rng(1)
    n = len(rest.shots)
    odds = rest.odds._replace(pair_cost=random.uniform(1.0, 9.0, rest.odds.pair_cost.shape))
    sets = tuple(frozenset({(shot + 1) % n, (shot + 2) % n}) for shot in range(n))
    memory = make_memory(odds, rest.forbidden, sets)
    states = list_states(rest.forbidden, sets)
    assert len(states) > 2 * n
    for number, (last, remembered) in enumerate(states):
        known = remembered | ({last} - {n})
        for shot in range(n):
            if memory.pair[shot, number] < len(memory.pair_state):
                cost = odds.arc_cost[last, shot] + sum(odds.pair_cost[one, shot] for one in known)
                assert memory.cost[shot, number] == pytest.approx(cost)
                to = states[memory.pair_state[memory.pair[shot, number]]]
                assert to == (shot, known & sets[shot])
            else:
                assert shot in known or any(rest.forbidden[one, shot] for one in known)


@pytest.mark.parametrize("begins", [0, 1, 2])
def test_the_bound_is_read_where_the_day_begins(ground, begins):
    """Before the meal, after it, or as the crew stands up from it, with all prices paid back."""
    rest = ground.rest
    n, odds = len(rest.shots), rest.odds._replace(meal_slots=-1)
    memory = make_memory(odds, rest.forbidden, (frozenset[int](),) * n)
    worths, prices = make_worths(odds, memory), np.arange(1.0, n + 1.0)
    bound = bound_at(odds, memory, worths, prices, begins)
    start = worths.fed[0] if begins == 2 else worths.free[0, begins]
    assert memory.shot[-1] == n
    assert bound == pytest.approx(start[-1] + prices.sum())
    assert len(set(start.tolist())) > 1


def test_prices_are_looked_for_where_the_bound_falls(ground):
    """Shots that are begun again and again become dearer; prices are never below nothing."""
    rest = ground.rest
    n = len(rest.shots)
    memory = make_memory(rest.odds, rest.forbidden, (frozenset[int](),) * n)
    worths, none = make_worths(rest.odds, memory), np.zeros(n)
    first = bound_at(rest.odds, memory, worths, none, 0)
    found = subgradient(rest.odds, memory, worths, 0, none, 0.5 * first, 40)
    assert found.bound < 0.9 * first
    assert (found.prices >= 0.0).all()
    assert bound_at(rest.odds, memory, worths, found.prices, 0) == pytest.approx(found.bound)


def test_what_should_have_been_remembered_is_what_stands_between(ground):
    """A shot begun again, or before one that it must come after or that it costs to precede."""
    n = len(ground.rest.shots)
    forbidden, pair_cost = np.zeros((n, n), dtype=bool), np.zeros((n, n))
    forbidden[0, 3] = True
    pair_cost[2, 0] = 5.0
    met: Counter[tuple[int, frozenset[int]]] = Counter()
    odds = ground.rest.odds._replace(pair_cost=pair_cost)
    price._note_owed(odds, forbidden, [0, 1, 3, 1, 2], met)
    assert met == {(0, frozenset({1})): 1, (1, frozenset({3})): 1}
    met.clear()
    price._note_owed(odds, forbidden, [3, 2, 0, 0, 2, 1, 0], met)
    assert met == {
        (2, frozenset({0})): 2,
        (2, frozenset({1})): 1,
        (0, frozenset({2, 1})): 1,
    }
