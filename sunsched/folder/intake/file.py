"""One file with somebody's list, of any kind and encoding, read from wherever it lies."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from sunsched.folder.intake import source
from sunsched.folder.intake.header import best_place, score
from sunsched.folder.intake.prose import prose_sheet
from sunsched.folder.intake.take import Taken, take_sheet
from sunsched.folder.store import files
from sunsched.folder.store.files import UTF16_MARKS, Files
from sunsched.folder.tables import table, workbook
from sunsched.folder.tables.sheet import Sheet
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where, shown

HEAD_HINT = "put `shot, action, size, direction, sun, minutes` above the rows, or one shot a line"
PASTED = "the pasted text"
TEXTS = (".csv", ".tsv", ".txt", ".md", ".eml", "")


def read_list(path: Path, findings: Findings) -> Taken | None:
    """Read somebody's list: a workbook, a table as text, or sentences.

    Parameters
    ----------
    path : Path
        The file.
    findings : Findings
        Where faults are noted: no file, another kind of file, nothing that looks like shots.
    """
    name, kind = shown(path.name), path.suffix.casefold()
    where = Where(file=name)
    if not path.is_file():
        beside = [one.name for one in path.parent.iterdir()] if path.parent.is_dir() else []
        hint = "" if path.is_dir() else words.did_you_mean(path.name, beside)
        problem = "a folder, not a file" if path.is_dir() else "no such file"
        if files.is_dangling(path):
            problem, hint = files.LINK_TO_NOTHING, ""
        findings.fault(where, problem, expected="a shot list, such as list.xlsx", hint=hint)
        return None
    if kind not in (*workbook.ENDINGS, *TEXTS):
        hint = "save it as .xlsx, .ods or .csv, or copy its text into a .txt"
        findings.fault(where, f"a file of the kind `{kind}`", expected="a list", hint=hint)
        return None
    path = path.resolve()
    raw = files.read_bytes(Files(folder=path.parent, names=(path.name,)), path.name, findings)
    return None if raw is None else list_of_bytes(raw, path.name, findings)


def list_of_text(text: str, findings: Findings) -> Taken | None:
    """Read a list that was pasted: cells between tabs, as a spreadsheet copies them, or any text.

    Faults are noted as `list_of_bytes` does.
    """
    return list_of_bytes(text.encode(errors="replace"), PASTED, findings)


def list_of_bytes(raw: bytes, file: str, findings: Findings) -> Taken | None:
    """Read somebody's list from the bytes of its file, told by what stands in it.

    Parameters
    ----------
    raw : bytes
        The whole file.
    file : str
        Its name, for faults.
    findings : Findings
        Where faults are noted: a file too long, nothing that looks like shots.
    """
    name = shown(file)
    where = Where(file=name)
    notes: list[str] = []
    if len(raw) > files.MAX_FILE_BYTES:
        files.note_size(len(raw), where, findings)
        return None
    sheet: Sheet | None = None
    is_book = raw.startswith((files.ZIP_MARK, workbook.ENCRYPTED_OR_OLD))
    if is_book:
        sheets = workbook.book_sheets(raw, name, findings)
        sheet = None if not sheets else source.pick_sheet(sheets, "shots", name, findings, notes)
    else:
        text = _decoded(raw, notes)
        if table.is_long(text, name, findings):
            return None
        sheet = _text_sheet(text, name)
        if sheet is None:
            findings.fault(where, "nothing in it looks like shots", hint=HEAD_HINT)
    if sheet is None:
        return None
    if best_place(sheet.lines) is None:
        findings.fault(where, "nothing in it looks like shots", hint=HEAD_HINT)
        return None
    taken = take_sheet(sheet, name, findings, is_slip_taken=True)
    if taken is None or (not taken.table.rows and not findings.faults):
        findings.fault(where, "no shots below its head", expected="one row a shot")
        return None
    book_sheet = sheet.name if is_book else ""
    return replace(taken, notes=(*notes, *taken.notes), sheet=book_sheet)


def _text_sheet(text: str, name: str) -> Sheet | None:
    """Cut a text into a table if it has a head with a shot below it, else read its sentences."""
    for separator in (None, source.GAPS) if "  " in text else (None,):
        sheet = source.text_sheet(text, name, Findings(), gaps=separator)
        place = None if sheet is None else best_place(sheet.lines)
        if sheet is None or place is None:
            continue
        titles = [cell for cell in sheet.lines[place][1] if cell and words.clean(cell)]
        # Sentences with commas hold such words too, among many others.
        if len(titles) > 2 and 2 * score(titles) > len(titles):
            return sheet
    return prose_sheet(text)


def _decoded(raw: bytes, notes: list[str]) -> str:
    """Give the text of a file in the encodings that spreadsheets and mails are saved in."""
    encoding = "utf-16" if raw.startswith(UTF16_MARKS) else "utf-8-sig"
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError:
        text = raw.decode("cp1252", errors="replace")
        notes.append("it is not in UTF-8: read as Windows-1252, so check the accents")
    plain = "".join(mark for mark in text if mark in "\n\r\t" or mark >= " ")
    return plain.replace("\r\n", "\n").replace("\r", "\n")
