"""The bound that is looked for beside the proof for planned minutes is the same without it."""

from benchmarks.days import day as an_invented_day

from sunsched.average.beside import bounded_beside
from sunsched.average.plan import average_plan
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
        assert beside.bound.result() > bound
