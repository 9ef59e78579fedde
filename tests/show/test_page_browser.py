"""The HTML page in a real browser: the present shot, the pictures, hostile text, phones, paper.

Debian's Chromium, driven through Playwright. The browser's clock is a false one.
"""

import json
import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from sunsched.day.model import Day, Hours, Meal, Move, Place, Shot, Size, Spot
from sunsched.day.past import Made, Past
from sunsched.day.wish import Wish
from sunsched.light.fit import fit_day
from sunsched.plan.plan import describe_plan, place_changeovers
from sunsched.plan.timetable import Timetable
from sunsched.show.agenda import Sheet
from sunsched.show.paper_size import Shape
from sunsched.show.sheets.html import inline_svg
from sunsched.show.sheets.sheet import sheet_bytes
from sunsched.show.stamp import Stamp

HOSTILE = {
    "1": "<script>document.title='broken'</script><img src=x onerror=\"document.title='broken'\">",
    "2": "\"quoted\" 'twice' </script><!-- {{ 7 * 7 }} &amp; ]]>",
    "3": "שלום עולם \u202e123",
    "4": "🎬 sun & $sea$",
    "5": "x" * 300,
}
CALL = datetime(2027, 6, 9, 4, 0, tzinfo=UTC)  # 06:00 in Madrid


def at(clock):
    """Give the moment of Madrid's clock on the day: two hours ahead of UTC."""
    hour, minute = map(int, clock.split(":"))
    return CALL.replace(hour=0, minute=0) + timedelta(hours=hour - 2, minutes=minute)


@pytest.fixture(scope="session")
def sheet():
    """Give five shots with hostile descriptions, a meal, a wait and a move."""
    shots = tuple(
        Shot(
            id=name,
            description=text,
            size=Size.INSERT,
            spot="mill <b>" if name == "5" else "pans",
            look_deg=0.0,
            wish=Wish(),
            setup_min=20,
            adjust_min=10,
            shoot_min=30,
            weight=1.0,
            cast=("Ana & Bo",) if name == "1" else (),
        )
        for name, text in HOSTILE.items()
    )
    day = Day(
        title='Salt </title><script>document.title="broken"</script>',
        date=date(2027, 6, 9),
        place=Place(
            name="Pans & mill",
            latitude_deg=36.2,
            longitude_deg=-5.9,
            elevation_m=0,
            timezone="Europe/Madrid",
        ),
        hours=Hours(crew_call=CALL, first_roll=CALL, wrap=at("19:00"), hard_wrap=at("19:00")),
        meal=Meal(earliest=CALL, latest=at("12:00"), length_min=60),
        spots=(Spot(name="pans"), Spot(name="mill <b>")),
        moves=(Move(between=("pans", "mill <b>"), minutes=25),),
        shots=shots,
    )
    fit = fit_day(day)
    rolls = [(shots[k], at(("07:00", "07:40", "08:20", "12:00")[k])) for k in range(4)]
    rolls.append((shots[4], at("14:00")))
    meal = at("09:00")
    table = Timetable(rolls=place_changeovers(day, rolls, meal), meal_start=meal)
    plan = describe_plan(fit, table, bound=99_999)
    return Sheet(plan=plan, stamp=Stamp(made_at=CALL, revision=7), paper=Shape.A4)


@pytest.fixture(scope="session")
def address(sheet, tmp_path_factory):
    """Give the page's file: address."""
    path = tmp_path_factory.mktemp("page") / "day.html"
    path.write_bytes(sheet_bytes(sheet, "html"))
    return path.as_uri()


@pytest.fixture(scope="session")
def later(sheet, tmp_path_factory):
    """Give the file: address of the page of the same day at 08:30: two shots made, one running."""
    plan = sheet.plan
    shots = [replace(one, last_start=None) for one in plan.shots[:3]] + [*plan.shots[3:]]
    made = tuple(
        Made(
            shot_id=one.shot.id,
            changeover_start=one.changeover_start,
            roll_start=one.roll_start,
            roll_end=one.roll_end,
        )
        for one in shots[:3]
    )
    past = Past(at=at("08:30"), free_at=at("08:50"), made=made, running="3")
    changed = replace(
        plan, fit=replace(plan.fit, day=replace(plan.day, past=past)), shots=tuple(shots)
    )
    path = tmp_path_factory.mktemp("page") / "later.html"
    path.write_bytes(sheet_bytes(replace(sheet, plan=changed), "html"))
    return path.as_uri()


