"""Latitude and longitude as people write them, in degrees: north and east are positive.

Degrees, minutes and seconds, points and commas for decimals, hemispheres before or behind, and
`geo:` links (RFC 5870). What may be read in two ways is read in neither.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from sunsched.folder.text import words
from sunsched.folder.text.words import WordError

EXPECTED = "a latitude and a longitude such as `36.5, -10.2` or `36°30'N 10°12'W`"
MAX_LATITUDE, MAX_LONGITUDE = 90.0, 180.0

_SIGNS = str.maketrans(
    {**dict.fromkeys("º˚ᵒ", "°"), **dict.fromkeys("’‘′´`ʹ", "'"), **dict.fromkeys("”“″ʺ", '"')}
)
# Words for the hemispheres and names of the two figures, as they stand in upper case.
_WORDS = (
    (r"LATITUDE|LONGITUDE|LAT\b|LON\b|LNG\b|LONG\b|[:=](?=\s*[-+\d])(?<!\d[:=])", " "),
    (r"\b(NORTH|NORD|NORTE)\b", "N"),
    (r"\b(SOUTH|SÜD|SUD|SUR|SUL)\b", "S"),
    (r"\b(EAST|OST|EST|ESTE|LESTE)\b", "E"),
    (r"\b(WEST|OUEST|OESTE|OVEST)\b", "W"),
    (r"DEGREES?|DEG\.?", "°"),
    (r"(?<=[\d\s])MINUTES?|(?<=[\d\s])MIN\.?", "'"),
    (r"(?<=[\d\s])SECONDS?|(?<=[\d\s])SEC\.?", '"'),
    (r"(?<=\d)\s*D(?=\s*\d|\s*[,;NSEW]|\s*$)", "°"),
    (r"(?<=\d)\s*M(?=\s*\d|\s*[,;NSEW]|\s*$)", "'"),
    (r"(?<=['\d])\s*S(?=\s*[,;]?\s*[NSEW]\b)", '"'),
)
_ANGLE = {
    mark: re.compile(
        rf"(?P<sign>[+-])?\s*(?P<degrees>\d{{1,3}}(?:{mark}\d+)?)\s*°?"
        rf"(?:(?:(?<=°)|[\s:])\s*(?P<minutes>\d{{1,2}}(?:{mark}\d+)?)\s*'?"
        rf"(?:(?:(?<=')|[\s:])\s*(?P<seconds>\d{{1,2}}(?:{mark}\d+)?)\s*(?:\"|'')?)?)?"
    )
    for mark in (r"\.", ",")
}
_BETWEEN = {
    r"\.": re.compile(r"\s*[,;/|]\s*|\s+|(?<=[\d°'\"])(?=[-+])"),
    ",": re.compile(r"\s*,\s+|\s*[;/|]\s*|\s+|,(?=[-+]?\d)|(?<=[\d°'\"])(?=[-+])"),
}
_FIGURES = re.compile(r"[\d\s.,;:/|°'\"+\-NSEWOLATDGMINC=()]*")
_GEO = re.compile(
    r"geo:(?P<lat>-?\d+(?:\.\d+)?),(?P<lon>-?\d+(?:\.\d+)?)(?:,(?P<alt>-?\d+(?:\.\d+)?))?"
    r"(?P<rest>(?:;[\w-]+(?:=[^;]*)?)*)(?:\?.*)?",
    re.IGNORECASE | re.ASCII,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A point on the Earth, degrees; the height above the sea in metres, None if it is not told."""

    latitude_deg: float
    longitude_deg: float
    elevation_m: float | None = None


def looks_like_coordinates(text: str) -> bool:
    """Say whether a text is figures and the marks of coordinates, not the name of a town."""
    plain = _plain(text)
    return any(mark.isdigit() for mark in plain) and bool(_FIGURES.fullmatch(plain))


def coordinates(text: str) -> Point:
    """Read a latitude and a longitude in the usual spellings.

    Parameters
    ----------
    text : str
        `36.5, -10.2`; `36,5 -10,2`; `36°30'N 10 15 E`; `N36 30.5 W10 12`.

    Raises
    ------
    WordError
        For anything else, for figures that may be read in two ways, and for a point that is not
        on the Earth; it says what to write instead.

    Examples
    --------
    >>> coordinates("36°30'N 10 15 E")
    Point(latitude_deg=36.5, longitude_deg=10.25, elevation_m=None)
    """
    plain = _plain(text).strip(" ,;/()")
    letters = re.findall(r"[NSEWO]", plain)
    if "O" in letters:
        hint = "`O` is west in some languages and east in others: write W or E"
        raise WordError("a hemisphere that is not clear", expected="N, S, E or W", hint=hint)
    pairs = _lettered(plain, letters) if letters else _signed(plain)
    if not pairs:
        raise WordError("not coordinates", expected=EXPECTED)
    if len(pairs) > 1:
        ways = words.listed(f"`{lat:.6g}, {lon:.6g}`" for lat, lon in sorted(pairs))
        raise WordError("coordinates that may be read in two ways", expected=ways)
    return on_earth(*pairs.pop())


