"""The pictures as artists and data: the right marks at the right local times, in words that fit.

The days are invented. Times of day that stand in a test follow from the invented hours, or from the
rules of the zone that are named beside it.
"""

import math
import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path
from xml.etree import ElementTree as ET
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PolyCollection
from matplotlib.patches import Circle, FancyArrowPatch
from matplotlib.text import Text

import sunsched.show.drawing.lettering
from sunsched.day.model import Day, Hours, Meal, Place, Shot, Size, Spot
from sunsched.day.past import Made, Past
from sunsched.day.skyline import HorizonPoint
from sunsched.day.wish import SunSide, Wish
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_checked
from sunsched.light.windows import windows
from sunsched.plan.changeover import changeover
from sunsched.plan.plan import describe_plan, place_changeovers
from sunsched.plan.timetable import Timetable
from sunsched.show.charts.day import day_figure, day_pages
from sunsched.show.charts.shot import shot_figure
from sunsched.show.charts.spots.sun import sun_figure
from sunsched.show.drawing.figure import picture_bytes
from sunsched.show.drawing.lettering import (
    LACKING,
    as_text,
    cut,
    lacking,
    lettering,
    width_in,
    wrap,
)
from sunsched.show.drawing.strips import SHADES
from sunsched.show.drawing.timeline import reaching
from sunsched.show.paper_size import Shape
from sunsched.show.pieces import Doing, plan_pieces
from sunsched.sky.events import sun_events

DATA = Path(__file__).parents[2] / "data"
SHAPES = (Shape.A4, Shape.PHONE)
LONG = "the boat and the sea and the sun upon it, " * 8  # over 300 characters
HOSTILE = (
    "costs $5, not $6_x^2$ \\frac{1}{2} $",
    "<script>alert('&amp;')</script>",
    "quotes \" ' ` and \t tabs\nand lines",
    "שלום העולם \u202eevil\u202c مرحبا",
    "\U0001f9d1\u200d\U0001f33e\U0001f6a2 漢字 \ud800 \x07",
    LONG,
)


def at(day_of, clock, zone):
    """Give a local clock time as UTC; `+1` is the next day."""
    hour, minute = clock.removesuffix("+1").split(":")
    local = datetime(
        day_of.year, day_of.month, day_of.day, int(hour), int(minute), tzinfo=ZoneInfo(zone)
    )
    return (local + timedelta(days=clock.endswith("+1"))).astimezone(UTC)


def a_shot(shot_id, **changes):
    """Give a quick shot that asks nothing: setup 10, adjust 5, roll 10."""
    facts = {
        "id": shot_id,
        "description": f"What is seen in {shot_id}",
        "size": Size.CLOSE_UP,
        "spot": "quay",
        "look_deg": 90.0,
        "wish": Wish(),
        "setup_min": 10,
        "adjust_min": 5,
        "shoot_min": 10,
        "weight": 3.0,
    }
    return Shot(**(facts | changes))


def a_day(shots, **changes):
    """Give a day at Lisbon's quay, in summer, from eight to six, with lunch by two."""
    on = changes.pop("date", date(2027, 6, 9))
    place = changes.pop(
        "place",
        Place(
            name="A quay",
            latitude_deg=38.7,
            longitude_deg=-9.1,
            elevation_m=0,
            timezone="Europe/Lisbon",
        ),
    )
    call, wrap, latest = changes.pop("clocks", ("08:00", "18:00", "14:00"))
    hours = Hours(
        crew_call=at(on, call, place.timezone),
        first_roll=at(on, call, place.timezone),
        wrap=at(on, wrap, place.timezone),
        hard_wrap=at(on, wrap, place.timezone) + timedelta(minutes=30),
    )
    latest = at(on, latest, place.timezone)
    facts = {
        "title": "A made-up day",
        "date": on,
        "place": place,
        "hours": hours,
        "meal": Meal(earliest=hours.crew_call, latest=latest, length_min=45),
        "spots": tuple(Spot(name=name) for name in dict.fromkeys(shot.spot for shot in shots)),
        "shots": tuple(shots),
    }
    return Day(**(facts | changes))


def in_order(day, *, left_out=()):
    """Give fit and plan of the day's shots in their order, one straight after the other."""
    fit = fit_checked(day)
    free = day.hours.crew_call
    before, meal_start, rolls = None, None, []
    made = [shot for shot in day.shots if shot.id not in left_out]
    for shot in made:
        ready = free + timedelta(minutes=changeover(day, before, shot).total_min)
        end = ready + timedelta(minutes=shot.shoot_min)
        if meal_start is None and before is not None and end > day.meal.latest - timedelta(hours=1):
            meal_start = free
            ready += timedelta(minutes=day.meal.length_min)
        rolls.append((shot, ready))
        free, before = ready + timedelta(minutes=shot.shoot_min), shot
    timetable = Timetable(rolls=place_changeovers(day, rolls, meal_start), meal_start=meal_start)
    return fit, describe_plan(fit, timetable, 10**6)


