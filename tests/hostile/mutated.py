"""Files changed at random where their structure has places: cells, keys, values, tags, bytes."""

from __future__ import annotations

import io
import json
import re
import zipfile
from collections.abc import Callable, Sequence
from functools import partial
from random import Random
from typing import Any

from hostile.binary import in_exif

# Texts that have tripped up readers of text, here or elsewhere.
NASTY = (
    *("", " ", "-", "-1", "0", "1", "1e308", "-1e-400", "nan", "inf", "0x10", "1_000", "1.2.3"),
    *(
        "9" * 20,
        "9" * 5000,
        "1" + "0" * 12,
        "-" * 300,
        "1,250",
        "36,5",
        "½",
        "3½",
        "²",
        "１２",
        "٣",
    ),
    *(
        "5..95",
        "95..5",
        "..",
        ">",
        "<",
        ">=",
        "340..20",
        "N..N",
        "..5",
        "NNE",
        "ONO",
        "any",
        "noon",
    ),
    *("24:00", "25:61", "6:00 pm", "00:00", "0940", "6h", "1h15", "0:20", "15-20", "~20 min", "½h"),
    *("0001-01-01T00:00+14:00", "9999-12-31T23:59-12:00", "2027-06-09T06:40+02:00"),
    *("2027-06-09", "0000-00-00", "2027-02-30", "9999-12-31", "2027-06-08T06:40+02:00"),
    *("2027-06-09T06:40", "2027-06-09T06:40+99:99", "2027-W23-3", "20270609T0640Z", "1-", "1-2-3"),
    *("=1+1", "+1", "@SUM(A1)", "-2+3", "<script>alert(1)</script>", "&amp;", "]]>", "<!--"),
    *(
        "\x1b[31m",
        "\x1b]0;x\x07",
        "\u202e",
        "\u2066",
        "\u200b",
        "\ufeff",
        "\u00ad",
        "\x85",
        "\u2028",
    ),
    *(
        "a" * 61,
        "a" * 501,
        "a" * 10_000,
        "é",
        "e\u0301",
        "İ",
        "ß",
        "ﬁ",
        "日本",
        "👩‍👩‍👧",
        "\U0010ffff",
    ),
    *(
        "../x",
        "/etc/hostname",
        "C:\\x",
        "con",
        "a/b",
        ".",
        "%s",
        "{}",
        "{0}",
        "\\",
        "\\n",
        '"',
        "'",
    ),
    *(
        "\n",
        "\r",
        "\r\n",
        "\t",
        "\x00",
        "\x0b",
        ",",
        ";",
        "|",
        "#",
        "sep=;",
        "id",
        "meal",
        "1",
        "2",
    ),
    *(
        "Europe/Madrid",
        "UTC",
        "Etc/GMT-14",
        "Pacific/Kiritimati",
        "../../etc/passwd",
        "true",
        "yes",
    ),
)
LITERALS = (
    *('""', "[]", "{}", "[[]]", "[{}]", "{a = 1}", "nan", "inf", "-inf", "1e400", "0x7f", "true"),
    *("1979-05-27T07:32:00Z", "0001-01-01", "9999-12-31", "07:32:00.999999", "24:00:00", "1e308"),
    *(
        "9" * 30,
        "9" * 5000,
        "'''\n'''",
        '"""\n',
        "[",
        "{",
        '"',
        "[1, 'a', 2027-01-01]",
        "36,5",
        "-0",
    ),
)
VALUES: tuple[Any, ...] = (
    *(None, True, False, 0, -1, 1e308, -1e308, 0.5, 10**18, 10**12, 10**30, [], {}, [[]], [None]),
    *({"a": 1}, [1] * 600, "2027-06-09T06:40:00+02:00", "0001-01-01T00:00:00+14:00"),
    *("9999-12-31T23:59:59-12:00", "2027-06-08T06:40:00+02:00", "2027-06-09T06:40:30.5Z"),
)

Mutate = Callable[[bytes, Random], bytes]


def mutated(raw: bytes, kind: str, random: Random) -> bytes:
    """Give a file changed in one to four places.

    Parameters
    ----------
    raw : a whole file
    kind : what it is made of, a key of `KINDS`
    random : draws the changes
    """
    for _ in range(random.choice((1, 1, 1, 2, 3, 4))):
        change = in_bytes if random.random() < 0.12 else KINDS[kind]
        raw = change(raw, random)
    return raw


def nasty(random: Random) -> str:
    """Give one nasty text, or two in one."""
    return "".join(random.choice(NASTY) for _ in range(random.choice((1, 1, 1, 2))))


def in_bytes(raw: bytes, random: Random) -> bytes:
    """Change bytes: flip, cut off, double, put in, save in another encoding."""
    place = random.randrange(len(raw) + 1)
    match random.randrange(7):
        case 0:
            return raw[:place]
        case 1:
            end = place + random.randrange(1, 200)
            return raw[:end] + raw[place:end] * random.randrange(1, 50) + raw[end:]
        case 2:
            return raw[:place] + random.randbytes(random.randrange(1, 9)) + raw[place:]
        case 3:
            return raw[:place] + raw[place + random.randrange(1, 200) :]
        case 4:
            text = raw.decode("utf-8", "replace")
            return text.encode(random.choice(("utf-16", "utf-32", "utf-8-sig", "utf-7")))
        case 5:
            return raw.decode("utf-8", "replace").encode("cp1252", "replace")
        case _:
            flipped = bytes([raw[place % len(raw)] ^ (1 << random.randrange(8))]) if raw else b""
            return raw[:place] + flipped + raw[place + 1 :]


