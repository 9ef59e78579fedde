"""What a packed workbook would cost to read, told before its XML is parsed.

A few kilobytes can stand for gigabytes: by entities, which name a text that holds others; by areas
of merged cells, each of which becomes a cell; by a million rows without anything in them.
"""

from __future__ import annotations

import re
import zipfile

from sunsched.folder.tables.sheet import MAX_CELLS
from sunsched.folder.text.findings import Findings, Where

MAX_UNPACKED_BYTES = 50_000_000
MAX_TAGS = 600_000  # openings and ends of elements; each takes a few microseconds and bytes
ROWS_HINT = "delete the empty rows and columns around the table"

# No workbook needs a document type, and its entities are the only use for one.
_DOCTYPES = (b"<!DOCTYPE", "<!DOCTYPE".encode("utf-16-le"), "<!DOCTYPE".encode("utf-16-be"))
_MERGED = re.compile(
    rb"<(?:\w+:)?mergeCell\s[^>]*?ref\s*=\s*[\"']\$?([A-Z]+)\$?(\d+):\$?([A-Z]+)\$?(\d+)[\"']"
)


def is_too_large(packed: zipfile.ZipFile, file: str, findings: Findings) -> bool:
    """Note what makes a packed workbook too large to be read, or to be trusted.

    Parameters
    ----------
    packed : zipfile.ZipFile
        The workbook.
    file : str
        Its name, for faults.
    findings : Findings
        Where the fault is noted.
    """
    where = Where(file=file)
    parts = packed.infolist()
    unpacked = sum(part.file_size for part in parts)
    if unpacked > MAX_UNPACKED_BYTES:
        expected = f"at most {MAX_UNPACKED_BYTES:,} bytes"
        findings.fault(where, f"{unpacked:,} bytes long when unpacked", expected=expected)
        return True
    tags = merged = 0
    for part in parts:
        if not part.filename.endswith((".xml", ".rels")):
            continue
        content = packed.read(part)
        if any(mark in content for mark in _DOCTYPES):
            name = "a workbook with a document type in its XML"
            hint = "open it in a spreadsheet and save it again"
            findings.fault(where, name, part.filename, hint=hint)
            return True
        tags += content.count(b"<")
        merged += sum(_cells_in(found) for found in _MERGED.findall(content))
    if tags > MAX_TAGS:
        expected = f"at most {MAX_TAGS:,}"
        findings.fault(where, f"{tags:,} XML tags", expected=expected, hint=ROWS_HINT)
    elif merged > MAX_CELLS:
        expected = f"at most {MAX_CELLS:,}"
        findings.fault(where, f"{merged:,} merged cells", expected=expected, hint=ROWS_HINT)
    return tags > MAX_TAGS or merged > MAX_CELLS


def _cells_in(area: tuple[bytes, bytes, bytes, bytes]) -> int:
    left, top, right, bottom = area
    if max(map(len, area)) > 8:
        return MAX_CELLS + 1
    return (abs(int(bottom) - int(top)) + 1) * (abs(_number(right) - _number(left)) + 1)


def _number(letters: bytes) -> int:
    """Give the number of a column from 1: A, B, … Z, AA."""
    number = 0
    for letter in letters:
        number = 26 * number + letter - ord("A") + 1
    return number