def thirty_shots():
    """Give a full day: thirty shots at three spots, all kinds of wish, the last two left out."""
    spots = ("quay", "lighthouse road", "net loft")
    sides = (SunSide.ANY, SunSide.BACK, SunSide.SIDE, SunSide.SHADE, SunSide.FRONT)
    shots = [
        a_shot(
            f"{number // 4 + 1}{'ABCD'[number % 4]}",
            spot=spots[number // 10],
            look_deg=float(37 * number % 360),
            size=list(Size)[number % 5],
            wish=Wish(side=sides[number % 5]),
        )
        for number in range(30)
    ]
    ridge = (
        HorizonPoint(azimuth_deg=90, elevation_deg=30),
        HorizonPoint(azimuth_deg=250, elevation_deg=5),
    )
    places = (Spot(name=spots[0]), Spot(name=spots[1], horizon=ridge), Spot(name=spots[2]))
    return in_order(a_day(shots, spots=places), left_out=("8A", "8B"))


def hostile_day():
    """Give a day all of whose words are hostile."""
    shots = [
        a_shot(f"${number}$", description=text, spot=HOSTILE[number % 2])
        for number, text in enumerate(HOSTILE)
    ]
    place = Place(
        name=LONG, latitude_deg=38.7, longitude_deg=-9.1, elevation_m=0, timezone="Europe/Lisbon"
    )
    return in_order(a_day(shots, title=HOSTILE[0] + LONG, place=place), left_out=("$3$",))


def elsewhere(latitude_deg, longitude_deg, timezone, on, clocks):
    """Give six shots somewhere else, on another date, at other hours."""
    place = Place(
        name="Elsewhere",
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=0,
        timezone=timezone,
    )
    shots = [a_shot(str(number), wish=Wish(side=SunSide.BACK)) for number in range(1, 7)]
    return in_order(a_day(shots, place=place, date=on, clocks=clocks))


# What `plan` printed for the demo days: the meal, then each shot's roll.
ROLLS = {
    "last-lamp": "11:35 1@06:25 5@07:00 2@07:45 4@08:20 3@09:00 7@09:45 6@10:25 8@11:15 9@14:35 "
    "10@15:30 11@16:00 12@16:25 13@17:15 14@17:45 15@18:10 16@18:50",
    "late-ridge": "13:00 1A@07:30 1B@08:05 1C@08:30 3D@09:00 3E@09:50 2A@10:50 2B@11:35 2C@12:00 "
    "2E@12:30 2D@12:50 3A@14:30 3C@14:55 3B@15:20 4A@16:10 4B@16:40",
    "ferry-light": "11:50 1@08:35 2@09:15 4@09:50 3@10:35 5@11:05 6@11:30 7@14:00 8@14:50 10@15:40 "
    "9@16:05 11@16:50 12@17:20",
}


def demo(name):
    """Give fit and plan of a demo day, without waiting for the solver."""
    fit = fit_checked(read_day(DATA / name))
    day = fit.day
    meal, *starts = ROLLS[name].split()
    rolls = [
        (day.shot(shot_id), at(day.date, clock, day.place.timezone))
        for shot_id, clock in (start.split("@") for start in starts)
    ]
    meal_start = at(day.date, meal, day.place.timezone)
    placed = place_changeovers(day, rolls, meal_start)
    return fit, describe_plan(fit, Timetable(rolls=placed, meal_start=meal_start), 10**6)


def under_way(fit_and_plan, made, cut=()):
    """Give a plan in the middle of the roll of the last of so many shots, on its own times."""
    fit, plan = fit_and_plan
    shots = [
        replace(one, last_start=None) if number < made else one
        for number, one in enumerate(plan.shots)
    ]
    running = shots[made - 1]
    past = Past(
        at=running.roll_start + timedelta(minutes=5),
        free_at=running.roll_end,
        made=tuple(
            Made(
                shot_id=one.shot.id,
                changeover_start=one.changeover_start,
                roll_start=one.roll_start,
                roll_end=one.roll_end,
            )
            for one in shots[:made]
        ),
        running=running.shot.id,
        cut=cut,
        meal_start=None if plan.meal.start > running.roll_start else plan.meal.start,
    )
    return fit, replace(
        plan, fit=replace(plan.fit, day=replace(plan.day, past=past)), shots=tuple(shots)
    )


# Clocks go forward on 2027-03-28 at 01:00 UTC, and back on 2027-10-31 (European rules, from
# memory).
CASES = {
    "last-lamp": lambda: demo("last-lamp"),
    "late-ridge": lambda: demo("late-ridge"),
    "ferry-light": lambda: demo("ferry-light"),
    "last-lamp under way": lambda: under_way(demo("last-lamp"), 10),
    "thirty": thirty_shots,
    "thirty under way": lambda: under_way(thirty_shots(), 14, cut=("8A",)),
    "hostile": hostile_day,
    "polar day": lambda: elsewhere(
        78.2, 15.6, "Arctic/Longyearbyen", date(2027, 6, 21), ("10:00", "20:00", "16:00")
    ),
    "polar night": lambda: elsewhere(
        78.2, 15.6, "Arctic/Longyearbyen", date(2027, 12, 21), ("10:00", "20:00", "16:00")
    ),
    "clocks forward": lambda: elsewhere(
        40.4, -3.7, "Europe/Madrid", date(2027, 3, 28), ("00:30", "10:00", "07:00")
    ),
    "clocks back": lambda: elsewhere(
        40.4, -3.7, "Europe/Madrid", date(2027, 10, 31), ("00:30", "10:00", "07:00")
    ),
    "past midnight": lambda: elsewhere(
        64.1, -21.9, "Atlantic/Reykjavik", date(2027, 6, 21), ("17:00", "02:00+1", "23:00")
    ),
    "southern": lambda: elsewhere(
        -33.9, 18.4, "Africa/Johannesburg", date(2027, 12, 21), ("06:00", "18:00", "12:00")
    ),
    "quarter hours": lambda: elsewhere(
        27.7, 85.3, "Asia/Kathmandu", date(2027, 4, 1), ("06:00", "18:00", "12:00")
    ),
}


@cache
def case(name):
    """Give fit and plan of a case, made once for all tests."""
    return CASES[name]()


def pictures(name, shape):
    """Draw the day of a case and, on a phone, where room is scarce, its last spot and shot."""
    fit, plan = case(name)
    yield day_figure(fit, plan, now=plan.shots[1].roll_start, shape=shape)
    if shape is Shape.PHONE or name in ("last-lamp", "thirty", "hostile"):
        yield sun_figure(fit, fit.day.spots[-1].name, plan, shape=shape)
        yield shot_figure(fit, fit.day.shots[-1].id, plan, shape=shape)


def words(figure):
    """Give the lettering of a picture that shows, with its extent in dots."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    return [
        (text.get_text(), Text.get_window_extent(text, renderer))
        for text in figure.findobj(Text)
        if text.get_visible() and text.get_text().strip()
    ]


def misplaced(figure):
    """List all lettering that overlaps other lettering or leaves the page."""
    found, page = [], figure.bbox
    extents = words(figure)
    for text, box in extents:
        if box.x0 < 0 or box.y0 < 0 or box.x1 > page.x1 or box.y1 > page.y1:
            found.append(f"`{text}` leaves the page")
    for (text, box), (other, other_box) in combinations(extents, 2):
        across = min(box.x1, other_box.x1) - max(box.x0, other_box.x0)
        up = min(box.y1, other_box.y1) - max(box.y0, other_box.y0)
        # Boxes hold room over and under the letters, so lines may share a fifth of their height.
        if across > 1 and up > 0.2 * min(box.height, other_box.height):
            found.append(f"`{text}` meets `{other}`")
    return found


def marks(figure, label):
    """Give the artists of this label."""
    return [artist for artist in figure.findobj() if artist.get_label() == label]


def box_times(fit, artist):
    """Give the moments at which a box of a picture starts and ends."""
    start = fit.track.start + timedelta(minutes=artist.get_x())
    return start, start + timedelta(minutes=artist.get_width())


def line_times(fit, figure, label):
    """Give the local times of the upright lines of this label."""
    zone = fit.day.place.zone
    minutes = {
        float(x) for line in marks(figure, label) for x in line.get_xdata() if not np.isnan(x)
    }
    return [
        (fit.track.start + timedelta(minutes=minute)).astimezone(zone) for minute in sorted(minutes)
    ]


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("name", CASES)
def test_no_lettering_overlaps_or_leaves_the_page(name, shape):
    """On every kind of day and paper, each word stands clear of the others, and on the page."""
    for figure in pictures(name, shape):
        assert misplaced(figure) == []


@pytest.mark.parametrize("shape", [Shape.LETTER, Shape.PHONE])
def test_sixty_shots_fit_a_page(shape):
    """Many shots are shared out over pages of sheets that stand upright; a phone's page grows."""
    shots = [a_shot(f"{number}", adjust_min=0, shoot_min=5) for number in range(1, 61)]
    fit, plan = in_order(a_day(shots))
    pages = day_pages(fit, plan, shape=shape)
    assert len(pages) == (3 if shape is Shape.LETTER else 1)
    assert [row.shot and row.shot.id for page in pages for row in page] == [
        one.shot.id for one in plan.shots
    ]
    for rows in pages:
        figure = day_figure(fit, plan, shape=shape, rows=rows)
        assert misplaced(figure) == []
        width, height = figure.get_size_inches()
        assert (width, height) == (8.5, 11.0) if shape is Shape.LETTER else width == 4.0
        strips = {one for one in figure.findobj() if str(one.get_label()).startswith("light ")}
        assert {str(one.get_label()) for one in strips} == {
            f"light {row.shot.id}" for row in rows if row.shot
        }


def test_misplaced_lettering_is_found():
    """The check itself sees a word on another and a word off the page."""
    fit, plan = case("southern")
    figure = day_figure(fit, plan)
    figure.text(0.5, 0.5, "over")
    figure.text(0.5, 0.5, "under")
    figure.text(0.999, 0.2, "outside")
    found = misplaced(figure)
    assert "`outside` leaves the page" in found
    assert "`over` meets `under`" in found


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("name", ["thirty", "hostile", "last-lamp"])
def test_every_shot_has_one_row(name, shape):
    """Each id stands once on the day picture, in shooting order and then left-out, with a strip."""
    fit, plan = case(name)
    figure = day_figure(fit, plan, shape=shape)
    ids = [one.shot.id for one in (*plan.shots, *plan.left_out)]
    heights = {}
    for text, box in words(figure):
        if text in ids:
            assert text not in heights
            heights[text] = box.y0
    assert sorted(heights, key=lambda text: -heights[text]) == ids
    for shot_id in ids:
        assert len(marks(figure, f"light {shot_id}")) == 1
    said = [text for text, _ in words(figure)]
    assert said.count("left out") == bool(plan.left_out)


@pytest.mark.parametrize("name", ["last-lamp", "clocks forward", "clocks back", "past midnight"])
def test_rolls_stand_at_their_times(name):
    """Each roll is a box from its start to its end, and its build a box of its own before it."""
    fit, plan = case(name)
    figure, fit = day_figure(fit, plan), reaching(fit)
    for planned in plan.shots:
        (roll,) = marks(figure, f"roll {planned.shot.id}")
        assert box_times(fit, roll) == (planned.roll_start, planned.roll_end)
        (build,) = marks(figure, f"build {planned.shot.id}")
        ready = planned.built_at
        moved = planned.changeover_start + timedelta(minutes=planned.move_min)
        assert box_times(fit, build) == (moved, ready)
        assert build.get_height() < roll.get_height()
        assert build.get_hatch()
        assert not roll.get_hatch()


@pytest.mark.parametrize(
    ("name", "hours"),
    [
        ("clocks forward", [0, 1, 3, 4, 5]),  # no 02:00 that night
        ("clocks back", [0, 1, 2, 2, 3]),
        ("quarter hours", [6, 7, 8, 9, 10]),
    ],
)
def test_hours_are_those_of_the_local_clock(name, hours):
    """Lines stand at the full hours that the clock shows, also when it is put forward or back."""
    fit, plan = case(name)
    times = line_times(reaching(fit), day_figure(fit, plan), "hours")
    assert {time.minute for time in times} == {0}
    shown = [time.hour for time in times]
    first = shown.index(hours[0])
    assert shown[first : first + len(hours)] == hours


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("clocks forward", "clocks go forward"),
        ("clocks back", "clocks go back"),
        ("past midnight", "Tuesday"),  # 2027-06-22
    ],
)
def test_change_of_clock_and_date_is_named(name, text):
    """A day whose clock jumps says so, and one past midnight names the next weekday, once."""
    fit, plan = case(name)
    assert [said for said, _ in words(day_figure(fit, plan))].count(text) == 1
    other, other_plan = case("southern")
    assert text not in [said for said, _ in words(day_figure(other, other_plan))]


