"""The packed XML parts of a workbook: taken out, changed and put back among the others."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from typing import Any

from sunsched.folder.tables.cells import cell_text

_NUMBER = re.compile(r"-?\d{1,9}(?:\.\d{1,6})?")


def parts(raw: bytes) -> dict[str, bytes]:
    """Give the parts of a packed file by their names."""
    with zipfile.ZipFile(io.BytesIO(raw)) as held:
        return {one.filename: held.read(one) for one in held.infolist()}


def packed(raw: bytes, changed: Mapping[str, bytes]) -> bytes:
    """Give a packed file with other content in some of its parts; all stay in their order."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as held, zipfile.ZipFile(out, "w") as made:
        for one in held.infolist():
            content = changed[one.filename] if one.filename in changed else held.read(one)
            made.writestr(one, content, compress_type=one.compress_type)
    return out.getvalue()


def tree(part: bytes) -> Any:
    """Read a part as XML; nothing outside of it is looked up."""
    # Imported here, as most days have a CSV shot list.
    from lxml import etree

    return etree.fromstring(part, etree.XMLParser(resolve_entities=False, no_network=True))


def part(read: Any) -> bytes:
    """Write a part."""
    from lxml import etree

    return bytes(etree.tostring(read, xml_declaration=True, encoding="UTF-8", standalone=True))


def is_number(text: str) -> bool:
    """Say whether a text is a number that a spreadsheet shows just so."""
    return bool(_NUMBER.fullmatch(text)) and cell_text(float(text)) == text
