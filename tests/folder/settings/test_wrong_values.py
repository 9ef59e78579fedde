"""Every key of `day.toml` with wrong values of each sort: told in our words, with what to write."""

from __future__ import annotations

import re
import tomllib

import pytest
from conftest import MINIMAL_DAY

from sunsched.folder.settings.document import Document
from sunsched.folder.settings.keys import MANY, TABLES
from sunsched.folder.settings.reader import read_settings
from sunsched.folder.text.findings import Findings

LIBRARY = re.compile(
    r"[Ii]nput should|[Vv]alue error|[Ff]ield required|valid (string|int)|pydantic"
)
# An example, the few words that there are, how long a text may be, or what to do instead.
HELP = re.compile(r"such as|expected .* or |expected 1 to \d+ char|quotes|`\[|leave the key out")
WRONG = ["", "soon", "3,5", "20 m", -1_000_000, 1e300, True, [], [7], {"a": 1}]
# What each key that has its own names is tried with; both are told by what reads the shot list.
KEYS = [
    (table, field.alias or name)
    for table, keys in TABLES.items()
    for name, field in keys.model_fields.items()
    if (f"{table}.{field.alias or name}" if table else name) not in TABLES
    and (table, name) not in (("", "match"), ("words", "size"))
]


def _faults(table, key, value):
    """Read a day in which one key says this, and give the faults of the key alone."""
    data = tomllib.loads(MINIMAL_DAY)
    if table in MANY:
        data[table] = [{key: value}]
    else:
        at = data
        for part in table.replace("<name>", "walk").split("."):
            at = at.setdefault(part, {}) if part else at
        at[key] = value
    findings = Findings()
    read_settings(Document(file="day.toml", data=data, lines={}), findings)
    return [str(one) for one in findings.faults if one.column.split(".")[-1] == key]


@pytest.mark.parametrize(("table", "key"), KEYS, ids=[".".join(one).strip(".") for one in KEYS])
def test_wrong_values_are_told_with_what_to_write(table, key):
    """Most of these are wrong for any key; each answer names the key and says what is expected."""
    found = [_faults(table, key, value) for value in WRONG]
    assert sum(map(bool, found)) >= 5, found
    for one in (fault for faults in found for fault in faults):
        assert f"{key}: " in one
        assert not LIBRARY.search(one), one
        assert HELP.search(one), one


@pytest.mark.parametrize(("table", "key"), KEYS, ids=[".".join(one).strip(".") for one in KEYS])
def test_misspelt_key_is_told_with_the_nearest(table, key):
    """With a letter too many."""
    (told,) = _faults(table, f"{key}z", "soon")
    assert "unknown key" in told
    assert "hint: did you mean `" in told
