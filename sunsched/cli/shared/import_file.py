"""Somebody's list made into a day folder, for the commands that begin with one."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from sunsched.cli.shared.app import terminal_width
from sunsched.cli.terminal.interrupt import unbroken
from sunsched.cli.terminal.streams import done_first
from sunsched.errors import FolderError, SunschedError, WriteRefused

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from sunsched.day.model import Size
    from sunsched.errors import Fault
    from sunsched.folder.intake.question import Question
    from sunsched.folder.intake.settle import Settled
    from sunsched.folder.intake.take import Taken

MOST_SHOWN = 12
LISTS = (".xlsx", ".xlsm", ".ods", ".csv", ".tsv", ".txt")


def import_file(
    file: Path,
    folder: Path | None,
    at: str | None,
    date: str | None,
    *,
    replace: bool,
    is_told: bool = False,
) -> Path:
    """Read a list, ask what it leaves open, and write it into a day folder; gives the folder.

    Nothing is written before all is answered and the day reads without a fault. `is_told` says
    that what was taken is only told beside another answer.
    """
    from sunsched.folder.intake.file import read_list
    from sunsched.folder.listing import own_sizes
    from sunsched.folder.store.files import SETTINGS_FILE
    from sunsched.folder.store.write import write_folder, write_whole
    from sunsched.folder.text.findings import Findings
    from sunsched.new.filled import new_texts, texts_for

    findings = Findings()
    taken = read_list(file, findings)
    if taken is None or findings.faults:
        raise FolderError(tuple(findings.faults))
    folder = folder or Path(_folder_name(file))
    is_new = not (folder / SETTINGS_FILE).is_file()
    # Wrong use is told before anything is asked.
    base, told = _base_texts(folder, at, date, is_new=is_new, replace=replace)
    settled = _settle(taken, file, {} if is_new else own_sizes(folder))
    try:
        texts, added = (new_texts(base, settled), []) if is_new else texts_for(folder, settled)
    except FolderError as error:
        error = FolderError(tuple(_in_list(fault, taken) for fault in error.faults))
        hint = "nothing was written: put it right in the list"
        if not is_new:
            hint += " or in day.toml, or import into a new folder with --at and --date"
        raise SunschedError(f"{error}\n  hint: {hint}") from error
    with unbroken():
        if is_new:
            write_folder(folder, texts)
        else:
            for name, text in texts.items():
                write_whole(folder / name, text.encode())
        if told:
            typer.echo(told, err=True)
        with done_first(f"{folder} is written"):
            for line in _lines(file, folder, taken, settled, added, texts):
                typer.echo(line, err=is_told)
    return folder


def _base_texts(
    folder: Path, at: str | None, date: str | None, *, is_new: bool, replace: bool
) -> tuple[dict[str, str], str]:
    """Give the files of a new day and what was taken for its place; none for a day there is."""
    from sunsched.cli.shared.new_day import new_day_texts

    if is_new:
        named = _place_and_date(at, date, folder)
        return new_day_texts(folder.absolute().name, *named, asks_hours=False)
    if at is not None or date is not None:
        text = f"`{folder}` has its place and date; they stand in its day.toml"
        raise typer.BadParameter(text, param_hint="--at, --date")
    _refuse_loss(folder, replace)
    return {}, ""


def _in_list(fault: Fault, taken: Taken) -> Fault:
    """Give a fault of the list as it would be written where it stands in the list itself."""
    from dataclasses import replace

    from sunsched.folder.listing import SHOTS_FILE

    rows = taken.table.rows
    if fault.file != SHOTS_FILE or fault.line is None or not 0 <= fault.line - 2 < len(rows):
        return fault
    row = rows[fault.line - 2]  # each row is written as one line, below the head
    file = f"{row.file}, sheet {taken.sheet}" if taken.sheet else row.file
    return replace(fault, file=file, line=row.line)


def is_list(path: Path) -> bool:
    """Say whether what was given for a day folder is a shot list."""
    return path.suffix.casefold() in LISTS and path.is_file()


def _folder_name(file: Path) -> str:
    from sunsched.folder.text.words import key_of

    return key_of(file.stem) or "my-day"


def _settle(taken: Taken, file: Path, own: Mapping[str, Size]) -> Settled:
    """Settle a list; what it leaves open is asked on a terminal, and told without one."""
    from sunsched.folder.intake.settle import settle

    answers: dict[tuple[str, str], str] = {}
    while True:
        settled = settle(taken, answers, own)
        if not settled.questions:
            return settled
        if not sys.stdin.isatty():
            raise SunschedError(_open_text(file, settled.questions))
        for question in settled.questions:
            answers[question.key] = _answer(question)


def _answer(question: Question) -> str:
    """Ask until the answer reads."""
    from sunsched.folder.text.words import WordError
    from sunsched.new.answer import read_answer

    typer.echo(_question_text(question), err=True)
    while True:
        answer = str(typer.prompt(f"{question.column}", default="", show_default=False, err=True))
        try:
            return read_answer(question, answer)
        except WordError as error:
            hint = f"; {error.hint}" if error.hint else ""
            typer.echo(f"`{answer}` is {error.problem}: {error.expected}{hint}", err=True)


def _question_text(question: Question) -> str:
    from sunsched.folder.text import words

    ids = words.some(question.shots, MOST_SHOWN)
    shots = "shot" if len(question.shots) == 1 else "shots"
    text = f"{shots} {ids}, {question.column}: {question.text} (expected {question.expected})"
    return f"{text}\n  hint: {question.hint}" if question.hint else text


def _open_text(file: Path, questions: tuple[Question, ...]) -> str:
    many = "one thing is" if len(questions) == 1 else f"{len(questions)} things are"
    lines = [f"{file.name}: {many} not clear, and nothing was written"]
    lines += [_question_text(question) for question in questions]
    lines.append("  hint: put it into the list, or run this on a terminal and answer")
    return "\n".join(lines)


def _place_and_date(at: str | None, date: str | None, folder: Path) -> tuple[str, str]:
    """Give where and when a new day is; asked on a terminal, else said what to type."""
    if at is not None and date is not None:
        return at, date
    if not sys.stdin.isatty():
        text = f"`{folder}` is no day yet: say where and when with --at PLACE --date YYYY-MM-DD"
        raise typer.BadParameter(text, param_hint="--at" if at is None else "--date")
    at = at or typer.prompt("place, a town such as Lisbon", err=True)
    return at, date or typer.prompt("date, such as 2027-06-09", err=True)


def _refuse_loss(folder: Path, replace: bool) -> None:
    for book in ("shots.xlsx", "shots.ods"):
        if (folder / book).is_file():
            text = f"`{book}` stands in the folder, and there is one shot list"
            raise WriteRefused(f"{text}\n  hint: move it away, or import into a new folder")
    if not (folder / "shots.csv").is_file() or replace:
        return
    if sys.stdin.isatty() and typer.confirm("replace shots.csv?", err=True):
        return
    text = "`shots.csv` stands in the folder already, and nothing was written"
    raise WriteRefused(f"{text}\n  hint: `import --replace` puts the new list in its place")


def _lines(
    file: Path,
    folder: Path,
    taken: Taken,
    settled: Settled,
    added: list[str],
    texts: dict[str, str],
) -> Iterator[str]:
    """Say what was written, and what of the list was taken for what."""
    from sunsched.show.layout import wrapped

    count = len(settled.rows)
    shots = "a shot" if count == 1 else f"{count} shots"
    yield f"{folder}: {', '.join(texts)}, {shots} from {file.name}"
    notes = [*taken.notes, *settled.notes]
    if added:
        notes.append(f"new in day.toml: {', '.join(added)}")
    for note in notes:
        yield from wrapped(f"- {note}", terminal_width(), indent=2)
