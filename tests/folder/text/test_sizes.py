"""Sizes as the trade writes them, in several languages: each counts as one of the five."""

from __future__ import annotations

import pytest

from sunsched.day.model import Size
from sunsched.folder.read import read_day
from sunsched.folder.text import sizes
from sunsched.folder.text.words import WordError


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("wide", Size.WIDE),
        ("WS", Size.WIDE),
        ("Full Shot", Size.FULL),
        ("fs", Size.FULL),
        ("MS", Size.MEDIUM),
        ("Mid shot", Size.MEDIUM),
        ("CU", Size.CLOSE_UP),
        ("Close up", Size.CLOSE_UP),
        ("close_up", Size.CLOSE_UP),
        ("closeup", Size.CLOSE_UP),
        ("Close‑Up", Size.CLOSE_UP),
        ("INSERT", Size.INSERT),
    ],
)
def test_size_is_read_in_the_trades_spellings(text, size):
    """Words and abbreviations are common practice, no source."""
    assert sizes.size(text) is size


# Common practice, no source: no standard says what each of them shows.
@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("EWS", Size.WIDE),
        ("very wide", Size.WIDE),
        ("Long shot", Size.WIDE),
        ("Establishing", Size.WIDE),
        ("master", Size.WIDE),
        ("Aerial", Size.WIDE),
        ("drone", Size.WIDE),
        ("Totale", Size.WIDE),
        ("plan d'ensemble", Size.WIDE),
        ("plano general", Size.WIDE),
        ("campo lungo", Size.WIDE),
        ("Medium long", Size.FULL),
        ("MLS", Size.FULL),
        ("POV", Size.FULL),
        ("point of view", Size.FULL),
        ("Halbtotale", Size.FULL),
        ("cowboy", Size.MEDIUM),
        ("two-shot", Size.MEDIUM),
        ("2-shot", Size.MEDIUM),
        ("over the shoulder", Size.MEDIUM),
        ("OTS", Size.MEDIUM),
        ("plan américain", Size.MEDIUM),
        ("Halbnah", Size.MEDIUM),
        ("MCU", Size.CLOSE_UP),
        ("Medium close", Size.CLOSE_UP),
        ("big close-up", Size.CLOSE_UP),
        ("ECU", Size.CLOSE_UP),
        ("Extreme Close Up", Size.CLOSE_UP),
        ("Groß", Size.CLOSE_UP),
        ("gros plan", Size.CLOSE_UP),
        ("primer plano", Size.CLOSE_UP),
        ("detail", Size.INSERT),
        ("cutaway", Size.INSERT),
        ("plano detalle", Size.INSERT),
        ("WS (static)", Size.WIDE),
        ("MS, handheld", Size.MEDIUM),
        ("CU 85mm", Size.CLOSE_UP),
        ("OTS CU", Size.CLOSE_UP),
        ("WS → CU", Size.WIDE),
        ("CU / MS", Size.MEDIUM),
    ],
)
def test_what_the_trade_calls_a_size_counts_as_one_of_five(text, size):
    """A scale beside a kind decides, and of two scales the wider one."""
    assert sizes.size(text) is size


@pytest.mark.parametrize("text", ["wied", "WS of a horse", "big", "", "3", "shot"])
def test_what_is_no_size_is_refused(text):
    """A word that nobody knows is not passed over."""
    with pytest.raises(WordError, match="not a size"):
        sizes.size(text)


def test_words_of_a_folder_come_first(minimal_day, make_folder):
    """`[words.size]` changes what a word counts as, and adds words."""
    day = minimal_day + '[words.size]\nOTS = "close-up"\n"the long one" = "wide"\n'
    shots = "id,description,size,look,shoot_min\n1,A,ots,N,30\n2,B,The Long One,N,30\n"
    assert [shot.size for shot in read_day(make_folder(day, shots)).shots] == ["close-up", "wide"]


def test_word_of_a_folder_stands_for_one_of_five(minimal_day, make_folder, faults):
    """The nearest known one is named."""
    folder = make_folder(minimal_day + '[words.size]\nhero = "wied"\n')
    (fault,) = faults(folder)
    assert fault == (
        "day.toml:14, words.size.hero: not one of the five sizes: `wied` (expected wide, full, "
        "medium, close-up or insert)\n  hint: did you mean `wide`?"
    )


@pytest.mark.parametrize(
    ("text", "size"), [("WS the boats", "wide"), ("Close up on Ana", "close-up"), ("The sea", None)]
)
def test_sentence_may_begin_with_a_size(text, size):
    """As lists in mails do."""
    found = sizes.leading(text)
    assert (found and found[0]) == size


@pytest.mark.parametrize(
    ("text", "is_plain"), [("WS", True), ("Close-Up", True), ("wide shot", True), ("OTS", False)]
)
def test_plain_size_says_nothing_more(text, is_plain):
    """What says more than the size is kept beside it."""
    assert sizes.is_plain(text) is is_plain
