"""What goes on now, what comes next, how much time is left: true at every moment and everywhere."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from show.phone.days import CALL, MIN, at, hard_sheet, sheet_of
from show.phone.looking import go_to, marked, told
from sunsched.plan.plan import LeftOut
from sunsched.show.sheets.sheet import sheet_bytes
from sunsched.underway.at_risk import slacks

NIGHT = datetime(2027, 6, 15, 22, 0, tzinfo=UTC)  # midnight in Oslo's time


def test_present_is_told_and_marked(open_page):
    """The row of what goes on is marked, by the instant, whatever zone the device is in."""
    page = open_page(CALL)
    for clock, row, text in (
        ("06:00", "06:00 crew call", "crew call; work begins 06:40"),
        ("06:40", "07:00–07:30 1 insert", "building shot 1, insert, pans until 07:00"),
        ("07:00", "07:00–07:30 1 insert", "shot 1, insert, pans, rolling until 07:30"),
        ("07:29", "07:00–07:30 1 insert", "shot 1, insert, pans, rolling until 07:30"),
        ("07:30", "07:40–08:10 2 insert", "adjusting for shot 2, insert, pans until 07:40"),
        ("09:30", "09:00 meal", "meal until 10:00"),
        ("11:00", "12:00–12:30 4 insert", "wait before 4, shot 4, insert, pans until 12:00"),
        (
            "12:40",
            "14:00–14:30 5 insert",
            "move to mill <b> for shot 5 until 12:55, rolls 14:00",
        ),
        ("14:15", "14:00–14:30 5 insert", "shot 5, insert, mill <b>, rolling until 14:30"),
        ("18:59", "14:30 last roll ends", "all is shot; wrap is 19:00"),
    ):
        go_to(page, at(clock))
        assert told(page, "says") == text
        assert marked(page).startswith(row)
    sign = "() => getComputedStyle(document.querySelector('[aria-current] .from'), '::before')"
    assert page.evaluate(f"{sign}.content") == '"now "'


def test_next_and_the_figures_are_those_of_the_plan(open_page, sheet):
    """Minutes left of what goes on; last start and slack of the next shot to begin to roll."""
    page = open_page(CALL)
    lasts = {one.shot.id: one.last_start for one in sheet.plan.shots}
    for clock, following, left, shot in (
        ("06:30", "shot 1, insert, pans, rolls 07:00", "10 min", "1"),
        ("06:45", "shot 2, insert, pans, rolls 07:40", "15 min", "1"),
        ("07:00", "shot 2, insert, pans, rolls 07:40", "30 min", "2"),
        ("08:25", "meal 09:00", "25 min", "4"),
        ("09:30", "shot 4, insert, pans, rolls 12:00", "30 min", "4"),
        ("12:10", "shot 5, insert, mill <b>, rolls 14:00", "20 min", "5"),
        ("13:00", "wrap 19:00", "15 min", "5"),
    ):
        go_to(page, at(clock))
        assert told(page, "next") == following
        assert told(page, "left") == left
        assert told(page, "last-name") == f"last start of {shot}"
        local = lasts[shot] + timedelta(hours=2)  # Madrid in June (tz database)
        assert told(page, "last") == f"{local:%H:%M}"
        # The meal is to begin by 12:00, three hours later than planned, after ten minutes of wait;
        # 4 pushes 5, which has 4 h 30, after a wait of 45 minutes.
        minutes, whose = {"4": (315, "5"), "5": (270, "")}.get(shot, (190, "the meal"))
        text = f"{minutes // 60} h {minutes % 60} min"
        assert told(page, "slack") == (f"{text}, for {whose}" if whose else text)
        place = [one.shot.id for one in sheet.plan.shots].index(shot)
        assert slacks(sheet.plan)[place] == (minutes, whose or shot)
        assert told(page, "by") == ""
    names = page.locator("#present .name, #figures dt").all_inner_texts()
    order = [text.lower().split(" of ")[0] for text in names]
    assert order == ["now", "next", "left", "last start", "slack"]
    go_to(page, at("07:00") + MIN / 2)  # a minute that has begun is left
    assert told(page, "left") == "30 min"
    go_to(page, at("14:10"))  # the last shot rolls: nothing can be too late any more
    assert (told(page, "left"), told(page, "last"), told(page, "slack")) == ("20 min", "", "")


@pytest.mark.parametrize(
    ("apart", "text", "following"),
    [
        (-MIN / 60, "begins today 06:00", True),
        (-timedelta(hours=6), "begins today 06:00", True),
        (-timedelta(hours=6, minutes=1), "begins tomorrow 06:00", True),
        (-timedelta(days=1, hours=6, minutes=1), "begins Wednesday 9 June 2027 06:00", True),
        (-timedelta(days=30), "begins Wednesday 9 June 2027 06:00", True),
        (timedelta(hours=13), "this day is over: wrap was 19:00", False),
        (timedelta(hours=17, minutes=59), "this day is over: wrap was 19:00", False),
        (timedelta(hours=18), "this day is over: it was Wednesday 9 June 2027", False),
        (timedelta(days=300), "this day is over: it was Wednesday 9 June 2027", False),
    ],
)
def test_other_days_are_told(open_page, apart, text, following):
    """Before the call and after the wrap nothing is marked, and the page says which it is."""
    page = open_page(CALL + apart)
    assert (told(page, "says"), marked(page)) == (text, "")
    assert bool(told(page, "next")) is following
    assert bool(told(page, "left")) is following
    assert page.evaluate("() => scrollY") == 0


def test_time_to_the_call_is_counted(open_page):
    """In minutes, hours or days."""
    page = open_page(CALL - timedelta(minutes=99))
    for before, text in (
        (timedelta(minutes=99), "99 min"),
        (timedelta(hours=10), "10 h 0 min"),
        (timedelta(days=12, hours=1), "12 days"),
    ):
        go_to(page, CALL - before)
        assert (told(page, "left"), told(page, "left-name")) == (text, "to the call")


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "Europe/Madrid", "America/St_Johns", "UTC"])
def test_clock_is_that_of_the_place_and_says_so(open_page, zone):
    """Whatever zone the phone stands in; one that shows another time is told of it."""
    page = open_page(at("09:30"), device_zone=zone)
    assert told(page, "clock") == "09:30"
    assert "09:30 by the clock of Madrid, all by the plan" in told(page, "present")
    own = {"Pacific/Auckland": "19:30", "America/St_Johns": "05:00", "UTC": "07:30"}  # tz database
    assert told(page, "own") == (f"(your phone’s own: {own[zone]})" if zone in own else "")
    assert told(page, "says") == "meal until 10:00"
    assert "all times by the clock of Madrid (Europe/Madrid)" in page.locator("header").inner_text()


def test_browser_that_does_not_know_the_zone_tells_the_same(open_page, sheet, tmp_path):
    """Then the offset at the call holds."""
    html = sheet_bytes(sheet, "html").decode()
    path = tmp_path / "day.html"
    path.write_text(html.replace('"zone": "Europe/Madrid"', '"zone": "No/Such"'), encoding="utf-8")
    page = open_page(at("09:30"), of=path.as_uri())
    assert (told(page, "clock"), told(page, "says")) == ("09:30", "meal until 10:00")
    go_to(page, CALL - timedelta(hours=12))
    assert told(page, "says") == "begins tomorrow 06:00"


def test_night_past_midnight_is_one_day(open_page, hard):
    """At one in the morning the night goes on; times of the next date are marked +1."""
    page = open_page(NIGHT - timedelta(hours=8), of=hard)
    assert told(page, "says") == "begins today 17:00"
    go_to(page, NIGHT + timedelta(minutes=70))
    assert told(page, "clock") == "01:10"
    assert "until 01:26+1" in told(page, "says")
    assert "rolls 01:32+1" in told(page, "says")
    go_to(page, NIGHT + timedelta(hours=6, minutes=40))
    assert told(page, "says") == "all is shot; wrap is 08:00+1"
    go_to(page, NIGHT + timedelta(hours=8))
    assert told(page, "says") == "this day is over: wrap was 08:00+1"


def test_begin_by_is_told_and_bounds_the_slack(open_page, hard):
    """On the average day a shot is left out unless its changeover has begun by then."""
    sheet = hard_sheet(3, has_meal=False)
    second = sheet.plan.shots[1]
    page = open_page(second.changeover_start - MIN, of=hard)
    local = second.changeover_start + timedelta(hours=2, minutes=20)  # begun at most 20 min later
    assert told(page, "by") == f"begin by {local:%H:%M}"
    assert "all by likely times" in told(page, "present")
    assert told(page, "slack") == "20 min"
    go_to(page, second.changeover_start + MIN)
    assert told(page, "by") == ""


def test_a_day_without_shots_is_told(open_page, written, sheet):
    """Nothing is said to roll on it."""
    plan = sheet.plan
    cut = tuple(LeftOut(shot=one.shot, why="no time") for one in plan.shots)
    none = replace(plan, shots=(), meal=None, left_out=cut)
    page = open_page(at("09:30"), of=written(sheet_of(none, CALL)))
    assert told(page, "says") == "no shot is planned; wrap is 19:00"
    assert (told(page, "next"), told(page, "left")) == ("wrap 19:00", "9 h 30 min")
    assert (told(page, "last"), told(page, "slack")) == ("", "")


def test_present_moves_on(open_page):
    """A page that stays open marks the next shot within 30 seconds of its moment."""
    page = open_page(at("07:29"))
    page.clock.run_for(59_000)
    assert marked(page).startswith("07:00–07:30")
    page.clock.run_for(31_000)
    assert marked(page).startswith("07:40–08:10")


def test_page_opens_at_the_present(open_page):
    """Below the bar and not under it, and the whole row."""
    page = open_page(at("14:15"))
    page.wait_for_function("() => scrollY > 0")
    bar, row = (page.locator(one).bounding_box() for one in ("#bar", "[aria-current]"))
    assert bar["y"] == 0
    assert bar["height"] <= row["y"] < 740 - row["height"]


def test_reader_is_left_where_they_are(open_page, hard):
    """A page that is woken, or moves on, does not scroll; nor does one that is opened at a row."""
    page = open_page(at("07:10"))
    page.mouse.wheel(0, 400)
    page.wait_for_timeout(500)  # the wheel turns on for a while
    read = page.locator("li.shot").last
    there = read.bounding_box()["y"]
    assert there < 740
    go_to(page, at("14:15"))
    page.clock.run_for(60_000)
    assert abs(read.bounding_box()["y"] - there) < 60  # of the bar's own height
    page = open_page(NIGHT, of=f"{hard}#line-3")
    page.wait_for_timeout(200)
    top = page.locator("#line-3").bounding_box()["y"]
    assert 0 <= top < 740
    assert page.locator("[aria-current]").bounding_box()["y"] > 740


def test_a_reader_who_has_scrolled_is_not_taken_away(open_page, hard):
    """Neither who scrolled while the page was still loading, nor who loads it anew."""
    page = open_page(NIGHT, of=hard)
    page.wait_for_function("() => scrollY > 300")
    page.add_init_script("addEventListener('DOMContentLoaded', () => scrollTo(0, 250))")
    page.evaluate("() => scrollTo(0, 250)")
    page.reload()
    page.wait_for_timeout(300)
    assert 150 < page.evaluate("() => scrollY") < 350
    page.goto("about:blank")
    page.goto(hard)
    page.wait_for_timeout(300)
    assert 150 < page.evaluate("() => scrollY") < 350


def test_tap_on_the_present_goes_to_it(open_page):
    """The line that says what goes on leads to its row, clear of the line itself."""
    page = open_page(at("14:15"))
    page.wait_for_function("() => scrollY > 0")
    page.evaluate("() => scrollTo(0, 0)")
    row = page.locator("[aria-current=time]")
    page.locator("#says").click()
    box = page.locator("#bar").bounding_box()
    assert box["y"] + box["height"] <= row.bounding_box()["y"] < 740


def test_made_shots_stay_made_whatever_the_clock_says(open_page, later):
    """On a page of 08:30 what is over says so, and no clock makes it present again."""
    page = open_page(at("06:10"), of=later)
    figures = page.locator("li.shot .figures").all_inner_texts()
    assert [text.split(" · ")[0] for text in figures[:3]] == ["made", "made", "running"]
    assert figures[3].startswith("last start ")
    assert page.get_by_text("planned anew from here").count() == 1
    early = "this plan is of a later moment: Wednesday 9 June 2027 08:30"
    for clock, row, text in (
        ("06:10", "", early),
        ("07:10", "", early),
        ("08:29", "", early),
        ("08:30", "08:20–08:50 3 insert", "shot 3, insert, pans, rolling until 08:50"),
        ("08:55", "08:50 10 min, wait", "wait until the meal until 09:00"),
        ("09:30", "09:00 meal", "meal until 10:00"),
        ("14:15", "14:00–14:30 5 insert", "shot 5, insert, mill <b>, rolling until 14:30"),
    ):
        go_to(page, at(clock))
        assert (told(page, "says"), marked(page)[: len(row)]) == (text, row)
        assert bool(marked(page)) == bool(row)
        assert bool(told(page, "left")) == bool(row)


def test_age_is_told_while_the_day_runs(open_page, written, sheet):
    """A page that was made at the call asks for a newer one; before and after it does not."""
    page = open_page(CALL - timedelta(hours=2), of=written(sheet_of(sheet.plan, at("05:30"))))
    newer = "; ask whether there is a newer one"
    for clock, text in (
        ("05:59", ""),
        ("06:00", f"made 30 min ago{newer}"),
        ("06:29", f"made 59 min ago{newer}"),
        ("08:29", f"made 2 h ago{newer}"),
        ("08:30", f"made 3 h ago{newer}"),
        ("18:59", f"made 13 h ago{newer}"),
        ("19:00", ""),
        ("05:29", "this page is newer than your phone's clock: is the clock right?"),
    ):
        go_to(page, at(clock))
        assert told(page, "age") == text
    assert "revision 7, made 2027-06-09 05:30" in page.locator("header").inner_text()


def test_a_page_that_was_old_when_it_was_made_says_so_in_every_view(open_page, written, sheet):
    """What the log knew by then is told in a bar that stays in view, and in print."""
    behind = replace(sheet.stamp, behind=("3 events noted since",))
    page = open_page(at("14:15"), of=written(replace(sheet, stamp=behind)))
    page.wait_for_function("() => scrollY > 0")
    bar = page.locator("#behind")
    assert "3 events noted since" in bar.inner_text()
    assert bar.bounding_box()["y"] == 0
    page.evaluate("() => scrollTo(0, document.body.scrollHeight)")
    assert bar.bounding_box()["y"] == 0
    page.emulate_media(media="print")
    assert bar.is_visible()
    assert open_page(at("14:15")).locator("#behind").count() == 0
