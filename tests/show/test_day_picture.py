"""The picture of the day on fourteen days that are hard to draw, and its contrast from pixels.

The days are invented. Contrast is that of WCAG 2.2 (W3C recommendation of 2024-12-12, "relative
luminance" and "contrast ratio", from memory), counted from the points of the PNG. That neighbouring
greys have 1.5 of it and the ends 4.5 is our own demand; 4.5 for text is WCAG's (1.4.3, level AA).
"""

import io
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from itertools import pairwise
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from matplotlib.collections import PolyCollection
from matplotlib.patches import Rectangle
from matplotlib.text import Text
from matplotlib.transforms import Bbox
from PIL import Image

from show.test_pictures import (
    a_day,
    a_shot,
    at,
    demo,
    elsewhere,
    in_order,
    marks,
    misplaced,
    thirty_shots,
    under_way,
    words,
)
from sunsched.day.model import CastMember, Span, Spot
from sunsched.day.skyline import HorizonPoint
from sunsched.day.wish import SunSide, Wish
from sunsched.show.charts.axes import draw_shot
from sunsched.show.charts.day import day_figure, day_pages
from sunsched.show.charts.prices.half_hours import SHADES as PRICES
from sunsched.show.charts.prices.half_hours import SHUT, WORSE
from sunsched.show.charts.shot import shot_figure
from sunsched.show.charts.spots.sun import sun_figure
from sunsched.show.drawing.figure import picture_bytes
from sunsched.show.drawing.lettering import LACKING
from sunsched.show.drawing.strips import SHADES
from sunsched.show.drawing.timeline import minutes_of, reaching
from sunsched.show.paper_size import Shape
from sunsched.sky.events import sun_events
from sunsched.sky.horizon import direct_spans

LISBON = "Europe/Lisbon"
ON = date(2027, 6, 9)
SHAPES = (Shape.A4, Shape.PHONE)
TEXT_200 = "the boat and the sea and the sun upon it " * 5
# Words of our own: "boat" or near it in Arabic, Hebrew, Hindi, Chinese and Thai.
SCRIPTS = ("قارب في البحر", "סירה בים", "नाव समुद्र में", "海上的船", "เรือในทะเล")
LEAST_PX = 11.0  # of letters, on a phone 360 px wide
PAGE_PX = 336.0  # of those the phone page leaves the picture


def hours(*texts, on=ON, zone=LISBON):
    """Give hours such as `08:00-11:30`."""
    ends = (text.split("-") for text in texts)
    return tuple(Span(start=at(on, first, zone), end=at(on, last, zone)) for first, last in ends)


def forty():
    return in_order(
        a_day(
            [a_shot(f"{n}", adjust_min=2, shoot_min=8) for n in range(1, 41)],
            clocks=("06:00", "19:00", "12:00"),
        )
    )


def long_ids():
    ids = ("101A-2bis", "101A-2ter", "EXT-QUAY-101A-2bis-pickup", "W" * 60, "7")
    return in_order(a_day([a_shot(one) for one in ids]), left_out=("101A-2ter",))


def long_texts():
    spots = ("the long quay behind the second net loft " * 5, "b" * 200)
    shots = [
        a_shot(str(n), description=TEXT_200 if n % 2 else "x" * 200, spot=spots[n % 2])
        for n in range(1, 7)
    ]
    cast = (CastMember(name=TEXT_200, here=hours("08:00-12:00")),)
    shots[0] = replace(shots[0], cast=(TEXT_200,))
    return in_order(a_day(shots, title=TEXT_200, cast=cast), left_out=("3",))


def scripts():
    shots = [
        a_shot(f"{text.split()[0]}-{n}", description=f"{text} 12A", spot=text)
        for n, text in enumerate(SCRIPTS, start=1)
    ]
    return in_order(a_day(shots, title=" ".join(SCRIPTS)), left_out=(shots[1].id,))


def twelve_spots():
    spots = tuple(
        Spot(
            name=f"terrace {n}",
            horizon=() if n % 3 else (HorizonPoint(azimuth_deg=0.0, elevation_deg=5.0 * n),),
            open=hours("06:00-12:00", "12:30-19:00") if n % 4 == 0 else (),
        )
        for n in range(1, 13)
    )
    shots = [a_shot(str(n), spot=f"terrace {n}", adjust_min=5) for n in range(1, 13)]
    return in_order(a_day(shots, spots=spots, clocks=("06:00", "20:00", "12:00")))


