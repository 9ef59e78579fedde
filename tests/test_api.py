"""The package as a library: names that load, text paths, refusals, objects that print in a line."""

from pathlib import Path

import pytest

import sunsched
from sunsched.errors import SunschedError
from sunsched.solver.build import make_problem

LAMP = Path(__file__).parents[1] / "data" / "last-lamp"


def test_every_public_name_loads():
    """What `sunsched` promises is there, and nothing else."""
    for name in sunsched.__all__:
        assert callable(getattr(sunsched, name)), name
    with pytest.raises(AttributeError, match="has no `nothing_of"):
        _ = sunsched.nothing_of_the_kind


def test_paths_may_be_text():
    """What takes a folder takes its path as text too, and gives the same."""
    day = sunsched.read_day(str(LAMP))
    assert day == sunsched.read_day(LAMP)
    assert sunsched.read_log(str(LAMP), day) == sunsched.read_log(LAMP, day)
    assert sunsched.revision_numbers(str(LAMP)) == ()
    assert sunsched.newest_revision(str(LAMP)) is None
    ferry = LAMP.parent / "ferry-light"
    ad, other = ferry / "ad.csv", sunsched.read_day(ferry)
    assert sunsched.read_order(ad, ferry, other) == sunsched.read_order(str(ad), str(ferry), other)
    assert sunsched.read_source(ad, str(ferry), other).name == "ad.csv"


@pytest.mark.parametrize("grid_min", [0, -5, 7, 25, 120])
def test_a_grid_that_no_clock_has_is_refused(grid_min):
    """Starts stand on the same minutes of each hour, or the solver is not asked at all."""
    with pytest.raises(SunschedError, match=f"every {grid_min} minutes"):
        sunsched.make_plan(sunsched.read_day(LAMP), grid_min=grid_min)


def test_objects_print_in_a_line(make_folder):
    """A fit, a problem and a plan say what they are, not each of their figures."""
    fit = sunsched.fit_day(sunsched.read_day(LAMP))
    assert repr(fit) == "<DayFit of 'The last lamp', 2027-06-15: 16 shots>"
    problem = make_problem(fit)
    assert repr(problem) == f"<Problem of 16 shots, {problem.slots} slots of 5 min>"
    plan = sunsched.make_plan(sunsched.read_day(make_folder()))
    assert repr(plan) == f"<Plan of 'Salt pans': 1; {plan.points} points, proven>"
