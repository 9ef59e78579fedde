"""astral's opinion and the moon."""

from datetime import date

import pytest

from sunsched.day.model import Place
from sunsched.sky.opinion import moon_phase, second_opinion


def at(latitude_deg, longitude_deg, timezone):
    """Make a place on a high plateau, whose height must not lower its horizon."""
    return Place(
        name="",
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=2000.0,
        timezone=timezone,
    )


@pytest.mark.parametrize(
    "place",
    [
        at(51.5, 0, "Europe/London"),
        at(-36.85, 174.76, "Pacific/Auckland"),
        at(27.7, 85.3, "Asia/Kathmandu"),
        at(1.87, -157.4, "Pacific/Kiritimati"),
        at(34.05, -118.24, "America/Los_Angeles"),
    ],
)
@pytest.mark.parametrize("on", [date(2027, 6, 21), date(2027, 3, 21), date(2027, 12, 21)])
def test_second_opinion_agrees(place, on):
    """Below 60° astral's events are ours to half a minute and its noon sun to 0.05°."""
    opinion = second_opinion(place, on)
    assert [event.name for event in opinion.events] == ["sunrise", "solar noon", "sunset"]
    for event in opinion.events:
        assert event.difference_s is not None
        assert abs(event.difference_s) < 30
    assert opinion.apart_deg < 0.05


@pytest.mark.parametrize("on", [date(2027, 6, 21), date(2027, 12, 21)])
def test_second_opinion_in_polar_seasons(on):
    """Where the sun does not rise or set both say so, and noon is still compared."""
    sunrise, noon, sunset = second_opinion(at(69.65, 18.96, "Europe/Oslo"), on).events
    assert (sunrise.ours, sunrise.theirs, sunset.ours, sunset.theirs) == (None,) * 4
    assert sunrise.difference_s is None
    assert noon.difference_s is not None
    assert abs(noon.difference_s) < 30


def test_second_opinion_past_midnight():
    """A sunset after midnight is compared with astral's of the same night."""
    *_, sunset = second_opinion(at(64.13, -21.93, "Atlantic/Reykjavik"), date(2027, 6, 21)).events
    assert sunset.ours is not None
    assert sunset.ours.date() == date(2027, 6, 22)
    assert sunset.difference_s is not None
    assert abs(sunset.difference_s) < 120


@pytest.mark.parametrize(
    ("on", "name"),
    [
        # Eclipses fix the phase of the moon: total solar 8 April 2024 and 12 August 2026, lunar
        # 14 March 2025 and 7 September 2025 (from memory).
        (date(2024, 4, 8), "new moon"),
        (date(2026, 8, 12), "new moon"),
        (date(2025, 3, 14), "full moon"),
        (date(2025, 9, 7), "full moon"),
    ],
)
def test_moon_at_eclipses(on, name):
    """At an eclipse of the sun the moon is new and dark, at one of the moon full and lit."""
    phase = moon_phase(on)
    assert phase.name == name
    assert phase.illumination == pytest.approx(1.0 if name == "full moon" else 0.0, abs=0.03)


def test_moon_names_in_order():
    """A month after an eclipse of the sun goes through the eight phases in their order."""
    names = [moon_phase(date(2026, 8, 12 + day)).name for day in range(19)]
    names += [moon_phase(date(2026, 9, day)).name for day in range(1, 11)]
    assert list(dict.fromkeys(names)) == [
        "new moon",
        "waxing crescent",
        "first quarter",
        "waxing gibbous",
        "full moon",
        "waning gibbous",
        "last quarter",
        "waning crescent",
    ]
    assert moon_phase(date(2026, 8, 20)).illumination == pytest.approx(0.5, abs=0.15)
