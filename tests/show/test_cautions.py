"""Cautions at the shots: what the sun and the list say of danger, and every sheet repeats.

All that is warned of, and from where on, is common practice, no source. Sunset and civil dusk are
those of the sun's centre 50' and 6° below the horizon (US Naval Observatory, from memory).
"""

import csv
import io
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import builders
import pytest
from icalendar import Calendar

from sunsched.day.model import CastMember, Day, Hours, Meal, Place, Size, Span, Spot
from sunsched.day.past import Made, Past
from sunsched.light.fit import fit_checked
from sunsched.plan.outlook import Outlook, Prospect
from sunsched.plan.plan import describe_plan, place_changeovers
from sunsched.plan.timetable import Timetable
from sunsched.show.agenda import CAUTIONS, Sheet
from sunsched.show.cautions import (
    LATE,
    MINOR,
    ROAD,
    SUN_IN,
    SUN_NEAR,
    WATER,
    caution_texts,
    day_caution,
    shot_cautions,
)
from sunsched.show.handouts.alternatives import alternatives_handout
from sunsched.show.handouts.handout import cautions_of
from sunsched.show.notes import notes
from sunsched.show.paper_size import Shape
from sunsched.show.records.day import plan_record
from sunsched.show.sheets.printed.pages import paper_figures
from sunsched.show.sheets.sheet import sheet_bytes
from sunsched.show.stamp import Stamp
from sunsched.show.text.day import plan_text

# On the equator and the meridian, on the March equinox of 2027: the sun rises in the east at about
# 06:07 and sets in the west at about 18:07 UTC, six minutes of an hour angle a degree and a half.
CALL = datetime(2027, 3, 20, 5, 0, tzinfo=UTC)
NOON = datetime(2027, 3, 20, 10, 0, tzinfo=UTC)


def a_plan(shots, times, *, hours=11.0, cast=(), latitude_deg=0.0):
    """Give a plan of shots with their starts as minutes past midnight."""
    place = Place(
        name="Null", latitude_deg=latitude_deg, longitude_deg=0.0, elevation_m=0.0, timezone="UTC"
    )
    end = CALL + timedelta(hours=hours)
    day = Day(
        title="A day",
        date=date(2027, 3, 20),
        place=place,
        hours=Hours(crew_call=CALL, first_roll=CALL, wrap=end, hard_wrap=end),
        meal=Meal(earliest=CALL, latest=end, length_min=30),
        spots=(Spot(name="set"), Spot(name="road")),
        shots=tuple(shots),
        cast=tuple(cast),
    )
    rolls = [
        (shot, datetime(2027, 3, 20, tzinfo=UTC) + timedelta(minutes=minute))
        for shot, minute in zip(shots, times, strict=True)
    ]
    table = Timetable(rolls=place_changeovers(day, rolls, None), meal_start=None)
    return describe_plan(fit_checked(day), table, bound=99_999)


def a_shot(description="a hand", **more):
    """Give an insert of ten minutes that looks north, away from the sun."""
    facts: dict[str, Any] = {"spot": "set", "shoot_min": 10, "setup_min": 5, "adjust_min": 5}
    return builders.a_shot("1", description=description, size=Size.INSERT, **facts | more)


def cautions(shot, at=600, **more):
    """Give the cautions of one shot that rolls at a minute of the day."""
    plan = a_plan([shot], [at], **more)
    return shot_cautions(plan, plan.shots[0])


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("The boat waits below", [WATER]),
        ("He ROWS home", [WATER]),
        ("on the lakeside, no traffic", [WATER]),
        ("They wade without a boat", [WATER]),
        ("season of the seal, broad in the crowd", []),
        ("Am Seeufer, die Straße ist leer", [WATER, ROAD]),
        ("Sie steht auf der Brücke", [ROAD]),
        ("la rivière sous le pont", [WATER, ROAD]),
        ("una niña en la playa", [WATER, MINOR]),
        ("un bambino per strada", [ROAD, MINOR]),
        ("a criança na praia", [WATER, MINOR]),
        ("Das Kind am Fenster", [MINOR]),
        ("a kind man, no kids", []),
        ("the kids' table", []),
        ("Two kids at the table", [MINOR]),
    ],
)
def test_words_of_a_list(text, found):
    """Water, roads and minors are found in each language of lists, and not in other words."""
    assert list(cautions(a_shot(text))) == found