def fifteen_cast():
    cast = tuple(
        CastMember(name=f"Person {n}", here=hours(f"{6 + n // 4:02}:00-{14 + n // 4:02}:30"))
        for n in range(15)
    )
    shots = [a_shot(str(n), cast=(f"Person {n - 1}",)) for n in range(1, 16)]
    return in_order(a_day(shots, cast=cast))


def no_match():
    """Give shots that look to the north and want the sun behind the subject: it never is."""
    shots = [
        a_shot(str(n), look_deg=0.0, wish=Wish(side=SunSide.BACK), match="a", control=0.0)
        for n in range(1, 6)
    ]
    return in_order(a_day([*shots, a_shot("6")]), left_out=("5",))


def all_held():
    shots = [
        a_shot(str(n), look_deg=90.0, wish=Wish(side=SunSide.BACK), hold=True) for n in range(1, 7)
    ]
    return in_order(a_day(shots))


def past_midnight():
    return elsewhere(52.5, 13.4, "Europe/Berlin", date(2027, 6, 21), ("19:00", "04:30+1", "23:00"))


HARD = {
    "forty shots": forty,
    "one shot": lambda: in_order(a_day([a_shot("1")])),
    "long ids": long_ids,
    "long texts": long_texts,
    "five scripts": scripts,
    "night": lambda: elsewhere(
        38.7, -9.1, LISBON, date(2027, 12, 1), ("20:00", "03:00+1", "23:30")
    ),
    "polar day": lambda: elsewhere(
        78.2, 15.6, "Arctic/Longyearbyen", date(2027, 6, 21), ("10:00", "20:00", "16:00")
    ),
    "twelve spots": twelve_spots,
    "fifteen cast": fifteen_cast,
    "past midnight": past_midnight,
    "no match": no_match,
    "all held": all_held,
    "half way": lambda: under_way(thirty_shots(), 14, cut=("8A",)),
    "southern": lambda: elsewhere(
        -33.9, 18.4, "Africa/Johannesburg", date(2027, 12, 21), ("06:00", "18:00", "12:00")
    ),
}


@cache
def hard(name):
    """Give fit and plan of a hard day, made once."""
    return HARD[name]()


@cache
def drawn(name, shape):
    """Draw a hard day, once."""
    return day_figure(*hard(name), shape=shape)


@cache
def points(name, shape):
    """Give a picture's PNG as rows of points, each red, green and blue, 0 to 255."""
    with Image.open(io.BytesIO(picture_bytes([drawn(name, shape)], "png"))) as picture:
        return np.asarray(picture.convert("RGB"))


def luminance(colour):
    """Give WCAG's relative luminance of colours whose last axis is red, green, blue."""
    share = np.asarray(colour, dtype=np.float64) / 255.0
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    return np.asarray(linear @ np.array([0.2126, 0.7152, 0.0722]))


def contrast(one, other):
    """Give WCAG's contrast ratio of two luminances."""
    low, high = sorted((one, other))
    return (high + 0.05) / (low + 0.05)


def windowed(picture, box):
    """Cut the points out that a box in dots covers."""
    x0, y0, x1, y1 = (round(float(one)) for one in box.extents)
    high = picture.shape[0]
    return picture[max(0, high - y1) : high - y0, max(0, x0) : x1]


def strip_box(strip):
    """Give what a strip or bar covers, in dots."""
    shapes = Bbox.union([path.get_extents() for path in strip.get_paths()])
    box = shapes.transformed(strip.axes.transData)
    return Bbox.from_extents(box.xmin, box.ymin, box.xmax, box.ymax)  # rows count downwards


def test_contrast_is_that_of_the_recommendation():
    """Black on white is 21 : 1, and #767676 on white 4.54 : 1 (known figures, from memory)."""
    white, grey, black = (float(luminance(np.array([v] * 3))) for v in (255, 0x76, 0))
    assert contrast(black, white) == pytest.approx(21.0)
    assert contrast(grey, white) == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("name", HARD)
