"""Words of a day folder turned into values: pure functions from text to value.

Each reader takes the text of one cell or key and gives its value, or raises `WordError` saying what
the text is not, what was expected and the nearest known word. None of them knows files or lines.
"""

from __future__ import annotations

import difflib
import math
import re
import unicodedata
from collections.abc import Callable, Collection, Iterable, Sequence

from sunsched.day.wish import CameraSide

MAX_NAME = 60
MAX_DESCRIPTION = 500
MAX_ID = 20

YES = frozenset({"yes", "y", "true", "1", "x", "✓", "✔", "ja", "oui", "si", "sí", "sim"})
NO = frozenset({"no", "n", "false", "0", "", "-", "nein", "non", "não", "nao"})

_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d{1,3})?", re.ASCII)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}", re.ASCII)
_ID = re.compile(r"[\w.][\w.-]*")
# Spreadsheets put in signs that look like a hyphen, and marks that cannot be seen at all.
_MINUS_SIGNS = str.maketrans(dict.fromkeys("−–—‐‑", "-"))
_UNSEEN = str.maketrans("", "", "\ufeff\u200b\u00ad")


class WordError(ValueError):
    """A text does not say what it should; the folder's readers add where it stands."""

    def __init__(self, problem: str, *, expected: str = "", hint: str = "") -> None:
        super().__init__(problem)
        self.problem = problem
        self.expected = expected
        self.hint = hint


def clean(text: str) -> str:
    """Give the text with every kind of space, line breaks too, as single plain spaces.

    Accents come out in one form (NFC), so that a name typed on two machines is one name.
    """
    return " ".join(unicodedata.normalize("NFC", text.translate(_UNSEEN)).split())


def plain_hyphens(text: str) -> str:
    """Give the cleaned text with every minus sign and dash as a hyphen."""
    return clean(text).translate(_MINUS_SIGNS)


def key_of(name: str) -> str:
    """Give what two spellings of one name have in common: no case, and one kind of gap."""
    return re.sub(r"[\s_-]+", "-", plain_hyphens(name).casefold()).strip("-")


def reads(reader: Callable[[str], object], text: str) -> bool:
    """Say whether a reader of words takes a text."""
    try:
        reader(text)
    except WordError:
        return False
    return True


def natural_key(shot_id: str) -> tuple[tuple[int, int, str], ...]:
    """Give a sort key that puts `2` before `10` and `7` before `7A`."""
    parts = (part for part in re.split(r"(\d{1,1000})", shot_id) if part)
    key = tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts)
    return (*key, (-1, 0, shot_id))


def listed(words: Iterable[str], last: str = "or") -> str:
    """Join words as a sentence does: `a, b or c`."""
    every = list(words)
    if len(every) < 2:
        return "".join(every)
    return f"{', '.join(every[:-1])} {last} {every[-1]}"


def some(words: Sequence[str], most: int) -> str:
    """Join the first words as a sentence does, and say how many there are besides: `a and 3 more`.

    One more is named, as its name is as short.
    """
    rest = len(words) - most
    return listed(words, "and") if rest < 2 else listed([*words[:most], f"{rest} more"], "and")


