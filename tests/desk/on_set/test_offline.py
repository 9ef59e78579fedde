"""A phone without a network: what is tapped is kept, and noted once, in order, when it is back."""

import re
import threading
import time

import pytest
import uvicorn

import sunsched
from desk.conftest import KEYS
from desk.on_set.conftest import DAY, newest, noted, set_time, shown_events, tap_chief
from sunsched.desk.app import make_app
from sunsched.desk.door.access import new_keys
from sunsched.desk.door.guard import Door
from sunsched.desk.serve import _listen
from sunsched.desk.web.run import Desk
from sunsched.folder.log.log import note_events


class Server:
    """A desk that can be killed and started again on the same port."""

    def __init__(self, desk):
        self.folders, self.clock = desk.folders, desk.clock
        listener = _listen("127.0.0.1", 0)
        self.port = listener.getsockname()[1]
        listener.close()
        self.start()

    def start(self, keys=KEYS):
        """Start a new run, which has noted nothing."""
        self.listener = _listen("127.0.0.1", self.port)
        door = Door(hosts=[f"127.0.0.1:{self.port}"], keys=keys, port=self.port)
        self.desk = Desk(folders=self.folders, door=door, clock=self.clock)
        config = uvicorn.Config(make_app(self.desk), log_level="error", timeout_graceful_shutdown=0)
        self.server = uvicorn.Server(config)
        sockets = {"sockets": [self.listener]}
        self.thread = threading.Thread(target=self.server.run, kwargs=sockets, daemon=True)
        self.thread.start()
        while not self.server.started:
            time.sleep(0.02)

    def kill(self):
        """End it without waiting for anybody."""
        self.server.force_exit = True
        self.server.should_exit = True
        self.thread.join(10)
        self.desk.stop()
        self.listener.close()


@pytest.fixture
def server(desk, folder):
    """Give a desk that can be killed."""
    assert folder.is_dir()
    found = Server(desk)
    yield found
    found.kill()


@pytest.fixture
def page(browser, server):
    """Give the page on a phone."""
    context = browser.new_context(viewport={"width": 360, "height": 740})
    opened = context.new_page()
    address = f"http://127.0.0.1:{server.port}"
    opened.goto(f"{address}/?key={KEYS.all}")
    opened.goto(f"{address}/day/{DAY}/set")
    opened.wait_for_selector("#says:not(:empty)")
    yield opened
    context.close()


def ids(folder):
    """List the shots of the plan in its order."""
    return [one.shot_id for one in newest(folder).timetable.rolls]


def play(page, count):
    """Tap the biggest button so many times, a minute apart."""
    for number in range(count):
        set_time(page, f"08:{31 + number}")
        tap_chief(page)


def all_sent(page):
    """Wait until nothing waits on the phone."""
    page.locator("#events li.waiting").first.wait_for(state="detached", timeout=20_000)


def test_taps_without_a_network_are_kept_and_sent_in_order(page, folder):
    """They are shown as waiting, and the page goes on as if they were noted."""
    one, two = ids(folder)[:2]
    page.context.set_offline(True)
    play(page, 3)
    assert page.locator("#events li.waiting").count() == 3
    assert page.locator("#chief-says").inner_text() == f"{two} done"
    page.locator("#told", has_text="3 taps wait on this phone").wait_for(timeout=20_000)
    assert noted(folder) == []
    page.context.set_offline(False)
    all_sent(page)
    assert noted(folder) == [f"rolled {one}", f"done {one}", f"rolled {two}"]
    events = sunsched.read_log(folder, sunsched.read_day(folder)).events
    assert [one.at.minute for one in events] == [31, 32, 33]


def test_one_that_waits_is_undone_by_one_tap(page, folder):
    """It was never noted, so nothing is to be taken back."""
    one, _ = ids(folder)[:2]
    page.context.set_offline(True)
    play(page, 1)
    page.locator("#told", has_text="1 tap waits").wait_for(timeout=20_000)
    page.locator("#do-note").click()
    page.locator("#note-text").fill("never mind")
    page.locator("#note-text").press("Enter")
    page.locator("#undo").click()
    assert page.locator("#events li.waiting").count() == 1
    page.context.set_offline(False)
    all_sent(page)
    assert noted(folder) == [f"rolled {one}"]


