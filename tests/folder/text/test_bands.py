"""Bearings and bands as people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sunsched.folder.text import bands
from sunsched.folder.text.words import WordError


@pytest.mark.parametrize(
    ("text", "degrees"),
    [("N", 0), ("nne", 22.5), ("E", 90), ("SSW", 202.5), ("W", 270), ("NNW", 337.5)],
)
def test_compass_points_are_sixteenths_of_the_circle(text, degrees):
    """Clockwise from north, 22.5° apart."""
    assert bands.bearing(text) == degrees


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("looking W", 270),
        ("facing north-west", 315),
        ("to the south", 180),
        ("270° (W)", 270),
        ("90 deg", 90),
        ("Nordost", 45),
        ("Süd", 180),
        ("ouest", 270),
        ("sud-ouest", 225),
        ("noreste", 45),
        ("sudeste", 135),
        ("ovest", 270),
        ("leste", 90),
    ],
)
def test_bearing_is_read_in_words(text, degrees):
    """In several languages, with what people write before and behind it."""
    assert bands.bearing(text) == degrees


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("NO", "`O` is east in German, west in French, Italian or Spanish: write E or W"),
        ("90° W", "write `90` or `W` alone"),
        ("the harbour", ""),
    ],
)
def test_bearing_that_is_unclear_is_refused(text, hint):
    """A letter that means two points is not guessed at."""
    with pytest.raises(WordError) as refused:
        bands.bearing(text)
    assert refused.value.hint == hint


@pytest.mark.parametrize(("text", "degrees"), [("0", 0), ("360", 0), ("359,5", 359.5), ("12°", 12)])
def test_bearing_in_degrees_ends_where_it_starts(text, degrees):
    """360 is 0."""
    assert bands.bearing(text) == degrees


@pytest.mark.parametrize(
    ("text", "band"),
    [
        ("5..20", (5, 20)),
        ("-6 .. -0,833", (-6, -0.833)),
        (">30", (30, 90)),
        ("≥ 30", (30, 90)),
        (">=30", (30, 90)),
        ("<10", (-50 / 60, 10)),
        ("<-4", (-90, -4)),
        ("low", (0, 20)),
        ("High", (45, 90)),
        ("golden", (-0.833, 6)),
        ("dusk", (-6, -0.833)),
    ],
)
def test_elevation_band_is_read_in_every_spelling(text, band):
    """A band below a height starts at the lowest sun that is up, unless it ends below it."""
    assert bands.elevation_band(text) == band


def test_band_below_a_height_reaches_down_for_dusk():
    """A dusk shot is made after the sun has set."""
    assert bands.elevation_band("<2", below_horizon=True) == (-90, 2)


def test_words_of_the_folder_are_used():
    """`[words]` in day.toml changes what `golden` means."""
    assert bands.elevation_band("golden", {"golden": (1, 2)}) == (1, 2)


@pytest.mark.parametrize(
    ("text", "band"),
    [("240..300", (240, 300)), ("340..20", (340, 20)), ("SW..W", (225, 270)), ("N .. 10", (0, 10))],
)
def test_azimuth_band_runs_clockwise(text, band):
    """It may run through north."""
    assert bands.azimuth_band(text) == band


@given(low=st.floats(-90, 90), high=st.floats(-90, 90))
def test_elevation_band_never_stands_on_its_head(low, high):
    """Two ends in the wrong order are a fault, never a band."""
    text = f"{low:.3f}..{high:.3f}"
    if round(low, 3) <= round(high, 3):
        assert bands.elevation_band(text) == (round(low, 3), round(high, 3))
    else:
        with pytest.raises(WordError, match="low end"):
            bands.elevation_band(text)


@pytest.mark.parametrize(
    ("text", "bearing_deg"), [("N-W", 315), ("n/w", 315), ("S-S-W", 202.5), ("N W", None)]
)
def test_letters_of_a_point_may_stand_apart(text, bearing_deg):
    """With a line between them; two words are two points."""
    if bearing_deg is None:
        with pytest.raises(WordError):
            bands.bearing(text)
    else:
        assert bands.bearing(text) == bearing_deg
