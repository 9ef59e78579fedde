"""A list as text, such as `shots.csv`: cut so that all that is not touched stays to the byte."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import takewhile

from sunsched.folder.editing.arranged import Arranged, arrange
from sunsched.folder.editing.edit import Edit, EditRefused, RowKey
from sunsched.folder.editing.editable import EditableList
from sunsched.folder.intake.source import SEPARATORS

BOM = b"\xef\xbb\xbf"
_LINE_END = re.compile(r"\r\n|\r|\n")
_NAMED = re.compile(r'[ ]*"?sep=."?[ ]*', re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """One row of the text: the line it starts on, its cells with their quotes, and its line end."""

    line: int
    cells: tuple[str, ...]
    end: str

    @property
    def texts(self) -> list[str]:
        """What the cells hold."""
        return [_text(cell) for cell in self.cells]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A text cut into records; `before` is a first line that names the separator."""

    encoding: str
    mark: bytes
    before: str
    separator: str
    records: tuple[Record, ...]


def edited_text(listed: EditableList, edits: Sequence[Edit]) -> tuple[bytes, dict[int, RowKey]]:
    """Give the bytes of an edited text, and the keys of its rows by the lines they start on now.

    Raises
    ------
    EditRefused
        When the text cannot take an edit as it stands.
    """
    cut = _cut(listed)
    head = listed.head_line or 0
    ends = [record.end for record in cut.records if record.end]
    end = ends[0] if ends else "\n"
    is_open = bool(cut.records) and not cut.records[-1].end
    above = [record for record in cut.records if record.line <= head]
    below = {str(record.line): record for record in cut.records if record.line > head}
    found = arrange(listed, list(below), edits)
    above = [
        _with(record, found.titles, cut.separator) if record.line == head else record
        for record in above
    ]
    if found.titles and not above:  # an empty file is given its head
        titles = tuple(_cell(found.titles[at], cut.separator) for at in sorted(found.titles))
        above = [Record(line=0, cells=titles, end=end)]
    width = len(above[-1].cells) if above else 0
    is_quoted = bool(above) and all(cell.startswith('"') for cell in above[-1].cells)
    rows: list[tuple[RowKey, Record]] = [("", record) for record in above]
    for key in found.order:
        texts = found.texts.get(key, {})
        if key in below:
            rows.append((key, _with(below[key], texts, cut.separator)))
        elif not found.is_blank(key):
            places = range(max(width, max(texts, default=-1) + 1))
            cells = (_cell(texts.get(at, ""), cut.separator, is_quoted) for at in places)
            rows.append((key, Record(line=0, cells=tuple(cells), end=end)))
    return _joined(cut, rows, found, end, is_open=is_open)


def _joined(
    cut: Cut,
    rows: Sequence[tuple[RowKey, Record]],
    found: Arranged,
    end: str,
    *,
    is_open: bool,
) -> tuple[bytes, dict[int, RowKey]]:
    """Put the records together; `is_open` says that the text ended without a line end."""
    parts, keys = [cut.mark, cut.before.encode(cut.encoding)], dict[int, RowKey]()
    line = 1 + len(_LINE_END.findall(cut.before))
    for number, (key, record) in enumerate(rows):
        is_last = number == len(rows) - 1
        after = record.end or ("" if is_last else end)
        if is_last and is_open and key in found.added:
            after = ""
        text = cut.separator.join(record.cells) + after
        try:
            parts.append(text.encode(cut.encoding))
        except UnicodeEncodeError as error:
            raise EditRefused(
                "a letter that the list's encoding, Windows-1252, does not have",
                row=key,
                value=error.object[error.start : error.end],
                hint="save the list again as text in UTF-8",
            ) from None
        if key:
            keys[line] = key
        line += len(_LINE_END.findall(text))
    return b"".join(parts), keys


def _cut(listed: EditableList) -> Cut:
    """Cut a text as its reader does: at the separator at which both give the same cells."""
    mark = BOM if listed.raw.startswith(BOM) else b""
    body = listed.raw.removeprefix(BOM)
    try:
        text, encoding = body.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        text, encoding = body.decode("cp1252"), "cp1252"
    first = "".join(takewhile(lambda sign: sign not in "\r\n", text))
    before = ""
    if _NAMED.fullmatch(first):
        end = _LINE_END.match(text, len(first))
        before = text[: end.end() if end else len(first)]
    lines = dict(listed.lines)
    for separator in SEPARATORS:
        start = 2 if before else 1
        records = tuple(_records(text[len(before) :], separator, start))
        # Lines that only draw a table are none to the reader.
        if all(_is_same(record, lines) for record in records):
            return Cut(
                encoding=encoding, mark=mark, before=before, separator=separator, records=records
            )
    raise EditRefused("the list is cut in a way that cannot be written again")


def _is_same(record: Record, lines: Mapping[int, Sequence[str | None]]) -> bool:
    known = lines.get(record.line)
    return known is None or [*known] == record.texts or (not known and record.texts == [""])


def _records(text: str, separator: str, line: int) -> Iterator[Record]:
    """Cut a text that the reader could read, its quotes closed, into records."""
    stop = re.compile(f"[{re.escape(separator)}\r\n]")
    at = 0
    while at < len(text):
        start, cells = at, list[str]()
        while True:
            close = _closing(text, at) if text.startswith('"', at) else at
            found = stop.search(text, close)
            cells.append(text[at : found.start() if found else len(text)])
            if found is None or found[0] != separator:
                break
            at = found.end()
        ended = _LINE_END.match(text, found.start()) if found else None
        end = ended[0] if ended else ""
        at = ended.end() if ended else len(text)
        yield Record(line=line, cells=tuple(cells), end=end)
        line += len(_LINE_END.findall(text[start:at]))


def _closing(text: str, at: int) -> int:
    """Give the place behind the quote that closes a cell; the text's end where none does."""
    found = re.compile(r'"(?:[^"]|"")*"').match(text, at)
    return found.end() if found else len(text)


def _with(record: Record, texts: Mapping[int, str], separator: str) -> Record:
    """Give a record with other texts in some of its cells."""
    if not texts:
        return record
    cells = [*record.cells] + [""] * (max(texts) + 1 - len(record.cells))
    for at, text in texts.items():
        old = cells[at]
        if text != _text(old).strip():
            new, inner = _cell(text, separator, old.startswith('"')), old.strip(" ")
            # A quote behind a space would be text, so what is in quotes has none around it.
            is_spaced = inner and text and not new.startswith('"') and not inner.startswith('"')
            cells[at] = old.replace(inner, new, 1) if is_spaced else new
    return Record(line=record.line, cells=tuple(cells), end=record.end)


def _cell(text: str, separator: str, is_quoted: bool = False) -> str:
    if is_quoted or any(mark in text for mark in (separator, '"', "\n")):
        return '"' + text.replace('"', '""') + '"'
    return text


def _text(cell: str) -> str:
    if cell.startswith('"'):
        cell = cell[1:-1].replace('""', '"')
    return _LINE_END.sub("\n", cell)
