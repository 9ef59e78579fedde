"""The printed pages: letters as large as fit, all that a crew needs on them, nothing over another.

Boxes of texts are those of matplotlib's own renderer, which measures the letters that are drawn.
"""

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache
from itertools import combinations, pairwise
from typing import Any

import builders
import numpy as np
import pytest
from astral import Observer
from astral.sun import sun as astral_sun
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

import sunsched.show.sheets.printed.pages
from sunsched.day.clock import clock
from sunsched.day.kit.frame import Frame, FrameKind, Rig
from sunsched.day.kit.weather import Weather
from sunsched.day.model import CastMember, Day, Hours, Meal, Move, Place, Spot
from sunsched.day.past import Made, Past
from sunsched.day.wish import SunSide, Wish
from sunsched.folder.log.course import begin
from sunsched.folder.log.event import Event, Kind
from sunsched.folder.log.log import Log
from sunsched.folder.text.findings import Findings, Where
from sunsched.light.fit import fit_checked
from sunsched.plan.outlook import Outlook, Prospect
from sunsched.plan.plan import describe_plan, place_changeovers
from sunsched.plan.timetable import Timetable
from sunsched.show.agenda import Sheet
from sunsched.show.drawing.figure import new_figure
from sunsched.show.paper_size import Paper, Shape, paper
from sunsched.show.sheets.printed.afterwards import after_table
from sunsched.show.sheets.printed.block import SMALL_PT
from sunsched.show.sheets.printed.pages import LEAST_PT, MOST_PT, paper_figures
from sunsched.show.sheets.printed.rows import short_names
from sunsched.show.stamp import Stamp
from sunsched.underway.over import is_over, plan_made

MADE = datetime(2027, 6, 8, 18, 2, tzinfo=UTC)
LONG = "She walks along the sea wall as the lamps go out one by one, and does not look back; " * 2
SCRIPTS = (
    "Er läuft über die weiße Brücke",
    "Она зажигает лампу у окна",
    "הוא חותר אל השמש",
    "彼女は灯台を見上げる",
    "Εκείνη κοιτάζει τη θάλασσα",
)
NAMES = (*(f"Maximiliane Fairweather {k}" for k in range(1, 15)), "Bo")


def a_day(shots, *, on=date(2027, 6, 9), call=6, hours=14, latitude=36.2, spots=(), cast=()):
    """Give a day of shots at Madrid's hours; every spot is a place of its own."""
    place = Place(
        name="Salt pans", latitude_deg=latitude, longitude_deg=-5.9, elevation_m=0,
        timezone="Europe/Madrid",
    )  # fmt: skip
    start = datetime(on.year, on.month, on.day, call, tzinfo=place.zone).astimezone(UTC)
    end = start + timedelta(hours=hours)
    return Day(
        title="A day",
        date=on,
        place=place,
        hours=Hours(crew_call=start, first_roll=start, wrap=end, hard_wrap=end),
        meal=Meal(earliest=start, latest=end, length_min=30),
        spots=spots or (Spot(name="pans"),),
        moves=tuple(
            Move(between=(one.name, other.name), minutes=5) for one, other in combinations(spots, 2)
        ),
        cast=tuple(CastMember(name=name) for name in cast),
        shots=tuple(shots),
    )


def a_sheet(day, *, every_min, meal_after=None, average=False, **more):
    """Give a sheet on which each shot rolls so many minutes after the one before."""
    start = day.hours.crew_call + timedelta(minutes=40)
    timed: list[Any] = []
    meal = None
    for place, shot in enumerate(day.shots):
        if place == meal_after:
            meal = timed[-1][1] + timedelta(minutes=timed[-1][0].shoot_min)
            start += timedelta(minutes=30)
        timed.append((shot, start + timedelta(minutes=every_min * place)))
    table = Timetable(rolls=place_changeovers(day, timed, meal), meal_start=meal)
    plan = describe_plan(fit_checked(day), table, bound=999_999)
    if average:
        plan = replace(plan, outlook=an_outlook(plan))
    facts: dict[str, Any] = {"stamp": Stamp(made_at=MADE, revision=2), "paper": Shape.A4} | more
    return Sheet(plan=plan, **facts)


