"""Arguments on paper: their figures are those of `--json`, and no row or word is lost."""

import csv
import io
import json
import re
import shutil
import subprocess
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import combinations, cycle
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text

import sunsched
from sunsched.errors import WriteRefused
from sunsched.show.handouts.alternatives import alternatives_handout
from sunsched.show.handouts.arguments import (
    comparison_handout,
    price_handout,
)
from sunsched.show.handouts.handout import Handout, Section
from sunsched.show.handouts.html import handout_page_bytes
from sunsched.show.handouts.pdf import handout_figures
from sunsched.show.handouts.tables import curve_handout, price_table_handout
from sunsched.show.handouts.write import handout_bytes, write_handout
from sunsched.show.paper_size import Shape
from sunsched.show.records.price import (
    alternative_records,
    curve_record,
    price_record,
    table_record,
)
from sunsched.show.sheets.sheet import HANDOUT_KINDS
from sunsched.show.stamp import Stamp
from sunsched.show.text.average_day.price import curve_text, rules_text
from sunsched.show.text.comparison import comparison_record, comparison_text
from sunsched.show.text.day import plan_text
from sunsched.show.text.price import (
    NO_OTHER,
    alternatives_text,
    price_text,
    table_text,
)
from sunsched.whatif.orders.order import Order
from sunsched.whatif.price.cells import Cell, Known, PriceTable, Row
from sunsched.whatif.price.rules import RulePrice

DATA = Path(__file__).parents[2] / "data"
MADE = datetime(2027, 6, 8, 18, 2, tzinfo=UTC)
STAMP = Stamp(made_at=MADE)
SHOTS = """\
id,description,size,look,sun,shoot_min,cast,control
1,The pans at dawn,wide,N,side,40,Ana,0
2,Ana counts the heaps,medium,E,back,40,Ana,0
3,Salt on a palm,insert,S,,20,,
4,Bo at the sluice,close-up,W,back,30,Bo,0
"""
HOSTILE = (
    "<script>document.title='broken'</script>",
    "=1+1",
    "+cmd",
    "-2",
    "@sum",
    "\t=3",
    "שלום עולם",
    "🎬 sun & $sea$",
    "x" * 300,
)
poppler = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no poppler-utils")


@pytest.fixture(scope="module")
def solved(tmp_path_factory, minimal_text):
    """Give a day of four shots, solved."""
    folder = tmp_path_factory.mktemp("day")
    (folder / "day.toml").write_text(minimal_text, encoding="utf-8")
    (folder / "shots.csv").write_text(SHOTS, encoding="utf-8")
    return sunsched.solve_day(sunsched.read_day(folder))


@pytest.fixture(scope="module")
def minimal_text():
    """Give a `day.toml` with a few hours, so that everything is solved at once."""
    return """\
title = "Salt pans"
date = 2027-06-09

[place]
name = "Salt pans"
latitude_deg = 36.2
longitude_deg = -5.9
timezone = "Europe/Madrid"

[hours]
crew_call = "07:00"
wrap = "12:30"
"""


@pytest.fixture(scope="module")
def compared(solved):
    """Give another order beside the best plan."""
    return sunsched.compare(
        solved.fit, solved.plan, Order(ids=("2", "1", "3", "4"), times=(None,) * 4)
    )


@pytest.fixture(scope="module")
def priced(solved):
    """Give what it costs to roll the first shot late and to leave out the third."""
    asked = sunsched.Asked(shots=("1",), at=("11:30",), cuts=("3",))
    return sunsched.price(solved, sunsched.read_decision(solved.fit.day, asked))


@pytest.fixture(scope="module")
def curve(solved):
    """Give what each wrap keeps."""
    return sunsched.wrap_curve(solved, step_min=60)


@pytest.fixture(scope="module")
def others(solved):
    """Give two alternatives."""
    return sunsched.alternatives(solved, 2)