def geo_link(text: str) -> Point:
    """Read a `geo:` link: latitude, longitude and perhaps a height, in WGS 84 (RFC 5870)."""
    found = _GEO.fullmatch(words.clean(text))
    expected = "a link such as `geo:36.5,-10.2`"
    if found is None:
        raise WordError("not a geo: link", expected=expected)
    parameters = found["rest"].casefold().split(";")[1:]
    others = [one for one in parameters if one.startswith("crs=") and one != "crs=wgs84"]
    if others:
        raise WordError("a geo: link with other coordinates than WGS 84", expected=expected)
    latitude, longitude = float(found["lat"]), float(found["lon"])
    # At the poles all longitudes are one point (RFC 5870, 3.4.2).
    height = None if found["alt"] is None else float(found["alt"])
    at_pole = abs(latitude) == MAX_LATITUDE
    return on_earth(latitude, 0.0 if at_pole else longitude, height)


def on_earth(latitude: float, longitude: float, height_m: float | None = None) -> Point:
    """Give the point; a latitude past a pole or a longitude past the date line is refused."""
    if abs(latitude) > MAX_LATITUDE:
        swapped = abs(longitude) <= MAX_LATITUDE and abs(latitude) <= MAX_LONGITUDE
        raise WordError(
            f"a latitude of {latitude:.6g}",
            expected="from -90 (south) to 90 (north)",
            hint=f"latitude comes first: did you mean `{longitude:.6g}, {latitude:.6g}`?"
            if swapped
            else "",
        )
    if abs(longitude) > MAX_LONGITUDE:
        around = (longitude + 180) % 360 - 180
        raise WordError(
            f"a longitude of {longitude:.6g}",
            expected="from -180 (west) to 180 (east)",
            hint=f"did you mean `{latitude:.6g}, {around:.6g}`?" if abs(longitude) <= 360 else "",
        )
    return Point(latitude_deg=latitude, longitude_deg=longitude, elevation_m=height_m)


def written(latitude_deg: float, longitude_deg: float) -> str:
    """Give coordinates as one would type them, to some ten metres."""
    return f"{round(latitude_deg, 4):.7g}, {round(longitude_deg, 4):.7g}"


def _plain(text: str) -> str:
    """Give the text with one kind of each mark, in upper case, hemispheres as one letter."""
    plain = words.plain_hyphens(text.translate(_SIGNS)).replace("''", '"').upper()
    for pattern, letter in _WORDS:
        plain = re.sub(pattern, letter, plain)
    return " ".join(plain.split())


def _lettered(plain: str, letters: list[str]) -> set[tuple[float, float]]:
    """Read two angles that each have a hemisphere, all before or all behind, in any order."""
    if len(letters) != 2 or sum(letter in "NS" for letter in letters) != 1:
        raise WordError(
            "not one hemisphere for each of the two",
            expected="N or S for the latitude and E or W for the longitude",
        )
    first, second = (found.start() for found in re.finditer(r"[NSEW]", plain))
    halves = (
        (plain[1:second], plain[second + 1 :])
        if first == 0
        else (plain[:first], plain[first + 1 : second])
    )
    if first != 0 and plain[second + 1 :].strip(" ,;"):
        return set()
    values: dict[bool, float] = {}
    for half, letter in zip(halves, letters, strict=True):
        angles = {angle for mark in _ANGLE if (angle := _angle(half.strip(" ,;/"), mark))}
        if len(angles) != 1:
            return set()
        value, _, is_signed = angles.pop()
        if is_signed:
            hint = f"write `{abs(value):.6g} {letter}`"
            raise WordError("a sign and a hemisphere", expected="one of the two", hint=hint)
        values[letter in "NS"] = -value if letter in "SW" else value
    return {(values[True], values[False])}


def _signed(plain: str) -> set[tuple[float, float]]:
    """Give every way to cut a text into two angles; cuts into like parts go first."""
    found: dict[bool, set[tuple[float, float]]] = {True: set(), False: set()}
    for mark, between in _BETWEEN.items():
        for cut in between.finditer(plain):
            left, right = plain[: cut.start()], plain[cut.end() :]
            one, other = _angle(left, mark), _angle(right, mark)
            if one and other:
                found[one[1] == other[1]].add((one[0], other[0]))
    return found[True] or found[False]


def _angle(text: str, mark: str) -> tuple[float, int, bool] | None:
    """Give degrees, how many parts they were written in, and whether a sign was; None for none."""
    found = _ANGLE[mark].fullmatch(text)
    if found is None:
        return None
    parts = [found[name] for name in ("degrees", "minutes", "seconds") if found[name]]
    # Only the last part may have decimals.
    if any(not part.isdigit() for part in parts[:-1]):
        return None
    figures = [float(part.replace(",", ".")) for part in parts]
    if any(figure >= 60 for figure in figures[1:]):
        raise WordError("60 minutes or more", expected="minutes and seconds below 60")
    value = sum(figure / 60**place for place, figure in enumerate(figures))
    return (-value if found["sign"] == "-" else value), len(parts), found["sign"] is not None