def test_sun_moments_meal_and_hours_are_named_once():
    """Noon and sunset stand once over the picture; what is out of its hours is in words."""
    fit, plan = case("last-lamp")
    said = [text for text, _ in words(day_figure(fit, plan))]
    events = sun_events(fit.day.place, fit.day.date)
    zone = fit.day.place.zone
    for name, when in (("sun highest", events.solar_noon), ("sunset", events.sunset)):
        assert when is not None
        near = (when + timedelta(seconds=30)).astimezone(zone)
        assert said.count(f"{name} {near:%H:%M}") == 1
    beyond = "before or after the hours shown: civil dawn 04:25, sunrise 04:56, civil dusk 20:08"
    for text in (beyond, "crew call 06:00", "wrap 19:15", "hard wrap 19:30", "meal 11:35–12:35"):
        assert said.count(text) == 1


def test_call_and_wrap_stand_over_the_strips_alone():
    """Over the sun their lines would stand beside the labels of its moments."""
    fit, plan = case("last-lamp")
    band, *_, strips = day_figure(fit, plan).axes
    (line,) = marks(strips, "call and wrap")
    hours = plan.day.hours
    moments = {fit.time_of(round(x)) for x in line.get_xdata() if not np.isnan(x)}
    assert moments == {hours.crew_call, hours.wrap, hours.hard_wrap}
    assert marks(band, "call and wrap") == []
    assert marks(band, "sun") != []


