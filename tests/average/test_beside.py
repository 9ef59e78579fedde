"""The bound that is looked for beside the proof for planned minutes is the same without it."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest
from benchmarks.drawn.days import day as an_invented_day

from sunsched.average.beside import bound_of, bounded_beside, rounds_of
from sunsched.average.bound.boxes import Bounded
from sunsched.average.ground import Ground, best_references
from sunsched.average.plan import average_plan
from sunsched.light.fit import fit_checked
from sunsched.plan.score import drift_costs
from sunsched.solver.solved import solve_day


def test_the_bound_is_the_same_beside_the_proof():
    """What is printed does not depend on which of the two cores is done first."""
    day = an_invented_day(6, seed=3, has_matches=True)
    with bounded_beside(day) as beside:
        solved = solve_day(day)
        one = average_plan(solved, beside=beside)
    other = average_plan(solved)
    assert (one.ids, one.points, one.bound) == (other.ids, other.points, other.bound)
    assert one.bound is not None
    assert one.points <= one.bound


def test_without_time_it_is_a_bound_all_the_same():
    """It is only larger: what there was no time for makes it smaller."""
    day = an_invented_day(6, seed=3, has_matches=True)
    with bounded_beside(day, limit_s=0.0) as beside:
        bound = average_plan(solve_day(day)).bound
        assert bound is not None
        assert beside.bound.result().points > bound


@pytest.mark.parametrize(("limit_s", "has_time"), [(None, True), (60.0, True), (0.0, False)])
def test_the_bound_is_looked_for_until_time_is_up_or_it_is_left(monkeypatch, limit_s, has_time):
    """Leaving the context ends the work beside, so that no command waits for it."""
    asked = []

    def bound_of(_, go_on):
        asked.append(go_on)
        return Bounded(points=1.0, suggested=())

    monkeypatch.setattr("sunsched.average.beside.bound_of", bound_of)
    with bounded_beside(an_invented_day(2, seed=3, has_matches=False), limit_s=limit_s) as beside:
        assert beside.bound.result().points == 1.0
        assert asked[0]() == has_time
    assert not asked[0]()


def test_a_day_without_shots_has_no_bound():
    """Nothing is looked for, and nothing can be said."""
    ground = Ground(fit_checked(replace(an_invented_day(2, seed=3, has_matches=False), shots=())))
    assert bound_of(ground, lambda: True) == Bounded(points=inf, suggested=())
    assert ground.whole([]).tolist() == []


def test_a_search_has_more_rounds_for_more_shots_but_no_more_work():
    """Some at least; past a day of 24 shots they get fewer, as each takes longer."""
    assert [rounds_of(shots) for shots in (0, 1, 16, 24, 48, 240)] == [3, 12, 192, 288, 36, 3]


def test_an_order_keeps_what_must_come_first():
    """Also where it is not named, or stands behind: the rest of the list follows in its order."""
    day = an_invented_day(4, seed=3, has_matches=False)
    ids = [shot.id for shot in day.shots]
    shots = tuple(
        replace(shot, pin=None, after=(ids[3],) if shot.id == ids[1] else ()) for shot in day.shots
    )
    ground = Ground(fit_checked(replace(day, shots=shots)))
    assert ground.whole([]).tolist() == [0, 2, 3, 1]
    assert ground.whole([ids[1]]).tolist() == [3, 1, 0, 2]
    assert ground.whole([ids[2], ids[1], "gone"]).tolist() == [2, 3, 1, 0]
    assert ground.indices([ids[1], ids[2], ids[3]]).tolist() == [2, 3, 1]


def test_the_reference_of_a_timetable_is_where_its_rolls_drift_least():
    """Of all references of a match, summed over the rolls of its shots."""
    day = an_invented_day(6, seed=3, has_matches=True)
    solved = solve_day(day)
    fit, ground = solved.fit, Ground(solved.fit)
    found = best_references(fit, ground.drifts, solved.plan.timetable)
    assert len(found) == len(ground.drifts.names) > 0
    for name, reference in zip(ground.drifts.names, found, strict=True):
        cost = sum(
            drift_costs(fit, day.shot(roll.shot_id), np.array([fit.minute_of(roll.roll_start)]))[0]
            for roll in solved.plan.timetable.rolls
            if day.shot(roll.shot_id).match == name
        )
        assert cost[reference] == cost.min() < cost.max()