@pytest.fixture
def open_page(browser, address):
    """Give a function that opens the page at a moment; it must ask for nothing and complain of
    nothing."""
    contexts, asked, said, opened = [], [], [], set()

    def open_at(when, *, of=address, width=360, device_zone="Asia/Tokyo", **more):
        opened.add(of)
        context = browser.new_context(
            viewport={"width": width, "height": 740}, timezone_id=device_zone, **more
        )
        contexts.append(context)
        page = context.new_page()
        page.on("request", lambda request: asked.append(request.url))
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.clock.install(time=when)
        page.goto(of)
        return page

    yield open_at
    for context in contexts:
        context.close()
    assert set(asked) == opened
    assert said == []


def test_second_meal_is_told_and_is_never_what_goes_on(sheet):
    """It is eaten as the work goes on: at 14:10 the page still says what rolls."""
    plan = replace(sheet.plan, second_meal_due=at("14:10"))
    html = sheet_bytes(replace(sheet, plan=plan), "html").decode()
    assert "second meal, 30 min: hand it out before 5 rolls" in html  # the last shot
    (moments,) = re.findall(r'id="moments">(.*?)</script>', html)
    says = [moment["says"] for moment in json.loads(moments)["moments"]]
    assert "5 insert rolls until 14:30" in says
    assert not any("second meal" in text for text in says)


def marked(page):
    """Give the text of the row that is marked as present, on one line; "" for none."""
    rows = page.locator("[aria-current=time]")
    assert rows.count() <= 1
    return " ".join(rows.first.inner_text().split()) if rows.count() else ""


def said(page):
    """Give what the page says of the present."""
    return page.locator("#says").inner_text()


# The present.


def go_to(page, when):
    """Set the page's clock, and wake the page as a phone that is taken out of a pocket does."""
    page.clock.set_fixed_time(when)
    page.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")


def test_present_is_marked(open_page):
    """The row of what goes on is marked, by the instant, whatever zone the device is in."""
    page = open_page(CALL)
    for clock, row, text in (
        ("06:00", "06:00 crew call", "crew call until 06:40"),
        ("06:40", "07:00–07:30 1 insert", "building 1 insert, rolls 07:00"),
        ("07:00", "07:00–07:30 1 insert", "1 insert rolls until 07:30"),
        ("07:29", "07:00–07:30 1 insert", "1 insert rolls until 07:30"),
        ("07:30", "07:40–08:10 2 insert", "building 2 insert, rolls 07:40"),
        ("09:30", "09:00 meal", "meal until 10:00"),
        ("11:00", "12:00–12:30 4 insert", "wait before 4, rolls 12:00"),
        ("12:40", "14:00–14:30 5 insert", "move to mill <b> for 5 insert, rolls 14:00"),
        ("14:15", "14:00–14:30 5 insert", "5 insert rolls until 14:30"),
        ("18:59", "14:30 last roll ends", "last roll ends, wrap is 19:00"),
    ):
        go_to(page, at(clock))
        assert said(page) == text
        assert marked(page).startswith(row)
    sign = "() => getComputedStyle(document.querySelector('[aria-current] .roll'), '::after')"
    assert page.evaluate(f"{sign}.content") == '"now"'


def test_other_days_are_told(open_page):
    """Before the call and after the wrap nothing is marked, and the page says which it is."""
    page = open_page(at("09:30"))
    second = timedelta(seconds=1)
    before = "not begun: crew call is Wednesday 2027-06-09 06:00"
    after = "over: wrap was Wednesday 2027-06-09 19:00"
    for when, text in (
        (CALL - second, before),
        (CALL - timedelta(days=30), before),
        (at("19:00"), after),
        (CALL + timedelta(days=30), after),
    ):
        go_to(page, when)
        assert (said(page), marked(page)) == (text, "")