def test_day_without_sunrise_names_none():
    """On a polar day the picture names no sunrise, and has the hours of work as on any other."""
    fit, plan = case("polar day")
    figure = day_figure(fit, plan)
    assert not [text for text, _ in words(figure) if text.startswith(("sunrise", "sunset"))]
    hours = [time.hour for time in line_times(fit, figure, "hours")]
    assert hours == list(range(9, 22))  # call 10:00, hard wrap 20:30


def test_now_is_drawn_only_when_asked_and_named_when_elsewhere():
    """Now is a line at its minute; a now of another day is told in words."""
    fit, plan = case("last-lamp")
    now = at(fit.day.date, "14:10", "Africa/Tunis")
    assert marks(day_figure(fit, plan), "now") == []
    figure = day_figure(fit, plan, now=now)
    assert [f"{time:%H:%M}" for time in line_times(fit, figure, "now")] == ["14:10"]
    assert "now 14:10" in [text for text, _ in words(figure)]
    figure = day_figure(fit, plan, now=now + timedelta(days=2))
    assert marks(figure, "now") == []
    assert "now, 2027-06-17 14:10, is not on this picture" in [text for text, _ in words(figure)]


def test_strip_shades_are_the_light_of_each_minute():
    """At any minute the topmost box of a strip has the grey of the light that is kept then."""
    fit, plan = case("last-lamp")
    figure = day_figure(fit, plan)
    for shot_id in ("2", "9", "16"):
        (strip,) = marks(figure, f"light {shot_id}")
        assert isinstance(strip, PolyCollection)
        boxes = [path.get_extents() for path in strip.get_paths()]
        greys = np.asarray(strip.get_facecolor())[:, 0]
        for minute in range(300, 1200, 7):
            inside = [n for n, box in enumerate(boxes) if box.x0 <= minute < box.x1]
            light = fit.shots[shot_id].fit[minute]
            shade = next(grey for least, grey in reversed(SHADES) if light >= least)
            assert greys[inside[-1]] == pytest.approx(float(shade))


