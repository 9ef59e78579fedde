"""Sheets of the saved plan, made by the command that makes them in a terminal."""

from __future__ import annotations

import asyncio
import sys
import tempfile
from pathlib import Path
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from sunsched.desk.web.request import Refused, folder_of
from sunsched.saved.revisions import revision_numbers

KINDS = {
    "pdf": "application/pdf",
    "png": "image/png",
    "svg": "image/svg+xml",
    "html": "text/html",
    "ics": "text/calendar",
    "csv": "text/csv",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
PAPERS = ("a4", "letter", "phone")
DRAWN = ("pdf", "png", "svg")
MOST_S = 60
COMMAND = "from sunsched.cli import main; main()"


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
        content, told = await _made(words, file)
    if content is None:
        raise Refused(409, told)
    return _file(content, f"{folder.name}-{numbers[-1]}.{kind}", kind)


async def gaffer(request: Request) -> Response:
    """Give every setup of the newest saved plan from above, as the pages of a .pdf."""
    folder = folder_of(request)
    numbers = revision_numbers(folder)
    if not numbers:
        raise Refused(409, "no plan is saved yet")
    with tempfile.TemporaryDirectory(prefix="sunsched-") as holder:
        file = Path(holder) / "gaffer.pdf"
        content, told = await _made(["gaffer", str(folder), "--picture", str(file)], file)
    if content is None:
        raise Refused(409, told)
    return _file(content, f"{folder.name}-{numbers[-1]}-gaffer.pdf", "pdf")


def _file(content: bytes, name: str, kind: str) -> Response:
    # Never shown as a page of the desk's own: it may have a script of its own, and its own policy.
    named = f"attachment; filename*=UTF-8''{quote(name, safe='')}"
    return Response(content, media_type=KINDS[kind], headers={"content-disposition": named})


async def _made(words: list[str], file: Path) -> tuple[bytes | None, str]:
    """Run the command; give the file that it wrote, or what it said."""
    process = await asyncio.create_subprocess_exec(
        *(sys.executable, "-c", COMMAND, *words),
        stdin=asyncio.subprocess.DEVNULL,
        stdout=asyncio.subprocess.PIPE,
        stderr=asyncio.subprocess.STDOUT,
    )
    try:
        told, _ = await asyncio.wait_for(process.communicate(), MOST_S)
    except TimeoutError:
        process.kill()
        return None, f"the sheet was not made within {MOST_S} s"
    text = told.decode("utf-8", "replace").strip()
    return (file.read_bytes(), text) if process.returncode == 0 else (None, text)


ROUTES = [
    Route("/api/{day}/sheet.{kind}", sheet),
    Route("/api/{day}/gaffer.pdf", gaffer),
]