def test_no_text_meets_another_or_leaves_its_cell(name, shape):
    """Texts stand clear of each other, of every strip and bar, and on the page."""
    figure = drawn(name, shape)
    assert misplaced(figure) == []
    # Of strips and bars; those of the key are no collections.
    covers = [
        (str(one.get_label()), strip_box(one))
        for one in figure.findobj(PolyCollection)
        if str(one.get_label()).startswith("frame ")
    ]
    assert len(covers) > len(hard(name)[1].shots)
    met = [
        f"`{text}` meets {cover}"
        for text, box in words(figure)
        for cover, over in covers
        if min(box.x1, over.x1) - max(box.x0, over.x0) > 1
        and min(box.y1, over.y1) - max(box.y0, over.y0) > 0.25 * box.height
    ]
    assert met == []


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("name", HARD)
def test_letters_are_large_enough(name, shape):
    """On the phone page no letter is under 11 px of a phone 360 px wide; on paper under 6.5 pt."""
    figure = drawn(name, shape)
    sizes = [text.get_fontsize() for text in figure.findobj(Text) if text.get_text().strip()]
    if shape is Shape.PHONE:
        px_per_pt = PAGE_PX / figure.get_figwidth() / 72.0
        assert min(sizes) * px_per_pt >= LEAST_PX
    else:
        assert min(sizes) >= 6.5


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("name", HARD)
def test_no_id_is_cut(name, shape):
    """Each id stands whole in bold, on one line or going on in the next."""
    fit, plan = hard(name)
    bold = [
        text.get_label() or text.get_text()
        for text in drawn(name, shape).findobj(Text)
        if text.get_fontweight() == "bold"
    ]
    said = "".join(str(one) for one in bold)
    for one in (*plan.shots, *plan.left_out):
        assert one.shot.id in said
    if name != "long ids":
        assert {one.shot.id for one in (*plan.shots, *plan.left_out)} <= set(bold)
    assert len(fit.day.shots) == len(plan.shots) + len(plan.left_out)


@pytest.mark.parametrize("shape", SHAPES)
def test_neighbouring_greys_stand_apart(shape):
    """From points of the PNG: neighbours 1.5 : 1 or more, darkest to lightest 4.5 : 1."""
    fit, plan = demo("last-lamp")
    figure = day_figure(fit, plan, shape=shape)
    with Image.open(io.BytesIO(picture_bytes([figure], "png"))) as image:
        picture = np.asarray(image.convert("RGB"))
    seen: dict[int, list[np.ndarray]] = {number: [] for number in range(len(SHADES))}
    for shot in fit.day.shots:
        (strip,) = marks(figure, f"light {shot.id}")
        light = fit.shots[shot.id].fit
        first, last = strip.axes.get_xlim()
        middle = strip.get_paths()[0].get_extents()
        for minute in range(int(first) + 5, int(last) - 5, 9):
            level = [
                sum(one >= least for least, _ in SHADES) - 1 for one in light[minute - 3 :][:7]
            ]
            if len(set(level)) == 1:
                at_point = strip.axes.transData.transform((minute, (middle.y0 + middle.y1) / 2.0))
                x, y = round(float(at_point[0])), picture.shape[0] - round(float(at_point[1]))
                seen[level[0]].append(picture[y, x])
    # Marks stand over some of the points, so the most frequent grey is the strip's.
    greys = []
    for number in range(len(SHADES)):
        values, counts = np.unique(np.array(seen[number]), axis=0, return_counts=True)
        assert counts.max() > 0.5 * counts.sum()
        greys.append(float(luminance(values[counts.argmax()])))
    assert greys == sorted(greys)  # the lighter the better
    for darker, lighter in pairwise(greys):
        assert contrast(darker, lighter) >= 1.5
    assert contrast(greys[0], greys[-1]) >= 4.5


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("name", ["half way", "five scripts", "no match", "fifteen cast"])
def test_text_stands_out_of_its_ground(name, shape):
    """From points of the PNG: each text has 4.5 : 1 or more on what is behind it."""
    picture = points(name, shape)
    poor = []
    for text, box in words(drawn(name, shape)):
        part = luminance(windowed(picture, box))
        ground = float(np.median(part))
        if contrast(float(part.min()), ground) < 4.5:
            poor.append(text)
    assert poor == []