def test_moves_and_waits_are_told_apart():
    """A move is a dark box thinner than a build, a wait a dotted line; both at their times."""
    fit, plan = case("last-lamp")
    figure = day_figure(fit, plan)
    moved = next(one for one in plan.shots if one.move_min)
    (move,) = marks(figure, f"move {moved.shot.id}")
    (build,) = marks(figure, f"build {moved.shot.id}")
    end = moved.changeover_start + timedelta(minutes=moved.move_min)
    assert box_times(fit, move) == (moved.changeover_start, end)
    assert move.get_height() < build.get_height()
    assert move.get_facecolor()[0] < 0.2 < build.get_facecolor()[0]
    waited = next(one for one in plan.shots if one.built_wait_min >= 5)
    (wait,) = marks(figure, f"wait {waited.shot.id}")
    ready = waited.built_at
    assert list(wait.get_xdata()) == [
        (when - fit.track.start) / timedelta(minutes=1) for when in (ready, waited.roll_start)
    ]


@pytest.mark.parametrize("shape", SHAPES)
def test_day_under_way_shows_what_is_made(shape):
    """Made rolls are filled, the running one is hatched, the rest is open; words say it too."""
    fit, plan = case("thirty under way")
    figure = day_figure(fit, plan, shape=shape)
    looks = []
    for planned in plan.shots:
        (roll,) = marks(figure, f"roll {planned.shot.id}")
        filled = roll.get_facecolor()[3] > 0 and roll.get_facecolor()[2] < 0.6
        looks.append("made" if filled else "running" if roll.get_hatch() else "coming")
    assert looks == ["made"] * 13 + ["running"] + ["coming"] * 14
    said = [text for text, _ in words(figure)]
    assert sum(text.startswith("made ") for text in said) == 13
    assert sum(text.startswith("running ") for text in said) == 1
    assert (said.count("cut"), said.count("made"), said.count("roll that goes on")) == (1, 1, 1)
    (now,) = line_times(fit, figure, "now")
    assert now == plan.day.past.at


