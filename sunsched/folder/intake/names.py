"""Names of a list made whole: ids of shots, spots of rows, people before the lens."""

from __future__ import annotations

import difflib
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import chain, count

from sunsched.folder.intake.question import EVERYONE, NOTHING, UNSURE, Desk
from sunsched.folder.text import bands, words
from sunsched.folder.text.words import WordError

_FACING = re.compile(
    r"[\s,;:(–-]+(?:cam(?:era)?\s+)?(?:fac(?:ing|es)|look(?:ing|s))\s+(?:to\s+|towards?\s+|due\s+)?"
    r"([\w° -]+?)\)?$",
    re.IGNORECASE,
)
SLIP, NEAR_SPOT = 5, 0.85  # letters of a word at least, and how like another it is
_AND = re.compile(r"\s*(?:[,;+/&\n]|\band\b|\bund\b|\bet\b|\be\b|\by\b|\bmit\b|\bwith\b)\s*")


def number_rows(rows: Sequence[dict[str, str]], desk: Desk) -> None:
    """Give every row an id of its own."""
    for cells in rows:
        cells["id"] = _plain_id(cells.get("id", ""))
    written = Counter(cells["id"].casefold() for cells in rows if cells["id"])
    # A scene is often named only once, in the first of its rows.
    scenes = [_plain_id(scene) for scene in _as_above(rows, "scene")]
    ids = [cells["id"] for cells in rows]
    scened = ["-".join(filter(None, one)) for one in zip(scenes, ids, strict=True)]
    is_each_own = len({one.casefold() for one in scened}) == len(rows)
    if any(times > 1 for times in written.values()) and is_each_own:
        for cells, own in zip(rows, scened, strict=True):
            cells["id"] = own
        desk.say("numbers start anew in each scene, so ids are scene-shot", rows[0]["id"])
    taken: set[str] = set()
    for place, cells in enumerate(rows, 1):
        own = cells["id"][: words.MAX_ID]
        if not own:
            numbers = map(str, count(place))
            cells["id"] = next(one for one in numbers if one not in taken and one not in written)
            desk.say("without a number, numbered by their row", cells["id"])
        elif own.casefold() in taken:
            cells["id"] = next(
                one
                for one in _told_apart(own)
                if one.casefold() not in taken and one.casefold() not in written
            )
            desk.say("a number that stands twice, with a letter behind it", cells["id"])
        else:
            cells["id"] = own
        taken.add(cells["id"].casefold())


def _told_apart(own: str) -> Iterator[str]:
    """Give ids like one that stands twice: with a letter behind, then with a number."""
    for behind in chain("bcdefghijklmnopqrstuvwxyz", map("-{}".format, count(27))):
        yield f"{own[: words.MAX_ID - len(behind)]}{behind}"


def _as_above(rows: Sequence[dict[str, str]], column: str) -> Iterator[str]:
    """Give a column's cells, each blank one as the one above it."""
    above = ""
    for cells in rows:
        above = cells.get(column, above)
        yield above


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


def spell_spots(rows: Sequence[dict[str, str]], desk: Desk) -> None:
    """Spell each spot as it was first spelled; say of which one the name may be a slip."""
    spelled: dict[str, str] = {}
    for cells in rows:
        if "spot" in cells:
            name = cells["spot"][: words.MAX_NAME].strip()
            cells["spot"] = spelled.setdefault(words.key_of(name), name)
    named = Counter(cells["spot"] for cells in rows if "spot" in cells)
    for cells in rows:
        name = cells.get("spot", "")
        near = next((one for one in named if named[one] > named[name] and _is_slip(name, one)), "")
        if near:
            what = f"spot `{name}` is nearly `{near}`, and kept as a spot of its own"
            desk.say(what, cells["id"])


def _is_slip(name: str, other: str) -> bool:
    """Say whether one long word is all that two names differ in, and nearly the same in both."""
    ours, theirs = words.key_of(name).split(), words.key_of(other).split()
    if len(ours) != len(theirs):
        return False
    differing = [(one, two) for one, two in zip(ours, theirs, strict=True) if one != two]
    if len(differing) != 1 or any(len(one) < SLIP or not one.isalpha() for one in differing[0]):
        return False
    return difflib.SequenceMatcher(None, *differing[0]).ratio() >= NEAR_SPOT


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
