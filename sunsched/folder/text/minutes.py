"""Minutes of work as people write them: `20'`, `30 min`, `0:20`, `1h15`."""

from __future__ import annotations

import re

from sunsched.folder.text import words
from sunsched.folder.text.words import WordError

_ABOUT = re.compile(r"^(?:~|≈|ca?\.?\s+|approx\.?\s+|about\s+|circa\s+|env\.?\s+)\s*")
_HOUR = r"(?:h|hrs?|hours?|std\.?|stunden?|heures?|horas?|ore|ora)"
_MINUTE = r"(?:'|′|’|`|m|mn|min\.?|mins\.?|minutes?|minuten|minuti|minutos)"
_NUMBER = r"\d{1,9}(?:[.,]\d+)?|[½¼¾]|\d{1,9}[½¼¾]"
_IN_MINUTES = re.compile(rf"(\d+(?:[.,]\d+)?)\s*{_MINUTE}")
_IN_HOURS = re.compile(rf"({_NUMBER})\s*{_HOUR}(?:\s*(\d{{1,2}})\s*{_MINUTE}?)?")
_CLOCKED = re.compile(r"(\d{1,2}):([0-5]\d)(?::(\d{2}))?")
_RANGE = re.compile(rf"(\d{{1,9}})\s*(?:-|to|bis|à|a)\s*(\d{{1,9}})\s*{_MINUTE}?")
_PARTS = {"½": 0.5, "¼": 0.25, "¾": 0.75}


def minutes(text: str, low: int, high: int) -> int:
    """Read whole minutes of work.

    Parameters
    ----------
    text : str
        A number, or minutes and hours as people write them. `0:20` is twenty minutes and `1:15`
        an hour and a quarter, as spreadsheets write lengths of time.
    low, high : int
        Smallest and largest value allowed, minutes.

    Raises
    ------
    WordError
        For anything else, and for two figures such as `15-20`.
    """
    word = _ABOUT.sub("", words.plain_hyphens(text).casefold())
    expected = words.a_whole_number(low, high)
    if found := _IN_MINUTES.fullmatch(word):
        return words.whole(found[1], low, high)
    if found := _IN_HOURS.fullmatch(word):
        total = 60 * _number(found[1]) + int(found[2] or 0)
        return words.whole(f"{total:g}", low, high)
    if found := _CLOCKED.fullmatch(word):
        hours, over, seconds = int(found[1]), int(found[2]), int(found[3] or 0)
        total = 60 * hours + over
        if seconds or not low <= total <= high:
            # Minutes and seconds are written alike, so which of them is meant is not guessed.
            hint = f"write `{hours}` if minutes and seconds are meant" if not seconds else ""
            raise WordError("not whole minutes", expected=expected, hint=hint)
        return total
    if found := _RANGE.fullmatch(word):
        hint = f"write the longer one, `{max(int(found[1]), int(found[2]))}`, to be safe"
        raise WordError("two figures", expected=expected, hint=hint)
    return words.whole(word, low, high)


def _number(text: str) -> float:
    if text[-1] in _PARTS:
        return int(text[:-1] or 0) + _PARTS[text[-1]]
    return float(text.replace(",", "."))
