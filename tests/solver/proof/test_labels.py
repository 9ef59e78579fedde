"""Each dominance test and each sum of a label alone, against the same in words of plain numpy.

Outside opinion: the definitions, written out over whole arrays.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from draws import seeded
from seeds import few_first

from sunsched.solver.bound.dominance import (
    COUNT,
    FED,
    LAST,
    MADE,
    MORE,
    SLOT,
    STATE,
    TOP_SLOT,
    VALUE,
    WORD,
    Fresh,
    Key,
    Labels,
    index,
    is_like,
    is_worth,
    key_of,
    settle_row,
    spot_of,
)
from sunsched.solver.bound.labels import (
    Step,
    Suns,
    add_drifts,
    add_prices,
    cost_of,
    least_drifts,
    offer,
    unpack,
)
from sunsched.solver.instance.tables import NEVER, SCALE

NO_MATCH = np.zeros(1, dtype=np.int64)


def fresh_of(rows: int, widths: tuple[int, ...] = ()) -> Fresh:
    """Give room for labels, with references for matches of these widths; none stands yet."""
    labels = Labels(
        columns=np.zeros((rows, STATE + 1), dtype=np.int64),
        charged=np.zeros((rows, len(widths)), dtype=np.int64),
        drifts=np.zeros((rows, sum(widths)), dtype=np.int32),
    )
    fresh = Fresh(
        labels=labels,
        heads=np.full(64, -1, dtype=np.int64),
        chain=np.zeros(rows, dtype=np.int64),
        tally=np.zeros(TOP_SLOT + 1, dtype=np.int64),
    )
    index(fresh, False)
    return fresh


def put(fresh: Fresh, **columns: int) -> int:
    """Write a label after those that stand, settle it, and give how many stand then."""
    names = {"made": MADE, "last": LAST, "fed": FED, "state": STATE, "slot": SLOT, "value": VALUE}
    row = fresh.labels.columns[fresh.tally[COUNT]]
    row[:] = 0
    for name, figure in columns.items():
        row[names[name]] = figure
    settle_row(fresh, NO_MATCH, False)
    return int(fresh.tally[COUNT])


def test_a_label_that_is_earlier_and_worth_more_stays_alone():
    """Later and worth less goes; earlier and worth more takes its place; else both stand."""
    fresh = fresh_of(8)
    assert put(fresh, made=3, last=1, slot=10, value=500) == 1
    assert put(fresh, made=3, last=1, slot=11, value=500) == 1  # later, worth no more
    assert put(fresh, made=3, last=1, slot=11, value=501) == 2  # later, but worth more
    assert put(fresh, made=3, last=1, slot=9, value=499) == 3  # worth less, but earlier
    assert put(fresh, made=3, last=1, slot=9, value=600) == 3  # takes the place of one it beats
    assert 600 in fresh.labels.columns[:3, VALUE]


@pytest.mark.parametrize("other", [{"made": 5}, {"last": 0}, {"fed": 1}])
def test_labels_that_are_not_alike_both_stand(other):
    """Other shots made, another last one or the meal taken: nothing is compared."""
    fresh = fresh_of(4)
    put(fresh, made=3, last=1, slot=10, value=500)
    assert put(fresh, **{"made": 3, "last": 1, "slot": 12, "value": 1} | other) == 2


def test_the_state_counts_only_where_each_shot_picks_its_own_reference():
    """A key with a state is had by labels in it alone; one without, by labels in any."""
    fresh = fresh_of(2)
    columns = fresh.labels.columns
    columns[:, STATE] = (4, 5)
    assert is_like(columns, 1, key_of(columns, 0, False))
    assert not is_like(columns, 1, key_of(columns, 0, True))
    columns[1, STATE] = 4
    assert is_like(columns, 1, key_of(columns, 0, True))


def test_shots_beyond_the_first_word_count():
    """Labels that differ in shot 70 alone are not alike, and equal keys are found in one spot."""
    fresh = fresh_of(2)
    fresh.labels.columns[1, MORE] = 1 << (70 - WORD)
    assert not is_like(fresh.labels.columns, 1, key_of(fresh.labels.columns, 0, False))
    key = Key(3, 1 << 7, 70, 1, -1)
    assert spot_of(key, 64) == spot_of(Key(3, 1 << 7, 70, 1, -1), 64)
    assert 0 <= spot_of(key, 64) < 64


@pytest.mark.parametrize("seed", few_first(range(30), 10))
def test_worth_is_compared_at_every_reference(seed):
    """One is worth another if it is so for each way of choosing a reference for each match."""
    random = seeded(seed)
    widths = [random.randint(1, 4) for _ in range(random.randint(1, 3))]
    place = np.cumsum([0, *widths], dtype=np.int64)
    drifts = np.array(
        [[random.randint(0, 9) for _ in range(place[-1])] for _ in range(2)], dtype=np.int32
    )
    for more in range(-12, 30):
        chosen = np.stack(
            np.meshgrid(*(np.arange(a, b) for a, b in pairwise(place))), axis=-1
        ).reshape(-1, len(widths))
        loses = (drifts[0][chosen] - drifts[1][chosen]).sum(axis=1).max()
        assert is_worth(drifts, place, 0, 1, more * SCALE) == (more >= loses)


def test_what_a_label_made_and_has_left_is_unpacked():
    """Shots 0, 62 and 64 are bits of two words; those left may still be charged."""
    columns = np.zeros((1, STATE + 1), dtype=np.int64)
    columns[0, MADE], columns[0, MORE] = 1 | 1 << 62, 1 << 1
    made, to_make = np.zeros(70, dtype=np.bool_), np.arange(70, dtype=np.int64)
    assert unpack(columns, 0, to_make, made) == sum(range(70)) - 62 - 64
    assert np.flatnonzero(made).tolist() == [0, 62, 64]


def test_costs_of_a_step_are_those_of_the_changeover_and_of_all_pairs():
    """Each shot that is made before costs its pair."""
    numbers = np.random.default_rng(3)
    arc_cost, far = numbers.integers(0, 99, size=(8, 7)), numbers.integers(0, 99, size=(7, 7))
    made = np.array([1, 0, 1, 1, 0, 0, 0], dtype=np.bool_)
    assert cost_of(arc_cost, far, made, 3, 5) == arc_cost[3, 5] + far[made, 5].sum()


def test_drift_and_prices_add_up_by_reference():
    """The least drift of each match, the prices over one, and a label's drifts with a shot more."""
    numbers = np.random.default_rng(4)
    suns = Suns(
        low=np.array([1, 0]),
        high=np.array([4, 3]),
        place=np.array([0, 3, 6]),
        drift=numbers.integers(0, 50, size=(3, 5, 6)).astype(np.int32),
        match=np.array([0, 0, 1]),
        prices=numbers.integers(-90, 90, size=(3, 6)),
    )
    before = numbers.integers(0, 50, size=(1, 6)).astype(np.int32)
    pays = np.zeros(2, dtype=np.int64)
    assert least_drifts(before, 0, suns.place, pays) == before[0, :3].min() + before[0, 3:].min()
    assert pays.tolist() == [before[0, :3].min(), before[0, 3:].min()]
    picked, made = np.zeros(6, dtype=np.int64), np.array([1, 0, 1], dtype=np.bool_)
    add_prices(suns, made, 1, picked)
    assert picked[1:4].tolist() == (suns.prices[0] + suns.prices[1])[1:4].tolist()
    fresh = fresh_of(1, (3, 3))
    step = Step(0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0)
    least, lowest = add_drifts(suns, before, step, 2, picked, fresh.labels, 0)
    drifts = before[0, :3] + suns.drift[1, 2, 1:4]
    assert fresh.labels.drifts[0, :3].tolist() == drifts.tolist()
    assert lowest == drifts.min()
    assert least == (drifts.astype(np.int64) * SCALE + picked[1:4]).min()


def test_only_a_better_order_is_kept():
    """What ties with the best one known is no news."""
    tally = np.array([0, 100, NEVER, NEVER, 7, 7, 7], dtype=np.int64)
    offer(tally, 100, 1, 2, 3)
    assert tally[4:].tolist() == [7, 7, 7]
    offer(tally, 101, 1, 2, 3)
    assert tally[[1, 4, 5, 6]].tolist() == [101, 1, 2, 3]
