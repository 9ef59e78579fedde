"""The head of a list is found wherever it stands, and the cells below say what titles mean."""

from __future__ import annotations

import pytest

from sunsched.folder.intake.header import CLOCK, LOOKED_AT, best_place, read_head
from sunsched.folder.intake.titles import columns_for, slip_of
from sunsched.folder.tables.table import Line

SHOT = ["1", "The tree", "WS", "N"]


def columns(*rows: str) -> tuple[str, ...]:
    """Give what the titles of a list stand for; cells are parted by commas."""
    lines: list[Line] = [(line, [*row.split(",")]) for line, row in enumerate(rows, 1)]
    return read_head(lines, 0).columns


def test_head_is_found_as_far_down_as_readers_look():
    """Further down it is none; two titles are enough, however long they are."""
    head = ["Camera direction", "Shot description"]
    above: list[Line] = [(line, ["x"]) for line in range(1, LOOKED_AT)]
    assert best_place([*above, (LOOKED_AT, [*head]), (LOOKED_AT + 1, [*SHOT])]) == LOOKED_AT - 1
    assert best_place([(0, ["x"]), *above, (LOOKED_AT, [*head])]) is None
    assert best_place([(1, ["Notes", "Shot size"])]) is None
    assert best_place([]) is None


def test_two_titles_for_one_column_are_not_both_it():
    """The one that is the column's own name is; else the first."""
    rows = ("1,The yard,north gate,WS", "2,The yard,south gate,WS")
    assert columns("Shot,Location,Set,Size", *rows) == ("id", "spot", "", "size")
    assert columns("Shot,Location,Spot,Size", *rows) == ("id", "", "spot", "size")


def test_numbers_are_those_that_tell_the_rows_apart():
    """A `setup` that is the same for several shots is none of theirs."""
    assert columns("No,Slate,Action,Size", "1,7,Tree,WS", "1,8,Hill,CU") == (
        *("", "id"),
        *("description", "size"),
    )


def test_hours_of_the_day_wish_for_light_where_no_other_column_does():
    """`D/N` is passed over for a column of light, wherever it stands."""
    rows = ("1,day,WS,back", "2,dusk,CU,side")
    assert columns("Shot,D/N,Size,Light", *rows) == ("id", "", "size", "sun")
    assert columns("Shot,D/N,Size,VFX", *rows) == ("id", "sun", "size", "")


@pytest.mark.parametrize(
    ("times", "column"),
    [
        (("20", "40", "1h"), "shoot_min"),
        (("180", "180", "30"), "shoot_min"),
        (("9:00", "14:30", "16:10"), ""),
        (("3:01", "3:01", "3:01"), ""),
        (("3:00", "3:00", "3:00"), "shoot_min"),
    ],
)
def test_time_is_minutes_unless_most_rolls_would_last_for_hours(times, column):
    """The middle one of them decides: three hours are a roll, a minute more is not."""
    rows = [f"{at},Tree,WS,{time}" for at, time in enumerate(times, 1)]
    assert columns("Shot,Action,Size,Time", *rows)[3] == column
    assert CLOCK not in columns("Shot,Action,Size,Time", *rows)


def test_rows_that_are_no_shots_do_not_say_what_a_title_means():
    """Sections, and heads that stand again: three filled cells are a shot."""
    rows = ("1,Tree,200", "Shot,Camera,Looking", "Shot,Camera,Looking", "Hill,,NW")
    assert columns("Shot,Action,Camera", *rows)[2] == "look"


@pytest.mark.parametrize(("cells", "column"), [(("WS", "CU"), "size"), (("WS", ""), "")])
def test_unknown_title_over_sizes_is_size(cells, column):
    """Two cells at least, and all of them; words, as a number may be anything."""
    rows = [f"{at},Tree,N,{cell}" for at, cell in enumerate(cells, 1)]
    assert columns("Shot,Action,Looking,Wobble", *rows)[3] == column


def test_half_of_the_cells_are_enough_for_the_sun():
    """Lists say much beside it, and what cannot be read is asked."""
    rows = ("1,WS,back", "2,CU,side", "3,CU,as yesterday", "4,CU,see storyboard")
    assert columns("Shot,Size,Light", *rows)[2] == "sun"
    assert columns("Shot,Size,Light", *rows, "5,CU,whatever Ana says")[2] == ""


@pytest.mark.parametrize(
    ("title", "columns"),
    [
        ("Set / Location", ("spot",)),
        ("Size / Lens", ("size",)),
        ("Shot sizes", ("size",)),
        ("*Est. time (min):", ("shoot_min",)),
        ("Looking [deg]", ("look",)),
        ("Lens toward", ("look",)),
        ("Camera towards", ("look",)),
        ("", ()),
    ],
)
def test_title_in_any_dress_is_known(title, columns):
    """With units in brackets, marks around it, in the plural, or twice over."""
    assert columns_for(title) == columns


@pytest.mark.parametrize(
    ("title", "column"),
    [("Descripton", "description"), ("weigth", "weight"), ("Props", ""), ("ab", ""), ("sun", "")],
)
def test_slip_of_a_title(title, column):
    """What is known, of others or short is none."""
    assert slip_of(title) == column


def test_a_camera_of_points_looks_and_one_of_figures_has_a_lens():
    """Also where points are those of another language, and say east or west by their list."""
    assert columns("Shot,Action,Camera", "1,Tree,O", "2,Hill,SO")[2] == "look"
    assert columns("Shot,Action,Camera", "1,Tree,35 mm", "2,Hill,1200 mm")[2] == "lens_mm"


@pytest.mark.parametrize(
    ("title", "column"), [("What we see", "description"), ("must be at", "pin")]
)
def test_a_title_that_says_what_a_column_says_is_known(title, column):
    """In whole words, as people write it above their own list."""
    assert columns_for(title) == (column,)