@pytest.mark.parametrize("shape", SHAPES)
def test_half_the_light_has_a_line_around_it(shape):
    """Outlines stand where the light is at least one half, and nowhere else."""
    fit, plan = demo("last-lamp")
    figure = day_figure(fit, plan, shape=shape)
    for shot in fit.day.shots:
        (around,) = marks(figure, f"half light {shot.id}")
        (strip,) = marks(figure, f"light {shot.id}")
        first, last = (int(one) for one in strip.axes.get_xlim())
        inside = np.zeros(len(fit.track), dtype=bool)
        for path in around.get_paths():
            inside[round(path.get_extents().x0) : round(path.get_extents().x1)] = True
        good = fit.shots[shot.id].fit >= 0.5
        assert (inside[first:last] == good[first:last]).all()
        assert around.get_linewidth()[0] > 0.5
        assert luminance(255 * np.asarray(around.get_edgecolor())[0, :3]) < 0.01


@pytest.mark.parametrize("name", HARD)
def test_the_axis_runs_from_an_hour_before_the_call(name):
    """It ends half an hour past the hard wrap; rolls and light stand at their minutes."""
    fit, plan = hard(name)
    longer = reaching(fit)
    *_, strips = drawn(name, Shape.A4).axes
    first, last = strips.get_xlim()
    assert longer.time_of(int(first)) == fit.day.hours.crew_call - timedelta(hours=1)
    assert longer.time_of(int(last)) == fit.day.hours.hard_wrap + timedelta(minutes=30)
    for planned in plan.shots:
        (roll,) = marks(strips, f"roll {planned.shot.id}")
        assert roll.get_x() == minutes_of(longer, planned.roll_start)
    shift = round(minutes_of(longer, fit.track.start))
    for shot in fit.day.shots:
        light = longer.shots[shot.id].fit[shift : shift + len(fit.track)]
        assert light == pytest.approx(fit.shots[shot.id].fit, abs=1e-9)


def test_the_next_mornings_sunrise_is_named():
    """A day past midnight has the sunrise of its end, at the time of that date."""
    fit, _ = hard("past midnight")
    rise = sun_events(fit.day.place, fit.day.date + timedelta(days=1)).sunrise
    assert rise is not None
    assert fit.day.hours.wrap < rise + timedelta(hours=1)
    local = (rise + timedelta(seconds=30)).astimezone(fit.day.place.zone)
    said = [text for text, _ in words(drawn("past midnight", Shape.A4))]
    assert said.count(f"sunrise {local:%H:%M}+1") == 1
    assert "Tuesday" in said
    night = [text for text, _ in words(drawn("night", Shape.A4))]
    assert not any(text.startswith("sunrise") for text in night)


def test_rolls_below_half_their_light_are_marked():
    """A cross stands in each roll that keeps less than half, in no other, and the key has it."""
    for name in ("no match", "southern", "half way"):
        _, plan = hard(name)
        figure = drawn(name, Shape.A4)
        is_low = {one.shot.id: one.fit < 0.5 for one in plan.shots}
        marked = {shot_id: bool(marks(figure, f"below half {shot_id}")) for shot_id in is_low}
        assert marked == is_low
        said = [text for text, _ in words(figure)]
        assert said.count("rolls with less than half its light") == any(is_low.values())
    assert sum(one.fit < 0.5 for one in hard("no match")[1].shots) == 4


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("name", ["no match", "long ids", "half way"])
def test_left_out_shots_stand_below_with_their_reason(name, shape):
    """Under the strip of each, which is below those that are made, stands why."""
    _, plan = hard(name)
    figure = drawn(name, shape)
    extents = words(figure)
    foot = {
        str(one.get_label()): strip_box(one).y0
        for one in figure.findobj(PolyCollection)
        if str(one.get_label()).startswith("light ")
    }
    lowest_made = min(foot[f"light {one.shot.id}"] for one in plan.shots)
    assert plan.left_out
    for one in plan.left_out:
        own = foot[f"light {one.shot.id}"]
        assert own < lowest_made
        if one.why == "cut":
            assert "cut" in [text for text, _ in extents]
            continue
        begun = one.why.split(" ")[0]
        near = [text for text, box in extents if own - 3 * box.height < box.y0 < own]
        assert any(text.startswith(begun) for text in near), (one.why, near)


