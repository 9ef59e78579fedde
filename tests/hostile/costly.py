"""Small files that would take gigabytes or minutes, read in a process with little memory.

    python -m hostile.costly NAME

The last line says how many seconds of work it took, and how many MiB.
"""

from __future__ import annotations

import json
import resource
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

from hostile import whole
from hostile.fed import READERS, most_kib
from hostile.mutated import package
from sunsched.errors import SunschedError
from sunsched.folder.log.row import COLUMNS as LOG_COLUMNS

UNRIGGED = whole.DAY.replace("[[rig]]", "[[cast]]").replace("overhead = true\n", "")
DOTTED = ".".join(["a"] * 20_000)
DEEP = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 9))
DOCTYPE = f'<!DOCTYPE x [<!ENTITY a0 "{"x" * 1000}">{DEEP}]>'


def _sheet(change: Callable[[str], str]) -> bytes:
    """Give the workbook with the XML of its sheet changed."""
    with zipfile.ZipFile(BytesIO(whole.office_book())) as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}
    name = "xl/worksheets/sheet1.xml"
    parts[name] = change(parts[name].decode()).encode()
    return _squeezed(parts)


def _content(change: Callable[[str], str]) -> bytes:
    with zipfile.ZipFile(BytesIO(whole.open_book())) as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}
    parts["content.xml"] = change(parts["content.xml"].decode()).encode()
    return _squeezed(parts)


def _squeezed(parts: dict[str, bytes]) -> bytes:
    made = BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in parts.items():
            packed.writestr(name, content)
    return made.getvalue() if len(parts) > 1 else package(parts)


def _more_rows(rows: str) -> Callable[[str], str]:
    return lambda text: text.replace("</sheetData>", f"{rows}</sheetData>")


COSTLY: dict[str, tuple[str, Callable[[], bytes]]] = {
    "entities": ("shots.xlsx", lambda: _sheet(lambda text: DOCTYPE + text.replace("dawn", "&a8;"))),
    "entities of .ods": (
        "shots.ods",
        lambda: _content(lambda text: text.replace("?>", f"?>{DOCTYPE}")),
    ),
    "merged": (
        "shots.xlsx",
        lambda: _sheet(lambda text: text.replace('ref="C7:D8"', 'ref="A1:XFD1048576"')),
    ),
    "empty rows": ("shots.xlsx", lambda: _sheet(_more_rows("<row/>" * 1_000_000))),
    "far row": (
        "shots.xlsx",
        lambda: _sheet(_more_rows('<row r="99999999"><c r="A99999999"><v>1</v></c></row>')),
    ),
    "repeated": (
        "shots.ods",
        lambda: _content(
            lambda text: text.replace(
                'rows-repeated="2"><table:table-cell ',
                'rows-repeated="900000"><table:table-cell table:number-rows-spanned="9" '
                'office:value-type="float" office:value="7"/><table:table-cell ',
            )
        ),
    ),
    "dotted": ("day", lambda: (whole.DAY + f"\n{DOTTED} = 1\n").encode()),
    "keys": ("day", lambda: ("".join(f"k{n} = 1\n" for n in range(400_000))).encode()),
    "tables": ("day", lambda: ("rig = [" + "{}," * 70_000 + "]\n" + UNRIGGED).encode()),
    "wrong rows": ("shots", lambda: (whole.SHOTS + "x,y,z,,,,,,\n" * 400_000).encode()),
    "blank rows": ("shots", lambda: (whole.SHOTS + "\n" * 4_900_000).encode()),
    "cells": ("shots", lambda: (whole.SHOTS + "," * 4_900_000).encode()),
    "points": ("horizon", lambda: (whole.HORIZON + "x,y\n" * 1_000_000).encode()),
    "cloths": (
        "cloths",
        lambda: "".join(["name,stops\n", *(f"c{n},1\n" for n in range(49_000))]).encode(),
    ),
    "decisions": ("decisions", lambda: (whole.DECISIONS + "x,1,\n" * 49_000).encode()),
    "events": ("log", lambda: (",".join(LOG_COLUMNS) + "\n" + "x,y,z\n" * 49_000).encode()),
    "rolls": ("plan", lambda: json.dumps(whole.PLAN | {"shots": [1] * 1_000_000}).encode()),
    "order": ("order", lambda: ("id,time\n" + "x,7\n" * 49_000).encode()),
    "pasted": ("pasted", lambda: b"x\n" * 99_000),
    "list": ("list", lambda: b"shot one, wide at noon\n" * 200_000),
}


def main(names: list[str]) -> None:
    """Read each, and tell what was said and what it cost."""
    resource.setrlimit(resource.RLIMIT_DATA, (1 << 30, 1 << 30))
    before = most_kib()  # a system may count what the process that began this one held
    for name in names:
        reader, made = COSTLY[name]
        raw = made()
        began = time.process_time()
        with tempfile.TemporaryDirectory() as folder:
            try:
                told = repr(READERS[reader].read(Path(folder), raw))
            except SunschedError as error:
                told = str(error)
        seconds = time.process_time() - began
        row = {"name": name, "s": seconds, "mib": (most_kib() - before) >> 10, "told": told[:400]}
        sys.stdout.write(json.dumps(row) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:])
