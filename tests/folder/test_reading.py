"""What a well-formed day folder becomes: facts in UTC, defaults filled in, warnings told."""

from __future__ import annotations

import datetime as dt
from datetime import UTC, datetime, timedelta

import pytest

from sunsched.day.costs import Costs
from sunsched.day.kit.frame import Rig
from sunsched.day.model import DEFAULT_SIZES, Changeover, MatchBy, Move, SecondMeal, Size
from sunsched.day.skyline import Subject
from sunsched.day.wish import CameraSide, SunSide, Wish
from sunsched.errors import FolderError, lines_text
from sunsched.folder.read import read_day, read_folder

HEADER = "id,description,size,look,shoot_min"

FULL_DAY = """\
title = "Two mills"
date = 2027-06-09

[place]
name = "Salinas"
latitude_deg = 36.2
longitude_deg = -5.9
elevation_m = 4
timezone = "Europe/Madrid"

[hours]
crew_call = "06:00"
first_roll = "06:45"
wrap = "19:00"
hard_wrap = "19:30"

[meal]
latest_after_call_min = 300
length_min = 45
earliest = 10:30:00
second = "note"

[[spot]]
name = "pans"
open = ["05:00-11:30", "11:00-13:00", "15:00-18:00"]

[[spot]]
name = "Old mill"

[[move]]
between = ["old mill", "pans"]
minutes = 25

[[cast]]
name = "Ana"
here = "08:00-15:00"

[[rig]]
name = "TENT"
overhead = true

[match.Walk]
by = "lens"

[size.close-up]
weight = 4
control = 0.5
flat = 0

[costs]
move = 0
wait = 0

[changeover]
move_min = 15

[words]
golden = "0..8"
"""
FULL_SHOTS = """\
id,scene,description,size,spot,look,sun,sun_from,elevation,azimuth,give_deg,setup_min,adjust_min,shoot_min,rig,match,weight,hold,after,cast,pin,lens_mm,control
10,1,Ana goes,CU,OLD MILL,NNW,3/4 back left,,golden,240..300,10,6,,20,Tent,walk,,x,2 7a,ana,7:15,85,
7A,1,The pans,Wide shot,pans,90,side,,,,,,,30,,,,,,,,,"0,3"
2,2,The wheel,ms,old-mill,12.5,dusk,right,,,,30,12,25,tent,Walk,2.5,no,,,,,
"""


def at(hour: int, minute: int = 0) -> datetime:
    """Give a moment of 9 June 2027 by the clock in Madrid, two hours ahead of UTC."""
    return datetime(2027, 6, 9, tzinfo=UTC) + timedelta(hours=hour - 2, minutes=minute)


def test_everything_written_is_read(make_folder, warnings_of):
    """One folder with every key, each checked."""
    folder = make_folder(FULL_DAY, FULL_SHOTS)
    day = read_day(folder)
    assert (day.title, day.date) == ("Two mills", dt.date(2027, 6, 9))
    assert (day.place.name, day.place.latitude_deg, day.place.longitude_deg) == (
        "Salinas",
        36.2,
        -5.9,
    )
    assert (day.place.elevation_m, day.place.timezone) == (4, "Europe/Madrid")
    hours = day.hours
    assert (hours.crew_call, hours.first_roll) == (at(6), at(6, 45))
    assert (hours.wrap, hours.hard_wrap) == (at(19), at(19, 30))
    assert (day.meal.earliest, day.meal.latest) == (at(10, 30), at(11))
    assert day.meal.length_min == 45
    assert [spot.name for spot in day.spots] == ["pans", "Old mill"]
    assert [(span.start, span.end) for span in day.spots[0].open] == [
        (at(5), at(13)),
        (at(15), at(18)),
    ]
    assert day.moves == (Move(between=("Old mill", "pans"), minutes=25),)
    assert [(span.start, span.end) for span in day.cast[0].here] == [(at(8), at(15))]
    assert day.meal.second is SecondMeal.NOTE
    close_up = day.sizes[Size.CLOSE_UP]
    assert (close_up.weight, close_up.control, close_up.flat) == (4, 0.5, 0)
    assert day.sizes[Size.CLOSE_UP].setup_min == DEFAULT_SIZES[Size.CLOSE_UP].setup_min
    assert day.rigs == (Rig(name="Tent", overhead=True),)
    assert day.matches == {"walk": MatchBy.LENS}
    assert day.costs == Costs(move=0, wait=0)
    assert day.changeover == Changeover(move_min=15)
    assert warnings_of(folder) == []


