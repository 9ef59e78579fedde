"""Coordinates in the spellings that people use, and what is said of those that are none."""

import pytest

from sunsched.folder.place.coordinates import coordinates, geo_link, looks_like_coordinates, written
from sunsched.folder.text.words import WordError

SPELLINGS = {
    (36.5, -10.2): (
        *("36.5,-10.2", "36.5, -10.2", "36.5 -10.2", "36.5; -10.2", "(36.5, -10.2)"),
        *("36,5 -10,2", "36,5; -10,2", "36,5, -10,2", "36,5,-10,2", "36,5°N 10,2°W"),
        *("36.5 N 10.2 W", "N36.5 W10.2", "N 36.5, W 10.2", "36.5N10.2W", "10.2 W 36.5 N"),
        *("36°30'N 10°12'W", "36°30′00″ N 10°12′00″ W", "36 30 N, 10 12 W", "36° 30' -10° 12'"),
        *("36:30:00N 10:12:00W", "36d30m00sN 10d12m00sW", "36 deg 30 min N 10 deg 12 min W"),
        *("N 36 30 W 10 12", "36º30’N 010º12’W", "36.5 north, 10.2 west", "36.5° −10.2°"),
        *("lat 36.5 lon -10.2", "lat: 36.5, lon: -10.2", "latitude=36.5 longitude=-10.2"),
        "+36.5-010.2/",  # ISO 6709
    ),
    (36.5, 10.25): ("36°30'N 10 15 E", "10°15'E 36°30'N", "36 30 10 15", "N 36 30.0 E 010 15.0"),
    (-36.5, 170.25): ("36.5S 170.25E", "36°30'S,170°15'E", "-36 30 170 15", "S 36 30 E 170 15"),
    (36.0, 30.0): ("36 30", "36, 30", "36,30"),
    (0.0, 0.0): ("0 0", "0N 0E"),
}


@pytest.mark.parametrize(
    ("text", "point"), [(text, point) for point, texts in SPELLINGS.items() for text in texts]
)
def test_spelling_is_read(text, point):
    """All spellings of a point are that point."""
    assert looks_like_coordinates(text)
    found = coordinates(text)
    assert (found.latitude_deg, found.longitude_deg) == pytest.approx(point, abs=1e-9)


def test_seconds_count():
    """A second is a sixtieth of a minute, and only the last part has decimals."""
    found = coordinates("51°28'40.1\"N 0°00'05.3\"W")
    assert found.latitude_deg == pytest.approx(51 + 28 / 60 + 40.1 / 3600)
    assert found.longitude_deg == pytest.approx(-5.3 / 3600)


@pytest.mark.parametrize(
    ("text", "problem", "advice"),
    [
        ("95, 10", "a latitude of 95", "`10, 95`"),
        ("95 N 10 E", "a latitude of 95", "`10, 95`"),
        ("200, 100", "a latitude of 200", "from -90"),
        ("36.5, 200", "a longitude of 200", "`36.5, -160`"),
        ("36.5 N 10.2 O", "a hemisphere that is not clear", "write W or E"),
        ("-36 S 10 E", "a sign and a hemisphere", "`36 S`"),
        ("36 70 N 10 E", "60 minutes or more", "below 60"),
        ("36.5", "not coordinates", "36.5, -10.2"),
        ("36.5 N", "not one hemisphere for each of the two", "N or S"),
        ("36.5 N 10.2 S", "not one hemisphere for each of the two", "E or W"),
        ("36,5,10", "coordinates that may be read in two ways", "`36, 5.1` or `36.5, 10`"),
        ("36.5.1 10", "not coordinates", "36.5, -10.2"),
        ("36 30.5 15 N 10 E", "not coordinates", "36.5, -10.2"),
    ],
)
def test_what_is_none_is_told(text, problem, advice):
    """What cannot be read, or in two ways, is told with what to write instead."""
    with pytest.raises(WordError) as raised:
        coordinates(text)
    assert raised.value.problem == problem
    assert advice in f"{raised.value.expected} {raised.value.hint}"


@pytest.mark.parametrize("text", ["Lisbon", "100 Mile House", "St. Louis", "Nice", "1 de Mayo"])
def test_towns_are_no_coordinates(text):
    """A name is looked up, also one with figures or with letters of hemispheres."""
    assert not looks_like_coordinates(text)


@pytest.mark.parametrize(
    ("link", "latitude", "longitude", "height"),
    [
        # The examples of RFC 5870, 6.1 to 6.3 and 9.4, from memory.
        ("geo:13.4125,103.8667", 13.4125, 103.8667, None),
        ("geo:48.2010,16.3695,183", 48.201, 16.3695, 183.0),
        ("geo:48.198634,16.371648;crs=wgs84;u=40", 48.198634, 16.371648, None),
        ("geo:37.786971,-122.399677", 37.786971, -122.399677, None),
        ("geo:66,30;u=6.500;FOo=this%2dthat", 66.0, 30.0, None),
        # At a pole all longitudes are one point (3.4.2 and 3.4.4).
        ("geo:90,-22.43;crs=WGS84", 90.0, 0.0, None),
        ("GEO:90,46", 90.0, 0.0, None),
    ],
)
def test_geo_links(link, latitude, longitude, height):
    """Links of the standard are read as it says."""
    found = geo_link(link)
    assert (found.latitude_deg, found.longitude_deg) == (latitude, longitude)
    assert found.elevation_m == height


@pytest.mark.parametrize("link", ["geo:1;2", "geo:", "geo:95,1", "geo:1,2;crs=nad27", "geo:a,b"])
def test_wrong_geo_links(link):
    """A link of another system, or without figures, is no point."""
    with pytest.raises(WordError):
        geo_link(link)


def test_written_reads_back():
    """What is shown as coordinates can be typed."""
    assert written(37.786971, -122.399677) == "37.787, -122.3997"
    assert coordinates(written(-0.00001, 180.0)).longitude_deg == 180.0
