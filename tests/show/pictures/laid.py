"""Plans by hand for pictures, and what is wrong with the words of a figure."""

from __future__ import annotations

from itertools import combinations
from typing import Any

from builders import a_day, a_shot, a_span, at
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from sunsched.day.model import CastMember, Day
from sunsched.day.wish import SunSide, Wish
from sunsched.light.fit import fit_checked
from sunsched.plan.plan import Plan, place_changeovers
from sunsched.plan.timetable import Timetable
from sunsched.whatif.orders.as_it_stands import plan_as_it_stands

LEAST_PX = 10.0  # of a phone 360 px wide: the least that a letter's size may be


def placed(day: Day, starts: str, meal: str | None = None) -> Plan:
    """Give a plan whose shots roll at these times, such as `A@6:30 B@7:10`."""
    pairs = [one.split("@") for one in starts.split()]
    rolls = [(day.shot(name), at(clock)) for name, clock in pairs]
    eaten = None if meal is None else at(meal)
    timetable = Timetable(rolls=place_changeovers(day, rolls, eaten), meal_start=eaten)
    return plan_as_it_stands(fit_checked(day), timetable, 5)


def played() -> Day:
    """Give a day of five shots with Ana in the first, Ben in the second and fourth, who leaves."""
    cast = (CastMember(name="Ana"), CastMember(name="Ben", here=(a_span("6:30", "15:00"),)))
    shots = [
        a_shot("A", cast=("Ana",)),
        a_shot("B", cast=("Ben",)),
        a_shot("C", spot="mill", wish=Wish(side=SunSide.BACK), look_deg=90.0),
        a_shot("D", cast=("Ana", "Ben")),
        a_shot("E"),
    ]
    return a_day(*shots, cast=cast)


def crowded() -> Day:
    """Give a day of twenty quick shots with long ids and long words."""
    shots = [
        a_shot(
            f"{number}2-4B{number}",
            description="the boat and the sea and the sun upon it, " * 4,
            shoot_min=5,
            setup_min=5,
            adjust_min=5,
            cast=("Ana Maria de los Angeles y de todos los Santos",),
        )
        for number in range(1, 21)
    ]
    cast = (CastMember(name="Ana Maria de los Angeles y de todos los Santos"),)
    return a_day(*shots, cast=cast)


def straight(day: Day, first_min: int = 390, step_min: int = 15) -> Plan:
    """Give the plan that rolls the shots of a day in their order, one every so many minutes."""
    clocks = [first_min + step_min * place for place in range(len(day.shots))]
    pairs = zip(day.shots, clocks, strict=True)
    return placed(day, " ".join(f"{one.id}@{clock // 60}:{clock % 60:02}" for one, clock in pairs))


def misplaced(figure: Figure) -> list[str]:
    """List lettering that overlaps other lettering, or leaves the page."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    boxes = [
        (text.get_text(), Text.get_window_extent(text, renderer))
        for text in figure.findobj(Text)
        if text.get_visible() and text.get_text().strip()
    ]
    assert len(boxes) > 10
    page = figure.bbox
    found = [
        f"`{text}` leaves the page"
        for text, box in boxes
        if box.x0 < 0 or box.y0 < 0 or box.x1 > page.x1 or box.y1 > page.y1
    ]
    for (text, box), (other, beside) in combinations(boxes, 2):
        across = min(box.x1, beside.x1) - max(box.x0, beside.x0)
        up = min(box.y1, beside.y1) - max(box.y0, beside.y0)
        if across > 1 and up > 0.2 * min(box.height, beside.height):
            found.append(f"`{text}` meets `{other}`")
    return found


def written(figure: Figure) -> list[str]:
    """Give all words of a figure, as they were put there."""
    texts = figure.findobj(Text)
    return [one.get_text() for one in texts if one.get_text().strip()]


def labelled(figure: Figure, start: str) -> dict[str, Any]:
    """Give the artists whose label begins with this, by what follows."""
    found: dict[str, Any] = {}
    for one in figure.findobj():
        name = str(one.get_label())
        if name.startswith(f"{start} "):
            found[name.removeprefix(f"{start} ")] = one
    return found
