"""The page of the day in a real browser: shots carried by mouse, touch and keys, kept and saved."""

from datetime import UTC, datetime

import pytest
from axe_playwright_python.sync_playwright import Axe

import sunsched
from desk.conftest import KEYS, copied
from sunsched.day.demand import RollAt
from sunsched.folder.log.log import note_events

DESKTOP = {"width": 1280, "height": 800}
PHONE = {"width": 360, "height": 740}
TABLET = {"width": 768, "height": 1024}
LONG_MS = 120_000  # of a loaded machine
KNOB = "#picture [data-knob='{}']"


@pytest.fixture(scope="module")
def best(tmp_path_factory):
    """Give the plan of the day."""
    folder = copied("ferry-light", tmp_path_factory.mktemp("best"))
    return sunsched.average_plan(sunsched.solve_day(sunsched.read_day(folder)))


@pytest.fixture
def saved(desk, best):
    """Save the plan of the day; gives it."""
    folder = desk.folders.find("ferry-light")
    sunsched.save_plan(folder, best, made_at=datetime(2027, 6, 1, tzinfo=UTC))
    return best


@pytest.fixture
def open_page(browser, served):
    """Give a function that opens the page of the day, with what its scripts complain of."""
    opened = []

    def opening(size=DESKTOP, key=KEYS.all, **more):
        context = browser.new_context(viewport=size, **more)
        page = context.new_page()
        page.set_default_timeout(LONG_MS)
        errors = []
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.goto(f"{served}/day/ferry-light/day?key={key}")
        page.wait_for_selector("#picture .row")
        opened.append((context, errors))
        return page

    yield opening
    for context, errors in opened:
        context.close()
        assert errors == []


def middle(page, shot):
    """Bring what one carries of a shot into sight, and give where its middle is."""
    knob = page.locator(KNOB.format(shot))
    knob.scroll_into_view_if_needed()
    box = knob.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def width_of(page, minutes):
    """Give how many pixels some minutes are wide."""
    wide = page.locator("#picture .row .on-clock").first.bounding_box()["width"]
    axis = page.evaluate(
        "fetch(location.pathname.replace('/day/', '/api/').replace(/day$/, 'view'))"
        ".then(r => r.json()).then(v => v.axis)"
    )
    return wide * minutes * 60_000 / (axis["to"] - axis["from"])


def text(page, name):
    """Give the text of what has this id."""
    return page.locator(f"#{name}").inner_text()


def held(page):
    """Wait until what is carried can be, and give the ids in their order."""
    page.wait_for_selector("#picture .knob")
    return page.eval_on_selector_all(
        "#picture .rows .row[data-id]", "all => all.map(one => one.dataset.id)"
    )


def free_shot(plan, place=2):
    """Give a shot of the plan without a pin that is surely made."""
    return [one for one in plan.likely.shots if one.shot.pin is None][place]


def local(plan, when):
    """Give a moment as the page writes it."""
    return f"{when.astimezone(plan.day.place.zone):%H:%M}"


def test_without_a_plan_one_is_proposed_and_saved(open_page, desk, best):
    """It is found while the page shows so, and stands as revision 1 in the folder."""
    page = open_page()
    page.wait_for_selector("#save")
    assert "proposal, not saved" in text(page, "which")
    page.click("#save")
    page.wait_for_selector("#which:has-text('revision 1')")
    folder = desk.folders.find("ferry-light")
    found = sunsched.read_revision(folder, 1)
    assert found.points == best.points
    assert f"{best.light_kept:.1%}" in text(page, "kept")


