"""A whole day noted by taps on a phone, beside the same day noted by commands: the same files."""

import json
import re
import shutil
from datetime import timedelta

import pytest

import sunsched
from desk.on_set.conftest import CALL, newest, noted, set_time
from sunsched.saved.numbers import revision_numbers

MINUTE = timedelta(minutes=1)
LONG = 150_000  # ms in which a loaded machine plans the rest of a day
SHOTS = 30  # more than there are
pytestmark = pytest.mark.slow


class Both:
    """A phone that notes by taps, and a terminal that notes the same in a folder of its own."""

    def __init__(self, page, clock, folder, other, run):
        self.page, self.clock, self.folder, self.other = page, clock, folder, other
        self.run = run
        self.now = CALL
        self.zone = sunsched.read_day(folder).place.zone

    def spoken(self):
        """Give the time as the crew says it."""
        return f"{self.now.astimezone(self.zone):%H:%M}"

    def after(self, minutes):
        """Let minutes pass; the desk's clock goes with them."""
        self.now += minutes * MINUTE
        self.clock.now = self.now

    def command(self, *words):
        """Note by a command at the time that it is."""
        code, _, err = self.run("log", self.other, *words, "--at", self.spoken())
        assert code == 0, err

    def noted(self, count):
        """Wait until the log has so many events, and the page shows that nothing waits."""
        self.page.locator("#events li.waiting").first.wait_for(state="detached")
        self.page.wait_for_timeout(100)
        assert self.page.locator("#events li.refused").all_inner_texts() == []
        assert len(noted(self.folder)) == count, noted(self.folder)[-3:]

    def tap(self, button, *answers, words):
        """Tap a button and what it asks, and say the words to the command."""
        before = len(noted(self.folder))
        set_time(self.page, self.spoken())
        self.page.locator(f"#do-{button}").click()
        for answer in answers:
            box = self.page.locator("#choose")
            box.get_by_role("button", name=answer, exact=True).click()
        self.command(*words)
        self.noted(before + 1)

    def chief(self):
        """Tap the biggest button; gives its event and its shot."""
        before = len(noted(self.folder))
        set_time(self.page, self.spoken())
        says = self.page.locator("#chief-says").inner_text()
        found = re.fullmatch(r"(?P<shot>.+) (?P<event>rolls|done)|(?P<meal>meal) begins", says)
        assert found, says
        event = {"rolls": "rolled", "done": "done"}.get(found["event"], "meal")
        words = ("meal",) if event == "meal" else (event, found["shot"])
        self.page.locator("#chief:not(.dead)").click()
        self.command(*words)
        self.noted(before + 1)
        return event, found["shot"]

    def is_over(self):
        """Say whether all is shot, as the page says it."""
        return self.page.locator("#chief-says").inner_text() == "all is shot"

    def lose(self, button, late_min, name):
        """Look at the rest of the day and take a choice by two taps."""
        number = newest(self.folder).number
        set_time(self.page, self.spoken())
        self.page.locator("#rest").get_by_role("button", name=button, exact=True).click()
        take = self.page.locator(f"#take-{name}:enabled")
        take.wait_for(timeout=LONG)
        take.click()
        take.click()
        saved = f"saved as revision {number + 1}"
        self.page.locator("#rest-state", has_text=saved).wait_for(timeout=LONG)
        self.page.locator("#pace", has_text=f"revision {number + 1}").wait_for(timeout=LONG)
        if late_min:
            self.command("late", str(late_min))
        code, _, err = self.run("replan", self.other, "--at", self.spoken(), "--take", name)
        assert code == 0, err


def files_of(folder):
    """Give each file of a day folder; saved plans without the moment at which they were made."""
    found = {}
    for path in folder.rglob("*"):
        if path.is_file():
            content = path.read_bytes()
            if path.parent.name == "plans" and path.suffix == ".json":
                record = json.loads(content)
                record.pop("made_at")
                content = json.dumps(record).encode()
            found[str(path.relative_to(folder))] = content
    return found


def test_from_call_to_wrap(phone, folder, clock, run, tmp_path):
    """Two replans, a meal, lost time, clouds, somebody gone, a cut, an undo, a rest as planned."""
    other = tmp_path / "by-command"
    shutil.copytree(folder, other)
    both = Both(phone(), clock, folder, other, run)
    lengths = {shot.id: shot.shoot_min for shot in sunsched.read_day(folder).shots}
    both.after(20)
    both.tap("late", "20 min", words=("late", "20"))
    made = 0
    for _ in range(SHOTS):
        if both.is_over():
            break
        event, shot = both.chief()
        if event == "meal":
            both.after(60)
            continue
        assert event == "rolled"
        both.after(5)
        if made == 0:
            both.tap("more", "10 min", words=("more", shot, "10"))
        if made == 2:
            both.tap("cloud", "until told", "75%", words=("cloud", "75%"))
        both.after(lengths[shot])
        assert both.chief() == ("done", shot)
        made += 1
        both.after(8)
        if made == 1:
            both.tap("gone", "Liv gone", words=("gone", "Liv"))
            both.tap("gone", "Liv here", words=("here", "Liv"))
        if made == 2:
            both.tap("closed", "mole closed", words=("closed", "mole"))
            both.tap("undo", words=("undo",))
        if made == 3:
            both.lose("an hour", 60, "best")
            both.after(60)
        if made == 6:
            page = both.page
            last = page.locator("#order li:not(.over):not([aria-current]) .id").last.inner_text()
            both.tap("cut", shown(page, last), words=("cut", last))
            both.lose("as it stands", 0, "best")
    assert both.is_over()
    assert made > len(lengths) // 2
    assert revision_numbers(folder) == (1, 2, 3)
    mine, theirs = files_of(folder), files_of(other)
    assert sorted(mine) == sorted(theirs)
    for name, content in mine.items():
        assert content == theirs[name], name


def shown(page, shot):
    """Give what the button of a shot says."""
    record = page.evaluate("async () => (await import('/own/desk.js')).day()")
    found = next(one for one in record["shots"] if one["id"] == shot)
    return f"{shot}: {found['size']}, {found['spot']}"