def an_outlook(plan):
    """Give an outlook in which every third shot waits, and every third may be left out."""
    prospects = tuple(
        Prospect(
            shot_id=one.shot.id,
            made=0.7,
            half=0.6,
            light=0.4,
            on_pin=None,
            rolls=None,
            not_before=one.roll_start if place % 3 else None,
            begin_by=one.changeover_start - timedelta(minutes=1) if place % 2 else None,
        )
        for place, one in enumerate(plan.shots)
    )
    return Outlook(points=plan.points, bound=None, light_kept=0.5, prospects=prospects)


def shots_of(count, **changes):
    """Give shots of ten minutes with a scene, a lens and a rig each; functions are of the place."""
    facts: dict[str, Any] = {
        "shot_id": str,
        "description": lambda k: f"shot number {k} on the pans",
        "shoot_min": 10,
        "setup_min": 10,
        "adjust_min": 5,
        "scene": lambda k: f"{k % 5 + 1}A",
        "lens_mm": 50.0,
        "rig": "silk",
        "spot": "pans",
        **changes,
    }
    return [
        builders.a_shot(
            **{name: value(k) if callable(value) else value for name, value in facts.items()}
        )
        for k in range(count)
    ]


def twelve_spots():
    """Give a day that moves through twelve spots with names of 30 letters."""
    spots = tuple(Spot(name=f"the upper terrace at mill {k:02}") for k in range(12))
    shots = shots_of(12, spot=lambda k: spots[k].name)
    return a_sheet(a_day(shots, spots=spots), every_min=50, meal_after=6)


def long_ids():
    """Give ids and scenes of nine letters and more."""
    shots = shots_of(20, shot_id=lambda k: f"1{k:02}A-2bis", scene="101A-2bis and 102")
    return a_sheet(a_day(shots), every_min=30, average=True)


def long_texts():
    """Give descriptions of more than 200 letters, and two columns of the list as long."""
    shots = shots_of(
        12,
        description=LONG + "and on " * 6,
        rig="8x8 silk and a negative fill beside the door",
        kept=(("VFX", LONG), ("Notes", LONG)),
    )
    return a_sheet(a_day(shots), every_min=40)


def long_names():
    """Give a spot and a cast with names of a hundred letters and more, one without a space."""
    spot = Spot(name=f"the {'very ' * 20}last terrace")
    cast = (f"Maximiliane {'of Sidon ' * 12}".strip(), "x" * 120)
    shots = shots_of(3, spot=spot.name, cast=cast)
    return a_sheet(a_day(shots, spots=(spot, Spot(name="mill")), cast=cast), every_min=60)


def framed(count=12, **changes):
    """Give a day with a silk over the subject, a board and a black, and what the weather is."""
    frames = (
        Frame(name="12 by", kind=FrameKind.OVERHEAD, side_m=3.66, cloth="silk", takes_stops=1.0),
        Frame(name="4 by board", kind=FrameKind.BOUNCE, side_m=1.22),
        Frame(name="4 by black", kind=FrameKind.BLACK, side_m=1.22),
    )
    rig = Rig(name="silk", frames=tuple(one.name for one in frames))
    day = a_day(shots_of(count, match="a", **changes), call=8)
    weather = Weather(gust_m_s=8.0, air_c=31.0, humidity=60.0)
    return replace(day, frames=frames, rigs=(rig,), weather=weather)


