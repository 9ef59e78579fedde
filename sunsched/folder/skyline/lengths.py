"""Lengths with their units, as people say them, in metres."""

from __future__ import annotations

import re

from sunsched.folder.text import words
from sunsched.folder.text.words import WordError

FLOOR_M = 3.0  # from floor to floor; common practice, no source
FOOT_M = 0.3048  # exact: the international foot of 1959
EXPECTED = "metres or feet, such as `12 m` or `40 ft`"
MAX_M = 100_000.0

UNITS_M = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1.0),
    "cm": 0.01,
    "km": 1000.0,
    **dict.fromkeys(("ft", "foot", "feet", "'"), FOOT_M),
    **dict.fromkeys(("yd", "yard", "yards"), 3 * FOOT_M),
    **dict.fromkeys(("floor", "floors", "storey", "storeys", "story", "stories"), FLOOR_M),
}

_LENGTH = re.compile(r"([+-]?[\d.,]+)\s*([^\d\s.,]*\.?)")
_FEET_AND_INCHES = re.compile(r"(\d+)\s*(?:'|ft|feet)\s*(\d+(?:\.\d+)?)\s*(?:\"|''|in|inches)")


def length_m(text: str, *, plain_unit: str = "") -> float:
    """Read a length of 0 to 100 km such as `12 m`, `40 ft`, `5'6"` or `4 floors`.

    Parameters
    ----------
    text : str
        What was typed.
    plain_unit : str
        The unit of a number without one; "" where it must be said.

    Raises
    ------
    WordError
        For anything else.
    """
    plain = words.plain_hyphens(text).casefold().replace("’", "'").replace("′", "'")
    plain = plain.replace("″", '"').replace("”", '"')
    both = _FEET_AND_INCHES.fullmatch(plain)
    if both:
        return FOOT_M * (float(both[1]) + float(both[2]) / 12)
    found = _LENGTH.fullmatch(plain)
    if found is None:
        raise WordError("not a length", expected=EXPECTED)
    value, unit = words.number(found[1], 0, MAX_M), found[2].rstrip(".") or plain_unit
    if not unit:
        raise WordError(
            "a length without its unit",
            expected=EXPECTED,
            hint=f"write `{found[1]} m` if it is in metres",
        )
    if unit not in UNITS_M:
        raise WordError(
            f"a unit that is not known: {unit}",
            expected="m, cm, km, ft, yd or floors",
            hint=words.did_you_mean(unit, (one for one in UNITS_M if len(one) > 1)),
        )
    return words.within(value * UNITS_M[unit], 0, MAX_M)
