"""The plan over what is made: what is late, what is still to come, what is cut."""

from dataclasses import replace
from datetime import timedelta

import pytest
from builders import at

from show.pictures.laid import labelled, misplaced, placed, played, written
from sunsched.day.past import Made, Past
from sunsched.show.charts.orders.made import made_figure, made_plan, made_text
from sunsched.show.paper_size import Shape


def gone_by(*made, cut=(), now="9:10"):
    """Give the day of five shots after some rolled at these times, for half an hour each."""
    day = played()
    rolled = []
    for name, clock in (one.split("@") for one in made):
        start = at(clock)
        rolled.append(
            Made(
                shot_id=name,
                changeover_start=start - timedelta(minutes=10),
                roll_start=start,
                roll_end=start + timedelta(minutes=30),
            )
        )
    past = Past(at=at(now), free_at=at(now), made=tuple(rolled), cut=cut)
    return replace(day, past=past)


def test_what_is_made_stands_under_what_was_planned():
    """B rolled at 8:20, planned at 7:30, so 50 min later; C, D and E are still to come."""
    planned = placed(played(), "A@6:30 B@7:30 C@9:00 D@10:30 E@12:00")
    day = gone_by("A@6:30", "B@8:20")
    figure = made_figure(planned, day, 3, shape=Shape.PHONE)
    texts = written(figure)
    assert {"planned: revision 3", "made: by 09:10", "still to come: C, D, E"} <= set(texts)
    assert set(labelled(figure, "later")) == {"B"}
    assert labelled(figure, "only here") == {}
    assert "now" in [one.get_label() for one in figure.findobj()]
    assert made_text(planned, made_plan(day)) == (
        "2 of 5 shots made or rolling; the last, B, began 50 min later than planned; "
        "they kept 100% of their light, planned were 100%"
    )


def test_early_on_time_and_unplanned():
    """The sense of the minutes; a shot that the plan does not know has no time of its own."""
    planned = placed(played(), "A@6:30 B@7:30")
    assert "A, began as planned" in made_text(planned, made_plan(gone_by("A@6:30")))
    assert "B, began 5 min earlier" in made_text(planned, made_plan(gone_by("A@6:30", "B@7:25")))
    assert made_text(planned, made_plan(gone_by("E@7:00"))) == "1 of 5 shots made or rolling"


def test_what_is_cut_is_not_to_come():
    """A cut shot is named, and marked where it was planned."""
    planned = placed(played(), "A@6:30 B@7:30 C@9:00 D@10:30 E@12:00")
    figure = made_figure(planned, gone_by("A@6:30", cut=("C",)), 1)
    assert {"cut: C", "still to come: B, D, E"} <= set(written(figure))
    assert set(labelled(figure, "only here")) == {"C"}
    assert "not in the other order" in written(figure)


@pytest.mark.parametrize("shape", [Shape.A4, Shape.PHONE])
def test_no_words_meet(shape):
    """On a sheet and on a phone."""
    planned = placed(played(), "A@6:30 B@7:30 C@9:00 D@10:30 E@12:00", meal="11:00")
    assert misplaced(made_figure(planned, gone_by("A@6:30", "B@8:20"), 1, shape=shape)) == []
