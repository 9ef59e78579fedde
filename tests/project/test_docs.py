"""The README is true: its commands print what it shows, and it leaves no word undocumented."""

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import typer.main
from typer.core import TyperGroup
from typer.testing import CliRunner

from sunsched.cli.run import app
from sunsched.folder.settings.keys import TABLES
from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.solver.solve import is_compiled

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
GROUP = typer.main.get_command(app)
assert isinstance(GROUP, TyperGroup)
COMMANDS = GROUP.commands
LEFT_OUT = "[…]"
FRONT_LINES = 200  # all that stands before the reference
END = "\0"  # after what each command has shown
RUN = """
import json, sys
from contextlib import suppress
from sunsched.cli import main
for sys.argv in json.loads(sys.argv[1]):
    with suppress(SystemExit):
        main()
    print(end="\\0", flush=True)
"""


def blocks(text, language):
    """List the bodies of the fenced blocks in one language."""
    return [body for name, body in FENCE.findall(text) if name == language]


def steps(block):
    """Split a console block into its commands and the lines shown below each."""
    listed: list[tuple[str, list[str]]] = []
    for line in block.splitlines():
        if line.startswith("$ "):
            listed.append((line.removeprefix("$ "), []))
        else:
            assert listed, f"a console block opens with `{line}`, not with a command"
            listed[-1][1].append(line)
    return [(command, "\n".join(shown).rstrip("\n")) for command, shown in listed]


def marked(text, name):
    """Give the one shell line below `<!-- run: name -->`, and all that follows it."""
    pattern = rf"^<!-- run: {name} -->\n+```sh\n([^\n]+)\n```\n(.*)"
    found = re.search(pattern, text, re.MULTILINE | re.DOTALL)
    assert found, f"no `<!-- run: {name} -->` with one line of sh below it"
    return found[1], found[2]


def printed(commands, cwd):
    """Run `sunsched …` lines in a folder, give what a terminal of 80 columns shows of each.

    One process runs them all, as loading the libraries takes longer than most of them do.
    """
    lines = [shlex.split(command) for command in commands]
    assert all(words[0] == "sunsched" for words in lines)
    done = subprocess.run(
        [sys.executable, "-c", RUN, json.dumps(lines)],
        cwd=cwd,
        env={**os.environ, "NO_COLOR": "1", "COLUMNS": "80", "LC_ALL": "C.UTF-8"},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        check=False,
    )
    *shown, rest = done.stdout.split(END)
    assert (len(shown), rest) == (len(lines), "")
    return [text.rstrip("\n") for text in shown]


def is_as_shown(shown, real):
    """Say whether a text is what is shown, where a line `[…]` stands for one line or more."""
    wanted = "".join(
        "(?:[^\n]*\n)+?" if line == LEFT_OUT else re.escape(line) + "\n"
        for line in shown.splitlines()
    )
    return re.fullmatch(wanted, real + "\n") is not None


def sections(text):
    """Give the console blocks below each second heading that has some."""
    parts = re.split(r"^## (.+)$", text, flags=re.MULTILINE)
    named = zip(parts[1::2], parts[2::2], strict=True)
    return {name: blocks(part, "console") for name, part in named if blocks(part, "console")}


def on_windows(line):
    """Give a line of sh as the Command Prompt of Windows takes it."""
    return (
        line.replace("python3 ", "py ").replace("/bin/", "\\Scripts\\").replace("data/", "data\\")
    )


def table_words(text):
    """Give every word in backticks within the tables of a Markdown text."""
    rows = [line for line in text.splitlines() if line.startswith("|")]
    spans = [span for row in rows for span in re.findall(r"`([^`]+)`", row)]
    return {word for span in spans for word in re.findall(r"[\w-]+", span)}


CONSOLE = sections(README)


@pytest.fixture(scope="module", autouse=True)
def _warm():
    """Make a first plan on a new machine, where it compiles the solver and says so once."""
    if is_compiled():
        return
    [shown] = printed(["sunsched plan data/last-lamp"], ROOT)
    assert "of the light is kept" in shown


@pytest.fixture
def desk(tmp_path):
    """Give a folder with a copy of `data`, so that commands that write leave the project alone."""
    shutil.copytree(ROOT / "data", tmp_path / "data", ignore=shutil.ignore_patterns("plans"))
    return tmp_path


def test_readme_shows_commands():
    """A README without one console block cannot pass for one whose blocks are true."""
    assert CONSOLE