def test_clock_is_that_of_the_place(open_page):
    """The clock shows the place's time, not that of a device from the other side of the world."""
    page = open_page(at("09:30"), device_zone="Pacific/Auckland")
    assert page.locator("#clock").inner_text().replace(",", "") == "Wed 9 Jun 09:30"


def test_present_moves_on(open_page):
    """A page that stays open marks the next shot within 30 seconds of its moment."""
    page = open_page(at("07:29"))
    page.clock.run_for(59_000)
    assert marked(page).startswith("07:00–07:30")
    page.clock.run_for(31_000)
    assert marked(page).startswith("07:40–08:10")


def test_tap_on_the_present_goes_to_it(open_page):
    """The line that says what goes on leads to its row, clear of the line itself."""
    page = open_page(at("14:15"))
    row = page.locator("[aria-current=time]")
    assert row.bounding_box()["y"] > 740
    page.locator("#says").click()
    box = page.locator("#present").bounding_box()
    assert box["y"] + box["height"] <= row.bounding_box()["y"] < 400


def test_made_shots_stay_made_whatever_the_clock_says(open_page, later):
    """On a page of 08:30 what is over says so, and no clock makes it present again."""
    page = open_page(at("06:10"), of=later)
    lasts = [row.split()[-1] for row in page.locator("tbody.shot tr:first-child").all_inner_texts()]
    assert lasts[:3] == ["made", "made", "running"]
    assert re.fullmatch(r"\d\d:\d\d", lasts[3])
    assert page.get_by_text("planned anew from here").count() == 1
    early = "this plan is of a later moment: Wednesday 2027-06-09 08:30"
    for clock, row, text in (
        ("06:10", "", early),
        ("07:10", "", early),
        ("08:29", "", early),
        ("08:30", "08:20–08:50 3 insert", "3 insert rolls until 08:50"),
        ("08:55", "08:50 10 min, wait", "wait until the meal until 09:00"),
        ("09:30", "09:00 meal", "meal until 10:00"),
        ("14:15", "14:00–14:30 5 insert", "5 insert rolls until 14:30"),
    ):
        go_to(page, at(clock))
        assert (said(page), marked(page)[: len(row)]) == (text, row)
        assert bool(marked(page)) == bool(row)


# The pictures.


def test_tap_shows_and_hides_the_picture(open_page):
    """A tap on a phone opens one shot's picture, another closes it."""
    page = open_page(at("09:30"), has_touch=True)
    picture = page.get_by_role("img", name="the light of shot 2 through the day")
    assert not picture.is_visible()
    page.get_by_text("picture of 2").tap()
    assert picture.is_visible()
    assert picture.bounding_box()["width"] > 300
    assert page.get_by_role("img").count() == 1
    page.get_by_text("picture of 2").tap()
    assert not picture.is_visible()


def test_keyboard_opens_the_picture(open_page):
    """Tab reaches the present and then the first shot's picture, and Enter opens it."""
    page = open_page(at("09:30"))
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.id") == "says"
    page.keyboard.press("Tab")
    focus = page.evaluate(
        "() => [document.activeElement.innerText, getComputedStyle(document.activeElement)"
        ".outlineStyle]"
    )
    assert focus[0].endswith("picture of 1")
    assert focus[1] == "solid"
    page.keyboard.press("Enter")
    assert page.get_by_role("img", name="the light of shot 1 through the day").is_visible()


def test_focus_is_never_under_the_bar(open_page):
    """Tabbing back up, nothing that has focus is covered (WCAG 2.2, 2.4.11)."""
    page = open_page(at("09:30"))
    page.set_viewport_size({"width": 360, "height": 500})
    page.get_by_text("picture of the day").focus()
    seen = 0
    for _ in range(8):
        page.keyboard.press("Shift+Tab")
        if page.evaluate("() => document.activeElement.tagName") != "SUMMARY":
            continue
        seen += 1
        under = 1.0
        for _ in range(60):  # the page is scrolled a moment after the key
            under = page.evaluate(
                "() => document.getElementById('present').getBoundingClientRect().bottom"
                " - document.activeElement.getBoundingClientRect().top"
            )
            if under <= 0:
                break
            page.wait_for_timeout(50)
        assert under <= 0
    assert seen > 2


