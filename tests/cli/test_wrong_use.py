"""Every refused value of every option is told in our words, with what to type instead."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from typing import Any

import pytest
import typer
from conftest import MINIMAL_DAY

from sunsched.cli.run import app
from sunsched.cli.shared.common import Paper
from sunsched.cli.shared.wrong_use import choice_option, seconds_option, whole_option

ALL: Any = typer.main.get_command(app)
COMMANDS: dict[str, Any] = ALL.commands
# What the libraries below say by themselves.
LIBRARY = re.compile(
    r"Invalid value|Input should|Value error|is not one of|unable to parse|Usage:|Error:|Aborted|"
    r"Missing|requires an argument|No such (option|command)|unexpected extra|Traceback|pydantic"
)
HELP = re.compile(r"such as|\(expected [^)]* or |there is |end the name with|did you mean|alone\)")
LIST = "id,description,size,look,shoot_min\n1,a,wide,N,20\n"
SHOTS = "id,description,size,look,shoot_min,spot\n1,a,wide,N,20,yard\n2,b,wide,N,20,road\n"
NAMES = "".join(
    f'\n[[{kind}]]\nname = "{name}"\n'
    for kind, name in (("spot", "yard"), ("spot", "road"), ("cast", "Ana"), ("cast", "Ben"))
)
# What is refused, by the word that the help has for a value.
WRONG = {
    "HH:MM": ["", "soon", "25:99", "-3", "9,5", "6:00;"],
    "YYYY-MM-DD": ["", "soon", "09/06/2027", "2027-02-30"],
    "PLACE": ["", "Xyzzyqq", "95, 10", "36.5", "shots.csv", "notes.pdf"],
    "POINT": ["", "Xyzzyqq", "95, 10", "36.5"],
    "SIDE": ["bakc", "400 right", "40"],
    "FILE": ["", "x.doc", "."],
    "ID": ["", "99", "a b"],
    "NAME": ["", "yrad"],
    "NAME=HH:MM": ["", "Ana", "Ana=soon", "Nob=15:00"],
    "A,B,C": ["", "1", "1,99"],
    "DEG": ["", "NNX", "400", "-1"],
    "ORDER": ["", "nix.csv", "99", "-1", "."],
    "SECONDS": ["", "x", "-1", "0,01", "1e99", "10 s"],
    "MIN": ["", "x", "-1", "9999", "2,5", "10 min"],
    "N": ["", "x", "-1", "1.5", "1e30"],
    "WORDS": ["", "a wall", "from 80 to 130, 20 furlongs away, 12 m high"],
    "PAIRS": ["", "x", "100;15", "400:15"],
}
CHOICES = ["", "avarage", "3"]
# The words that an option needs beside it before its value is looked at.
BESIDE = {
    "new --at": ["--date", "2027-06-09"],
    "new --call": ["--date", "2027-06-09"],
    "new --wrap": ["--date", "2027-06-09"],
    "import --at": ["--date", "2027-06-09"],
    "import --date": ["--at", "Lisbon"],
    "plan --at": ["--date", "2027-06-09"],
    "plan --date": ["--at", "Lisbon"],
    "plan --sheet": ["--alternatives", "2"],
    "price --at": ["--shot", "1"],
    "price --before": ["--shot", "1"],
    "price --after": ["--shot", "1"],
    "price --shot": ["--at", "12:00"],
    "look --at": ["--shot", "1"],
    "look --every": ["--shot", "1"],
    "look --sun": ["--at", "11:00"],
    "look --from": ["--to", "36.2, -5.8"],
    "look --to": ["--from", "36.2, -5.8"],
    "gaffer --at": ["--look", "30", "--spot", "yard"],
    "gaffer --spot": ["--at", "09:00", "--look", "30"],
    "gaffer --look": ["--at", "09:00", "--spot", "yard"],
    "gaffer --rig": ["--at", "09:00", "--look", "30", "--spot", "yard"],
    "log --at": ["rolled", "1"],
    "log --from": ["closed", "yard", "--at", "09:00"],
    "log --until": ["cloud", "80%", "--at", "09:00"],
}
# Not refused where the option stands alone.
FINE = {("look --shot", ""), ("import --at", ""), ("import --date", "")}


def _options():
    for name, command in COMMANDS.items():
        for param in command.params:
            if param.param_type_name == "option":
                yield name, param.opts[0], param


# Each option with the last command that has it.
VALUED = {option: name for name, option, param in _options() if not param.is_flag}
FLAGS = {option: name for name, option, param in _options() if param.is_flag}


def _wrong_values():
    """Give every option with a wrong value, and with all of them where it stands first."""
    seen = set()
    for command, option, param in _options():
        if param.is_flag:
            continue
        values = CHOICES if "|" in (param.metavar or "") else WRONG[param.metavar]
        key = option, param.metavar
        for value in values[-1:] if key in seen else values:
            if (f"{command} {option}", value) not in FINE:
                yield pytest.param(command, option, value, id=f"{command} {option} {value!r}")
        seen.add(key)


@pytest.fixture(scope="module")
def saved_day(tmp_path_factory):
    """Give a day folder with a saved plan; no test here writes into it."""
    from sunsched import make_plan, read_day, save_plan

    folder = tmp_path_factory.mktemp("saved") / "day"
    folder.mkdir()
    (folder / "day.toml").write_text(MINIMAL_DAY + NAMES)
    (folder / "shots.csv").write_text(SHOTS)
    save_plan(folder, make_plan(read_day(folder)), made_at=datetime(2027, 6, 1, tzinfo=UTC))
    return folder


@pytest.fixture
def words_before(saved_day, tmp_path, monkeypatch):
    """Give a function that tells the words before an option: a day, or what the command takes."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "list.csv").write_text(LIST)

    def give(command, option=""):
        if command == "plan" and option in ("--at", "--date"):
            return ["list.csv"]
        own = {
            "new": ["made"],
            "import": ["list.csv", "made"],
            "compare": [saved_day, "1"],
            "sheet": [saved_day, "made.pdf"],
            "skyline": [saved_day, "yard"],
        }
        return own.get(command, [saved_day])

    return give


