"""Walls, roofs, notes and times of the sun as one types them."""

from __future__ import annotations

import math
from datetime import date, time

import pytest

from sunsched.day.skyline import Corner, Level, Sighting
from sunsched.folder.skyline.lengths import length_m
from sunsched.folder.skyline.phrases import notes, roof, sun_time, wall
from sunsched.folder.text.words import WordError


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("12 m", 12),
        ("12m", 12),
        ("12,5 metres", 12.5),
        ("40 ft", 12.192),
        ("40'", 12.192),
        ("5'6\"", 1.6764),
        ("6 ft 6 in", 1.9812),
        ("0.3 km", 300),
        ("4 floors", 12),
        ("2 yd.", 1.8288),
    ],
)
def test_lengths_with_their_units(text, metres):
    """A foot is 0.3048 m exactly (international yard and pound agreement, 1959)."""
    assert length_m(text) == pytest.approx(metres, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "problem", "hint"),
    [
        ("12", "a length without its unit", "write `12 m` if it is in metres"),
        ("12 mtrs", "a unit that is not known: mtrs", "did you mean `metres`?"),
        ("12 parsecs", "a unit that is not known: parsecs", ""),
        ("tall", "not a length", ""),
        ("-3 m", "out of range", ""),
    ],
)
def test_lengths_that_are_none(text, problem, hint):
    """Each says what to type instead."""
    with pytest.raises(WordError) as raised:
        length_m(text)
    assert (raised.value.problem, raised.value.hint) == (problem, hint)
    assert length_m("12", plain_unit="m") == 12


def corners(text, turn_deg=0.0):
    """Give the corners of a wall, rounded."""
    return [
        (round(one.azimuth_deg, 2), one.distance_m and round(one.distance_m, 2), one.height_m)
        for one in wall(text, turn_deg).corners
    ]


def test_a_wall_is_nearest_in_its_middle_or_where_it_is_said():
    """Its ends are farther by the cosine of their angle from there."""
    side = 20 / math.cos(math.radians(25))
    expected = [(80, round(side, 2), 12), (130, round(side, 2), 12)]
    assert corners("from 80 to 130, 20 m away, 12 m high") == expected
    assert corners("80 to 130; 12 m tall; 20 m off") == expected
    for text in (  # commas are left out
        "from 80 to 130 20 m away 12 m high",
        "from 80 to 130, 12 m high 20 m away",
        "20 m away at 105 12 m high, 80 to 130",
    ):
        assert corners(text) == expected
    assert corners("from 80 to 130, 20 m away at 80, 12 m high")[0] == (80, 20, 12)
    assert [one[0] for one in corners("from NW to NE, 8 m away, 3 m high", 5)] == [320, 50]


def test_a_wall_by_its_corners_and_by_angles():
    """Each corner has its distance and may have its own height, or an angle alone."""
    assert corners("80 at 25 m, 130 at 31 m, 150 at 40 m, 12,5 m high") == [
        (80, 25, 12.5),
        (130, 31, 12.5),
        (150, 40, 12.5),
    ]
    assert corners("corners 80 at 25 m 12 m high, 130: 31 m 9 m high") == [
        (80, 25, 12),
        (130, 31, 9),
    ]
    assert wall("80 at 25°, 130:31 deg").corners == (
        Corner(azimuth_deg=80, elevation_deg=25),
        Corner(azimuth_deg=130, elevation_deg=31),
    )
    ends = wall("from 60 to 120, 31° high").corners
    up = math.degrees(math.atan(math.tan(math.radians(31)) * math.cos(math.radians(30))))
    assert [one.elevation_deg for one in ends] == pytest.approx([up, up])


WALLS = [
    (
        "from 80 to 270, 20 m away, 12 m high",
        "a straight wall that goes behind the subject: from 80 to 270 clockwise is 190°",
        "clockwise `from 270 to 80` is 170° wide; else give it as two walls",
    ),
    (
        "from 10 to 189, 20 m away, 12 m high",
        "a straight wall that goes behind the subject: from 10 to 189 clockwise is 179°",
        "give it as two walls",
    ),
    ("from 80 to 80, 20 m away, 12 m high", "a wall of no width, seen end on", ""),
    ("from 80 to 130, 0 m away, 12 m high", "no distance", ""),
    (
        "from 80 to 130, 20 m away, 12 high",
        "a length without its unit",
        "write `12 m` if it is in metres",
    ),
    ("from 80 to 130, 20 m away", "a wall without its height", ""),
    ("from 80 to 130, 12 m high", "a wall without its distance", ""),
    ("80 at 25 m, 130 at 31 m", "a wall without its height", ""),
    ("80 at 25 m, 12 m high", "a wall of one corner", ""),
    ("20 m away, 12 m high", "not a wall", ""),
    ("from 80 to 130, 20 m away at 260, 12 m high", None, ""),
    (
        "from 80 to 130, 20 m away, 3 m to 5 m high",
        "a wall from one height to another",
        "tell a slab with `--roof`",
    ),
    ("from 80 to 130, near, 12 m high", "not understood: near", ""),
    (
        "from 80 to 130, 20 m, 12 m",
        "not understood: 20 m",
        "say of each length whether it is `away` or `high`",
    ),
    ("from 80 to 400, 20 m away, 12 m high", "not a bearing", ""),
]