def test_every_column_is_read(make_folder):
    """A row with every cell filled gives every fact of its shot."""
    shot = read_day(make_folder(FULL_DAY, FULL_SHOTS)).shot("10")
    assert (shot.scene, shot.description, shot.size) == ("1", "Ana goes", Size.CLOSE_UP)
    assert (shot.spot, shot.look_deg) == ("Old mill", 337.5)
    assert (shot.wish.side, shot.wish.camera_side) == (
        SunSide.THREE_QUARTER_BACK,
        CameraSide.LEFT,
    )
    assert shot.wish.give_deg == 10
    azimuth, elevation = shot.wish.azimuth, shot.wish.elevation
    assert azimuth is not None
    assert elevation is not None
    assert (azimuth.low_deg, azimuth.high_deg, azimuth.give_deg) == (240, 300, 10)
    assert (elevation.low_deg, elevation.high_deg, elevation.give_deg) == (0, 8, 5)
    assert (shot.setup_min, shot.adjust_min, shot.shoot_min) == (6, 5, 20)
    assert (shot.weight, shot.hold, shot.after) == (4, True, ("2", "7A"))
    assert (shot.cast, shot.pin, shot.lens_mm) == (("Ana",), at(7, 15), 85)
    assert shot.control is None


def test_control_is_a_share_for_one_shot(make_folder):
    """Blank is the size's; a decimal comma is as good as a point."""
    day = read_day(make_folder(FULL_DAY, FULL_SHOTS))
    assert [shot.control for shot in day.shots] == [None, 0.3, None]
    assert [day.control(day.shot(name)) for name in ("7A", "2", "10")] == [0.3, 0.4, 0]


def test_shots_stand_in_the_natural_order_of_their_ids(make_folder):
    """The order of the rows must not change the plan."""
    day = read_day(make_folder(FULL_DAY, FULL_SHOTS))
    assert [shot.id for shot in day.shots] == ["2", "7A", "10"]


def test_rigs_and_matches_have_one_spelling(make_folder):
    """`Tent` and `tent` are one rig: the first spelling holds."""
    day = read_day(make_folder(FULL_DAY, FULL_SHOTS))
    assert [(day.shot(name).rig, day.shot(name).match) for name in ("2", "10")] == [
        ("Tent", "walk"),
        ("Tent", "walk"),
    ]


def test_dusk_comes_with_the_band_of_the_word(make_folder):
    """A dusk shot without a band of its own takes that of `[words]`."""
    wish = read_day(make_folder(FULL_DAY, FULL_SHOTS)).shot("2").wish
    assert (wish.side, wish.camera_side) == (SunSide.DUSK, CameraSide.RIGHT)
    assert wish.elevation is not None
    assert (wish.elevation.low_deg, wish.elevation.high_deg) == (-6, -0.833)


def test_smallest_day_has_its_defaults(make_folder):
    """What is not written is as the README says."""
    day = read_day(make_folder())
    assert day.hours.first_roll == day.hours.crew_call
    assert day.hours.hard_wrap == day.hours.wrap
    assert (day.meal.earliest, day.meal.latest, day.meal.length_min) == (at(11), at(12), 60)
    assert day.meal.second is SecondMeal.LINE
    assert (day.rigs, day.matches, day.declination_deg) == ((), {}, None)
    assert [spot.name for spot in day.spots] == ["Salt pans"]
    assert (day.spots[0].open, day.spots[0].horizon) == ((), ())
    assert (day.sizes, day.costs, day.changeover) == (DEFAULT_SIZES, Costs(), Changeover())
    shot = day.shots[0]
    assert shot.wish == Wish()
    assert (shot.weight, shot.setup_min, shot.adjust_min) == (5, 25, 15)
    assert (shot.spot, shot.hold, shot.pin, shot.cast) == ("Salt pans", False, None, ())
    assert shot.control is None


def test_folder_may_be_named_by_a_text(make_folder):
    """Notebooks write paths as texts."""
    folder = make_folder()
    assert read_day(str(folder)) == read_day(folder)
    assert read_folder(str(folder)) == read_folder(folder)


def test_blank_give_leaves_a_side_its_own_and_a_band_twenty(make_folder):
    """A side gives more toward the back than toward the front; an azimuth band gives 20°."""
    rows = "1,Wide,wide,N,30,back,240..300,\n2,Wide,wide,N,30,back,240..300,8\n"
    shots = read_day(make_folder(shots=f"{HEADER},sun,azimuth,give_deg\n{rows}")).shots
    gives = [
        (shot.wish.give_deg, shot.wish.azimuth and shot.wish.azimuth.give_deg) for shot in shots
    ]
    assert gives == [(None, 20), (8, 8)]


