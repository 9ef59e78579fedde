"""Running `sunsched` as a shell would, in this process: for all tests of commands."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import NamedTuple

import pytest

from sunsched.cli import commands as commands  # each test finds all of them in the app
from sunsched.cli import main


class Ran(NamedTuple):
    """What one run of the command line left behind."""

    code: int
    out: str
    err: str


@contextmanager
def ctrl_c_heard() -> Iterator[None]:
    """Let what is started in here hear Ctrl-C, and give it back to whoever had it before.

    A shell starts what it puts in the background to ignore it, and so would all that this starts: a
    test would end no command, and see only whether each is done in time by itself.
    """
    before = signal.getsignal(signal.SIGINT)
    if before is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        yield
    finally:
        if signal.getsignal(signal.SIGINT) is not before:
            signal.signal(signal.SIGINT, before)


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
