"""A list written as sentences, as people send it in a mail: its lines turned into rows."""

from __future__ import annotations

import re
from collections.abc import Iterator

from sunsched.folder.intake.rows import is_break
from sunsched.folder.intake.titles import columns_for
from sunsched.folder.tables.sheet import Sheet
from sunsched.folder.tables.table import Line
from sunsched.folder.text import bands, minutes, sizes, suns, words

COLUMNS = ("id", "description", "size", "look", "sun", "shoot_min", "lens_mm", "cast", "spot")
WRAPPED = 55  # signs of a line that a mail program may have broken
FACTS = frozenset({"size", "look", "sun", "shoot_min"})

_MARK = re.compile(
    r"^\s*(?:[-*•–·▪]\s+(?=\S)|(?:(?:shot|set-?up|einstellung|plan|plano|toma|inq(?:uadratura)?)\.?\s*"
    r"(?:no\.?|nr\.?|n[°º.]?)?\s*)?#?(\d{1,3}(?:[.-]?\d{1,2})?[A-Za-z]?)(?:\s+pt\.?)?\s*"
    r"(?:[.):,]\s*|\s[-–—/]\s+|$)|"
    r"(\d{1,3}[A-Za-z]?)\s+(?=(?-i:[A-ZÄÖÜÉÀ])))",
    re.IGNORECASE,
)
# What a chat puts before each message that is copied out of it: when, and who.
_STAMP = re.compile(
    r"^\[?\d{1,4}[./-]\d{1,2}[./-]\d{2,4},?\s+\d{1,2}[:.]\d{2}(?:[:.]\d{2})?(?:\s*[ap]m)?\]?"
    r"\s*(?:[-–]\s*)?[^:\n]{1,40}:\s",
    re.IGNORECASE,
)
_LAST = re.compile(r",\s*([1-9]\d)$")  # a figure alone at the end of a sentence is its minutes
_CUT = re.compile(r"[;|\t()]|,(?!\d)|\s[-–—/]\s|\.\s+|\.$")
_LOOKS = re.compile(
    r"\b(?:looking|fac(?:ing|es)|looks?|camera|cam|shooting|nach|blick(?:richtung)?|richtung|vers|regard|"
    r"hacia|mirando|verso|guardando|para|virado|face [àa])\s+(?:to\s+|towards?\s+|nach\s+|a\s+|"
    r"al\s+|l[ae]\s+|le\s+|o\s+|el\s+|l'|the\s+|due\s+)*"
    r"([\w°-]+(?:[ -](?:west|east|ouest|est|oeste|este))?)",
    re.IGNORECASE,
)
_LASTS = re.compile(
    r"(?:,?\s*(?:about|ca\.?|approx\.?|~|allow|est\.?))?\s*"
    r"\b((?:\d+\s*[-–]\s*(?=\d+\s*(?:min|'|′)))?\d+\s*(?:min(?:s|utes?|uten|uti|utos)?\b\.?|'|′|h\s*\d{0,2}\b))",
    re.IGNORECASE,
)
_SIDE = r"(?:(?:3/4|¾)\s*)?(?:back|side|front)"
_LIT = re.compile(
    rf"\b(?:{_SIDE}(?:\s+or\s+{_SIDE})*[- ]?(?:lit|light)(?:(?:\s+from)?(?:\s+the)?"
    r"(?:\s+camera)?\s+(?:left|right)\b)?|gegenlicht|contre-jour|contraluz|controluce|silhouette|"
    r"golden hour|magic hour|blue hour|in (?:the )?shade)(?![\w])|\bsun\b.{0,12}\bbehind\b",
    re.IGNORECASE,
)
_SHORT = re.compile(
    r"\b(?:EWS|VWS|WS|LS|MLS|FS|MS|MCU|CU|BCU|ECU|OTS|POV|(?i:(?:big|very|extreme) wide|wide|"
    r"(?:medium |extreme |big )?close[- ]?up|medium|two[- ]shot|insert|cutaway|detail|aerial))\b"
)
# A size before these is part of the description: `wide of the yard`.
_OF = ("of ", "on ", "der ", "des ", "von ", "de ", "del ", "du ", "di ", "della ", "do ", "da ")
_LENS = re.compile(r"(?:lens )?(?:on (?:a |the )?)?(\d{1,3})\s*mm(?: lens)?", re.IGNORECASE)


def prose_sheet(text: str) -> Sheet | None:
    """Turn sentences into a sheet with our columns; None where nothing looks like shots.

    Lines that are no shots stand in it alone in their row, to be taken for sections or told.
    """
    lines: list[Line] = [(1, [*COLUMNS])]
    count = 0
    for line, mark, body in _items(text):
        cells = facts_of(body)
        # A number alone makes no shot: dates and addresses begin with one too.
        enough = 1 if mark else 2
        if len(FACTS & set(cells)) >= enough and cells.get("description"):
            count += 1
            if mark and mark != "-":
                cells["id"] = mark
            lines.append((line, [cells.get(column, "") for column in COLUMNS]))
        else:
            lines.append((line, [body, *[""] * (len(COLUMNS) - 1)]))
    return Sheet(name="", lines=lines) if count else None


