"""Rigs and matches in `day.toml`: their names are those of the shot list, however spelled."""

from __future__ import annotations

import pytest

from sunsched.day.kit.frame import Rig
from sunsched.day.model import MatchBy
from sunsched.folder.read import read_day

HEADER = "id,description,size,look,shoot_min,rig,match"
SHOTS = f"""\
{HEADER}
1,The pans,wide,N,30,Big tent,the walk
2,Ana,medium,N,20,BIG-TENT,The Walk
3,Ben,medium,S,20,8x8 silk,at the mill
4,Ana,close-up,N,20,,at the mill
"""

# What is added to the smallest `day.toml`, and all that is then said.
FAULTS = [
    pytest.param(
        '[[rig]]\nname = "big tnet"\n',
        "day.toml:14, rig.name: unknown rig: `big tnet` (expected Big tent or 8x8 silk)\n"
        "  hint: did you mean `Big tent`?",
        id="rig slip",
    ),
    pytest.param(
        '[[rig]]\nname = "crane"\n',
        "day.toml:14, rig.name: unknown rig: `crane` (expected Big tent or 8x8 silk)",
        id="rig that no shot uses",
    ),
    pytest.param(
        "[[rig]]\noverhead = true\n",
        "day.toml:13, rig.name: missing (expected the name of a rig of the shot list)",
        id="rig without a name",
    ),
    pytest.param(
        '[[rig]]\nname = ""\n',
        "day.toml:14, rig.name: blank (expected 1 to 60 characters)",
        id="rig with a blank name",
    ),
    pytest.param(
        '[[rig]]\nname = "Big tent"\n[[rig]]\nname = "big  tent"\n',
        "day.toml:16, rig.name: a name that stands twice: `big tent`\n"
        "  hint: it is also on line 14",
        id="rig twice",
    ),
    pytest.param(
        '[[rig]]\nname = "Big tent"\noverhead = "yes"\n',
        "day.toml:15, rig.overhead: neither true nor false: `yes` "
        "(expected true or false, without quotes)",
        id="overhead yes",
    ),
    pytest.param(
        '[[rig]]\nname = "Big tent"\noverhead = 1\n',
        "day.toml:15, rig.overhead: neither true nor false: `1` "
        "(expected true or false, without quotes)",
        id="overhead one",
    ),
    pytest.param(
        '[[rig]]\nname = "Big tent"\nover = true\n',
        "day.toml:15, rig.over: unknown key\n  hint: did you mean `overhead`?",
        id="overhead slip",
    ),
    pytest.param(
        '[rig]\nname = "Big tent"\n',
        "day.toml:13, rig: not a list of tables (expected `[[rig]]`, one for each)",
        id="rig not many",
    ),
    pytest.param(
        '[match.wlak]\nby = "sun"\n',
        "day.toml:13, match.wlak: unknown match: `wlak` (expected the walk or at the mill)",
        id="match unheard of",
    ),
    pytest.param(
        '[match."at the mil"]\nby = "sun"\n',
        "day.toml:13, match.at the mil: unknown match: `at the mil` "
        "(expected the walk or at the mill)\n  hint: did you mean `at the mill`?",
        id="match slip",
    ),
    pytest.param(
        '[match.the-walk]\nby = "lense"\n',
        "day.toml:14, match.the-walk.by: not what shots match by: `lense` (expected sun or lens)\n"
        "  hint: did you mean `lens`?",
        id="by slip",
    ),
    pytest.param(
        '[match.the-walk]\nby = "colour"\n',
        "day.toml:14, match.the-walk.by: not what shots match by: `colour` (expected sun or lens)",
        id="by unheard of",
    ),
    pytest.param(
        "[match.the-walk]\nby = true\n",
        "day.toml:14, match.the-walk.by: not a text: `true` (expected a text in quotes)",
        id="by not a text",
    ),
    pytest.param(
        "[match.the-walk]\n",
        "day.toml:13, match.the-walk.by: missing (expected sun or lens)",
        id="by missing",
    ),
    pytest.param(
        '[match."the walk"]\nbye = "sun"\nby = "lens"\n',
        "day.toml:14, match.the walk.bye: unknown key\n  hint: did you mean `by`?",
        id="key of a match",
    ),
    pytest.param(
        '[match."the walk"]\nby = "lens"\ndrift = 5\n',
        "day.toml:15, match.the walk.drift: unknown key (expected by)",
        id="key of a match unheard of",
    ),
    pytest.param(
        '[match."a.walk"]\nby = "lens"\nbye = 5\n',
        "day.toml:13, match.a.walk: unknown match: `a.walk` (expected the walk or at the mill)\n"
        "day.toml:15, match.a.walk.bye: unknown key\n  hint: did you mean `by`?",
        id="name with a dot",
    ),
    pytest.param(
        '[costs]\nby = "lens"\n',
        "day.toml:14, costs.by: unknown key\n  hint: it belongs in `[match.<name>]`",
        id="by in another table",
    ),
    pytest.param(
        '[match."the walk"]\nby = "lens"\n[match.The_Walk]\nby = "sun"\n',
        "day.toml:15, match.The_Walk: a name that stands twice: `The_Walk`\n"
        "  hint: it is also on line 13",
        id="match twice",
    ),
    pytest.param(
        '[match]\n"the walk" = "lens"\n',
        "day.toml:14, match.the walk: not a table: `lens` (expected `[match.the walk]`)",
        id="match not a table",
    ),
    pytest.param(
        '[[match]]\nname = "the walk"\n',
        "day.toml:13, match: not a table: `a list` (expected `[match.<name>]`)",
        id="matches as a list",
    ),
    pytest.param(
        '[match.""]\nby = "lens"\n',
        "day.toml:13, match.: unknown match (expected the walk or at the mill)",
        id="match without a name",
    ),
]


