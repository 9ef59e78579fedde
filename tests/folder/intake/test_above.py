"""Cells that mean the one in the row above, in the list of a folder and in one that is imported."""

from __future__ import annotations

import pytest

from sunsched.folder.intake.file import read_list
from sunsched.folder.read import read_folder
from sunsched.folder.text.findings import Findings

SPOTS = '[[spot]]\nname = "Old mill"\n[[spot]]\nname = "Pans"\n'
HEAD = "id,description,size,spot,look,sun,cast,vfx,shoot_min\n"


@pytest.fixture
def read(minimal_day, make_folder):
    def reading(*rows: str):
        return read_folder(make_folder(minimal_day + SPOTS, HEAD + "".join(f"{r}\n" for r in rows)))

    return reading


def test_blank_spots_are_those_of_the_row_above(read):
    """As lists name a set once (common practice, no source); other blanks stay blank."""
    reading = read(
        "1,Salt,wide,Pans,N,back,Ana,rain,20",
        "2,Rakes,wide,,N,,,,20",
        "3,Carts,wide,,N,,,,20",
        "4,Wheel,wide,Old mill,N,,,,20",
        "5,Sacks,wide,,N,,,,20",
    )
    shots = reading.day.shots
    assert [shot.spot for shot in shots] == ["Pans", "Pans", "Pans", "Old mill", "Old mill"]
    assert [shot.cast for shot in shots] == [("Ana",), (), (), (), ()]
    assert [shot.wish.asks_nothing for shot in shots] == [False, True, True, True, True]
    assert [shot.kept for shot in shots] == [(("vfx", "rain"),), (), (), (), ()]
    assert reading.taken[-1] == (
        "blank under spot, so it is that of the row above: lines 3, 4 and 6"
    )


def test_a_blank_above_all_spots_is_a_fault(faults, minimal_day, make_folder):
    """Nothing says what the first one is."""
    rows = "1,Salt,wide,,N,,,,20\n2,Wheel,wide,Pans,N,,,,20\n"
    (fault,) = faults(make_folder(minimal_day + SPOTS, HEAD + rows))
    assert fault == "shots.csv:2, spot: blank (expected Old mill or Pans)"


@pytest.mark.parametrize("sign", ['""""', "ditto", "Dto.", "〃", "”"])
def test_signs_for_the_same_are_taken(read, sign):
    """In every column that is read, for its last cell with words."""
    shots = read(
        "1,Salt,wide,Pans,SSW,back,Ana,rain,20",
        f"2,Rakes,{sign},{sign},{sign},{sign},{sign},{sign},{sign}",
        f"3,Carts,insert,Old mill,N,any,{sign},,{sign}",
    ).day.shots
    first, second, third = shots
    for name in ("size", "spot", "look_deg", "wish", "cast", "shoot_min"):
        assert getattr(second, name) == getattr(first, name), name
    assert second.kept == (("vfx", sign.replace('""""', '"')),)
    assert (third.size, third.cast, third.shoot_min) == ("insert", ("Ana",), 20)


def test_a_cell_may_name_another_shot(read):
    """Above or below; what names no shot, or one with a blank there, is left as it is."""
    reading = read(
        "1,Salt,wide,Pans,SSW,as 3,Ana,,20",
        "2A,Rakes,as shot 1,same as 1,wie #3,front,Bo,as 1,20",
        "3,Carts,insert,Old mill,N,back,as 9,,20",
    )
    first, second, third = reading.day.shots
    assert first.wish == third.wish
    assert (second.size, second.spot, second.look_deg) == ("wide", "Pans", 0)
    assert second.kept == (("vfx", "as 1"),)
    assert third.cast == ("as 9",)
    assert "sun of line 2 is that of the shot it names" in reading.taken


def test_a_sign_below_nothing_is_told(faults, minimal_day, make_folder):
    """The first row has none above it."""
    rows = "1,Salt,wide,Pans,ditto,,,,20\n"
    (fault,) = faults(make_folder(minimal_day + SPOTS, HEAD + rows))
    assert fault.startswith("shots.csv:2, look: not a bearing: `ditto`")


def test_the_same_holds_for_a_list_that_is_imported(tmp_path):
    """One code reads both."""
    path = tmp_path / "list.csv"
    path.write_text(
        'no,action,size,set,direction,minutes\n1,Salt,WS,Pans,N,20\n2,Carts,"""",,"""",10\n',
        encoding="utf-8",
    )
    taken = read_list(path, Findings())
    assert taken is not None
    assert dict(taken.table.rows[1].cells) == {
        "id": "2",
        "description": "Carts",
        "size": "WS",
        "spot": "Pans",
        "look": "N",
        "shoot_min": "10",
    }
    assert taken.notes[-3:] == (
        "size as in the row above: line 3",
        "blank under spot, so it is that of the row above: line 3",
        "look as in the row above: line 3",
    )
