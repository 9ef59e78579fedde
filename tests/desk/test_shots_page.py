"""The page of the shots in a real browser: typed, turned, undone, saved, and chosen from two."""

import pytest
from axe_playwright_python.sync_playwright import Axe

import sunsched
from desk.conftest import KEYS, FalseClock, copied, serving
from sunsched.desk.door.guard import Door
from sunsched.desk.watched.folders import Folders
from sunsched.desk.web.run import Desk

DESK, PHONE = (1280, 800), (360, 740)
MOST_MS = 60_000  # on a machine that does much else


@pytest.fixture(scope="module")
def served_days(tmp_path_factory):
    """Serve a folder of days, to which each test adds its own."""
    root = tmp_path_factory.mktemp("days")
    door = Door(hosts=[], keys=KEYS, port=0)
    with serving(Desk(folders=Folders(root=root), door=door, clock=FalseClock())) as address:
        yield root, address


@pytest.fixture
def folder(served_days, request):
    """Give a day folder of the test's own."""
    made = copied("ferry-light", served_days[0])
    return made.rename(made.with_name(f"day-{abs(hash(request.node.name)) % 10**8}"))


@pytest.fixture
def open_page(served_days, folder, browser):
    """Give a function that opens the page with its light drawn."""
    opened = []

    def open_at(size=DESK, scheme="light"):
        width, height = size
        context = browser.new_context(
            viewport={"width": width, "height": height},
            color_scheme=scheme,
            has_touch=size is PHONE,
        )
        opened.append(context)
        page = context.new_page()
        page.set_default_timeout(MOST_MS)
        page.errors = []
        page.on("pageerror", lambda error: page.errors.append(str(error)))
        page.on("dialog", lambda dialog: dialog.accept())
        page.goto(f"{served_days[1]}/day/{folder.name}/shots?key={KEYS.all}")
        page.locator("#table svg.light").first.wait_for()
        return page

    yield open_at
    for context in opened:
        assert [error for page in context.pages for error in page.errors] == []
        context.close()


def cell(page, shot, column):
    """Give the field of a cell by the id of its shot and the title of its column."""
    places = page.locator("#table thead th").evaluate_all(
        "heads => heads.map((one) => one.firstChild.textContent)"
    )
    ids = page.locator("#table tbody tr td:first-child input").evaluate_all(
        "fields => fields.map((one) => one.value)"
    )
    row = page.locator("#table tbody tr").nth(ids.index(shot))
    return row.locator("td").nth(places.index(column)).locator("input, textarea")


def saved(page):
    """Save, and wait until it is."""
    page.get_by_role("button", name="save", exact=True).click()
    page.get_by_text("saved in shots.csv").wait_for()


def test_a_cell_is_typed_checked_and_saved(open_page, folder):
    """A fault stands under its cell in the reader's words, and goes; the file has the new text."""
    page = open_page()
    field = cell(page, "2", "size")
    field.fill("clsoe-up")
    fault = field.locator("xpath=following-sibling::p")
    fault.wait_for()
    assert "did you mean `close-up`?" in fault.text_content()
    assert field.get_attribute("aria-invalid") == "true"
    assert field.get_attribute("aria-describedby") == fault.get_attribute("id")
    field.fill("close-up")
    fault.wait_for(state="detached")
    cell(page, "2", "description").fill('<img src=x onerror="alert(1)"> =1+1')
    saved(page)
    shot = sunsched.read_day(folder).shot("2")
    assert (str(shot.size), shot.description) == ("close-up", '<img src=x onerror="alert(1)"> =1+1')
    assert page.locator("#table img").count() == 0


def test_the_dial_turns_the_look(open_page, folder):
    """By keys and by the mouse; the light beside it changes, and undo takes it back at once."""
    page = open_page()
    look = cell(page, "1", "look")
    look.focus()
    dial = page.get_by_role("slider", name="look of 1")
    assert dial.get_attribute("aria-valuenow") == "140"
    light = page.locator("#table svg.light").first
    before = light.get_attribute("aria-label")
    dial.focus()
    for _ in range(3):
        page.keyboard.press("PageUp")
    page.keyboard.press("ArrowLeft")
    assert look.input_value() == "169"
    assert dial.get_attribute("aria-valuetext") == "169°, S"
    box = dial.bounding_box()
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.move(middle[0], middle[1] - 50)
    page.mouse.down()
    page.mouse.move(middle[0] - 50, middle[1], steps=4)
    page.mouse.up()
    assert look.input_value() == "270"
    page.wait_for_function(
        "before => document.querySelector('#table svg.light').ariaLabel !== before", arg=before
    )
    page.get_by_role("button", name="undo").click()
    assert look.input_value() == "169"
    page.get_by_role("button", name="redo").click()
    saved(page)
    assert sunsched.read_day(folder).shot("1").look_deg == 270


