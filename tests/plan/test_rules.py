"""The judge: every hard rule on both sides of its edge, and every cost with its arithmetic.

The sun of these tests is invented so that sums can be done in the head: it stands due east all day
and climbs a sixteenth of a degree a minute from midnight UTC, so 16 minutes of drift are 1°.
"""

from dataclasses import fields, replace
from functools import partial
from typing import Any

import builders
import numpy as np
import pytest
from builders import a_day, a_span, at, climbing_fit

from sunsched.day.costs import Costs
from sunsched.day.decided import decided_day
from sunsched.day.demand import Cut
from sunsched.day.kit.weather import CloudHour
from sunsched.day.model import CastMember, Hours, MatchBy, Move, Size, Spot
from sunsched.day.past import Made, Past
from sunsched.day.skyline import HorizonPoint
from sunsched.day.wish import Band, Wish
from sunsched.plan import rules
from sunsched.plan.changeover import least_builds_min
from sunsched.plan.rules import RULES, breaches
from sunsched.plan.score import match_costs, reference_minutes, score
from sunsched.plan.timetable import Roll, Timetable

# 20 minutes of this sun are free, and the cost is whole 80 minutes later.
SHORT_MATCH = Costs(match_free_deg=1.25, match_span_deg=5.0)
a_shot = partial(builders.a_shot, size=Size.WIDE, weight=5.0)


def table(*rolls, meal=None):
    """Give a timetable from (id, changeover start, roll start) in clock times."""
    return Timetable(
        rolls=tuple(
            Roll(shot_id=shot_id, changeover_start=at(start), roll_start=at(roll))
            for shot_id, start, roll in rolls
        ),
        meal_start=at(meal) if meal else None,
    )


def found(day, *rolls, meal=None):
    """Give the text of everything that the whole judge finds."""
    return [breach.text for breach in breaches(climbing_fit(day), table(*rolls, meal=meal))]


def worth(day, *rolls, meal=None):
    """Give the score of a timetable."""
    return score(climbing_fit(day), table(*rolls, meal=meal))


def test_every_rule_has_its_tests():
    """Each rule of the list has a test named after it, and each function that judges is listed."""
    names = [rule.__name__ for rule in RULES]
    # A test belongs to the rule with the longest name that it begins with.
    owned = {
        max((name for name in names if test.startswith(f"test_{name}_")), key=len, default="")
        for test in globals()
    }
    assert set(names) <= owned
    judging = [
        name
        for name, thing in vars(rules).items()
        if getattr(thing, "__annotations__", {}).get("return") == "Iterator[Breach]"
    ]
    assert sorted(judging) == sorted(names)


def under_way(*shots, **changes):
    """Give a day in which shot 1 rolled from 6:20 to 6:50, and it is 7:00."""
    made = Made(
        shot_id="1", changeover_start=at("6:00"), roll_start=at("6:20"), roll_end=at("6:50")
    )
    facts: dict[str, Any] = {"at": at("7:00"), "free_at": at("7:00"), "made": (made,)}
    return a_day(*shots, past=Past(**(facts | changes)))


def test_past_stands():
    """What was made stands first and unmoved; a minute off, or another before it, is named."""
    day = under_way(a_shot("1"), a_shot("2"))
    then = ("2", "7:00", "7:10")
    stays = "what was made does not stand first as it was: 1"
    assert found(day, ("1", "6:00", "6:20"), then) == []
    assert found(day, ("1", "6:00", "6:21"), then) == [stays]
    assert stays in found(day, then, ("1", "6:00", "6:20"))
    assert found(day, ("2", "7:00", "7:20")) == [stays]


def test_past_frees_the_crew():
    """A changeover begins when the crew is free, or went on before: 10 minutes from 6:55."""
    first = ("1", "6:00", "6:20")
    day = under_way(a_shot("1"), a_shot("2"))
    early = "2 begins 1 min before the crew is free"
    assert found(day, first, ("2", "6:59", "7:09")) == [early]
    building = under_way(a_shot("1"), a_shot("2"), building="2", built_since=at("6:55"))
    assert found(building, first, ("2", "6:55", "7:05")) == []
    assert found(building, first, ("2", "6:54", "7:05")) == [early]
    over = under_way(a_shot("1"), a_shot("2"), building="2", built_since=at("6:50"))
    assert found(over, first, ("2", "6:50", "7:00")) == []
    since = "2 begins 1 min before the crew is free"
    assert since in found(over, first, ("2", "6:50", "6:59"))