@pytest.mark.slow
@pytest.mark.parametrize("section", CONSOLE)
def test_console_blocks_are_true(section, desk):
    """Each command of a section, run after those before it, prints what stands below it."""
    commands, texts = zip(
        *(step for block in CONSOLE[section] for step in steps(block)), strict=True
    )
    for shown, real in zip(texts, printed(commands, desk), strict=True):
        if not is_as_shown(shown, real):
            assert real == shown


def test_what_is_left_out_hides_no_other_line():
    """A line `[…]` stands for whole lines, at least one; all others stand in their order."""
    assert is_as_shown("a\n[…]\nd", "a\nb\nc\nd")
    assert is_as_shown("[…]\nd", "c\nd")
    for wrong in ("a\n[…]\nb", "b\n[…]\nd", "[…]\na", "a\n[…]\nc", "a\n[…]\nd\ne", "a\nd"):
        assert not is_as_shown(wrong, "a\nb\nc\nd")


@pytest.mark.slow
def test_python_blocks_run(desk):
    """What the README shows of the Python interface runs as it stands."""
    shown = blocks(README, "python")
    assert shown
    for block in shown:
        subprocess.run([sys.executable, "-c", block], cwd=desk, check=True)


@pytest.mark.slow
def test_first_command_plans_a_demo_day(desk):
    """The README opens with one line that sets up and plans, and shows what it prints."""
    line, rest = marked(README, "plan")
    *setup, plan = line.split(" && ")
    assert [words.split()[0] for words in setup] == ["python3", ".venv/bin/pip"]
    assert plan.startswith(".venv/bin/sunsched plan ")
    languages = [language for language, _ in FENCE.findall(rest)]
    assert languages[:2] == ["bat", "text"], "the output is the next that stands below"
    shown = blocks(rest, "text")[0].rstrip("\n")
    assert printed([plan.removeprefix(".venv/bin/")], desk) == [shown]


@pytest.mark.parametrize("name", ["plan", "test"])
def test_windows_lines_do_the_same(name):
    """Below each line for Linux and macOS stands the same one for Windows."""
    line, rest = marked(README, name)
    assert blocks(rest, "bat")[0] == on_windows(line) + "\n"
    assert on_windows("python3 a && .venv/bin/b data/c") == r"py a && .venv\Scripts\b data\c"


def test_front_door_is_short():
    """What a reader needs on the first day stands before the reference, with the cautions."""
    front, reference = README.split("\n# Reference\n")
    assert len(front.splitlines()) <= FRONT_LINES
    assert "## Cautions" in front
    assert reference


def test_ci_runs_the_readme_test_command():
    """What is checked on every change is what a reader is told to run."""
    line, _ = marked(README, "test")
    assert line.endswith("-m pytest")
    assert line in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize("name", COMMANDS)
def test_commands_are_documented(name):
    """Every command is in the README, and its help has an example that it accepts."""
    assert re.search(rf"(sunsched |`){name}\b", README)
    command = COMMANDS[name]
    shown = CliRunner().invoke(app, [name, "--help"], env={"COLUMNS": "80"})
    assert shown.exit_code == 0
    [example] = re.findall(rf"^\s*Example: (sunsched {name} .*)$", shown.stdout, re.MULTILINE)
    command.make_context(name, shlex.split(example)[2:])


@pytest.mark.parametrize("name", COMMANDS)
def test_options_are_documented(name):
    """Every option of every command is in the README."""
    options = {option for one in COMMANDS[name].params for option in one.opts if option[0] == "-"}
    assert sorted(option for option in options if option not in README) == []


def test_columns_are_documented():
    """Every column of the shot list stands in a table of the README."""
    assert sorted(COLUMNS.keys() - table_words(README)) == []


# The keys of `[size]` are the sizes themselves, which the shot list's column `size` explains.
@pytest.mark.parametrize(
    "table", sorted(TABLES.keys() - {"size"}), ids=lambda table: table or "top"
)
def test_keys_are_documented(table):
    """Every key that a table of `day.toml` may have stands beside that table in the README."""
    keys = {field.alias or name for name, field in TABLES[table].model_fields.items()}
    named = re.compile(rf"`\[+{table.split('.')[0]}[.\]]" if table else "")
    rows = [line for line in README.splitlines() if line.startswith("|") and named.search(line)]
    assert sorted(keys - table_words("\n".join(rows))) == []


def test_wrong_output_is_noticed(desk):
    """A block that shows another version than the real one does not pass."""
    [(command, shown)] = steps("$ sunsched --version\n0.0.0\n")
    [real] = printed([command], desk)
    assert real != shown
    assert re.fullmatch(r"\d+\.\d+\.\d+", real)
