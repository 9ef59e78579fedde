"""An hour lost: the choices, what is saved of them, and what stands in the way."""

import json
import shutil
from datetime import timedelta
from functools import partial

import pytest
from starlette.testclient import TestClient

import sunsched
from desk.conftest import HOST, KEYS
from desk.on_set.conftest import CALL, MADE_AT, newest, noted
from sunsched.day.clock import instant_ms
from sunsched.desk.answers.on_set.rest import answer
from sunsched.desk.app import make_app
from sunsched.desk.door.access import Access
from sunsched.desk.work.worker import Left, Memory
from sunsched.saved.numbers import revision_numbers

REST = "/api/ferry-light/slow/on_set.rest"
TAKE = "/api/ferry-light/take"
AT = CALL + timedelta(minutes=35)
BODY = {"at": instant_ms(AT), "late_min": 60}
WIND = {
    "uid": "somebody-else",
    "event": "note",
    "subject": "wind",
    "at": instant_ms(AT),
    "seen": 0,
}


def rest(client, **more):
    """Give the answers one by one."""
    answer = client.post(REST, json={**BODY, **more})
    assert answer.status_code == 200, answer.text
    return [json.loads(line) for line in answer.text.splitlines()]


def take_of(found, name="best"):
    """Give what the page sends to take a choice."""
    return {
        "take": name,
        **{key: found[key] for key in ("at", "late_min", "assume", "follows", "known")},
    }


def saved(folder, number):
    """Give a saved plan as its file has it, without the moment at which it was made."""
    record = json.loads((folder / "plans" / f"{number:04}.json").read_text(encoding="utf-8"))
    record.pop("made_at")
    return record


def test_what_is_taken_is_what_the_commands_save(asker, desk, folder, tmp_path, run):
    """The lost minutes are noted, then the choice is the next revision; all as by commands."""
    other = tmp_path / "by-command"
    shutil.copytree(folder, other)
    found = rest(asker)
    assert [one["is_final"] for one in found] == [False, True]
    final = found[-1]
    assert [one["name"] for one in final["choices"]][:2] == ["best", "push"]
    assert noted(folder) == []
    # The process that found it has ended: it is found once more, and is the same.
    desk.slow.stop()
    answer = asker.post(TAKE, json=take_of(final))
    assert answer.json() == {"revision": 2, "events": 1}
    assert run("log", other, "late", "60", "--at", "08:35")[0] == 0
    code, _, err = run("replan", other, "--at", "08:35", "--take", "best")
    assert code == 0, err
    assert (folder / "log.csv").read_bytes() == (other / "log.csv").read_bytes()
    assert saved(folder, 2) == saved(other, 2)
    best = next(one for one in final["choices"] if one["name"] == "best")
    assert saved(folder, 2)["points"] == best["points"]
    # It cannot be taken twice, nor after something else.
    again = asker.post(TAKE, json=take_of(final))
    assert again.status_code == 409
    assert "revision 2 was saved meanwhile" in again.json()["error"]
    assert revision_numbers(folder) == (1, 2)


def test_a_choice_is_not_taken_from_what_is_not_true_any_more(asker, folder):
    """Something was noted, or another plan was saved, since it was shown: nothing is written."""
    final = rest(asker)[-1]
    day = sunsched.read_day(folder)
    told = {
        "uid": "somebody-else",
        "event": "note",
        "subject": "wind",
        "at": instant_ms(AT),
        "seen": 0,
    }
    assert asker.post("/api/ferry-light/note", json=told).status_code == 200
    answer = asker.post(TAKE, json=take_of(final))
    assert answer.status_code == 409
    assert "something was noted meanwhile" in answer.json()["error"]
    final = rest(asker)[-1]
    sunsched.save_plan(folder, sunsched.make_plan(day), made_at=MADE_AT)
    answer = asker.post(TAKE, json=take_of(final))
    assert "revision 2 was saved meanwhile" in answer.json()["error"]
    assert noted(folder) == ["note wind"]
    assert revision_numbers(folder) == (1, 2)


def test_a_silent_log_is_asked_about(asker, folder):
    """As the command does; what went by the plan is noted with the choice that stands on it."""
    plan = newest(folder).timetable
    at = instant_ms(plan.rolls[1].roll_start + timedelta(minutes=1))
    (asked,) = rest(asker, at=at, late_min=0)
    assert "nothing is noted; by the plan" in asked["silence"]
    final = rest(asker, at=at, late_min=0, assume="plan")[-1]
    assert noted(folder) == []
    answer = asker.post(TAKE, json=take_of(final, "push"))
    first, second = (one.shot_id for one in plan.rolls[:2])
    assert noted(folder)[:3] == [f"rolled {first}", f"done {first}", f"rolled {second}"]
    assert answer.json()["events"] == len(noted(folder))
    past = newest(folder).past
    assert past is not None
    assert past.events == len(noted(folder))


