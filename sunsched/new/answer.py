"""Answers to what a list leaves open: read before they are taken."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from sunsched.day.model import Size
from sunsched.folder.intake.question import Question
from sunsched.folder.intake.settle import READERS, Settled, settle, sizes_of
from sunsched.folder.intake.take import Taken
from sunsched.folder.shot_list.columns import MAX_SHOOT
from sunsched.folder.text import bands
from sunsched.folder.text.minutes import minutes
from sunsched.folder.text.words import WordError

Key = tuple[str, str]
"""What an answer is kept by: the column and the value that a question is about."""


def read_answer(question: Question, text: str) -> str:
    """Give an answer as it is kept; blank where a cell may stay so.

    Raises
    ------
    WordError
        When it does not read.
    """
    needed: dict[str, Callable[[str], object]] = {
        "size": partial(_sizes, count=len(question.shots)),
        "look": bands.bearing,
        "shoot_min": lambda text: minutes(text, 1, MAX_SHOOT),
    }
    if not text.strip() and question.column not in needed:
        return ""
    reader = needed.get(question.column) or READERS[question.column][0]
    reader(text)
    return text.strip()


def settle_answered(
    taken: Taken, answers: Mapping[Key, str], own: Mapping[str, Size] | None = None
) -> tuple[Settled, dict[Key, WordError]]:
    """Settle a list with answers; those that do not read are given too, and asked again.

    Parameters
    ----------
    taken : Taken
        The list.
    answers : mapping of (column, value) to str
        What was answered; an answer to no question is not looked at.
    own : mapping of str to Size, optional
        Words for sizes of the day that the list goes into.
    """
    read: dict[Key, str] = {}
    refused: dict[Key, WordError] = {}
    while True:  # an answer may lead to a question, as a side of the sun asks for a look
        settled = settle(taken, read, own)
        open_keys = [one for one in settled.questions if one.key in answers.keys() - refused.keys()]
        if not open_keys:
            return settled, refused
        for question in open_keys:
            try:
                read[question.key] = read_answer(question, answers[question.key])
            except WordError as error:
                refused[question.key] = error


def _sizes(answer: str, count: int) -> None:
    many = len(sizes_of(answer))
    if many not in (1, count):
        raise WordError(f"{many} sizes", expected=f"one, or {count}")