@pytest.mark.parametrize(
    "changes",
    [
        {"36.2": "43.4", "-5.9": "-8.4"},  # west of Spain, noon at 14:34
        {"36.2": "39.5", "-5.9": "76", "Europe/Madrid": "Asia/Shanghai"},  # noon at 14:56
        {"36.2": "36.0", "-5.9": "-13.0", "Europe/Madrid": "Europe/Lisbon"},  # at sea
        {"36.2": "48.9", "-5.9": "2.3"},  # the clock of France is that of Spain
    ],
)
def test_a_late_noon_is_no_slip_where_the_zone_is_right(
    changes, minimal_day, make_folder, warnings_of
):
    """Where the boundaries have the zone, or its clock, noon may come as late as it does."""
    for old, new in changes.items():
        minimal_day = minimal_day.replace(old, new)
    assert warnings_of(make_folder(minimal_day)) == []


def test_declination_is_computed(minimal_day, make_folder, warnings_of):
    """Magnetic bearings need no declination; one of the wrong sign is told."""
    magnetic = minimal_day.replace("\n[place]", 'bearings = "magnetic"\n\n[place]')
    folder = make_folder(magnetic)
    day = read_day(folder)
    assert day.declination_deg is not None
    assert abs(day.declination_deg) < 2
    assert day.shots[0].look_deg == pytest.approx(day.declination_deg % 360)
    assert warnings_of(folder) == []
    west = magnetic.replace("36.2", "34.0").replace("-5.9", "-118.0")
    west = west.replace("Europe/Madrid", "America/Los_Angeles")
    west = west.replace('"magnetic"\n', '"magnetic"\ndeclination_deg = -11\n')
    (folder / "day.toml").write_text(west, encoding="utf-8")
    (warning,) = warnings_of(folder)
    assert "did you mean `11`?" in warning


def test_declination_is_kept_where_bearings_are_magnetic(minimal_day, make_folder):
    """Zero too, as the bearings were read off a compass all the same."""
    magnetic = 'bearings = "magnetic"\ndeclination_deg = 0\n\n[place]'
    assert read_day(make_folder(minimal_day.replace("\n[place]", magnetic))).declination_deg == 0


def test_place_is_named_after_the_title_when_it_has_no_name(minimal_day, make_folder):
    """A spot needs a name even when nobody gave one."""
    day = read_day(make_folder(minimal_day.replace('name = "Salt pans"\n', "")))
    assert (day.place.name, day.spots[0].name) == ("Salt pans", "Salt pans")


@pytest.mark.parametrize(
    ("wrap", "keys", "earliest", "latest"),
    [
        pytest.param("14:00", "", at(9), at(12), id="short day: three hours after the call"),
        pytest.param("17:20", "", at(10, 20), at(12), id="no second meal due before wrap"),
        pytest.param("17:20", "length_min = 45", at(10, 35), at(12), id="shorter meal later"),
        pytest.param("19:00", "", at(11), at(12), id="an hour before the latest start"),
        pytest.param(
            "17:20", "latest_after_call_min = 300", at(10), at(11), id="both spans move together"
        ),
        pytest.param("19:00", "latest_after_call_min = 120", at(7), at(8), id="early latest"),
        pytest.param(
            "19:00", "latest_after_call_min = 40", at(6), at(6, 40), id="never before call"
        ),
        pytest.param("19:00", 'earliest = "06:30"', at(6, 30), at(12), id="as it is written"),
    ],
)
def test_earliest_meal(wrap, keys, earliest, latest, minimal_day, make_folder):
    """Lunch waits so that a second meal is not due before wrap, but leaves an hour to begin in."""
    day = minimal_day.replace("19:00", wrap)
    meal = read_day(make_folder(f"{day}[meal]\n{keys}\n")).meal
    assert (meal.earliest, meal.latest) == (earliest, latest)


def test_meal_waits_over_a_change_of_the_clocks(minimal_day, make_folder):
    """Hours are hours that pass: on this night the clocks are put back from 03:00 to 02:00."""
    day = minimal_day.replace("2027-06-09", "2027-10-30")
    day = day.replace("06:00", "22:00").replace("19:00", "08:00")
    read = read_day(make_folder(day))
    call = datetime(2027, 10, 30, 20, tzinfo=UTC)
    assert read.hours.wrap - call == timedelta(hours=11)
    assert read.meal.earliest - call == timedelta(hours=4)


