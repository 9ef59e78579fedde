"""The page of the argument in a real browser, at a desk and on a phone."""

from datetime import UTC, datetime

import pytest
from axe_playwright_python.sync_playwright import Axe

import sunsched
from desk.conftest import DATA, KEYS, FalseClock, copied, serving
from sunsched.desk.door.guard import Door
from sunsched.desk.watched.folders import Folders
from sunsched.desk.web.run import Desk

DESK, PHONE = (1280, 800), (360, 740)
THEIRS = "1 2 3 4 lunch 5 6 7 8 9 10 11 12"
MOST_MS = 60_000  # on a machine that does much else


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Give a day with a saved plan for planned minutes."""
    made = copied("ferry-light", tmp_path_factory.mktemp("days"))
    plan = sunsched.make_plan(sunsched.read_day(made))
    sunsched.save_plan(made, plan, made_at=datetime(2027, 2, 1, tzinfo=UTC))
    return made


@pytest.fixture(scope="module")
def address(folder):
    """Serve the day."""
    door, folders = Door(hosts=[], keys=KEYS, port=0), Folders(root=folder.parent)
    with serving(Desk(folders=folders, door=door, clock=FalseClock())) as found:
        yield found


@pytest.fixture
def open_page(address, browser):
    """Give a function that opens the page at a size, with the first comparison made."""
    opened = []

    def open_at(size=DESK, scheme="light"):
        context = browser.new_context(
            viewport={"width": size[0], "height": size[1]},
            color_scheme=scheme,
            has_touch=size is PHONE,
        )
        opened.append(context)
        page = context.new_page()
        page.set_default_timeout(MOST_MS)
        page.errors = []
        page.on("pageerror", lambda error: page.errors.append(str(error)))
        page.goto(f"{address}/day/ferry-light/argue?key={KEYS.all}")
        page.locator("#compared").wait_for()
        return page

    yield open_at
    for context in opened:
        assert [error for page in context.pages for error in page.errors] == []
        context.close()


def ids(page):
    """Give the ids of the other order as the list shows them; the meal is its word."""
    return page.locator("#rows li").evaluate_all(
        "items => items.map((item) => item.querySelector('.id, .what').textContent)"
    )


def compared(page):
    """Wait for the comparison of the list as it is; gives the ids of theirs as drawn."""
    page.wait_for_timeout(700)
    page.wait_for_function("() => document.getElementById('doing').textContent === ''")
    return page.locator("#shots tbody tr th").all_text_contents()


def paste(page, text):
    """Paste an order."""
    page.get_by_role("button", name="paste it").click()
    page.locator("#pasted").fill(text)
    page.get_by_role("button", name="read it").click()


def test_an_order_is_pasted_helped_and_undone(open_page):
    """The headline first; *try this* changes the order; undo takes it back."""
    page = open_page()
    ours = ids(page)
    paste(page, THEIRS)
    pasted = THEIRS.replace("lunch", "meal").split()
    assert compared(page) == [one for one in pasted if one != "meal"]
    assert ids(page) == pasted
    assert page.locator("#headline").text_content()
    assert page.locator("#both svg line").count() > 0
    points = page.locator("#counted tr", has_text="points").last.locator("td").last
    before = int(points.text_content())
    page.get_by_role("button", name="try this").first.click()
    compared(page)
    assert int(points.text_content()) > before
    page.get_by_role("button", name="undo").click()
    assert ids(page) == pasted
    page.get_by_role("button", name="undo").click()
    assert ids(page) == ours
    page.get_by_role("button", name="redo").click()
    assert ids(page) == pasted


def test_an_order_is_uploaded(open_page):
    """A file of the reader's own; what is odd about it is told."""
    page = open_page()
    page.locator("#upload").set_input_files(DATA / "ferry-light" / "ad.csv")
    day = sunsched.read_day(DATA / "ferry-light")
    known = sunsched.read_order(DATA / "ferry-light" / "ad.csv", DATA / "ferry-light", day).order
    page.get_by_text("ad.csv:").wait_for()
    assert [one for one in ids(page) if one != "meal"] == list(known.ids)


def test_faults_of_an_order_change_nothing(open_page):
    """They are shown as text, whatever they hold."""
    page = open_page()
    ours = ids(page)
    paste(page, "<img src=x onerror=alert(1)>\n=1+1\n1\n1")
    told = page.locator("#order-faults")
    told.wait_for()
    assert "<img" in told.text_content()
    assert "stands twice" in told.text_content()
    assert page.locator("#order-faults img").count() == 0
    assert ids(page) == ours
    page.locator("#upload").set_input_files(
        {"name": "huge.csv", "mimeType": "text/csv", "buffer": b"x" * 5_000_000}
    )
    page.get_by_text("an order is far smaller").wait_for()