def test_past_cuts_and_meals():
    """A cut shot is not made; a meal is not had before the crew is free, nor a second time."""
    first = ("1", "6:00", "6:20")
    cut = under_way(a_shot("1"), a_shot("2"), cut=("2",))
    assert found(cut, first) == []
    assert found(cut, first, ("2", "7:00", "7:10")) == ["2 was cut and is made"]
    busy = under_way(a_shot("1"), at=at("9:00"), free_at=at("9:10"))
    assert found(busy, first, meal="9:10") == []
    assert found(busy, first, meal="9:09") == ["the meal starts 1 min before the crew is free"]
    fed = under_way(a_shot("1"), at=at("10:00"), free_at=at("10:00"), meal_start=at("8:00"))
    assert found(fed, first, meal="8:00") == []
    assert found(fed, first) == ["the meal that was had is not where it was"]


def test_what_was_made_answers_to_no_other_rule():
    """Shots that rolled too early, outside their hours or out of order are made all the same."""
    late = a_shot("1", pin=at("8:00"), after=("2",), cast=("Ana",), spot="mill", setup_min=50)
    day = replace(
        under_way(late, a_shot("2", spot="mill")),
        cast=(CastMember(name="Ana", here=(a_span("12:00", "13:00"),)),),
        spots=(Spot(name="mill", open=(a_span("6:40", "19:00"),)),),
        hours=Hours(
            crew_call=at("6:10"), first_roll=at("6:30"), wrap=at("19:00"), hard_wrap=at("20:00")
        ),
    )
    assert found(day, ("1", "6:00", "6:20"), ("2", "7:00", "7:10")) == []
    assert len(found(replace(day, past=None), ("1", "6:00", "6:20"), ("2", "7:00", "7:10"))) == 7


def test_an_empty_timetable_breaches_nothing():
    """Making nothing obeys every rule of a day without pins."""
    assert found(a_day(a_shot("1"))) == []


def test_one_camera_overlap():
    """A changeover may start the minute the roll before it ends (6:20 + 30 = 6:50), not before."""
    day = a_day(a_shot("1"), a_shot("2"))
    first = ("1", "6:00", "6:20")
    assert found(day, first, ("2", "6:50", "7:00")) == []
    early = "the changeover to 2 starts 1 min before 1 is done"
    assert found(day, first, ("2", "6:49", "7:00")) == [early]


def test_one_camera_listed_out_of_order():
    """Rolls must be listed as they are shot: 2 ends at 7:30, 1 starts at 6:00, 90 minutes less."""
    day = a_day(a_shot("1"), a_shot("2"))
    texts = found(day, ("2", "6:40", "7:00"), ("1", "6:00", "6:20"))
    assert texts == ["the changeover to 1 starts 90 min before 2 is done"]


@pytest.mark.parametrize(
    ("second", "need"),
    [
        ({}, 10),  # the adjust
        ({"look_deg": 90.0}, 10),  # a quarter turn is no turnaround
        ({"look_deg": 91.0}, 20),  # adjust 10 + turnaround 10
        ({"look_deg": 269.0}, 20),  # 91° the other way
        ({"rig": "12 by 12"}, 20),  # the setup
        ({"rig": "12 by 12", "look_deg": 180.0}, 20),  # a setup includes the turn
        ({"spot": "mill"}, 45),  # setup 20 + move 25
        ({"spot": "beach"}, 40),  # setup 20 + 20 for spots without a move of their own
    ],
)
def test_one_camera_changeover_length(second, need):
    """A changeover of exactly its length passes; one of a minute less does not."""
    day = a_day(
        a_shot("1"),
        a_shot("2", **second),
        spots=(Spot(name="pans"), Spot(name="mill"), Spot(name="beach")),
        moves=(Move(between=("mill", "pans"), minutes=25),),
    )
    first = ("1", "6:00", "6:20")
    assert found(day, first, ("2", "6:50", f"6:{50 + need}")) == []
    short = found(day, first, ("2", "6:50", f"6:{50 + need - 1}"))
    assert short == [f"the changeover to 2 takes {need} min and gets {need - 1}"]