DAYS = {
    "framed": lambda: a_sheet(framed(shot_id=lambda k: f"1{k:02}A-2bis"), every_min=60),
    "forty shots": lambda: a_sheet(a_day(shots_of(40), hours=16), every_min=20, meal_after=20),
    "forty on average": lambda: a_sheet(a_day(shots_of(40)), every_min=20, average=True),
    "one shot": lambda: a_sheet(a_day(shots_of(1)), every_min=20),
    "one in half a day": lambda: a_sheet(a_day(shots_of(2)), every_min=500),
    "long ids": long_ids,
    "long texts": long_texts,
    "scripts": lambda: a_sheet(
        a_day(shots_of(5, description=SCRIPTS.__getitem__, rig=SCRIPTS.__getitem__)), every_min=40
    ),
    "night": lambda: a_sheet(
        a_day(shots_of(8), call=19, hours=12), every_min=60, meal_after=4, average=True
    ),
    "polar day": lambda: a_sheet(a_day(shots_of(6), latitude=75.0), every_min=60),
    "polar night": lambda: a_sheet(
        a_day(shots_of(6), latitude=75.0, on=date(2027, 12, 20)), every_min=60
    ),
    "twelve spots": twelve_spots,
    "long names": long_names,
    "fifteen cast": lambda: a_sheet(
        a_day(shots_of(8, cast=NAMES), cast=NAMES), every_min=60, meal_after=4
    ),
    "clocks back": lambda: a_sheet(
        a_day(shots_of(9), on=date(2027, 10, 30), call=22, hours=10), every_min=50
    ),
}


@cache
def sheet_of(name):
    """Give a day by its name."""
    return DAYS[name]()


@pytest.fixture(autouse=True)
def no_picture(monkeypatch):
    """Put one empty page in the place of the pictures, which have tests of their own."""

    def empty(sheet: Sheet, _setting: Paper) -> list[Any]:
        return [new_figure(paper(sheet.paper), 0.0, "")]

    monkeypatch.setattr(sunsched.show.sheets.printed.pages, "_pictures", empty)


def pages_of(sheet):
    """Give the pages with words."""
    return paper_figures(sheet)[:-1]


def words_of(sheet):
    """Give all texts of a sheet in the order in which they are written."""
    return [text.get_text() for page in pages_of(sheet) for text in page.texts]


def boxes_of(page):
    """Give each text of a page with its box in pixels: x0, y0, x1, y1."""
    renderer = FigureCanvasAgg(page).get_renderer()
    told = [one for one in page.texts if one.get_text().strip()]
    return [one.get_text() for one in told], np.array(
        [one.get_window_extent(renderer).extents for one in told]
    )


def misplaced(page):
    """List the texts over one another, over a box or a bar, or past the margins of their page."""
    texts, boxes = boxes_of(page)
    # Boxes hold the room below the letters too, which nothing in most lines needs.
    inner = boxes + np.array([1.0, 1.0, -1.0, -1.0])
    small = [one for one in page.findobj(Rectangle) if 0 < one.get_width() < 1.0]
    marks = np.array([one.get_window_extent().extents for one in small]).reshape(-1, 4)
    found = [(texts[one], texts[other]) for one, other in overlaps(inner, inner) if one < other]
    found += [(texts[one], "a box") for one, _ in overlaps(inner, marks)]
    wide, high, dpi = page.bbox.width, page.bbox.height, page.dpi
    low = np.array([0.39 * dpi, 0.1 * dpi])
    past = (boxes[:, :2] < low).any(axis=1) | (boxes[:, 2] > wide - 0.39 * dpi)
    past |= boxes[:, 3] > high - 0.3 * dpi
    return found + [(texts[place], "the margin") for place in np.flatnonzero(past)]


def overlaps(boxes, others):
    """Give the pairs of boxes that have a part in common."""
    apart = (boxes[:, None, :2] >= others[None, :, 2:]) | (
        boxes[:, None, 2:] <= others[None, :, :2]
    )
    return np.argwhere(~apart.any(axis=2)).tolist()


@pytest.mark.parametrize("shape", [Shape.A4, Shape.LETTER])
@pytest.mark.parametrize("name", DAYS)
def test_no_text_covers_another_or_leaves_the_page(name, shape):
    """Whatever people write; and no letters are smaller than the smallest."""
    sheet = replace(sheet_of(name), paper=shape)
    for page in pages_of(sheet):
        assert misplaced(page) == []
        assert min(one.get_fontsize() for one in page.texts) >= SMALL_PT
    told = words_of(sheet)
    assert {one.shot.id for one in sheet.plan.shots} <= set(told)
    whole = "".join("".join(told).split())
    assert all("".join(one.name.split()) in whole for one in sheet.plan.day.cast)


