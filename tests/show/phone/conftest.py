"""Pages of made-up days in a real browser, with a false clock.

Debian's Chromium, driven through Playwright.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from show.phone.days import hard_sheet, hostile_sheet, lone_sheet, under_way
from sunsched.show.agenda import Sheet
from sunsched.show.sheets.sheet import sheet_bytes

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

Written = Callable[[Sheet], str]


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> Written:
    """Give a function that writes the page of a sheet and gives its file: address."""

    def write(sheet: Sheet) -> str:
        path: Path = tmp_path_factory.mktemp("page") / "day.html"
        path.write_bytes(sheet_bytes(sheet, "html"))
        return path.as_uri()

    return write


@pytest.fixture(scope="session")
def sheet() -> Sheet:
    """Give the small day with hostile texts."""
    return hostile_sheet()


@pytest.fixture(scope="session")
def address(sheet: Sheet, written: Written) -> str:
    """Give the address of its page."""
    return written(sheet)


@pytest.fixture(scope="session")
def later(sheet: Sheet, written: Written) -> str:
    """Give the address of the page of the same day at 08:30: two shots made, one running."""
    return written(under_way(sheet))


@pytest.fixture(scope="session")
def hard(written: Written) -> str:
    """Give the address of the page of forty shots."""
    return written(hard_sheet())


@pytest.fixture(scope="session")
def lone(written: Written) -> str:
    """Give the address of the page of one shot."""
    return written(lone_sheet())


@pytest.fixture
def open_page(browser: Browser, address: str) -> Iterator[Callable[..., Page]]:
    """Give a function that opens the page at a moment; it must ask for nothing and complain of
    nothing."""
    contexts: list[Any] = []
    asked: list[str] = []
    complaints: list[str] = []
    opened: set[str] = set()

    def open_at(
        when: datetime,
        *,
        of: str = address,
        width: int = 360,
        device_zone: str = "Asia/Tokyo",
        **more: Any,
    ) -> Page:
        opened.add(of.split("#")[0])
        context = browser.new_context(
            viewport={"width": width, "height": 740}, timezone_id=device_zone, **more
        )
        contexts.append(context)
        page = context.new_page()
        page.on("request", lambda request: asked.append(request.url.split("#")[0]))
        page.on("console", lambda message: complaints.append(message.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.clock.install(time=when)
        page.goto(of)
        return page

    yield open_at
    for context in contexts:
        context.close()
    assert set(asked) == opened
    assert complaints == []
