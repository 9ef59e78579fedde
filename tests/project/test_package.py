"""What is shipped: the version, the command, a quick start, and a tidy top level."""

import shutil
import subprocess
import sys
import tomllib
from importlib.metadata import distribution, version
from pathlib import Path

import pytest

import sunsched
from sunsched import cli

ROOT = Path(__file__).parents[2]
FILES = {"README.md", "DEVELOPERS.md", "pyproject.toml"}
FOLDERS = {"sunsched", "tests", "data", "notebooks"}
# Not pydantic: typer may load it by itself for the help of a command.
HEAVY = ("numpy", "pandas", "pvlib", "numba", "matplotlib", "astral", "openpyxl", "sunsched.day")
RUN = "import sys; sys.argv[0] = 'sunsched'; from sunsched.cli import main; main()"
LOADED = """
import sys
from sunsched.cli import main
try:
    main()
finally:
    print("loaded:", *sorted(sys.modules.keys() & set({heavy!r})))
"""


def test_version_is_that_of_the_metadata():
    """`--version` prints the installed version and nothing else."""
    done = subprocess.run(
        [sys.executable, "-c", RUN, "--version"], capture_output=True, text=True, check=True
    )
    assert done.stdout == f"{version('sunsched')}\n"


def test_command_is_installed():
    """The name `sunsched` on the command line is `cli.main`."""
    [command] = distribution("sunsched").entry_points.select(group="console_scripts")
    assert command.name == "sunsched"
    assert command.load() is cli.main


@pytest.mark.parametrize("arguments", [["--help"], ["plan", "--help"]], ids=" ".join)
def test_help_loads_nothing_heavy(arguments):
    """Help needs no sun and no solver, so it loads neither and comes at once."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED.format(heavy=HEAVY), *arguments],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.splitlines()[-1].split() == ["loaded:"]


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_check_loads_no_more_than_it_needs(kind, tmp_path):
    """It needs numpy for the sun and a reader for a workbook; the rest would double its time."""
    folder = tmp_path / "day"
    made = ["new", str(folder), "--at", "Lisbon", "--date", "2027-06-09"]
    subprocess.run(
        [sys.executable, "-c", RUN, *made, *(["--xlsx"] if kind == "xlsx" else [])], check=True
    )
    heavy = (*HEAVY, "scipy", "odfdo", "tzfpy")
    done = subprocess.run(
        [sys.executable, "-c", LOADED.format(heavy=heavy), "check", str(folder)],
        capture_output=True,
        text=True,
        check=True,
    )
    loaded = set(done.stdout.splitlines()[-1].split()[1:])
    needed = {"numpy", "astral", "sunsched.day", "tzfpy"}
    assert loaded == needed | ({"openpyxl"} if kind == "xlsx" else set())


def test_top_level_is_tidy():
    """The top level of the repository holds the documented names and dotfiles only."""
    git = shutil.which("git")
    if git is None or not (ROOT / ".git").exists():
        pytest.skip("not a git checkout: the top level is whatever unpacked it")
    done = subprocess.run(
        [git, "-c", f"safe.directory={ROOT}", "-C", str(ROOT), "ls-files", "-z"],
        capture_output=True,
        text=True,
        check=True,
    )
    tops = {name.split("/")[0] for name in done.stdout.split("\0") if name}
    assert {top for top in tops if not top.startswith(".")} == FILES | FOLDERS


def test_types_and_licence_are_shipped():
    """The package says that it is typed and under which licence it comes."""
    package = Path(sunsched.__file__).parent
    assert (package / "py.typed").is_file()
    assert (package / "LICENSE").read_text(encoding="utf-8").startswith("MIT License")


def test_planted_faults_have_a_module_and_its_tests():
    """What the mutation run is set to is there: a module that was moved would plant nothing."""
    document = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    setting = document["tool"]["mutmut"]
    tests = setting["pytest_add_cli_args_test_selection"]
    for path in (*setting["source_paths"], *setting["only_mutate"], *tests):
        assert (ROOT / path).exists()
    words = setting["pytest_add_cli_args"]
    left_out, _, name = words[words.index("--deselect") + 1].partition("::")
    assert f"def {name}(" in (ROOT / left_out).read_text(encoding="utf-8")
