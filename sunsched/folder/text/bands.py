"""Bearings and bands of angles, as people write them, in degrees."""

from __future__ import annotations

from collections.abc import Mapping

from sunsched.folder.text import words
from sunsched.folder.text.words import WordError

POINTS = (
    *("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE"),
    *("S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"),
)

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


def bearing(text: str) -> float:
    """Read a direction, degrees from 0 to below 360: a number or one of 16 compass points."""
    word = words.clean(text).upper()
    if word in POINTS:
        return POINTS.index(word) * 360 / len(POINTS)
    try:
        return words.number(word, 0, 360) % 360
    except WordError:
        raise WordError(
            "not a bearing",
            expected="degrees from 0 to 360 or a compass point such as NNW",
            hint=words.did_you_mean(word, POINTS) if word.isalpha() else "",
        ) from None


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
