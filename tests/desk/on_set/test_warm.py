"""What the first long answer needs is loaded beside all else, and never in anybody's way."""

import time
from multiprocessing import active_children

import pytest
from starlette.testclient import TestClient

from desk.conftest import HOST, KEYS
from sunsched.desk.answers.on_set import warm
from sunsched.desk.app import make_app
from sunsched.desk.door.access import Access
from sunsched.desk.web import run
from sunsched.desk.work.worker import Memory
from sunsched.errors import SunschedError
from sunsched.solver import solve

VIEW = "/api/ferry-light/view"


class Told:
    """Stands for a process, and keeps what it is asked."""

    def __init__(self, fails=False):
        self.asked = []
        self.fails = fails

    def start(self):
        """Start nothing."""

    def stop(self):
        """End nothing."""

    async def answer(self, kind, **asked):
        """Answer as `warm` does."""
        self.asked.append((kind, asked["step"]))
        if self.fails:
            raise SunschedError("ended")
        return {"is_last": asked["step"] == 2}


@pytest.fixture
def client(desk, folder, monkeypatch):
    """Give a client of a desk that does not wait before it loads."""
    assert folder.is_dir()
    monkeypatch.setattr(run, "WARM_AFTER_S", 0)
    client = TestClient(make_app(desk), base_url=f"http://{HOST}")
    client.cookies.set(desk.door.cookie, KEYS.of(Access.SEE))
    return client


@pytest.mark.parametrize(("fails", "steps"), [(False, [0, 1, 2]), (True, [0])])
def test_it_begins_with_the_first_page_and_is_done_once(desk, client, fails, steps):
    """Nothing before a page was served; then one step after the other, as long as they go well."""
    desk.slow = Told(fails)
    with client:
        assert client.get("/").status_code == 200
        assert desk.slow.asked == []
        for _ in range(3):
            client.get(VIEW)
        assert desk.slow.asked == [("on_set.warm", step) for step in steps]


def test_a_desk_that_ends_meanwhile_leaves_no_process(desk, client):
    """The loading is under way when the desk is told to stop."""
    with client:
        client.get(VIEW)
        time.sleep(0.2)
        assert desk._warming is not None
        assert not desk._warming.done()
    assert desk._warming.done()
    assert active_children() == []


def test_the_day_and_its_plan_are_known_afterwards(folder):
    """They are what the next answer starts from."""
    memory = Memory()
    found = [list(warm.answer(memory, folder=str(folder), step=step)) for step in range(3)]
    assert found == [[{"is_last": False}], [{"is_last": False}], [{"is_last": True}]]
    assert {key[0] for key in memory._kept if isinstance(key, tuple)} == {
        "day",
        "known",
        "saved",
        "plan",
    }


def test_nothing_is_compiled_before_it_is_asked_for(folder, monkeypatch):
    """Where no compiled functions are kept, a question would wait for the compiler."""
    monkeypatch.setattr(solve, "is_compiled", lambda: False)
    monkeypatch.setattr("sunsched.desk.answers.on_set.rest.plan_rest", None)
    assert list(warm.answer(Memory(), folder=str(folder), step=2)) == [{"is_last": True}]


def test_a_folder_at_fault_is_told_elsewhere(folder):
    """It is loaded all the same."""
    (folder / "shots.csv").write_text("", encoding="utf-8")
    for step in range(3):
        assert list(warm.answer(Memory(), folder=str(folder), step=step))
