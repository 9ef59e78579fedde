"""The package as a library: names that load, text paths, refusals, objects that print in a line."""

import ast
import doctest
import inspect
import subprocess
import sys
from pathlib import Path

import pytest

import sunsched
from sunsched.errors import SunschedError
from sunsched.solver.build import make_problem

LAMP = Path(__file__).parents[2] / "data" / "last-lamp"


def test_every_public_name_loads():
    """What `sunsched` promises is there, and nothing else."""
    for name in sunsched.__all__:
        assert callable(getattr(sunsched, name)), name
    with pytest.raises(AttributeError, match="has no `nothing_of"):
        _ = sunsched.nothing_of_the_kind


def test_types_come_from_the_same_homes_as_names():
    """What a type checker reads is what is loaded when a name is used."""
    tree = ast.parse(Path(sunsched.__file__).read_text(encoding="utf-8"))
    imports = [node for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    typed = {alias.asname: node.module for node in imports for alias in node.names if alias.asname}
    assert typed == sunsched._HOMES


def test_importing_the_package_loads_nothing_of_it():
    """Neither its rooms nor what they depend on are loaded before a name is used."""
    code = "import sys, sunsched; print(*(m for m in sys.modules if m.startswith('sunsched')))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["sunsched"]


FUNCTIONS = [name for name in sunsched.__all__ if inspect.isfunction(getattr(sunsched, name))]


@pytest.mark.parametrize("name", FUNCTIONS)
def test_public_functions_say_what_they_take_and_give(name):
    """Each has numpydoc sections for its parameters and what it returns, and an example."""
    function = getattr(sunsched, name)
    told = inspect.getdoc(function) or ""
    signature = inspect.signature(function)
    sections = ["Returns", "Examples"] if signature.return_annotation != "None" else ["Examples"]
    for section in [*sections, *(["Parameters"] if signature.parameters else [])]:
        assert f"\n{section}\n{'-' * len(section)}\n" in told, section
    for parameter in signature.parameters:
        names = [line.partition(" :")[0] for line in told.splitlines() if " : " in line]
        assert parameter in ", ".join(names).split(", "), parameter


@pytest.mark.parametrize("name", FUNCTIONS)
def test_examples_of_public_functions_are_true(name, tmp_path, monkeypatch):
    """What stands in a docstring is what comes out, from any folder."""
    monkeypatch.chdir(tmp_path)
    runner = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE)
    finder = doctest.DocTestFinder(recurse=False)
    (found,) = finder.find(getattr(sunsched, name), name, globs={})
    assert found.examples
    told: list[str] = []
    runner.run(found, out=told.append)
    assert not told, "".join(told)


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