def test_day_has_its_picture(open_page):
    """The whole day's picture opens too."""
    page = open_page(at("09:30"))
    page.get_by_text("picture of the day").click()
    assert page.get_by_role("img", name="the day in one picture").is_visible()


def test_names_in_pictures_are_their_own(open_page):
    """No name stands twice in the page, and each mark that is called for is in its picture."""
    page = open_page(at("09:30"))
    names = page.evaluate("() => [...document.querySelectorAll('[id]')].map((e) => e.id)")
    assert len(names) == len(set(names))
    lost = page.evaluate("""() => [...document.querySelectorAll('svg')].flatMap((svg) =>
        [...svg.outerHTML.matchAll(/(?:url\\(#|href="#)([^")]+)/g)]
          .map((found) => found[1])
          .filter((name) => !svg.querySelector('#' + CSS.escape(name))))""")
    assert lost == []


def test_names_are_changed_in_tags_only():
    """A picture's text that looks like a name stays as it is."""
    svg = (
        b'<?xml version="1.0"?>\n<svg width="4pt" viewBox="0 0 4 4">'
        b'<!-- id="a" --><g id="a"><text>id="b" url(#c)</text><use href="#a"/></g></svg>'
    )
    assert inline_svg(svg, "p", 'shot "1"') == (
        '<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="shot &#34;1&#34;" '
        'viewBox="0 0 4 4"><g id="p-a"><text>id="b" url(#c)</text><use href="#p-a"/></g></svg>'
    )


# What people typed.


def test_hostile_text_stays_text(open_page, sheet):
    """Every text of the day is read as it was typed; none of it runs or becomes an element."""
    page = open_page(at("09:30"))
    assert page.title() == f"{sheet.plan.day.title}, Wednesday 2027-06-09"
    assert page.locator("h1").inner_text() == sheet.plan.day.title
    texts = page.locator("bdi.what").all_inner_texts()
    assert texts == list(HOSTILE.values())
    assert page.locator("img:not(svg), main script, main b b").count() == 0
    assert page.locator("script").count() == 2


def test_script_of_others_is_refused(open_page):
    """The page's own policy lets no script run but its own, and no request go out."""
    page = open_page(at("09:30"))
    policy = page.locator("meta[http-equiv=Content-Security-Policy]").get_attribute("content")
    assert policy.startswith("default-src 'none'; script-src 'sha256-")
    assert re.findall(r"(?:src|href)=\"(?!#)[^\"]*", page.content()) == []


# Phones, eyes, paper.


def test_times_of_the_next_date_stay_in_their_column(open_page, sheet, tmp_path):
    """A time such as 08:20+1 does not run into the shot's id."""
    night = replace(sheet.plan.day, date=date(2027, 6, 8))
    path = tmp_path / "night.html"
    path.write_bytes(
        sheet_bytes(
            replace(sheet, plan=replace(sheet.plan, fit=replace(sheet.plan.fit, day=night))), "html"
        )
    )
    page = open_page(at("09:30"), of=path.as_uri())
    past = page.evaluate(
        "() => [...document.querySelectorAll('td.roll b')].map((b) =>"
        " b.getBoundingClientRect().right - b.closest('td').getBoundingClientRect().right)"
    )
    assert len(past) > 5
    assert max(past) <= 0


def test_nothing_scrolls_sideways(open_page):
    """The page is as wide as the screen, with every picture open too."""
    page = open_page(at("09:30"), width=360)
    page.evaluate("() => document.querySelectorAll('details').forEach((d) => { d.open = true; })")
    for width in (320, 360, 700, 1280):
        page.set_viewport_size({"width": width, "height": 740})
        assert page.evaluate("() => document.scrollingElement.scrollWidth") <= width


