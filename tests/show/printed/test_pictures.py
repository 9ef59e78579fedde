"""The pictures behind the printed order, and on the phone page, on the days that are hard to draw.

Boxes of texts are those of matplotlib's own renderer, which measures the letters that are drawn.
"""

from functools import cache

import pytest
from matplotlib.text import Text

from show.printed.test_pages import MADE, sheet_of
from show.test_day_picture import HARD
from show.test_pictures import misplaced
from sunsched.show.agenda import Sheet
from sunsched.show.drawing.picture import alone, page_figures
from sunsched.show.paper_size import Shape, paper
from sunsched.show.sheets.behind.pictures import sheet_pictures
from sunsched.show.stamp import Stamp

SMALLEST_PT = 6.0  # of letters on paper
TORTURE = (*HARD, "long names", "clocks back", "forty on average")
LEAST_PX, PAGE_PX = 11.0, 336.0  # of letters on a phone; the width that its page leaves a picture


def sheet_with(plan):
    """Give a sheet of a plan."""
    return Sheet(plan=plan, stamp=Stamp(made_at=MADE, revision=2), paper=Shape.A4)


@cache
def hard(name):
    """Give the sheet of a day that is hard to draw."""
    return sheet_with(HARD[name]()[1]) if name in HARD else sheet_of(name)


def on_pages(sheet, shape):
    """Give the pages with the pictures of a sheet."""
    setting = paper(shape, upright=True)
    return page_figures(sheet.plan.day, setting, [*sheet_pictures(sheet, setting)])


def on_the_phone(sheet):
    """Give the pictures of the phone page, that of the day apart."""
    setting = paper(Shape.PHONE)
    return [
        alone(sheet.plan.day, setting, one, is_bare=True) for one in sheet_pictures(sheet, setting)
    ]


def smallest_pt(figure):
    """Give the size of the smallest letters of a figure."""
    return min(one.get_fontsize() for one in figure.findobj(Text) if one.get_text().strip())


@pytest.mark.parametrize("name", TORTURE)
def test_nothing_covers_anything_on_the_pages(name):
    """No words meet or leave the page, none stand in its foot, and no page grows."""
    for shape in (Shape.A4, Shape.LETTER):
        setting = paper(shape, upright=True)
        for page in on_pages(hard(name), shape):
            assert misplaced(page) == []
            assert page.get_figheight() == pytest.approx(setting.height_in)
            assert smallest_pt(page) >= SMALLEST_PT


@pytest.mark.parametrize("name", TORTURE)
def test_nothing_covers_anything_on_the_phone(name):
    """No words meet or leave their picture, and all can be read on a phone 360 px wide."""
    for figure in on_the_phone(hard(name)):
        assert misplaced(figure) == []
        assert smallest_pt(figure) / 72 / figure.get_figwidth() * PAGE_PX >= LEAST_PX
