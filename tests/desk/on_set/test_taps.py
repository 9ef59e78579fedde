"""The big buttons on a phone: what they note, at what time, and that everybody sees it."""

from datetime import UTC, datetime, timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe

import sunsched
from desk.on_set.conftest import CALL, newest, noted, set_time, tap_chief
from sunsched.desk.door.access import Access
from sunsched.folder.log.log import note_events

SECONDS_2 = 2000


def rolls(folder):
    """Give the rolls of the plan."""
    return newest(folder).timetable.rolls


def rolled_first(folder):
    """Give the first shot of the plan."""
    return rolls(folder)[0].shot_id


def times(folder):
    """List the times of the log on the place's clock."""
    day = sunsched.read_day(folder)
    events = sunsched.read_log(folder, day).events
    return [f"{one.at.astimezone(day.place.zone):%H:%M}" for one in events]


def test_the_likeliest_event_is_the_biggest_button(phone, folder):
    """It rolls, it is done, the next one rolls: three taps at the desk's time."""
    page, first = phone(), rolled_first(folder)
    buttons = page.locator("#tools button:visible")
    areas = {one.get_attribute("id"): one.bounding_box() for one in buttons.all()}
    assert all(box["height"] >= 60 for box in areas.values())
    chief = areas.pop("chief")
    most = max(box["height"] * box["width"] for box in areas.values())
    assert chief["height"] * chief["width"] > 3 * most
    assert page.locator("#chief-says").inner_text() == f"{first} rolls"
    assert page.locator("#chief-time").inner_text() == "at 08:30"
    tap_chief(page)
    page.get_by_text(f"{first} done", exact=True).wait_for()
    page.locator("#events li:not(.waiting)", has_text=f"{first} rolls").wait_for()
    assert noted(folder) == [f"rolled {first}"]
    assert times(folder) == ["08:30"]
    assert "rolls since 08:30" in page.locator("#says").inner_text()
    tap_chief(page)
    page.locator("#events li:not(.waiting)", has_text=f"{first} done").wait_for()
    assert noted(folder) == [f"rolled {first}", f"done {first}"]
    second = rolls(folder)[1].shot_id
    assert page.locator("#chief-says").inner_text() == f"{second} rolls"


def test_a_second_tap_of_a_glove_is_not_meant(phone, folder):
    """The biggest button has another meaning after a tap, so it rests for a moment."""
    page, first = phone(), rolled_first(folder)
    page.locator("#chief").dblclick()
    page.locator("#events li:not(.waiting)", has_text=f"{first} rolls").wait_for()
    assert noted(folder) == [f"rolled {first}"]


def test_a_minute_ago_is_one_tap_away(phone, folder):
    """Two minutes ago by two; after the tap the time is that of the clock again."""
    page, first = phone(), rolled_first(folder)
    page.get_by_role("button", name="5 minutes earlier").click()
    page.get_by_role("button", name="1 minute earlier").click()
    assert page.locator("#time").inner_text().split() == ["08:24", "6", "min", "ago"]
    tap_chief(page)
    page.locator("#events li:not(.waiting)", has_text=f"{first} rolls").wait_for()
    assert times(folder) == ["08:24"]
    assert page.locator("#time").inner_text().endswith("now")
    set_time(page, "08:27")
    tap_chief(page)
    page.locator("#events li:not(.waiting)", has_text=f"{first} done").wait_for()
    assert times(folder) == ["08:24", "08:27"]


