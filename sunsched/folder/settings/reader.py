"""The keys of `day.toml`, read one by one, with every fault of every key.

A key that is at fault is left out after it is noted, so that one reading can go on and find the
other faults.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from pydantic import ValidationError

from sunsched.day.kit.frame import FrameKind
from sunsched.day.model import MatchBy
from sunsched.folder.settings.document import Document, KeyPath
from sunsched.folder.settings.keys import ANY_MATCH, MANY, MAX_MINUTES, MAX_TITLE, TABLES, Settings
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings
from sunsched.folder.text.words import WordError

MAX_TABLES = 4_200  # of a kind: moves between 64 spots, either way

# What must be written, table by table, and what is expected there.
REQUIRED: dict[str, dict[str, str]] = {
    "": {
        "title": f"a text of 1 to {MAX_TITLE} characters",
        "date": "a date such as 2027-06-09",
        "place": "a table `[place]`",
        "hours": "a table `[hours]`",
    },
    "place": {
        "latitude_deg": "a number from -90 to 90, north positive, such as 36.5",
        "longitude_deg": "a number from -180 to 180, east positive, such as -10.2",
        "timezone": "an IANA name such as Europe/Madrid",
    },
    "hours": {
        "crew_call": "a clock time such as 06:00",
        "wrap": "a clock time such as 19:00",
    },
    "spot": {"name": f"a text of 1 to {words.MAX_NAME} characters"},
    "move": {"between": "the names of two spots", "minutes": f"minutes from 0 to {MAX_MINUTES}"},
    "cast": {"name": f"a text of 1 to {words.MAX_NAME} characters"},
    "rig": {"name": "the name of a rig of the shot list"},
    "frame": {
        "name": f"a text of 1 to {words.MAX_NAME} characters",
        "kind": words.listed(FrameKind),
    },
    ANY_MATCH: {"by": words.listed(MatchBy)},
}


def read_settings(document: Document, findings: Findings) -> Settings:
    """Read every key of `day.toml`, noting each fault; keys at fault are absent in the result.

    Parameters
    ----------
    document : Document
        The parsed file.
    findings : Findings
        Where faults are noted.
    """
    document = _cut(document, findings)
    _note_missing(document, findings)
    try:
        return Settings.model_validate(document.data)
    except ValidationError as error:
        data = _copied(document.data)
        for one in error.errors(include_url=False):
            _note(document, one["loc"], one["type"], one["input"], one.get("ctx", {}), findings)
            _drop(data, one["loc"])
    return Settings.model_validate(data)


def _cut(document: Document, findings: Findings) -> Document:
    """Give the document with no more tables of a kind, nor matches, than anybody could mean."""
    data = document.data
    for key in (*MANY, "match"):
        tables = data.get(key)
        if not isinstance(tables, list | dict) or len(tables) <= MAX_TABLES:
            continue
        expected = f"at most {MAX_TABLES:,}"
        findings.fault(document.at(key), f"{len(tables):,} tables", expected=expected)
        fewer = [*tables.items()][:MAX_TABLES] if isinstance(tables, dict) else tables[:MAX_TABLES]
        data = {**data, key: dict(fewer) if isinstance(tables, dict) else fewer}
    return replace(document, data=data)


def _note_missing(document: Document, findings: Findings) -> None:
    for table, keys in REQUIRED.items():
        outer = table.removesuffix(".<name>")
        written = document.data.get(outer) if outer else document.data
        places: Sequence[tuple[KeyPath, object]] = [((table,) if table else (), written)]
        if table in MANY:
            every = written if isinstance(written, list) else []
            places = [((table, place), one) for place, one in enumerate(every)]
        elif table == ANY_MATCH:
            named = written if isinstance(written, dict) else {}
            places = [((outer, name), one) for name, one in named.items()]
        for path, one in places:
            if isinstance(one, dict):
                for key, expected in keys.items():
                    if key not in one:
                        findings.fault(document.at(*path, key), "missing", expected=expected)


def _note(
    document: Document,
    path: KeyPath,
    kind: str,
    value: object,
    context: dict[str, Any],
    findings: Findings,
) -> None:
    where = document.at(*path)
    error = context.get("error")
    if isinstance(error, WordError):
        findings.misread(where, error, _written(value))
    elif kind == "extra_forbidden":
        _note_unknown(document, path, value, findings)
    elif path == ("match",):
        findings.fault(where, "not a table", _written(value), expected=f"`[{ANY_MATCH}]`")
    elif path[0] in MANY and len(path) == 1:
        findings.fault(where, "not a list of tables", expected=f"`[[{path[0]}]]`, one for each")
    elif kind == "list_type":
        findings.fault(where, "not a list", _written(value), expected="a list in `[` and `]`")
    else:
        name = f"[{where.column}]"
        expected = f"`[{name}]`" if path[0] in MANY else f"`{name}`"
        findings.fault(where, "not a table", _written(value), expected=expected)


def _note_unknown(document: Document, path: KeyPath, value: object, findings: Findings) -> None:
    where = document.at(*path)
    table, _, key = where.column.rpartition(".")
    if path[0] == "match":
        table, key = ANY_MATCH, str(path[-1])  # its name may have dots in it
    known = _known(table) if table in TABLES else []
    owner = next((name for name in TABLES if key in _known(name)), None)
    if owner is None:
        hint = words.did_you_mean(key, known)
    elif owner == "":
        hint = "it belongs above the first table"
    else:
        hint = f"it belongs in `[[{owner}]]`" if owner in MANY else f"it belongs in `[{owner}]`"
    is_many = isinstance(value, list) and bool(value) and isinstance(value[0], dict)
    kind = "table" if is_many or isinstance(value, dict) else "key"
    findings.fault(
        where, f"unknown {kind}", expected="" if hint else words.listed(known), hint=hint
    )


def _known(table: str) -> list[str]:
    return [field.alias or name for name, field in TABLES[table].model_fields.items()]


def _copied(value: Any, depth: int = 5) -> Any:
    """Copy tables and lists as deep as `day.toml` goes; anything deeper is a fault anyway."""
    if depth and isinstance(value, dict):
        return {key: _copied(one, depth - 1) for key, one in value.items()}
    if depth and isinstance(value, list):
        return [_copied(one, depth - 1) for one in value]
    return value


def _drop(data: Any, path: KeyPath) -> None:
    """Take out the key at fault; a value in a list takes its whole list with it.

    What should be one of many tables becomes an empty one, so that the others keep their places.
    """
    if len(path) == 2 and path[0] in MANY:
        data[path[0]][path[1]] = {}
        return
    keys = path[:-1] if isinstance(path[-1], int) else path
    for key in keys[:-1]:
        data = data[key]
    data.pop(keys[-1], None)


def _written(value: object) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case dict():
            return "a table"
        case list():
            return "a list" if value else "[]"
        case dt.date() | dt.time():
            return value.isoformat()
        case int() if abs(value) >= 10**20:
            return f"{value:#x}"  # Python refuses to write very large ones in tens
    return str(value)