def test_one_camera_first_setup():
    """The day's first shot needs its whole setup of 20 minutes; a wait after it is no fault."""
    day = a_day(a_shot("1"))
    assert found(day, ("1", "6:00", "6:20")) == []
    assert found(day, ("1", "6:00", "6:45")) == []
    assert found(day, ("1", "6:01", "6:20")) == ["the changeover to 1 takes 20 min and gets 19"]


def test_one_camera_no_shot_twice():
    """A shot rolls once."""
    day = a_day(a_shot("1"))
    assert found(day, ("1", "6:00", "6:20"), ("1", "6:50", "7:00")) == ["1 rolls twice"]


def test_hours_crew_call():
    """A setup may start at the crew call of 6:00, not at 5:59."""
    day = a_day(a_shot("1"))
    assert found(day, ("1", "6:00", "6:20")) == []
    assert found(day, ("1", "5:59", "6:20")) == ["1 starts 1 min before the crew call"]


def test_hours_first_roll():
    """The camera may roll at the first roll of 6:30, not at 6:29."""
    day = a_day(a_shot("1"))
    day = replace(day, hours=replace(day.hours, first_roll=at("6:30")))
    assert found(day, ("1", "6:00", "6:30")) == []
    assert found(day, ("1", "6:00", "6:29")) == ["1 starts 1 min before the first roll"]


def test_hours_hard_wrap():
    """Rolling 30 minutes from 19:30 ends at the hard wrap of 20:00; from 19:31 it runs past."""
    day = a_day(a_shot("1"))
    assert found(day, ("1", "19:10", "19:30"), meal="12:00") == []
    late = found(day, ("1", "19:11", "19:31"), meal="12:00")
    assert late == ["1 ends 1 min past the hard wrap"]


def test_spot_open_edges():
    """A spot open 6:30 to 8:00 takes a setup from 6:30 and a roll until 8:00, no minute more."""
    spots = (Spot(name="pans", open=(a_span("6:30", "8:00"),)),)
    day = a_day(a_shot("1"), spots=spots)
    closed = ["pans is not open from the setup of 1 to the end of its roll"]
    assert found(day, ("1", "6:30", "6:50")) == []
    assert found(day, ("1", "6:29", "6:50")) == closed
    assert found(day, ("1", "7:00", "7:30")) == []  # 7:30 + 30 = 8:00
    assert found(day, ("1", "7:00", "7:31")) == closed


def test_spot_open_after_the_move():
    """The company moves before it needs the spot: 6:50 + move 20 = 7:10, when the mill opens."""
    spots = (Spot(name="pans"), Spot(name="mill", open=(a_span("7:10", "9:00"),)))
    day = a_day(a_shot("1"), a_shot("2", spot="mill"), spots=spots)
    assert found(day, ("1", "6:00", "6:20"), ("2", "6:50", "7:30")) == []
    spots = (spots[0], Spot(name="mill", open=(a_span("7:11", "9:00"),)))
    day = replace(day, spots=spots)
    closed = ["mill is not open from the setup of 2 to the end of its roll"]
    assert found(day, ("1", "6:00", "6:20"), ("2", "6:50", "7:30")) == closed


def test_spot_open_not_across_a_gap():
    """A setup in one opening and a roll in the next one do not add up; each alone is fine."""
    spots = (Spot(name="pans", open=(a_span("6:00", "7:00"), a_span("7:05", "9:00"))),)
    day = a_day(a_shot("1"), spots=spots)
    assert found(day, ("1", "6:10", "6:30")) == []  # until 7:00
    assert found(day, ("1", "7:05", "7:25")) == []
    assert len(found(day, ("1", "6:40", "7:05"))) == 1


def test_cast_here_edges():
    """Ana, here 7:00 to 8:00, is needed for the roll alone: from 7:00 on, until 8:00."""
    day = a_day(
        a_shot("1", cast=("Ana", "Ben")),
        cast=(CastMember(name="Ana", here=(a_span("7:00", "8:00"),)), CastMember(name="Ben")),
    )
    missing = ["Ana is not there for the whole roll of 1"]
    assert found(day, ("1", "6:00", "7:00")) == []
    assert found(day, ("1", "6:00", "6:59")) == missing
    assert found(day, ("1", "6:00", "7:30")) == []  # 7:30 + 30 = 8:00
    assert found(day, ("1", "6:00", "7:31")) == missing


