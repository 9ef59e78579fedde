"""Day folders made up on the spot, shared by all tests."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from command_line import ctrl_c_heard
from command_line import run as run  # a fixture of all tests of commands

from sunsched.errors import FolderError
from sunsched.folder.read import read_folder

if TYPE_CHECKING:
    from playwright.sync_api import Browser

MINIMAL_DAY = """\
title = "Salt pans"
date = 2027-06-09

[place]
name = "Salt pans"
latitude_deg = 36.2
longitude_deg = -5.9
timezone = "Europe/Madrid"

[hours]
crew_call = "06:00"
wrap = "19:00"
"""
MINIMAL_SHOTS = """\
id,description,size,look,shoot_min
1,The pans at dawn,wide,N,30
"""

MOST_TESTS = 4000  # of some 8000: of a few, most need no solver

CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None
)


@pytest.fixture(scope="session", autouse=True)
def compiled_by_turns(request: pytest.FixtureRequest, worker_id: str) -> None:
    """Let each of two workers compile one half of what plans need, for a run of most tests.

    On a new machine both would compile all of it, at the same time.
    """
    halves = {"gw0": "sunsched.solver.needed", "gw1": "sunsched.average.needed"}
    if worker_id in halves and len(request.session.items) > MOST_TESTS:
        from sunsched.solver.machine.early import compile_early  # loads numba

        compile_early([halves[worker_id]])


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Give one browser for all tests, as two of them cannot be had in one process."""
    if CHROMIUM is None:
        pytest.skip("no chromium is installed")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        running = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield running
        running.close()


@pytest.fixture
def minimal_day() -> str:
    """Give a `day.toml` of 12 lines with nothing but what must be written."""
    return MINIMAL_DAY


@pytest.fixture
def make_folder(tmp_path: Path) -> Callable[..., Path]:
    """Give a function that writes a day folder; a file given as None is left out."""

    def make(
        day: str | bytes | None = MINIMAL_DAY,
        shots: str | bytes | None = MINIMAL_SHOTS,
        **others: str | bytes,
    ) -> Path:
        folder = tmp_path / "day"
        folder.mkdir()
        files: dict[str, str | bytes | None] = {"day.toml": day, "shots.csv": shots}
        # `horizon_mill_csv` and `sky_csv` are `horizon-mill.csv` and `sky.csv`.
        for name, content in others.items():
            stem, _, ending = name.rpartition("_")
            files[f"{stem.replace('_', '-')}.{ending}"] = content
        for name, text in files.items():
            if text is not None:
                raw = text.encode() if isinstance(text, str) else text
                (folder / name).write_bytes(raw)
        return folder

    return make


@pytest.fixture
def faults() -> Callable[[Path], list[str]]:
    """Give a function that reads a folder and gives the text of each fault; [] for none."""

    def read(folder: Path) -> list[str]:
        try:
            read_folder(folder)
        except FolderError as error:
            return [str(fault) for fault in error.faults]
        return []

    return read


@pytest.fixture
def warnings_of() -> Callable[[Path], list[str]]:
    """Give a function that reads a folder and gives the text of each warning."""
    return lambda folder: [str(warning) for warning in read_folder(folder).warnings]


@pytest.fixture(autouse=True)
def _ctrl_c_of_the_tests() -> Iterator[None]:
    """Give Ctrl-C back to whoever runs the tests: a command hears it until its process ends."""
    with ctrl_c_heard():
        yield
