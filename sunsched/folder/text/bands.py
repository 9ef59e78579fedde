"""Bearings and bands of angles, as people write them, in degrees."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from itertools import product

from sunsched.folder.text import words
from sunsched.folder.text.words import WordError

ANYWHERE = frozenset({"any", "anywhere", "either", "free", "open"})  # said of a look
POINTS = (
    *("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE"),
    *("S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"),
)

# The words for north, east, south and west that points are made of, in six languages.
_QUARTERS = {
    "N": ("north", "nord", "norte", "nor", "norden"),
    "E": ("east", "ost", "est", "este", "leste", "osten"),
    "S": ("south", "sud", "sur", "sul", "suden"),
    "W": ("west", "ouest", "oeste", "ovest", "westen"),
}
_POINT_WORDS = {
    "".join(parts): point
    for point in POINTS
    for parts in product(*(_QUARTERS[letter] for letter in point))
} | {"sudeste": "SE", "sudoeste": "SW", "noreste": "NE", "northerly": "N"}
_TOWARD = re.compile(
    r"^(?:(?:look(?:ing|s)?|fac(?:ing|es)|camera|cam|toward|towards|to|the|due|into|nach|vers|le|"
    r"l'|hacia|al|el|verso|para|o|blick|regard|mirando)\s+)+",
    re.IGNORECASE,
)
_APART = re.compile(r"(?<=\b[NSEWOL])\s*[-/]\s*(?=[NSEWOL]{1,2}\b)")
_DEGREES = re.compile(r"\s*(?:deg|degrees|grad|º|˚|°)\.?\s*(?:true|t)?$", re.IGNORECASE)
_BOTH = re.compile(r"(\d{1,3}(?:[.,]\d+)?)\s*[°º]?\s*[/(,]?\s*([NSEWnsew]{1,3})\)?")
AGREE_DEG = 25.0  # a point stands for a sixteenth of the circle, and people take the nearest of 8

# Half of the sun's disc and the usual refraction at the horizon, 50 minutes of arc: the lowest
# elevation of a sun that is up.
LOWEST_SUN_DEG = -50 / 60
TO_ZENITH_DEG = 90.0

Angles = tuple[float, float]
"""The low and the high end of a band, degrees."""

# Common practice, no source: no standard says how high a golden or a high sun is. Each can be
# changed in `day.toml` under `[words]`.
DEFAULT_WORDS: dict[str, Angles] = {
    "low": (0.0, 20.0),
    "high": (45.0, TO_ZENITH_DEG),
    "golden": (-0.833, 6.0),
    "dusk": (-6.0, -0.833),
}


def joined_point(text: str) -> str:
    """Give a compass point whose letters stand apart in one word: `N-W` and `n/w` are `NW`."""
    return _APART.sub("", words.clean(text).upper())


def bearing(text: str) -> float:
    """Read a direction, degrees from 0 to below 360: a number or one of 16 compass points.

    Points may be words, also of other languages (`north-west`, `Nordwest`), with `looking` or
    `to the` before them; a number may have its point beside it, as in `270° (W)`.
    """
    word = _TOWARD.sub("", words.plain_hyphens(text)).strip()
    joined = joined_point(word)
    point = joined if joined in POINTS else _POINT_WORDS.get(_letters(word), "")
    if point:
        return POINTS.index(point) * 360 / len(POINTS)
    both = _BOTH.fullmatch(word)
    try:
        value = words.number(both[1] if both else _DEGREES.sub("", word), 0, 360) % 360
    except WordError:
        if word.casefold() in ANYWHERE:
            hint = "write the look that it would begin with, such as N, and no side under `sun`"
        elif re.fullmatch(r"[NSOW]{1,3}", word) and "O" in word:
            hint = "`O` is east in German, west in French, Italian or Spanish: write E or W"
        else:
            hint = words.did_you_mean(word.upper(), POINTS) if word.isalpha() else ""
        raise WordError(
            "not a bearing",
            expected="degrees from 0 to 360 or a compass point such as NNW",
            hint=hint,
        ) from None
    if both and abs((value - bearing(both[2]) + 180) % 360 - 180) > AGREE_DEG:
        hint = f"write `{value:g}` or `{both[2]}` alone"
        raise WordError("degrees and a point that disagree", expected="the same", hint=hint)
    return value


def bearing_text(bearing_deg: float) -> str:
    """Give a bearing as a list has it: a compass point where it is one, else degrees."""
    point, rest = divmod(bearing_deg, 360 / len(POINTS))
    return f"{bearing_deg:g}" if rest else POINTS[int(point) % len(POINTS)]


def _letters(text: str) -> str:
    apart = unicodedata.normalize("NFD", text.casefold())
    return "".join(mark for mark in apart if mark.isalpha() and unicodedata.category(mark) != "Mn")


def elevation_band(
    text: str, known: Mapping[str, Angles] = DEFAULT_WORDS, *, below_horizon: bool = False
) -> Angles:
    """Read a band of elevations: `5..20`, `>30`, `<10` or one of the known words.

    Parameters
    ----------
    text : str
        What the cell says.
    known : mapping of str to pair of float
        The words and their degrees; empty where words have no place.
    below_horizon : bool
        `<10` starts at the horizon, or with this at the nadir.

    Returns
    -------
    pair of float
        Low and high end, degrees.
    """
    expected = words.listed(["`5..20`", "`>30`", "`<10`", *known])
    word = words.plain_hyphens(text).casefold().replace("≥", ">").replace("≤", "<")
    if word in known:
        return known[word]
    sign, rest = word[:1], word[1:].removeprefix("=")
    low_text, dots, high_text = word.partition("..")
    try:
        if sign == ">":
            return words.number(rest, -90, 90), TO_ZENITH_DEG
        if sign == "<":
            high = words.number(rest, -90, 90)
            return (-90.0 if below_horizon or high <= LOWEST_SUN_DEG else LOWEST_SUN_DEG), high
        low, high = words.number(low_text, -90, 90), words.number(high_text, -90, 90)
    except WordError as error:
        problem = error.problem if error.problem == "out of range" else "not an elevation band"
        hint = words.did_you_mean(word, known) or (error.hint if dots else "")
        if error.problem == "out of range":
            expected = "degrees from -90 to 90, such as `5..20`"
        raise WordError(problem, expected=expected, hint=hint) from None
    if low > high:
        raise WordError(
            "the low end is above the high end",
            expected=expected,
            hint=f"write `{high_text.strip()}..{low_text.strip()}`",
        )
    return low, high


def azimuth_band(text: str) -> Angles:
    """Read a band of azimuths, clockwise: `240..300`, `340..20` or `SW..W`."""
    expected = "two bearings, clockwise, such as `240..300` or `SW..W`"
    low_text, dots, high_text = words.clean(text).partition("..")
    if not dots:
        raise WordError("not an azimuth band", expected=expected)
    try:
        low, high = bearing(low_text), bearing(high_text)
    except WordError as error:
        raise WordError("not an azimuth band", expected=expected, hint=error.hint) from None
    if low == high and words.clean(low_text) != words.clean(high_text):
        raise WordError(
            "the whole circle", expected=expected, hint="leave it blank when every azimuth is right"
        )
    return low, high
