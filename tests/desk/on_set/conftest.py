"""A day with a saved plan, served to phones; and what a thumb does on them."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

import sunsched
from desk.conftest import KEYS, FalseClock, copied
from sunsched.desk.door.access import Access
from sunsched.desk.web.run import Desk
from sunsched.saved.plan_file import Revision
from sunsched.saved.revisions import newest_revision

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

CALL = datetime(2027, 2, 27, 7, 0, tzinfo=UTC)  # 08:00 in Oslo's time (tz database)
MADE_AT = datetime(2027, 2, 20, 12, 0, tzinfo=UTC)
DAY = "ferry-light"
OpenPhone = Callable[..., "Page"]


@pytest.fixture(scope="session")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a demo day with its plan for the average day, to be copied."""
    folder = copied(DAY, tmp_path_factory.mktemp("planned"))
    plan = sunsched.average_plan(sunsched.solve_day(sunsched.read_day(folder)))
    sunsched.save_plan(folder, plan, made_at=MADE_AT)
    return folder


@pytest.fixture
def folder(desk: Desk, planned: Path, clock: FalseClock) -> Path:
    """Give the folder that the desk shows, with a saved plan, half an hour after the call."""
    found = desk.folders.find(DAY)
    assert found is not None
    shutil.copytree(planned / "plans", found / "plans")
    clock.now = CALL + timedelta(minutes=30)
    return found


@pytest.fixture
def phone(browser: Browser, served: str, folder: Path) -> Iterator[OpenPhone]:
    """Give a function that opens the page on a phone; its script must complain of nothing."""
    assert folder.is_dir()
    contexts: list[Any] = []
    complaints: list[str] = []

    def open_page(access: Access = Access.ALL, **more: Any) -> Page:
        context = browser.new_context(
            viewport={"width": 360, "height": 740}, timezone_id="Asia/Tokyo", **more
        )
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(60_000)  # the first answer of a process that starts
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(f"{served}/?key={KEYS.of(access)}")
        page.goto(f"{served}/day/{DAY}/set")
        page.wait_for_selector("#says:not(:empty)")
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert complaints == []


def noted(folder: Path) -> list[str]:
    """List what the log holds, as words."""
    log = sunsched.read_log(folder, sunsched.read_day(folder))
    return [f"{one.kind} {one.subject}".strip() for one in log.events]


def newest(folder: Path) -> Revision:
    """Give the newest saved plan, which there is."""
    found = newest_revision(folder)
    assert found is not None
    return found


def set_time(page: Page, clock_time: str) -> None:
    """Set the time of the next tap by hand."""
    page.locator("#time").click()
    page.locator("#hand").fill(clock_time)
    page.get_by_role("button", name="set", exact=True).click()


def tap_chief(page: Page) -> None:
    """Tap the biggest button once it is not dead after the last tap."""
    page.locator("#chief:not(.dead)").click()


def shown_events(page: Page) -> list[str]:
    """List what the page says is noted or waits, the newest first."""
    return [" ".join(text.split()) for text in page.locator("#events li").all_inner_texts()]
