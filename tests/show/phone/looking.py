"""What a reader of the phone page sees and does, for its tests."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

TURNS = dict.fromkeys(map(ord, "\u2068\u2069"))  # marks of direction, which nobody sees


def told(page: Page, name: str) -> str:
    """Give what a part of the page says, on one line; "" for one that is not to be seen."""
    part = page.locator(f"#{name}")
    return " ".join(part.inner_text().split()).translate(TURNS) if part.is_visible() else ""


def marked(page: Page) -> str:
    """Give the text of the row that is marked as present, on one line; "" for none."""
    rows = page.locator("[aria-current=time]")
    assert rows.count() <= 1
    return " ".join(rows.first.inner_text().split()).translate(TURNS) if rows.count() else ""


def go_to(page: Page, when: datetime) -> None:
    """Set the page's clock, and wake the page as a phone that is taken out of a pocket does."""
    page.clock.set_fixed_time(when)
    page.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")


def say_late(page: Page, minutes: int) -> None:
    """Tap until the page has been told that the crew is so many minutes late, or early."""
    if not page.locator("#late").is_visible():
        page.locator("#ask-late").click()
    button = page.get_by_role("button", name="5 min later" if minutes > 0 else "5 min earlier")
    for _ in range(abs(minutes) // 5):
        button.click()


def row_of(page: Page, shot: str) -> str:
    """Give what the row of a shot says, on one line."""
    row = page.locator("#list > li.shot").filter(has=page.locator(f".id:text-is('{shot}')"))
    return " ".join(row.inner_text().split())
