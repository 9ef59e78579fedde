"""Sizes of shots as people write them, and which of the five sizes each counts as.

Which one a cowboy or an over-the-shoulder counts as is common practice, no source; `day.toml` can
say otherwise under `[words.size]`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

from sunsched.day.model import Size
from sunsched.folder.text import words
from sunsched.folder.text.words import WordError

# How much a shot shows, by the words that say so; those after `also:` in the README are these.
SCALES: dict[Size, str] = {
    Size.WIDE: """
        wide ws w big-wide very-wide vws extreme-wide ews xws long ls very-long vls extreme-long els
        wide-long totale total supertotale weit weite panorama plan-large plan-densemble
        plan-general grand-ensemble plano-general gran-plano-general gpg campo-lungo
        campo-lunghissimo cl cll campo-totale plano-geral grande-plano-geral pg general geral
        ensemble""",
    Size.FULL: """
        full fs full-body whole-figure medium-long mls medium-full mfs medium-wide mws mlong
        halbtotale ht htot plan-pied en-pied plano-entero plano-inteiro figura-intera entero
        inteiro plano-conjunto plan-moyen""",
    Size.MEDIUM: """
        medium mid ms m med waist waist-up cowboy american americaine plan-americain
        plano-americano piano-americano piano-medio americano amerikanisch amerikanische
        halbnah halbnahe hn
        plan-taille plan-rapproche plan-mi-moyen rapproche plano-medio mezza-figura mezzo-busto
        medio mf pa pr""",
    Size.CLOSE_UP: """
        close-up closeup close cu medium-close medium-close-up mcu mc big-close-up bcu
        extreme-close-up ecu xcu extreme-close tight tight-close-up tcu choker head-and-shoulders
        big-close nah nahe nahaufnahme gross grossaufnahme ga na gros-plan gp tres-gros-plan tgp
        plan-serre plan-poitrine primer-plano primerisimo-primer-plano ppp plano-medio-corto pmc
        primo-piano primissimo-piano primeiro-plano grande-plano plano-proximo pp""",
    Size.INSERT: """
        insert ins insert-shot detail det cutaway cut-away cut-in macro detailaufnahme
        zwischenschnitt plan-de-detail insertion plano-detalle detalle plano-detalhe detalhe
        dettaglio particolare pd""",
}
# What a shot is rather than how much it shows: it decides where no scale stands beside it.
KINDS: dict[Size, str] = {
    Size.WIDE: "establishing establishing-shot est estab establisher master aerial drone luftbild",
    Size.FULL: "pov point-of-view point-of-view-shot subjective subjektive",
    Size.MEDIUM: """
        two-shot 2-shot 2s two 2er three-shot 3-shot 3s over-the-shoulder over-shoulder ots os o-s
        over-the-shoulder-shot zweier dos-shot""",
}
# Words that say nothing of the size: how the camera moves, and what every shot is called.
BESIDE = """
    shot shots angle plan plano piano campo einstellung frame on of the a de di da and single
    dirty clean profile reverse rev static fixed fix locked off lock-off handheld hand held hh
    pan panning tilt dolly track tracking trk travelling traveling crane jib gimbal steadicam
    steadi steady stick sticks tripod slider zoom slow push pull in out up down high low eye
    level fixe statisch schwenk hoch tief fahrt travelling leger fijo fisso to
    """
SIZE_WORDS: dict[str, Size] = {
    word: size for table in (KINDS, SCALES) for size, text in table.items() for word in text.split()
}
_KIND_WORDS = frozenset(word for text in KINDS.values() for word in text.split())
_PLAIN = "wide ws w full fs medium ms m close-up cu closeup close insert ins"
_LONGEST = 4  # words in the longest of them


def folded(text: str) -> str:
    """Give what spellings of a word have in common: no case, no accents, one kind of gap."""
    apart = unicodedata.normalize("NFD", words.plain_hyphens(text).casefold())
    bare = "".join(mark for mark in apart if unicodedata.category(mark) != "Mn")
    return words.key_of(re.sub(r"['’.]", "", bare))


def size(text: str, own: Mapping[str, Size] | None = None) -> Size:
    """Read the size of a shot: one of the five, or what the trade calls it in several languages.

    Where a cell names two, as `WS to CU` does, the wider one counts: it shows the most ground.

    Parameters
    ----------
    text : str
        What the cell says.
    own : mapping of str to Size, optional
        Words of `[words.size]`, which come before the known ones.
    """
    known = {**SIZE_WORDS, **{folded(word): one for word, one in (own or {}).items()}}
    whole = folded(text)
    if whole in known:
        return known[whole]
    found = _named(text, known)
    if found:
        scales = [known[word] for word in found if word not in _KIND_WORDS]
        return min(scales or [known[word] for word in found], key=lambda one: one.rank)
    raise WordError(
        "not a size",
        expected=words.listed(Size),
        hint=words.did_you_mean(text, (word for word in known if len(word) > 3 and word.isascii())),
    )


def is_plain(text: str) -> bool:
    """Say whether a cell says no more than which of the five sizes the shot has."""
    return folded(text).removesuffix("-shot") in _PLAIN.split()


def leading(text: str) -> tuple[Size, str] | None:
    """Give the size that a sentence begins with, as in `WS the boats`, and its words; else None."""
    parts = re.split(r"[\s:,;–—]+|\s-\s", words.clean(text))[:_LONGEST]
    for count in range(len(parts), 0, -1):
        whole = folded(" ".join(parts[:count]))
        for start in (whole, whole.removesuffix("-shot")):
            # Words that begin other sentences too, and letters of lists, are no sizes here.
            if start in SIZE_WORDS and len(start) > 1 and start not in ("two", "total", "os"):
                return SIZE_WORDS[start], " ".join(parts[:count])
    return None


def _named(text: str, known: Mapping[str, Size]) -> list[str]:
    """List the known words in a cell; none where it holds a word that nobody knows."""
    bare = re.sub(r"\d+\s*(?:mm|macro)\b", " ", words.plain_hyphens(text).casefold())
    plain = folded(re.sub(r"[^\w\s'’.-]|_", " ", bare))
    parts = [word for word in plain.split("-") if word]
    beside = frozenset(BESIDE.split())
    found = []
    while parts:
        for count in range(min(_LONGEST, len(parts)), 0, -1):
            word = "-".join(parts[:count])
            if word in known:
                found.append(word)
                break
            if count == 1 and word not in beside:
                return []
        parts = parts[count:]
    return found
