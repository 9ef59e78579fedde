"""A new day of what a form asks for: made whole, or told at each field what is still open."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from sunsched.desk.answers.days.as_sent import listed_of
from sunsched.desk.work.worker import Memory
from sunsched.folder.starter import hard_wrap_of
from sunsched.folder.text.words import some
from sunsched.new.day import AskedDay, MadeDay, OpenDay, make_day_folder
from sunsched.show.layout import plain
from sunsched.show.text.place.taken import place_lines

MOST_NAME = 60
MOST_TRIED = 99  # folders of one name
CHANGED = "call and wrap are moved on the page of the day, under decisions"
FEW = 12  # ids that a question names
Record = dict[str, Any]


def answer(
    _: Memory,
    *,
    root: str,
    title: str,
    place: str,
    date: str,
    call: str,
    wrap: str,
    text: str | None,
    content: str | None,
    list_name: str,
    answers: Sequence[Sequence[str]],
) -> Iterator[Record]:
    """Make a day folder in `root`, named by the title; a name that is taken gets a number.

    Parameters
    ----------
    text, content, list_name : a shot list as it was pasted, or as a file in base64 with its name
    answers : the column, the value and the answer of each question that was answered
    """
    asked = AskedDay(
        place=place,
        date=date,
        call=call,
        wrap=wrap,
        title=title,
        listed=listed_of(text, content),
        list_name=list_name,
        answers={(column, value): answered for column, value, answered in answers},
    )
    found = make_day_folder(_free_folder(Path(root), title), asked)
    yield _made(found) if isinstance(found, MadeDay) else _open(found)


def folder_name(title: str) -> str:
    """Give the name of a folder for a title: letters of any script, figures and hyphens."""
    letters = unicodedata.normalize("NFC", title).casefold()
    plain_name = re.sub(r"[^\w]+|_+", "-", letters).strip("-")[:MOST_NAME].strip("-")
    return plain_name or "my-day"


def _free_folder(root: Path, title: str) -> Path:
    name = folder_name(title)
    names = [name, *(f"{name}-{number}" for number in range(2, MOST_TRIED + 1))]
    return root / next((one for one in names if not (root / one).exists()), name)


def _made(found: MadeDay) -> Record:
    hours = (*found.hours, hard_wrap_of(*found.hours))
    told = place_lines(found.place, found.events, hours, is_laid=found.is_laid, changed=CHANGED)
    lines = [" ".join(plain(line).split()) for line in told]  # the page breaks them itself
    return {"made": found.folder.name, "told": [*lines, *found.notes]}


def _open(found: OpenDay) -> Record:
    return {
        "made": None,
        "problems": found.problems,
        "candidates": [{"told": one.told, "write": one.write} for one in found.candidates],
        "faults": [str(fault) for fault in found.faults],
        "questions": [
            {
                "column": one.column,
                "value": one.value,
                "shots": some(one.shots, FEW),
                "text": plain(one.text),
                "expected": one.expected,
                "hint": one.hint,
                "refused": found.refused.get(one.key, ""),
            }
            for one in found.questions
        ],
        "notes": list(found.notes),
    }