def test_cast_here_not_across_a_gap():
    """Someone who leaves and comes back is not there in between."""
    here = (a_span("6:00", "7:00"), a_span("7:01", "9:00"))
    day = a_day(a_shot("1", cast=("Ana",)), cast=(CastMember(name="Ana", here=here),))
    assert found(day, ("1", "6:00", "6:30")) == []  # until 7:00
    assert len(found(day, ("1", "6:00", "6:31"))) == 1


def test_after_edges():
    """2 comes after 1, next to it or later; with 1 left out nothing holds 2 up."""
    day = a_day(a_shot("1"), a_shot("2", after=("1",)))
    assert found(day, ("1", "6:00", "6:20"), ("2", "6:50", "7:00")) == []
    assert found(day, ("2", "6:00", "6:20")) == []
    early = found(day, ("2", "6:00", "6:20"), ("1", "6:50", "7:00"))
    assert early == ["2 rolls before 1, which must come first"]


def test_pin_edges():
    """A shot pinned at 7:00 rolls at 7:00, and is made."""
    day = a_day(a_shot("1", pin=at("7:00")))
    assert found(day, ("1", "6:00", "7:00")) == []
    assert found(day, ("1", "6:00", "6:59")) == ["1 rolls 1 min before its pin"]
    assert found(day, ("1", "6:00", "7:01")) == ["1 rolls 1 min after its pin"]
    assert found(day) == ["1 is pinned but left out"]


def test_cut_edges():
    """A shot that a decision cuts is not made, unless it was made before."""
    day = decided_day(a_day(a_shot("1"), a_shot("2")), (Cut(shot="2"),))
    assert found(day, ("1", "6:00", "7:00")) == []
    rolls = (("1", "6:00", "7:00"), ("2", "8:00", "9:00"))
    assert found(day, *rolls) == ["2 is cut by decision and is made"]
    made = Made(
        shot_id="2", changeover_start=at("6:00"), roll_start=at("7:00"), roll_end=at("7:30")
    )
    begun = replace(day, past=Past(at=at("8:00"), free_at=at("8:00"), made=(made,)))
    assert found(begun, ("2", "6:00", "7:00")) == []


def held_shot():
    """Give a held shot whose sun is right for the 30 minutes 6:40 to 7:09 and for none beside.

    6:40 is minute 400, where the sun stands at 400 / 16 = 25°; 7:09 is minute 429.
    """
    band = Band(low_deg=400 / 16, high_deg=429 / 16, give_deg=5.0)
    return a_shot("1", hold=True, wish=Wish(elevation=band))


def test_hold_edges():
    """A roll of 30 minutes fits its 30 minutes of sun; a minute to either side is one too many."""
    day = a_day(held_shot())
    outside = ["1 is held and rolls 1 min outside its sun"]
    assert found(day, ("1", "6:00", "6:40")) == []
    assert found(day, ("1", "6:00", "6:39")) == outside
    assert found(day, ("1", "6:00", "6:41")) == outside
    free = replace(day, shots=(replace(held_shot(), hold=False),))
    assert found(free, ("1", "6:00", "6:41")) == []


def test_hold_looks_at_skyline_not_at_cloud_or_top_light():
    """Cloud and a high sun leave a hold alone; a skyline that hides the disc does not.

    12:00 is minute 720, where the sun stands at 45° and top light begins.
    """
    day = a_day(held_shot(), clouds=(CloudHour(time=at("6:00"), cover=1.0),))
    assert found(day, ("1", "6:00", "6:40")) == []
    wall = (HorizonPoint(azimuth_deg=0.0, elevation_deg=60.0),)
    hidden = replace(day, spots=(Spot(name="pans", horizon=wall),))
    text = "1 is held and rolls 30 min outside its sun"
    assert found(hidden, ("1", "6:00", "6:40")) == [text]
    high = Wish(elevation=Band(low_deg=45.0, high_deg=90.0, give_deg=5.0))
    noon = a_day(a_shot("1", hold=True, wish=high))
    assert found(noon, ("1", "11:30", "12:00"), meal="9:00") == []


def test_hold_past_the_end_of_the_sun():
    """Minutes for which no sun was computed count as missed; the last one is 24:00.

    A roll of 30 minutes from 23:50 has 11 of them (23:50 to 24:00), so 19 are missed.
    """
    wish = Wish(elevation=Band(low_deg=0.0, high_deg=90.0, give_deg=5.0))
    fit = climbing_fit(a_day(a_shot("1", hold=True, wish=wish)))
    (breach,) = rules.hold(fit, table(("1", "23:30", "23:50")))
    assert breach.minutes == 19