def a_table(day, count, half_hours=8):
    """Give invented prices of so many shots at half-hours from the call on, of every kind."""
    first = day.shots[0]
    shots = tuple(replace(first, id=f"{k}A", description=f"shot number {k}") for k in range(count))
    times = tuple(day.hours.crew_call + timedelta(minutes=30 * k) for k in range(half_hours))
    kinds = (
        {"known": Known.EXACT, "least": 0, "most": 0},
        {"known": Known.EXACT, "least": 1234, "most": 1234},
        {"known": Known.BOUNDED, "least": 10, "most": 250},
        {"known": Known.WORSE_THAN_CUT, "least": 900},
        {"known": Known.IMPOSSIBLE},
        {"known": Known.UNDECIDED},
    )
    rows = tuple(
        Row(
            shot_id=shot.id,
            planned=times[place % half_hours],
            cut=100 * place,
            cells=tuple(
                Cell(time=when, **kinds[(place + k) % len(kinds)]) for k, when in enumerate(times)
            ),
        )
        for place, shot in enumerate(shots)
    )
    return PriceTable(
        day=replace(day, shots=shots), times=times, rows=rows, points=10_000, is_complete=True
    )


RULES = (
    RulePrice(rule="the meal starts by 13:00", gain=300, most=300, light_gain=0.03, plan=None),
    RulePrice(rule="2 comes after 1", gain=0, most=0, light_gain=0.0, plan=None),
)


@pytest.fixture(scope="module")
def every(solved, compared, priced, curve, others):
    """Give a handout of each argument, by name, and the text that the command prints."""
    day, plan = solved.fit.day, solved.plan
    made: dict[str, Any] = {"stamp": STAMP}
    table = a_table(day, 12)
    return {
        "compare": (comparison_handout(compared, **made), comparison_text(compared, 1000)),
        "price": (price_handout(day, plan, priced, **made), price_text(day, plan, priced, 1000)),
        "table": (
            price_table_handout(table, RULES, **made),
            f"{table_text(table, 1000)}\n{rules_text(RULES, 1000)}",
        ),
        "curve": (curve_handout(day, curve, **made), curve_text(day, curve, 1000)),
        "alternatives": (
            # A plan that leaves a shot out, which the best one does not.
            alternatives_handout(priced.plan, others, **made),
            f"{plan_text(priced.plan, 1000)}\n{alternatives_text(others, 1000)}",
        ),
    }


def a_handout(day, count=3, **more):
    """Give a handout of one table, with a word in each row that no other row has."""
    rows = tuple((f"{k}", f"row{k:03} of the pans", f"{k}%") for k in range(count))
    section = Section(
        heading="Rows", header=("id", "what", "light"), rows=rows, figures=(2,), paragraphs=("end",)
    )
    facts: dict[str, Any] = {"sections": (section,), "subject": "Many rows", "stamp": STAMP} | more
    return Handout(day=day, **facts)


@pytest.fixture(scope="module")
def hostile(solved):
    """Give a handout with texts that try to be more than text, in each place that can hold one."""
    rows: list[tuple[str, ...] | str] = [(text, text, "7") for text in HOSTILE]
    rows.append("\t=across")
    section = Section(
        heading="=1 [of] a/b: 'c'? " + "long " * 6, header=("id", "=what", "n"),
        rows=tuple(rows), figures=(2,), paragraphs=HOSTILE,
    )  # fmt: skip
    day = replace(solved.fit.day, title="<b>&</b> =1")
    return Handout(
        day=day, subject="Hostile", sections=(section, section), head=HOSTILE[:3], stamp=STAMP
    )


def printed(record) -> Any:
    """Give a record as `--json` prints it."""
    return json.loads(json.dumps(record))


def lost_text(points):
    """Say what an alternative loses."""
    return f"{points} points less" if points else "worth the same"


def page_texts(tmp_path, handout):
    """Give the text of each printed page, as poppler reads it."""
    path = tmp_path / "handout.pdf"
    write_handout(path, handout)
    done = subprocess.run(
        ["pdftotext", "-layout", path, "-"], check=True, capture_output=True, text=True
    )
    return done.stdout.split("\f")[:-1]


# Figures.


