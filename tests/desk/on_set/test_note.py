"""Taps of phones in the log of the day: each once, in the words and times of the command."""

import itertools
from datetime import UTC, datetime, timedelta

import pytest
from starlette.testclient import TestClient

import sunsched
from desk.conftest import HOST, KEYS
from sunsched.day.clock import instant_ms
from sunsched.desk.app import make_app
from sunsched.desk.door.access import Access
from sunsched.folder.store.files import LOG_FILE

NOTE = "/api/ferry-light/note"
START = datetime(2027, 2, 27, 8, 0, tzinfo=UTC)  # an hour after the call: Oslo is an hour ahead
numbers = itertools.count(1)


def at(minutes):
    """Give a moment of the day as a page sends it."""
    return instant_ms(START + timedelta(minutes=minutes))


def tap(event, minutes, **more):
    """Give a tap."""
    return {"uid": f"tap-{next(numbers):08}", "event": event, "at": at(minutes), "seen": 0, **more}


@pytest.fixture
def folder(desk):
    """Give the day folder."""
    return desk.folders.find("ferry-light")


def noted(folder):
    """List what the log holds, as words."""
    log = sunsched.read_log(folder, sunsched.read_day(folder))
    return [f"{one.kind} {one.subject}".strip() for one in log.events]


def test_a_tap_is_what_the_command_notes(asker, folder, tmp_path, run):
    """Byte for byte, for every button of the page."""
    cast = sunsched.read_day(folder).cast[0].name
    other = tmp_path / "by-command"
    other.mkdir()
    for path in folder.iterdir():
        (other / path.name).write_bytes(path.read_bytes())
    zone = sunsched.read_day(folder).place.zone
    later = (START + timedelta(minutes=90)).astimezone(zone)
    for minutes, words, more in (
        (0, ("rolled", "1"), {"subject": "1"}),
        (5, ("more", "1", "10"), {"subject": "1", "value": "10"}),
        (30, ("done", "1"), {"subject": "1"}),
        (31, ("cut", "2"), {"subject": "2"}),
        (32, ("late", "15"), {"value": "15"}),
        (33, ("cloud", "0.5", "--until", "90"), {"value": "0.5", "until": at(90)}),
        (34, ("gone", cast), {"subject": cast}),
        (35, ("here", cast), {"subject": cast}),
        (36, ("closed", "mole"), {"subject": "mole"}),
        (37, ("open", "mole"), {"subject": "mole"}),
        (38, ("note", "wind, from the sea"), {"subject": "wind, from the sea"}),
        (39, ("meal",), {}),
        (40, ("undo",), {"value": "12"}),
    ):
        local = (START + timedelta(minutes=minutes)).astimezone(zone)
        spoken = [f"{later:%H:%M}" if one == "90" else one for one in words]
        code, _, err = run("log", other, *spoken, "--at", f"{local:%H:%M}")
        assert code == 0, err
        answer = asker.post(NOTE, json=tap(words[0], minutes, **more))
        assert answer.status_code == 200, answer.text
    assert (folder / LOG_FILE).read_bytes() == (other / LOG_FILE).read_bytes()


def test_as_planned_is_what_the_command_notes(asker, folder, tmp_path, run):
    """All events by the saved plan up to a moment; sent again after a restart they are known."""
    plan = sunsched.make_plan(sunsched.read_day(folder))
    sunsched.save_plan(folder, plan, made_at=datetime(2027, 6, 1, tzinfo=UTC))
    other = tmp_path / "by-command"
    (other / "plans").mkdir(parents=True)
    for path in (*folder.glob("*.*"), folder / "plans" / "0001.json"):
        (other / path.relative_to(folder)).write_bytes(path.read_bytes())
    until = plan.shots[1].roll_end + timedelta(minutes=1)
    sent = {**tap("as-planned", 0), "at": instant_ms(until)}
    assert asker.post(NOTE, json=sent).status_code == 200
    local = until.astimezone(plan.day.place.zone)
    assert run("log", other, "as-planned", "--at", f"{local:%H:%M}")[0] == 0
    assert (folder / LOG_FILE).read_bytes() == (other / LOG_FILE).read_bytes()
    before = noted(folder)
    asker.app.state.desk.standing(folder).noted._answers.clear()
    again = asker.post(NOTE, json={**sent, "again": True})
    assert (again.status_code, again.json()["events"]) == (200, list(range(1, len(before) + 1)))
    assert noted(folder) == before
    refused = asker.post(NOTE, json={**tap("as-planned", 0), "at": instant_ms(until), "seen": 9})
    assert refused.status_code == 409
    assert "nothing is planned" in refused.json()["refused"]


def test_a_tap_that_comes_twice_is_noted_once(asker, folder):
    """By its uid while the desk runs; after a restart by what stands in the log."""
    first = tap("late", 0, value="10")
    assert asker.post(NOTE, json=first).json()["events"] == [1]
    assert asker.post(NOTE, json={**first, "again": True}).json()["events"] == [1]
    asker.app.state.desk.standing(folder).noted._answers.clear()
    assert asker.post(NOTE, json={**first, "again": True}).json()["events"] == [1]
    assert noted(folder) == ["late"]


