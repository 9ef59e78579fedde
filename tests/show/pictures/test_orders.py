"""Two orders under one another, and who waits when: places by the clock, words that fit.

The days are invented. Times that stand in a test follow from the times of its plans.
"""

from datetime import timedelta

import numpy as np
import pytest
from builders import a_day, a_shot, at
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from show.pictures.laid import crowded, labelled, misplaced, placed, played, straight, written
from sunsched.day.model import CastMember, Span
from sunsched.show.charts.orders.moves import find_moves, longest_common
from sunsched.show.charts.orders.pair import Pair, pair_figure, shared_out
from sunsched.show.charts.orders.people import people_figure, people_of
from sunsched.show.charts.orders.strip import OrderStrip, shade
from sunsched.show.drawing.ids import place_ids
from sunsched.show.drawing.strips import SHADES
from sunsched.show.drawing.timeline import minutes_of
from sunsched.show.paper_size import Shape

SHAPES = (Shape.A4, Shape.LETTER, Shape.PHONE)


def a_pair(first, second):
    """Give a pair of plans, named as a comparison names them."""
    return Pair(
        first=OrderStrip(name="ours", told="90%", plan=first),
        second=OrderStrip(name="theirs", told="80%", plan=second),
    )


def test_the_longest_common_row_keeps_its_place():
    """By hand: of A B C D E and A C D B E the row A C D E stands in both, so B moved alone."""
    assert longest_common("ABCDE", "ACDBE") == set("ACDE")
    assert len(longest_common("ABC", "CBA")) == 1
    assert longest_common("", "") == frozenset()


def test_moves_are_other_places_and_other_times():
    """B goes behind D; C and D roll earlier, A and E at the same minute."""
    day = played()
    first = placed(day, "A@6:30 B@7:30 C@9:00 D@10:30 E@12:00")
    second = placed(day, "A@6:30 C@8:00 D@9:30 B@11:00 E@12:00")
    moves = {one.first.shot.id: one.is_out_of_line for one in find_moves(first, second)}
    assert moves == {"B": True, "C": False, "D": False}


def test_lines_join_the_middles_of_the_rolls():
    """Each line runs from the middle of the upper roll to that of the lower one."""
    day = played()
    first = placed(day, "A@6:30 B@7:30 C@9:00 D@10:30")
    second = placed(day, "A@6:30 C@8:00 D@9:30 B@11:00 E@12:00")
    figure = pair_figure(day, "Two orders", "you lose E", [a_pair(first, second)])
    bold, thin = labelled(figure, "out of line"), labelled(figure, "later")
    assert (set(bold), set(thin)) == ({"B"}, {"C", "D"})
    fit = first.fit
    for lines, name, clocks in ((bold, "B", ("7:45", "11:15")), (thin, "D", ("10:45", "9:45"))):
        line = lines[name]
        assert isinstance(line, Line2D)
        assert np.asarray(line.get_xdata()).tolist() == [
            minutes_of(fit, at(clock)) for clock in clocks
        ]
    assert bold["B"].get_linewidth() > 1.5 * thin["D"].get_linewidth()
    assert set(labelled(figure, "only here")) == {"E"}
    assert "left out: E" in written(figure)


def test_rolls_are_as_light_as_what_they_keep():
    """A roll of all its light is white; one of none has the darkest grey of the strips."""
    assert shade(1.0) == SHADES[-1][1]
    assert shade(0.0) == SHADES[0][1]
    assert shade(0.5) == dict(SHADES)[0.5]
    day = played()
    plan = placed(day, "A@6:30 C@15:00")
    figure = pair_figure(day, "Two orders", "", [a_pair(plan, plan)])
    rolls = labelled(figure, "roll")
    assert plan.shots[0].fit > 0.95 > plan.shots[1].fit
    first, last = (rolls[name].get_facecolor() for name in "AC")
    assert first[0] > last[0]


@pytest.mark.parametrize("shape", SHAPES)
def test_no_words_meet_on_a_crowded_page(shape):
    """Twenty shots with ids of six signs, a quarter of an hour apart, on each paper."""
    day = crowded()
    first, second = straight(day), straight(day, 420, 16)
    figure = pair_figure(day, "Two orders", "you lose " * 30, [a_pair(first, second)], shape=shape)
    assert misplaced(figure) == []
    assert misplaced(people_figure(first, shape=shape)) == []
    ids = [one.id for one in day.shots]
    assert [text for text in written(figure) if text in ids] == [*ids, *ids]


