"""The zone of a point, and what mends coordinates that lie in another one."""

from datetime import date

import pytest

from sunsched.folder.place import zones

JUNE = date(2027, 6, 9)


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        # Cities and the zones that the IANA database names after or for them; where they lie to a
        # hundredth of a degree, from memory.
        (38.72, -9.14, "Europe/Lisbon"),
        (40.42, -3.70, "Europe/Madrid"),
        (28.10, -15.43, "Atlantic/Canary"),
        (36.81, 10.18, "Africa/Tunis"),
        (27.70, 85.32, "Asia/Kathmandu"),
        (-31.95, 141.47, "Australia/Broken_Hill"),
        (-43.95, -176.56, "Pacific/Chatham"),
        (47.57, -52.71, "America/St_Johns"),
        (33.45, -112.07, "America/Phoenix"),
        (36.15, -109.55, "America/Denver"),  # the Navajo Nation keeps summer time
        (78.22, 15.64, "Arctic/Longyearbyen"),
        (-13.83, -171.76, "Pacific/Apia"),  # on both sides of the date line
        (-14.28, -170.70, "Pacific/Pago_Pago"),
        # On both sides of a border.
        (42.15, -8.64, "Europe/Madrid"),
        (41.90, -8.62, "Europe/Lisbon"),
        (65.84, 24.14, "Europe/Stockholm"),
        (65.85, 24.20, "Europe/Helsinki"),
        (39.63, 118.18, "Asia/Shanghai"),
        (43.80, 87.60, "Asia/Shanghai"),  # Ürümqi: first of the two that are kept there
    ],
)
def test_zone_of_a_point(latitude, longitude, zone):
    """Boundaries give the zone of cities and of both sides of borders."""
    assert zones.zone_at(latitude, longitude) == zone


def test_sea_has_the_zone_of_the_nearest_land():
    """A boat 40 km off the coast keeps its clock, one in mid-ocean that of the sea."""
    assert zones.zone_at(38.7, -9.9) == "Europe/Lisbon"
    assert zones.zone_at(36.0, -30.0) == "Etc/GMT+2"
    assert zones.is_at_sea(36.0, -30.0)
    assert not zones.is_at_sea(38.7, -9.9)


def test_both_clocks_of_a_border_are_near():
    """Fifty kilometres from a border either clock may be kept."""
    assert {"Europe/Lisbon", "Europe/Madrid"} <= {*zones.zones_near(37.22, -7.44)}
    assert zones.is_there("Europe/Madrid", 37.22, -7.44)
    assert not zones.is_there("Europe/Madrid", 38.72, -9.14)


def test_old_names_are_the_same_zone():
    """A name that the database keeps as a link is no other zone."""
    assert zones.is_there("US/Pacific", 34.0, -118.0)
    assert zones.is_there("Asia/Calcutta", 28.6, 77.2)
    assert not zones.is_there("US/Eastern", 34.0, -118.0)


@pytest.mark.parametrize(
    ("latitude", "longitude", "key", "text"),
    [
        (38.7, 9.14, "longitude_deg", "write `longitude_deg = -9.14`"),
        (-38.7, -9.14, "latitude_deg", "write `latitude_deg = -38.7`"),
        (-9.14, 38.7, "latitude_deg", "swap latitude and longitude"),
        (-38.7, 9.14, "latitude_deg", "turn the signs of both round"),
        (9.14, -38.7, "latitude_deg", "swap latitude and longitude, and turn both signs"),
    ],
)
def test_what_mends_lisbon(latitude, longitude, key, text):
    """Every way to get Lisbon wrong is undone."""
    mend = zones.mend("Europe/Lisbon", latitude, longitude)
    assert mend is not None
    assert (mend.key, mend.text) == (key, text.replace("-38.7`", "38.7`"))
    assert (mend.latitude_deg, mend.longitude_deg) == (38.7, -9.14)


def test_nothing_mends_another_town():
    """No swap nor sign brings Tunis into Japan."""
    assert zones.mend("Asia/Tokyo", 36.8, 10.2) is None


def test_clock_without_a_place():
    """The zones of no place count westward; half hours have none, so whole ones are given."""
    assert zones.same_clock("Europe/Madrid", JUNE) == "Etc/GMT-2"
    assert zones.same_clock("Europe/Lisbon", date(2027, 1, 9)) == "Etc/UTC"
    assert zones.same_clock("America/Phoenix", JUNE) == "Etc/GMT+7"
    assert zones.hours_ahead("Europe/Madrid", "Europe/Lisbon", JUNE) == 1.0