def test_hold_before_the_start_of_the_sun():
    """Minutes before the track count as missed too, and do not wrap to its end.

    Of 30 minutes from ten before midnight, 10 have no sun; in the first 5 of the others it stands
    at 4/16 = 0.25° or lower, not yet clear of the horizon by its half disc of 0.27°.
    """
    wish = Wish(elevation=Band(low_deg=0.0, high_deg=90.0, give_deg=5.0))
    fit = climbing_fit(a_day(a_shot("1", hold=True, wish=wish)))
    (breach,) = rules.hold(fit, table(("1", "0:-30", "0:-10")))
    assert breach.minutes == 15


def test_meal_latest_and_earliest():
    """Lunch may start from 9:00 to 12:00, both included."""
    day = a_day(a_shot("1"))
    roll = ("1", "14:00", "14:20")
    assert found(day, roll, meal="12:00") == []
    assert found(day, roll, meal="12:01") == ["the meal starts 1 min too late"]
    assert found(day, roll, meal="9:00") == []
    assert found(day, roll, meal="8:59") == ["the meal starts 1 min too early"]


def test_meal_is_not_cut():
    """Lunch stands between the end of a roll (10:20 + 30 = 10:50) and the next changeover."""
    day = a_day(a_shot("1"), a_shot("2"))
    first, second = ("1", "10:00", "10:20"), ("2", "11:50", "12:00")
    assert found(day, first, second, meal="10:50") == []  # 10:50 + 60 = 11:50
    cut = "the meal is cut by the changeover or the roll of "
    assert found(day, first, second, meal="10:49") == [cut + "1"]
    assert found(day, first, second, meal="10:51") == [cut + "2"]


def test_meal_missing():
    """A day that ends by 12:00 needs no lunch (11:30 + 30); one that ends at 12:01 does."""
    day = a_day(a_shot("1"))
    assert found(day, ("1", "11:00", "11:30")) == []
    missing = ["the day runs past the latest meal and has none"]
    assert found(day, ("1", "11:00", "11:31")) == missing


def test_reference_suns_stand_on_a_grid_of_five_minutes():
    """The common sun is sought from the call, taken back to the grid, to the hard wrap."""
    day = a_day(a_shot("1"))
    day = replace(day, hours=replace(day.hours, crew_call=at("6:03")))
    minutes = reference_minutes(climbing_fit(day))
    assert minutes[0] == 360
    assert minutes[-1] == 1200
    assert set(np.diff(minutes)) == {5}


def test_reference_suns_end_with_the_track():
    """No sun is sought past the last minute that is known, on the grid or not."""
    fit = climbing_fit(a_day(a_shot("1")))
    for minutes in (900, 901, 904):
        track = replace(
            fit.track,
            azimuth_deg=fit.track.azimuth_deg[:minutes],
            elevation_deg=fit.track.elevation_deg[:minutes],
            apparent_elevation_deg=fit.track.apparent_elevation_deg[:minutes],
        )
        assert reference_minutes(replace(fit, track=track))[-1] == (minutes - 1) // 5 * 5


def test_light_is_what_each_shot_earns():
    """A wide of weight 5 that wants the sun earns 0.25 of 5000 under full cloud: 1250."""
    cloud = (CloudHour(time=at("0:00"), cover=1.0),)
    wish = Wish(elevation=Band(low_deg=0.0, high_deg=90.0, give_deg=5.0))
    day = a_day(a_shot("1", wish=wish), a_shot("2"), clouds=cloud)
    assert worth(day, ("1", "3:00", "3:12")).light == {"1": 1250}
    assert worth(day, ("2", "3:00", "3:12")).light == {"2": 5000}


def test_left_out_costs_the_weight_again():
    """Leaving out weight 5 costs 5000; a half point is rounded up: 1000 · 0.0005 = 0.5, so 1."""
    day = a_day(a_shot("1"), a_shot("2", weight=0.0005), a_shot("3"))
    assert worth(day, ("3", "6:00", "6:20")).left_out == {"1": 5000, "2": 1}


