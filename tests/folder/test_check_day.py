"""Days made by hand: what no folder could hold is refused, every fault at once."""

from dataclasses import replace
from datetime import UTC, timedelta, timezone

import pytest
from builders import a_day, a_place, a_shot, a_span, at

import sunsched
from sunsched.day.costs import Costs
from sunsched.day.kit.frame import Rig
from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import CastMember, Hours, Meal, Move, Size, Spot
from sunsched.day.past import Past
from sunsched.day.skyline import HorizonPoint
from sunsched.day.wish import Band, Wish
from sunsched.errors import FolderError
from sunsched.folder.check import check_day
from sunsched.whatif.orders.order import Order
from sunsched.whatif.orders.sides import Source

PLAIN = a_day(a_shot("1"), a_shot("2"))


def faults(day, **asked):
    """Give the faults of a day as text without what was expected."""
    with pytest.raises(FolderError) as caught:
        check_day(day, **asked)
    return [str(replace(fault, expected="", hint="")) for fault in caught.value.faults]


def with_shot(**changes):
    """Give the plain day with its second shot changed."""
    return replace(PLAIN, shots=(PLAIN.shots[0], replace(PLAIN.shots[1], **changes)))


def with_hours(**changes):
    """Give the plain day with other hours."""
    return replace(PLAIN, hours=replace(PLAIN.hours, **changes))


def test_a_plain_day_passes():
    """A day that a folder could hold is not refused, nor is a grid that an hour has."""
    check_day(PLAIN, grid_min=15)
    check_day(sunsched.example_day())


def edge(*heights):
    """Give points of these heights at one azimuth."""
    return tuple(HorizonPoint(azimuth_deg=40, elevation_deg=one) for one in heights)


def over(low, high):
    """Give a point of an overhang."""
    return HorizonPoint(azimuth_deg=10, elevation_deg=high, under_deg=low, part="roof")