def test_two_taps_that_look_alike_are_two(asker, folder):
    """Somebody else's ten minutes, and the same ones told twice on purpose."""
    assert asker.post(NOTE, json=tap("late", 0, value="10")).json()["events"] == [1]
    assert asker.post(NOTE, json=tap("late", 0, value="10")).json()["events"] == [2]
    # One that was sent in vain knew of both, so neither is it.
    asker.app.state.desk.standing(folder).noted._answers.clear()
    third = tap("late", 0, value="10", seen=2, again=True)
    assert asker.post(NOTE, json=third).json()["events"] == [3]
    fourth = tap("late", 0, value="20", seen=0, again=True)
    assert asker.post(NOTE, json=fourth).json()["events"] == [4]


def test_what_was_undone_meanwhile_is_not_noted_anew(asker, folder):
    """The answer was lost, the desk restarted, and somebody else took the event back."""
    sent = tap("rolled", 0, subject="1")
    asker.post(NOTE, json=sent)
    assert asker.post(NOTE, json=tap("undo", 1, value="1", seen=1)).status_code == 200
    asker.app.state.desk.standing(folder).noted._answers.clear()
    assert asker.post(NOTE, json={**sent, "again": True}).json()["events"] == [1]
    undone = tap("undo", 1, value="1", seen=1, again=True)
    assert asker.post(NOTE, json=undone).json()["events"] == [2]
    assert noted(folder) == ["rolled 1", "undo"]
    # The shot rolls again at the same minute: that is another event.
    anew = tap("rolled", 0, subject="1", seen=2, again=True)
    assert asker.post(NOTE, json=anew).json()["events"] == [3]
    assert noted(folder) == ["rolled 1", "undo", "rolled 1"]


def test_what_the_log_refuses_is_told_in_its_words(asker, folder):
    """And one that comes too late can be put in its place."""
    asker.post(NOTE, json=tap("rolled", 10, subject="1"))
    refused = asker.post(NOTE, json=tap("rolled", 20, subject="2"))
    assert refused.status_code == 409
    assert "1 rolls since" in refused.json()["refused"]
    early = tap("late", 0, value="5")
    answer = asker.post(NOTE, json=early)
    assert answer.json()["is_early"]
    assert "before the last event" in answer.json()["refused"]
    # It was refused, so its uid may be used for the changed one.
    assert asker.post(NOTE, json={**early, "forgotten": True}).status_code == 200
    assert noted(folder) == ["rolled 1", "undo", "late", "rolled 1"]


@pytest.mark.parametrize(
    "changes",
    [
        {"uid": "x"},
        {"uid": "<script>alert(1)"},
        {"event": "add"},
        {"event": "rolled|done"},
        {"at": 0},
        {"at": at(0) + 1},
        {"at": "09:40"},
        {"value": "1e9"},
        {"seen": -1},
        {"subject": "x" * 401},
        {"more": 1},
    ],
)
def test_what_no_page_sends_is_not_taken(asker, folder, changes):
    """Before anything of it is read."""
    assert asker.post(NOTE, json={**tap("rolled", 0, subject="1"), **changes}).status_code == 422
    assert not (folder / LOG_FILE).exists()


@pytest.mark.parametrize("subject", ["9999", "../1", "<b>1</b>", "1\n2,rolled,2", ""])
def test_a_name_that_is_none_is_refused(asker, folder, subject):
    """No text of a tap becomes anything else than a cell."""
    assert asker.post(NOTE, json=tap("rolled", 0, subject=subject)).status_code == 409
    assert not (folder / LOG_FILE).exists()


def test_only_who_may_note_notes(desk, folder):
    """A key to see does not, nor a request from elsewhere; one to note takes no choice."""
    with TestClient(make_app(desk), base_url=f"http://{HOST}") as client:
        origin = {"origin": f"http://{HOST}"}
        client.cookies.set(desk.door.cookie, KEYS.of(Access.SEE))
        sent = tap("rolled", 0, subject="1")
        assert client.post(NOTE, json=sent, headers=origin).status_code == 403
        client.cookies.set(desk.door.cookie, KEYS.of(Access.NOTE))
        assert client.post(NOTE, json=sent).status_code == 403
        evil = {"origin": "http://evil.example"}
        assert client.post(NOTE, json=sent, headers=evil).status_code == 403
        take = {"take": "best", "at": at(0), "late_min": 60, "follows": 1, "known": 0}
        assert client.post("/api/ferry-light/take", json=take, headers=origin).status_code == 403
        assert not (folder / LOG_FILE).exists()
        assert client.post(NOTE, json=sent, headers=origin).status_code == 200
    assert noted(folder) == ["rolled 1"]


def test_a_folder_at_fault_keeps_the_tap_waiting(asker, folder):
    """It is no refusal: the phone sends it again, and it is noted once the fault is mended."""
    shots = folder / "shots.csv"
    whole = shots.read_bytes()
    shots.write_bytes(whole.replace(b"close-up", b"clsoe-up"))
    sent = tap("rolled", 0, subject="1")
    answer = asker.post(NOTE, json=sent)
    assert answer.status_code == 409
    assert "refused" not in answer.json()
    shots.write_bytes(whole)
    assert asker.post(NOTE, json={**sent, "again": True}).json()["events"] == [1]