def test_match_free_drift_is_shared():
    """Two shots 40 minutes apart share a sun in the middle, 20 free minutes from each.

    Mid-rolls: 6:20 + 15 = 6:35 and 7:00 + 15 = 7:15. At 42 minutes apart the reference stays 20
    minutes from the heavier one, so the other is 2 minutes past free: 3000 · 2/80 = 75.
    """
    day = a_day(a_shot("1", match="m"), a_shot("2", match="m", weight=3.0), costs=SHORT_MATCH)
    first = ("1", "6:00", "6:20")
    assert worth(day, first, ("2", "6:50", "7:00")).match == {"1": 0, "2": 0}
    assert worth(day, first, ("2", "6:50", "7:02")).match == {"1": 0, "2": 75}


def test_match_cost_grows_to_the_whole_weight():
    """80 minutes apart: 80 − 20 from the reference − 20 free = 40 of 80, so 3000 / 2 = 1500.

    Two hours and more apart the share is 1 and stays so: 3000.
    """
    day = a_day(a_shot("1", match="m"), a_shot("2", match="m", weight=3.0), costs=SHORT_MATCH)
    first = ("1", "6:00", "6:20")
    assert worth(day, first, ("2", "7:00", "7:40")).match == {"1": 0, "2": 1500}
    assert worth(day, first, ("2", "7:00", "8:20")).match == {"1": 0, "2": 3000}
    assert worth(day, first, ("2", "7:00", "11:00")).match == {"1": 0, "2": 3000}


def test_match_takes_the_sun_of_the_middle_minute():
    """A roll of 50 minutes from 7:30 has the sun of 7:55, 80 minutes after that of 6:20 + 15.

    80 − 20 from the reference − 20 free = 40 of 80, so 3000 / 2 = 1500.
    """
    second = a_shot("2", match="m", weight=3.0, shoot_min=50)
    day = a_day(a_shot("1", match="m"), second, costs=SHORT_MATCH)
    assert worth(day, ("1", "6:00", "6:20"), ("2", "7:00", "7:30")).match == {"1": 0, "2": 1500}


@pytest.mark.parametrize(
    ("size", "cost"),
    [
        (Size.FULL, 1500),
        (Size.MEDIUM, 1500),
        (Size.CLOSE_UP, 750),  # 80 − 20 − 2·20 = 20 of 80, so 3000 / 4
        (Size.INSERT, 750),
    ],
)
def test_match_close_ups_and_inserts_drift_twice_as_far(size, cost):
    """Close-ups and inserts have twice the free drift, the other sizes do not."""
    second = a_shot("2", match="m", weight=3.0, size=size)
    day = a_day(a_shot("1", match="m"), second, costs=SHORT_MATCH)
    assert worth(day, ("1", "6:00", "6:20"), ("2", "7:00", "7:40")).match["2"] == cost


def test_match_has_one_sun_for_all():
    """Three shots agree on one reference, where their costs together are least.

    Mid-rolls at minutes 395, 475 and 535, weights 2, 5 and 3. The heavy one keeps its reference
    within 20 minutes, and the third pulls it to 495: the first is 100 − 20 = 80 of 80 past free,
    2000; the third 40 − 20 = 20 of 80, 750.
    """
    day = a_day(
        a_shot("1", match="m", weight=2.0),
        a_shot("2", match="m"),
        a_shot("3", match="m", weight=3.0),
        costs=SHORT_MATCH,
    )
    rolls = (("1", "6:00", "6:20"), ("2", "7:00", "7:40"), ("3", "8:10", "8:40"))
    assert worth(day, *rolls).match == {"1": 2000, "2": 0, "3": 750}


def test_match_asks_two_of_the_same_name():
    """A shot alone in its match, or in none, has nothing to drift from."""
    day = a_day(a_shot("1", match="m"), a_shot("2", match="n"), a_shot("3"), a_shot("4"))
    clocks = (("6:00", "6:20"), ("9:00", "9:20"), ("15:00", "15:20"), ("18:00", "18:20"))
    timetable = table(*((shot.id, *clock) for shot, clock in zip(day.shots, clocks, strict=True)))
    assert match_costs(climbing_fit(replace(day, costs=SHORT_MATCH)), timetable) == {}