def test_every_event_has_its_button(phone, folder):
    """Each is noted as the command notes it, and undone by one tap."""
    page = phone()
    ids = [one.shot_id for one in rolls(folder)]

    def asked(button, *answers):
        page.locator(f"#do-{button}").click()
        for answer in answers:
            page.locator("#choose").get_by_role("button", name=answer, exact=True).click()

    def last(text):
        newest = page.locator("#events li:not(.waiting)").first
        newest.filter(has_text=text).wait_for()

    page.locator("#do-rolled").click()
    page.locator("#choose button").first.click()
    last(f"{ids[0]} rolls")
    asked("more", "10 min")
    last(f"{ids[0]} takes 10 min more")
    page.locator("#do-done").click()
    last(f"{ids[0]} done")
    page.locator("#do-cut").click()
    page.locator("#choose button").first.click()
    last(f"{ids[1]} cut")
    asked("late", "15 min")
    last("15 min lost")
    page.locator("#do-late").click()
    page.locator("#own-minutes").fill("7")
    page.locator("#own-minutes").press("Enter")
    last("7 min lost")
    asked("cloud", "1 h", "75%")
    last("cloud cover 75% until 09:30")
    asked("gone", "Liv gone")
    last("Liv gone")
    asked("gone", "Liv here")
    last("Liv here")
    asked("closed", "mole closed")
    last("mole closed")
    page.locator("#do-meal").click()
    last("lunch begins")
    page.locator("#do-note").click()
    page.locator("#note-text").fill("snow <b>on</b> the lens")
    page.locator("#choose").get_by_role("button", name="note", exact=True).click()
    last("note: snow <b>on</b> the lens")
    words = [one.split()[0] for one in noted(folder)]
    assert words == [
        *("rolled", "more", "done", "cut", "late", "late", "cloud", "gone", "here", "closed"),
        *("meal", "note"),
    ]
    page.locator("#undo").click()
    page.locator("#events li.gone", has_text="snow").wait_for()
    page.locator("#do-undo").click()
    page.locator("#events li.gone", has_text="lunch begins").wait_for()
    assert noted(folder)[-2:] == ["undo", "undo"]
    set_time(page, "09:40")
    page.locator("#do-as-planned").click()
    # A shot of the plan was cut, and the day is elsewhere: the log says why it cannot be.
    page.locator("#events li.refused", has_text="not noted:").wait_for()
    assert noted(folder)[-2:] == ["undo", "undo"]


def test_all_went_as_planned(phone, folder):
    """One tap notes what the plan says up to the time that is set."""
    page, (first, second) = phone(), rolls(folder)[:2]
    end = (second.roll_start + timedelta(hours=1)).astimezone(sunsched.read_day(folder).place.zone)
    set_time(page, f"{end:%H:%M}")
    page.locator("#do-as-planned").click()
    page.locator("#events li", has_text=f"{second.shot_id} rolls").wait_for()
    assert noted(folder)[:3] == [
        f"rolled {first.shot_id}",
        f"done {first.shot_id}",
        f"rolled {second.shot_id}",
    ]


def test_a_day_that_is_shot_is_looked_back_at(phone, folder):
    """No time can be lost any more; planned and made is a tap away."""
    page, day = phone(), sunsched.read_day(folder)
    assert page.locator("#rest").is_visible()
    assert page.locator("#over").is_hidden()
    first, *others = (shot.id for shot in day.shots)
    rows = [{"event": event, "subject": first} for event in ("rolled", "done")]
    rows += [{"event": "cut", "subject": one} for one in others]
    at = day.hours.crew_call + timedelta(hours=1)
    note_events(folder, day, lambda _: [{**row, "at": at.isoformat()} for row in rows])
    page.locator("#over a").wait_for()
    assert page.locator("#rest").is_hidden()
    page.locator("#over a").click()
    page.wait_for_url("**/sheets")


def test_a_tap_is_seen_on_every_page_within_two_seconds(phone, folder):
    """On another phone, one that may only see, and the laptop; and what a terminal notes too."""
    page, first = phone(), rolled_first(folder)
    others = [phone(Access.NOTE), phone(Access.SEE)]
    tap_chief(page)
    for other in others:
        there = other.locator("#events li", has_text=f"{first} rolls")
        there.wait_for(timeout=SECONDS_2)
    day = sunsched.read_day(folder)
    moment = {"at": "2027-02-27T08:31+01:00", "event": "done", "subject": first}
    note_events(folder, day, lambda _: [moment])
    for other in (page, *others):
        other.locator("#events li", has_text=f"{first} done").wait_for(timeout=SECONDS_2)


def test_who_may_only_see_has_no_buttons(phone):
    """Nothing to tap but the list."""
    page = phone(Access.SEE)
    assert page.locator("#tools, #rest, #undo").count() == 0
    assert page.locator("#order li").count() > 5


def test_what_the_log_refuses_is_told_and_can_be_changed(phone, folder):
    """An event that is too early is put in its place, another is dropped."""
    page, first = phone(), rolled_first(folder)
    tap_chief(page)
    page.locator("#events li:not(.waiting)", has_text=f"{first} rolls").wait_for()
    set_time(page, "08:20")
    page.locator("#do-late").click()
    page.get_by_role("button", name="10 min", exact=True).click()
    refused = page.locator("#events li.refused")
    assert "not noted: before the last event: 08:20" in refused.inner_text().replace("`", "")
    assert "--" not in refused.inner_text()
    # A time before what is noted is no time that the page goes by.
    assert f"rolls since {times(folder)[0]}" in page.locator("#says").inner_text()
    assert page.locator("#left-name").inner_text() == "left"
    refused.get_by_role("button", name="put in its place").click()
    page.locator("#events li:not(.waiting)", has_text="10 min lost").wait_for()
    assert noted(folder) == [f"rolled {first}", "undo", "late", f"rolled {first}"]
    set_time(page, "08:10")
    page.locator("#do-late").click()
    page.get_by_role("button", name="5 min", exact=True).click()
    page.locator("#events li.refused").get_by_role("button", name="drop").click()
    refused.wait_for(state="detached")
    assert len(noted(folder)) == 4