def test_misplaced_texts_are_found():
    """A text over another, over a box to tick, and one past each edge are all listed."""
    (page,) = pages_of(sheet_of("one shot"))
    assert misplaced(page) == []
    wide, high = page.get_size_inches()
    square = next(one for one in page.findobj(Rectangle) if is_square(one))
    first = boxes_of(page)[1][0] / page.dpi
    for x, y in (
        (first[0], first[1] + 0.05),
        (square.get_x() - 0.1, square.get_y() + 0.05),
        (0.1, 5),
        (wide - 0.6, 5),
        (0.5, high - 0.2),
        (0.5, 0.02),
    ):
        text = page.text(x, y, "planted", transform=page.dpi_scale_trans)
        assert any("planted" in pair for pair in misplaced(page))
        text.remove()


def is_square(patch):
    """Tell a box to tick from a bar and a band."""
    return 0 < patch.get_width() < 1 and abs(patch.get_width() - patch.get_height()) < 1e-9


def text_pt(sheet):
    """Give the size of the letters of the order, that of its crew call."""
    (page, *_) = pages_of(sheet)
    return next(one.get_fontsize() for one in page.texts if one.get_text() == "crew call")


def order_pages(sheet):
    """Give the pages that hold a part of the order."""
    return [page for page in pages_of(sheet) if "by hand" in {t.get_text() for t in page.texts}]


def test_letters_grow_to_fill_the_page(monkeypatch):
    """The fewer the shots the larger, between the least and the most; twenty are one page.

    All by day: of those that roll in the dark each has a line of caution more.
    """
    monkeypatch.setattr("sunsched.show.sheets.printed.rows.shot_cautions", lambda *_: ())
    sheets = [a_sheet(a_day(shots_of(count)), every_min=15) for count in (4, 12, 16, 20, 40)]
    assert [len(order_pages(sheet)) for sheet in sheets] == [1, 1, 1, 1, 2]
    sizes = [text_pt(sheet) for sheet in sheets]
    assert sizes[0] == MOST_PT
    # Where the facts find room below the order, its letters leave it to them.
    assert sizes[3] == min(sizes[:4])
    assert min(sizes[1:3]) >= 10.5
    assert min(sizes) >= LEAST_PT


def test_the_same_shots_would_not_fit_in_larger_letters(monkeypatch):
    """With letters a step larger the order needs a page more."""
    sheet = a_sheet(a_day(shots_of(18)), every_min=15)
    size = text_pt(sheet)
    assert LEAST_PT < size < MOST_PT
    pages = sunsched.show.sheets.printed.pages
    monkeypatch.setattr(pages, "LEAST_PT", size + pages.STEP_PT)
    assert len(order_pages(sheet)) == 2


def test_scene_lens_and_rig_stand_with_each_shot():
    """Each beside its shot's id and description."""
    shots = shots_of(
        5, lens_mm=lambda k: 20.0 + k, rig=lambda k: f"rig {k}", scene=lambda k: f"{k}S"
    )
    told = words_of(a_sheet(a_day(shots), every_min=30))
    for k in range(5):
        assert f"{k}S" in told
        assert any(
            re.match(rf"insert, {20 + k} mm, look 0°, rig rig {k}, pans", one) for one in told
        )


def test_each_roll_has_a_box_and_a_line_for_its_time():
    """As many as shots on each page, the line an inch long nearly; a made one is ticked."""
    sheet = a_sheet(a_day(shots_of(6)), every_min=30)
    (page,) = pages_of(sheet)
    assert len([one for one in page.findobj(Rectangle) if is_square(one)]) == 6
    right = page.get_figwidth() - 0.4
    ends = [[float(x) for x in one.get_xdata()] for one in page.findobj(Line2D)]
    lines = [one for one in ends if len(one) == 2 and one[0] > 1.0]
    assert len(lines) == 6
    assert all(0.5 < end - start < 1.2 and end == pytest.approx(right) for start, end in lines)
    first = sheet.plan.shots[0]
    made = Made(
        shot_id=first.shot.id,
        changeover_start=first.changeover_start,
        roll_start=first.roll_start,
        roll_end=first.roll_end,
    )
    past = Past(at=first.roll_end, free_at=first.roll_end, made=(made,))
    day = replace(sheet.plan.day, past=past)
    begun = replace(sheet, plan=replace(sheet.plan, fit=replace(sheet.plan.fit, day=day)))
    ticks = [one for one in pages_of(begun)[0].findobj(Line2D) if len(one.get_xdata()) == 3]
    assert len(ticks) == 1