@pytest.mark.parametrize(
    ("size", "cost"),
    [
        (Size.WIDE, 300),
        (Size.FULL, 0),
        (Size.MEDIUM, 0),
        (Size.CLOSE_UP, 300),
        (Size.INSERT, 0),
    ],
)
def test_after_meal_comes_neither_a_close_up_nor_a_wide(size, cost):
    """The first shot after lunch (12:00 + 60 = 13:00) costs 300 if it is one of these.

    Common practice, no source: come back on an insert, a medium or a full.
    """
    day = a_day(a_shot("1"), a_shot("2", size=size), a_shot("3", size=Size.WIDE))
    before, last = ("1", "6:00", "6:20"), ("3", "14:00", "14:20")
    second = ("2", "13:00", "13:20")
    assert worth(day, before, second, last, meal="12:00").after_meal == cost
    assert worth(day, before, second, last).after_meal == 0


def test_waiting_is_what_is_neither_roll_nor_meal():
    """From the call at 06:00 to the roll at 06:30, from 07:00 to 13:10 less lunch, and 40 more."""
    day = a_day(a_shot("1"), a_shot("2"), a_shot("3", spot="mill"))
    rolls = (("1", "6:00", "6:30"), ("2", "13:00", "13:10"), ("3", "13:40", "14:20"))
    assert worth(day, *rolls, meal="12:00").waiting == 10 * (30 + 370 - 60 + 40)
    assert worth(day, *rolls).waiting == 10 * (30 + 370 + 40)
    assert worth(replace(day, costs=Costs(wait=0)), *rolls).waiting == 0
    assert worth(day, meal="12:00").waiting == 0  # who makes nothing waits for nothing


def test_a_lens_match_is_the_same_sun_from_each_lens():
    """Two lenses that look east and west have the same sun beside them at mirrored azimuths."""
    shots = (a_shot("1", match="m", look_deg=80.0), a_shot("2", match="m", look_deg=100.0))
    day = a_day(*shots, costs=SHORT_MATCH)
    rolls = (("1", "6:00", "6:20"), ("2", "6:50", "7:00"))
    by_sun = match_costs(climbing_fit(day), table(*rolls))
    by_lens = match_costs(climbing_fit(replace(day, matches={"m": MatchBy.LENS})), table(*rolls))
    assert by_lens == by_sun  # the sun stands at 90: 10° to the right of one, to the left of other
    turned = replace(day, shots=(shots[0], replace(shots[1], look_deg=190.0)))
    assert match_costs(climbing_fit(turned), table(*rolls)) == by_sun
    far = match_costs(climbing_fit(replace(turned, matches={"m": MatchBy.LENS})), table(*rolls))
    assert sum(far.values()) > sum(by_sun.values())


def test_after_meal_costs_nothing_when_nothing_follows():
    """A day that ends with lunch owes nothing."""
    day = a_day(a_shot("1", size=Size.FULL))
    assert worth(day, ("1", "6:00", "6:20"), meal="12:00").after_meal == 0


def test_wide_to_tight_counts_pairs():
    """Each pair of a match made tighter before wider costs 200: none, one, and all three."""
    wide = a_shot("1", match="m")
    medium = a_shot("2", match="m", size=Size.MEDIUM)
    close = a_shot("3", match="m", size=Size.CLOSE_UP)

    def cost(order, *shots):
        clocks = (("6:00", "6:20"), ("6:50", "7:00"), ("7:30", "7:40"))
        rolls = [(shot_id, *clock) for shot_id, clock in zip(order, clocks, strict=True)]
        return worth(a_day(*shots), *rolls).wide_to_tight

    assert cost("123", wide, medium, close) == 0
    assert cost("213", wide, medium, close) == 200
    assert cost("321", wide, medium, close) == 600
    assert cost("321", wide, replace(medium, match="n"), close) == 200  # 3 before 1 alone
    assert cost("321", *(replace(s, match="") for s in (wide, medium, close))) == 0
    assert cost("321", *(replace(s, size=Size.FULL) for s in (wide, medium, close))) == 0


def test_overtime_starts_past_wrap():
    """Ending at the wrap of 19:00 is free (18:30 + 30); each minute past it costs 20."""
    day = a_day(a_shot("1"))
    assert worth(day, ("1", "18:00", "18:30")).overtime == 0
    assert worth(day, ("1", "18:00", "18:31")).overtime == 20
    assert worth(day, ("1", "18:00", "19:30")).overtime == 1200  # 60 · 20
    assert worth(day).overtime == 0


