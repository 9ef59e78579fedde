"""The pictures that a sheet has behind its order, beside that of the day itself."""

from __future__ import annotations

from collections.abc import Iterator

from sunsched.show.agenda import Sheet
from sunsched.show.charts.orders.made import made_picture, made_plan
from sunsched.show.charts.orders.people import people_pictures
from sunsched.show.charts.spots.skyline import skyline_picture
from sunsched.show.charts.spots.sun import sun_picture
from sunsched.show.charts.windows import windows_pictures
from sunsched.show.drawing.picture import Picture
from sunsched.show.drawing.timeline import reaching
from sunsched.show.paper_size import Paper

MOST_WINDOWS, MOST_PEOPLE = 42, 24  # rows of a picture that a page holds
WINDOW_ROW_IN = 0.2  # of a picture with others beside it, at the least


def sheet_pictures(sheet: Sheet, setting: Paper) -> Iterator[Picture]:
    """Give who waits when, planned and made, all windows, and each spot from above and around.

    Of spots, those of the day's shots; of their skylines, those that have one.
    """
    plan, is_paper = sheet.plan, setting.height_in is not None
    day, fit = plan.day, reaching(plan.fit)
    yield from _made(sheet, setting)
    if any(one.shot.cast for one in plan.shots):
        yield from people_pictures(plan, setting, MOST_PEOPLE if is_paper else None)
    yield from windows_pictures(
        fit, plan, setting, MOST_WINDOWS if is_paper else None, WINDOW_ROW_IN
    )
    used = {shot.spot for shot in day.shots}
    spots = [spot for spot in day.spots if spot.name in used]
    for spot in spots:
        yield sun_picture(fit, spot.name, plan, setting, is_beside=is_paper)
    for spot in spots:
        if spot.horizon:
            yield skyline_picture(day, spot, fit.track, setting)


def _made(sheet: Sheet, setting: Paper) -> Iterator[Picture]:
    """Give the plan that the day began with over what is made of it, if anything is."""
    course, told = sheet.course, "as the day began"
    if sheet.before is not None:
        yield made_picture(sheet.before, told, sheet.plan, setting)
    elif course is not None:
        made = made_plan(course.so_far, sheet.plan.grid_min)
        yield made_picture(course.followed, told, made, setting)
