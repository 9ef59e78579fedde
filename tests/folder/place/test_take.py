"""The one way to a place: what is taken, what is asked, and what is said instead."""

import pytest

from sunsched.errors import SunschedError
from sunsched.folder.place.take import take_place

POINTS = (
    '<gpx version="1.1" creator="x"><wpt lat="36.9" lon="10.7"/><wpt lat="37.5" lon="9"/></gpx>'
)


def test_town():
    """A town is taken with its zone, and others of its name are told."""
    taken = take_place("Lisbon")
    place = taken.place
    assert (place.name, place.timezone, place.elevation_m) == ("Lisbon", "Europe/Lisbon", 0.0)
    assert "`Lisbon, Maine, US`" in taken.notes[0]


@pytest.mark.parametrize("text", ["36.9, 10.75", "geo:36.9,10.75", "36°54'N 10°45'E"])
def test_coordinates(text):
    """Coordinates keep their figures, are told by the town near, and have the zone of the land."""
    taken = take_place(text)
    assert (taken.place.latitude_deg, taken.place.longitude_deg) == (36.9, 10.75)
    assert taken.place.timezone == "Africa/Tunis"
    assert "Tunisia" in taken.told


def test_several_are_asked():
    """Where none is clear each is told with what to type, or somebody is asked."""
    with pytest.raises(SunschedError, match="may mean") as raised:
        take_place("Springfield")
    assert "`Springfield, Illinois, US`" in str(raised.value)
    third = take_place("Springfield", lambda _: 2)
    assert "Illinois" in third.told


def test_several_points_of_a_file(tmp_path):
    """Points that are far from each other are not chosen among silently."""
    path = tmp_path / "points.gpx"
    path.write_text(POINTS, encoding="utf-8")
    with pytest.raises(SunschedError, match=r"`37.5, 9`"):
        take_place(str(path))
    assert take_place(str(path), lambda _: 1).place.latitude_deg == 37.5


def test_border_is_told():
    """Near a border the other clock is told; in mid-ocean the zone is that of the sea."""
    assert "`Europe/Lisbon`" in take_place("37.2, -7.4").notes[0]
    assert take_place("36, -30").place.timezone == "Etc/GMT+2"


def test_figures_at_sea_that_are_swapped_are_asked_about():
    """Reykjavík swapped lies in the Indian Ocean; with hemispheres the sea is taken at once."""
    with pytest.raises(SunschedError, match="may mean 2 places") as raised:
        take_place("-21.94, 64.147")
    assert "`64.147, -21.94`  on land, swapped, 3 km from Reykjavík" in str(raised.value)
    assert "`S 21.94 E 64.147`  at sea, as written" in str(raised.value)
    assert take_place("-21.94, 64.147", lambda _: 0).place.timezone == "Atlantic/Reykjavik"
    for text in ("S 21.94 E 64.147", "-21.94, 64.147"):
        place = take_place(text, lambda _: 1).place
        assert (place.latitude_deg, place.longitude_deg) == (-21.94, 64.147)
    assert take_place("36, -30").place.timezone == "Etc/GMT+2", "swapped there is no town either"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no place"),
        ("Lisbn", "did you mean `Lisbon`"),
        ("95, 10", "a latitude of 95"),
        ("missing.jpg", "no such file"),
        ("missing.gpx", "no such file"),
    ],
)
def test_bad_input(text, message):
    """What is no place is told in a line, with what to type instead."""
    with pytest.raises(SunschedError) as raised:
        take_place(text)
    assert message in str(raised.value)
    assert "expected" in str(raised.value)