def test_cast_without_tables_is_everyone_in_the_list(make_folder):
    """Without `[[cast]]` any name goes, all day long."""
    day = read_day(make_folder(shots=f"{HEADER},cast\n1,Wide,wide,N,30,Bo + Ana; Bo\n"))
    assert day.shots[0].cast == ("Bo", "Ana")
    assert [(member.name, member.here) for member in day.cast] == [("Ana", ()), ("Bo", ())]


def test_short_setup_shortens_the_adjust_that_goes_with_it(make_folder, warnings_of):
    """Adjusting never takes longer than building, unless somebody writes so."""
    folder = make_folder(
        shots=f"{HEADER},setup_min,adjust_min\n1,Wide,wide,N,30,4,\n2,Wide,wide,N,30,4,9\n"
    )
    assert [shot.adjust_min for shot in read_day(folder).shots] == [4, 9]
    assert warnings_of(folder) == [
        "shots.csv:3, adjust_min: longer than the setup of 4 minutes: `9`"
    ]


def test_times_before_the_call_are_the_next_day(minimal_day, make_folder):
    """A night: call at 18:00, wrap at 04:00, a pin after midnight."""
    day = read_day(
        make_folder(
            minimal_day.replace("06:00", "18:00").replace("19:00", "04:00"),
            f"{HEADER},pin\n1,Wide,wide,N,30,02:00\n",
        )
    )
    assert day.hours.wrap == at(28)
    assert day.shots[0].pin == at(26)


@pytest.mark.parametrize(
    ("changes", "warning"),
    [
        pytest.param(
            {"\n[place]": "declination_deg = 2\n\n[place]"},
            "day.toml:3, declination_deg: not used, as bearings are true: `2`\n"
            '  hint: write `bearings = "magnetic"` if they were read off a compass',
            id="declination of true bearings",
        ),
        pytest.param(
            {"2027-06-09": "2027-10-31", "06:00": "02:30"},
            "day.toml:11, hours.crew_call: a time that comes twice on 2027-10-31 in "
            "Europe/Madrid: `02:30`\n"
            "  hint: the clocks are put back over it; the first of the two is meant",
            id="time that comes twice",
        ),
        pytest.param(
            {"": '[[spot]]\nname = "mill"\nopen = ["07:00-09:00", "20:00-22:00"]\n'},
            "day.toml:15, spot.open: outside the working day: `20:00-22:00` (expected a span "
            "that touches the hours from crew call to hard wrap)",
            id="one span outside the day",
        ),
    ],
)
def test_odd_settings_are_told_and_read(changes, warning, minimal_day, make_folder, warnings_of):
    """What may be meant is a warning, and the day can be planned."""
    day = minimal_day
    for old, new in changes.items():
        day = day.replace(old, new, 1) if old else day + new
    assert warnings_of(make_folder(day)) == [warning]


@pytest.mark.parametrize(
    ("cells", "warning"),
    [
        pytest.param(
            {"hold": "yes"},
            "shots.csv:2, hold: a hold that asks nothing of the sun",
            id="hold",
        ),
        pytest.param(
            {"give_deg": "10", "elevation": ">20"},
            "shots.csv:2, give_deg: not used: `10`\n  hint: the give is that of the sun side or "
            "the azimuth band; this shot has neither",
            id="give",
        ),
        pytest.param(
            {"control": "0.5", "hold": "yes", "sun": "back"},
            "shots.csv:2, control: not used: `0.5`\n"
            "  hint: a hold waits for its sun, and no frame makes up for it",
            id="control of a hold",
        ),
        pytest.param(
            {"control": "0", "sun": "dusk"},
            "shots.csv:2, control: not used: `0`\n"
            "  hint: this is a shot of dusk or dawn, and no frame makes up for it",
            id="control at dusk",
        ),
        pytest.param(
            {"control": "1", "elevation": "-12..-4"},
            "shots.csv:2, control: not used: `1`\n"
            "  hint: this is a shot of dusk or dawn, and no frame makes up for it",
            id="control below the horizon",
        ),
        pytest.param(
            {"control": "0.5", "sun": "any"},
            "shots.csv:2, control: not used: `0.5`\n"
            "  hint: this shot asks nothing of the sun, so there is no loss to make up for",
            id="control of a shot in any light",
        ),
        pytest.param(
            {"match": "walk"},
            "shots.csv:2, match: a match of one shot: `walk`",
            id="match of one",
        ),
    ],
)
def test_odd_cells_are_told_and_read(cells, warning, make_folder, warnings_of):
    """A row may ask for something without effect."""
    row = {"id": "1", "description": "Wide", "size": "wide", "look": "N", "shoot_min": "30"}
    row |= cells
    assert warnings_of(make_folder(shots=f"{','.join(row)}\n{','.join(row.values())}\n")) == [
        warning
    ]


