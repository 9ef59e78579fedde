"""An order as people type it: with a head or without one, ids in a row or one a line."""

from datetime import UTC

import pytest

import sunsched
from sunsched.errors import FolderError
from sunsched.whatif.orders.order import read_pasted

DAY = sunsched.example_day()


def told(text):
    """Give an order as rows of an id and a time; the meal is a row too."""
    order = read_pasted(text, DAY).order
    zone = DAY.place.zone
    rows = [
        (one, "" if when is None else f"{when.astimezone(zone):%H:%M}")
        for one, when in zip(order.ids, order.times, strict=True)
    ]
    if order.meal_after is not None:
        start = order.meal_start
        when = "" if start is None else f"{start.replace(tzinfo=UTC).astimezone(zone):%H:%M}"
        rows.insert(order.meal_after, ("meal", when))
    return rows


@pytest.mark.parametrize(
    "text",
    [
        "4, 5, lunch, 3",
        "4 5 meal 3",
        "4 → 5 → lunch → 3",
        "4\n5\n\nlunch\n3\n",
        "4\r\n5\r\nLUNCH\r\n3",
        "1. 4\n2. 5\n3. lunch\n4. 3",
        "- 4 the wide one\n- 5\n- lunch\n- 3: her hands",
        "#4\n#5\nmeal\n#3",
        "id\n4\n5\nmeal\n3",
        "what | shot\nwide | 4\nhands | 5\n | lunch\nface | 3",
    ],
)
def test_ids_are_read_in_their_order(text):
    """However they stand."""
    assert told(text) == [("4", ""), ("5", ""), ("meal", ""), ("3", "")]


@pytest.mark.parametrize(
    "text",
    [
        "4 08:30\n5 9.10\nlunch 12:00\n3 1:00 pm",
        "08:30 4 the wide one\n09:10-09:30 5\n12:00 lunch\n13:00 3",
        "id,time\n4,08:30\n5,09:10\nmeal,12:00\n3,13:00",
        "4\t8h30\n5\t9h10\nlunch\t12h00\n3\t13h00",
    ],
)
def test_times_stand_before_or_after(text):
    """As people write them."""
    assert told(text) == [("4", "08:30"), ("5", "09:10"), ("meal", "12:00"), ("3", "13:00")]


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("", ["the order: nothing is written"]),
        ("4\n99\n98", ["the order:2, id: no shot of this id", "the order:3, id: no shot"]),
        ("4\n5\n4", ["the order:3, id: a shot that stands twice"]),
        ("4 13:00\n5 12:00", ["the order:2, time: earlier than a row above it"]),
        ("4 25:00", ["the order:1, time: not a clock time"]),
        ("x" * 200_001, ["the order: too long"]),
    ],
)
def test_faults_name_the_line_that_was_pasted(text, faults):
    """All of them at once."""
    with pytest.raises(FolderError) as error:
        read_pasted(text, DAY)
    found = [str(fault) for fault in error.value.faults]
    assert len(found) == len(faults)
    assert all(one.startswith(start) for one, start in zip(found, faults, strict=True))