def test_a_shot_carried_by_mouse_is_worth_what_the_library_says(open_page, saved):
    """Its light shows on the way; where it is let go its worth and then the best day stand."""
    page = open_page()
    held(page)
    one = free_shot(saved)
    x, y = middle(page, one.shot.id)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + width_of(page, 40), y + 3, steps=6)
    on_the_way = page.locator(".carried").inner_text()
    assert on_the_way.startswith(f"{one.shot.id} rolls at ")
    at = on_the_way.split(" rolls at ")[1][:5]
    # The mean of its light over the roll, of the library, as a whole share.
    day = saved.day
    decision = sunsched.read_decision(day, sunsched.Asked(shots=[one.shot.id], at=[at]))
    (roll,) = decision
    assert isinstance(roll, RollAt)
    fit = sunsched.fit_day(day)
    light = fit.shots[one.shot.id].mean[fit.minute_of(roll.time)]
    assert abs(float(on_the_way.rstrip("%").rsplit(" ", 1)[1]) - 100 * light) <= 4
    page.mouse.up()
    page.wait_for_selector("#worth")
    assert text(page, "panel").startswith(f"{one.shot.id} rolls at {at}")
    page.wait_for_selector("#show-best")
    page.wait_for_selector("#panel [role=status]:empty", state="attached")
    price = sunsched.average_price(sunsched.solve_day(day), saved, decision)
    assert text(page, "best-points").startswith(f"{price.points_lost} points lost")
    assert f"loses {price.least_lost} to {price.most_lost}" in text(page, "best-points")
    page.click("#put-back")
    assert page.locator("#panel").is_hidden()
    assert held(page) == [row.shot.id for row in saved.likely.shots] + [
        left.shot.id for left in saved.likely.left_out
    ]


def test_a_shot_carried_by_keys_stands_elsewhere(open_page, saved):
    """Enter takes it up, arrows move it and are told, Escape puts it back, Enter lets it go."""
    page = open_page()
    ids = held(page)
    shot = next(one for one in ids[3:] if not saved.day.shot(one).pin)
    place = ids.index(shot)
    page.focus(KNOB.format(shot))
    page.keyboard.press("Enter")
    assert "is held" in text(page, "spoken")
    page.keyboard.press("ArrowUp")
    assert f"place {place} of" in text(page, "spoken")
    page.keyboard.press("Escape")
    assert page.locator(".carried").count() == 0
    assert page.locator("#panel").is_hidden()
    page.keyboard.press("Enter")
    for _ in range(2):
        page.keyboard.press("ArrowUp")
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    assert " rolls at " in text(page, "spoken")
    page.keyboard.press("Enter")
    page.wait_for_selector("#worth")
    assert page.evaluate("document.activeElement.dataset.knob") == shot
    assert " stay in this order" in page.locator("#panel h2").first.inner_text()


def test_a_shot_carried_by_touch(open_page, saved):
    """On a phone: a finger carries it, and the page does not scroll away under it."""
    page = open_page(PHONE, has_touch=True, is_mobile=True)
    held(page)
    one = free_shot(saved)
    x, y = middle(page, one.shot.id)
    drag = page.context.new_cdp_session(page)
    far = width_of(page, 30)

    def touch(kind, *points):
        where = [{"x": px, "y": py} for px, py in points]
        drag.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": where})

    touch("touchStart", (x, y))
    for step in range(1, 6):
        touch("touchMove", (x + far * step / 5, y))
    assert page.locator(".carried").count() == 1
    touch("touchEnd")
    page.wait_for_selector("#worth")
    assert page.locator("#panel h2").first.inner_text().startswith(f"{one.shot.id} rolls at ")


def test_a_decision_is_kept_and_lifted(open_page, saved, desk):
    """By a form: the file has it, every page is told, and lifting takes it away."""
    page, other = open_page(), open_page(TABLET)
    held(page)
    cut = free_shot(saved).shot.id
    page.select_option("select[name=cut]", cut)
    page.click("form[aria-label=cut] button[type=submit]")
    page.wait_for_selector("#worth")
    page.click("#keep")
    for one in (page, other):
        one.wait_for_selector(f"#decided >> text={cut} is cut")
    folder = desk.folders.find("ferry-light")
    assert sunsched.read_day(folder).cut_ids == {cut}
    page.click("#decided button")
    page.wait_for_selector("#decided", state="detached")
    assert sunsched.read_day(folder).decisions == ()


