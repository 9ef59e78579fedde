"""A desk that serves copies of the demo days: asked directly, or over a socket by a browser."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import uvicorn
from starlette.testclient import TestClient

from sunsched.desk.app import make_app
from sunsched.desk.door.access import Access, Keys
from sunsched.desk.door.guard import Door
from sunsched.desk.serve import _listen
from sunsched.desk.watched.folders import Folders
from sunsched.desk.web.run import Desk

if TYPE_CHECKING:
    pass

DATA = Path(__file__).parent.parent.parent / "data"
KEYS = Keys(see="see-key", note="note-key", all="all-key")
HOST, PORT = "127.0.0.1:8999", 8999


class FalseClock:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.now = datetime(2027, 6, 15, 6, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        """Give the moment that it is set to."""
        return self.now


def copied(name: str, folder: Path) -> Path:
    """Copy a demo day without plans that somebody has saved there."""
    return Path(shutil.copytree(DATA / name, folder / name, ignore=shutil.ignore_patterns("plans")))


@pytest.fixture
def clock() -> FalseClock:
    """Give the clock of the desk."""
    return FalseClock()


@pytest.fixture
def desk(tmp_path: Path, clock: FalseClock) -> Desk:
    """Give a desk over a folder with one day, not running yet."""
    copied("ferry-light", tmp_path)
    door = Door(hosts=[HOST], keys=KEYS, port=PORT)
    return Desk(folders=Folders(root=tmp_path), door=door, clock=clock)


@pytest.fixture
def asker(desk: Desk) -> Iterator[TestClient]:
    """Give a client that has the key for everything; its requests carry the desk's own origin."""
    with TestClient(make_app(desk), base_url=f"http://{HOST}") as client:
        client.headers["origin"] = f"http://{HOST}"
        client.cookies.set(desk.door.cookie, KEYS.of(Access.ALL))
        yield client


@pytest.fixture
def served(desk: Desk) -> Iterator[str]:
    """Serve the desk on a free port; gives its address, without a key."""
    with serving(desk) as address:
        yield address


@contextmanager
def serving(desk: Desk) -> Iterator[str]:
    """Serve a desk on a free port; gives its address, without a key."""
    listener = _listen("127.0.0.1", 0)
    port = listener.getsockname()[1]
    desk.door = Door(hosts=[f"127.0.0.1:{port}"], keys=KEYS, port=port)
    config = uvicorn.Config(make_app(desk), log_level="error", timeout_graceful_shutdown=1)
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    try:
        yield f"http://127.0.0.1:{port}"
    finally:
        server.should_exit = True
        thread.join(10)
        listener.close()
