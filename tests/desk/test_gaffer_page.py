"""The gaffer's page on the desk: the lines of the command, for whoever may see."""

from datetime import UTC, datetime

import pytest
from axe_playwright_python.sync_playwright import Axe

import sunsched
from desk.conftest import KEYS
from sunsched.show.records.gaffer import gaffer_record


@pytest.fixture
def saved(desk):
    """Save a plan of the day; gives it."""
    folder = desk.folders.find("ferry-light")
    plan = sunsched.make_plan(sunsched.read_day(folder))
    sunsched.save_plan(folder, plan, made_at=datetime(2027, 6, 1, tzinfo=UTC))
    return plan


def test_the_lines_are_those_of_the_command(asker, saved):
    """Of every shot of the saved plan, as JSON."""
    found = asker.get("/api/ferry-light/gaffer").json()
    pages = sunsched.gaffer_pages(saved, sunsched.read_cloths(None))
    assert found["setups"] == gaffer_record(saved.day, pages)["setups"]
    assert found["revision"] == 1


def test_without_a_plan(asker):
    """No plan, no times: it is said, and nothing is drawn."""
    assert asker.get("/api/ferry-light/gaffer").json()["setups"] is None
    assert asker.get("/api/ferry-light/gaffer.pdf").status_code == 409


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_in_a_browser(browser, served, saved, scheme):
    """With the key to see: a shot is picked, its lines stand there, axe finds nothing."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, color_scheme=scheme)
    page = context.new_page()
    page.goto(f"{served}/day/ferry-light/gaffer?key={KEYS.see}")
    shot = saved.shots[0].shot.id
    asked = page.request.get(f"{served}/api/ferry-light/gaffer").json()["setups"][0]
    page.locator("#pick option", has_text=shot).first.wait_for(state="attached", timeout=60_000)
    page.select_option("#pick", shot)
    text = page.inner_text("#setups")
    assert "face to the sun" in text
    assert "before the last take ends" in text
    lines = [line for part in asked["sections"] for line in part["lines"]]
    assert page.locator("#setups dt").all_inner_texts() == [line["name"] for line in lines]
    assert page.locator("#setups dd").all_inner_texts() == [line["text"] for line in lines]
    assert "go-ahead" in page.inner_text("#for-all")
    assert not Axe().run(page).violations_count
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= 360
    context.close()