def test_the_keyboard_alone_adds_moves_undoes_and_saves(open_page, folder):
    """Arrows, Enter, Tab and Escape as in a table."""
    page = open_page()
    field = cell(page, "1", "spot")
    field.focus()
    page.keyboard.press("End")
    page.keyboard.press("ArrowDown")
    page.keyboard.type("mole")
    page.keyboard.press("Escape")
    assert cell(page, "2", "spot").input_value() == "racks"
    page.keyboard.press("Enter")
    page.keyboard.type("mole")
    assert cell(page, "3", "spot").input_value() == "mole"
    page.keyboard.press("Control+z")
    assert cell(page, "3", "spot").input_value() == "racks"
    page.keyboard.press("Control+y")
    page.keyboard.press("Home")
    page.keyboard.press("ArrowLeft")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "size"
    cell(page, "12", "size").press("Control+Enter")
    page.keyboard.type("The last of the light")
    page.keyboard.press("Control+s")
    page.get_by_text("saved in shots.csv").wait_for()
    text = (folder / "shots.csv").read_text("utf-8")
    assert text.rstrip().splitlines()[-1].startswith("13,,The last of the light")
    page.get_by_role("button", name="delete 13").press("Enter")
    saved(page)
    assert sunsched.read_day(folder).shot("3").spot == "mole"


def test_two_editors_of_one_row(open_page, folder):
    """Who comes second sees both versions, and what they choose is saved."""
    one, other = open_page(), open_page(PHONE)
    cell(other, "1", "description").fill("Mine")
    cell(other, "1", "look").fill("10")
    cell(one, "1", "look").fill("200")
    cell(one, "4", "look").fill("210")
    saved(one)
    other.locator("#both").wait_for()
    take = other.get_by_role("button", name="save these")
    assert take.is_disabled()
    rows = other.locator("#cells tbody tr")
    assert sorted(rows.locator("th span").all_text_contents()) == [
        *("description", "look", "look"),
    ]
    assert sunsched.read_day(folder).shot("1").look_deg == 200
    both = rows.filter(has=other.get_by_role("rowheader", name="1 look", exact=True))
    both.get_by_label("10", exact=True).check()
    take.click()
    other.get_by_text("saved in shots.csv").wait_for()
    day = sunsched.read_day(folder)
    assert (day.shot("1").description, day.shot("1").look_deg) == ("Mine", 10)
    assert day.shot("4").look_deg == 210
    one.wait_for_function("() => document.querySelector('#table textarea').value === 'Mine'")


def test_a_list_at_fault_is_mended_on_the_page(open_page, folder):
    """The table is shown with its faults, and the day is whole once they are gone."""
    path = folder / "shots.csv"
    path.write_text(path.read_text("utf-8").replace("insert", "insret"), "utf-8")
    page = open_page()
    page.locator("#table .fault").first.wait_for()
    cell(page, "5", "size").fill("insert")
    page.locator("#table .fault").first.wait_for(state="detached")
    saved(page)
    assert sunsched.read_day(folder).title == "Ferry light"
    page.locator("#faults").wait_for(state="hidden")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_everybody_can_use_it(open_page, size, scheme):
    """Axe finds nothing; nothing is wider than the page, no button too small."""
    page = open_page(size, scheme)
    cell(page, "2", "size").fill("x")
    page.locator("#table .fault").first.wait_for()
    assert Axe().run(page).response["violations"] == []
    wide, room = page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
    assert wide <= room
    small = page.locator("main button:visible, main select:visible, main input:visible")
    assert (
        small.evaluate_all(
            "all => all.filter((one) => one.getBoundingClientRect().height < 43.9).length"
        )
        == 0
    )
