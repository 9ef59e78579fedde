"""The tests stand in small folders, each of which says what is tested there."""

import ast
import re
from pathlib import Path

TESTS = Path(__file__).parents[1]
MOST_MODULES = 14


def faults(tests):
    """Yield what makes a folder of tests one that nobody finds the way in."""
    for folder in sorted({path.parent for path in tests.rglob("*.py")}):
        name = folder.relative_to(tests).as_posix()
        modules = [path for path in folder.glob("*.py") if path.name != "__init__.py"]
        if len(modules) > MOST_MODULES:
            yield f"{name} has {len(modules)} modules"
        if folder != tests and not told(folder / "__init__.py"):
            yield f"{name} does not say what is tested there"


def told(module):
    """Give what a module says of itself; "" where there is none."""
    text = module.read_text(encoding="utf-8") if module.exists() else ""
    return ast.get_docstring(ast.parse(text)) or ""


def test_every_folder_is_small_and_says_what_is_tested_there():
    """A folder has at most fourteen modules, and an `__init__` of words, not an empty one."""
    assert len(list(TESTS.rglob("test_*.py"))) > 60  # tests are found at all
    assert list(faults(TESTS)) == []


def test_a_crowded_or_silent_folder_is_found(tmp_path):
    """Fourteen modules beside `__init__` pass and fifteen do not, in inner folders too."""
    inner = tmp_path / "a" / "b"
    inner.mkdir(parents=True)
    (tmp_path / "test_top.py").touch()
    (tmp_path / "a" / "__init__.py").write_text('"""What is tested here."""\n', encoding="utf-8")
    (inner / "__init__.py").touch()
    for number in range(MOST_MODULES):
        (inner / f"test_{number}.py").touch()
    assert list(faults(tmp_path)) == ["a/b does not say what is tested there"]
    (inner / "__init__.py").write_text('"""What is tested here."""\n', encoding="utf-8")
    assert list(faults(tmp_path)) == []
    (inner / "test_more.py").touch()
    assert list(faults(tmp_path)) == ["a/b has 15 modules"]
    (tmp_path / "c").mkdir()
    (tmp_path / "c" / "test_none.py").touch()
    assert list(faults(tmp_path))[1:] == ["c does not say what is tested there"]


def test_paths_of_tests_in_the_texts_are_there():
    """What DEVELOPERS.md says of a folder or module of tests is found where it says."""
    text = (TESTS.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`(tests/[\w/.]+)`", text))
    assert len(named) > 10
    paths = [TESTS.parent / name for name in named]
    assert [
        path for path in paths if not path.exists() and not path.with_suffix(".py").exists()
    ] == []
