"""Days that trip a sun: polar, clock changes, odd zones, the date line, past midnight."""

from dataclasses import astuple
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from sunsched.day.model import Place
from sunsched.sky.events import (
    SUNRISE_DEG,
    crossings,
    day_kind,
    solar_noon,
    sun_events,
)
from sunsched.sky.track import solar_position, sun_at, sun_track


def at(latitude_deg, longitude_deg, timezone):
    """Make a place at sea level."""
    return Place(
        name="",
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=0.0,
        timezone=timezone,
    )


AMSTERDAM = at(52.3667, 4.9, "Europe/Amsterdam")
NEW_YORK = at(40.7, -74.0, "America/New_York")
TROMSO = at(69.65, 18.96, "Europe/Oslo")
LONGYEARBYEN = at(78.22, 15.63, "Arctic/Longyearbyen")
MCMURDO = at(-77.85, 166.67, "Antarctica/McMurdo")
KATHMANDU = at(27.7, 85.3, "Asia/Kathmandu")
KIRITIMATI = at(1.87, -157.4, "Pacific/Kiritimati")
APIA = at(-13.83, -171.77, "Pacific/Apia")
AKUREYRI = at(65.68, -18.1, "Atlantic/Reykjavik")
FAIRBANKS = at(64.84, -147.72, "America/Anchorage")
SYDNEY = at(-33.87, 151.2, "Australia/Sydney")
SOUTH_POLE = at(-90.0, 0.0, "Antarctica/McMurdo")


@pytest.mark.parametrize(
    ("place", "on", "kind"),
    [
        (TROMSO, date(2027, 6, 21), "polar day"),
        (TROMSO, date(2027, 12, 21), "polar night"),
        (TROMSO, date(2027, 3, 1), None),
        (LONGYEARBYEN, date(2027, 5, 1), "polar day"),
        (LONGYEARBYEN, date(2027, 11, 15), "polar night"),
        (MCMURDO, date(2027, 12, 21), "polar day"),
        (MCMURDO, date(2027, 6, 21), "polar night"),
        (SOUTH_POLE, date(2027, 1, 1), "polar day"),
        (AMSTERDAM, date(2027, 6, 21), None),
    ],
)
def test_day_kind(place, on, kind):
    """A day without sunrise has a name, and only then."""
    events = sun_events(place, on)
    assert day_kind(place, on) == kind
    assert (events.sunrise is None) == (events.sunset is None) == (kind is not None)
    # The sun at noon tells which it is, without any search.
    if kind is not None:
        up = sun_at(place, events.solar_noon).elevation_deg > SUNRISE_DEG
        assert kind == ("polar day" if up else "polar night")


def test_polar_night_has_twilight():
    """Tromsø's dark days still have a civil dawn and dusk around noon."""
    events = sun_events(TROMSO, date(2027, 12, 21))
    assert events.civil_dawn is not None
    assert events.civil_dusk is not None
    assert timedelta(hours=4) < events.civil_dusk - events.civil_dawn < timedelta(hours=5)


@pytest.mark.parametrize(
    "pole", [at(-90.0, 0.0, "UTC"), at(-90.0, 180.0, "Etc/GMT-12")], ids=["noon at 12", "noon at 0"]
)
def test_south_pole_rises_once_a_year(pole):
    """At the pole the year's one sunrise is found, on whichever side of noon it falls."""
    days = [date(2027, 9, 15) + timedelta(days=n) for n in range(15)]
    risings = {e.sunrise for e in (sun_events(pole, day) for day in days) if e.sunrise}
    assert len(risings) == 1
    # Two or three days before the equinox of 23 September, 6:02 UTC, for 50' at 0.39° a day.
    before = datetime(2027, 9, 23, 6, 2, tzinfo=UTC) - risings.pop()
    assert timedelta(days=1.9) < before < timedelta(days=2.4)