def test_made_shot_has_no_last_start():
    """Neither mark nor words of a last start are left once a shot has rolled."""
    fit, plan = case("last-lamp under way")
    figure = day_figure(fit, plan)
    for number, planned in enumerate(plan.shots):
        assert bool(marks(figure, f"last {planned.shot.id}")) == (number >= 10)
    said = [text for text, _ in words(shot_figure(fit, plan.shots[0].shot.id, plan))]
    assert any(text.startswith("made 06:25–06:50, keeps") for text in said)
    assert not any("last start" in text for text in said)
    said = [text for text, _ in words(shot_figure(fit, plan.shots[-1].shot.id, plan))]
    assert any(text.startswith("last start") for text in said)


def test_picture_within_a_page_leaves_the_words_to_it():
    """Only the names of moments, hours and parts are left where the page says the rest."""
    fit, plan = case("last-lamp")
    said = [text for text, _ in words(shot_figure(fit, "9", plan, is_alone=False))]
    assert "Shot 9" not in said
    assert "window: its sun is right" not in said
    assert "rolls 14:35" in said


@pytest.mark.parametrize("name", ["last-lamp", "thirty", "late-ridge"])
def test_pieces_fill_the_day_without_gap_or_overlap(name):
    """From the first changeover to the last roll the pieces and the meal follow one another."""
    _, plan = case(name)
    spans = [(piece.start, piece.end) for piece in plan_pieces(plan)]
    spans.append((plan.meal.start, plan.meal.end))
    spans.sort()
    assert all(end == start for (_, end), (start, _) in pairwise(spans))
    rolls = [piece.shot_id for piece in plan_pieces(plan) if piece.doing is Doing.ROLL]
    assert rolls == [planned.shot.id for planned in plan.shots]


def test_every_mark_is_in_the_key():
    """The key of the day picture explains strip, roll, build, move, wait, meal, last start, now."""
    fit, plan = case("last-lamp")
    said = [text for text, _ in words(day_figure(fit, plan, now=plan.shots[0].roll_start))]
    for text in (
        "light kept at each minute, the lighter the better:",
        "roll",
        "build or adjust before it",
        "company move",
        "wait",
        "meal",
        "now",
        "last start that keeps half its light",
        "height of the sun",
        "direct sun",
        "behind the skyline or down",
        "low: spot shut or cast away",
        "is here",
    ):
        assert said.count(text) == 1


def test_an_overhang_hides_the_sun_where_it_passes():
    """The bar of the spot is dark then, and the circle of the sky has it hatched."""
    over = tuple(
        HorizonPoint(azimuth_deg=azimuth, elevation_deg=50, under_deg=20, part="roof")
        for azimuth in (320, 120)
    )
    day = a_day([a_shot("1")], spots=(Spot(name="quay", horizon=over),))
    fit, plan = in_order(day)
    figure, circle = day_figure(fit, plan), sun_figure(fit, "quay", plan)
    [bar] = marks(figure, "half sun at quay")
    lit = [path.get_extents() for path in bar.get_paths()]
    # It goes in at the overhang's lower edge, and comes out over its upper one, before its end.
    (_, in_at), (out_at, _) = sorted((int(box.x0), int(box.x1)) for box in lit)
    assert fit.track.apparent_elevation_deg[in_at] == pytest.approx(20, abs=0.5)
    assert fit.track.apparent_elevation_deg[out_at] == pytest.approx(50, abs=0.5)
    assert fit.track.azimuth_deg[out_at] < 120
    assert len(marks(circle, "overhang")) == 1
    assert "hidden by the skyline" in [text for text, _ in words(circle)]
    assert misplaced(figure) == misplaced(circle) == []


def test_sun_picture_turns_clockwise_from_north():
    """A look to the east points right, and a sun stands on its azimuth, nearer in when higher."""
    fit, plan = case("last-lamp")
    figure = sun_figure(fit, "yard", plan)
    radius = max(circle.get_radius() for circle in figure.axes[0].findobj(Circle))
    at_spot = [one for one in plan.shots if one.shot.spot == "yard"]
    assert len(at_spot) > 3
    for planned in at_spot:
        (sun,) = marks(figure, f"sun {planned.shot.id}")
        (x,), (y,) = sun.get_data()
        assert np.degrees(np.arctan2(x, y)) % 360 == pytest.approx(planned.sun_azimuth_deg)
        height = 90 * (1 - np.hypot(x, y) / radius)
        assert height == pytest.approx(planned.sun_elevation_deg)
    arrows = {str(one.get_label()): one for one in figure.findobj(FancyArrowPatch)}
    looks = {label.removeprefix("look "): one for label, one in arrows.items() if "look " in label}
    named = {shot_id for label in looks for shot_id in label.split(", ")}
    assert named == {one.shot.id for one in at_spot}
    for label, arrow in looks.items():
        to_inches = figure.axes[0].transData.inverted()
        path = arrow.get_path()
        corners = np.asarray(path.vertices)[np.asarray(path.codes) != path.CLOSEPOLY]
        points = to_inches.transform(arrow.get_transform().transform(corners))
        # It points away from the camera: its head, which is wide, stands farther out.
        away = np.hypot(*points.T)
        look = math.radians(fit.day.shot(label.split(", ")[0]).look_deg)
        beside = np.abs(points @ (math.cos(look), -math.sin(look)))
        assert points.mean(axis=0) @ (math.sin(look), math.cos(look)) > radius
        assert beside.max() < 0.1
        assert away[beside > beside.max() / 2].min() > away.min() + 0.05


