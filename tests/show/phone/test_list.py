"""The list: all of the day, cut down, kept short, in any script, without a script too."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from show.phone.days import HOSTILE, PEOPLE, SPOTS, at, hard_sheet, under_way
from show.phone.looking import told
from sunsched.plan.plan import LeftOut
from sunsched.show.agenda import Course
from sunsched.show.layout import isolated
from sunsched.show.prospects import chance, prospect_texts
from sunsched.show.sheets.phone.inline import Pictures, short_path
from sunsched.show.sheets.sheet import sheet_bytes


def shown(page):
    """Give the ids of the shots that are shown."""
    return page.locator("li.shot:visible .id").all_inner_texts()


def test_list_is_cut_down_to_a_spot(open_page, sheet):
    """With the move that leads there; what is for all stays, and the count is told."""
    page = open_page(at("09:30"))
    page.locator("#pick").select_option(label="mill <b>")
    assert shown(page) == ["5"]
    assert told(page, "count") == "1 of 5 shots"
    others = " ".join(page.locator("li.other:visible").all_inner_texts())
    for text in ("crew call", "meal", "move to mill <b>", "last roll ends"):
        assert text in others
    assert "wait before 4" not in others
    page.locator("#pick").select_option(label="all shots")
    assert shown(page) == [one.shot.id for one in sheet.plan.shots]
    assert told(page, "count") == ""


def test_list_is_cut_down_to_a_person(open_page, hard):
    """Every spot and everybody can be picked, by their names in full."""
    page = open_page(at("09:30"), of=hard)
    groups = page.locator("#pick optgroup").all()
    names = [group.locator("option").all_inner_texts() for group in groups]
    sheet = hard_sheet()
    people = [one for one in _order(sheet) if one in PEOPLE]
    assert names == [list(map(isolated, SPOTS)), list(map(isolated, people))]
    assert len(names[1]) == 15
    for who in (PEOPLE[1], PEOPLE[10]):
        page.locator("#pick").select_option(label=isolated(who))
        assert shown(page) == [one.shot.id for one in sheet.plan.shots if who in one.shot.cast]


def _order(sheet):
    return dict.fromkeys(name for one in sheet.plan.shots for name in one.shot.cast)


def test_list_can_be_short(open_page):
    """Without what the shots are about; a button that says whether it is pressed."""
    page = open_page(at("09:30"))
    button = page.get_by_role("button", name="short list")
    high = page.locator("#list").bounding_box()["height"]
    assert button.get_attribute("aria-pressed") == "false"
    button.click()
    assert button.get_attribute("aria-pressed") == "true"
    assert page.locator(".what:visible").count() == 0
    assert page.locator("li.shot .figures:visible").count() == len(HOSTILE)
    assert page.locator("#list").bounding_box()["height"] < 0.8 * high
    button.click()
    assert page.locator("#list").bounding_box()["height"] == high


def test_tap_shows_reason_facts_and_picture(open_page, sheet):
    """And hides them again."""
    page = open_page(at("06:30"), has_touch=True)
    picture = page.get_by_role("img", name="the light of shot 2 through the day")
    row = page.locator("li.shot").nth(1)
    assert not picture.is_visible()
    row.locator("details:not(.build) > summary").tap()
    assert picture.is_visible()
    assert picture.bounding_box()["width"] > 300
    assert page.get_by_role("img").count() == 1
    assert sheet.plan.shots[1].why in row.inner_text()
    assert "of the lens" in row.inner_text()
    row.locator("details:not(.build) > summary").tap()
    assert not picture.is_visible()


def test_day_has_its_pictures(open_page):
    """The whole day's picture opens, and each of the others, all shut; no script is needed."""
    for has_script in (True, False):
        page = open_page(at("09:30"), java_script_enabled=has_script)
        shut = page.locator("details.day")
        names = [one.strip() for one in shut.locator("summary").all_inner_texts()]
        assert names == [
            *("picture of the day", "Who waits when", "When each shot's sun is right"),
            *("The sun at pans", "The sun at mill <b>"),
        ]
        assert page.locator("details.day[open]").count() == 0
        assert page.locator("details.day svg:visible").count() == 0
        for one in shut.all():
            one.locator("summary").click()
            assert one.get_by_role("img").is_visible()


def test_what_is_made_stands_over_its_plan(written, open_page, sheet, later):
    """A day under way has the plan that it began with over what is made, if that is known."""
    page = open_page(at("09:30"), of=later)
    assert page.locator("details.day summary", has_text="Planned and made").count() == 0
    made = under_way(sheet)
    made = replace(made, course=Course(followed=sheet.plan, so_far=made.plan.day))
    page = open_page(at("09:30"), of=written(made))
    page.get_by_text("Planned and made").click()
    text = page.get_by_role("img", name="Planned and made").text_content()
    assert "3 of 5 shots made or rolling" in text