@pytest.mark.parametrize(
    ("place", "change", "hours"),
    [
        (AMSTERDAM, date(2027, 3, 28), 1),
        (AMSTERDAM, date(2027, 10, 31), -1),
        (NEW_YORK, date(2027, 3, 14), 1),
        (NEW_YORK, date(2027, 11, 7), -1),
    ],
)
def test_summer_time_days(place, change, hours):
    """The clock jumps an hour, the sun does not: its events go on evenly in UTC."""
    before, on, after = (sun_events(place, change + timedelta(days=n)) for n in (-1, 0, 1))
    day = timedelta(days=1)
    for first, second in ((before, on), (on, after)):
        for one, two in zip(astuple(first), astuple(second), strict=True):
            assert abs(two - one - day) < timedelta(minutes=3)
    wall = [
        events.solar_noon.astimezone(place.zone).replace(tzinfo=None) for events in (before, on)
    ]
    assert abs(wall[1] - wall[0] - day - timedelta(hours=hours)) < timedelta(minutes=1)


@pytest.mark.parametrize(
    "place",
    [KATHMANDU, KIRITIMATI, APIA, SYDNEY, AMSTERDAM, NEW_YORK, AKUREYRI, MCMURDO, FAIRBANKS],
)
def test_noon_falls_on_the_date(place):
    """Whatever the zone, noon is on the local date asked for, and is the highest sun."""
    for on in (date(2027, 1, 15), date(2027, 4, 15), date(2027, 7, 15), date(2027, 11, 3)):
        noon = solar_noon(place, on)
        assert noon.astimezone(place.zone).date() == on
        track = sun_track(place, noon - timedelta(hours=12), noon + timedelta(hours=12))
        highest = track.time_of(int(np.argmax(track.elevation_deg)))
        # Off the equator the highest sun lags or leads the transit as the declination changes.
        assert abs(highest - noon) < timedelta(minutes=2)


@pytest.mark.parametrize("longitude_deg", [177.0, 179.0, -179.0, -177.0])
def test_noon_of_a_clock_half_a_day_off(longitude_deg):
    """The sun stands due south, and no other transit is nearer to 12:00 of the clock."""
    station = at(60.0, longitude_deg, "UTC")
    for month in (2, 5, 8, 11):
        noon = solar_noon(station, date(2027, month, 10))
        assert sun_at(station, noon).azimuth_deg == pytest.approx(180.0, abs=0.01)
        off = abs(noon - datetime(2027, month, 10, 12, tzinfo=UTC))
        assert off <= timedelta(hours=12, seconds=20)


def test_noon_height_is_geometry():
    """The noon sun is as far from the zenith as the place from the sun's 23.44° of latitude."""
    for place in (AMSTERDAM, NEW_YORK, SYDNEY, KATHMANDU):
        height = sun_at(place, solar_noon(place, date(2027, 6, 21))).elevation_deg
        assert height == pytest.approx(90 - abs(place.latitude_deg - 23.44), abs=0.01)