@pytest.mark.parametrize(("more", "message"), FAULTS)
def test_fault_is_told_in_full(more, message, minimal_day, make_folder, faults):
    """Each fault comes with its line, key, value, what was expected and the nearest name."""
    assert "\n".join(faults(make_folder(minimal_day + more, SHOTS))) == message


def test_names_take_the_spelling_of_the_shot_list(minimal_day, make_folder, warnings_of):
    """Case and gaps do not matter, and every key may be quoted."""
    more = (
        '[[rig]]\nname = "big_tent"\noverhead = true\n[[rig]]\nname = "8X8 SILK"\n'
        '[match.THE-WALK]\nby = \'lens\'\n[match."At  The Mill"]\n"by" = "sun"\n'
    )
    folder = make_folder(minimal_day + more, SHOTS)
    day = read_day(folder)
    assert day.rigs == (Rig(name="Big tent", overhead=True), Rig(name="8x8 silk"))
    assert day.matches == {"the walk": MatchBy.LENS, "at the mill": MatchBy.SUN}
    assert [day.is_under_overhead(shot) for shot in day.shots] == [True, True, False, False]
    assert [day.matched_by(shot.match) for shot in day.shots] == [
        *(MatchBy.LENS, MatchBy.LENS),
        *(MatchBy.SUN, MatchBy.SUN),
    ]
    assert warnings_of(folder) == []


def test_one_match_may_stand_on_one_line(minimal_day, make_folder):
    """TOML has several ways to write a table."""
    for more in ('match = {"the walk" = {by = "lens"}}\n', 'match."the walk".by = "lens"\n'):
        folder = make_folder(more + minimal_day, SHOTS)
        assert read_day(folder).matches == {"the walk": MatchBy.LENS}
        for path in folder.iterdir():
            path.unlink()
        folder.rmdir()


@pytest.mark.parametrize(
    ("more", "message"),
    [
        pytest.param(
            '[[rig]]\nname = "tent"\n',
            "day.toml:14, rig.name: unknown rig: `tent` (expected a rig of the shot list)\n"
            "  hint: no shot has a rig",
            id="rig",
        ),
        pytest.param(
            '[match.walk]\nby = "sun"\n',
            "day.toml:13, match.walk: unknown match: `walk` (expected a match of the shot list)\n"
            "  hint: no shot has a match",
            id="match",
        ),
    ],
)
def test_list_without_names(more, message, minimal_day, make_folder, faults):
    """Where no shot has a rig or a match, none can be named."""
    assert faults(make_folder(minimal_day + more)) == [message]


def test_many_names_are_counted(minimal_day, make_folder, faults):
    """A line does not hold nine names."""
    rows = "".join(f"{n},Wide,wide,N,30,rig {n},\n" for n in range(1, 10))
    more = '[[rig]]\nname = "crane"\n'
    assert faults(make_folder(minimal_day + more, f"{HEADER}\n{rows}")) == [
        "day.toml:14, rig.name: unknown rig: `crane` (expected one of the 9 rig names)"
    ]


def test_rig_of_a_row_at_fault_is_known(minimal_day, make_folder, faults):
    """One fault is not told as two: the shot has a fault, its rig has none."""
    more = '[[rig]]\nname = "tent"\n[match.walk]\nby = "sun"\n'
    shots = f"{HEADER}\n1,Wide,wied,N,30,Tent,Walk\n2,Wide,wide,N,30,Tent,Walk\n"
    assert [one.split(": ")[0] for one in faults(make_folder(minimal_day + more, shots))] == [
        "shots.csv:2, size"
    ]


def test_names_are_not_checked_without_a_list(minimal_day, make_folder, faults):
    """A shot list that is not there is the one fault."""
    more = '[[rig]]\nname = "tent"\n[match.walk]\nby = "sun"\n'
    assert [one.split(": ")[0] for one in faults(make_folder(minimal_day + more, None))] == [
        "shots.csv"
    ]