def test_states_fit_their_column(open_page, later):
    """On the narrowest phone no state is cut off, and the page does not scroll sideways."""
    page = open_page(at("08:35"), of=later, width=320)
    wide = "() => [...document.querySelectorAll('.last')].map((c) => c.scrollWidth - c.clientWidth)"
    assert max(page.evaluate(wide)) <= 0
    assert page.evaluate("() => document.scrollingElement.scrollWidth") <= 320


CONTRASTS = """() => {
  const numbers = (color) => color.match(/[\\d.]+/g).map(Number);
  const light = (color) => {
    const [r, g, b] = numbers(color).slice(0, 3).map((part) => {
      const share = part / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = (element) => {
    for (let one = element; one; one = one.parentElement) {
      const color = getComputedStyle(one).backgroundColor;
      const parts = numbers(color);
      if (parts.length < 4 || parts[3] > 0) return color;
    }
    throw new Error("no ground");
  };
  const texts = [...document.body.querySelectorAll("*")].filter((element) =>
    !element.closest("svg, script") &&
    [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim()));
  return texts.map((element) => {
    const two = [light(getComputedStyle(element).color), light(ground(element))];
    const ratio = (Math.max(...two) + 0.05) / (Math.min(...two) + 0.05);
    return [ratio, element.tagName + " " + element.className];
  });
}"""


def test_contrast_is_enough(open_page, later):
    """Every text stands out by 4.5 to 1 at least (WCAG 2.2, 1.4.3), the present row's too."""
    for page in (open_page(at("07:10")), open_page(at("08:35"), of=later)):
        assert_contrasts(page)


def assert_contrasts(page):
    """Look at every text in both schemes."""
    for scheme, color in (("light", "rgb(255, 255, 255)"), ("dark", "rgb(20, 20, 20)")):
        page.emulate_media(color_scheme=scheme)
        ground = page.evaluate("() => getComputedStyle(document.body).backgroundColor")
        assert ground == color
        found = page.evaluate(CONTRASTS)
        assert len(found) > 40
        assert [name for ratio, name in found if ratio < 4.5] == []


def test_order_is_a_table_with_heads(open_page):
    """A screen reader finds one table with its name, its columns and a head for each shot."""
    page = open_page(at("09:30"))
    assert page.locator("html").get_attribute("lang") == "en"
    assert page.get_by_role("heading", level=1).count() == 1
    assert page.get_by_role("heading", level=2).first.inner_text() == "The order"
    table = page.get_by_role("table", name="The order")
    assert table.count() == 1
    assert table.locator("caption").count() == 1
    assert table.get_by_role("columnheader").all_inner_texts() == [
        "roll",
        "shot",
        "light",
        "last start",
    ]
    assert table.get_by_role("rowheader").count() == len(HOSTILE)
    assert page.get_by_role("status").count() == 1


def test_page_works_without_script(open_page, sheet):
    """Without script the table and every reason are there, and pictures open all the same."""
    page = open_page(at("09:30"), java_script_enabled=False)
    assert not page.locator("#present").is_visible()
    rows = page.locator("tbody.shot").all_inner_texts()
    assert len(rows) == len(sheet.plan.shots)
    for planned, text in zip(sheet.plan.shots, rows, strict=True):
        assert planned.shot.description in text
        assert planned.why in text
        assert "sun " in text
    page.get_by_text("picture of 3").click()
    assert page.get_by_role("img", name="the light of shot 3 through the day").is_visible()


def test_page_prints_whole(open_page, sheet):
    """On paper the order and its reasons stand alone, in black on white, within A4's width."""
    page = open_page(at("09:30"), width=703, color_scheme="dark")  # A4 less margins, 96 px an inch
    page.emulate_media(media="print")
    assert not page.locator("#present").is_visible()
    assert page.locator("svg").first.is_hidden()
    assert page.locator("summary u").first.is_hidden()
    assert page.evaluate("() => document.scrollingElement.scrollWidth") <= 703
    assert page.evaluate("() => getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    for planned in sheet.plan.shots:
        assert page.get_by_text(planned.why).first.is_visible()


def test_same_sheet_gives_the_same_page(sheet, address):
    """A page is made of the plan and of nothing else."""
    assert sheet_bytes(sheet, "html") == Path(unquote(urlsplit(address).path)).read_bytes()