def test_a_rest_that_nobody_waits_for_is_left(folder):
    """The work ends by itself, so the process keeps what it knows, but nothing half done."""
    memory = Memory()
    ask = partial(answer, memory, folder=str(folder), at=BODY["at"], late_min=60, assume=None)
    given = ask()
    assert not next(given)["is_final"]
    memory.left = memory.asked
    with pytest.raises(Left):
        next(given)
    memory.asked += 1
    again = list(ask())
    assert [one["is_final"] for one in again] == [False, True]


@pytest.mark.usefixtures("folder")
def test_a_moment_before_the_last_event_is_refused_in_words(asker):
    """The log says why."""
    told = {
        "uid": "somebody-else",
        "event": "note",
        "subject": "x",
        "at": instant_ms(AT),
        "seen": 0,
    }
    asker.post("/api/ferry-light/note", json=told)
    (answer,) = rest(asker, at=instant_ms(AT - timedelta(minutes=5)))
    assert "before the last event" in answer["error"]


def test_pieces_and_moves_are_those_of_the_plan(asker, folder):
    """What is drawn is what would be saved."""
    final = rest(asker)[-1]
    best = final["choices"][0]
    asker.post(TAKE, json=take_of(final))
    rolls = [one for one in best["strip"]["pieces"] if one["doing"] == "roll"]
    revision = newest(folder)
    assert [(one["shot"], one["from"]) for one in rolls] == [
        (one.shot_id, instant_ms(one.roll_start)) for one in revision.timetable.rolls
    ]
    before = {
        one["shot"]: one["from"] for one in final["before"]["pieces"] if one["doing"] == "roll"
    }
    then = {one["shot"]: one["from"] for one in rolls}
    assert best["moves"]
    for move in best["moves"]:
        assert (move["from"], move["to"]) == (before[move["id"]], then[move["id"]])


def test_who_notes_may_look_and_not_take(desk, folder):
    """And who may only see does neither."""
    with TestClient(make_app(desk), base_url=f"http://{HOST}") as client:
        client.headers["origin"] = f"http://{HOST}"
        client.cookies.set(desk.door.cookie, KEYS.of(Access.SEE))
        assert client.post(REST, json=BODY).status_code == 403
        client.cookies.set(desk.door.cookie, KEYS.of(Access.NOTE))
        final = rest(client)[-1]
        assert client.post(TAKE, json=take_of(final)).status_code == 403
    assert revision_numbers(folder) == (1,)


def test_an_hour_lost_is_looked_at_and_taken_by_taps(phone, folder):
    """Pictures with their losses in a sentence; the first tap on one says what the second does."""
    page = phone()
    page.get_by_role("button", name="an hour").click()
    take = page.locator("#take-best")
    take.wait_for(timeout=150_000)
    page.locator("#take-best:enabled").wait_for(timeout=150_000)
    assert (
        page.locator("#choices .headline")
        .first.inner_text()
        .startswith(("with best", "best keeps"))
    )
    assert page.locator("#choices svg").first.bounding_box()["width"] > 300
    take.click()
    assert take.inner_text() == "tap again: best becomes revision 2"
    assert revision_numbers(folder) == (1,)
    take.click()
    page.locator("#rest-state", has_text="saved as revision 2").wait_for(timeout=150_000)
    # The hour is in the plan, so nobody is early.
    page.locator("#pace", has_text="revision 2").wait_for()
    assert page.locator("#pace").inner_text() == "by the plan, revision 2"
    assert "min later" not in page.locator("#order").inner_text()
    assert "min earlier" not in page.locator("#order").inner_text()
    assert noted(folder) == ["late"]
    assert revision_numbers(folder) == (1, 2)


def test_a_choice_that_is_old_is_taken_away(phone):
    """Somebody notes something: what was found stands on less than is known."""
    page, other = phone(), phone(Access.NOTE)
    page.get_by_role("button", name="15 min", exact=True).click()
    page.locator("#take-best:enabled").wait_for(timeout=150_000)
    other.locator("#chief").click()
    page.locator("#rest-state", has_text="meanwhile").wait_for()
    assert page.locator("#take-best").count() == 0
    assert page.get_by_role("button", name="look once more").is_visible()


@pytest.mark.parametrize(
    "changes", [{"late_min": -1}, {"late_min": 721}, {"assume": "x"}, {"at": 1}, {"take": "all"}]
)
def test_what_no_page_sends_is_not_taken(asker, folder, changes):
    """Before anything is worked out."""
    body = {"take": "best", **BODY, "follows": 1, "known": 0, **changes}
    assert asker.post(TAKE, json=body).status_code == 422
    assert revision_numbers(folder) == (1,)
