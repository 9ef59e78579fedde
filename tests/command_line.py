"""Running `sunsched` as a shell would, in this process: for all tests of commands."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import NamedTuple

import pytest

from sunsched.cli import main


class Ran(NamedTuple):
    """What one run of the command line left behind."""

    code: int
    out: str
    err: str


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Callable[..., Ran]:
    """Give a function that runs `sunsched` with these words."""

    def call(*words: object) -> Ran:
        monkeypatch.setattr(sys, "argv", ["sunsched", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            main()
        captured = capsys.readouterr()
        return Ran(int(ended.value.code or 0), captured.out, captured.err)

    return call