def test_moves_count_each_way():
    """Out to the mill and back is two moves of 500; staying is none."""
    day = a_day(a_shot("1"), a_shot("2", spot="mill"), a_shot("3"))
    there = (("1", "6:00", "6:20"), ("2", "6:50", "7:30"), ("3", "8:00", "8:40"))
    assert worth(day, *there).moves == 1000
    assert worth(day, there[0], ("3", "6:50", "7:00")).moves == 0


def test_rig_changes_count_each_time():
    """Two changes of rig cost 100 each; taking the same rig to another spot is none."""
    day = a_day(a_shot("1"), a_shot("2", rig="frame"), a_shot("3"), a_shot("4", spot="mill"))
    rolls = (("1", "6:00", "6:20"), ("2", "6:50", "7:10"), ("3", "7:40", "8:00"))
    assert worth(day, *rolls).rig_changes == 200
    assert worth(day, rolls[0], ("4", "6:50", "7:30")).rig_changes == 0


def costly_day(costs):
    """Give a score in which every cost is at work.

    The close-up 1 (minute 395, weight 3) and the wide 2 (minute 1170, weight 5) are matched; 3,
    weight 1, is left out.
    """
    day = a_day(
        a_shot("1", size=Size.CLOSE_UP, match="m", weight=3.0),
        a_shot("2", match="m", spot="mill", rig="frame"),
        a_shot("3", weight=1.0),
        a_shot("4"),
        costs=costs,
    )
    rolls = (("1", "6:00", "6:20"), ("4", "13:00", "13:10"), ("2", "18:00", "19:15"))
    return worth(day, *rolls, meal="12:00")


# The cost at work in `costly_day`, with its arithmetic.
AT_WORK = {
    "left_out": 1000,  # weight 1
    "match": 3000,  # 775 minutes apart: the lighter one pays its whole weight of 3
    "wait": 6750,  # 20 to 06:20; 06:50 to 13:10 less 60; 13:40 to 19:15: 675 minutes
    "after_meal": 300,  # a wide comes after lunch
    "wide_to_tight": 200,  # the close-up before the wide
    "overtime": 900,  # 19:15 + 30 = 19:45, 45 · 20
    "move": 500,  # pans, pans, mill
    "rig_change": 100,  # none, none, frame
}


def parts_of(whole):
    """Give the costs of a score under the names that `[costs]` uses."""
    return {
        "left_out": sum(whole.left_out.values()),
        "match": sum(whole.match.values()),
        "wait": whole.waiting,
        "after_meal": whole.after_meal,
        "wide_to_tight": whole.wide_to_tight,
        "overtime": whole.overtime,
        "move": whole.moves,
        "rig_change": whole.rig_changes,
    }


def test_total_is_light_less_every_cost():
    """All costs are subtracted once: 1000 + 3000 + 6750 + 300 + 200 + 900 + 500 + 100 = 12750."""
    whole = costly_day(SHORT_MATCH)
    assert parts_of(whole) == AT_WORK
    assert whole.total == sum(whole.light.values()) - 12750


@pytest.mark.parametrize("name", AT_WORK)
def test_zero_switches_a_cost_off(name):
    """A cost of 0 vanishes, and nothing else changes."""
    off = costly_day(replace(SHORT_MATCH, **{name: 0}))
    assert parts_of(off) == AT_WORK | {name: 0}
    assert off.total == costly_day(SHORT_MATCH).total + AT_WORK[name]


def test_every_cost_is_tested_at_zero():
    """A cost added to the day must join the tests above; turning a pair round costs a change."""
    others = {"match_free_deg", "match_span_deg", "turned_round"}
    figures = {field.name for field in fields(Costs)} - others
    assert figures == set(AT_WORK)


def test_least_builds_set_up_one_shot_of_each_spot_and_rig():
    """Two in the pans: 10 and 10 of adjust and 10 more for the first; the mill's first is set up.

    In the silk the setup of 5 is less than the adjust, so that neither is more than the least.
    """
    silk = {"rig": "silk", "setup_min": 5}
    shots = (a_shot("1"), a_shot("2"), a_shot("3", spot="mill"), a_shot("4", **silk))
    assert least_builds_min(a_day(*shots)) == 30 + 20 + 5
    quicker = a_shot("5", setup_min=12)  # set up first, it costs 2 more than its adjust
    assert least_builds_min(a_day(*shots, quicker)) == 10 + 10 + 12 + 20 + 5