def test_kathmandu():
    """At UTC+5:45 the day of an event is the local one, and noon is near 12:15."""
    events = sun_events(KATHMANDU, date(2027, 6, 9))
    local = [when.astimezone(KATHMANDU.zone) for when in astuple(events)]
    assert {when.date() for when in local} == {date(2027, 6, 9)}
    assert local == sorted(local)
    assert (local[4].hour, local[4].minute // 10) == (12, 0)


def test_date_line():
    """Samoa left out 30 December 2011: the 29th and the 31st are one solar day apart."""
    before, after = (solar_noon(APIA, date(2011, 12, day)) for day in (29, 31))
    assert abs(after - before - timedelta(days=1)) < timedelta(minutes=1)
    assert solar_noon(APIA, date(2011, 12, 30)) in (before, after)


def test_southern_seasons():
    """In Sydney the long day is in December, and the sun rises on the date asked for."""
    lengths = []
    for on in (date(2027, 6, 21), date(2027, 12, 21)):
        events = sun_events(SYDNEY, on)
        assert events.sunrise is not None
        assert events.sunset is not None
        assert events.sunrise.astimezone(SYDNEY.zone).date() == on
        lengths.append(events.sunset - events.sunrise)
    assert lengths[0] < timedelta(hours=10) < timedelta(hours=14) < lengths[1]


@pytest.mark.parametrize("place", [AKUREYRI, FAIRBANKS])
def test_sunset_past_midnight(place):
    """In June the sun sets after midnight, on the day that it shone on, and rises soon after."""
    on = date(2027, 6, 21)
    today, tomorrow = sun_events(place, on), sun_events(place, on + timedelta(days=1))
    assert today.sunset is not None
    assert tomorrow.sunrise is not None
    assert today.sunset.astimezone(place.zone).date() == on + timedelta(days=1)
    assert timedelta(0) < tomorrow.sunrise - today.sunset < timedelta(hours=3)
    assert (today.civil_dusk, today.civil_dawn) == (None, None)


def test_first_night_after_the_midnight_sun():
    """A day may end with a sunset and have no sunrise: the sun was up when it began."""
    events = sun_events(at(66.0, 0.0, "UTC"), date(2027, 6, 30))
    assert events.sunrise is None
    assert events.sunset is not None
    assert day_kind(at(66.0, 0.0, "UTC"), date(2027, 6, 30)) is None


def test_year_of_events_in_order():
    """All year below the polar circles the events of a day stand in their order around noon."""
    for latitude_deg in (-65, 0, 45, 65):
        for day in range(0, 365, 30):
            place = at(latitude_deg, 0.0, "UTC")
            events = sun_events(place, date(2027, 1, 1) + timedelta(days=day))
            times = [time for time in astuple(events) if time is not None]
            assert times == sorted(times)
            assert events.sunrise is not None
            assert events.sunset is not None
            assert times[0] > events.solar_noon - timedelta(hours=12)
            assert times[-1] < events.solar_noon + timedelta(hours=12)


def test_crossing_lies_on_its_height():
    """The sun stands on the height asked for at each crossing, to 0.00001°."""
    start = datetime(2027, 6, 9, tzinfo=UTC)
    for height in (-12.0, -50 / 60, 0.0, 20.0, 60.0):
        found = crossings(AMSTERDAM, start, start + timedelta(days=1), height)
        assert [crossing.rising for crossing in found] == [True, False]
        for crossing in found:
            elevation = sun_at(AMSTERDAM, crossing.time).elevation_deg
            assert elevation == pytest.approx(height, abs=1e-5)


@pytest.mark.parametrize("rising_first", [True, False])
def test_graze_inside_a_minute(rising_first):
    """A sun that passes a height for seconds between two whole minutes is seen, in and out."""
    noon = solar_noon(AMSTERDAM, date(2027, 6, 9))
    turn = noon if rising_first else noon + timedelta(hours=12)
    # Start the grid so that the turn falls between two of its minutes, 25 s past one.
    start = turn - timedelta(hours=1, seconds=25)
    _, around, _ = solar_position(AMSTERDAM, turn.timestamp() + np.arange(-300.0, 301.0))
    peak = float(around.max() if rising_first else around.min())
    # About 5 s to either side of the turn the sun is this much short of it.
    height = peak - 3e-6 if rising_first else peak + 3e-6
    found = crossings(AMSTERDAM, start, start + timedelta(hours=2), height)
    assert [crossing.rising for crossing in found] == [rising_first, not rising_first]
    assert timedelta(0) < found[1].time - found[0].time < timedelta(minutes=1)
    beyond = peak + 3e-6 if rising_first else peak - 3e-6
    assert crossings(AMSTERDAM, start, start + timedelta(hours=2), beyond) == ()


def test_crossings_refuse_naive_time():
    """A time without a zone is refused, not taken for UTC."""
    end = datetime(2027, 6, 10, tzinfo=UTC)
    naive = (end - timedelta(days=1)).replace(tzinfo=None)
    with pytest.raises(ValueError, match="has no zone"):
        crossings(AMSTERDAM, naive, end, 0.0)
