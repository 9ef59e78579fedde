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
from sunsched.cli.shared.wrong_use import UsageError, wrong_use_text
from sunsched.errors import SunschedError

LOOSE_OBJECTS = 200_000  # new ones before garbage is looked for; 700, Python's own, costs a tenth
# Nothing here multiplies matrices. To find out whether it can, numba would load all libraries for
# that, and numpy would start threads; a process that runs threads cannot be copied safely.
UNUSED = "scipy.linalg.cython_blas"
ALONE = ("OPENBLAS_NUM_THREADS", "1")


def main() -> None:
    """Run the command line: the one place where errors become text and an exit code."""
    gc.set_threshold(LOOSE_OBJECTS)
    os.environ.setdefault(*ALONE)
    # The system takes back all memory at the end. To search it for garbage first takes a third of a
    # second.
    atexit.register(gc.freeze)
    for stream in (sys.stdout, sys.stderr):
        # A sign that the terminal cannot show must not stop a plan.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    modules: dict[str, Any] = sys.modules
    is_loaded = modules.setdefault(UNUSED, None) is not None
    try:
        sys.exit(app(standalone_mode=False) or 0)
    except UsageError as error:
        typer.echo(wrong_use_text(error, typer.main.get_command(app), sys.argv[1:]), err=True)
        sys.exit(2)
    except typer.Abort:
        typer.echo("ended; nothing more was written", err=True)
        sys.exit(1)
    except SunschedError as error:
        typer.echo(str(error), err=True)
        sys.exit(1)
    finally:
        if not is_loaded:
            del modules[UNUSED]