def test_the_desk_is_killed_and_comes_back(page, server, folder):
    """What waits is sent to the new run; a page that was loaded anew meanwhile sends it too."""
    one, two = ids(folder)[:2]
    play(page, 1)
    page.locator("#events li:not(.waiting)", has_text=f"{one} rolls").wait_for()
    server.kill()
    set_time(page, "08:32")
    tap_chief(page)
    set_time(page, "08:33")
    tap_chief(page)
    assert page.locator("#events li.waiting").count() == 2
    server.start()
    page.reload()
    page.wait_for_selector("#says:not(:empty)")
    page.locator("#events li:not(.waiting)", has_text=f"{two} rolls").wait_for(timeout=20_000)
    assert noted(folder) == [f"rolled {one}", f"done {one}", f"rolled {two}"]


def test_a_page_comes_back_to_the_news_by_itself(page, server, folder):
    """After a run that refused it too, which a browser takes for the end of the news."""
    one, two = ids(folder)[:2]
    state = page.locator("#link-state")
    server.kill()
    state.filter(has_text="no connection to the desk").wait_for(timeout=20_000)
    server.start(new_keys())
    state.filter(has_text="open it by its new link").wait_for(timeout=20_000)
    server.kill()
    server.start()
    state.filter(has_text=re.compile("^$")).wait_for(state="attached", timeout=20_000)
    moment = {"at": "2027-02-27T08:29+01:00", "event": "rolled", "subject": one}
    note_events(folder, sunsched.read_day(folder), lambda _: [moment])
    page.locator("#events li", has_text=f"{one} rolls").wait_for(timeout=10_000)
    tap_chief(page)
    page.locator("#events li:not(.waiting)", has_text=f"{one} done").wait_for(timeout=20_000)
    assert page.locator("#chief-says").inner_text() == f"{two} rolls"


def test_an_answer_that_is_lost_notes_nothing_twice(page, server, folder):
    """The desk notes the tap and is killed before it can say so."""
    one, _ = ids(folder)[:2]
    page.route("**/note", lambda route: (route.fetch(), route.abort()))
    play(page, 1)
    deadline = time.monotonic() + 20
    while not noted(folder) and time.monotonic() < deadline:
        time.sleep(0.1)
    assert page.locator("#events li.waiting").count() == 1
    server.kill()
    page.unroute_all(behavior="ignoreErrors")
    server.start()
    page.locator("#events li:not(.waiting)", has_text=f"{one} rolls").wait_for(timeout=20_000)
    all_sent(page)
    assert noted(folder) == [f"rolled {one}"]


def test_one_that_is_refused_holds_up_no_other(page, folder):
    """Somebody else noted the roll meanwhile: that one is told, and the next one goes on."""
    one, _ = ids(folder)[:2]
    page.context.set_offline(True)
    play(page, 1)
    page.locator("#do-late").click()
    page.get_by_role("button", name="10 min", exact=True).click()
    moment = {"at": "2027-02-27T08:30+01:00", "event": "cut", "subject": one}
    note_events(folder, sunsched.read_day(folder), lambda _: [moment])
    page.context.set_offline(False)
    refused = page.locator("#events li.refused")
    refused.wait_for(timeout=20_000)
    assert "cut already" in refused.inner_text()
    page.locator("#events li:not(.waiting)", has_text="10 min lost").wait_for()
    refused.get_by_role("button", name="drop").click()
    assert noted(folder) == [f"cut {one}", "late"]
    assert not [text for text in shown_events(page) if "not noted" in text]


def test_a_key_of_the_last_run_keeps_the_taps(page, server, folder):
    """The new run has new keys: it is said so, and what waits is sent once the new link is open."""
    one, _ = ids(folder)[:2]
    server.kill()
    play(page, 1)
    page.context.clear_cookies()
    server.start()
    page.locator("#told", has_text="open it by its new link").wait_for(timeout=20_000)
    assert noted(folder) == []
    address = f"http://127.0.0.1:{server.port}"
    page.goto(f"{address}/?key={KEYS.note}")
    page.goto(f"{address}/day/{DAY}/set")
    page.locator("#events li:not(.waiting)", has_text=f"{one} rolls").wait_for(timeout=20_000)
    assert noted(folder) == [f"rolled {one}"]