def test_off_the_day_times_are_set_by_hand(phone, folder, clock):
    """It is said so, each tap has the time that is set, and the rehearsal goes on from there."""
    clock.now = datetime(2026, 11, 30, 12, 0, tzinfo=UTC)
    page, first = phone(), rolled_first(folder)
    assert page.locator("#off-day").is_visible()
    assert page.locator("#clock").inner_text() == "now 13:00, 89 days before this day"
    assert page.locator("#time").inner_text().split() == ["08:00", "by", "hand"]
    set_time(page, "08:33")
    tap_chief(page)
    page.locator("#events li:not(.waiting)", has_text=f"{first} rolls").wait_for()
    assert page.locator("#time").inner_text().split() == ["08:33", "by", "hand"]
    page.get_by_role("button", name="5 minutes later").click()
    tap_chief(page)
    page.locator("#events li:not(.waiting)", has_text=f"{first} done").wait_for()
    assert times(folder) == ["08:33", "08:38"]


def test_the_order_is_cut_down_and_made_short(phone, folder):
    """To a spot or a person; made and running shots say so."""
    page = phone()
    day = sunsched.read_day(folder)
    tap_chief(page)
    page.locator("#order li[aria-current]", has_text="rolls").wait_for()
    for pick, wanted in (
        ("mole", [shot for shot in day.shots if shot.spot == "mole"]),
        ("Liv", [shot for shot in day.shots if "Liv" in shot.cast]),
    ):
        page.locator("#pick").select_option(label=pick)
        ids = page.locator("#order .id").all_inner_texts()
        assert sorted(ids) == sorted(shot.id for shot in wanted)
    assert page.locator("#order .what").first.is_visible()
    heights = "() => [...document.querySelectorAll('#order li')].map((row) => row.offsetHeight)"
    assert max(page.evaluate(heights)) <= 90
    page.locator("#short").click()
    assert not page.locator("#order .what").first.is_visible()


def test_keyboard_alone_notes_and_undoes(phone, folder):
    """Every button is reached; Escape leaves a question and goes back to its button."""
    page = phone()

    def go_to(name):
        for _ in range(60):
            page.keyboard.press("Tab")
            if page.evaluate("() => document.activeElement.id") == name:
                return
        raise AssertionError(name)

    go_to("do-late")
    page.keyboard.press("Enter")
    page.keyboard.press("Escape")
    assert page.evaluate("() => document.activeElement.id") == "do-late"
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")  # the first choice is in focus
    page.locator("#events li:not(.waiting)", has_text="5 min lost").wait_for()
    assert page.evaluate("() => document.activeElement.id") == "do-late"
    go_to("undo")
    page.keyboard.press("Enter")
    page.locator("#events li.gone", has_text="5 min lost").wait_for()
    assert noted(folder) == ["late", "undo"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(phone, scheme):
    """With a question open, something noted and something refused."""
    page = phone(color_scheme=scheme)
    tap_chief(page)
    page.locator("#events li:not(.waiting)").first.wait_for()
    set_time(page, "08:00")
    page.locator("#do-late").click()
    page.get_by_role("button", name="5 min", exact=True).click()
    page.locator("#events li.refused").wait_for()
    page.locator("#do-cloud").click()
    results = Axe().run(page)
    assert results.violations_count == 0, results.generate_report()
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 360


def test_the_time_left_and_the_slack_are_those_of_the_plan(phone, folder):
    """A roll that is over its minutes says so; what is late is told in minutes."""
    page = phone()
    first = rolls(folder)[0]
    set_time(page, "08:10")
    planned = (first.roll_start - CALL) // timedelta(minutes=1)
    assert page.locator("#left-name").inner_text() in ("left", "behind")
    tap_chief(page)
    page.locator("#says", has_text="rolls since 08:10").wait_for()
    told = page.locator("#pace").inner_text()
    assert "revision 1" in told
    assert ("earlier" in told) == (planned > 10)