def test_comparison_has_the_figures_of_its_record(compared):
    """Each shot's light and lost points, and the totals, are those that `--json` prints."""
    shots, counted, _ = comparison_handout(compared, stamp=STAMP).sections
    record = printed(comparison_record(compared))
    assert comparison_handout(compared, stamp=STAMP).head[0] == record["headline"]
    rows = {row[0]: row for row in shots.cells if row[0]}
    ours, theirs = (
        {one["id"]: one for one in record[side]["shots"]} for side in ("ours", "theirs")
    )
    lost = {one["id"]: one["points_lost"] for one in record["difference"]}
    assert sorted(rows) == ["1", "2", "3", "4"]
    assert any(lost.values())
    for name, row in rows.items():
        assert row[3] == f"{ours[name]['fit']:.0%}"
        assert row[5] == f"{theirs[name]['fit']:.0%}"
        assert row[-1] == (f"{-lost[name]:+d}" if lost[name] else "")
        assert row[2] in ours[name]["roll_start"]
        assert row[4] in theirs[name]["roll_start"]
    assert {row[0]: row[1:] for row in counted.cells}["points"] == (
        f"{record['ours']['points']}",
        f"{record['theirs']['points']}",
    )


def test_price_has_the_figures_of_its_record(solved, priced):
    """What is lost, by whom, and where each shot goes are those that `--json` prints."""
    day = solved.fit.day
    price, shots, crew = price_handout(day, solved.plan, priced, stamp=STAMP).sections
    record = printed(price_record(day, solved.plan, priced))
    assert price_handout(day, solved.plan, priced, stamp=STAMP).head[0] == record["headline"]
    assert record["headline"].startswith("you lose ")
    assert record["points_lost"] > 0
    assert price.paragraphs[:2] == tuple(f"if {text}:" for text in record["decision"])
    assert f"costs {record['points_lost']} points" in price.paragraphs[2]
    rolls = {one["id"]: one for one in record["plan"]["shots"]}
    lost = {one["id"]: one["points_lost"] for one in record["pays"]}
    assert lost
    assert "left out: 3: the decision cuts it" in price.paragraphs
    assert price.paragraphs[-1].startswith("with none of the light they ask for: 4")
    assert shots.cells[-1][0] == "3"
    assert shots.cells[-1][4:6] == ("–", "–")
    for row in shots.cells[:-1]:
        assert row[4] in rolls[row[0]]["roll_start"]
        assert row[5] == f"{rolls[row[0]]['fit']:.0%}"
        assert row[6] == (f"{-lost[row[0]]:+d}" if row[0] in lost else "")
    assert ("company moves", "0", f"{record['crew']['moves']}") in crew.cells


def test_half_hours_stand_within_a_phone(solved, browser, tmp_path):
    """Ten shots side by side on paper are two tables of five on the page, which do not scroll."""
    handout = price_table_handout(a_table(solved.fit.day, 12), RULES, stamp=STAMP)
    path = tmp_path / "price.html"
    path.write_bytes(handout_page_bytes(handout))
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto(path.as_uri())
    blocks = page.locator(".wide").filter(has=page.locator("table .figure"))
    heads = [
        [one.locator("thead th").all_inner_texts() for one in block.locator("table").all()]
        for block in blocks.all()[:2]
    ]
    assert [[len(table) for table in block] for block in heads] == [[5, 5], [2]]
    shots = [shot for section in handout.sections[:2] for shot in section.header[1:]]
    assert [shot for block in heads for table in block for shot in table] == shots
    wide = page.evaluate(
        "() => [...document.querySelectorAll('.wide')].map((e) => e.scrollWidth - e.clientWidth)"
    )
    assert max(wide[:2]) <= 0
    page.close()


