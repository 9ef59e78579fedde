"""One command from its words to its exit code: where errors become text."""

from __future__ import annotations

import atexit
import gc
import os
import sys
from typing import Any

import typer

from sunsched.cli import commands as commands
from sunsched.cli.shared.app import app as app  # with all commands, as they are imported here
from sunsched.cli.shared.wrong_use import UsageError, wrong_use_text
from sunsched.cli.terminal.interrupt import ENDED, hear_ctrl_c
from sunsched.cli.terminal.streams import OutputLost, plain_streams
from sunsched.errors import SunschedError

LOOSE_OBJECTS = 200_000  # new ones before garbage is looked for; 700, Python's own, costs a tenth
# Nothing here multiplies matrices. To find out whether it can, numba would load all libraries for
# that, and numpy would start threads; a process that runs threads cannot be copied safely.
UNUSED = "scipy.linalg.cython_blas"
ALONE = ("OPENBLAS_NUM_THREADS", "1")


def run() -> None:
    """Run the command that the process was started with, and end with its exit code."""
    hear_ctrl_c()
    gc.set_threshold(LOOSE_OBJECTS)
    os.environ.setdefault(*ALONE)
    # The system takes back all memory at the end. To search it for garbage first takes a third of a
    # second.
    atexit.register(gc.freeze)
    modules: dict[str, Any] = sys.modules
    is_loaded = modules.setdefault(UNUSED, None) is not None
    try:
        with plain_streams():
            sys.exit(_code())
    finally:
        if not is_loaded:
            del modules[UNUSED]


def _code() -> int:
    """Run the command; what went wrong is told on stderr."""
    try:
        return int(app(standalone_mode=False) or 0)
    except UsageError as error:
        typer.echo(wrong_use_text(error, typer.main.get_command(app), sys.argv[1:]), err=True)
        return 2
    except typer.Abort:
        typer.echo(ENDED, err=True)
    except SunschedError as error:
        typer.echo(str(error), err=True)
    except OutputLost as lost:
        if lost.text:
            typer.echo(lost.text, err=True)
    return 1
