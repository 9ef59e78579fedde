"""All windows of a day on one page: bars where the sun is right, words that fit."""

import pytest
from builders import a_day, a_shot, at
from matplotlib.patches import Rectangle

from show.pictures.laid import crowded, misplaced, placed, played, straight, written
from sunsched.day.wish import Band, SunSide, Wish
from sunsched.light.fit import fit_checked
from sunsched.light.windows import windows
from sunsched.show.charts.windows import windows_figure, windows_text
from sunsched.show.drawing.timeline import minutes_of
from sunsched.show.paper_size import Shape

SHAPES = (Shape.A4, Shape.LETTER, Shape.PHONE)


def bars(figure, name):
    """Give left end and width of the bars with a label."""
    found = [one for one in figure.findobj(Rectangle) if one.get_label() == name]
    return sorted((one.get_x(), one.get_width()) for one in found)


def test_each_window_has_a_bar_at_its_minutes():
    """The bars are the stretches that `windows` tells, one by one."""
    fit = fit_checked(played())
    figure = windows_figure(fit)
    for one in windows(fit):
        spans = [(minutes_of(fit, s.start), minutes_of(fit, s.end)) for s in one.spans]
        assert bars(figure, f"window {one.shot}") == [(a, b - a) for a, b in spans]
    assert bars(figure, "window C") != bars(figure, "window A")
    texts = written(figure)
    assert [text for text in texts if text in set("ABCDE")] == list("ABCDE")


def test_the_rolls_of_a_plan_stand_over_them():
    """With a plan, each roll is outlined at its minutes, and the key says so; else neither."""
    plan = placed(played(), "A@6:30 C@8:00")
    figure = windows_figure(plan.fit, plan)
    assert bars(figure, "roll C") == [(minutes_of(plan.fit, at("8:00")), 30.0)]
    assert "roll in the newest plan" in written(figure)
    assert "roll in the newest plan" not in written(windows_figure(plan.fit))


def test_the_headline_names_what_is_never_right():
    """A sun 80° high in the back never is on the equator in June; else the shortest is named."""
    high = Wish(side=SunSide.BACK, elevation=Band(low_deg=85, high_deg=90, give_deg=0.1))
    day = a_day(a_shot("A", wish=Wish(side=SunSide.BACK)), a_shot("B", wish=high))
    fit = fit_checked(day)
    assert windows_text(day, windows(fit)) == "never right by the sun alone: shot B"
    low = Wish(side=SunSide.BACK, elevation=Band(low_deg=0, high_deg=20, give_deg=5))
    day = a_day(
        a_shot("A", wish=Wish(side=SunSide.BACK), look_deg=90.0),
        a_shot("B"),
        a_shot("C", wish=low, look_deg=90.0),
    )
    assert windows_text(day, windows(fit_checked(day))).startswith("shortest: shot C, ")
    day = a_day(a_shot("A"))
    assert windows_text(day, windows(fit_checked(day))) == "no shot asks anything of the sun"


@pytest.mark.parametrize("shape", SHAPES)
def test_no_words_meet(shape):
    """Five shots, and twenty with long words, on each paper, with and without a plan."""
    for day in (played(), crowded()):
        plan = straight(day)
        assert misplaced(windows_figure(plan.fit, plan, shape=shape)) == []
        assert misplaced(windows_figure(plan.fit, shape=shape)) == []