def test_light_falls_in_from_the_side_of_the_lens():
    """In the circle beside its shot the light comes from the right for a sun at camera right."""
    fit, plan = case("last-lamp")
    for spot in ("yard", "rocks"):
        figure = sun_figure(fit, spot, plan)
        for planned in (one for one in plan.shots if one.shot.spot == spot):
            (ray,) = marks(figure, f"light {planned.shot.id}")
            x = ray.get_path().vertices[:, 0]
            from_right = x[0] > x[1]
            if 20 < abs(planned.sun_from_lens_deg) < 160:
                assert from_right == (planned.sun_from_lens_deg > 0)


@pytest.mark.parametrize("shape", SHAPES)
def test_sun_picture_names_suns_and_hours(shape):
    """Every shot of the spot is named at its sun, at its look and in the table."""
    fit, plan = case("last-lamp")
    said = [text for text, _ in words(sun_figure(fit, "rocks", plan, shape=shape))]
    for shot_id in ("13", "14", "15", "16"):
        assert said.count(shot_id) == 3
    assert ("12:00" if shape is Shape.A4 else "12 h") in said


def test_skyline_is_shaded_up_to_its_height():
    """The shade of the rocks reaches in from the rim to the height of the cliff, and no farther."""
    fit, _ = case("last-lamp")
    figure = sun_figure(fit, "rocks")
    radius = max(circle.get_radius() for circle in figure.axes[0].findobj(Circle))
    (shade,) = marks(figure, "skyline")
    corners = shade.get_xy()
    heights = 90 * (1 - np.hypot(*corners.T) / radius)
    tallest = max(point.elevation_deg for point in fit.day.spot("rocks").horizon)
    assert heights.max() == pytest.approx(tallest, abs=0.5)
    assert marks(sun_figure(fit, "yard"), "skyline") == []


def test_pictures_without_a_plan_hold_no_shots():
    """Without a plan there are path, skyline, light and windows, but no suns, looks or rolls."""
    fit, _ = case("last-lamp")
    figure = sun_figure(fit, "yard")
    assert [
        artist for artist in figure.findobj() if str(artist.get_label()).startswith("look")
    ] == []
    assert len(marks(figure, "path")) == 1
    figure = shot_figure(fit, "9")
    assert marks(figure, "roll") == marks(figure, "roll 9") == []
    assert len(marks(figure, "window")) == 1


@pytest.mark.parametrize("shot_id", ["2", "10", "16"])
def test_shot_picture_holds_windows_parts_and_last_start(shot_id):
    """Windows, roll and last start stand at their times; each part that takes light has a curve."""
    fit, plan = case("last-lamp")
    figure = shot_figure(fit, shot_id, plan)
    (found,) = (one for one in windows(fit) if one.shot == shot_id)
    shown = [box_times(fit, box) for box in marks(figure, "window")]
    assert shown == [(span.start, span.end) for span in found.spans]
    planned = next(one for one in plan.shots if one.shot.id == shot_id)
    (roll,) = marks(figure, f"roll {shot_id}")
    assert box_times(fit, roll) == (planned.roll_start, planned.roll_end)
    over_parts = marks(figure, "roll")
    assert len(over_parts) >= 3
    for box in over_parts:
        assert box_times(fit, box) == (planned.roll_start, planned.roll_end)
    (last,) = (mark for mark in marks(figure, "last start") if not isinstance(mark, Text))
    assert fit.time_of(int(last.get_xdata()[0])) == planned.last_start
    said = " ".join(text for text, _ in words(figure))
    for name, part in fit.shots[shot_id].parts.items():
        if part.min() < 0.99:
            assert len(marks(figure, name)) == 1
            assert f"{name}: " in said
    assert "met all day: clear sky" in said


def test_curves_follow_the_light():
    """The corners of a curve that are kept give the light back to within a hundredth."""
    fit, plan = case("last-lamp")
    for shot_id in ("2", "16"):
        figure = shot_figure(fit, shot_id, plan)
        (area,) = marks(figure, "light")
        foot, *top, _ = area.get_xy()[:-1]
        minute, height = np.array(top).T
        minutes = np.arange(int(minute[0]), int(minute[-1]) + 1)
        # The area stands on its foot, and the axes' upper edge, at 0, is a light of 1.
        drawn = (foot[1] - np.interp(minutes, minute, height)) / foot[1]
        assert np.abs(drawn - fit.shots[shot_id].fit[minutes]).max() < 0.01