def in_cells(raw: bytes, random: Random) -> bytes:
    """Change a table as text: a cell, a row, a column, the separator, the head."""
    rows = [line.split(",") for line in raw.decode("utf-8", "replace").split("\n")]
    row = random.choice(rows)
    match random.randrange(11):
        case 0 | 1 | 2 | 3 | 4:
            row[random.randrange(len(row))] = _quoted(nasty(random), random)
        case 5:
            rows.insert(random.randrange(len(rows)), list(row))
        case 6:
            rows.remove(row)
        case 7:
            at = random.randrange(len(rows[0]))
            for one in rows:
                del one[at : at + 1]
        case 8:
            return "\n".join(random.choice((";", "\t", "|", " ")).join(r) for r in rows).encode()
        case 9:
            random.shuffle(rows)
        case _:
            other = random.choice(rows)
            at, to = random.randrange(len(row)), random.randrange(len(other))
            row[at], other[to] = other[to], row[at]
    return "\n".join(",".join(one) for one in rows).encode("utf-8", "replace")


def in_lines(raw: bytes, random: Random) -> bytes:
    """Change TOML or a text: a value, a key, a line, a table."""
    lines = raw.decode("utf-8", "replace").split("\n")
    at = random.randrange(len(lines))
    key, sign, _ = lines[at].partition("=")
    match random.randrange(9):
        case 0 | 1 | 2:
            value = random.choice((random.choice(LITERALS), json.dumps(nasty(random))))
            lines[at] = f"{key.strip() or 'title'} = {value}" if sign else nasty(random)
        case 3:
            lines[at] = f"{random.choice((nasty(random), 'a.b', 'a.' * 20 + 'a'))} = {lines[at]}"
        case 4:
            lines.insert(random.randrange(len(lines)), lines[at])
        case 5:
            del lines[at]
        case 6:
            name = key.strip(" []") or "spot"
            forms = (f"[{name}]", f"[[{name}]]", f"[{name}.x]", f"{name} = {{}}", f"[{name}")
            lines[at] = random.choice(forms)
        case 7:
            lines[at] += nasty(random)
        case _:
            other = random.randrange(len(lines))
            lines[at], lines[other] = lines[other], lines[at]
    return "\n".join(lines).encode("utf-8", "replace")


def in_json(raw: bytes, random: Random) -> bytes:
    """Change JSON: a value, a key, a member taken out or put in."""
    try:
        data = json.loads(raw)
    except ValueError:
        return in_bytes(raw, random)
    places = [*_places(data)]
    if not places:
        return in_bytes(raw, random)
    holder, key = random.choice(places)
    match random.randrange(6):
        case 0 | 1 | 2:
            holder[key] = random.choice((random.choice(VALUES), nasty(random)))
        case 3:
            del holder[key]
        case 4 if isinstance(holder, dict):
            holder[nasty(random)] = holder[key]
        case 4:
            holder.insert(random.randrange(len(holder)), holder[key])
        case _:
            other, name = random.choice(places)
            try:
                other[name] = json.loads(json.dumps(holder[key]))
            except (KeyError, IndexError):
                return in_bytes(raw, random)
    return json.dumps(data).encode("utf-8", "replace")


def in_package(raw: bytes, random: Random) -> bytes:
    """Change one part of a packed workbook: its XML, or whether it is there."""
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as packed:
            parts = {name: packed.read(name) for name in packed.namelist()}
    except (zipfile.BadZipFile, OSError, NotImplementedError, RuntimeError, ValueError, EOFError):
        return in_bytes(raw, random)
    weighed = [name for name in parts if "sheet" in name or "content" in name] * 3 + [*parts]
    name = random.choice(weighed)
    if random.random() < 0.05:
        del parts[name]
    else:
        parts[name] = in_tags(parts[name], random)
    return package(parts)


def package(parts: dict[str, bytes]) -> bytes:
    """Pack parts; the same ones give the same bytes."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as packed:
        for name, content in parts.items():
            packed.writestr(zipfile.ZipInfo(name), content)
    return made.getvalue()


def in_tags(raw: bytes, random: Random) -> bytes:
    """Change XML: a value, a text, a tag taken out or doubled."""
    text = raw.decode("utf-8", "replace")
    found = [*re.finditer(r'="([^"]*)"|>([^<]+)<|(<[^>]+>)', text)]
    if not found:
        return in_bytes(raw, random)
    one = random.choice(found)
    group = next(number for number in (1, 2, 3) if one[number] is not None)
    start, end = one.span(group)
    written = nasty(random).replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")
    if group == 3:
        written = random.choice(("", one[3] * 2, one[3] * 300, "<x/>", "&a;", written))
    return (text[:start] + written + text[end:]).encode("utf-8", "replace")


def _places(data: Any) -> Sequence[tuple[Any, Any]]:
    """Give every member of a JSON document as its holder and key."""
    keys = list(data) if isinstance(data, dict) else range(len(data))
    members = [(data, key) for key in keys] if isinstance(data, dict | list) else []
    inner = [data[key] for _, key in members if isinstance(data[key], dict | list)]
    return [*members, *(place for one in inner for place in _places(one))]


def _quoted(text: str, random: Random) -> str:
    return '"' + text.replace('"', '""') + '"' if random.random() < 0.5 else text


KINDS: dict[str, Mutate] = {
    "cells": in_cells,
    "lines": in_lines,
    "json": in_json,
    "package": in_package,
    "tags": in_tags,
    "bytes": in_bytes,
    "exif": partial(in_exif, otherwise=in_bytes),
}