def test_words_stand_in_spots_casts_and_kept_columns():
    """Not only what the shot is called counts; and a word is never joined of two columns."""
    assert cautions(a_shot(spot="road")) == (ROAD,)
    assert cautions(a_shot(kept=(("Notes", "rain bar, then the harbour"),))) == (WATER,)
    assert cautions(a_shot("there is no", kept=(("Notes", "boat"),))) == (WATER,)
    assert cautions(a_shot(cast=("Kid 2",))) == (MINOR,)


@pytest.mark.parametrize(
    ("names", "limited", "is_told"),
    [
        (("Nora (9)",), (), True),
        (("Nora (17 yrs)",), (), True),
        (("Nora (18)",), (), False),
        (("Nora (9)",), ("Nora (9)",), False),
        (("Nora (9)", "Ben"), ("Ben",), True),
        (("Nora (9)", "Ben"), ("Nora (9)",), False),
    ],
)
def test_a_minor_with_hours_has_limits(names, limited, is_told):
    """Hours given for the minor silence it; those of somebody else do not."""
    here = (Span(start=CALL, end=NOON + timedelta(hours=2)),)
    cast = [CastMember(name=name, here=here if name in limited else ()) for name in names]
    assert (MINOR in cautions(a_shot(cast=names), cast=cast)) is is_told


def test_a_child_of_the_words_is_one_of_the_cast():
    """Where all of a shot's cast have hours, its words need no more; else they do."""
    here = (Span(start=CALL, end=NOON + timedelta(hours=2)),)
    for limited in (("Ana", "Bo"), ("Ana",)):
        cast = [CastMember(name=one, here=here if one in limited else ()) for one in ("Ana", "Bo")]
        found = cautions(a_shot("the child sleeps", cast=("Ana", "Bo")), cast=cast)
        assert found == (() if len(limited) == 2 else (MINOR,))


@pytest.mark.parametrize(
    ("look_deg", "lens_mm", "found"),
    [
        # Super 35 is 24.9 mm wide: 2 arctan(24.9 / 2 / 50) is 28°, half of it 14°.
        (90.0, 50.0, (SUN_IN,)),
        (90.0 + 13.5, 50.0, (SUN_IN,)),
        (90.0 + 16.0, 50.0, (SUN_NEAR,)),
        (90.0 - 18.5, 50.0, (SUN_NEAR,)),
        (90.0 + 20.0, 50.0, ()),
        (90.0 + 16.0, 100.0, ()),
        (90.0 + 4.0, None, (SUN_NEAR,)),
        (90.0 + 6.0, None, ()),
        (270.0, 50.0, ()),
    ],
)
def test_sun_in_the_frame(look_deg, lens_mm, found):
    """An hour after an equinox sunrise on the equator the sun is due east, within half a degree."""
    assert cautions(a_shot(look_deg=look_deg, lens_mm=lens_mm), at=7 * 60) == found


def test_the_sun_comes_into_the_frame_as_the_roll_goes_on():
    """It is looked at over all of the roll: at 60° north it goes 15° in the hour past noon."""
    brief, long = (a_shot(look_deg=205.0, lens_mm=50.0, shoot_min=minutes) for minutes in (10, 60))
    assert cautions(brief, at=12 * 60, latitude_deg=60.0) == ()
    assert cautions(long, at=12 * 60, latitude_deg=60.0) == (SUN_IN,)


def test_a_sun_overhead_is_in_no_frame():
    """45° of tilt and half the frame's height are the most: of 50 mm, 59° or ten to ten."""
    shot = a_shot(look_deg=90.0, lens_mm=50.0)
    assert cautions(shot, at=9 * 60 + 55) == (SUN_IN,)
    assert cautions(shot, at=10 * 60 + 15) == ()


@pytest.mark.parametrize(
    ("at", "found"),
    [
        (5 * 60 + 30, ("before sunrise: light the ways and the edges",)),
        (6 * 60 + 10, ()),
        (17 * 60 + 50, ()),
        (18 * 60 + 5, ("after sunset: light the ways and the edges",)),
        (18 * 60 + 25, ("after civil dusk: light the ways and the edges",)),
    ],
)
def test_failing_light(at, found):
    """Sunset is near 18:11 and civil dusk 21 minutes later, by the sun's fall of 15° an hour."""
    told = cautions(a_shot(), at=at, hours=14.0)
    assert tuple(text for text in told if text != LATE) == found


