"""The command line: the one place that prints.

In: the words of a command; reads the day and calls what answers.
Out: text or JSON on stdout, messages on stderr, an exit code.
"""

from __future__ import annotations

import atexit
import gc
import os
import sys
from typing import Any

import typer

from sunsched.cli import commands as commands
from sunsched.cli.shared.app import app
from sunsched.errors import SunschedError

LOOSE_OBJECTS = 200_000  # between two looks for unused cycles; Python's own 700 cost a tenth
# Nothing here multiplies matrices. Numba looks whether it could by loading all that this needs, and
# numpy starts threads for it, beside which a process cannot be copied.
UNUSED = "scipy.linalg.cython_blas"
ALONE = ("OPENBLAS_NUM_THREADS", "1")


def main() -> None:
    """Run the command line: the one place where errors become text and an exit code."""
    gc.set_threshold(LOOSE_OBJECTS)
    os.environ.setdefault(*ALONE)
    # The end gives back all memory; to look through it first takes a third of a second.
    atexit.register(gc.freeze)
    for stream in (sys.stdout, sys.stderr):
        # A terminal that lacks a sign must not stop a plan.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    modules: dict[str, Any] = sys.modules
    is_loaded = modules.setdefault(UNUSED, None) is not None
    try:
        app()
    except SunschedError as error:
        typer.echo(str(error), err=True)
        sys.exit(1)
    finally:
        if not is_loaded:
            del modules[UNUSED]