@pytest.mark.parametrize(
    ("day", "fault"),
    [
        (with_shot(after=("9",)), "day.shots:2, after: no such shot: `9`"),
        (with_shot(after=("2",)), "day.shots:2, after: a shot that waits for itself: `2`"),
        (with_shot(id="1"), "day.shots:2, id: an id that stands twice: `1`"),
        (with_shot(id=""), "day.shots:2, id: blank"),
        (with_shot(id="a b"), "day.shots:2, id: not a shot id: `a b`"),
        (with_shot(spot="quay"), "day.shots:2, spot: no such spot: `quay`"),
        (with_shot(spot="Pans"), "day.shots:2, spot: not the name as the day has it: `Pans`"),
        (with_shot(setup_min=-1), "day.shots:2, setup_min: out of range: `-1`"),
        (with_shot(shoot_min=0), "day.shots:2, shoot_min: out of range: `0`"),
        (with_shot(shoot_min=2.5), "day.shots:2, shoot_min: not a whole number: `2.5`"),
        (with_shot(weight=-1.0), "day.shots:2, weight: out of range: `-1`"),
        (with_shot(weight=float("nan")), "day.shots:2, weight: not a number: `nan`"),
        (with_shot(look_deg=-90.0), "day.shots:2, look: not a bearing: `-90`"),
        (with_shot(control=1.5), "day.shots:2, control: out of range: `1.5`"),
        (with_shot(pin=at("19:45")), "day.shots:2, pin: a pin outside the day: `19:45`"),
        (
            with_shot(wish=Wish(elevation=Band(low_deg=30, high_deg=10, give_deg=5))),
            "day.shots:2, elevation: the low end is above the high end: `30..10`",
        ),
        (
            with_shot(wish=Wish(azimuth=Band(low_deg=30, high_deg=60, give_deg=-1))),
            "day.shots:2, azimuth: a give out of range: `-1`",
        ),
        (
            replace(with_shot(cast=("Bo",)), cast=(CastMember(name="Ana"),)),
            "day.shots:2, cast: no such name under `[[cast]]`: `Bo`",
        ),
        (replace(PLAIN, shots=()), "day.shots: no shots"),
        (replace(PLAIN, title=""), "day, title: blank"),
        (
            replace(PLAIN, place=a_place(latitude_deg=91)),
            "day, place.latitude_deg: out of range: `91`",
        ),
        (
            replace(PLAIN, place=a_place(timezone="X/Y")),
            "day, place.timezone: not a time zone: `X/Y`",
        ),
        (replace(PLAIN, costs=Costs(wait=-1)), "day, costs.wait: out of range: `-1`"),
        (
            replace(PLAIN, spots=(*PLAIN.spots, Spot(name="mill"))),
            "day, spot.name: a name that stands twice: `mill`",
        ),
        (
            replace(PLAIN, moves=(Move(between=("pans", "quay"), minutes=5),)),
            "day, move.between: no such spot: `quay`",
        ),
        (
            replace(PLAIN, rigs=(Rig(name="tent"), Rig(name="tent"))),
            "day, rig.name: a name that stands twice: `tent`",
        ),
        (
            replace(PLAIN, sizes={Size.WIDE: PLAIN.sizes[Size.WIDE]}),
            "day, sizes: a size is missing: `full`",
        ),
        (with_hours(wrap=at("5:00")), "day, hours.wrap: wrap before the crew call: `05:00`"),
        (with_hours(hard_wrap=at("18:00")), "day, hours.hard_wrap: earlier than wrap: `18:00`"),
        (
            with_hours(first_roll=at("5:00")),
            "day, hours.first_roll: earlier than the crew call: `05:00`",
        ),
        (
            with_hours(hard_wrap=at("30:01")),
            "day, hours.hard_wrap: more than 24 hours after the crew call: `06:01`",
        ),
        (
            replace(PLAIN, meal=Meal(earliest=at("12:01"), latest=at("12:00"), length_min=60)),
            "day, meal.earliest: later than the meal's latest start: `12:01`",
        ),
        (
            replace(PLAIN, meal=Meal(earliest=at("5:00"), latest=at("5:59"), length_min=60)),
            "day, meal.latest: outside the day: `05:59`",
        ),
        (
            replace(PLAIN, meal=replace(PLAIN.meal, length_min=0)),
            "day, meal.length_min: out of range: `0`",
        ),
        (
            replace(PLAIN, cast=(CastMember(name="Ana", here=(a_span("9:00", "8:00"),)),)),
            "day, cast[0].here: a span that ends before it starts: `09:00-08:00`",
        ),
        (
            replace(PLAIN, cast=(CastMember(name="Ana", here=(a_span("2:00", "6:00"),)),)),
            "day, cast[0].here: outside the working day",
        ),
        (
            replace(PLAIN, clouds=(CloudHour(time=at("9:00"), cover=50.0),)),
            "day, clouds: a cover out of range",
        ),
        (
            replace(PLAIN, clouds=tuple(CloudHour(time=at(t), cover=0) for t in ("9:00", "8:00"))),
            "day, clouds: hours not in the order of time, each once",
        ),
        (
            replace(
                PLAIN,
                spots=(
                    Spot(name="pans", horizon=(HorizonPoint(azimuth_deg=360, elevation_deg=5),)),
                    Spot(name="mill"),
                ),
            ),
            "day, spots[0].horizon: an azimuth out of range",
        ),
        (
            replace(PLAIN, spots=(Spot(name="pans", horizon=edge(5, 9, 7)), Spot(name="mill"))),
            "day, spots[0].horizon: points not in the order of their azimuths, each once",
        ),
        (
            replace(PLAIN, spots=(Spot(name="pans", horizon=(over(30, 20),)), Spot(name="mill"))),
            "day, spots[0].horizon: an elevation out of range",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_one_fault_is_named_where_it_is(day, fault):
    """Each fact that the reader of folders refuses is refused in a day too, at its field."""
    assert fault in faults(day)


def test_edges_and_overhangs_are_no_faults():
    """What a horizon file may hold a day may hold."""
    horizon = (*edge(5, 9), over(20, 90), over(20, 30))
    day = replace(PLAIN, spots=(Spot(name="pans", horizon=horizon), Spot(name="mill")))
    check_day(day)


def test_moments_are_aware_in_utc_and_whole_minutes():
    """A naive time, one of another zone and one with seconds are told apart."""
    call = PLAIN.hours.crew_call
    told = faults(with_hours(crew_call=call.replace(tzinfo=None)))
    assert told == ["day, hours.crew_call: a time without a zone: `2027-06-09T06:00:00`"]
    other = call.astimezone(timezone(timedelta(hours=2)))
    assert "a time in another zone" in faults(with_hours(crew_call=other))[0]
    assert "not a whole minute" in faults(with_hours(crew_call=call + timedelta(seconds=1)))[0]
    assert call.tzinfo is UTC


def test_a_circle_of_shots_is_named_once():
    """Two shots that wait for each other are one fault."""
    shots = (a_shot("1", after=("2",)), a_shot("2", after=("1",)))
    told = faults(a_day(*shots))
    assert [text.split(": ", 1)[1] for text in told] == [
        "shots that wait for each other: `1 → 2 → 1`"
    ]


def test_every_fault_is_told_at_once():
    """Settings, moments, shots and the grid are looked at in one go."""
    day = replace(
        with_shot(after=("9",), weight=-1.0),
        title="",
        hours=replace(PLAIN.hours, wrap=PLAIN.hours.wrap.replace(tzinfo=None)),
    )
    places = [text.split(": ")[0] for text in faults(day, grid_min=7)]
    assert places == [
        "grid_min",
        "day, title",
        "day, hours.wrap",
        "day.shots:2, after",
        "day.shots:2, weight",
    ]


@pytest.mark.parametrize(
    "take",
    [
        sunsched.make_plan,
        sunsched.solve_day,
        sunsched.fit_day,
        lambda day: sunsched.pace([(day, Past(at=at("9:00"), free_at=at("9:00")))]),
        lambda day: sunsched.day_so_far(day, (), at=at("9:00"), planned=None),
        lambda day: sunsched.put_side(Source(name="", day=day, order=Order(ids=(), times=())), 5),
    ],
    ids=["make_plan", "solve_day", "fit_day", "pace", "day_so_far", "put_side"],
)
def test_whatever_takes_a_day_refuses_it(take):
    """A day at fault gets no further than the first function that it is given to."""
    with pytest.raises(FolderError, match="no such shot: `9`"):
        take(with_shot(after=("9",)))


def test_a_day_under_way_may_have_what_its_log_says():
    """Minutes that really rolled and a meal put off past its latest start are no faults."""
    past = sunsched.day_so_far(PLAIN, (), at=at("15:00"), planned=None)
    check_day(past)
    long = tuple(replace(shot, shoot_min=900) for shot in past.shots)
    check_day(replace(past, shots=long))
    assert isinstance(past.hours, Hours)
