"""The rows of somebody's list settled into ours: every cell read, or asked about.

What is missing and harmless is filled in and said; what matters to the light is asked.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from sunsched.day.model import Size
from sunsched.day.wish import SunSide
from sunsched.folder.intake.names import number_rows, part_cast, part_looks, spell_spots
from sunsched.folder.intake.prose import facts_of
from sunsched.folder.intake.question import UNSURE, Desk, Question, says_nothing
from sunsched.folder.intake.take import Taken
from sunsched.folder.intake.titles import key_of_title
from sunsched.folder.shot_list.columns import MAX_SHOOT
from sunsched.folder.tables.table import Row
from sunsched.folder.text import bands, clock, minutes, sizes, suns, words
from sunsched.folder.text.words import WordError

# Minutes that a roll is given where a list has none. Common practice, no source.
ROLL_MIN = {
    Size.WIDE: 30,
    Size.FULL: 25,
    Size.MEDIUM: 25,
    Size.CLOSE_UP: 20,
    Size.INSERT: 15,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A list in our columns, with what was filled in; it is whole when nothing is asked."""

    rows: tuple[dict[str, str], ...]
    kept: Mapping[str, str]
    notes: tuple[str, ...]
    questions: tuple[Question, ...]


REMARKS = frozenset({"notes", "note", "remarks", "comments", "comment", "bemerkung", "remarques"})
LIGHT = re.compile(r"(?i)\b(?:\w*light|\w*lit|sun\w*|shade|dusk|dawn|licht|lumi[èe]re|luz|luce)\b")
ANY_LIGHT = ("any", "day", "d", "tag", "jour", "giorno")
MINUTES = ("setup_min", "adjust_min")
_FIGURE = re.compile(r"\d+(?:[.,]\d+)?")
_STOP = re.compile(r"(?i)\b[tf]\s*/?\s*\d+(?:[.,]\d+)?")  # `T1.3`, `f/2.8`: no focal length
WITHOUT_LENS = (SunSide.ANY, SunSide.SHADE, SunSide.DUSK)
READERS: dict[str, tuple[Callable[[str], object], str]] = {
    "sun": (suns.sun_words, "any, back, side, front, shade, dusk, …"),
    "sun_from": (words.camera_side, "left or right"),
    "elevation": (bands.elevation_band, "`5..20`, `>30`, low, high, golden"),
    "azimuth": (bands.azimuth_band, "`240..300` or `SW..W`"),
    "give_deg": (partial(words.number, low=1, high=90), "degrees from 1 to 90"),
    "setup_min": (partial(minutes.minutes, low=0, high=480), "minutes"),
    "adjust_min": (partial(minutes.minutes, low=0, high=480), "minutes"),
    "weight": (partial(words.number, low=0.01, high=100), "a number"),
    "hold": (words.yes_no, "yes or no"),
    "pin": (clock.clock_time, "a clock time such as 06:00"),
    "control": (partial(words.number, low=0, high=1), words.a_number(0, 1)),
    "lens_mm": (partial(words.number, low=1, high=2000), "a number"),
}


def settle(
    taken: Taken,
    answers: Mapping[tuple[str, str], str],
    own: Mapping[str, Size] | None = None,
) -> Settled:
    """Settle the rows of a list.

    Parameters
    ----------
    taken : Taken
        The list in our columns, its cells as they were written.
    answers : mapping of (column, value) to str
        What was answered to questions so far; an empty answer leaves a cell blank.
    own : mapping of str to Size, optional
        Words for sizes of the day that the list goes into.
    """
    desk = Desk(answers=answers, own=own or {})
    rows = [_cells(row) for row in taken.table.rows]
    number_rows(rows, desk)
    part_looks(rows, desk)
    spell_spots(rows, desk)
    settled = [_row(cells, taken.table.kept, desk) for cells in rows]
    part_cast(settled, desk)
    notes = [
        f"{what}: {words.listed(ids, 'and') if len(ids) <= 8 else f'{len(ids)} shots'}"
        for what, ids in desk.filled.items()
    ]
    return Settled(
        rows=tuple(settled),
        kept=dict(taken.table.kept),
        notes=tuple(notes),
        questions=tuple(desk.asked.values()),
    )