@pytest.mark.parametrize(("count", "sheets"), [(1, [1]), (4, [4]), (5, [3, 2]), (9, [3, 3, 3])])
def test_pairs_are_shared_out_evenly(count, sheets):
    """At most four on a sheet, and no sheet with one where others have three."""
    plan = placed(played(), "A@6:30")
    pair = a_pair(plan, plan)
    assert [len(sheet) for sheet in shared_out([pair] * count)] == sheets


@pytest.mark.parametrize("shape", SHAPES)
def test_four_pairs_fill_a_sheet(shape):
    """Four pairs stand on one upright sheet, and on a phone as tall as they must be."""
    day = played()
    plan = placed(day, "A@6:30 B@7:30 C@9:00 D@10:30 E@12:00", meal="11:00")
    figure = pair_figure(day, "The next best", "", [a_pair(plan, plan)] * 4, shape=shape)
    assert misplaced(figure) == []
    if shape is not Shape.PHONE:
        assert figure.get_figheight() == pytest.approx(max(figure.get_size_inches()))
        assert figure.get_figheight() < 12


def test_ids_of_one_lane_do_not_meet():
    """Wide ids near each other go to other lanes or stand upright; far ones stay on the first."""
    near = [(f"12-{number}B", 1.0 + 0.12 * number) for number in range(8)]
    lanes = place_ids(near, 0.0, 8.0, 9.0)
    for one in lanes.ids:
        for other in lanes.ids:
            if one is not other and one.lane == other.lane:
                assert one.right_in <= other.left_in or other.right_in <= one.left_in
    far = place_ids([("1", 1.0), ("2", 3.0), ("3", 5.0)], 0.0, 8.0, 9.0)
    assert {one.lane for one in far.ids} == {0}
    assert not far.is_upright


def span(start, end):
    """Give a stretch between two clock times."""
    return Span(start=at(start), end=at(end))


def test_who_waits_when_by_hand():
    """Ana plays 6:30 to 7:00 and 10:30 to 11:00, Ben 8:00 to 8:30 and 10:30 to 11:00.

    The meal is from 9:00 to 10:00. Ana waits 7:00 to 9:00 and 10:00 to 10:30, 150 minutes; Ben 8:30
    to 9:00 and 10:00 to 10:30, 60 minutes. Setups of 20 and adjusts of 10 minutes: the crew, called
    at 6:00, builds A from 6:10, B from 7:00 to 7:10, D from 10:00 to 10:10.
    """
    plan = placed(played(), "A@6:30 B@8:00 D@10:30", meal="9:00")
    crew, ana, ben = people_of(plan)
    assert ana.wait == (span("7:00", "9:00"), span("10:00", "10:30"))
    assert ben.wait == (span("8:30", "9:00"), span("10:00", "10:30"))
    assert ana.told == "06:30–11:00, waits 2 h 30"
    assert ben.told == "08:00–11:00, waits 1 h 00, here 06:30–15:00"
    assert crew.builds == (span("6:10", "6:30"), span("7:00", "7:10"), span("10:00", "10:10"))
    assert crew.wait == (
        span("6:00", "6:10"),
        span("7:10", "8:00"),
        span("8:30", "9:00"),
        span("10:10", "10:30"),
    )
    assert ana.meal == ben.meal == span("9:00", "10:00")


def test_the_bars_stand_where_people_wait():
    """The waits and rolls of the picture are those of the people, in minutes of the day."""
    plan = placed(played(), "A@6:30 B@8:00 D@10:30", meal="9:00")
    figure = people_figure(plan, shape=Shape.PHONE)
    waits = [one for one in figure.findobj(Rectangle) if one.get_label() == "wait Ben"]
    fit = plan.fit
    assert sorted((one.get_x(), one.get_width()) for one in waits) == [
        (minutes_of(fit, at("8:30")), 30.0),
        (minutes_of(fit, at("10:00")), 30.0),
    ]
    here = labelled(figure, "here")["Ben"]
    assert isinstance(here, Line2D)
    assert np.asarray(here.get_xdata())[0] == minutes_of(fit, at("6:30"))
    assert "Ana waits longest, 2 h 30" in written(figure)


def test_one_whose_meal_lies_outside_their_day_does_not_eat_in_it():
    """Ben, whose last roll ends at 8:30, has no meal at 9:00, and no wait before it."""
    cast = (CastMember(name="Ben"),)
    day = a_day(a_shot("A", cast=("Ben",)), a_shot("B"), cast=cast)
    _, ben = people_of(placed(day, "A@8:00 B@10:30", meal="9:00"))
    assert (ben.meal, ben.wait) == (None, ())
    assert ben.rolls[0].end - ben.rolls[0].start == timedelta(minutes=30)
