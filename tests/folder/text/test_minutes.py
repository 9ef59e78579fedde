"""Minutes of work as people write them."""

from __future__ import annotations

import pytest

from sunsched.folder.text.minutes import minutes
from sunsched.folder.text.words import WordError


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("20", 20),
        ("25.0", 25),
        ("20'", 20),
        ("20′", 20),
        ("30 min", 30),
        ("30min.", 30),
        ("45 minutes", 45),
        ("~15", 15),
        ("ca. 40 min", 40),
        ("0:20", 20),
        ("00:20:00", 20),
        ("1:15", 75),
        ("1h15", 75),
        ("1 h 05 min", 65),
        ("1h", 60),
        ("1.5h", 90),
        ("1,5 Std", 90),
        ("½ h", 30),
        ("1½ h", 90),
        ("2 hours", 120),
    ],
)
def test_minutes_are_read_in_every_common_spelling(text, value):
    """Also as spreadsheets write lengths of time."""
    assert minutes(text, 1, 720) == value


@pytest.mark.parametrize(
    ("text", "problem", "hint"),
    [
        ("long", "not a number", ""),
        ("0", "out of range", ""),
        ("13h", "out of range", ""),
        ("12.5 min", "not a whole number", ""),
        ("15-20 min", "two figures", "write the longer one, `20`, to be safe"),
        ("20:00", "not whole minutes", "write `20` if minutes and seconds are meant"),
        ("0:00:30", "not whole minutes", ""),
    ],
)
def test_what_is_no_number_of_minutes_is_refused(text, problem, hint):
    """What it may mean is said, not guessed."""
    with pytest.raises(WordError) as refused:
        minutes(text, 1, 720)
    assert (refused.value.problem, refused.value.hint) == (problem, hint)
    assert refused.value.expected == "a whole number from 1 to 720, such as 20"
