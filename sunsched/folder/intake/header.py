"""The head of a list, found by what stands in it, and the column that each title stands for."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median

from sunsched.folder.intake.titles import (
    HOURS,
    OTHERS,
    SHORT_SIZES,
    columns_for,
    key_of_title,
    languages_of,
    slip_of,
)
from sunsched.folder.shot_list.columns import MAX_SHOOT
from sunsched.folder.tables.table import Line, column_name, says
from sunsched.folder.text import bands, clock, minutes, sizes, suns, words
from sunsched.folder.text.words import WordError

LOOKED_AT = 60  # lines from the top; a head further down is none that a reader would find
FILLED = 3  # cells of a row that is likely a shot
LEAST = 2  # titles that make a line a head
ROLL_MIN = 180  # longer than nearly every roll: beyond it, figures such as 14:30 are clock times
CLOCK = "clock"  # stands for a column of clock times, which no shot is held to unasked

_HOURS = re.compile(r"\b(?:h|hrs?|hours?|std|stunden|heures|horas|ore)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """A head: its place among the lines, and for each of its titles the column it stands for.

    A column is empty where the title is kept as it is; `languages` are those that the titles are
    in, as far as that can be told. `hours` are the places of titles whose figures are hours,
    `clocks` those of titles over clock times that no shot is held to.
    """

    place: int
    titles: tuple[str, ...]
    columns: tuple[str, ...]
    languages: frozenset[str]
    hours: frozenset[int] = frozenset()
    clocks: frozenset[int] = frozenset()


def score(cells: Sequence[str | None]) -> int:
    """Give how many columns the cells of a line name: the line with the most is the head."""
    named = {columns_for(cell)[:1] for cell in cells if cell and len(cell) < words.MAX_NAME}
    return len(named - {()})


def best_place(lines: Sequence[Line]) -> int | None:
    """Give the place of the line that is most like a head; None where none is one."""
    scores = [score(cells) for _, cells in lines[:LOOKED_AT]]
    most = max(scores, default=0)
    return scores.index(most) if most >= LEAST else None


def read_head(lines: Sequence[Line], place: int) -> Head:
    """Say what each title of a head stands for, by its words and by the cells below it."""
    titles = tuple(words.clean(title or "") for title in lines[place][1])
    # What a title stands for is seen in rows that are filled, not in sections, sums or heads again.
    filled = [cells for _, cells in lines[place + 1 :] if sum(map(says, cells)) >= FILLED]
    below = [cells for cells in filled if score(cells) < LEAST]
    columns = [""] * len(titles)
    clocks: set[int] = set()
    # A title that is a column's own name comes before one that may stand for it.
    exact = [at for at, title in enumerate(titles) if (column_name(title),) == columns_for(title)]
    every = [[cells[at] for cells in below if at < len(cells)] for at in range(len(titles))]
    others = [at for at in range(len(titles)) if at not in exact]
    for at in (*exact, *sorted(others, key=lambda at: _haste(titles[at], every[at]))):
        options, cells = columns_for(titles[at]), every[at]
        if "size" in options:  # letters of a language, such as `N`, are told by its title
            short = {
                letters: size
                for language in languages_of(titles[at])
                for letters, size in SHORT_SIZES[language].items()
            }
            cells = [short.get(cell.strip().upper(), cell) if cell else cell for cell in cells]
        fitting = (one for one in options if at in exact or _fits(one, options, cells))
        found = next(fitting, "")
        if found == CLOCK:
            clocks.add(at)
        elif found and (found not in columns or at in exact):
            columns[at] = found
        elif found:
            free = [one for one in options if one not in columns and _fits(one, options, cells)]
            columns[at] = next((one for one in free if one != CLOCK), "")
    for column in ("size", "look", "sun"):
        # A title that nobody knows, over cells that all say one thing: what they say, they are.
        unknown = [at for at, title in enumerate(titles) if title and not _is_known(title)]
        spare = [at for at in unknown if not columns[at] and _all_read(column, every[at])]
        if column not in columns and spare:
            columns[spare[0]] = column
    spoken = [languages_of(title) for title, column in zip(titles, columns, strict=True) if column]
    return Head(
        place=place,
        titles=titles,
        columns=tuple(columns),
        languages=frozenset(set().union(*spoken)),
        hours=frozenset(
            at
            for at, column in enumerate(columns)
            if column.endswith("_min") and _HOURS.search(titles[at])
        ),
        clocks=frozenset(clocks),
    )


def _is_known(title: str) -> bool:
    return bool(columns_for(title) or slip_of(title)) or key_of_title(title) in OTHERS


def _all_read(column: str, cells: Sequence[str | None]) -> bool:
    written = [cell for cell in cells if cell and words.clean(cell)]
    return len(written) > 1 and all(
        re.search(r"[^\W\d]|°", cell) and words.reads(_READS[column], cell) for cell in written
    )


def _haste(title: str, cells: Sequence[str | None]) -> tuple[bool, bool, bool]:
    """Put the best numbers first, those that tell the rows apart, and hours of the day last."""
    if "id" not in columns_for(title):
        return key_of_title(title) in HOURS, False, False
    written = [words.clean(cell).casefold() for cell in cells if cell and words.clean(cell)]
    has_figures = any(re.search(r"\d", text) for text in written)
    return len(written) > len(set(written)), not has_figures, not columns_for(title)[1:]


def _fits(column: str, options: tuple[str, ...], cells: Sequence[str | None]) -> bool:
    """Say whether most cells below a title read as the column's; one that stands alone always."""
    written = [cell for cell in cells if cell and words.clean(cell)]
    if column in _ALWAYS or not written or (len(options) == 1 and column not in _UNSURE):
        return True
    test = _READS.get(column)
    if test is None:
        return True
    share = sum(words.reads(test, cell) for cell in written) / len(written)
    if column == "shoot_min" and CLOCK in options:
        return share >= 0.6 and _middle(written) <= ROLL_MIN
    return share >= 0.6 if column != "sun" else share >= 0.5


def _middle(cells: Sequence[str]) -> float:
    found = [_value(cell) for cell in cells]
    return median([one for one in found if one is not None] or [ROLL_MIN + 1])


def _value(cell: str) -> int | None:
    try:
        return minutes.minutes(cell, 0, 24 * 60)
    except WordError:
        return None


def _is_id(text: str) -> str:
    if not re.fullmatch(r"#?[\w./ -]{1,12}", text) or not re.search(r"\d|^[A-Za-z]{1,2}$", text):
        raise WordError("not a shot id")
    return text


def _is_sentence(text: str) -> str:
    if not re.search(r"[^\W\d_]{3}", text):
        raise WordError("not a description")
    return text


def _bearing(text: str) -> float:
    return bands.bearing(text.upper().replace("O", "W") if len(text) < 4 else text)


_ALWAYS = frozenset({"spot", "cast", "rig", "match", "scene"})
_UNSURE = frozenset({"sun", "elevation", "azimuth"})  # a slip elsewhere is worth a fault
_READS: dict[str, Callable[[str], object]] = {
    "id": _is_id,
    "description": _is_sentence,
    "size": sizes.size,
    "look": _bearing,
    "sun": suns.sun_words,
    "sun_from": words.camera_side,
    "elevation": bands.elevation_band,
    "azimuth": bands.azimuth_band,
    "setup_min": lambda text: minutes.minutes(text, 0, MAX_SHOOT),
    "shoot_min": lambda text: minutes.minutes(text, 1, MAX_SHOOT),
    "lens_mm": lambda text: words.number(re.sub(r"(?i)\s*mm$", "", text), 1, 2000),
    CLOCK: clock.clock_time,
}
