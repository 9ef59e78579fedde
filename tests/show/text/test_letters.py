"""Letters of all scripts in a terminal and on pages: room by cells, and nothing changes places.

Cells are those of `wcwidth`, a table of Unicode's widths that the package does not use; isolates
are those of Unicode's annex 9 (2.4): U+2068 begins one, U+2069 ends it.
"""

import re
from datetime import UTC, datetime

import builders
import pytest
from wcwidth import wcswidth

from sunsched.show.agenda import Sheet
from sunsched.show.layout import PROSE_WIDTH, isolated, table, wrapped
from sunsched.show.paper_size import Shape
from sunsched.show.sheets.sheet import sheet_bytes
from sunsched.show.stamp import Stamp
from sunsched.show.text.day import plan_text
from sunsched.solver.solve import make_plan

TEXTS = {
    "Latin": "Salma walks out along the mole with her case and does not look back at the house",
    "Japanese": "海辺で二人が歩いている、長い影と低い太陽、そして誰も振り返らない静かな夕方",
    "mixed": "two of them 海辺で and a word 歩いている between 長い影と低い太陽 and more of them",
    "accents": "un e\u0301te\u0301 tre\u0300s long " * 6,
    "one word": "長" * 70,
    "wide and long": "x" * 45 + "長い" + "y" * 45,
}


@pytest.mark.parametrize("name", TEXTS)
@pytest.mark.parametrize("width", [20, 37, 80])
def test_no_line_is_wider_than_its_room(name, width):
    """Lines fit by cells, nothing is lost, and no line could have taken the next piece."""
    lines = wrapped(TEXTS[name], width, indent=2)
    assert all(0 < wcswidth(line) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(TEXTS[name].split())
    assert all(line.startswith("  ") for line in lines[1:])
    if name in ("Japanese", "one word"):
        assert all(wcswidth(line) >= width - 2 for line in lines[:-1])


def test_columns_of_wide_signs_stand_below_each_other():
    """The cell of a third column starts at the same cell of the screen in every row."""
    shots = ("海辺で二人が歩いている", "a walk", "x" * 60)
    rows = [(f"{number}", text, f"{11 + number}:00") for number, text in enumerate(shots, 1)]
    lines = list(table(("id", "what", "at"), rows, 40, 1))
    starts = [wcswidth(re.split(r"(?:at|1\d:00)$", line)[0]) for line in lines]
    assert len(set(starts)) == 1
    assert all(wcswidth(line) <= 40 for line in lines)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("7A, the mole: 69%", "7A, the mole: 69%"),
        ("made: א1 (69%), ב2 (82%)", "made: <א1> (69%), <ב2> (82%)"),
        ("left out: א1 שלום עולם: why", "left out: <א1 שלום עולם>: why"),
        ("move to مرسى, 16 min", "move to <مرسى>, 16 min"),
        ("א1  שלום", "<א1>  <שלום>"),
    ],
)
def test_words_from_right_to_left_are_kept_apart(text, found):
    """What stands beside them keeps its place; nothing else gets a mark, and none gets two."""
    shown = isolated(text)
    assert shown.replace("\u2068", "<").replace("\u2069", ">") == found
    assert isolated(shown) == shown
    assert wcswidth(shown) == wcswidth(text)


@pytest.fixture(scope="module")
def plan():
    """Give two shots with ids and words from right to left, and a long description."""
    first = builders.a_shot("א1", description="ילדה על המזח 12", look_deg=90.0, spot="pans")
    second = builders.a_shot("2", description="a long walk along the mole " * 3, spot="pans")
    return make_plan(builders.a_day(first, second))


@pytest.mark.parametrize("width", [60, 80, 160])
def test_a_plan_takes_the_width_of_the_terminal(plan, width):
    """The table shows more of a description where there is room; words go on to 100 at most."""
    lines = plan_text(plan, width).splitlines()
    assert max(wcswidth(line) for line in lines) <= width
    (row,) = [line for line in lines if "  2  " in line]
    assert ("…" in row) is (width < 160)
    assert all(wcswidth(line) <= PROSE_WIDTH for line in lines if "  " not in line.strip())
    (hebrew,) = [line for line in lines if "\u2068א1\u2069" in line]
    if width > 60:
        assert "\u2068ילדה על המזח 12\u2069" in hebrew
    assert hebrew.count("\u2068") == hebrew.count("\u2069") == 2


def test_the_page_keeps_ids_apart_in_sentences_too(plan):
    """Where a sentence names them no tag can stand around them, so the marks do."""
    stamp = Stamp(made_at=datetime(2027, 6, 1, tzinfo=UTC), behind=("an event: א1 done",))
    page = sheet_bytes(Sheet(plan=plan, stamp=stamp, paper=Shape.A4), "html").decode()
    assert '<p id="behind">OUT OF DATE: an event: \u2068א1\u2069 done</p>' in page
    assert '<bdi class="id">\u2068א1\u2069</bdi>' in page


@pytest.mark.parametrize(("columns", "wide"), [("132", 132), ("80", 80), ("20", 60)])
def test_commands_print_as_wide_as_the_terminal(run, make_folder, monkeypatch, columns, wide):
    """The width is that of the terminal, 60 cells at the least."""
    shots = f"id,description,size,look,shoot_min\n1,{'a long walk along the mole ' * 5},wide,N,30\n"
    monkeypatch.setenv("COLUMNS", columns)
    ran = run("windows", make_folder(shots=shots))
    assert ran.code == 0
    (row,) = [line for line in ran.out.splitlines() if line.startswith("1 ")]
    assert wide - 6 <= wcswidth(row) <= wide