def test_average_day_is_told_whole(open_page, hard):
    """Chance, begin by and light in the row of each shot, all that is expected behind a tap."""
    plan = hard_sheet().plan
    page = open_page(at("09:30"), of=hard)
    figures = page.locator("li.shot .figures").all_inner_texts()
    facts = page.locator("li.shot .facts").all_text_contents()
    for planned, text, told_of in zip(plan.shots, figures, facts, strict=True):
        assert text.endswith(f"light {chance(0.6)} · made {chance(0.8)}")
        assert re.search(r"last start (–|\d\d:\d\d(\+1)?) · begin by \d\d:\d\d", text)
        for expected in prospect_texts(plan, planned):
            assert expected in told_of
        for name in planned.shot.cast:
            assert name in told_of
        assert planned.shot.kept[0][1] in told_of
    assert "on the average day" in page.locator("main").inner_text()


def test_planned_minutes_are_told_without_chances(open_page, written):
    """No shot of such a plan has a chance, and no begin by."""
    page = open_page(at("09:30"), of=written(hard_sheet(3, is_average=False, has_meal=False)))
    figures = page.locator("li.shot .figures").all_inner_texts()
    assert len(figures) == 3
    assert not any("made" in text or "begin by" in text for text in figures)


def test_left_out_shots_have_their_reason(open_page, written, sheet):
    """Below the list, with id and text."""
    left = LeftOut(shot=sheet.plan.shots[2].shot, why="there is no time for it")
    plan = replace(sheet.plan, left_out=(left,))
    page = open_page(at("09:30"), of=written(replace(sheet, plan=plan)))
    text = page.locator("main").inner_text()
    assert re.search(r"Left out\n+3 .*: there is no time for it", text)
    assert "Never look at the sun through a finder" in page.locator("footer").inner_text()


# What people typed.


def test_hostile_text_stays_text(open_page, sheet):
    """Every text of the day is read as it was typed; none of it runs or becomes an element."""
    page = open_page(at("09:30"))
    assert page.title() == f"{sheet.plan.day.title}, Wednesday 2027-06-09"
    assert page.locator("h1").inner_text() == sheet.plan.day.title
    assert page.locator(".what").all_inner_texts() == list(map(isolated, HOSTILE.values()))
    assert page.locator("img:not(svg), main script, main b b").count() == 0
    assert page.locator("script").count() == 2


def test_script_of_others_is_refused(open_page):
    """The page's own policy lets no script run but its own, and no request go out."""
    page = open_page(at("09:30"))
    policy = page.locator("meta[http-equiv=Content-Security-Policy]").get_attribute("content")
    assert policy.startswith("default-src 'none'; script-src 'sha256-")
    assert re.findall(r"(?:src|href)=\"(?!#)[^\"]*", page.content()) == []


def test_scripts_that_run_the_other_way_turn_nothing_round(open_page, hard):
    """In a row with Arabic or Hebrew, time, id, size and spot stand from left to right."""
    page = open_page(at("09:30"), of=hard)
    for place in (0, 3, 5, 6, 10):
        row = page.locator("li.shot").nth(place)
        parts = [row.locator(one).bounding_box()["x"] for one in (".from", ".id", ".where")]
        assert parts == sorted(parts)
        # Within the words too: the size comes before the spot's name.
        ends = row.locator(".where").evaluate(
            """(where) => [where.firstChild, where.querySelector('bdi').firstChild].map((node) => {
                 const range = document.createRange();
                 range.selectNodeContents(node);
                 return range.getBoundingClientRect().left;
               })"""
        )
        assert ends == sorted(ends)
    arabic = page.locator("li.shot .what").nth(0)
    assert arabic.evaluate("(one) => getComputedStyle(one).direction") == "rtl"
    assert page.locator("li.shot .what").nth(2).evaluate(
        "(one) => getComputedStyle(one).direction"
    ) == "ltr"  # fmt: skip


def test_present_is_not_turned_round_by_a_name(open_page, hard):
    """`shot 102A-2bis, wide, SPOT, until 18:00`: the time stays behind a name of Hebrew letters."""
    sheet = hard_sheet()
    planned = next(one for one in sheet.plan.shots if one.shot.spot == SPOTS[1])
    page = open_page(planned.roll_start, of=hard)
    text = page.locator("#says").inner_text()
    assert f"\u2068{SPOTS[1]}\u2069" in text
    assert page.locator("#says").evaluate("(one) => getComputedStyle(one).direction") == "ltr"


def test_names_in_pictures_are_their_own(open_page):
    """No name stands twice in the page, and each mark that is called for is told in it once."""
    page = open_page(at("09:30"))
    names = page.evaluate("() => [...document.querySelectorAll('[id]')].map((e) => e.id)")
    assert len(names) == len(set(names))
    lost = page.evaluate("""() => [document.querySelector('style'),
          ...document.querySelectorAll('svg')].flatMap((one) =>
        [...one.outerHTML.matchAll(/(?:url\\(#|href="#)([^")]+)/g)]
          .map((found) => found[1])
          .filter((name) => !document.querySelector('svg.marks #' + CSS.escape(name))))""")
    assert lost == []