@pytest.mark.parametrize(("command", "option", "value"), list(_wrong_values()))
def test_refused_value_is_told_with_what_to_type(command, option, value, words_before, run):
    """What is wrong, at which option, and an example or the words that there are."""
    beside = BESIDE.get(f"{command} {option}", [])
    ran = run(command, *words_before(command, option), *beside, option, value)
    assert ran.code in (1, 2), ran
    assert ran.out == ""
    assert not LIBRARY.search(ran.err), ran.err
    parts = [f"`{part}`" for part in (value, *re.split("[=,]", value)) if part]
    names = (option, option.strip("-").upper())
    assert any(name in ran.err for name in names) or any(part in ran.err for part in parts), ran.err
    # The command's own example stands below in any case: the rest has to help without it.
    assert HELP.search(re.sub(r"hint: type such as .*", "", ran.err)), ran.err


@pytest.mark.parametrize(
    ("command", "option"),
    [(name, option) for name, option, param in _options() if not param.is_flag],
)
def test_option_without_a_value_is_told_with_an_example(command, option, words_before, run):
    """The example holds the option itself."""
    ran = run(command, *words_before(command), option)
    assert ran.code == 2
    assert ran.err.startswith(f"{option}: nothing stands behind it (expected ")
    assert f"`{option} " in ran.err.splitlines()[0]
    assert not LIBRARY.search(ran.err)


@pytest.mark.parametrize(("option", "command"), list(FLAGS.items()))
def test_value_behind_a_flag_is_told(command, option, words_before, run):
    """The option stands alone."""
    ran = run(command, *words_before(command), f"{option}=3")
    assert ran.code == 2
    assert ran.err.startswith(f"{option}: it takes no value (expected `{option}` alone)\n")
    assert not LIBRARY.search(ran.err)


@pytest.mark.parametrize(("option", "command"), [*VALUED.items(), *FLAGS.items()])
def test_misspelt_option_is_told_with_the_nearest(command, option, words_before, run):
    """One letter more; the help of that very command is named."""
    ran = run(command, *words_before(command), f"{option}x")
    assert ran.code == 2
    assert ran.err.startswith(f"{option}x: no such option\n  hint: did you mean `--")
    assert f"`sunsched {command} --help`" in ran.err
    assert not LIBRARY.search(ran.err)


# `desk` needs no words: without any it serves the days that stand here, until Ctrl-C.
@pytest.mark.parametrize("command", [one for one in COMMANDS if one != "desk"])
def test_missing_words_are_told_with_what_they_are(command, run):
    """Each command names the first word that it needs, and its own example."""
    ran = run(command)
    assert ran.code == 2
    assert re.match(r"[A-Z]+(…|\.\.\.)?: missing \(expected .+\)\n", ran.err), ran.err
    assert f"type such as `sunsched {command} " in ran.err
    assert not LIBRARY.search(ran.err)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (
            ["check", "our", "day"],
            (
                "more words than it takes: `day` (expected a name with spaces in "
                'quotes, such as `"our day"`)\n'
            ),
        ),
        (["pln"], "no such command: `pln`\n  hint: did you mean `plan`?\n"),
        (["xyzzy"], "no such command: `xyzzy` (expected new, import, check, "),
        (["--verson"], "--verson: no such option\n  hint: did you mean `--version`?\n"),
        (["sun", "nix"], "nix: no such folder (expected a day folder"),
        (["sheet", "nix", "x.doc"], "FILE: `x.doc` has no ending that can be written\n"),
    ],
)
def test_wrong_words_are_told(words, told, run):
    """The whole beginning of the answer."""
    ran = run(*words)
    assert ran.err.startswith(told), ran.err
    assert not LIBRARY.search(ran.err)


def test_words_alone_print_the_help(run):
    """As before: the commands, and exit code 2, since nothing was asked."""
    ran = run()
    assert ran.code == 2
    assert "Commands:" in ran.out + ran.err


def test_readers_of_options_have_names():
    """Some versions of typer ask each for its name, and a partial function has none."""
    made = (
        whole_option("--n", 1, 9, "N", "How many,"),
        seconds_option("--limit", 0.1, "How long."),
        choice_option("--paper", Paper, "The shape."),
    )
    assert [one.parser.__name__ for one in made] == ["read"] * 3