def bold_of(sheet):
    """Give the texts in bold."""
    return [
        text.get_text()
        for page in pages_of(sheet)
        for text in page.texts
        if text.get_fontweight() == "bold"
    ]


def test_long_waits_and_overtime_are_bold():
    """A wait of 31 minutes is, one of 30 is not; a wrap too late is, one in time is not."""
    for every, told in ((45, False), (46, True)):
        shots = shots_of(2)
        sheet = a_sheet(a_day(shots), every_min=every)
        wait = next(text for text in words_of(sheet) if re.match(r"\d+ min, wait", text))
        assert wait.startswith(f"{every - 15} min")
        assert (wait in bold_of(sheet)) is told
    day = a_day(shots_of(2))
    for over_min in (0, 25):
        hours = replace(day.hours, wrap=day.hours.wrap - timedelta(minutes=over_min))
        late = replace(day, hours=hours)
        last = (late.hours.hard_wrap - late.hours.crew_call) // timedelta(minutes=1) - 50
        bold = " ".join(bold_of(a_sheet(late, every_min=last)))
        assert ("overtime 25 min" in bold) is (over_min > 0)
        assert ("last roll ends, wrap is" in bold) is (over_min > 0)


def test_facts_of_the_day_stand_beside_the_order():
    """Sun, dusk, each spot's first and last sun, everybody's hours, and the meal."""
    shots = shots_of(4, cast=lambda k: ("Maximiliane of Sidon",) if k != 1 else ("Bo",))
    day = a_day(shots, cast=("Maximiliane of Sidon", "Bo", "Nobody"))
    sheet = a_sheet(day, every_min=90, meal_after=2)
    told = words_of(sheet)
    (sun,) = [text for text in told if text.startswith("civil dawn")]
    assert re.fullmatch(
        r"civil dawn \d\d:\d\d, sunrise \d\d:\d\d, sunset \d\d:\d\d, civil dusk \d\d:\d\d", sun
    )
    times = re.findall(r"\d\d:\d\d", sun)
    # Another library's sun (astral), at the same heights; the two agree to a minute or two.
    place = Observer(latitude=36.2, longitude=-5.9, elevation=0)
    other = astral_sun(place, date=day.date, dawn_dusk_depression=6, tzinfo=day.place.zone)
    for found, name in zip(times, ("dawn", "sunrise", "sunset", "dusk"), strict=True):
        assert abs(minutes(found) - minutes(f"{other[name]:%H:%M}")) <= 2
    spot = told.index("pans", told.index("first sun"))
    assert abs(minutes(told[spot + 1]) - minutes(times[1])) <= 5
    assert abs(minutes(told[spot + 2]) - minutes(times[2])) <= 5
    first, second, _, last = sheet.plan.shots
    who = told.index("Maximiliane of Sidon", told.index("released"))
    assert told[who + 1 : who + 3] == [clock(day, first.roll_start), clock(day, last.roll_end)]
    who = told.index("Bo", told.index("released"))
    assert told[who + 1 : who + 3] == [clock(day, second.roll_start), clock(day, second.roll_end)]
    assert told[told.index("Nobody") + 3] == "not called"
    meal = sheet.plan.meal
    assert f"meal {clock(day, meal.start)}–{clock(day, meal.end)}" in told


def test_a_crowd_stands_under_short_names_and_whole_beside_the_order():
    """Each name in the row of a shot, as short as no two are alike, and in full in the table."""
    names = ("Ana Soler", "Ana Silva", "Bo", "Maximiliane Fairweather", "Ana Prieto Ruiz")
    assert short_names(names) == {
        "Ana Soler": "Ana Soler",
        "Ana Silva": "Ana Silva",
        "Bo": "Bo",
        "Maximiliane Fairweather": "Maximiliane",
        "Ana Prieto Ruiz": "Ana R.",
    }
    told = " ".join(words_of(sheet_of("fifteen cast")))
    assert all(told.count(name) == 1 for name in NAMES[1:9])
    assert told.count("Maximiliane 14") == 8


