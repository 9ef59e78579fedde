"""The command line: reads, calls, prints, and turns errors into text and exit codes."""

from __future__ import annotations

import gc
import sys

import typer

from sunsched.cli import arguing as arguing
from sunsched.cli import asking as asking
from sunsched.cli import planning as planning
from sunsched.cli import pricing as pricing
from sunsched.cli import shooting as shooting
from sunsched.cli import stressing as stressing
from sunsched.cli.app import app
from sunsched.errors import SunschedError

LOOSE_OBJECTS = 200_000  # between two looks for unused cycles; Python's own 700 cost a tenth


def main() -> None:
    """Run the command line: the one place where errors become text and an exit code."""
    gc.set_threshold(LOOSE_OBJECTS)
    # Nothing here multiplies matrices, and numba's check whether it could loads all of this first.
    sys.modules.setdefault("scipy.linalg.cython_blas", None)  # type: ignore[arg-type]
    for stream in (sys.stdout, sys.stderr):
        # A terminal that lacks a sign must not stop a plan.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        app()
    except SunschedError as error:
        typer.echo(str(error), err=True)
        sys.exit(1)
    finally:
        # All memory is given back at once; looking through it first would take a third of a second.
        gc.freeze()