def test_half_hours_have_the_figures_of_their_record(solved):
    """Each cell of each block is what `--json` says of that shot at that time."""
    table = a_table(solved.fit.day, 12)
    *blocks, rules = price_table_handout(table, RULES, stamp=STAMP).sections
    record = printed(table_record(table, RULES))
    signs = {"worse than cut": "cut", "impossible": "–", "undecided": "?"}
    assert [len(block.header) - 1 for block in blocks] == [10, 2]
    shots = iter(record["shots"])
    for block in blocks:
        for column in range(1, len(block.header)):
            shot = next(shots)
            assert block.header[column] == shot["id"]
            for row, cell in zip(block.cells[2:], shot["cells"], strict=True):
                assert row[0] in cell["time"]
                share = 100 * (cell["points_lost"] or 0) / record["points"]
                figure = f"{share:.1f}" if share else "0"
                bound = "≤" if cell["known"] == "bounded" else ""
                assert row[column] == signs.get(cell["known"], bound + figure)
    assert next(shots, None) is None
    assert rules.cells == (
        ("the meal starts by 13:00", "+3.0%", "300"),
        ("2 comes after 1", "", "free"),
    )
    assert [one["gain"] for one in record["rules"]] == [300, 0]


def test_curve_and_alternatives_have_the_figures_of_their_records(solved, curve, others):
    """Each wrap's and each alternative's light and points are those that `--json` prints."""
    day = solved.fit.day
    (wraps,) = curve_handout(day, curve, stamp=STAMP).sections
    for row, one in zip(wraps.cells, printed(curve_record(day, curve))["wraps"], strict=True):
        assert row[0] in one["wrap"]
        assert (row[1], row[-1]) == (f"{one['light_kept']:.1%}", f"{one['points']}")
    plan, listed = alternatives_handout(solved.plan, others, stamp=STAMP).sections
    for row, one in zip(listed.cells, printed(alternative_records(others)), strict=True):
        assert row[-1].startswith(lost_text(one["points_lost"]))
        assert row[1] == f"{one['plan']['light_kept']:.1%}"
        assert [name for name in row[4].split(", ") if name != "meal"] == [
            shot["id"] for shot in one["plan"]["shots"]
        ]
    assert [row[1] for row in plan.cells] == [shot.shot.id for shot in solved.plan.shots]


def test_unproven_alternatives_say_so(solved, others):
    """An alternative that a better one may precede says it beside its points."""
    lost = replace(others[0], points_lost=50, least_lost=50)
    unproven = (replace(lost, least_lost=20), replace(lost, least_lost=-3), lost)
    _, listed = alternatives_handout(solved.plan, unproven, stamp=STAMP).sections
    assert [row[-1] for row in listed.cells] == [
        "20 to 50 points less",
        "at most 50 points less",
        "50 points less, proven",
    ]
    _, none = alternatives_handout(solved.plan, (), stamp=STAMP).sections
    assert (none.rows, none.paragraphs) == ((), (NO_OTHER,))


@pytest.mark.parametrize("name", ["compare", "price", "table", "curve", "alternatives"])
def test_handout_says_what_the_text_says(every, name):
    """Every word of the command's text stands in the table, and the cautions with every plan."""
    handout, text = every[name]
    written = handout_bytes(handout, "csv").decode("utf-8-sig").replace("•", "-")
    found = {word.rstrip(":") for word in re.split(r"[\s,;\"]+", written)}
    # What alternatives are is said by the heading of their section.
    missing = {word.rstrip(":") for word in re.split(r"[\s,;\"]+", text)} - found
    assert missing <= {"alternative"}
    assert ("key grip" in written) == (name not in ("table", "curve"))


# The printed pages.


@poppler
@pytest.mark.parametrize("name", ["compare", "price", "curve", "alternatives"])
def test_each_row_is_printed_once(every, tmp_path, name):
    """The text of the pages holds each row of each table in its order."""
    handout, _ = every[name]
    tables = page_texts(tmp_path, handout)
    text = " ".join(" ".join(tables).split())
    for section in handout.sections:
        for row in section.cells:
            assert text.count(" ".join(" ".join(row).split())) == 1
    assert [re.findall(r"page \d of \d", page) for page in tables] == [
        [f"page {number} of {len(tables)}"] for number in range(1, len(tables) + 1)
    ]
    assert all("made 2027-06-08 20:02 Europe/Madrid time" in page for page in tables)
    assert text.count("the key grip's call") == (name != "curve")


