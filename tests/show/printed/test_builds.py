"""What who builds needs on paper: where it stands, what it says, and on which days."""

from dataclasses import replace

import pytest

from show.printed.test_pages import a_day, a_sheet, framed, no_picture, pages_of, shots_of
from sunsched.day.kit.camera import Camera
from sunsched.day.kit.weather import Haze, Weather
from sunsched.day.past import Made, Past
from sunsched.folder.tables.cloths import read_cloths
from sunsched.show.gaffer.page import gaffer_pages
from sunsched.show.sheets.printed.builds import TITLE, build_rows

__all__ = ["no_picture"]  # a fixture of all tests here


@pytest.fixture(scope="module")
def sheet():
    """Give a sheet of six shots under a silk, with a board and a black."""
    return a_sheet(framed(6), every_min=60)


def texts_of(page):
    """Give what is written on a page, from top to bottom."""
    return [text.get_text() for text in page.texts]


def test_it_stands_behind_the_order(sheet):
    """On a page of its own, each shot in the order of the plan, each caution once."""
    order, *others = [texts_of(page) for page in pages_of(sheet)]
    assert "by hand" in order
    assert not any("covers 1.2 m" in text for text in order)
    build = others[-1]
    assert TITLE in build
    ids = [one.shot.id for one in sheet.plan.shots]
    assert [text for text in build if text in ids] == ids
    whole = " ".join(build)
    assert whole.count("frames come down before the wind decides") == 1
    assert whole.count("nothing here is a go-ahead") == 1
    assert "heat index" in whole
    assert "12 by: centre" in whole


def test_a_row_says_what_the_gaffers_page_says(sheet):
    """The same figures, shorter: side, height, shadow, frame, levels, contrast, frames, match."""
    pages = gaffer_pages(sheet.plan, read_cloths(None))
    rows = build_rows(sheet.plan)
    for row, page in zip(rows, pages, strict=True):
        lines = {line.name: line for section in page.sections[:2] for line in section.lines}
        sky = "clear, sun out", "clouds, sun in"
        for name, column in (("stands", "sun"), ("shadow", "shadow"), ("contrast", "contrast")):
            assert all(piece in lines[name].text for piece in row.cells[column][:1])
        assert row.cells["sky"] == ["sun out", "sun in"]
        for name, ground, lit in zip(sky, row.cells["ground"], row.cells["lit"], strict=True):
            assert f"on the ground {ground}" in lines[name].text
            assert f"face to the sun {lit}" in lines[name].text
        under = "\n".join(row.under)
        over = next(
            line.figures
            for section in page.sections
            for line in section.lines
            if "offset_m" in line.figures
        )
        assert f"12 by: centre {over['offset_m']:.1f} m toward {over['toward_deg']:.0f}°" in under
        assert "gust of 8 m/s: 630 N and uplift" in under  # ½ · 1.225 · 64 · 1.2 · 3.66²
        assert "4 by black: takes" in under
    assert "match to 0: sun" in "\n".join(rows[1].under)


@pytest.mark.parametrize(
    ("told", "is_there"),
    [
        ({}, False),
        ({"camera": Camera(iso=400.0)}, True),
        ({"weather": Weather(haze=Haze.HAZY)}, True),
    ],
)
def test_only_where_the_day_says_what_it_is_lit_with(told, is_there):
    """A clipboard of a day without frames, camera and weather is as short as ever."""
    day = replace(a_day(shots_of(1)), **told)
    assert bool(build_rows(a_sheet(day, every_min=60).plan)) is is_there


def test_what_is_made_is_built_no_more(sheet):
    """Only shots that are still to come have a row."""
    first = sheet.plan.shots[0]
    made = Made(
        shot_id=first.shot.id,
        changeover_start=first.changeover_start,
        roll_start=first.roll_start,
        roll_end=first.roll_end,
    )
    past = Past(at=first.roll_end, free_at=first.roll_end, made=(made,))
    day = replace(sheet.plan.day, past=past)
    plan = replace(sheet.plan, fit=replace(sheet.plan.fit, day=day))
    assert [row.cells["shot"][0] for row in build_rows(plan)] == ["1", "2", "3", "4", "5"]


def test_at_night_and_behind_a_skyline():
    """Dusk has its level at both ends; where no sun comes there is no shadow."""
    day = replace(a_day(shots_of(3), call=20, hours=8), camera=Camera(iso=3200.0))
    rows = build_rows(a_sheet(day, every_min=60).plan)
    dusk = next(row for row in rows if row.cells["sky"] == ["start", "end"])
    assert all(text.endswith("lx") for text in dusk.cells["ground"])
    assert dusk.cells["shadow"] == ()