def test_spots_have_one_bar_of_direct_sun():
    """Like spots share one; it is white where the sun comes in, low where the spot is shut."""
    fit, _ = hard("twelve spots")
    figure = drawn("twelve spots", Shape.A4)
    bars = [
        one for one in figure.findobj(PolyCollection) if str(one.get_label()).startswith("sun at ")
    ]
    # Eight have a level horizon, two of these hours; four have a height of their own, one hours.
    assert len(bars) == 6
    (bar,) = (one for one in bars if str(one.get_label()) == "sun at terrace 12")
    spot = fit.day.spot("terrace 12")
    (lit,) = direct_spans(spot.horizon, fit.track)
    (around,) = marks(figure, "half sun at terrace 12")
    shown = [path.get_extents() for path in around.get_paths()]
    assert min(box.x0 for box in shown) == pytest.approx(minutes_of(fit, lit.start), abs=4)
    assert max(box.x1 for box in shown) == pytest.approx(minutes_of(fit, lit.end), abs=4)
    (frame,) = marks(figure, "frame sun at terrace 12")
    boxes = [path.get_extents() for path in frame.get_paths()]
    high = max(box.height for box in boxes)
    full = sorted((box.x0, box.x1) for box in boxes if box.height == pytest.approx(high))
    assert full == [(minutes_of(fit, one.start), minutes_of(fit, one.end)) for one in spot.open]
    assert bar.axes.get_xlim() == figure.axes[-1].get_xlim()


def test_people_have_their_hours():
    """A box for each who has hours, from first to last minute; a strip is low without them."""
    fit, _ = hard("fifteen cast")
    figure = drawn("fifteen cast", Shape.A4)
    first, last = figure.axes[-1].get_xlim()
    for member in fit.day.cast:
        (here,) = member.here
        (box,) = (one for one in marks(figure, f"{member.name} is here"))
        assert box.get_x() == max(first, minutes_of(fit, here.start))
        assert box.get_x() + box.get_width() == min(last, minutes_of(fit, here.end))
    (frame,) = marks(figure, "frame light 3")  # of Person 2, here until 14:30
    boxes = [path.get_extents() for path in frame.get_paths()]
    tallest = max(boxes, key=lambda one: one.height)
    (here,) = fit.day.cast[2].here
    assert (tallest.x0, tallest.x1) == (
        max(first, minutes_of(fit, here.start)),
        minutes_of(fit, here.end),
    )


@pytest.mark.parametrize("shape", SHAPES)
def test_now_has_a_casing(shape):
    """Beside the line of now the points are white, also where it crosses a dark strip."""
    figure, picture = drawn("half way", shape), points("half way", shape)
    _, plan = hard("half way")
    crossed = 0
    for shot in (one.shot for one in plan.shots):
        (strip,) = marks(figure, f"light {shot.id}")
        (line,) = marks(strip.axes, "now")
        box = strip.get_paths()[0].get_extents()
        x, y = strip.axes.transData.transform((line.get_xdata()[0], (box.y0 + box.y1) / 2))
        row = picture[picture.shape[0] - round(float(y))]
        near = row[round(float(x)) - 6 : round(float(x)) + 7]
        is_vermilion = (abs(near.astype(int) - (213, 94, 0)) < 12).all(axis=1)
        if not is_vermilion.any():
            continue  # a cross or a triangle stands over it
        left = near[: is_vermilion.argmax()]
        crossed += bool((left.min(axis=1) > 245).any())
        assert (left.min(axis=1) > 245).any()
    assert crossed > 20


def svg_of(name, shape):
    """Give a picture's SVG as a tree."""
    return ET.fromstring(picture_bytes([drawn(name, shape)], "svg"))  # noqa: S314  just drawn


