"""Sheets of the saved plan, made by the command that makes them in a terminal."""

from __future__ import annotations

import tempfile
from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from sunsched.desk.web.download import KINDS, as_download
from sunsched.desk.web.request import Refused, folder_of
from sunsched.desk.work.command import made_by_command
from sunsched.saved.numbers import revision_numbers

PAPERS = ("a4", "letter", "phone")
DRAWN = ("pdf", "png", "svg")


async def sheet(request: Request) -> Response:
    """Give a sheet of the newest saved plan as a file."""
    folder, kind = folder_of(request), request.path_params["kind"]
    paper = request.query_params.get("paper", "a4")
    if kind not in KINDS or paper not in PAPERS:
        raise Refused(404, "there is no such sheet")
    numbers = revision_numbers(folder)
    if not numbers:
        raise Refused(409, "no plan is saved yet")
    with tempfile.TemporaryDirectory(prefix="sunsched-") as holder:
        file = Path(holder) / f"sheet.{kind}"
        words = ["sheet", str(folder), str(file)]
        words += ["--paper", paper] if kind in DRAWN else []
        content, told = await made_by_command(words, file)
    if content is None:
        raise Refused(409, told)
    return as_download(content, f"{folder.name}-{numbers[-1]}.{kind}")


async def gaffer(request: Request) -> Response:
    """Give every setup of the newest saved plan from above, as the pages of a .pdf."""
    folder = folder_of(request)
    numbers = revision_numbers(folder)
    if not numbers:
        raise Refused(409, "no plan is saved yet")
    with tempfile.TemporaryDirectory(prefix="sunsched-") as holder:
        file = Path(holder) / "gaffer.pdf"
        words = ["gaffer", str(folder), "--picture", str(file)]
        content, told = await made_by_command(words, file)
    if content is None:
        raise Refused(409, told)
    return as_download(content, f"{folder.name}-{numbers[-1]}-gaffer.pdf")


ROUTES = [
    Route("/api/{day}/sheet.{kind}", sheet),
    Route("/api/{day}/gaffer.pdf", gaffer),
]
