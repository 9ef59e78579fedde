"""What a shot wants of the sun, as people write it: `backlit`, `¾ back L`, `side or front`."""

from __future__ import annotations

import re
from dataclasses import dataclass

from sunsched.day.wish import CameraSide, SunSide
from sunsched.folder.text import words
from sunsched.folder.text.sizes import folded
from sunsched.folder.text.words import WordError

Sided = tuple[SunSide, CameraSide | None]

_THREE_QUARTER = "threequarter"
_SIDES: dict[SunSide, str] = {
    SunSide.BACK: """
        back backlight backlit backlighting contrejour gegenlicht hinten contraluz contra
        controluce controluz contre rim rimlight rimlit silhouette behind
        hinter derriere detras dietro atras""",
    SunSide.SIDE: """
        side sidelight sidelit sidelighting seite seitlich seitenlicht lateral laterale lato
        cross crosslight""",
    SunSide.FRONT: "front frontlight frontlit frontal frontale face vorne frontlicht flat",
    SunSide.SHADE: """
        shade shaded shadow schatten ombre sombra ombra overcast cloudy cloud bewolkt couvert
        nublado nuvoloso""",
    SunSide.DUSK: """
        dusk bluehour blauestunde heurebleue horaazul orablu dammerung crepuscule crepusculo
        crepuscolo nightfall""",
    SunSide.ANY: """
        any anything anylight whatever none all flexible egal beliebig indifferent indiferente
        qualunque qualsiasi qualquer cualquiera irrelevant nomatter doesntmatter dontcare na nn
        day d daylight tag jour dia giorno toutes tutte peuimporte neutre""",
}
_CAMERA: dict[CameraSide, str] = {
    CameraSide.LEFT: "left l cl links gauche izquierda izq sinistra sx esquerda esq",
    CameraSide.RIGHT: "right r cr rechts droite derecha dcha destra dx direita dir",
}
# What a word of the day's hours asks: a height, and the half of the sky, morning or evening.
_MORNING, _EVENING = "0..180", "180..360"
_HOUR_WORDS: dict[tuple[str, str], str] = {
    ("golden", ""): """
        golden goldenhour magichour goldenestunde heuredoree horadorada oradoro horadourada""",
    ("low", ""): "low lowsun tiefstehend tief bas bajo basso baixo rasant rasante",
    ("high", ""): "high highsun overhead haut alto",
    ("golden", _EVENING): "sunset sonnenuntergang coucher puesta tramonto porsol",
    ("golden", _MORNING): "sunrise sonnenaufgang lever amanecer alba nascer",
    ("-6..-0.833", _MORNING): "dawn morgendammerung aube",
    ("", _MORNING): "morning am morgens vormittag matin manana mattina manha",
    ("low", _MORNING): "earlymorning firstlight morninglight morgenlicht morgensonne",
    ("", _EVENING): "afternoon pm nachmittag tarde pomeriggio",
    ("low", _EVENING): """
        lateafternoon evening abend abends soir sera lastlight eveninglight abendlicht
        abendsonne""",
    (">0", ""): "directsun fullsun hardsun sunny sun sonne soleil sol sole",
}
_BESIDE = """
    light lit lighting licht lumiere luz luce from the of in on is with camera cam kamera frame
    ext by to please ideally ideal best preferred pref if possible von a de do da du au vom im
    soft nice strong bright hour stunde only hard direct full schein open pls would be
    lovely great again too them him her ihm ihr ihnen eux elle lui us actor actors talent
    """
_OR = re.compile(r"\s*(?:\bor\b|\boder\b|\bou\b|\boppure\b|\bodr\b|/|\||\bo\b(?=\s))\s*")
_WORDS = {word: side for side, text in _SIDES.items() for word in text.split()}
_CAMERAS = {word: side for side, text in _CAMERA.items() for word in text.split()}
_HOURS = {word: hours for hours, text in _HOUR_WORDS.items() for word in text.split()}
# The sun alone: beside any other word it says no more than that.
_SUN = frozenset({"sun", "sonne", "soleil", "sol", "sole"})
_FILLERS = frozenset(_BESIDE.split())
_LONGEST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class SunWords:
    """What a cell asks: sides that do as well as each other, and a height and azimuth by words."""

    sides: tuple[Sided, ...]
    elevation: str = ""
    azimuth: str = ""