def choice(names: Collection[str], kind: str) -> str:
    """Say which names are known, or only how many when a line cannot hold them."""
    return listed(names) if len(names) <= 8 else f"one of the {len(names)} {kind} names"


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Give the hint that names the nearest known word, or an empty text when none is near."""
    by_key = {key_of(name): name for name in known}
    # A long text is never one mistyped word, and comparing it would take long.
    key = key_of(word[:MAX_NAME])
    near = difflib.get_close_matches(key, by_key, n=1, cutoff=0.7)
    # `desc` and `look_deg` are no typing errors, but shorter or longer forms of a word.
    near += [one for one in by_key if len(key) > 2 < len(one) and _is_start(key, one)]
    return f"did you mean `{by_key[near[0]]}`?" if near else ""


def _is_start(one: str, other: str) -> bool:
    return one.startswith(other) or other.startswith(one)


def a_number(low: float, high: float) -> str:
    """Say which number is expected, with one of them as an example."""
    example = next((one for one in (20.5, 2.5, 0.5) if low <= one <= high), low)
    return f"a number from {low:g} to {high:g}, such as {example:g}"


def a_whole_number(low: int, high: int) -> str:
    """Say which whole number is expected, with one of them as an example."""
    example = next((one for one in (20, 5, 2) if low <= one <= high), low)
    return f"a whole number from {low} to {high}, such as {example}"


def number(text: str, low: float, high: float) -> float:
    """Read a number; a decimal comma is as good as a point, and a degree sign may follow.

    Parameters
    ----------
    text : str
        What the cell says.
    low, high : float
        Smallest and largest value allowed.

    Raises
    ------
    WordError
        For anything else, and for `1,250`, which may be a thousand or a little over one, where
        both would be in range.
    """
    expected = a_number(low, high)
    plain = plain_hyphens(text).removesuffix("°").rstrip()
    if _THOUSANDS.fullmatch(plain):
        whole_text, decimals = plain.split(",")
        readings = float(whole_text + decimals), float(f"{whole_text}.{decimals}")
        in_range = [one for one in readings if low <= one <= high]
        if len(in_range) < 2:
            return within((in_range or readings)[0], low, high)
        raise WordError(
            "a comma that may mean thousands or decimals",
            expected=expected,
            hint=f"write `{whole_text}{decimals}` or `{whole_text}.{decimals}`",
        )
    if not _NUMBER.fullmatch(plain):
        raise WordError("not a number", expected=expected)
    return within(float(plain.replace(",", ".")), low, high)


def within(value: float, low: float, high: float) -> float:
    """Give the value back when it is finite and in its range, else raise `WordError`."""
    if not math.isfinite(value) or not low <= value <= high:
        raise WordError("out of range", expected=a_number(low, high))
    return value


def whole(text: str, low: int, high: int) -> int:
    """Read a whole number; `25.0`, as spreadsheets write it, is one."""
    expected = a_whole_number(low, high)
    try:
        value = number(text, low, high)
    except WordError as error:
        raise WordError(error.problem, expected=expected, hint=error.hint) from None
    if value != int(value):
        raise WordError("not a whole number", expected=expected)
    return int(value)


def yes_no(text: str) -> bool:
    """Read yes or no, in the ways that people and spreadsheets tick a box; blank is no."""
    word = clean(text).casefold()
    if word not in YES | NO and plain_hyphens(word) not in NO:
        raise WordError("neither yes nor no", expected="yes or no")
    return word in YES


def line_of_text(text: str, limit: int = MAX_NAME) -> str:
    """Read a free text of 1 to `limit` characters, on one line."""
    line = clean(text)
    expected = f"1 to {limit} characters"
    if not line:
        raise WordError("blank", expected=expected)
    if any(unicodedata.category(mark) == "Cc" for mark in line):
        raise WordError("holds a control character", expected="plain text")
    if len(line) > limit:
        raise WordError(f"{len(line)} characters long", expected=expected)
    return line


def shot_id(text: str) -> str:
    """Read a shot's id: letters, digits, dots, hyphens and underscores."""
    word = plain_hyphens(text)
    if not _ID.fullmatch(word) or len(word) > MAX_ID:
        # On the command line such a word is an option, and in a spreadsheet a formula.
        rest = word.lstrip("-")
        is_minus = word != rest and _ID.fullmatch(rest)
        raise WordError(
            "not a shot id",
            expected=f"1 to {MAX_ID} letters, digits, dots, hyphens or underscores, such as 7A",
            hint=f"no hyphen may stand first: write `{word.lstrip('-')[:MAX_ID]}`"
            if is_minus
            else "",
        )
    return word


def id_list(text: str) -> tuple[str, ...]:
    """Read shot ids separated by spaces, commas or semicolons; a repeated one counts once."""
    return tuple(dict.fromkeys(shot_id(word) for word in re.split(r"[\s,;]+", text) if word))


def name_list(text: str) -> tuple[str, ...]:
    """Read names separated by commas, semicolons or plus signs; a repeated one counts once."""
    names = (name for name in re.split(r"[,;+]", text) if clean(name))
    return tuple(dict.fromkeys(line_of_text(name) for name in names))


def camera_side(text: str) -> CameraSide:
    """Read `left` or `right`, as the camera sees it."""
    word = re.sub(r"^cam(era)?-", "", key_of(text).strip("."))
    found = {one: side for side in CameraSide for one in (side.value, side.value[0])}.get(word)
    if found is None:
        raise WordError(
            "not a camera side", expected="left or right", hint=did_you_mean(text, CameraSide)
        )
    return found
