"""Texts of a day that would be code where they are shown: pages, pictures, calendars, tables."""

from __future__ import annotations

import io
import re
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import openpyxl
import pytest
from icalendar import Calendar
from lxml import etree

from sunsched.errors import FolderError
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_day
from sunsched.plan.plan import Plan, describe_plan
from sunsched.plan.timetable import Roll, Timetable
from sunsched.show.agenda import Sheet
from sunsched.show.paper_size import Shape
from sunsched.show.sheets.sheet import sheet_bytes
from sunsched.show.stamp import Stamp

if TYPE_CHECKING:
    from playwright.sync_api import Dialog

CODE = (
    "</script><script>window.hit=1</script><img src=x onerror=window.hit=1>",
    '"><svg onload=window.hit=1>',
    "javascript:window.hit=1//`${window.hit=1}`{{7*7}}",
    "=HYPERLINK(window.hit)",
    "END:VEVENT BEGIN:VALARM",
)
MADE = datetime(2027, 6, 8, 18, 2, tzinfo=UTC)


@pytest.fixture(scope="module", params=range(len(CODE)))
def hostile_sheet(request, tmp_path_factory):
    """Give a plan of a day whose every free text is code."""
    code = CODE[request.param]
    toml = code.replace("\\", "\\\\").replace('"', '\\"')[:60]
    folder = tmp_path_factory.mktemp("day")
    (folder / "day.toml").write_text(
        f'title = "{toml}"\ndate = 2027-06-09\n[place]\nname = "{toml}"\nlatitude_deg = 36.2\n'
        'longitude_deg = -5.9\ntimezone = "Europe/Madrid"\n[hours]\ncrew_call = "06:00"\n'
        f'wrap = "19:00"\n[[cast]]\nname = "{toml}"\n',
        encoding="utf-8",
    )
    cell = '"' + code.replace('"', '""') + '"'
    short = '"' + code[:60].replace('"', '""') + '"'
    (folder / "shots.csv").write_text(
        "id,scene,description,size,look,shoot_min,rig,cast,ours\n"
        f"1,{short},{cell},wide,N,30,{short},,{cell}\n",
        encoding="utf-8",
    )
    day = read_day(folder)
    call = day.hours.crew_call
    roll = Roll(shot_id="1", changeover_start=call, roll_start=call.replace(hour=5))
    plan: Plan = describe_plan(fit_day(day), Timetable(rolls=(roll,), meal_start=None), 10**9, 5)
    return code, Sheet(plan=plan, stamp=Stamp(made_at=MADE), paper=Shape.A4)


def test_a_page_runs_nothing_of_it(hostile_sheet, browser):
    """A browser that opens the page finds texts."""
    _, sheet = hostile_sheet
    context = browser.new_context(offline=True)
    page = context.new_page()
    dialogs: list[str] = []

    def noted(dialog: Dialog) -> None:
        dialogs.append(dialog.message)
        dialog.dismiss()

    page.on("dialog", noted)
    page.set_content(sheet_bytes(sheet, "html").decode())
    page.wait_for_timeout(50)
    assert page.evaluate("window.hit") is None
    assert dialogs == []
    assert page.locator("img[src=x], svg[onload], [onerror]").count() == 0
    context.close()


def test_pictures_calendars_and_tables_hold_texts_alone(hostile_sheet):
    """No element, event or formula is made of what somebody wrote."""
    code, sheet = hostile_sheet
    drawn = etree.fromstring(sheet_bytes(sheet, "svg"))
    assert not [one for one in drawn.iter() if str(one.tag).endswith(("script", "img"))]
    assert not [name for one in drawn.iter() for name in one.attrib if str(name).startswith("on")]
    calendar = Calendar.from_ical(sheet_bytes(sheet, "ics"))
    assert not [one for one in calendar.walk() if one.name == "VALARM"]
    lines = sheet_bytes(sheet, "csv").decode("utf-8-sig").splitlines()
    assert not [line for line in lines if re.search(r'(^|[,;"])[=@]', line) and code[0] == "="]
    book = openpyxl.load_workbook(io.BytesIO(sheet_bytes(sheet, "xlsx")))
    cells = [cell for one in book for row in one.iter_rows() for cell in row]
    ours = [cell for cell in cells if code[:20] in str(cell.value)]
    assert ours
    assert all(cell.data_type == "s" for cell in ours)


def test_escapes_of_a_terminal_are_refused_where_they_are_written(make_folder):
    """A name with a control character in it is a fault, which does not show it raw."""
    folder = make_folder()
    text = (folder / "day.toml").read_text(encoding="utf-8")
    (folder / "day.toml").write_text(
        text.replace('name = "Salt pans"', 'name = "\\u001b[31mred"'), encoding="utf-8"
    )
    with pytest.raises(FolderError) as refused:
        read_day(folder)
    assert "control character" in str(refused.value)
    assert "\x1b" not in str(refused.value)