def sun_words(text: str) -> SunWords:
    """Read what a shot wants of the sun.

    Parameters
    ----------
    text : str
        A side with the camera side before or behind it, several joined by `or`, and words of the
        day's hours such as `golden hour` and `morning`.
    """
    word = words.plain_hyphens(text).casefold().replace("¾", "3/4 ")
    word = re.sub(
        r"\b(?:3\s*/\s*4|three[\s-]*quarters?|dreiviertel|3-4|trois[\s-]quarts?|tres "
        r"cuartos|tre quarti)\b",
        f" {_THREE_QUARTER} ",
        word,
    )
    if word.strip(" .") in ("-", "", "n/a", "no matter", "doesn't matter", "don't care"):
        return SunWords(sides=((SunSide.ANY, None),))
    sides: list[Sided] = []
    heights: list[tuple[str, str]] = []
    for one in _OR.split(word):
        side, camera, hours = _read_one(one, text)
        heights += hours
        if side is None and camera is None and not hours:
            raise _unknown(text)
        if side is not None or camera is not None:
            sides.append((side or SunSide.ANY, camera))
    elevation = next((height for height, _ in heights if height), "")
    azimuth = next((half for _, half in heights if half), "")
    if any(height not in ("", elevation) for height, _ in heights):
        problem = "two heights of the sun"
        raise WordError(problem, expected="one height", hint="write one of them")
    distinct = tuple(dict.fromkeys(sides)) or ((SunSide.ANY, None),)
    return SunWords(sides=_checked(distinct), elevation=elevation, azimuth=azimuth)


def _checked(sides: tuple[Sided, ...]) -> tuple[Sided, ...]:
    if len(sides) == 1:
        return sides
    if (SunSide.ANY, None) in sides:
        return ((SunSide.ANY, None),)
    alone = [side for side, _ in sides if side in (SunSide.SHADE, SunSide.DUSK)]
    if alone:
        others = (_side_text(one) for one in sides if one[0] is not alone[0])
        rest = " or ".join(others) or "another side"
        raise WordError(
            f"{alone[0]} beside another side",
            expected="sides of the lens on either side of `or`",
            hint=f"write `{alone[0]}`, or `{rest}`: the one that the shot would rather have",
        )
    return sides


def _side_text(one: Sided) -> str:
    side, camera = one
    return str(side) if camera is None else f"{side} {camera}"


def _read_one(
    text: str, cell: str
) -> tuple[SunSide | None, CameraSide | None, list[tuple[str, str]]]:
    """Read one of several sides, with what is said of the hour beside it."""
    parts = [part for part in re.split(r"[\s\-.,;:+&()°]+", folded(text)) if part]
    side: SunSide | None = None
    camera: CameraSide | None = None
    is_quarter = False
    hours: list[tuple[str, str]] = []
    while parts:
        count = next(
            (n for n in range(min(_LONGEST, len(parts)), 0, -1) if _is_known("".join(parts[:n]))), 1
        )
        word = "".join(parts[:count])
        parts = parts[count:]
        if word == _THREE_QUARTER:
            is_quarter = True
        elif word in _WORDS:
            if side not in (None, _WORDS[word]):
                raise _unknown(cell)
            side = _WORDS[word]
        elif word in _CAMERAS:
            camera = _CAMERAS[word]
        elif word in _HOURS and not (word in _SUN and (side or hours or is_quarter or parts)):
            hours.append(_HOURS[word])
        elif word not in _FILLERS and word not in _SUN:
            raise _unknown(cell)
    if is_quarter:
        if side not in (SunSide.BACK, SunSide.FRONT):
            hint = "write `3/4 back` or `3/4 front`"
            raise WordError("three-quarter of what", expected="back or front with it", hint=hint)
        is_back = side is SunSide.BACK
        side = SunSide.THREE_QUARTER_BACK if is_back else SunSide.THREE_QUARTER_FRONT
    return side, camera, hours


def _is_known(word: str) -> bool:
    return word in _WORDS or word in _CAMERAS or word in _HOURS or word in _FILLERS


def _unknown(text: str) -> WordError:
    word = re.sub(r"3\s*/\s*4|¾", "three-quarter", words.plain_hyphens(text))
    return WordError(
        "not a sun side",
        expected=f"{words.listed(SunSide)}, then left or right if it matters",
        hint=words.did_you_mean(word, SunSide),
    )