def _cells(row: Row) -> dict[str, str]:
    cells = {name: words.clean(text) for name, text in row.cells.items()}
    return {name: text for name, text in cells.items() if not says_nothing(name, text.casefold())}


def _row(cells: dict[str, str], kept: Mapping[str, str], desk: Desk) -> dict[str, str]:
    """Settle one row; a cell that is asked about stays out of it."""
    shot = cells["id"]
    told = facts_of(cells.get("description", ""))
    noted: dict[str, str] = {}
    for name, title in kept.items():
        if key_of_title(title) in REMARKS:
            noted |= facts_of(cells.get(name, ""))
    _lens(cells)
    row = {name: text for name, text in cells.items() if name not in READERS and name != "cast"}
    row["cast"] = cells.get("cast", "")
    size = _size(cells, told, desk)
    if size is not None:
        row["size"] = size.value
        if "size" in cells and not sizes.is_plain(cells["size"]):
            row["size as listed"] = cells["size"]
    for column, (reader, expected) in READERS.items():
        text = cells.get(column, "")
        if text.casefold() in UNSURE:
            desk.say(f"{column} `{text}` left blank", shot)
        elif text and (read := _read(column, text, reader, expected, shot, desk)):
            row[column] = str(reader(read)) if column in MINUTES else read
    # What is asked about, or was answered with nothing, is not read out of the description instead.
    is_open = "sun" not in row and cells.get("sun", "").casefold() not in UNSURE | {""}
    for facts, where in ((told, "description"), (noted, "notes")):
        if "sun" in facts and row.get("sun", "any").casefold() in ANY_LIGHT and not is_open:
            row["sun"] = facts["sun"]
            desk.say(f"sun taken from the {where}", shot)
        if "look" in facts and not cells.get("look"):
            cells = {**cells, "look": facts["look"]}
            desk.say(f"look taken from the {where}", shot)
    if "sun" not in row and LIGHT.search(cells.get("description", "")):
        desk.say("words of light in the description, of which no wish was made", shot)
    _plain_sun(row)
    row["description"] = (
        cells.get("description")
        or " ".join([*([size.value] if size else []), cells.get("spot", "")])
    ).strip()[: words.MAX_DESCRIPTION]
    row["description"] = row["description"] or f"shot {shot}"
    if "shoot_min" not in cells and "shoot_min" in told:
        cells = {**cells, "shoot_min": told["shoot_min"]}
        desk.say("minutes taken from the description", shot)
    _roll(cells, size, row, desk)
    _look(cells, row, desk)
    return {name: text for name, text in row.items() if text}


def _lens(cells: dict[str, str]) -> None:
    """Keep the one focal length of a cell; a zoom or a lens's name is nothing to count with."""
    text = words.plain_hyphens(cells.get("lens_mm", ""))
    figures = _FIGURE.findall(_STOP.sub(" ", text))
    if len(figures) == 1:
        cells["lens_mm"] = figures[0]
    elif "lens_mm" in cells:
        cells["lens as listed"] = cells.pop("lens_mm")


def _size(cells: Mapping[str, str], told: Mapping[str, str], desk: Desk) -> Size | None:
    shot, text = cells["id"], cells.get("size", "")
    if not text and "size" in told:
        desk.say("size taken from the description", shot)
        text = told["size"]
    try:
        return sizes.size(text, desk.own)
    except WordError as error:
        what = f"`{text}` is {error.problem}"
        if not text:
            what = "no size is said; answer one for all, or one for each, with commas"
        answer = desk.ask(
            Question(
                column="size",
                value=text,
                shots=(shot,),
                text=what,
                expected=error.expected,
                hint=error.hint,
            )
        )
    if answer is None:
        return None
    each = sizes_of(answer)
    desk.sized += not text
    return each[0] if text or len(each) == 1 else each[desk.sized - 1]


