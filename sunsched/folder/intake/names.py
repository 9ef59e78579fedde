"""Names of a list made whole: ids of shots, spots of rows, people before the lens."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from sunsched.folder.intake.question import EVERYONE, NOTHING, UNSURE, Desk
from sunsched.folder.text import bands, words
from sunsched.folder.text.words import WordError

_FACING = re.compile(
    r"[\s,;:(–-]+(?:cam(?:era)?\s+)?(?:fac(?:ing|es)|look(?:ing|s))\s+(?:to\s+|towards?\s+|due\s+)?"
    r"([\w° -]+?)\)?$",
    re.IGNORECASE,
)
_AND = re.compile(r"\s*(?:[,;+/&\n]|\band\b|\bund\b|\bet\b|\be\b|\by\b|\bmit\b|\bwith\b)\s*")


def number_rows(rows: Sequence[dict[str, str]], desk: Desk) -> None:
    """Give every row an id of its own."""
    for cells in rows:
        cells["id"] = _plain_id(cells.get("id", ""))
    written = Counter(cells["id"].casefold() for cells in rows if cells["id"])
    scened = [f"{cells.get('scene', '')}-{cells['id']}".casefold() for cells in rows]
    if any(count > 1 for count in written.values()) and len(set(scened)) == len(rows):
        for cells in rows:
            scene = _plain_id(cells.get("scene", ""))
            cells["id"] = f"{scene}-{cells['id']}".strip("-")
        desk.say("numbers start anew in each scene, so ids are scene-shot", rows[0]["id"])
    taken: set[str] = set()
    for place, cells in enumerate(rows, 1):
        own = cells["id"][: words.MAX_ID]
        if not own:
            cells["id"] = next(
                one
                for one in map(str, range(place, 10_000))
                if one not in written | dict.fromkeys(taken)
            )
            desk.say("without a number, numbered by their row", cells["id"])
        elif own.casefold() in taken:
            letters = (f"{own}{letter}" for letter in "bcdefghijklmnopqrstuvwxyz")
            cells["id"] = next(
                one
                for one in letters
                if one.casefold() not in taken and one.casefold() not in written
            )
            desk.say("a number that stands twice, with a letter behind it", cells["id"])
        taken.add(cells["id"].casefold())


def _plain_id(text: str) -> str:
    word = re.sub(r"(?i)^(?:shot|sc\.?|scene|plan|einst\.?|no\.?|nr\.?)\s*(?=\d)", "", text)
    return re.sub(r"[^\w.-]+", "-", words.plain_hyphens(word)).strip("-.")


def part_looks(rows: Sequence[dict[str, str]], desk: Desk) -> None:
    """Take what a spot says of the lens for the look, as in `beach, looking 280`."""
    for cells in rows:
        found = _FACING.search(cells.get("spot", ""))
        if found is None or "look" in cells:
            continue
        try:
            bands.bearing(found[1])
        except WordError:
            continue
        cells["look"] = found[1]
        cells["spot"] = cells["spot"][: found.start()].strip()
        desk.say("look taken from the spot", cells["id"])


def spell_spots(rows: Sequence[dict[str, str]]) -> None:
    """Spell each spot as it was first spelled."""
    spelled: dict[str, str] = {}
    for cells in rows:
        if "spot" in cells:
            name = cells["spot"][: words.MAX_NAME].strip()
            cells["spot"] = spelled.setdefault(words.key_of(name), name)


def part_cast(rows: Sequence[dict[str, str]], desk: Desk) -> None:
    """Part the names of each cell, and spell each as it was first spelled."""
    spelled: dict[str, str] = {}
    every: list[tuple[dict[str, str], list[str]]] = []
    for row in rows:
        text = re.sub(r"\(.*?\)", "", row.pop("cast", ""))
        names = [words.clean(name)[: words.MAX_NAME] for name in _AND.split(text)]
        found = [
            spelled.setdefault(words.key_of(name), name)
            for name in names
            if words.key_of(name) and name.casefold() not in EVERYONE | NOTHING | UNSURE
        ]
        every.append((row, found))
        if any(name.casefold() in EVERYONE for name in names):
            found.append("")
    for row, found in every:
        if "" in found:
            desk.say("everyone of the list is in", row["id"])
            found[:] = list(spelled.values())
        if found:
            row["cast"] = "; ".join(dict.fromkeys(found))
