"""The page for every eye and hand: contrast, sizes, both schemes, keys, a reader's tree."""

from __future__ import annotations

import re
import subprocess
from datetime import timedelta
from io import BytesIO
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from matplotlib.colors import to_hex
from PIL import Image

from show.phone.days import CALL, at, hard_sheet
from show.phone.looking import go_to, say_late
from sunsched.show.drawing.strips import SHADES
from sunsched.show.layout import isolated
from sunsched.show.sheets.sheet import sheet_bytes

# Pages at a moment: the small one, one under way, forty shots at night, one in the polar night.
PAGES = ("address", "later", "hard", "lone")
WHEN = {
    "address": at("07:10"),
    "later": at("08:35"),
    "hard": hard_sheet(1, has_meal=False).plan.shots[0].roll_start + timedelta(hours=8),
    "lone": CALL,
}
NARROWEST = 320  # WCAG 2.2, 1.4.10 Reflow: CSS pixels
ROW_MOST = 90
TOUCH_LEAST = 44  # WCAG 2.2, 2.5.5 Target Size (Enhanced): CSS pixels


@pytest.fixture(params=PAGES)
def page(request, open_page):
    """Give each page in turn."""
    return open_page(WHEN[request.param], of=request.getfixturevalue(request.param))


def open_all(page):
    """Open all that can be opened, the shift too, and make it 40 minutes late."""
    say_late(page, 40)
    page.evaluate("() => document.querySelectorAll('details').forEach((d) => { d.open = true; })")


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
    !element.closest("svg, script, noscript") &&
    [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim()));
  return texts.map((element) => {
    const two = [light(getComputedStyle(element).color), light(ground(element))];
    const ratio = (Math.max(...two) + 0.05) / (Math.min(...two) + 0.05);
    return [ratio, element.tagName + " " + element.className + " " + element.id];
  });
}"""
GROUNDS = (("light", "rgb(255, 255, 255)"), ("dark", "rgb(20, 20, 20)"))


def test_contrast_is_enough(page):
    """Every text stands out by 4.5 to 1 at least (WCAG 2.2, 1.4.3), by its formula, in both."""
    open_all(page)
    for scheme, color in GROUNDS:
        page.emulate_media(color_scheme=scheme)
        ground = page.evaluate("() => getComputedStyle(document.body).backgroundColor")
        assert ground == color
        found = page.evaluate(CONTRASTS)
        assert len(found) > 40
        assert [name for ratio, name in found if ratio < 4.5] == []


@pytest.mark.parametrize(
    "name", ["address", "later", "lone", pytest.param("hard", marks=pytest.mark.slow)]
)
def test_nothing_is_found_by_axe(request, open_page, name):
    """By axe-core (Deque, MPL 2.0), every rule that it has, in both schemes, shut and open."""
    page = open_page(WHEN[name], of=request.getfixturevalue(name))
    assert axe_findings(page) == []
    open_all(page)
    for scheme, _ in GROUNDS:
        page.emulate_media(color_scheme=scheme)
        assert axe_findings(page) == []


def axe_findings(page):
    """Give what axe-core finds, with the first element of each finding."""
    # The page lets no script run but its own; the browser's driver lets the checker in.
    found = Axe().run(page, options={"resultTypes": ["violations"]}).response
    assert len(found["passes"]) > 20
    return [(one["id"], one["nodes"][0]["html"]) for one in found["violations"]]


def test_rows_are_low(page):
    """However long texts, ids and names are, and with times of the next date."""
    for width in (NARROWEST, 360):
        page.set_viewport_size({"width": width, "height": 740})
        heights = page.evaluate(
            "() => [...document.querySelectorAll('#list > li')].map((row) => row.offsetHeight)"
        )
        assert max(heights) < ROW_MOST


def test_what_is_touched_is_large_enough(page):
    """Every button, every row, every field; a link within a text need not be."""
    open_all(page)
    sizes = page.evaluate(
        """() => [...document.querySelectorAll("button, select, summary")].map((one) => {
          const { width, height } = one.getBoundingClientRect();
          return [Math.min(width, height), one.textContent.trim().slice(0, 40)];
        })"""
    )
    assert len(sizes) > 5
    assert [text for size, text in sizes if size < TOUCH_LEAST] == []


def test_nothing_scrolls_sideways(page):
    """The page is as wide as the screen, with every picture open too, and with letters twice as
    large (WCAG 2.2, 1.4.4)."""
    for unfold in (lambda _: None, open_all):
        unfold(page)
        for width, share in ((NARROWEST, 1), (360, 1), (360, 2), (NARROWEST, 2), (700, 1)):
            page.set_viewport_size({"width": width, "height": 740})
            page.evaluate(f"() => {{ document.documentElement.style.fontSize = '{share}00%'; }}")
            assert page.evaluate("() => document.scrollingElement.scrollWidth") <= width
            # Nothing juts out of the bar either, which would hide it.
            assert page.evaluate("() => bar.scrollWidth - bar.clientWidth") <= 0


def test_large_letters_leave_the_list_its_room(page):
    """With letters twice as large the bar takes half of the screen at most, and can be scrolled."""
    page.evaluate("() => { document.documentElement.style.fontSize = '200%'; }")
    bar = page.locator("#bar").bounding_box()
    assert bar["height"] <= 370
    cut = page.evaluate(
        """() => [...document.querySelectorAll("#present p, #present dd, button, h1, .fall")]
          .filter((one) => one.scrollWidth > one.clientWidth + 1).map((one) => one.outerHTML)"""
    )
    assert cut == []


def test_bar_stays_in_view(page):
    """And takes well under half of a phone's screen."""
    page.evaluate("() => scrollTo(0, document.body.scrollHeight / 2)")
    bar = page.locator("#bar").bounding_box()
    assert bar["y"] == 0
    assert 100 < bar["height"] < 0.45 * 740


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pictures_fit_the_scheme(open_page, scheme):
    """On a dark page the ground of a picture is the page's own, as it is on a white one; and what
    is light in it is light on both: the lighter, the better."""
    page = open_page(at("06:30"), color_scheme=scheme)
    ground = 255 if scheme == "light" else 20
    page.locator("li.shot summary").first.click()
    page.get_by_text("When each shot's sun is right").click()
    for picture in (page.locator("li.shot svg").first, page.locator("details.day svg:visible")):
        grey = Image.open(BytesIO(picture.screenshot())).convert("L")
        assert grey.getpixel((2, 2)) == pytest.approx(ground, abs=2)
        # Its letters and curves stand out of it.
        lights = [level for level, count in enumerate(grey.histogram()) if count > 20]
        assert max(lights) - min(lights) > 180
    fills = page.evaluate(
        """() => [...document.querySelectorAll("svg path")].map((one) =>
          [getComputedStyle(one).fill, one.getAttribute("class")])"""
    )
    rule = re.compile(r"\.(p\d+)\{fill:(#[0-9a-f]{6})")
    told = dict(rule.findall(page.locator("style").inner_html().rsplit("@media screen", 1)[0]))
    shades = {to_hex(grey) for _, grey in SHADES}
    seen = {(told[name], color) for color, name in fills if name in told and told[name] in shades}
    assert len(seen) >= 3
    for hexed, color in seen:
        red, green, blue = (int(one) / 255 for one in re.findall(r"\d+", color)[:3])
        assert to_hex((red, green, blue)) == hexed
    kept = [[*map(int, re.findall(r"\d+", color)[:3])] for _, color in sorted(seen)]
    assert kept == sorted(kept)