def test_a_sun_that_shines_all_day_is_told():
    """In the place of its first and last minute."""
    told = words_of(sheet_of("polar day"))
    assert told[told.index("pans") + 1] == "all day"


def test_what_is_shot_stands_whole_up_to_two_hundred_letters():
    """Only longer texts are cut."""
    told = " ".join(words_of(a_sheet(a_day(shots_of(3, description=LONG[:200])), every_min=60)))
    assert told.count(" ".join(LONG[:200].split())) == 3


def minutes(text):
    """Give the minutes since midnight of a clock time."""
    hour, minute = text.split(":")
    return 60 * int(hour) + int(minute)


@pytest.mark.parametrize(
    ("name", "said"),
    [("polar day", "the sun does not set"), ("polar night", "the sun does not rise")],
)
def test_a_sun_that_never_sets_or_rises_is_told(name, said):
    """In place of a time that there is none of."""
    assert any(text.startswith(said) for text in words_of(sheet_of(name)))


@pytest.mark.parametrize("name", DAYS)
def test_no_command_stands_on_a_page_and_no_time_runs_backward(name):
    """Rows follow one another in time, as do the moments that are decided of a shot."""
    sheet = sheet_of(name)
    told = words_of(sheet)
    assert not any(re.search(r"`|--\w|sunsched|replan|\bsee windows\b", text) for text in told)
    day, span = sheet.plan.day, re.compile(r"\d\d:\d\d(\+1)?\*?–\d\d:\d\d(\+1)?\*?")
    rolls = sorted((one.roll_start, one.roll_end) for one in sheet.plan.shots)
    spans = [f"{clock(day, start)}–{clock(day, end)}" for start, end in rolls]
    # Who builds has the same rolls again, on pages of their own.
    for part in parts_of(told):
        assert [text for text in part if span.fullmatch(text)] == spans
    pairs = [
        (one, other)
        for one, other in pairwise(told)
        if re.match("not before|begin by", one) and re.match("not before|begin by", other)
    ]
    assert bool(pairs) is ("average" in name or name in ("long ids", "night"))
    for one, other in pairs:
        assert moment(one.split()[-1]) <= moment(other.split()[-1])


def parts_of(told):
    """Give the texts before the pages for who builds, and those on them if there are any."""
    place = told.index("For who builds") if "For who builds" in told else len(told)
    return [part for part in (told[:place], told[place:]) if part]


def moment(text):
    """Give the minutes of a clock time with its mark of the next date."""
    return minutes(text[:5]) + 1440 * ("+1" in text)


# A day that is over.


def logged(day, *told):
    """Give the log of events: a kind, what it is of, and the minutes after the call."""
    course, findings = begin(day), Findings()
    events = []
    for number, (kind, subject, minute) in enumerate(told, start=1):
        at = day.hours.crew_call + timedelta(minutes=minute)
        events.append(Event(number=number, at=at, kind=kind, since=at, subject=subject))
        course.take(events[-1], Where(file="log.csv"), findings)
    assert findings.faults == []
    return Log(events=tuple(events), state=course.now, warnings=())


def a_day_over(*more):
    """Give a sheet: 0 a minute late, 1 in time, 2 cut, 3 an hour early, and what else is told."""
    shots = shots_of(4, wish=lambda k: Wish(side=SunSide.BACK) if k == 3 else Wish(), look_deg=70.0)
    planned = a_sheet(a_day(shots), every_min=120, meal_after=2)
    plan = planned.plan
    starts = [
        (one.roll_start - plan.day.hours.crew_call) // timedelta(minutes=1) for one in plan.shots
    ]
    told = []
    for place, (name, off) in enumerate((("0", 1), ("1", 0), ("3", -60))):
        start = starts[int(name)] + off
        told += [(Kind.ROLLED, name, start), (Kind.DONE, name, start + 10 + 5 * place)]
    told.insert(4, (Kind.CUT, "2", told[3][2]))
    log = logged(plan.day, *told, *more)
    made = plan_made(plan.day, log, plan.timetable)
    return replace(planned, plan=made, before=plan)


