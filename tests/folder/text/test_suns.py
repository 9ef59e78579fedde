"""What a shot wants of the sun, as people write it."""

from __future__ import annotations

import pytest

from sunsched.day.wish import CameraSide, SunSide
from sunsched.folder.text import suns
from sunsched.folder.text.words import WordError

LEFT, RIGHT = CameraSide


@pytest.mark.parametrize(
    ("text", "side", "camera_side"),
    [
        ("any", SunSide.ANY, None),
        ("back", SunSide.BACK, None),
        ("Back Left", SunSide.BACK, CameraSide.LEFT),
        ("3/4 back", SunSide.THREE_QUARTER_BACK, None),
        ("¾ front right", SunSide.THREE_QUARTER_FRONT, CameraSide.RIGHT),
        ("Three-Quarter Front", SunSide.THREE_QUARTER_FRONT, None),
        ("three quarter back camera left", SunSide.THREE_QUARTER_BACK, CameraSide.LEFT),
        ("side-right", SunSide.SIDE, CameraSide.RIGHT),
        ("shade", SunSide.SHADE, None),
        ("DUSK", SunSide.DUSK, None),
    ],
)
def test_sun_side_is_read_with_the_camera_side_behind_it(text, side, camera_side):
    """Three quarters may be written in figures."""
    assert suns.sun_words(text).sides == ((side, camera_side),)


@pytest.mark.parametrize(
    ("text", "side", "camera_side"),
    [
        ("backlight", SunSide.BACK, None),
        ("Backlit", SunSide.BACK, None),
        ("back-lit", SunSide.BACK, None),
        ("back light, please", SunSide.BACK, None),
        ("contre-jour", SunSide.BACK, None),
        ("Gegenlicht", SunSide.BACK, None),
        ("contraluz", SunSide.BACK, None),
        ("controluce", SunSide.BACK, None),
        ("3/4 backlight", SunSide.THREE_QUARTER_BACK, None),
        ("¾ back", SunSide.THREE_QUARTER_BACK, None),
        ("side L", SunSide.SIDE, LEFT),
        ("sidelit from camera right", SunSide.SIDE, RIGHT),
        ("Seitenlicht links", SunSide.SIDE, LEFT),
        ("L back", SunSide.BACK, LEFT),
        ("frontal", SunSide.FRONT, None),
        ("front light", SunSide.FRONT, None),
        ("open shade", SunSide.SHADE, None),
        ("blue hour", SunSide.DUSK, None),
        ("doesn't matter", SunSide.ANY, None),
        ("n/a", SunSide.ANY, None),
        ("–", SunSide.ANY, None),
        ("egal", SunSide.ANY, None),
        ("left", SunSide.ANY, LEFT),
    ],
)
def test_sun_is_read_as_people_write_it(text, side, camera_side):
    """Words of the trade in several languages; common practice, no source."""
    found = suns.sun_words(text)
    assert (found.sides, found.elevation, found.azimuth) == (((side, camera_side),), "", "")


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("side or front", ((SunSide.SIDE, None), (SunSide.FRONT, None))),
        ("side / 3/4 back", ((SunSide.SIDE, None), (SunSide.THREE_QUARTER_BACK, None))),
        ("side L or back R", ((SunSide.SIDE, LEFT), (SunSide.BACK, RIGHT))),
        ("Seite oder Gegenlicht", ((SunSide.SIDE, None), (SunSide.BACK, None))),
        ("back or backlit", ((SunSide.BACK, None),)),
        ("back or any", ((SunSide.ANY, None),)),
    ],
)
def test_several_sides_do_as_well(text, sides):
    """Each may have a camera side of its own; any makes the others needless."""
    assert suns.sun_words(text).sides == sides


@pytest.mark.parametrize(
    ("text", "side", "elevation", "azimuth"),
    [
        ("golden hour", SunSide.ANY, "golden", ""),
        ("golden hour backlight", SunSide.BACK, "golden", ""),
        ("low sun, backlit", SunSide.BACK, "low", ""),
        ("sunset", SunSide.ANY, "golden", "180..360"),
        ("late afternoon", SunSide.ANY, "low", "180..360"),
        ("morning side light", SunSide.SIDE, "", "0..180"),
        ("dawn", SunSide.ANY, "-6..-0.833", "0..180"),
        ("direct sun", SunSide.ANY, ">0", ""),
    ],
)
def test_words_of_the_hours_are_heights_and_halves_of_the_sky(text, side, elevation, azimuth):
    """The morning's sun stands in the east half, the evening's in the west half."""
    found = suns.sun_words(text)
    assert found.sides[0][0] is side
    assert (found.elevation, found.azimuth) == (elevation, azimuth)


@pytest.mark.parametrize(
    ("text", "problem", "hint"),
    [
        ("moonlight", "not a sun side", ""),
        ("back front", "not a sun side", ""),
        ("3/4", "three-quarter of what", "write `3/4 back` or `3/4 front`"),
        ("shade or backlit", "shade beside another side", "write `shade`, or `back`: the one"),
        ("side left or dusk or front", "dusk beside", "write `dusk`, or `side left or front`:"),
        ("golden or high", "two heights of the sun", "write one of them"),
    ],
)
def test_what_is_unclear_is_refused(text, problem, hint):
    """With what to write instead."""
    with pytest.raises(WordError, match=problem) as refused:
        suns.sun_words(text)
    assert refused.value.hint.startswith(hint)


@pytest.mark.parametrize(
    ("text", "side", "elevation", "azimuth"),
    [
        ("sun behind them", "back", "", ""),
        ("Sonne hinter ihm, tief", "back", "low", ""),
        ("soleil derrière eux", "back", "", ""),
        ("last light", "any", "low", "180..360"),
        ("first light", "any", "low", "0..180"),
        ("Abendlicht", "any", "low", "180..360"),
        ("soleil de face, bas", "front", "low", ""),
        ("soleil", "any", ">0", ""),
        ("direct sun, side", "side", ">0", ""),
        ("¾ contre", "three-quarter back", "", ""),
    ],
)
def test_the_sun_beside_other_words_says_no_more(text, side, elevation, azimuth):
    """Alone it asks for direct sun; beside a side or a height it only names what is meant."""
    found = suns.sun_words(text)
    assert (found.sides[0][0], found.elevation, found.azimuth) == (side, elevation, azimuth)