@pytest.mark.parametrize(("text", "problem", "hint"), WALLS)
def test_walls_that_are_none(text, problem, hint):
    """Each says in a line what is wrong, and nothing is guessed."""
    with pytest.raises(WordError) as raised:
        wall(text)
    assert problem is None or (raised.value.problem, raised.value.hint) == (problem, hint)


def test_a_roof_has_two_distances_and_two_heights():
    """A unit said once is that of both; nought is overhead."""
    slab = roof("from 80 to 130, 4 to 10 m away, 3 to 5 m high", 10)
    assert [round(one.azimuth_deg) for one in slab.corners] == [90, 140, 140, 90]
    assert [round(one.distance_m or 0, 2) for one in slab.corners] == [4.41, 4.41, 11.03, 11.03]
    assert (slab.low_m, slab.high_m) == (3, 5)
    assert roof("300 to 60, 0 m to 6 m away, 3 m to 3.2 m high").corners[0].distance_m == 0
    second = "a roof without a second"
    for text, problem in (
        ("from 80 to 130, 12 m high", "not a roof"),
        ("from 80 to 130, 4 m away, 3 m to 5 m high", f"{second} distance, of its near edge"),
        ("from 80 to 130, 4 m to 9 m away, 3 m high", f"{second} height, of its underside"),
        ("from 80 to 130, 10 m to 4 m away, 3 m to 5 m high", "a roof that ends before it begins"),
        ("from 80 to 130, 4 m to 4 m away, 3 m to 5 m high", "a roof that ends before it begins"),
        ("from 80 to 130, 4 m to 9 m away, 5 m to 5 m high", "a roof that ends before it begins"),
    ):
        with pytest.raises(WordError) as raised:
            roof(text)
        assert raised.value.problem == problem


def test_a_clinometers_notes():
    """Pairs of bearing and angle, in any gap; two dots are level between."""
    found = notes("100:15, 120 : 18,5; E=9 200..260:15°", 10)
    assert [
        one.azimuth_deg if isinstance(one, Sighting) else one.azimuths_deg for one in found
    ] == [110, 130, 100, (210, 270)]
    assert [one.elevation_deg for one in found] == [15, 18.5, 9, 15]
    assert isinstance(found[-1], Level)
    for text in ("100 15", "100:95", "", "100:"):
        with pytest.raises(WordError):
            notes(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("cleared ridge at 09:40 on 2026-11-02", (date(2026, 11, 2), time(9, 40), True, False)),
        ("met the ridge at 16:10 on 2026-11-02", (date(2026, 11, 2), time(16, 10), False, False)),
        ("on 2026-11-02 the sun rose at 9:40 am", (date(2026, 11, 2), time(9, 40), True, False)),
        ("went behind the roof at 4:10 pm", (None, time(16, 10), False, False)),
        ("cleared whole at 09:43", (None, time(9, 43), True, True)),
    ],
)
def test_times_of_the_sun(text, expected):
    """What it did, when and on which date, in any order: did it come, and did it as a whole."""
    found = sun_time(text)
    assert (found.on, found.at, found.comes, found.is_whole) == expected


@pytest.mark.parametrize(
    ("text", "problem", "hint"),
    [
        ("cleard ridge at 09:40", "not what the sun did", "did you mean `cleared`?"),
        ("cleared ridge 09:40", "a sun without its time", ""),
        ("cleared ridge at 25:40", "not a clock time", ""),
        ("cleared ridge at 09:40 on 2026-02-30", "not a date", ""),
    ],
)
def test_times_that_are_none(text, problem, hint):
    """Each is told with what was expected."""
    with pytest.raises(WordError) as raised:
        sun_time(text)
    assert (raised.value.problem, raised.value.hint) == (problem, hint)
