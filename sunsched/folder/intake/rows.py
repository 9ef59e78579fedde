"""The rows below a head: which are shots, and which are sections, breaks, sums or heads again."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from sunsched.folder.intake.header import Head
from sunsched.folder.intake.titles import key_of_title
from sunsched.folder.tables.table import Line, says
from sunsched.folder.text import words

MAX_SECTION_WORDS = 7
_TIMES = re.compile(r"[\d:.,hH\s–—-]+")
_AWAY = re.compile(r"\s*\([^)]*\d\s*(?:min|km|m)\b[^)]*\)")  # how far a spot is

# What a row says that is no shot and no section: breaks of the day, sums, page marks.
_BREAKS = re.compile(
    r"^\W*(?:(?:lunch|lunch[ -]?break|meals?|catering|breaks?|wrap|total|sum|sub-?total|page|"
    r"notes?|mittag|mittagspause|mittagessen|pausen?|umzug|summe|gesamt|gesamtzeit|seite|ende|drehschluss|"
    r"d[ée]jeuner|repas|fin|somme|almuerzo|comida|descanso|pranzo|pausa|totale|almo[çc]o|call|"
    r"breakfast|continued|tbc|tba|end of|move to|company[ -]?move|unit[ -]?move|crew call|"
    # A spot may begin like them: Summit, Endeavour Bay.
    r"second meal)(?![^\W\d_])|(?:from|to|cc|subject|betreff|objet|asunto|oggetto|"
    r"sent|date|von|an)\s*:)",
    re.IGNORECASE,
)
_SLUG = re.compile(r"^(?:(?:i/e|e/i|int|ext|est|innen|au[sß]en|a/i)\b[./ ]*)+", re.IGNORECASE)
_HOUR = re.compile(
    r"[\s,]*(?:-|–|—|/|,)\s*(?:day|night|morning|evening|dawn|dusk|afternoon|continuous|later|tag|"
    r"nacht|morgen|abend|jour|nuit|soir|matin|d[ií]a|noche|giorno|notte|dia|noite|tarde|sunset|"
    r"sunrise|golden hour|magic hour)\.?$",
    re.IGNORECASE,
)
_SCENE = re.compile(
    r"^(?:sc\.?|scene|szene|bild|s[ée]q(?:uence)?\.?|escena|scena|cena)\s*"
    r"(?:no\.?|nr\.?|n[°º])?\s*(\d+[A-Za-z]?)\b[\s:.,–—-]*",
    re.IGNORECASE,
)
_LABEL = re.compile(
    r"^(?:location|set|spot|place|ort|motiv|drehort|d[ée]cor|lieu|lugar|localizaci[óo]n|luogo|local|"
    r"locaç[ãa]o|unit)\s*(?:\d+\s*)?[:=–-]\s*",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shots:
    """The rows that are shots, with the spot and the scene that sections gave them.

    `sections` maps the line of each section to its text, `passed` that of each other row that is
    no shot, `heads` are lines on which the head stands again.
    """

    rows: list[Line]
    spots: dict[int, str] = field(default_factory=dict)
    scenes: dict[int, str] = field(default_factory=dict)
    sections: dict[int, str] = field(default_factory=dict)
    passed: dict[int, str] = field(default_factory=dict)
    heads: list[int] = field(default_factory=list)


def read_rows(lines: Sequence[Line], head: Head) -> Shots:
    """Sort the rows below a head into shots and what else lists hold."""
    found = Shots(rows=[])
    ids = [at for at, column in enumerate(head.columns) if column == "id"]
    titles = [key_of_title(title) for title in head.titles]
    spot = scene = ""
    for line, cells in lines[head.place + 1 :]:
        written = [at for at, cell in enumerate(cells) if says(cell)]
        texts = list(dict.fromkeys(words.clean(cells[at] or "") for at in written))
        if not written:
            continue
        if [key_of_title(cell or "") for cell in cells[: len(titles)]] == titles:
            found.heads.append(line)
            continue
        is_alone = len(texts) == 1 and texts[0] != ""
        is_id = (
            is_alone
            and written[0] in ids
            and bool(re.search(r"\d", texts[0]))
            and (" " not in texts[0])
        )
        # A list with times has them before the name of a break.
        first = next((text for text in texts if not _TIMES.fullmatch(text)), texts[0])
        is_break = len(texts) <= 3 and bool(_BREAKS.match(first)) and not _is_shot(cells, head)
        if is_break or (is_alone and not is_id and not _is_section(first)):
            found.passed[line] = " ".join(texts)
        elif is_alone and not is_id:
            found.sections[line] = first
            spot, scene = section_of(first)
        else:
            found.rows.append((line, cells))
            if spot:
                found.spots[line] = spot
            if scene:
                found.scenes[line] = scene
    return found


def section_of(text: str) -> tuple[str, str]:
    """Give the spot and the scene that the text of a section names, either of them empty."""
    bare = words.clean(text).strip(" *=#_•-–—:")
    scene = _SCENE.match(bare)
    if scene:
        bare = bare[scene.end() :]
    bare = _AWAY.sub("", _LABEL.sub("", bare))
    bare = _HOUR.sub("", _SLUG.sub("", bare)).strip(" *=#_•-–—:.")
    if bare.isupper() and len(bare) > 3:
        bare = bare.capitalize() if " " not in bare else bare.title()
    return bare[: words.MAX_NAME].strip(), scene[1] if scene else ""


def is_break(text: str) -> bool:
    """Say whether a text is a meal, a move, a sum or the like: no shot and no section."""
    return bool(_BREAKS.match(text))


def _is_section(text: str) -> bool:
    """Say whether a lone text is the name of a section rather than a remark."""
    count = len(text.split())
    if text[:1].islower() and count > 2:
        return False
    return (
        count <= MAX_SECTION_WORDS and not text.endswith((".", ",", "!", "?")) and "@" not in text
    )


def _is_shot(cells: Sequence[str | None], head: Head) -> bool:
    """Say whether a row has a size and minutes: a shot, whatever its words begin with."""
    named = {
        column
        for column, cell in zip(head.columns, cells, strict=False)
        if column and cell and words.clean(cell)
    }
    return {"size", "shoot_min"} <= named or {"size", "look"} <= named