@pytest.mark.parametrize("shape", SHAPES)
def test_svg_keeps_what_the_font_lacks_as_text(shape):
    """Every id and title is there in its own script, in fonts that the device chooses."""
    fit, plan = hard("five scripts")
    root = svg_of("five scripts", shape)
    texts = [
        "".join(node.itertext()) for node in root.iter() if node.tag.rpartition("}")[2] == "text"
    ]
    for one in (*plan.shots, *plan.left_out):
        assert one.shot.id in texts
    assert not any(LACKING in text for text in texts)
    families = (root.get("font-family") or "").split(", ")
    assert families[0] == "DejaVu Sans"
    assert families[-1] == "sans-serif"
    # No text names a font of its own, which would win over the list.
    styles = [node.get("style") or "" for node in root.iter()]
    assert not any("DejaVu" in style or "font:" in style for style in styles)
    # A text that begins in Arabic runs from right to left as a whole, as it does on paper.
    rules = "".join(node.text or "" for node in root.iter() if node.tag.endswith("}style"))
    assert "text{unicode-bidi: plaintext}" in rules
    # The picture itself is as it was: what comes after is drawn with our own font.
    assert any(LACKING in text for text, _ in words(drawn("five scripts", shape)))
    assert fit.day.title.startswith(SCRIPTS[0])


@pytest.mark.parametrize("shape", SHAPES)
def test_ids_from_right_to_left_keep_their_place(shape):
    """Id, size, spot and words are texts of their own, so that none pulls another over."""
    figure = drawn("five scripts", shape)
    fit, _ = hard("five scripts")
    for shot in fit.day.shots[:2]:
        shown = {
            str(text.get_label() or text.get_text()): Text.get_window_extent(text)
            for text in figure.findobj(Text)
        }
        own = shown[shot.id]
        spot = shown[shot.spot]
        assert own.x0 == pytest.approx(figure.dpi * (0.4 if shape is Shape.A4 else 0.1), abs=4)
        if shape is Shape.A4:
            assert spot.x0 > own.x1
        else:
            (what,) = (box for text, box in shown.items() if text == shot.description)
            assert what.x0 > spot.x1


def grey_of(artist):
    """Give the luminance of an artist's face."""
    return float(luminance(255 * np.atleast_2d(artist.get_facecolor())[0, :3]))


def test_lighter_is_better_in_every_picture():
    """Light kept, windows and low prices are lighter than what is lost, shut or dear."""
    fit, plan = demo("last-lamp")
    figure = shot_figure(fit, "16", plan)
    (light,), (lost,) = marks(figure, "light"), marks(figure, "ground light")
    window, (shut,) = marks(figure, "window")[0], marks(figure, "no window")
    assert contrast(grey_of(light), grey_of(lost)) > 1.5
    assert grey_of(light) > grey_of(lost)
    assert contrast(grey_of(window), grey_of(shut)) > 4.5
    assert grey_of(window) > grey_of(shut)
    axes = draw_shot(fit, "16", plan)
    for better, worse in (("light", "lost"), ("window", "no window")):
        assert grey_of(marks(axes, better)[0]) > grey_of(marks(axes, worse)[0])
    prices = [grey_of(Rectangle((0, 0), 1, 1, facecolor=grey)) for _, grey in PRICES]
    assert prices == sorted(prices, reverse=True)
    assert [share for share, _ in PRICES] == sorted(share for share, _ in PRICES)
    worse, impossible = (grey_of(Rectangle((0, 0), 1, 1, **look)) for look in (WORSE, SHUT))
    assert prices[-1] > worse > impossible
    (hidden,) = marks(sun_figure(fit, "rocks", plan), "skyline")
    assert grey_of(hidden) < 0.9  # darker than the open sky, which is white


def test_a_heading_is_not_the_last_of_its_page():
    """Wherever the pages are parted, `left out` stands with the first shot that it is over."""
    shots = [a_shot(str(number), adjust_min=2, shoot_min=5) for number in range(1, 81)]
    for made in (26, 40, 53):  # the last row of a page, if there are three of them or two
        out = tuple(str(number) for number in range(made + 1, 81))
        fit, plan = in_order(a_day(shots), left_out=out)
        pages = day_pages(fit, plan)
        assert len(pages) > 1
        assert all(page[-1].shot is not None for page in pages)
        assert sum(row.shot is None for page in pages for row in page) == 1
        assert [row.shot.id for page in pages for row in page if row.shot] == [
            one.shot.id for one in (*plan.shots, *plan.left_out)
        ]