def test_left_out_shot_says_why():
    """The picture of a shot that is not made says so, and draws no roll."""
    fit, plan = case("thirty")
    figure = shot_figure(fit, "8A", plan)
    assert any(text.startswith("left out: ") for text, _ in words(figure))
    assert marks(figure, "roll 8A") == []


@pytest.mark.parametrize("kind", ["png", "svg", "pdf"])
def test_same_plan_gives_the_same_bytes(kind):
    """Two drawings of one plan are the same file, byte for byte."""
    fit, plan = case("southern")
    first, second = (picture_bytes([day_figure(fit, plan)], kind) for _ in range(2))
    assert first == second
    magic = {"png": b"\x89PNG", "svg": b"<?xml", "pdf": b"%PDF"}[kind]
    assert first.startswith(magic)


def test_pdf_takes_several_pages_and_others_one():
    """A PDF has a page for each figure; an image takes one figure, and no other kind is known."""
    fit, plan = case("southern")
    figures = [day_figure(fit, plan), sun_figure(fit, "quay", plan)]
    pages = picture_bytes(figures, "pdf")
    assert len(re.findall(rb"/Type /Page\b", pages)) == 2
    with pytest.raises(ValueError, match="holds one picture, not 2"):
        picture_bytes(figures, "png")
    with pytest.raises(ValueError, match="no pictures are made of kind `gif`"):
        picture_bytes(figures[:1], "gif")


def svg_texts(figure):
    """Give what the texts of a picture say in an SVG; there is nothing but marks and texts."""
    root = ET.fromstring(picture_bytes([figure], "svg"))  # noqa: S314  a picture just drawn
    nodes = [(node.tag.rpartition("}")[2], "".join(node.itertext())) for node in root.iter()]
    assert {tag for tag, _ in nodes}.isdisjoint({"script", "image", "a", "foreignObject"})
    return [text for tag, text in nodes if tag == "text"]


def test_hostile_words_stay_words():
    """Marks of mathematics and of HTML are drawn as they are written, whatever the picture."""
    fit, plan = case("hostile")
    assert "<script>alert('&amp;')</script>" in svg_texts(shot_figure(fit, "$1$", plan))
    assert HOSTILE[0] in svg_texts(shot_figure(fit, "$0$", plan))
    assert "$0$" in svg_texts(day_figure(fit, plan))
    assert svg_texts(sun_figure(fit, HOSTILE[0], plan)).count("$0$") == 2  # at its sun, in words


def test_files_are_small():
    """A day of twenty shots and more is under 300 kB as a PDF, and one shot's SVG under 25 kB."""
    fit, plan = case("thirty")
    assert len(picture_bytes([day_figure(fit, plan)], "pdf")) < 300_000
    fit, plan = case("last-lamp")
    for shot in fit.day.shots[::3]:
        assert len(picture_bytes([shot_figure(fit, shot.id, plan)], "svg")) < 25_000


def test_lettering_marks_what_the_font_lacks(monkeypatch):
    """Signs that the font lacks become one mark each; joiners and control signs leave no trace."""
    monkeypatch.setattr(sunsched.show.drawing.lettering, "_font_of", lambda _: "")
    assert lettering("漢a") == f"{LACKING}a"
    assert lettering("a\u200db\u202ec\ufe0f") == "abc"
    # As text, joiners stay and what turns the order of others does not.
    assert as_text("a\u200db\u202ec\ufe0f\ud800\n漢") == f"a\u200dbc\ufe0f{LACKING} 漢"
    assert lacking(["漢a", "b漢字\u200d"]) == ["漢", "字"]
    assert lettering("a\nb\x07") == "a b "
    assert lettering("Béchir “Neža” – 5° →") == "Béchir “Neža” – 5° →"


@pytest.mark.parametrize("text", [LONG, "x" * 300, "a" + " b" * 200, "W" * 40 + " i" * 40])
@pytest.mark.parametrize("room_in", [0.4, 2.0, 5.0])
def test_cut_and_wrapped_words_fit(text, room_in):
    """Cut text fits its room and ends in …; wrapped lines fit theirs and lose only spaces."""
    short = cut(text, room_in, 9.0)
    assert width_in(short, 9.0) <= room_in
    assert short.endswith("…")
    assert text.startswith(short[:-1])
    lines = wrap(text, room_in, 9.0)
    assert max(width_in(line, 9.0) for line in lines) <= room_in
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert len(wrap(text, room_in, 9.0, lines=2)) == min(2, len(lines))
