"""Functions compiled before they are called, and whether those are the ones that plans call."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from sunsched.solver.machine import early
from sunsched.solver.machine.early import are_compiled, compile_early

ROOT = Path(__file__).parents[3]
TINY = """
from sunsched.solver.machine.early import Need
from sunsched.solver.machine.function import compiled

@compiled()
def doubled(number):
    return number * 2

@compiled()
def halved(number):
    return number // 2

NEEDED = ((Need(function=doubled, examples=(1,)),), (Need(function=halved, examples=(1,)),))
"""
# Types by which a plan called a function that are not those it is compiled for beforehand.
STRANGE = """
import sys
from importlib import import_module
from sunsched.cli import main
try:
    main()
except SystemExit:
    pass
for name in ("sunsched.solver.needed", "sunsched.average.needed"):
    for group in import_module(name).NEEDED:
        for need in group:
            for types in need.function.signatures:
                print("called" if types == need.types else f"STRANGE {types}", need.function)
"""


@pytest.fixture
def tiny(tmp_path, monkeypatch):
    """Give the name of a module of two functions that were never compiled."""
    name = f"tiny_{tmp_path.name}"
    (tmp_path / f"{name}.py").write_text(TINY)
    monkeypatch.syspath_prepend(str(tmp_path))
    yield name
    sys.modules.pop(name, None)


@pytest.mark.parametrize("cores", [1, 2])
def test_all_is_compiled_before_it_is_called(tiny, monkeypatch, cores):
    """By one process or two; each is kept for the next run, and what is kept not done again."""
    monkeypatch.setattr(early, "_cores", lambda: cores)
    told = list[tuple[int, int]]()
    assert not are_compiled([tiny])
    compile_early([tiny], lambda done, whole: told.append((done, whole)))
    assert are_compiled([tiny])
    assert told[-1][1] == 2
    assert sorted(done for done, _ in told) == [done for done, _ in told]
    module = sys.modules[tiny]
    assert (module.doubled(21), module.halved(21)) == (42, 10)
    told.clear()
    compile_early([tiny], lambda done, whole: told.append((done, whole)))
    assert told == []


def test_plans_call_them_by_those_types():
    """Else what is compiled beforehand would be compiled once more when it is called."""
    shown = subprocess.run(
        [sys.executable, "-c", STRANGE, "plan", "data/ferry-light", "--limit", "0.1"],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert "STRANGE" not in shown
    assert shown.count("called") >= 15
