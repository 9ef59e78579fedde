"""The workbook of an order: heads in words, and print that a crew can read."""

import io
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import builders
import openpyxl
import pytest
from openpyxl.utils import get_column_letter

from sunsched.day.model import Meal
from sunsched.day.past import Past
from sunsched.light.fit import fit_checked
from sunsched.plan.outlook import Outlook, Prospect
from sunsched.plan.plan import describe_plan, place_changeovers
from sunsched.plan.timetable import Timetable
from sunsched.show.agenda import Sheet
from sunsched.show.paper_size import Shape
from sunsched.show.sheets.spreadsheet import columns_of, csv_bytes
from sunsched.show.sheets.workbook import heads_of, xlsx_bytes
from sunsched.show.stamp import Stamp
from sunsched.whatif.orders.order import read_order

MADE = datetime(2027, 6, 8, 18, 2, tzinfo=UTC)
READ_PT = 8.0  # the smallest letters that are read at arm's length; common practice, no source
# ECMA-376, 5th ed., part 1, 18.3.1.13: a column's width counts the widest digit of the default
# font, which is 7 pixels of 1/96 in wide in Calibri 11 (18.8.22; from memory).
SIGN_IN = 7 / 96


def a_sheet(*, average=False, under_way=False, magnetic=False, paper=Shape.A4):
    """Give a sheet of two shots, the second after midnight, with a column of somebody's list."""
    shots = [
        builders.a_shot(str(k), cast=("Ana", "Bo"), kept=(("VFX", "plate"),)) for k in range(2)
    ]
    lunch = Meal(earliest=builders.at("20:00"), latest=builders.at("27:00"), length_min=60)
    day = builders.a_day(*shots, hours=builders.the_hours("20:00", "27:00"), meal=lunch)
    rolls = [(shots[0], builders.at("22:00")), (shots[1], builders.at("24:30"))]
    if magnetic:
        day = replace(day, declination_deg=3.4)
    table = Timetable(rolls=place_changeovers(day, rolls, None))
    plan = describe_plan(fit_checked(day), table, bound=99_999)
    if under_way:
        past = Past(at=builders.at("21:00"), free_at=builders.at("21:00"))
        plan = replace(plan, fit=replace(plan.fit, day=replace(day, past=past)))
    if average:
        prospects = tuple(
            Prospect(
                shot_id=one.shot.id,
                made=0.7,
                half=0.6,
                light=0.4,
                on_pin=None,
                rolls=builders.a_span("22:00", "23:00"),
                not_before=one.roll_start,
                begin_by=one.changeover_start + timedelta(minutes=9),
            )
            for one in plan.shots
        )
        plan = replace(
            plan, outlook=Outlook(points=1, bound=2, light_kept=0.5, prospects=prospects)
        )
    return Sheet(plan=plan, stamp=Stamp(made_at=MADE, revision=2), paper=paper)


def order_of(sheet):
    """Give the worksheet of the order, read back."""
    return openpyxl.load_workbook(io.BytesIO(xlsx_bytes(sheet)))["order"]


@pytest.mark.parametrize("paper", [Shape.A4, Shape.LETTER])
@pytest.mark.parametrize("average", [False, True])
def test_print_is_one_page_wide_and_can_be_read(average, paper):
    """Fitted to the width of a page that lies on its side, letters are 8 points at the least."""
    order = order_of(a_sheet(average=average, under_way=True, magnetic=True, paper=paper))
    setup = order.page_setup
    assert (setup.orientation, setup.fitToWidth, setup.fitToHeight) == ("landscape", 1, 0)
    assert order.sheet_properties.pageSetUpPr.fitToPage
    assert order.print_title_rows == "$1:$2"
    # ISO 216 and ANSI Y14.1, the long edges.
    edge_in = {Shape.A4: 297 / 25.4, Shape.LETTER: 11.0}[paper]
    room_in = edge_in - order.page_margins.left - order.page_margins.right
    first, last = order.print_area.replace("$", "").split("!")[1].split(":")
    assert first == "A1"
    printed = order[first:last][0]
    wide = sum(order.column_dimensions[get_column_letter(one.column)].width for one in printed)
    scale = min(1.0, room_in / (wide * SIGN_IN))
    assert min(cell.font.sz for row in order[first:last] for cell in row) * scale >= READ_PT
    assert order[first:last][-1][0].row == order.max_row


def test_heads_are_words_and_nothing_is_lost():
    """No head is a name for programs; every column of the .csv is there, its texts as they were."""
    for average in (False, True):
        sheet = a_sheet(average=average)
        order = order_of(sheet)
        heads = [cell.value for cell in order[2]]
        assert not any("_" in head for head in heads)
        assert len(set(heads)) == len(heads)
        assert sorted(heads_of(sheet.plan)) == sorted(columns_of(sheet.plan))
        assert ("likely from" in heads, "made on %" in heads) == (average, average)
        assert ("rolls from" in heads) is not average
        assert heads[-1] == "VFX (list)"
        assert csv_bytes(sheet).decode("utf-8-sig").split(",")[:3] == ["number", "kind", "id"]


def test_times_after_midnight_are_short_and_right():
    """They are shown as on paper, and hold their date."""
    order = order_of(a_sheet())
    heads = [cell.value for cell in order[2]]
    early, late = (order.cell(row, heads.index("rolls from") + 1) for row in (3, 4))
    assert (early.number_format, late.number_format) == ("hh:mm", 'hh:mm"+1"')
    assert late.value == datetime(2027, 6, 10, 0, 30)  # noqa: DTZ001


def test_the_compass_of_a_magnetic_folder_is_printed():
    """Its own bearings stand where the true ones stood."""
    order = order_of(a_sheet(magnetic=True))
    last = order.print_area.replace("$", "").split(":")[1]
    printed = [cell.value for cell in order["A2":last][0]]
    assert "look magnetic °" in printed
    assert "look °" not in printed
    assert "look °" in [cell.value for cell in order[2]]


@pytest.mark.parametrize("average", [False, True])
def test_heads_in_words_read_back_as_an_order(tmp_path, average):
    """A workbook that was handed out can be argued with, under either name of its times."""
    sheet = a_sheet(average=average)
    path = Path(tmp_path / "order.xlsx")
    path.write_bytes(xlsx_bytes(sheet))
    order = read_order(str(path), tmp_path, sheet.plan.day).order
    assert order.times == tuple(one.roll_start for one in sheet.plan.shots)


def test_the_foot_tells_the_issue():
    """A sign that the format has a meaning for is doubled."""
    sheet = a_sheet()
    order = order_of(sheet)
    assert "revision 2" in order.oddFooter.left.text
    assert order.oddFooter.right.text == "page &P of &N"