@poppler
def test_thirty_shots_take_several_pages(solved, tmp_path):
    """Ten shots side by side on a page, each once; the picture, which has all, is the last one."""
    table = a_table(solved.fit.day, 30, half_hours=26)
    *blocks, picture = page_texts(tmp_path, price_table_handout(table, RULES, stamp=STAMP))
    heads = [re.findall(r"\b\d+A\b", re.sub("Half-hours.*", "", page)) for page in blocks]
    assert heads == [[f"{10 * page + k}A" for k in range(10)] for page in range(3)]
    assert all(re.search(r"^ *19:30 ", page, re.MULTILINE) for page in blocks)
    assert "without this rule" in blocks[-1]
    assert "29A" in picture


@poppler
def test_a_long_table_goes_on_under_its_heads(solved, tmp_path):
    """Each of 120 rows stands on one page, and every page of the table has its heads."""
    pages = page_texts(tmp_path, a_handout(solved.fit.day, 120))
    assert len(pages) == 3
    found = [int(k) for page in pages for k in re.findall(r"row(\d+)", page)]
    assert found == [*range(120)]
    assert all(re.search(r"id\s+what\s+light", page) for page in pages)
    assert all("Many rows" in page for page in pages)


def test_a_table_that_fits_a_page_is_not_torn(solved):
    """Two tables of 30 rows would fill a page and a third of the next: each has its own."""
    handout = a_handout(solved.fit.day, 30)
    twice = replace(handout, sections=handout.sections * 2)
    first, second = handout_figures(twice)
    for page in (first, second):
        texts = {text.get_text() for text in page.findobj(Text)}
        assert {f"row{k:03} of the pans" for k in range(30)} <= texts


def misplaced(figure):
    """List all lettering that overlaps other lettering or leaves the page."""
    found, page, renderer = [], figure.bbox, FigureCanvasAgg(figure).get_renderer()
    extents = [
        (text.get_text(), Text.get_window_extent(text, renderer))
        for text in figure.findobj(Text)
        if text.get_visible() and text.get_text().strip()
    ]
    for text, box in extents:
        if box.x0 < 0 or box.y0 < 0 or box.x1 > page.x1 or box.y1 > page.y1:
            found.append(f"`{text}` leaves the page")
    for (text, box), (other, other_box) in combinations(extents, 2):
        across = min(box.x1, other_box.x1) - max(box.x0, other_box.x0)
        up = min(box.y1, other_box.y1) - max(box.y0, other_box.y0)
        # Boxes hold room over and under the letters, so lines may share a fifth of their height.
        if across > 1 and up > 0.2 * min(box.height, other_box.height):
            found.append(f"`{text}` meets `{other}`")
    return found


def test_no_lettering_overlaps_or_leaves_the_page(every, hostile, solved):
    """Neither on handouts of all arguments nor on those of long texts and many rows."""
    made = [handout for handout, _ in every.values()]
    shapes = cycle((Shape.A4, Shape.LETTER))
    for handout, shape in zip(
        (*made, hostile, a_handout(solved.fit.day, 60)), shapes, strict=False
    ):
        for figure in handout_figures(replace(handout, paper=shape)):
            assert misplaced(figure) == []


def test_misplaced_lettering_is_found(solved):
    """A text put over another, or past the edge, would be found."""
    (figure,) = handout_figures(a_handout(solved.fit.day))
    figure.text(0.99, 0.5, "past the edge")
    figure.text(0.06, 0.95, "over the subject")
    found = " ".join(misplaced(figure))
    assert "leaves the page" in found
    assert "meets" in found


def test_a_phone_is_no_paper(solved):
    """A printed handout on a phone's paper is refused with what to do instead."""
    with pytest.raises(WriteRefused, match="html"):
        handout_figures(a_handout(solved.fit.day, paper=Shape.PHONE))


# Hostile text.