def test_a_plan_saved_by_others_meanwhile_is_not_followed_unseen(open_page, saved, desk):
    """What is shown is refused to be saved over it, and the page shows the other one."""
    page = open_page()
    ids = held(page)
    shot = next(one for one in ids[3:] if not saved.day.shot(one).pin)
    page.focus(KNOB.format(shot))
    for key in ("Enter", "ArrowUp", "Enter"):
        page.keyboard.press(key)
    page.wait_for_selector("#worth")
    folder = desk.folders.find("ferry-light")
    page.route("**/news", lambda route: route.abort())
    page.route("**/view", lambda route: route.abort())
    sunsched.save_plan(folder, saved, made_at=datetime(2027, 6, 2, tzinfo=UTC))
    page.click("#save")
    page.wait_for_selector("#trouble:not([hidden])")
    assert "revision 2 was saved meanwhile" in text(page, "trouble")
    assert [one.name for one in sorted((folder / "plans").iterdir())] == ["0001.json", "0002.json"]


@pytest.mark.usefixtures("saved")
def test_half_hours_fill_and_lead_to_an_order(open_page):
    """The map is there at first sight, grows finer, and a tap shows the day with that."""
    page = open_page()
    held(page)
    page.click("#price-hours")
    page.wait_for_selector("#hours td button")
    page.wait_for_selector("#hours button:not(.rough)")
    page.get_by_text("half-hours are priced, the cheapest first").wait_for()
    page.locator("#hours td button:not(.rough)").last.click()
    page.wait_for_selector("#worth")


@pytest.mark.parametrize("size", [DESKTOP, PHONE], ids=["desktop", "phone"])
def test_nothing_is_found_by_axe(open_page, saved, size):
    """By axe-core (Deque, MPL 2.0), with a moved order, two beside each other and the map."""
    page = open_page(size)
    ids = held(page)
    shot = next(one for one in ids[3:] if not saved.day.shot(one).pin)
    page.focus(KNOB.format(shot))
    for key in ("Enter", "ArrowUp", "ArrowRight", "Enter"):
        page.keyboard.press(key)
    page.wait_for_selector("#show-best")
    page.click("#beside summary")
    page.click("#price-hours")
    page.wait_for_selector("#hours td button")
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found = Axe().run(page).response["violations"]
        assert [f"{one['id']}: {one['nodes'][0]['html'][:200]}" for one in found] == []
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= size["width"]


@pytest.mark.usefixtures("saved")
def test_a_link_to_see_moves_nothing(open_page):
    """The picture stands; nothing on it can be carried, kept or saved."""
    page = open_page(key=KEYS.see)
    page.wait_for_selector("#picture .row")
    assert page.locator(".knob, #save, #decisions form").count() == 0


def carry(page, shot, *keys):
    """Carry a shot by keys, and wait until its worth stands."""
    page.wait_for_selector(KNOB.format(shot))
    before = page.locator("#picture").inner_html()
    page.focus(KNOB.format(shot))
    for key in ("Enter", *keys, "Enter"):
        page.keyboard.press(key)
    page.wait_for_function(
        "before => document.querySelector('#picture').innerHTML !== before"
        " && document.querySelector('#worth')",
        arg=before,
    )


