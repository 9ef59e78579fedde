"""Saved plans: which there are, and what is in one."""

from __future__ import annotations

from pathlib import Path

from sunsched.errors import FolderError
from sunsched.folder.store import files
from sunsched.folder.store.files import Files
from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where
from sunsched.saved.numbers import revision_numbers
from sunsched.saved.plan_file import Revision, file_of
from sunsched.saved.reading import parse_revision

SHOWN = 8  # numbers that a message names
SAVE_HINT = "`sunsched plan DAY --save` saves one"


def read_revision(folder: Path | str, number: int) -> Revision:
    """Read one saved plan of a day folder.

    Parameters
    ----------
    folder : the day folder
    number : of the plan; the first is 1

    Returns
    -------
    Revision
        The saved plan.

    Raises
    ------
    FolderError
        When there is no such revision, naming those there are, or its file is damaged, saying how.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> folder = tempfile.mkdtemp()
    >>> try:
    ...     sunsched.read_revision(folder, 3)
    ... except sunsched.FolderError as error:
    ...     print("refused")
    refused
    """
    findings = Findings()
    name = file_of(number)
    folder = Path(folder)
    saved = revision_numbers(folder)
    if number not in saved:
        expected = f"one that is saved: there is {words.listed(_shown(saved), 'and')}"
        findings.fault(
            Where(file=name),
            "no such revision",
            str(number),
            expected=expected if saved else "",
            hint="" if saved else SAVE_HINT,
        )
        raise FolderError(tuple(findings.faults))
    text = files.read_text(Files(folder=folder, names=()), name, findings, strict=True)
    found = None if text is None else parse_revision(text, number, findings)
    if found is None:
        raise FolderError(tuple(findings.faults))
    return found


def newest_revision(folder: Path | str) -> Revision | None:
    """Read the plan that was saved last; None where none is saved.

    Parameters
    ----------
    folder : the day folder

    Returns
    -------
    Revision | None
        The plan; None where none is saved.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> folder = tempfile.mkdtemp()
    >>> sunsched.newest_revision(folder) is None
    True
    """
    saved = revision_numbers(folder)
    return read_revision(folder, saved[-1]) if saved else None


def first_followed(folder: Path | str) -> Revision:
    """Read the plan that a day began with: the newest of the whole day, or the oldest of all.

    Raises
    ------
    FolderError
        When none is saved, or a file is damaged.
    """
    saved = revision_numbers(folder)
    for number in reversed(saved):
        found = read_revision(folder, number)
        if found.past is None:
            return found
    return read_revision(folder, saved[0] if saved else 1)


def _shown(saved: tuple[int, ...]) -> list[str]:
    """Give the numbers that a message names: the last ones where there are many."""
    return [str(number) for number in saved[-SHOWN:]]