def test_a_day_is_over_when_all_is_made_or_cut_or_the_hard_wrap_has_come():
    """Not while a shot is to come, nor while one rolls."""
    day = a_day(shots_of(2))
    whole = (day.hours.hard_wrap - day.hours.crew_call) // timedelta(minutes=1)
    first = ((Kind.ROLLED, "0", 60), (Kind.DONE, "0", 70))
    empty = Timetable(rolls=())
    for told, is_it in (
        ((), False),
        (first, False),
        ((*first, (Kind.ROLLED, "1", 80)), False),
        ((*first, (Kind.ROLLED, "1", 80), (Kind.DONE, "1", 90)), True),
        ((*first, (Kind.CUT, "1", 90)), True),
        ((*first, (Kind.NOTE, "rain", whole - 1)), False),
        ((*first, (Kind.NOTE, "rain", whole)), True),
    ):
        log = logged(day, *told)
        assert is_over(day, log) is is_it
        assert (plan_made(day, log, empty) is not None) is is_it


def test_planned_stands_against_made():
    """Each shot with both times, their difference and both lights, in the order of the day."""
    sheet = a_day_over()
    before = {one.shot.id: one for one in sheet.before.shots}
    after = {one.shot.id: one for one in sheet.plan.shots}
    table = after_table(sheet.before, sheet.plan)
    rows = {row[0].text: [cell.text for cell in row] for row in table.rows}
    assert list(rows) == ["0", "1", "3"]
    day = sheet.plan.day
    for name, off, rolled in (("0", "+1 min", 10), ("1", "0 min", 15), ("3", "−60 min", 20)):
        was, now = before[name], after[name]
        assert now.roll_end - now.roll_start == timedelta(minutes=rolled)
        assert rows[name][2:] == [
            f"{clock(day, was.roll_start)}–{clock(day, was.roll_end)}",
            f"{clock(day, now.roll_start)}–{clock(day, now.roll_end)}",
            off,
            f"{was.fit:.0%}",
            f"{now.fit:.0%}",
        ]
    # The light as rolled: the mean of the minutes in which the camera really ran.
    minute = sheet.plan.fit.minute_of(after["3"].roll_start)
    kept = sheet.before.fit.shots["3"].fit[minute : minute + 20].mean()
    assert after["3"].fit == pytest.approx(float(kept))
    assert [row[4].is_bold for row in table.rows] == [False, False, True]


def test_what_was_dropped_and_what_was_kept_is_told():
    """The cut shot with its plan; the day's light as a share of all of it."""
    sheet = a_day_over()
    told = " ".join(words_of(sheet))
    at = clock(sheet.plan.day, sheet.before.shots[2].roll_start)
    assert f"dropped: 2 shot number 2 on the pans: cut, planned {at} with" in told
    was, now = sheet.before.light_kept, sheet.plan.light_kept
    assert now == pytest.approx(sum(one.fit for one in sheet.plan.shots) / 4, abs=0.002)
    off = f"{abs(round(100 * now, 1) - round(100 * was, 1)):.1f}% less than planned"
    assert (
        f"The day kept {now:.1%} of its light, {off} ({was:.1%}); 3 of 4 shots were made." in told
    )
    assert "rolled at," not in told
    assert misplaced(pages_of(sheet)[0]) == []


def test_the_meal_as_it_was_had_stands_among_the_shots():
    """Between the shots before and after it, with its own difference."""
    sheet = a_sheet(a_day(shots_of(2)), every_min=120, meal_after=1)
    plan = sheet.plan
    told = [(Kind.ROLLED, "0", 40), (Kind.DONE, "0", 50), (Kind.MEAL, "", 70)]
    told += [(Kind.ROLLED, "1", 200), (Kind.DONE, "1", 210)]
    made = plan_made(plan.day, logged(plan.day, *told), plan.timetable)
    assert made is not None
    names = [row[0].text for row in after_table(plan, made).rows]
    assert names == ["0", "meal", "1"]
    meal = after_table(plan, made).rows[1]
    assert [cell.text for cell in meal][2:5] == ["06:50–07:20", "07:10–07:40", "+20 min"]