def test_hostile_text_is_text_on_the_page(hostile):
    """Nothing typed becomes a tag; the page holds no script and asks nothing of the network."""
    html = handout_bytes(hostile, "html").decode()
    assert "<script" not in html
    assert "&lt;script&gt;" in html
    assert "<b>" not in html
    assert "default-src 'none'" in html.replace("&#39;", "'")
    assert not re.search(r"(src|href)=", html)
    assert 'lang="en"' in html
    assert "the key grip&#39;s call" in html or "the key grip's call" in html
    assert html.count('scope="col"') == 2 * 3
    assert html.count('scope="row"') == 2 * len(HOSTILE)


def test_hostile_text_is_text_in_tables(hostile):
    """Texts that begin like a formula get an apostrophe in a .csv; figures get none."""
    text = handout_bytes(hostile, "csv").decode("utf-8-sig")
    rows = [row for row in csv.reader(io.StringIO(text, newline="")) if len(row) == 3]
    texts = [f"'{t.strip()}" if t.startswith(("=", "+", "-", "@", "\t")) else t for t in HOSTILE]
    assert rows[1 : len(HOSTILE) + 1] == [[text, text, "7"] for text in texts]
    everything = [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]
    assert not [cell for cell in everything if cell.lstrip().startswith(("=", "+", "@"))]


def test_hostile_text_is_text_in_a_workbook(hostile):
    """No cell is a formula, figures are numbers, and sheets have names that are allowed."""
    book = openpyxl.load_workbook(io.BytesIO(handout_bytes(hostile, "xlsx")))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert "f" not in {cell.data_type for cell in cells}
    assert {text.strip() for text in HOSTILE} <= {cell.value for cell in cells}
    assert {cell.value for cell in book.worksheets[0]["C"][1:10]} == {7}
    assert len(set(book.sheetnames)) == 3
    # What a name may not hold: Microsoft, "Rename a worksheet".
    assert not [name for name in book.sheetnames if re.search(r"[\[\]:*?/\\]", name)]
    assert max(len(name) for name in book.sheetnames) <= 31


def test_workbook_figures_are_numbers(every):
    """Points and shares can be added up, and are shown as they are printed."""
    book = openpyxl.load_workbook(io.BytesIO(handout_bytes(every["compare"][0], "xlsx")))
    rows = [*book["Shot by shot"].iter_rows(min_row=2)]
    assert {type(row[3].value) for row in rows} <= {int, float, type(None)}
    assert {row[3].number_format for row in rows if row[3].value is not None} == {"0%"}
    assert all(0 <= row[3].value <= 1 for row in rows)
    assert any(row[7].value < 0 for row in rows if row[7].value is not None)
    assert book.sheetnames == ["Shot by shot", "What is counted", "The difference", "about"]


