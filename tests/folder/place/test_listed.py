"""astral's list of towns."""

import pytest

from sunsched.folder.place.listed import find_place


@pytest.mark.parametrize(
    "name", ["Kathmandu", "kathmandu", "Kathmandu, Nepal", " kathmandu,nepal "]
)
def test_find_place(name):
    """A town is found by its name in any case, with or without its region."""
    place = find_place(name)
    assert place is not None
    assert (place.name, place.timezone, place.elevation_m) == ("Kathmandu", "Asia/Kathmandu", 0.0)
    assert place.latitude_deg == pytest.approx(27.7, abs=0.1)
    assert place.longitude_deg == pytest.approx(85.3, abs=0.1)


@pytest.mark.parametrize("name", ["Sana", "Nouakchott"])
def test_misplaced_towns_are_not_offered(name):
    """astral has a few towns on the wrong side of the globe; better none than those."""
    assert find_place(name) is None


def test_towns_across_the_date_line():
    """Samoa's clock is a day ahead of its longitude and still right."""
    place = find_place("Apia")
    assert place is not None
    assert place.longitude_deg < -170
