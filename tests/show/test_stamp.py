"""The stamp: every sheet and picture says what it is of, and nobody misses that one is old."""

import csv
import io
import shutil
import subprocess
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import openpyxl
import pytest
from icalendar import Calendar
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.patches import Rectangle
from PIL import Image

import sunsched
from sunsched.show.agenda import Sheet
from sunsched.show.charts.day import day_figure
from sunsched.show.drawing.figure import picture_bytes
from sunsched.show.drawing.stamped import put_stamp
from sunsched.show.handouts.handout import Handout, Section
from sunsched.show.handouts.write import handout_bytes
from sunsched.show.paper_size import Shape
from sunsched.show.sheets.sheet import sheet_bytes
from sunsched.show.stamp import Stamp, told_by_file

MADE = datetime(2027, 6, 9, 10, 40, tzinfo=UTC)
SAVED = datetime(2027, 6, 8, 18, 2, tzinfo=UTC)
FRESH = Stamp(made_at=MADE, revision=2, saved_at=SAVED, events=4, newest="11:20 7 done")
OLD = replace(FRESH, behind=("revision 3 of 11:40 is newer", "the log has an event"))
PROPOSAL = Stamp(made_at=MADE)
SAID = "OUT OF DATE: revision 3 of 11:40 is newer; the log has an event"
ISSUE = (
    "revision 2 of 2027-06-08 19:02, made 2027-06-09 11:40 Europe/Lisbon time, "
    "knows the log up to event 4: 11:20 7 done"
)


@pytest.fixture(scope="module")
def plan():
    """Give the plan of the example day, which is in Lisbon: an hour ahead of UTC in June."""
    return sunsched.make_plan(sunsched.example_day())


@pytest.fixture(scope="module")
def sheets(plan):
    """Give a sheet that is fresh, one that is out of date, and a proposal."""
    stamps = {"fresh": FRESH, "old": OLD, "proposal": PROPOSAL}
    return {name: Sheet(plan=plan, stamp=one, paper=Shape.A4) for name, one in stamps.items()}


def text_of(raw, kind):
    """Give the words of a sheet as its readers see them."""
    if kind == "ics":
        return raw.decode().replace("\r\n ", "").replace("\\,", ",").replace("\\;", ";")
    if kind == "xlsx":
        book = openpyxl.load_workbook(io.BytesIO(raw))
        return " ".join(str(cell.value) for row in book["order"].iter_rows() for cell in row)
    return raw.decode()


@pytest.mark.parametrize("kind", ["html", "ics", "xlsx", "svg"])
def test_each_kind_says_what_it_is(sheets, kind):
    """The issue stands on all of them, the warning on one that is old, and so does a proposal."""
    told = {name: text_of(sheet_bytes(one, kind), kind) for name, one in sheets.items()}
    assert ISSUE in told["fresh"]
    assert SAID in told["old"]
    assert ISSUE in told["old"]
    assert "DATE" not in told["fresh"].replace("DATE-", "")
    assert "OUT OF" not in told["proposal"]
    assert "proposal, not saved, made 2027-06-09 11:40" in told["proposal"]


def test_csv_has_columns_and_no_other_lines(sheets):
    """RFC 4180 knows no comments: the first line is the head, and each row says what it is of."""
    read = {}
    for name, one in sheets.items():
        head, *rows = csv.reader(io.StringIO(sheet_bytes(one, "csv").decode("utf-8-sig")))
        assert all(len(row) == len(head) for row in rows)
        read[name] = head, [dict(zip(head, row, strict=True)) for row in rows]
    for row in read["old"][1]:
        assert row["sheet_revision"] == "2"
        assert row["sheet_made_at"] == "2027-06-09T11:40:00+01:00"
        assert (row["sheet_log_events"], row["sheet_log_newest"]) == ("4", "11:20 7 done")
    assert read["old"][0][0] == "out_of_date"
    assert {row["out_of_date"] for row in read["old"][1]} == {SAID.removeprefix("OUT OF DATE: ")}
    assert "out_of_date" not in read["fresh"][0]
    assert {row["sheet_revision"] for row in read["proposal"][1]} == {"proposal, not saved"}


def test_workbook_has_a_black_line_above_the_head(sheets):
    """It stays in sight, white on black over all columns, and the file's own facts say so too."""
    book = openpyxl.load_workbook(io.BytesIO(sheet_bytes(sheets["old"], "xlsx")))
    order = book["order"]
    assert order["A1"].value == f"{SAID}; {ISSUE}"
    head = [cell.value for cell in order[2]]
    assert head[0] == "order"
    for cell in order[1][: head.index("sun from lens °") + 1]:  # all that is printed
        assert (cell.fill.fgColor.rgb, cell.font.color.rgb) == ("FF000000", "FFFFFFFF")
    assert order.freeze_panes.endswith("3")
    assert (book.properties.subject, book.properties.description) == (ISSUE, SAID)
    assert book.properties.version == "2"
    fresh = openpyxl.load_workbook(io.BytesIO(sheet_bytes(sheets["fresh"], "xlsx")))
    assert fresh["order"]["A1"].value == ISSUE
    assert fresh["order"]["A1"].fill.fill_type is None
    assert fresh.properties.description is None