def test_page_is_as_wide_as_a_phone(every, hostile, tmp_path, browser):
    """At 360 px no page scrolls sideways, only the boxes of its tables do; no script has run."""
    page = browser.new_page(viewport={"width": 360, "height": 740})
    for place, handout in enumerate((hostile, every["table"][0], every["alternatives"][0])):
        path = tmp_path / f"{place}.html"
        path.write_bytes(handout_bytes(handout, "html"))
        page.goto(path.as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        assert "broken" not in page.title()
        boxes = "[...document.querySelectorAll('.wide')].some(e => e.scrollWidth > 360)"
        assert page.evaluate(boxes) == (place == 2)
    page.close()


# The files.


@pytest.mark.parametrize("kind", HANDOUT_KINDS)
def test_same_handout_gives_the_same_bytes(every, kind):
    """Nothing in a file tells when or where it was written."""
    handout, _ = every["compare"]
    assert handout_bytes(handout, kind) == handout_bytes(replace(handout), kind)
    later = replace(handout, stamp=Stamp(made_at=MADE + timedelta(minutes=1)))
    assert handout_bytes(later, kind) != handout_bytes(handout, kind)


def test_older_file_is_left_alone_when_writing_fails(solved, tmp_path, monkeypatch):
    """A disk that is full leaves the older handout as it was, and nothing beside it."""
    path = tmp_path / "argument.csv"
    path.write_text("older", encoding="utf-8")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(WriteRefused, match="no space left"):
        write_handout(path, a_handout(solved.fit.day))
    assert [(one.name, one.read_text(encoding="utf-8")) for one in tmp_path.iterdir()] == [
        ("argument.csv", "older")
    ]


def test_other_kinds_are_refused(solved, tmp_path):
    """A handout is no picture or calendar, and never has the name of a day's own file."""
    for name in ("a.png", "a.ics", "a", "shots.csv"):
        with pytest.raises(WriteRefused, match=re.escape(name)):
            write_handout(tmp_path / name, a_handout(solved.fit.day))
    with pytest.raises(ValueError, match="png"):
        handout_bytes(a_handout(solved.fit.day), "png")
    assert list(tmp_path.iterdir()) == []


# The commands.


def test_wrong_use_is_told_before_the_day_is_read(run, tmp_path):
    """Another ending, the name of a day's own file, or paper without a sheet: exit code 2."""
    day = tmp_path / "no such day"
    for words in (
        ("compare", day, "1"),
        ("price", day),
        ("plan", day, "--for", "planned", "--alternatives", "2"),
    ):
        for name in ("a.png", "a.docx", "shots.csv"):
            code, out, err = run(*words, "--sheet", tmp_path / name)
            assert (code, out) == (2, "")
            assert name in err
            assert "--sheet" in err
        code, _, err = run(*words, "--paper", "letter")
        assert code == 2
        assert "--paper" in err
    code, _, err = run("plan", "--for", "planned", day, "--sheet", tmp_path / "a.pdf")
    assert code == 2
    assert "--alternatives" in err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "words",
    [
        ("compare", "order.csv"),
        ("price", "--shot", "1", "--at", "11:30"),
        ("price", "--wrap-curve"),
        ("plan", "--for", "planned", "--alternatives", "1"),
    ],
    ids=" ".join,
)
def test_commands_hand_out_what_they_print(run, make_folder, minimal_text, tmp_path, words):
    """With `--sheet` a command prints what it prints without, and stderr names the file."""
    day = make_folder(minimal_text, SHOTS)
    (tmp_path / "order.csv").write_text("id\n4\n3\n2\n1\n", encoding="utf-8")
    command, *others = (str(tmp_path / word) if word == "order.csv" else word for word in words)
    file = tmp_path / "argument.csv"
    code, out, err = run(command, day, *others, "--sheet", file)
    assert code == 0
    assert f"{file} written" in err
    assert out == run(command, day, *others)[1]
    text = file.read_text(encoding="utf-8-sig")
    assert "Salt pans, Salt pans" in text
    assert re.search(r"\bmade \d{4}-\d\d-\d\d \d\d:\d\d Europe/Madrid time", text)


def test_half_hours_are_handed_out(run, make_folder, minimal_text, tmp_path, solved, monkeypatch):
    """`price` without a decision hands out what it prints: the half-hours and the rules."""
    table = a_table(solved.fit.day, 12)
    monkeypatch.setattr("sunsched.whatif.price.half_hours.price_table", lambda *_, **__: table)
    monkeypatch.setattr("sunsched.whatif.price.rules.rule_prices", lambda *_, **__: RULES)
    file = tmp_path / "argument.csv"
    code, out, _ = run(
        "price", make_folder(minimal_text, SHOTS), "--for", "planned", "--sheet", file
    )
    assert code == 0
    assert "the meal starts by 13:00" in out
    text = file.read_text(encoding="utf-8-sig")
    assert "the meal starts by 13:00,+3.0%,300" in text
    assert ",10A,11A" in text


def test_paper_is_that_of_the_printed_pages(run, make_folder, minimal_text, tmp_path):
    """`--paper letter` is 8.5 by 11 in (ANSI Y14.1), 612 by 792 points of 1/72 in."""
    day = make_folder(minimal_text, SHOTS)
    file = tmp_path / "argument.pdf"
    asked = ("price", day, "--cut", "3", "--sheet", file)
    assert run(*asked, "--paper", "letter")[0] == 0
    assert b"/MediaBox [ 0 0 612 792 ]" in file.read_bytes()
    assert run(*asked)[0] == 0
    assert b"/MediaBox [ 0 0 595" in file.read_bytes()
