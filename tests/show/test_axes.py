"""Pictures on axes of one's own: what is drawn stands where the results say."""

import pytest
from matplotlib.figure import Figure

import sunsched
from sunsched.show.drawing.timeline import minutes_of


@pytest.fixture(scope="module")
def solved():
    """Give the example day with its plan."""
    return sunsched.solve_day(sunsched.example_day())


def labelled(axes, label):
    """List what is drawn on axes under a label."""
    return [one for one in axes.get_children() if one.get_label() == label]


def test_pictures_are_drawn_on_the_axes_given(solved):
    """Six pictures share one figure, also a part of one, and give back the axes they were given."""
    fit, plan = solved.fit, solved.plan
    figure = Figure(figsize=(12, 12))
    halves = figure.add_gridspec(1, 2)
    left, right = figure.add_subfigure(halves[0]), figure.add_subfigure(halves[1])
    spots = [*left.subplots(3, 1), *right.subplots(3, 1)]
    drawn = [
        sunsched.draw_day(plan, spots[0]),
        sunsched.draw_shot(fit, "1", plan, spots[1]),
        sunsched.draw_sun(fit, "mill", plan, spots[2]),
        sunsched.draw_price_table(sunsched.price_table(solved, step_min=120), spots[3]),
        sunsched.draw_wrap_curve(fit.day, sunsched.wrap_curve(solved, step_min=120), spots[4]),
        sunsched.draw_stress(sunsched.stress(fit, plan.timetable, days=100), spots[5]),
    ]
    assert drawn == spots
    figure.canvas.draw()
    assert all(one.get_children() for one in drawn)


def test_rolls_stand_at_their_times(solved):
    """Each roll is a box over its shot's row, from its start to its end; so is the roll of one."""
    plan, fit = solved.plan, solved.fit
    axes = sunsched.draw_day(plan)
    for row, one in enumerate(plan.shots):
        (box,) = labelled(axes, f"roll {one.shot.id}")
        assert box.get_x() == minutes_of(fit, one.roll_start)
        assert box.get_width() == one.shot.shoot_min
        assert box.get_y() < row < box.get_y() + box.get_height()
    one = plan.shots[0]
    alone = sunsched.draw_shot(fit, one.shot.id, plan)
    (span,) = labelled(alone, "roll")
    assert (span.get_x(), span.get_width()) == (minutes_of(fit, one.roll_start), one.shot.shoot_min)


def test_ticks_are_hours_of_the_local_clock(solved):
    """Lisbon in June is an hour past UTC."""
    axes, fit = sunsched.draw_day(solved.plan), solved.fit
    tick, label = axes.get_xticks()[1], axes.get_xticklabels()[1].get_text()
    assert f"{fit.time_of(int(tick)).hour + 1:02}:00" == label


def test_a_callers_style_is_left_alone(solved):
    """Nothing but the axes is changed: neither the figure nor matplotlib's settings."""
    from matplotlib import rcParams

    before = dict.copy(rcParams)
    figure = Figure(figsize=(3, 3), facecolor="pink")
    sunsched.draw_day(solved.plan, figure.add_subplot())
    assert dict(rcParams) == before
    assert figure.get_facecolor() == Figure(facecolor="pink").get_facecolor()
    assert len(figure.axes) == 1


def test_unknown_shots_and_spots_are_refused(solved):
    """Names that the day does not have raise as they do elsewhere."""
    with pytest.raises(KeyError):
        sunsched.draw_shot(solved.fit, "99")
    with pytest.raises(StopIteration):
        sunsched.draw_sun(solved.fit, "quay")
