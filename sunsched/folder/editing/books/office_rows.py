"""Blank rows put into a sheet of an .xlsx workbook (Office Open XML, ECMA-376)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any
from xml.sax.saxutils import escape

from sunsched.folder.editing.books import packed
from sunsched.folder.editing.books.office_notes import moved_notes
from sunsched.folder.editing.books.office_parts import BOOK, MAIN, SHEETS, sheet_of, sheet_part
from sunsched.folder.editing.books.office_words import moved_formula, moved_ranges
from sunsched.folder.editing.books.opened import NotMoved, Opened

CHAIN = "xl/calcChain.xml"  # in which order formulas were computed
# Parts that may look at a sheet in ways that are not followed here.
WATCHING = {"xl/charts/": "a chart", "xl/tables/": "a table", "xl/pivotCache/": "a pivot table"}
# What may stand in a sheet beside its rows: it has ranges at most, or none.
FOLLOWED = frozenset(
    (
        *("sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "autoFilter"),
        *("sheetCalcPr", "sheetProtection", "protectedRanges", "sortState", "mergeCells"),
        *("phoneticPr", "conditionalFormatting", "dataValidations", "hyperlinks", "printOptions"),
        *("pageMargins", "pageSetup", "headerFooter", "rowBreaks", "colBreaks", "ignoredErrors"),
        "legacyDrawing",
    )
)
FORMULAS = ("formula", "formula1", "formula2")
RANGES = ("ref", "sqref", "activeCell")
_ROW_LOOKS = ("s", "customFormat", "ht", "customHeight")


def with_rows(raw: bytes, opened: Opened) -> bytes:
    """Give a workbook with blank rows in one of its sheets.

    Raises
    ------
    NotMoved
        Where something looks at the rows below and cannot be moved along.
    """
    parts = packed.parts(raw)
    own = sheet_part(parts, opened.sheet)
    _check_watching(parts, opened.sheet)
    changed = moved_notes(parts, own, opened)
    for name in parts:
        if name.startswith(SHEETS) and name.endswith(".xml"):
            tree = packed.tree(parts[name])
            if name == own:
                _open_rows(tree, opened)
            if _move_formulas(tree, opened, is_here=name == own) or name == own:
                changed[name] = packed.part(tree)
    book = packed.tree(parts[BOOK])
    names = [one for one in book.iter(f"{MAIN}definedName") if one.text]
    for one in names:
        one.text = moved_formula(one.text, opened, is_here=False)
    if names:
        changed[BOOK] = packed.part(book)
    if CHAIN in parts:
        number = sheet_of(parts, opened.sheet).get("sheetId")
        changed[CHAIN] = _moved_chain(parts[CHAIN], number, opened)
    return packed.packed(raw, changed)


def _check_watching(parts: Mapping[str, bytes], sheet: str) -> None:
    name = escape(sheet).encode()
    for path, part in parts.items():
        for folder, what in WATCHING.items():
            if path.startswith(folder) and name in part:
                raise NotMoved(f"{what} that shows the list")


def _open_rows(tree: Any, opened: Opened) -> None:
    """Move the rows and the ranges of a sheet, and put blank rows in."""
    for part in tree:
        if part.tag.removeprefix(MAIN) not in FOLLOWED:
            what = part.tag.rpartition("}")[2]
            raise NotMoved(
                {"drawing": "a picture or a chart in the sheet", "tableParts": "a table"}.get(
                    what, f"a part of the sheet called `{what}`"
                )
            )
    data = tree.find(f"{MAIN}sheetData")
    _check_merged(tree, opened)
    _write_out_shared(data)
    for part in tree:
        if part is data:
            continue
        for one in part.iter():
            for name in RANGES:
                if one.get(name) is not None:
                    one.set(name, moved_ranges(one.get(name), opened))
            if one.tag == f"{MAIN}brk" and part.tag == f"{MAIN}rowBreaks":
                one.set("id", str(opened.line(int(one.get("id")) + 1) - 1))
    rows = dict(_numbered(data))
    made = []
    for before, count in opened.counts.items():
        like = rows.get(opened.like(before))
        first = opened.line(before) - count
        made += [_blank(data, like, first + at) for at in range(count)]
    for line, row in rows.items():
        _renumber(row, opened.line(line))
        for cell in row:
            for formula in cell.iter(f"{MAIN}f"):
                if formula.get("ref") is not None:
                    formula.set("ref", moved_ranges(formula.get("ref"), opened))
    for row in made:
        at = sum(1 for other in data if int(other.get("r")) < int(row.get("r")))
        data.insert(at, row)


def _numbered(data: Any) -> list[tuple[int, Any]]:
    """Give the rows with their lines; one that states none follows the one before it."""
    found, line = [], 0
    for row in data:
        line = int(row.get("r") or line + 1)
        found.append((line, row))
    return found


def _check_merged(tree: Any, opened: Opened) -> None:
    from openpyxl.utils.cell import range_boundaries

    merged = [(one.get("ref"), "a merged cell") for one in tree.iter(f"{MAIN}mergeCell")]
    held = [one for one in tree.iter(f"{MAIN}f") if one.get("t") in ("array", "dataTable")]
    for one in held:
        if one.get("t") == "dataTable":
            raise NotMoved("a table of what-if values")
        merged.append((one.get("ref"), "a formula of many cells"))
    for ref, what in merged:
        _, top, _, foot = range_boundaries(ref)
        if opened.is_within(top, foot):
            raise NotMoved(f"{what} that runs over the place: `{ref}`")


def _write_out_shared(data: Any) -> None:
    """Give each cell its own formula where several share one."""
    from openpyxl.formula.translate import Translator

    masters: dict[str, Any] = {}
    for cell in data.iter(f"{MAIN}c"):
        formula = cell.find(f"{MAIN}f")
        if formula is None or formula.get("t") != "shared":
            continue
        key = formula.get("si")
        if formula.text:
            masters[key] = Translator(f"={formula.text}", origin=cell.get("r"))
        else:
            formula.text = masters[key].translate_formula(cell.get("r")).removeprefix("=")
        for name in ("t", "si", "ref"):
            formula.attrib.pop(name, None)


def _move_formulas(tree: Any, opened: Opened, *, is_here: bool) -> bool:
    """Move what the formulas of a sheet look at; says whether any has changed."""
    from openpyxl.utils import quote_sheetname

    names = (f"{opened.sheet}!", f"{quote_sheetname(opened.sheet)}!")
    if not is_here:
        texts = [one.text or "" for one in tree.iter(f"{MAIN}f")]
        if any(name.casefold() in text.casefold() for text in texts for name in names):
            _write_out_shared(tree.find(f"{MAIN}sheetData"))
    is_changed = False
    for tag in ("f", *FORMULAS):
        for one in tree.iter(f"{MAIN}{tag}"):
            moved = moved_formula(one.text, opened, is_here=is_here) if one.text else one.text
            is_changed |= moved != one.text
            one.text = moved
    return is_changed


def _renumber(row: Any, line: int) -> None:
    row.set("r", str(line))
    for cell in row:
        if cell.get("r"):
            cell.set("r", re.sub(r"\d+$", str(line), cell.get("r")))


def _blank(data: Any, like: Any, line: int) -> Any:
    """Give a row that looks like another one and holds nothing."""
    made = data.makeelement(f"{MAIN}row", {"r": str(line)})
    if like is None:
        return made
    for name in _ROW_LOOKS:
        if like.get(name) is not None:
            made.set(name, like.get(name))
    for cell in like:
        if cell.get("r") and cell.get("s"):
            where = re.sub(r"\d+$", str(line), cell.get("r"))
            made.append(cell.makeelement(f"{MAIN}c", {"r": where, "s": cell.get("s")}))
    return made


def _moved_chain(chain: bytes, number: str, opened: Opened) -> bytes:
    tree, sheet = packed.tree(chain), ""
    for one in tree:
        sheet = one.get("i") or sheet  # stated where it is another than that of the one before
        if sheet == number:
            one.set("r", moved_ranges(one.get("r"), opened))
    return packed.part(tree)
