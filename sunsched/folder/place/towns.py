"""Towns by name: every one that a text may mean, told apart by region and country."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence

from sunsched.day.model import Place
from sunsched.folder.place import gazetteer
from sunsched.folder.place.candidate import Candidate
from sunsched.folder.place.coordinates import Point, written
from sunsched.folder.place.gazetteer import Town, folded
from sunsched.folder.place.listed import find_place
from sunsched.folder.text import words

# A town with so many times the people of the next one of its name is what most people mean.
CLEARLY = 5
OTHER_NAME = 0.1  # what the people of a town count that has the name only in another language
MOST_WORDS = 3  # of a region or country that stands behind a name without a comma
REGION = 4  # letters from which on a part of a region's name is enough


def find_towns(text: str) -> tuple[Candidate, ...]:
    """Find the towns that a text may mean, with the most people first.

    Parameters
    ----------
    text : str
        A name in English or the town's own language, with or without accents, and perhaps region
        and country behind commas: `Springfield, Illinois, US` or `Springfield, US-IL`.

    Returns
    -------
    tuple of Candidate
        None for an unknown name. GeoNames' towns of 1,000 people and more; a town that only
        astral's list spells like that comes last.
    """
    name, *parts = [words.clean(part) for part in re.split(r"[,()]", text)]
    qualifiers = [part for part in parts if part]
    spoken = name.split()
    every = _called(name)
    found = _qualified(every, qualifiers)
    for count in range(1, min(MOST_WORDS, len(spoken) - 1) + 1):
        if found or qualifiers:
            break
        every = _called(" ".join(spoken[:-count]))
        found = _qualified(every, [" ".join(spoken[-count:])])
    if not found:
        listed = find_place(text)
        return () if listed is None else (_of_list(listed),)
    return tuple(_candidate(town, every) for town in sorted(found, key=lambda town: -_weight(town)))


def is_clear(found: Sequence[Candidate]) -> bool:
    """Say whether the first of some towns is what most people mean by the name."""
    return len(found) == 1 or found[0].weight >= CLEARLY * max(1.0, found[1].weight)


def nearest_names(text: str, count: int = 3) -> tuple[str, ...]:
    """List known names that are spelt much like a town's: large towns first, then small ones."""
    wanted = folded(text.partition(",")[0][: words.MAX_NAME])
    found: list[str] = []
    for names in (gazetteer.large_names(wanted), gazetteer.small_names(wanted)):
        found += [names[key] for key in difflib.get_close_matches(wanted, names, 9, 0.75)]
    return tuple(dict.fromkeys(found))[:count]


def near_what(latitude_deg: float, longitude_deg: float) -> str:
    """Say near which town a point lies; "" where none is near."""
    near = gazetteer.nearest_town(latitude_deg, longitude_deg)
    if near is None:
        return ""
    town, km = near
    return f"{_far(km)}{_told(town)}"


def _weight(town: Town) -> float:
    """Give the people of a town; one that has the name only in another language counts less."""
    return town.people * (1.0 if town.is_by_name else OTHER_NAME)


def _far(km: float) -> str:
    return "in " if km < 1.0 else f"{km:.0f} km from "


def _called(name: str) -> list[Town]:
    if not folded(name):
        return []
    large = gazetteer.large_towns(name)
    small = [
        town
        for town in gazetteer.small_towns(name)
        if not any(gazetteer.same_town(town, other) for other in large)
    ]
    return [*large, *small]


def _qualified(towns: Sequence[Town], qualifiers: Sequence[str]) -> list[Town]:
    return [town for town in towns if all(_is_in(town, one) for one in qualifiers)]


def _is_in(town: Town, qualifier: str) -> bool:
    """Say whether a town lies in the country or the region that a text names."""
    country, dash, code = qualifier.upper().partition("-")
    if dash and town.country == country:
        return _has_code(town, code)
    wanted = folded(qualifier)
    region = folded(town.region)
    return (
        town.country in gazetteer.country_codes(qualifier)
        or _has_code(town, country)
        or wanted == region
        or (len(wanted) >= REGION and wanted in region)
    )


def _has_code(town: Town, code: str) -> bool:
    """Say whether a town's region has this code; small towns have only their region's name."""
    if town.region_code:
        return town.region_code == code
    return bool(town.region) and town.region == gazetteer.region_name(town.country, code)


def _candidate(town: Town, every: Sequence[Town]) -> Candidate:
    return Candidate(
        name=town.name,
        point=Point(latitude_deg=town.latitude_deg, longitude_deg=town.longitude_deg),
        told=f"{_told(town)}, {town.people:,} people",
        write=_alone(town, every),
        weight=_weight(town),
    )


def _alone(town: Town, every: Sequence[Town]) -> str:
    """Give the shortest text that means this town and no other of the name."""
    for parts in ([town.country], [town.region, town.country]):
        if all(parts) and len(_qualified(every, parts)) == 1:
            return ", ".join([town.name, *parts])
    return written(town.latitude_deg, town.longitude_deg)


def _told(town: Town) -> str:
    """Give name, region and country; a region of the town's own name is not said twice."""
    region = "" if folded(town.region) == folded(town.name) else town.region
    return ", ".join(filter(None, (town.name, region, gazetteer.country_name(town.country))))


def _of_list(place: Place) -> Candidate:
    return Candidate(
        name=place.name,
        point=Point(latitude_deg=place.latitude_deg, longitude_deg=place.longitude_deg),
        told=place.name,
        write=written(place.latitude_deg, place.longitude_deg),
    )