def test_rows_are_dragged_by_mouse_and_by_touch(open_page):
    """Each from its grip; what is dragged stays where it was let go."""
    page = open_page()
    ours = ids(page)
    grip = page.get_by_role("button", name=f"move {ours[0]}", exact=True)
    over = page.locator("#rows li").nth(2)
    grip.hover()
    page.mouse.down()
    box = over.bounding_box()
    for share in (0.2, 0.6, 0.95):
        page.mouse.move(box["x"] + 20, box["y"] + box["height"] * share)
    page.mouse.up()
    assert ids(page) == [ours[1], ours[2], ours[0], *ours[3:]]
    compared(page)
    phone = open_page(PHONE)
    phone.locator("#rows li").first.scroll_into_view_if_needed()
    start = phone.locator("#rows li .grip").first.bounding_box()
    end = phone.locator("#rows li").nth(1).bounding_box()
    touch = phone.context.new_cdp_session(phone)
    x = start["x"] + start["width"] / 2
    heights = [start["y"] + 20, end["y"] + 5, end["y"] + end["height"] - 2]
    for kind, at in zip(("touchStart", "touchMove", "touchMove"), heights, strict=True):
        points = [{"x": x, "y": at}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    assert ids(phone) == [ours[1], ours[0], *ours[2:]]


def test_rows_are_moved_left_out_and_put_back_by_keys(open_page):
    """The keyboard alone: arrows on the grip, and what was done is said."""
    page = open_page()
    ours = ids(page)
    page.get_by_role("button", name=f"move {ours[0]}", exact=True).focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    assert ids(page) == [ours[1], ours[2], ours[0], *ours[3:]]
    assert (
        page.locator("#moved").text_content() == f"{ours[0]} is 3 of {len(ours)}, after {ours[2]}"
    )
    page.keyboard.press("End")
    assert ids(page)[-1] == ours[0]
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert ours[0] not in ids(page)
    page.locator("#not-in").get_by_role("button", name=ours[0], exact=True).press("Enter")
    assert ids(page)[-1] == ours[0]
    page.get_by_role("button", name="leave out meal").press("Enter")
    assert "meal" not in ids(page)
    page.get_by_role("button", name="give it a place").press("Enter")
    assert ids(page)[-1] == "meal"
    compared(page)


def test_what_they_ask_is_priced_kept_and_handed_out(open_page, folder):
    """From the form to files; wrong times are told in words."""
    page = open_page()
    page.get_by_label("time, such as 13:00").fill("soon")
    page.get_by_role("button", name="what does it cost?").click()
    page.get_by_text("not a clock time: `soon`").wait_for()
    asked = page.locator("#demands select")
    asked.first.select_option("cut")
    asked.last.select_option("5")
    page.get_by_role("button", name="what does it cost?").click()
    page.get_by_text("if 5 is cut:").wait_for()
    page.wait_for_function("() => document.getElementById('price-doing').textContent === ''")
    assert "the best crew of all" in page.locator("#price-said").text_content()
    page.get_by_role("button", name="keep it").click()
    page.get_by_text("kept as a decision of the day").wait_for()
    kept = folder / "decisions.csv"
    assert [type(one).__name__ for one in sunsched.read_day(folder).decisions] == ["Cut"]
    kept.unlink()
    compared(page)
    paste(page, THEIRS)
    compared(page)
    with page.expect_download() as download:
        page.locator("#compare-sheets").get_by_role("button", name="table").click()
    assert download.value.suggested_filename == "ferry-light-compare.csv"
    assert "The mole and the whole sea" in download.value.path().read_text("utf-8")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_everybody_can_use_it(open_page, size, scheme):
    """Axe finds nothing (WCAG 2.2 A and AA), nothing is wider than the page, nothing too small."""
    page = open_page(size, scheme)
    paste(page, THEIRS)
    compared(page)
    found = Axe().run(page)
    assert found.response["violations"] == []
    wide, room = page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
    assert wide <= room
    small = page.locator(
        "main button:visible, main select:visible, main input:visible"
    ).evaluate_all("all => all.filter((one) => one.getBoundingClientRect().height < 43.9).length")
    assert small == 0