def test_slip_in_a_match_names_the_near_one(make_folder, warnings_of):
    """Three shots cut together, one of them misspelled."""
    rows = "".join(f"{n},W,wide,N,30,{m}\n" for n, m in enumerate(["walk", "walk", "wlak"], 1))
    assert warnings_of(make_folder(shots=f"{HEADER},match\n{rows}")) == [
        ("shots.csv:4, match: a match of one shot: `wlak`\n  hint: did you mean `walk`?")
    ]


def test_all_faults_come_at_once_in_the_order_of_the_files(minimal_day, make_folder, faults):
    """One reading tells everything: settings, list, horizon and sky."""
    found = faults(
        make_folder(
            minimal_day.replace("36.2", "95").replace("19:00", "soon"),
            f"{HEADER},spot\n1,Wide,wied,N,0,Salt pan\n1,,wide,400,30,Salt pans\n",
            sky_csv="hour,cloud_cover\n6,7\n",
            horizon_salt_pans_csv="azimuth_deg,elevation_deg\n0,99\n",
        )
    )
    assert [one.split(": ")[0] for one in found] == [
        "day.toml:6, place.latitude_deg",
        "day.toml:12, hours.wrap",
        "shots.csv:2, size",
        "shots.csv:2, shoot_min",
        "shots.csv:2, spot",
        "shots.csv:3, id",
        "shots.csv:3, look",
        "shots.csv:3, description",
        "horizon-salt-pans.csv:2, elevation_deg",
        "sky.csv:2, cloud_cover",
    ]


def test_reading_twice_gives_the_same(make_folder):
    """Nothing depends on the clock or on chance."""
    folder = make_folder(FULL_DAY, FULL_SHOTS)
    assert read_folder(folder) == read_folder(folder)


def test_a_spot_may_say_where_it_is_and_where_its_subject_stands(
    minimal_day, make_folder, warnings_of
):
    """The subject's bearing turns with the folder's; what is not said is the usual."""
    day = 'bearings = "magnetic"\ndeclination_deg = 10\n' + minimal_day
    day += '[camera]\nsensor_width_mm = 36\n[[spot]]\nname = "mill"\nlatitude_deg = 36.21\n'
    day += "longitude_deg = -7.1\nsubject_distance_m = 8\nsubject_bearing = 355\n"
    day += '[[spot]]\nname = "pans"\n'
    shots = "id,description,size,look,shoot_min,spot\n1,Wide,wide,N,30,mill\n"
    folder = make_folder(day, shots)
    read = read_day(folder)
    mill, pans = read.spots
    assert (mill.latitude_deg, mill.longitude_deg) == (36.21, -7.1)
    assert mill.subject == Subject(distance_m=8, bearing_deg=5, height_m=1.6)
    assert (pans.latitude_deg, pans.subject) == (None, Subject())
    assert read.camera.sensor_width_mm == 36
    assert warnings_of(folder)[1:] == [  # the first is of a declination so far off
        (
            "day.toml:20, spot.longitude_deg: more than a degree from the place, whose sun is "
            "taken: `-7.1`\n  hint: the place has -5.9"
        )
    ]


def test_faults_that_are_alike_are_told_once_with_their_lines(minimal_day, make_folder):
    """Each is there by itself for programs; people read one text."""
    rows = [f"{n},Salt,wide,N,30,{spot}\n" for n, spot in enumerate(["Pan", "Pan", "x", "Pan"] * 2)]
    folder = make_folder(minimal_day, f"{HEADER},spot\n" + "".join(rows).replace("N,30,x", ",30,"))
    with pytest.raises(FolderError) as raised:
        read_folder(folder)
    assert len(raised.value.faults) == 10
    assert str(raised.value) == (
        "shots.csv:2, spot: no such spot: `Pan` (expected Salt pans)\n"
        "  the same on lines 3 to 9\n"
        "shots.csv:4, look: blank (expected degrees from 0 to 360 or a compass point such as NNW)\n"
        "  the same on line 8"
    )


@pytest.mark.parametrize(
    ("lines", "text"),
    [
        ([4], "line 4"),
        ([4, 5], "lines 4 and 5"),
        ([9, 4, 5, 6], "lines 4 to 6 and 9"),
        ([1, 3, 5, 6, 8, 9, 10, 11], "lines 1, 3, 5, 6 and 8 to 11"),
        ([2, 3, 4], "lines 2 to 4"),
    ],
)
def test_lines_are_named_as_a_sentence_does(lines, text):
    """Two in a row are both named, more by their ends."""
    assert lines_text(lines) == text