def _items(text: str) -> Iterator[tuple[int, str, str]]:
    """Give each item of a text with its line and its mark; what runs over lines is joined."""
    held: tuple[int, str, str] | None = None
    lines = [_STAMP.sub("", re.sub(r"^[>\s]*>\s?", "", raw)) for raw in text.split("\n")]
    for line, plain in enumerate(lines, 1):
        found = _MARK.match(plain)
        body = words.clean(plain[found.end() :] if found else plain)
        if found is None and _is_headline(plain, lines[line - 2 : line + 1]):
            body = f"{_headline(body)}:"
        elif found is None and body and held is not None and _goes_on(held, plain):
            held = (held[0], held[1], f"{held[2]}{_glue(body)}{body}")
            continue
        if held is not None:
            yield held
        held = None
        if body or found:
            mark = "" if found is None else found[1] or found[2] or "-"
            held = (line, mark, body)
    if held is not None:
        yield held


def _is_headline(plain: str, around: list[str]) -> bool:
    """Say whether a short line right above an item names the spot of what follows."""
    if len(around) < 3 or not plain.strip() or plain[0] in " \t" or len(plain.split()) > 4:
        return False
    before, _, after = around
    is_whole = {"size", "shoot_min"} <= set(facts_of(_MARK.sub("", before)))
    is_wrapped = len(before) > WRAPPED and not is_whole
    is_item = _MARK.match(after) is not None and bool(after.strip())
    has_facts = bool(FACTS & set(facts_of(words.clean(plain))))
    return is_item and not (is_wrapped or has_facts or is_break(plain))


def _headline(text: str) -> str:
    bare = re.sub(r"(?i)^(?:(?:at|in|on|by)\s+)?(?:the\s+)?", "", text.rstrip(" :"))
    return bare[:1].upper() + bare[1:]


def _goes_on(held: tuple[int, str, str], plain: str) -> bool:
    """Say whether a line goes on with the item above it rather than beginning a new one."""
    if not held[1]:
        return False
    if plain.startswith(("   ", "\t")):
        return True
    own = facts_of(words.clean(plain))
    is_whole = {"size", "shoot_min"} <= set(own) and {"size", "shoot_min"} <= set(facts_of(held[2]))
    is_headline = plain.strip().endswith(":") or (plain.isupper() and not own.keys() & FACTS)
    return not (is_whole or is_headline or is_break(plain))


def _glue(body: str) -> str:
    return ", " if ":" in body[:20] else " "


def facts_of(text: str) -> dict[str, str]:
    """Give what a sentence says of a shot, by column; the rest of it is the description."""
    cells: dict[str, str] = {}
    told: list[str] = []
    parts = _CUT.split(_LAST.sub(r", \1 min", _parted(text)))
    for part in parts:
        fragment = words.clean(part).strip(" .,:")
        if not fragment:
            continue
        label, colon, value = fragment.partition(":")
        column = columns_for(label)[0] if colon and columns_for(label) else ""
        if column in COLUMNS and words.clean(value):
            if column == "description":
                told.append(words.clean(value))
            else:
                cells.setdefault(column, words.clean(value))
            continue
        found = _fact(fragment, cells)
        if found is None:
            told.append(fragment)
        else:
            cells[found[0]] = found[1]
    description = ", ".join(told)
    lit = _LIT.search(description)
    if lit and "sun" not in cells:
        wish = re.sub(r"(?i)^in (?:the )?", "", lit[0])
        cells["sun"] = "back" if "behind" in wish.casefold() else wish
    if "size" not in cells:
        leading = sizes.leading(description)
        short = _SHORT.search(description)
        if leading is not None:
            cells["size"] = leading[1]
            rest = description[len(leading[1]) :].strip(" ,:-–")
            description = description if rest.casefold().startswith(_OF) else rest
        elif short:
            cells["size"] = short[0]
    if description := description.strip(" ,:-–") or cells.get("size", ""):
        cells["description"] = description[:1].upper() + description[1:]
    return cells


def _parted(text: str) -> str:
    """Set minutes and what says where the lens looks apart from the words around them."""

    def apart(found: re.Match[str]) -> str:
        return f"; {found[0]}; " if words.reads(bands.bearing, found[1]) else found[0]

    plain = re.sub(r"(?i)\bhalf an hour\b", "30 min", text)
    return _LOOKS.sub(apart, _LASTS.sub(r"; \1; ", plain))


def _fact(fragment: str, cells: dict[str, str]) -> tuple[str, str] | None:
    """Give the column and the text of a fragment that says one thing; None for a description."""
    lens = _LENS.fullmatch(fragment)
    if lens:
        return "lens_mm", lens[1]
    has_unit = re.search(r"\d\s*(?:['′:h]|m|std)", fragment, re.IGNORECASE)
    if has_unit and "shoot_min" not in cells:
        whole = _LASTS.fullmatch(fragment)
        text = re.sub(r"^\d+\s*[-–]\s*", "", whole[1]) if whole else fragment  # the longer of two
        if words.reads(lambda one: minutes.minutes(one, 1, 720), text):
            return "shoot_min", text
    looks = _LOOKS.fullmatch(fragment)
    if looks and "look" not in cells and words.reads(bands.bearing, looks[1]):
        return "look", looks[1]
    if "look" not in cells and not fragment.isdigit() and words.reads(bands.bearing, fragment):
        return "look", fragment
    if "size" not in cells and words.reads(sizes.size, fragment):
        return "size", fragment
    if "sun" not in cells and re.fullmatch(r"3/4|¾", fragment):
        return "sun", fragment  # of what is asked
    is_face = fragment.casefold() == "face"  # `Ana, face` is what is seen, not from where it is lit
    if "sun" not in cells and not is_face and words.reads(suns.sun_words, fragment):
        return "sun", fragment
    return None
