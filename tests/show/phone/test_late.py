"""A crew that is late or early: what is to come is shifted, what falls is marked, nothing stays."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from show.phone.days import CALL, MIN, at, clocks_back_sheet, hard_sheet
from show.phone.looking import go_to, marked, row_of, say_late, told
from sunsched.day.clock import clock


def test_what_is_to_come_is_shifted(open_page):
    """Said 20 minutes late at 07:45: shot 1, over where the crew is, stays; waits take it up."""
    page = open_page(at("07:45"))
    assert told(page, "says") == "shot 2, insert, pans, rolling until 08:10"
    say_late(page, 20)
    # The crew is where the plan was at 07:25: shot 1 still rolls.
    assert told(page, "says") == "shot 1, insert, pans, rolling until 07:50"
    assert marked(page).startswith("07:20–07:50 1 insert")
    assert told(page, "late-says") == "20 min late"
    assert told(page, "amount") == "we are 20 min late at 07:45"
    assert row_of(page, "2").startswith("08:00–08:30 2")
    assert row_of(page, "3").startswith("08:40–09:10 3")
    # The plan waits ten minutes for the meal: half of the lateness is taken up there.
    meal = page.locator("li.other").filter(has_text="meal, 60 min")
    assert meal.inner_text().startswith("09:10")
    # It waits before shot 4 for two hours, which take up the rest.
    assert row_of(page, "4").startswith("12:00–12:30 4")
    assert row_of(page, "5").startswith("14:00–14:30 5")
    assert page.locator("#falls li").all_inner_texts() == [
        "nothing falls past its last start",
        "the last work ends 14:30",
    ]
    assert page.locator(".fall:visible").count() == 0


def test_lateness_that_was_taken_up_is_not_counted_again(open_page):
    """Once the wait is over the crew is back on the plan, by the same word."""
    page = open_page(at("07:45"))
    say_late(page, 20)
    go_to(page, at("09:20"))  # half of it went into the wait for the meal
    assert told(page, "says") == "meal until 10:10"
    go_to(page, at("12:05"))
    assert told(page, "says") == "shot 4, insert, pans, rolling until 12:30"
    assert told(page, "amount") == "we are 20 min late at 07:45"


def test_early_crew_waits_where_the_plan_waits(open_page):
    """Ten minutes early, shot 2 is brought forward, and shot 4 is not."""
    page = open_page(at("07:15"))
    say_late(page, -10)
    assert told(page, "late-says") == "10 min early"
    assert told(page, "says") == "shot 1, insert, pans, rolling until 07:20"
    assert row_of(page, "2").startswith("07:30–08:00 2")
    assert row_of(page, "4").startswith("12:00–12:30 4")


def test_early_crew_does_not_roll_before_the_light_is_held(open_page, written, sheet):
    """A pinned shot rolls at its minute, and nothing rolls before the first roll."""
    plan = sheet.plan
    pin = plan.shots[1].roll_start
    shots = [replace(one, shot=replace(one.shot, pin=pin)) if one.shot.id == "2" else one
             for one in plan.shots]  # fmt: skip
    page = open_page(
        at("07:15"), of=written(replace(sheet, plan=replace(plan, shots=tuple(shots))))
    )
    say_late(page, -10)
    assert row_of(page, "2").startswith("07:40–08:10 2")
    assert row_of(page, "3").startswith("08:20–08:50 3")
    go_to(page, at("07:35"))  # built at 07:30, and nothing goes on until the pin
    assert told(page, "says") == "ready for shot 2, insert, pans until 07:40"
    assert marked(page).startswith("07:40–08:10 2")


def test_early_crew_does_not_eat_before_the_meal_may_start(open_page, written, sheet):
    """The meal may start at 09:00 here, as it is planned."""
    plan = sheet.plan
    meal = replace(plan.day.meal, earliest=at("09:00"))
    day = replace(plan.day, meal=meal)
    page = open_page(
        at("08:30"),
        of=written(replace(sheet, plan=replace(plan, fit=replace(plan.fit, day=day)))),
    )
    say_late(page, -15)
    rows = page.locator("li.other").filter(has_text="meal, 60 min")
    assert rows.inner_text().startswith("09:00")


def test_shifted_times_are_those_of_the_place_when_clocks_go_back(open_page, written):
    """At 03:00 it is 02:00 again in Madrid (tz database): the second is marked, as in Python."""
    sheet = clocks_back_sheet()
    plan = sheet.plan
    page = open_page(plan.shots[0].roll_start + MIN, of=written(sheet))
    before = page.locator("li.shot .from").all_inner_texts()
    assert before == [clock(plan.day, one.roll_start) for one in plan.shots]
    say_late(page, 10)
    after = page.locator("li.shot .from").all_inner_texts()
    assert after == [clock(plan.day, one.roll_start + 10 * MIN) for one in plan.shots]
    marks = {text[5:] for text in after}
    assert marks == {"+1", "+1*"}


def test_what_falls_past_its_last_start_is_marked(open_page, written, sheet):
    """In its row and in the list, with how much."""
    *others, last = sheet.plan.shots
    soon = replace(last, last_start=at("14:10"))
    plan = replace(sheet.plan, shots=(*others, soon))
    page = open_page(at("13:00"), of=written(replace(sheet, plan=plan)))
    assert (told(page, "slack"), told(page, "slack-name")) == ("10 min", "slack")
    say_late(page, 55)  # it stands built for 45 minutes, which are taken up first
    assert row_of(page, "5").startswith("14:10–14:40 5")
    assert page.locator(".fall:visible").count() == 0
    say_late(page, 15)  # the crew is where the plan waited for 4, which can roll at once
    assert row_of(page, "4").startswith("13:00–13:30 4")
    assert page.locator(".fall:visible").all_inner_texts() == ["5 min past its last start"]
    assert "5 min past its last start" in row_of(page, "5")
    assert page.locator("#falls li").all_inner_texts() == [
        "5: 5 min past its last start",
        "the last work ends 14:45",
    ]
    go_to(page, at("13:45"))
    assert (told(page, "slack"), told(page, "slack-name")) == ("5 min", "too late")


def test_work_past_the_wrap_is_told(open_page):
    """With how much it is past it."""
    page = open_page(at("18:55"))
    say_late(page, 320)  # where the plan was at 13:35, in the wait before shot 5
    assert told(page, "says") == "shot 5, insert, mill <b>, rolling until 19:25"
    listed = page.locator("#falls li").all_inner_texts()
    assert "the last work ends 19:25, 25 min after wrap" in listed


def test_meal_that_comes_too_late_is_marked(open_page):
    """It must start by 12:00 on this day."""
    page = open_page(at("08:30"))
    say_late(page, 250)
    listed = page.locator("#falls li").all_inner_texts()
    assert "meal: 60 min past its latest start" in listed


def test_begin_by_that_is_missed_is_marked(open_page, hard):
    """The changeovers of this day may begin 20 minutes late, and 25 are too many."""
    when = hard_sheet(3, has_meal=False).plan.shots[0].roll_start
    page = open_page(when, of=hard)
    say_late(page, 20)
    assert not any("too late" in one for one in page.locator("#falls li").all_inner_texts())
    say_late(page, 5)
    listed = page.locator("#falls li").all_inner_texts()
    said = "begun 5 min too late: by the plan it is left out"
    assert any(text == f"101B-2bis: {said}" for text in listed)
    assert said in row_of(page, "101B-2bis")


def test_back_to_plan_takes_it_all_back(open_page):
    """The page is then what it was."""
    page = open_page(at("07:45"))
    before = page.locator("main").inner_text(), told(page, "says")
    page.locator("#ask-late").click()
    back = page.get_by_role("button", name="back to plan")
    assert back.is_disabled()
    say_late(page, 15)
    assert page.locator("main").inner_text() != before[0]
    back.click()
    assert (page.locator("main").inner_text(), told(page, "says")) == before
    assert told(page, "late-says") == "late or early?"
    assert page.locator("#falls li").count() == 0


def test_late_and_early_meet_at_the_plan(open_page):
    """Five minutes later and five earlier is as planned."""
    page = open_page(at("07:45"))
    say_late(page, 5)
    say_late(page, -5)
    assert told(page, "amount") == "as planned"
    assert page.locator(".moved").count() == 0


def test_shift_says_that_it_is_only_that(open_page):
    """Nothing is written, it is forgotten, and planning anew finds the better order."""
    page = open_page(at("07:45"))
    page.locator("#ask-late").click()
    text = told(page, "late")
    for said in ("only shifts", "Nothing is written", "forgotten", "planning the rest anew"):
        assert said in text


def test_shift_does_not_outlive_the_page(open_page):
    """As it says: loaded anew, it is the plan again, and nothing was kept."""
    page = open_page(at("07:45"))
    say_late(page, 20)
    page.reload()
    assert told(page, "late-says") == "late or early?"
    assert told(page, "says") == "shot 2, insert, pans, rolling until 08:10"
    kept = "() => [localStorage.length, sessionStorage.length, document.cookie.length]"
    assert page.evaluate(kept) == [0, 0, 0]


@pytest.mark.parametrize("late_min", [-30, -5, 5, 40, 180])
def test_shifted_steps_follow_one_another(open_page, hard, late_min):
    """However late: what was over stays, rolls keep their length, times never go back."""
    sheet = hard_sheet()
    page = open_page(CALL, of=hard)
    go_to(page, sheet.plan.shots[12].roll_start + MIN)
    before = page.locator("li.shot .roll").all_inner_texts()
    say_late(page, late_min)
    after = page.locator("li.shot .roll").all_inner_texts()
    minutes = [[_minutes(one) for one in text.split("–")] for text in after]
    planned = [[_minutes(one) for one in text.split("–")] for text in before]
    for (start, end), (first, last) in zip(minutes, planned, strict=True):
        assert end - start == last - first
    starts = [start for start, _ in minutes]
    assert starts == sorted(starts)
    assert after[0] == before[0]
    assert after[39] != before[39] or late_min < 0
    shift = [start - first for (start, _), (first, _) in zip(minutes, planned, strict=True)]
    assert set(shift[:10]) == {0} or late_min > 0
    assert max(shift) == max(0, late_min)
    assert min(shift) >= min(0, late_min)


def _minutes(text: str) -> int:
    time, _, later = text.strip().rstrip("*").partition("+")
    hour, minute = map(int, time.split(":"))
    return (24 * int(later or 0) + hour) * 60 + minute


def test_no_word_of_a_shift_on_paper(open_page):
    """What is printed is the plan."""
    page = open_page(at("07:45"))
    plan = page.locator("#list").inner_text()
    say_late(page, 20)
    page.evaluate("() => dispatchEvent(new Event('beforeprint'))")
    assert page.locator(".moved").count() == 0
    times = page.locator("li.shot .roll").all_inner_texts()
    assert all(one in plan for one in times)
    page.evaluate("() => dispatchEvent(new Event('afterprint'))")
    assert page.locator(".moved").count() > 0
    assert told(page, "late-says") == "20 min late"


def test_before_the_call_the_call_stays(open_page):
    """Who says the evening before that work begins 15 minutes late does not move the call."""
    page = open_page(CALL - timedelta(hours=8))
    say_late(page, 15)
    assert page.locator("#line-0").inner_text().startswith("06:00")
    assert row_of(page, "1").startswith("07:15–07:45 1")
    assert told(page, "says") == "begins tomorrow 06:00"