def test_nothing_of_a_row_is_cut(page):
    """Last start, begin by, light and chance stand whole in every row, however narrow it is."""
    for width in (NARROWEST, 360):
        page.set_viewport_size({"width": width, "height": 740})
        cut = page.evaluate(
            """() => [...document.querySelectorAll(".figures, .figures > span")]
              .filter((one) => one.scrollWidth > one.clientWidth + 1 && one.clientWidth)
              .map((one) => one.textContent)"""
        )
        assert cut == []


def test_keys_reach_everything(open_page):
    """In the order of the page, with a ring around what has the focus."""
    page = open_page(at("06:30"))
    reached = []
    for _ in range(6):
        page.keyboard.press("Tab")
        focus = page.evaluate(
            """() => [document.activeElement.id || document.activeElement.tagName,
                      getComputedStyle(document.activeElement).outlineStyle]"""
        )
        reached.append(focus[0])
        assert focus[1] == "solid"
    assert reached == ["says", "ask-late", "pick", "short", "SUMMARY", "SUMMARY"]
    page.keyboard.press("Enter")
    assert page.get_by_role("img", name="the light of shot 2 through the day").is_visible()


def test_focus_is_never_under_the_bar(open_page):
    """Tabbing back up, nothing that has focus is covered (WCAG 2.2, 2.4.11)."""
    page = open_page(at("09:30"))
    page.set_viewport_size({"width": 360, "height": 560})
    page.get_by_text("picture of the day").focus()
    seen = 0
    for _ in range(6):
        page.keyboard.press("Shift+Tab")
        if page.evaluate("() => document.activeElement.tagName") != "SUMMARY":
            continue
        seen += 1
        under = 1.0
        for _ in range(60):  # the page is scrolled a moment after the key
            under = page.evaluate(
                "() => document.getElementById('bar').getBoundingClientRect().bottom"
                " - document.activeElement.getBoundingClientRect().top"
            )
            if under <= 0:
                break
            page.wait_for_timeout(50)
        assert under <= 0
    assert seen > 2


