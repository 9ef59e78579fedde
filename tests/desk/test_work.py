"""The process that works answers out: left, ended and replaced."""

import asyncio
import gc
import io
import os
import signal
import subprocess
import sys
import weakref
from concurrent.futures import ThreadPoolExecutor
from contextlib import aclosing
from time import monotonic
from types import SimpleNamespace

import pytest

from desk.conftest import copied
from sunsched.desk.answers.arrange.proposal import answer
from sunsched.desk.work.process import LEAVE_S, Process
from sunsched.desk.work.worker import ANSWERS, Left, Memory, Pipe, _work
from sunsched.errors import SunschedError

SOON_S = LEAVE_S + 0.5  # within which work that was left has ended


@pytest.fixture
def folder(tmp_path):
    """Give a day folder."""
    return copied("ferry-light", tmp_path)


def asked(work):
    """Let something be asked of a process, and end that."""

    async def run():
        process = Process()
        process.start()
        try:
            return await work(process)
        finally:
            process.stop()

    # In a thread of its own: a browser's loop may run in this one.
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, run()).result()


async def all_of(process, kind, **more):
    """Give every answer."""
    async with aclosing(process.answers(kind, **more)) as given:
        return [record async for record in given]


async def first_of(process, kind, **more):
    """Give the first answer and leave."""
    async with aclosing(process.answers(kind, **more)) as given:
        return await anext(given)


async def until_idle(process):
    """Give the seconds that pass until the process can be asked again."""
    began = monotonic()
    await process._idle.wait()
    return monotonic() - began


def base_of(folder):
    """Give the order of the list, to ask with."""
    lines = (folder / "shots.csv").read_text(encoding="utf-8").splitlines()[1:]
    return {"ids": [line.split(",")[0] for line in lines], "suns": {}, "bound": None}


def test_what_was_worked_out_is_kept_when_a_question_is_left(folder):
    """The solve of the day: a question that needs it finds it, in the same process."""

    async def work(process):
        about = {"folder": str(folder), "base": base_of(folder)}
        first = await all_of(process, "arrange.ready", **about)
        before, told = process.pid, await first_of(process, "arrange.hours", **about)
        seconds = await until_idle(process)
        again = await all_of(process, "arrange.ready", **about)
        return first, told, seconds, again, before == process.pid

    first, told, seconds, again, is_same = asked(work)
    assert "told" in first[0]
    assert not told["is_final"]
    assert seconds <= SOON_S
    assert again == [{"is_ready": True}]
    assert is_same


@pytest.mark.parametrize("kind", ["arrange.proposal", "arrange.best"])
def test_work_that_is_left_ends(folder, kind):
    """In the middle of a solve: the process hears it, and answers the next question itself."""
    base = base_of(folder)
    more = {} if kind == "arrange.proposal" else {"base": base, "said": {"cuts": [base["ids"][0]]}}

    async def work(process):
        before, told = process.pid, await first_of(process, kind, folder=str(folder), **more)
        seconds = await until_idle(process)
        return told, seconds, await process.answer("view", folder=str(folder)), before, process.pid

    told, seconds, view, before, after = asked(work)
    assert set(told) == {"told"}
    assert seconds <= SOON_S
    assert view["name"] == "ferry-light"
    assert before == after


def test_an_answer_never_reaches_another_question(folder):
    """Asked at once after one that was left with many answers to come."""

    async def work(process):
        about = {"folder": str(folder), "base": base_of(folder)}
        found = []
        for _ in range(3):
            await first_of(process, "arrange.hours", **about)
            found.append(await all_of(process, "view", folder=str(folder)))
        return found

    for records in asked(work):
        assert [record["name"] for record in records] == ["ferry-light"]


def test_a_process_that_dies_is_replaced(folder):
    """Who waits is told so; who asks next is answered."""

    async def killed(process):
        async with aclosing(process.answers("arrange.proposal", folder=str(folder))) as given:
            async for _ in given:
                os.kill(process.pid, signal.SIGKILL)

    async def work(process):
        before = process.pid
        with pytest.raises(SunschedError, match="has ended; ask again"):
            await killed(process)
        view = await process.answer("view", folder=str(folder))
        return view, before != process.pid

    view, is_other = asked(work)
    assert (view["name"], is_other) == ("ferry-light", True)


def test_a_process_that_does_not_hear_is_ended(folder):
    """It would keep the next question waiting."""

    async def work(process):
        before = process.pid
        async with aclosing(process.answers("arrange.proposal", folder=str(folder))) as given:
            await anext(given)
            os.kill(before, signal.SIGSTOP)
        seconds = await until_idle(process)
        view = await process.answer("view", folder=str(folder))
        return seconds, view, before != process.pid

    seconds, view, is_other = asked(work)
    assert LEAVE_S / 2 <= seconds <= LEAVE_S + 1
    assert (view["name"], is_other) == ("ferry-light", True)


def test_what_is_not_whole_is_not_kept(folder):
    """A search that was ended early would be taken for the best that can be found."""
    memory = Memory()
    memory.left = memory.asked
    with pytest.raises(Left):
        list(answer(memory, folder=str(folder)))
    memory.asked += 1
    found = list(answer(memory, folder=str(folder)))
    assert found[-1]["plan"]["points"] > 0


def test_what_a_question_that_was_left_has_made_is_given_back(monkeypatch):
    """Else each shot that is dragged on before its price is known would stay in memory."""
    made, memory, pipe = [], Memory(), Pipe(io.BytesIO(), io.BytesIO())

    class Table:
        """What takes room."""

    def left(memory):
        table = Table()
        made.append(weakref.ref(table))
        memory.left = memory.asked
        ended = Left()  # a ring: the exception, where it was raised, and all that stood there
        yield {}
        raise ended

    monkeypatch.setitem(sys.modules, f"{ANSWERS}.left", SimpleNamespace(answer=left))
    gc.disable()
    try:
        for number in (1, 2):
            _work(pipe, number, "left", {}, memory)
        assert [one() for one in made] == [None, None]
    finally:
        gc.enable()


@pytest.mark.parametrize(
    ("module", "unwanted"),
    [
        # The first page waits for both.
        ("serve", ["numpy", "numba", "matplotlib", "pandas"]),
        ("answers.view", ["matplotlib", "pandas", "pvlib", "uvicorn", "starlette"]),
        # It stands in memory as long as the desk runs.
        ("answers.on_set.rest", ["matplotlib", "pandas", "pvlib"]),
    ],
)
def test_nothing_is_loaded_that_is_not_needed(module, unwanted):
    """What draws is run as a command of its own."""
    code = f"import sunsched.desk.{module}, sys; print(*set(sys.modules) & set({unwanted}))"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.split() == []