def sizes_of(answer: str) -> list[Size]:
    """Read one size for all, or one for each with commas."""
    return [sizes.size(part) for part in answer.split(",")]


def _read(
    column: str,
    text: str,
    reader: Callable[[str], object],
    expected: str,
    shot: str,
    desk: Desk,
) -> str:
    """Give the text of a cell that its reader can read, or what was answered about it."""
    try:
        reader(text)
    except WordError as error:
        problem = f"`{text}` under {column} is {error.problem}"
        answer = desk.ask(
            Question(
                column=column,
                value=text,
                shots=(shot,),
                text=problem,
                expected=f"{expected}; or blank",
                hint=error.hint,
            )
        )
        return answer or ""
    return text


def _roll(cells: Mapping[str, str], size: Size | None, row: dict[str, str], desk: Desk) -> None:
    shot, text = cells["id"], cells.get("shoot_min", "")
    if text.casefold() in UNSURE | {""}:
        if size is not None:
            row["shoot_min"] = str(ROLL_MIN[size])
            times = ", ".join(f"{one} {least}" for one, least in ROLL_MIN.items())
            desk.say(f"no minutes in the list, so those of the size ({times}): change them", shot)
        return
    both = re.fullmatch(r"(\d+)\s*\+\s*(\d+)(\D*)", text)
    if both:
        text = both[2] + both[3]
        row.setdefault("setup_min", both[1])
        desk.say("of two minutes with a `+`, the first are setup", shot)
    span = re.fullmatch(r"(\d+)\s*-\s*(\d+)(\D*)", words.plain_hyphens(text))
    if span:
        text = f"{max(int(span[1]), int(span[2]))}{span[3]}"
        desk.say("the longer of two figures of minutes", shot)
    reader = partial(minutes.minutes, low=1, high=MAX_SHOOT)
    read = _read("shoot_min", text, reader, "minutes such as 20", shot, desk)
    if read:
        row["shoot_min"] = str(reader(read))


def _look(cells: Mapping[str, str], row: dict[str, str], desk: Desk) -> None:
    shot, text = cells["id"], cells.get("look", "")
    row.pop("look", None)
    if text and text.casefold() not in UNSURE:
        points = set(re.findall(r"\b[NSEW]{1,3}\b", text)) & set(bands.POINTS)
        if len(points) == 1 and not text.isupper() and not any(map(str.isdigit, text)):
            text = points.pop()
        try:
            bands.bearing(text)
        except WordError as error:
            about, problem, hint = text, f"`{text}` is {error.problem}", error.hint
        else:
            row["look"] = bands.bearing_text(bands.bearing(text))
            return
    elif _needs_look(row):
        about, hint = f"at {cells.get('spot', 'the spot')}", ""
        problem = f"{about}, where the lens looks is not said, and a side of the sun is asked for"
    else:
        row["look"] = "N"
        desk.say("no look and no side of the sun, so north is written", shot)
        return
    answer = desk.ask(
        Question(
            column="look",
            value=about,
            shots=(shot,),
            text=problem,
            expected="degrees or a compass point such as NNW",
            hint=hint,
        )
    )
    if answer is not None:
        row["look"] = bands.bearing_text(bands.bearing(answer))


def _plain_sun(row: dict[str, str]) -> None:
    """Write what a shot wants of the sun in our words; hours of the day are heights."""
    if "sun" not in row:
        return
    asked = suns.sun_words(row["sun"])
    row["sun"] = " or ".join(" ".join(filter(None, one)) for one in asked.sides)
    for column, text in (("elevation", asked.elevation), ("azimuth", asked.azimuth)):
        if text:
            row.setdefault(column, text)
    if row["sun"] == SunSide.ANY and (asked.elevation or asked.azimuth):
        del row["sun"]


def _needs_look(row: Mapping[str, str]) -> bool:
    if "sun_from" in row:
        return True
    sides = suns.sun_words(row["sun"]).sides if "sun" in row else ()
    return any(camera or side not in WITHOUT_LENS for side, camera in sides)