def test_a_reader_hears_the_parts_and_the_present(open_page):
    """Landmarks, heads, a list with its name; the present is said when it changes and only then."""
    page = open_page(at("07:10"))
    assert page.locator("html").get_attribute("lang") == "en"
    assert page.get_by_role("heading", level=1).count() == 1
    heads = page.get_by_role("heading", level=2).all_inner_texts()
    assert heads == ["The order", "The day", "Cautions"]
    for role, name in (("banner", None), ("region", "now"), ("main", None), ("contentinfo", None)):
        assert page.get_by_role(role, name=name).count() == 1
    assert page.get_by_role("list", name="The order").get_by_role("listitem").count() > 5
    status = page.get_by_role("status").filter(has=page.locator("#says"))
    assert status.count() == 1
    page.evaluate(
        """() => { window.heard = 0;
          new MutationObserver(() => { window.heard += 1; }).observe(
            document.querySelector("[role=status]:has(#says)"),
            { childList: true, characterData: true, subtree: true }); }"""
    )
    page.clock.run_for(10 * 60_000)
    assert page.evaluate("() => window.heard") == 0
    go_to(page, at("09:30"))
    page.wait_for_function("() => window.heard === 1")


@pytest.mark.parametrize(("count", "most_kb"), [(16, 350), (40, 800)])
def test_page_is_small(count, most_kb):
    """With every curve in every picture."""
    assert 50 < len(sheet_bytes(hard_sheet(count), "html")) / 1024 < most_kb


# Paper.


def test_page_prints_whole(open_page, sheet):
    """On paper the order and its reasons stand alone, in black on white, within A4's width."""
    page = open_page(at("09:30"), width=703, color_scheme="dark")  # A4 less margins, 96 px an inch
    page.emulate_media(media="print")
    page.evaluate("() => dispatchEvent(new Event('beforeprint'))")
    for name in ("#present", "#tools", ".day", ".marks"):
        assert page.locator(f"{name}:visible").count() == 0
    assert page.locator("button:visible, select:visible, svg:visible").count() == 0
    assert page.evaluate("() => document.scrollingElement.scrollWidth") <= 703
    assert page.evaluate("() => getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    for planned in sheet.plan.shots:
        assert page.get_by_text(planned.why).first.is_visible()
        assert (
            page.locator("#list")
            .get_by_text(isolated(planned.shot.description), exact=True)
            .is_visible()
        )
    page.evaluate("() => dispatchEvent(new Event('afterprint'))")
    page.emulate_media(media="screen")
    assert page.locator("details[open]").count() == 0


def test_a_cut_list_is_printed_whole(open_page, hard):
    """A filter is for the screen."""
    page = open_page(CALL, of=hard)
    page.locator("#pick").select_option(index=2)
    assert page.locator("li.shot:visible").count() < 40
    page.evaluate("() => dispatchEvent(new Event('beforeprint'))")
    assert page.locator("li.shot:visible").count() == 40
    page.evaluate("() => dispatchEvent(new Event('afterprint'))")
    assert page.locator("li.shot:visible").count() < 40


def test_page_becomes_a_pdf(open_page, sheet, tmp_path):
    """Written by the browser: every shot is on it, and none of the buttons."""
    page = open_page(at("09:30"))
    path: Path = tmp_path / "page.pdf"
    page.pdf(path=path, format="A4")
    text = subprocess.run(
        ["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True
    ).stdout
    for planned in sheet.plan.shots:
        assert f"{planned.shot.id} {planned.shot.size}" in " ".join(text.split())
    for word in ("short list", "late or early", "back to plan", "all shots"):
        assert word not in text
    assert "Never look at the sun" in text


def test_the_browser_is_asked_for_nothing_else(address):
    """The page is one file: it names no other."""
    html = Path(unquote(urlsplit(address).path)).read_text(encoding="utf-8")
    assert "http" not in html.replace("http://www.w3.org/", "").replace("http-equiv", "")