def test_no_sun_stands_in_a_frame_of_the_night():
    """Below the horizon it is in nobody's eyes."""
    west = a_shot(look_deg=270.0, lens_mm=50.0)
    assert SUN_IN in cautions(west, at=17 * 60, hours=14.0)
    assert SUN_IN not in cautions(west, at=18 * 60 + 25, hours=14.0)


def test_a_long_day_is_said_of_the_day_and_of_its_last_shots():
    """More than 12 hours from call to wrap; a shot is told that ends after them."""
    shots = [a_shot(), replace(a_shot(), id="2")]
    plan = a_plan(shots, [16 * 60 + 40, 17 * 60 + 1], hours=12.5)
    assert [LATE in shot_cautions(plan, one) for one in plan.shots] == [False, True]
    said = "call to wrap is 12 h 30: over 12 h the agreement and the code have limits"
    assert day_caution(plan) == said
    assert said in notes(plan)
    assert day_caution(a_plan(shots, [600, 700], hours=12.0)) == ""


def test_likely_starts_count():
    """On the average day a shot may roll from the first to the last start of eight days in ten."""
    plan = a_plan([a_shot()], [17 * 60], hours=14.0)
    roll = datetime(2027, 3, 20, 18, 20, tzinfo=UTC)
    late = Prospect(
        shot_id="1", made=1.0, light=1.0, half=1.0, on_pin=None,
        rolls=Span(start=NOON, end=roll), not_before=None, begin_by=None,
    )  # fmt: skip
    outlook = Outlook(points=1, bound=None, light_kept=1.0, prospects=(late,))
    plan = replace(plan, outlook=outlook)
    assert "after sunset: light the ways and the edges" in shot_cautions(plan, plan.shots[0])


def test_a_made_shot_needs_none():
    """What is over is not warned of; the shot that rolls is."""
    plan = a_plan([a_shot("the boat")], [600])
    one = plan.shots[0]
    made = Made(
        shot_id="1", changeover_start=one.changeover_start, roll_start=one.roll_start,
        roll_end=one.roll_end,
    )  # fmt: skip
    for running, found in ((None, ()), ("1", (WATER,))):
        past = Past(at=one.roll_end, free_at=one.roll_end, made=(made,), running=running)
        later = replace(plan, fit=replace(plan.fit, day=replace(plan.day, past=past)))
        assert shot_cautions(later, one) == found


def test_every_sheet_says_it_of_the_shot():
    """Text, page, paper, calendar, table and JSON say it where the shot is, or name the shot."""
    shots = [
        a_shot("the boat"),
        replace(a_shot("a hand"), id="2"),
        replace(a_shot("a pier"), id="3"),
    ]
    plan = a_plan(shots, [600, 660, 720])
    sheet = Sheet(plan=plan, stamp=Stamp(made_at=CALL, revision=1), paper=Shape.A4)
    assert caution_texts(plan) == (f"1, 3: {WATER}",)
    assert f"1, 3: {WATER}" in plan_text(plan)
    page = sheet_bytes(sheet, "html").decode()
    assert [f"Caution: {WATER}" in part for part in page.split('<li class="shot')[1:]].count(
        True
    ) == 2
    rows = csv.DictReader(io.StringIO(sheet_bytes(sheet, "csv").decode("utf-8-sig")))
    assert [row["cautions"] for row in rows] == [WATER, "", WATER]
    calendar: Any = Calendar.from_ical(sheet_bytes(sheet, "ics"))
    told = [f"caution: {WATER}" in event["DESCRIPTION"] for event in calendar.walk("VEVENT")]
    assert told == [True, False, True]
    record: Any = plan_record(plan)
    assert [one["cautions"] for one in record["shots"]] == [[WATER], [], [WATER]]
    words = [text.get_text() for text in paper_figures(sheet)[0].texts]
    assert sum(word.startswith(f"caution: {WATER[:12]}") for word in words) == 2


def test_arguments_name_the_shots_that_they_move():
    """A handout of alternatives says it of shots by their ids, before what every sheet says."""
    plan = a_plan([a_shot("the boat")], [600])
    handout = alternatives_handout(plan, (), stamp=Stamp(made_at=CALL))
    assert handout.cautions == (f"1: {WATER}", *CAUTIONS)


def test_a_price_and_a_comparison_warn_of_both_orders():
    """Each caution stands once before those of every sheet."""
    one, other = a_plan([a_shot("the boat")], [600]), a_plan([a_shot("a street")], [600])
    assert cautions_of(one, other, one) == (f"1: {WATER}", f"1: {ROAD}", *CAUTIONS)