def test_moves_add_up_and_are_put_back_one_by_one(open_page, saved):
    """The second one builds on the first; *put back* forgets the last, *forget all* all of them."""
    page = open_page()
    ids = held(page)
    first, second = free_shot(saved).shot.id, free_shot(saved, 4).shot.id
    heading = page.locator("#panel h2").first
    carry(page, first, "ArrowRight")
    assert heading.inner_text().startswith(f"{first} rolls at ")
    assert page.locator("#forget-all").count() == 0
    carry(page, second, "ArrowRight")
    page.wait_for_selector("#forget-all")
    assert f"{first} rolls at " in heading.inner_text()
    assert f"{second} rolls at " in heading.inner_text()
    page.click("#put-back")
    assert heading.inner_text().startswith(f"{first} rolls at ")
    assert second not in heading.inner_text().split(" rolls at ")[0]
    carry(page, second, "ArrowRight")
    page.click("#forget-all")
    assert page.locator("#panel").is_hidden()
    assert held(page) == ids


def test_a_move_outlives_the_page(open_page, saved):
    """Left and opened again, it stands; what was put back does not come back."""
    page = open_page()
    ids = held(page)
    carry(page, free_shot(saved).shot.id, "ArrowRight")
    asked = page.locator("#panel h2").first.inner_text(), text(page, "worth")
    page.reload()
    page.wait_for_selector("#worth")
    assert (page.locator("#panel h2").first.inner_text(), text(page, "worth")) == asked
    page.click("#put-back")
    page.reload()
    page.wait_for_function("() => performance.getEntriesByName('ready').length")
    assert page.locator("#panel").is_hidden()
    assert held(page) == ids


def test_times_are_written_as_the_commands_read_them(open_page, saved):
    """Whatever the language of the browser: a thumb may leave the colon out, a word is no time."""
    page = open_page(locale="en-US")
    held(page)
    meal, attempt = page.locator("input[name=meal]"), "form[aria-label='meal at'] [type=submit]"
    assert meal.get_attribute("placeholder") == "HH:MM"
    for wrong in ("noon", "25:00", "12:60"):
        meal.fill(wrong)
        page.click(attempt)
        assert meal.evaluate("field => !field.checkValidity()")
        assert page.locator("#panel").is_hidden()
    at = local(saved, saved.day.meal.latest)
    meal.fill(at.replace(":", ""))
    page.click(attempt)
    page.wait_for_selector("#worth")
    assert page.locator("#panel h2").first.inner_text() == f"the meal starts at {at}"


def test_a_pin_is_kept_as_its_order_is_saved(open_page, saved, desk):
    """In one step: the decision stands in its file, the plan obeys it and is of the day with it."""
    page = open_page()
    held(page)
    shot = free_shot(saved).shot.id
    carry(page, shot, "ArrowRight", "ArrowRight")
    at = page.locator("#panel h2").first.inner_text().split(" rolls at ")[1][:5]
    assert f"{shot} rolls at {at}" in text(page, "unkept")
    page.click("#save")
    page.wait_for_selector("#which:has-text('revision 2')")
    folder = desk.folders.find("ferry-light")
    day = sunsched.read_day(folder)
    assert [local(saved, one.time) for one in day.decisions if isinstance(one, RollAt)] == [at]
    again = sunsched.plan_of_revision(day, sunsched.read_revision(folder, 2))
    assert again.changes == ()
    rolls = {one.shot.id: one.roll_start for one in again.plan.shots}
    assert local(saved, rolls[shot]) == at


@pytest.mark.usefixtures("saved")
def test_events_that_the_plan_does_not_know_are_told(open_page, desk):
    """With the way to where the rest of the day is planned from now."""
    page = open_page()
    held(page)
    assert page.locator("#behind").is_hidden()
    folder = desk.folders.find("ferry-light")
    day = sunsched.read_day(folder)
    row = {"event": "late", "value": "20", "at": day.hours.crew_call.isoformat()}
    note_events(folder, day, lambda _: [row])
    page.wait_for_selector("#behind:not([hidden])")
    assert text(page, "behind").startswith("One event was noted since this plan was saved")
    note_events(folder, day, lambda _: [{**row, "event": "undo", "value": ""}])
    page.get_by_text("What was noted was taken back since this plan").wait_for()
    page.click("#behind a")
    page.wait_for_url("**/set")
