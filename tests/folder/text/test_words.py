"""Words turned into values, one reader at a time."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sunsched.folder.text import words
from sunsched.folder.text.words import WordError

SIZES = ("wide", "full", "medium", "close-up", "insert")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("5", 5),
        ("+5.25", 5.25),
        ("-5,25", -5.25),
        ("\u22125", -5),
        ("\u00a012\u202f", 12),
        (".5", 0.5),
        ("1e1", 10),
        ("30°", 30),
        ("0,125", 0.125),
    ],
)
def test_number_is_read_in_every_common_spelling(text, value):
    """Decimal points and commas, minus signs, odd spaces and degree signs."""
    assert words.number(text, -100, 100) == value


@pytest.mark.parametrize("text", ["", "x", "1.2.3", "1,2,3", "--5", "0x10", "nan", "٣", "1 000"])
def test_what_is_no_number_is_refused(text):
    """No guess is made at anything else."""
    with pytest.raises(WordError, match="not a number"):
        words.number(text, -1e9, 1e9)


@given(value=st.floats(-1e6, 1e6))
def test_every_written_number_reads_back(value):
    """What Python writes, the reader reads as the same number, with a comma too."""
    assert words.number(repr(value), -1e6, 1e6) == value
    if "e" not in repr(value) and len(repr(value).rpartition(".")[2]) != 3:
        assert words.number(repr(value).replace(".", ","), -1e6, 1e6) == value


@pytest.mark.parametrize(("low", "high"), [(0, 10), (-5, 5)])
def test_number_keeps_to_its_range_on_both_sides(low, high):
    """The ends belong to the range."""
    assert words.number(str(low), low, high) == low
    assert words.number(str(high), low, high) == high
    for outside in (low - 0.01, high + 0.01):
        with pytest.raises(WordError, match="out of range"):
            words.number(str(outside), low, high)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("yes", True),
        ("X", True),
        ("1", True),
        ("TRUE", True),
        ("no", False),
        ("", False),
        ("0", False),
    ],
)
def test_yes_and_no_are_read_as_people_tick_them(text, value):
    """Blank is no."""
    assert words.yes_no(text) is value


def test_lists_may_be_set_apart_in_several_ways():
    """A name may hold spaces, an id may not; what stands twice counts once."""
    assert words.id_list("2, 7A;10 2") == ("2", "7A", "10")
    assert words.name_list("Ana Ruiz; Bo + Cy, Bo") == ("Ana Ruiz", "Bo", "Cy")
    assert words.id_list(" , ") == ()


def test_natural_order_counts_as_people_do():
    """`2` comes before `10`, `7` before `7A`, `7A` before `7B`."""
    ids = ["10", "7B", "2", "A1", "7A", "7", "A10", "A2"]
    assert sorted(ids, key=words.natural_key) == ["2", "7", "7A", "7B", "10", "A1", "A2", "A10"]


@given(ids=st.lists(st.text("0123aB-._", min_size=1, max_size=6), unique=True))
def test_natural_order_is_the_same_from_any_start(ids):
    """No two ids share a place, so the order of the rows never shows."""
    assert sorted(ids, key=words.natural_key) == sorted(ids, key=words.natural_key)


@pytest.mark.parametrize(
    ("word", "hint"),
    [
        ("wied", "did you mean `wide`?"),
        ("Clos Up", "did you mean `close-up`?"),
        ("ins", "did you mean `insert`?"),
        ("drone", ""),
    ],
)
def test_nearest_known_word_is_near(word, hint):
    """Slips and words cut short have a hint, other words none."""
    assert words.did_you_mean(word, SIZES) == hint


def test_accents_typed_in_two_ways_are_one_name():
    """One machine writes é as one sign, another as two."""
    assert words.clean("Cafe\u0301") == words.clean("Caf\u00e9")


def test_many_names_are_counted_instead_of_listed():
    """A message stays readable with sixty spots."""
    assert words.choice(["a", "b"], "spot") == "a or b"
    assert words.choice([str(place) for place in range(9)], "spot") == "one of the 9 spot names"


def test_some_of_many_are_named_and_the_rest_counted():
    """One more than are named is named too."""
    assert words.some(["a"], 3) == "a"
    assert words.some(["a", "b", "c", "d"], 3) == "a, b, c and d"
    assert words.some(["a", "b", "c", "d", "e"], 3) == "a, b, c and 2 more"