def test_names_and_figures_are_changed_in_tags_only():
    """A picture's text that looks like a name or a figure stays as it is; what is shared is told
    once, and groups that do nothing are gone."""
    svg = (
        b'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        b'width="4pt" viewBox="0 0 4.125 4"><!-- id="a" --><title>t</title>'
        b'<defs><path id="a" d="M 0 0 L 1 1" style="stroke: #ffffff"/></defs><g id="b"><g>'
        b'<text x="1.2345" style="fill: #474747">id="b" url(#c) 1.2345 &lt;</text>'
        b'<use xlink:href="#a" x="2.04" y="0"/></g>'
        b'<g id="z"><path d="M 1.25 -0.0667 L 3 -0.0667 L 3 2 z" style="fill: none; '
        b'stroke: #000000"/></g></g></svg>'
    )
    pictures = Pictures()
    first, second = (pictures.put(svg, 'shot "1"') for _ in range(2))
    assert (
        first
        == second
        == (
            '<svg role="img" aria-label="shot &#34;1&#34;" viewBox="0 0 4.1 4">'
            '<text class="p1" x="1.2">id=&#34;b&#34; url(#c) 1.2345 &lt;</text>'
            '<use href="#m0" x="2" y="0"/><path class="p2" d="m1.2-.1h1.8v2.1z"/></svg>'
        )
    )
    assert pictures.defs().count("<path") == 1
    light, dark = pictures.style().split("@media")
    assert light.split() == [
        ".p0{fill:#000;stroke:#fff}.p1{fill:#474747}.p2{fill:none;stroke:#000000}"
    ]
    # Black turns light, and a black mark with a white edge stands over greys in both.
    assert ".p0" not in dark
    assert ".p2{stroke:#ededed}" in dark


def test_a_path_in_few_letters_goes_the_same_way():
    """Each corner lies within a twentieth of a unit of where it was, by the rules of SVG 2, 9.3."""
    told = "M 7.2 37.55 L 280.8 37.55 L 280.8 109.6 L 7.249 90.13 z M -1 -0.5 L 3 4 Q 5 5 6 -0.04"
    corners = [
        [(7.2, 37.6), (280.8, 37.6), (280.8, 109.6), (7.2, 90.1)],
        [(-1.0, -0.5), (3.0, 4.0), (5.0, 5.0), (6.0, 0.0)],
    ]
    found = walked(short_path(told))
    assert len(short_path(told)) < 0.75 * len(told)
    for walk, path in zip(found, corners, strict=True):
        assert walk == [(pytest.approx(x, abs=0.051), pytest.approx(y, abs=0.051)) for x, y in path]


def walked(told):
    """Give the corners of each part of a path of relative steps."""
    parts: list[list[tuple[float, float]]] = []
    at, begun = (0.0, 0.0), (0.0, 0.0)
    for way, figures in re.findall(r"([a-z])([^a-z]*)", told):
        numbers = [float(one) for one in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", figures)]
        if way == "z":
            at = begun
            continue
        if way in "hv":
            numbers = [part for one in numbers for part in ((one, 0) if way == "h" else (0, one))]
        size = {"q": 4}.get(way, 2)
        for start in range(0, len(numbers), size):
            step = numbers[start : start + size]
            points = [(at[0] + x, at[1] + y) for x, y in zip(step[::2], step[1::2], strict=True)]
            at = points[-1]
            if way == "m" and start == 0:
                parts.append([])
                begun = at
            parts[-1] += points
    return parts


# Without a script, and again.


def test_page_works_without_script(open_page, sheet):
    """Without script the list and every reason are there, and the page says what is not."""
    page = open_page(at("09:30"), java_script_enabled=False)
    for name in ("present", "tools"):
        assert not page.locator(f"#{name}").is_visible()
    assert "need scripts" in page.locator("header").inner_text()
    assert page.locator("button:visible, select:visible").count() == 0
    rows = page.locator("li.shot")
    assert rows.count() == len(sheet.plan.shots)
    for place, planned in enumerate(sheet.plan.shots):
        assert isolated(planned.shot.description) in rows.nth(place).inner_text()
        rows.nth(place).locator("details:not(.build) > summary").click()
        assert planned.why in rows.nth(place).inner_text()
        assert "sun " in rows.nth(place).inner_text()
        picture = page.get_by_role("img", name=f"the light of shot {planned.shot.id} through")
        assert picture.is_visible()


def test_with_scripts_nothing_is_said_of_them(open_page):
    """The sentence is for readers without."""
    assert "need scripts" not in open_page(at("09:30")).locator("header").inner_text()


def test_same_sheet_gives_the_same_page(sheet):
    """A page is made of the plan and of nothing else."""
    assert sheet_bytes(sheet, "html") == sheet_bytes(sheet, "html")
