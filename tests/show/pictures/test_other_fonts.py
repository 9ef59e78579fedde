"""Signs that the font of pictures lacks are drawn with a font of the machine that has them.

The fonts are made here, so that it does not matter which the machine has.
"""

import re
from pathlib import Path

import numpy as np
import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.font_manager import fontManager
from matplotlib.text import Text

from sunsched.show.drawing import lettering as module
from sunsched.show.drawing.figure import asked_texts, house_style, new_figure, picture_bytes, write
from sunsched.show.drawing.lettering import (
    FONT,
    LACKING,
    Words,
    lacking,
    lacking_text,
    lettered,
    width_in,
)
from sunsched.show.paper_size import Shape, paper

BIG, SMALL, NOTHING = "Wide Reach", "Narrow Reach", "Some Last Resort"
SQUARE_EM, HALF_EM = 1000, 500


def a_font(folder: Path, name: str, signs: str, wide: int) -> Path:
    """Make a font whose every sign is a filled box as wide as is asked."""
    glyphs = [".notdef", *(f"g{ord(one)}" for one in signs)]
    build = FontBuilder(SQUARE_EM, isTTF=True)
    build.setupGlyphOrder(glyphs)
    build.setupCharacterMap({ord(one): f"g{ord(one)}" for one in signs})
    pen = TTGlyphPen(None)
    corners = ((0, 0), (0, 700), (wide, 700), (wide, 0))
    pen.moveTo(corners[0])
    for corner in corners[1:]:
        pen.lineTo(corner)
    pen.closePath()
    box = pen.glyph()
    build.setupGlyf(dict.fromkeys(glyphs, box))
    build.setupHorizontalMetrics(dict.fromkeys(glyphs, (wide, 0)))
    build.setupHorizontalHeader(ascent=800, descent=-200)
    build.setupNameTable({"familyName": name, "styleName": "Regular"})
    build.setupOS2()
    build.setupPost()
    file = folder / f"{name}.ttf"
    build.save(file)
    return file


@pytest.fixture(autouse=True)
def machine(tmp_path, monkeypatch):
    """Give a machine with three fonts: one of many signs, one of few, one that shows nothing."""
    monkeypatch.setattr(fontManager, "ttflist", list(fontManager.ttflist))
    kept = [one for one in fontManager.ttflist if "mpl-data" in one.fname]
    monkeypatch.setattr(fontManager, "ttflist", kept)
    fontManager.addfont(a_font(tmp_path, BIG, "漢字海水", SQUARE_EM))
    fontManager.addfont(a_font(tmp_path, SMALL, "漢かな", HALF_EM))
    fontManager.addfont(a_font(tmp_path, NOTHING, "漢字海水かなสा\U000e0100", SQUARE_EM))
    forget()
    yield
    forget()


def forget():
    """Take away what is remembered of the machine's fonts."""
    for one in (
        module._others,
        module._font_of,
        module._signs_of,
        module._width_of_one_pt,
        module.lettered,
    ):
        one.cache_clear()


def a_figure(text: str):
    """Give a page with a text in both weights."""
    with house_style():
        figure = new_figure(paper(Shape.PHONE), 1.0, "x")
        write(figure, 0.1, 0.3, Words(text=text, size_pt=20))
        write(figure, 0.1, 0.8, Words(text=text, size_pt=20, bold=True))
    return figure


def test_the_font_with_the_most_signs_is_taken():
    """Then the others for what it lacks; never one that shows nothing, nor one of formulas."""
    assert lettered("a") == ("a", (FONT,))
    assert lettered("漢a字") == ("漢a字", (FONT, BIG))
    assert lettered("漢か") == ("漢か", (FONT, BIG, SMALL))
    assert lettered("ส漢") == (f"{LACKING}漢", (FONT, BIG))
    assert lettered("\ue000") == (LACKING, (FONT,))


def test_what_is_missing_still_is_told():
    """In a file that is drawn only what no font has; text is for fonts of another device."""
    assert lacking(["漢ส"]) == ["漢", "ส"]
    assert lacking(["漢ส"], with_others=True) == ["ส"]
    assert "lacks 1 sign (THAI): ส; □" in lacking_text(["漢ส"], "pdf")
    assert "lacks 2 signs (CJK, THAI): 漢ส; they are kept" in lacking_text(["漢ส"], "svg")
    assert lacking_text(["漢字かな"], "png") == ""
    assert asked_texts([a_figure("漢")]) == ["漢", "漢"]


def test_signs_are_measured_in_the_font_that_draws_them():
    """A square fills the size of its letters; half of one, and ours, do not change."""
    assert width_in("字", 72.0) == pytest.approx(module.SLACK, rel=0.02)
    assert width_in("字字", 72.0) == pytest.approx(2 * width_in("字", 72.0))
    assert width_in("a字", 72.0) == pytest.approx(width_in("a", 72.0) + width_in("字", 72.0))


@pytest.mark.parametrize("text", ["漢字", "漢"])
def test_they_are_drawn(text, caplog):
    """Black boxes of the made font, not the mark; bold too, though the font has no bold letters."""
    figure = a_figure(text)
    canvas = FigureCanvasAgg(figure)
    with house_style():
        canvas.draw()
    image = np.asarray(canvas.buffer_rgba())
    texts = [one for one in figure.findobj(Text) if one.get_text()]
    assert [one.get_text() for one in texts] == [text, text]
    for one in texts:
        with house_style():
            box = one.get_window_extent()
        assert box.width / figure.dpi == pytest.approx(len(text) * 20 / 72, rel=0.05)
        middle = image[int(figure.bbox.height - (box.y0 + box.y1) / 2)]
        assert (middle[:, 0] < 60).sum() == pytest.approx(len(text) * 20 / 72 * figure.dpi, rel=0.1)
    for kind in ("png", "pdf"):
        assert picture_bytes([a_figure(text)], kind) == picture_bytes([a_figure(text)], kind)
    assert caplog.text == ""


def test_a_file_of_text_names_no_font_of_this_machine():
    """It is for other devices."""
    svg = picture_bytes([a_figure("漢か")], "svg").decode()
    assert BIG not in svg
    assert SMALL not in svg
    assert re.search(r"<text [^>]*>漢か</text>", svg)