def test_calendar_follows_its_standard(sheets):
    """RFC 5545 (3.8.7.2 to 3.8.7.4): the moment of the revision, and its number as SEQUENCE.

    COMMENT and STATUS (3.8.1.4, 3.8.1.11) say what it is; RFC 7986 has the first two of calendars.
    """
    calendars: list[Any] = [
        Calendar.from_ical(sheet_bytes(sheets[name], "ics")) for name in ("old", "proposal")
    ]
    old, proposal = calendars
    assert SAID in old["DESCRIPTION"]
    assert old["LAST-MODIFIED"].dt == SAVED
    for event in old.walk("VEVENT"):
        assert event["DTSTAMP"].dt == event["LAST-MODIFIED"].dt == SAVED
        assert event["SEQUENCE"] == 2
        assert [str(one) for one in event["COMMENT"]] == [SAID, ISSUE]
        assert event["SUMMARY"].startswith("OUT OF DATE: ")
        assert event["DESCRIPTION"].startswith(SAID)
    for event in proposal.walk("VEVENT"):
        assert event["DTSTAMP"].dt == MADE
        assert event["SEQUENCE"] == 0
        assert not event["SUMMARY"].startswith("OUT")
    shots = [event for event in proposal.walk("VEVENT") if "GEO" in event]
    assert {event["STATUS"] for event in shots} == {"TENTATIVE"}


def test_files_of_pictures_say_it_to_programs(sheets):
    """PNG by its key words (third edition, 11.3.3.2), SVG by its metadata."""
    words = Image.open(io.BytesIO(sheet_bytes(sheets["old"], "png"))).info
    assert (words["Comment"], words["Warning"]) == (ISSUE, SAID)
    assert words["Creation Time"] == "2027-06-09T11:40:00+01:00"
    fresh = Image.open(io.BytesIO(sheet_bytes(sheets["fresh"], "png"))).info
    assert "Warning" not in fresh
    svg = sheet_bytes(sheets["old"], "svg").decode()
    assert f"<dc:description>{SAID}; {ISSUE}</dc:description>" in svg
    assert "<dc:date>2027-06-09T11:40:00+01:00</dc:date>" in svg


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler reads the pages")
def test_printed_pages_all_say_it(sheets, tmp_path):
    """The bar is on every page, the pictures' too, and stands in the file's own facts."""
    (tmp_path / "x.pdf").write_bytes(sheet_bytes(sheets["old"], "pdf"))
    told = {}
    for words in (["pdftotext", "-layout", "x.pdf", "-"], ["pdfinfo", "x.pdf"]):
        done = subprocess.run(words, check=True, capture_output=True, text=True, cwd=tmp_path)
        told[words[0]] = done.stdout
    pages = told["pdftotext"].split("\f")[:-1]
    assert len(pages) == 4
    assert all(SAID in page for page in pages)
    assert SAID in told["pdfinfo"]
    assert "2027" in told["pdfinfo"].split("CreationDate:")[1].split("\n")[0]


def bars(figure):
    """Give the bars of a picture that say that it is old."""
    found = [one for one in figure.artists if one.get_gid() == "out-of-date"]
    return [one for one in found if isinstance(one, Rectangle)]


@pytest.mark.parametrize("shape", Shape)
def test_the_bar_goes_from_edge_to_edge_and_over_nothing(plan, shape):
    """Black with white letters at the top; no other text is under it, and none is off the page."""
    figure, plain = (day_figure(plan.fit, plan, shape=shape) for _ in range(2))
    put_stamp(figure, plan.day, OLD)
    FigureCanvasAgg(figure).draw()
    FigureCanvasAgg(plain).draw()
    (bar,) = bars(figure)
    assert bar.get_facecolor() == (0.0, 0.0, 0.0, 1.0)
    assert (bar.get_x(), bar.get_width()) == (0.0, figure.get_figwidth())
    box = bar.get_window_extent()
    page = figure.bbox
    for text in figure.texts:
        own = text.get_window_extent()
        assert page.x0 <= own.x0 <= own.x1 <= page.x1
        assert page.y0 <= own.y0 <= own.y1 <= page.y1
        inside = bool(box.y0 <= own.y0 and own.y1 <= box.y1)
        assert inside is (text.get_color() == "white")
        assert inside or not own.overlaps(box)
    # What was drawn before stands where it stood, by inches from the lower edge.
    for axes, before in zip(figure.axes, plain.axes, strict=True):
        was, now = (one.get_window_extent().bounds for one in (before, axes))
        assert now == pytest.approx(was, abs=0.5)
    put_stamp(plain, plan.day, FRESH)
    assert bars(plain) == []
    assert any(text.get_text().startswith("revision 2") for text in plain.texts)


def test_the_bar_is_black_on_paper(plan):
    """In the file the top of the picture is black from the left edge to the right one."""
    figure = day_figure(plan.fit, plan, shape=Shape.PHONE)
    put_stamp(figure, plan.day, OLD)
    raw = picture_bytes([figure], "png", told_by_file(plan.day, OLD))
    image = Image.open(io.BytesIO(raw)).convert("L")
    assert {image.getpixel((x, 3)) for x in range(image.width)} == {0}


@pytest.mark.parametrize("kind", ["html", "csv", "xlsx"])
def test_handouts_say_it_first(plan, kind):
    """The warning is the first line of a table, and the first thing of a page's body."""
    section = Section(heading="One", header=("id", "n"), rows=(("1", "2"),), figures=(1,))
    handout = Handout(day=plan.day, subject="A price", sections=(section,), stamp=OLD)
    raw = handout_bytes(handout, kind)
    if kind == "xlsx":
        sheet = openpyxl.load_workbook(io.BytesIO(raw))["One"]
        assert sheet["A1"].value.startswith(SAID)
        assert [cell.value for cell in sheet[3]] == ["1", 2]
        assert sheet.freeze_panes == "B3"
        fresh = handout_bytes(replace(handout, stamp=FRESH), kind)
        assert openpyxl.load_workbook(io.BytesIO(fresh))["One"].freeze_panes == "B2"
        return
    text = raw.decode("utf-8-sig")
    body = text.split("<body>")[-1] if kind == "html" else text
    assert SAID in body[:120]
    assert ISSUE in text.replace('"', "")
