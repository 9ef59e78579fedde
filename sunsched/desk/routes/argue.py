"""What the page of the argument asks, and its sheets, made by the commands compare and price."""

from __future__ import annotations

import csv
import tempfile
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from sunsched.desk.door.access import Access
from sunsched.desk.watched.names import file_name
from sunsched.desk.web.download import as_download
from sunsched.desk.web.request import Asked, Refused, body_of, folder_of, need
from sunsched.desk.work.command import made_by_command
from sunsched.saved.numbers import revision_numbers

HANDED = ("pdf", "html", "csv", "xlsx")
ROLLS = ("at", "before", "after")
MOST_S = 180  # a price may have to find the best day first
MOST_SHOTS, MOST_DEMANDS = 200, 40
MAX_NAME, MAX_TEXT, MAX_FILE = 200, 400_000, 6_000_000
ShotId = Annotated[str, Field(max_length=80)]
Ms = Annotated[int, Field(ge=-62_000_000_000_000, le=250_000_000_000_000)]


class OrderAsked(Asked):
    """An order as text, as a file in base64, or neither: that of the saved plan."""

    name: str = Field(default="", max_length=MAX_NAME)
    text: str | None = Field(default=None, max_length=MAX_TEXT)
    content: str | None = Field(default=None, max_length=MAX_FILE)


class CompareAsked(Asked):
    """An order; moments are milliseconds since 1970."""

    ids: list[ShotId] = Field(max_length=MOST_SHOTS)
    times: list[Ms | None] = Field(max_length=MOST_SHOTS)
    meal_after: int | None
    meal_start: Ms | None
    name: str = Field(max_length=MAX_NAME)


class DemandAsked(Asked):
    """One thing that somebody wants, in words; `subject` is a shot, shots or a name."""

    kind: Literal[
        "at", "before", "after", "meal", "release", "wrap", "call", "cut", "first", "keep-order"
    ]
    subject: str = Field(default="", max_length=400)
    time: str = Field(default="", max_length=40)


class PriceAsked(Asked):
    """A decision."""

    demands: list[DemandAsked] = Field(max_length=MOST_DEMANDS)


async def compared(request: Request) -> Response:
    """Give the sheet of a comparison with the newest saved plan, or with the best one."""
    need(request, Access.ALL)
    asked = await body_of(request, CompareAsked)
    folder = folder_of(request)
    numbers = [str(number) for number in revision_numbers(folder)[-1:]]
    with tempfile.TemporaryDirectory(prefix="sunsched-") as holder:
        file = Path(holder) / Path(file_name(asked.name or "theirs")).with_suffix(".csv").name
        _write_order(file, asked)
        return await _sheet(request, ["compare", str(folder), *numbers, str(file)], Path(holder))


async def priced(request: Request) -> Response:
    """Give the sheet of a price."""
    need(request, Access.ALL)
    asked = await body_of(request, PriceAsked)
    if len({one.kind for one in asked.demands if one.kind in ROLLS}) > 1:
        raise Refused(409, "a sheet has times of one kind: at, before or after")
    with tempfile.TemporaryDirectory(prefix="sunsched-") as holder:
        words = ["price", str(folder_of(request)), *price_words(asked.demands)]
        return await _sheet(request, words, Path(holder))


def price_words(demands: Sequence[DemandAsked]) -> list[str]:
    """Give the options with which the command prices the same."""
    found = []
    for one in demands:
        if one.kind in ROLLS:
            found += [f"--shot={one.subject}", f"--{one.kind}={one.time}"]
        elif one.kind == "release":
            found.append(f"--release={one.subject}={one.time}")
        else:
            found.append(f"--{one.kind}={one.subject or one.time}")
    return found


async def _sheet(request: Request, words: list[str], holder: Path) -> Response:
    kind = request.path_params["kind"]
    if kind not in HANDED:
        raise Refused(404, "there is no such sheet")
    file = holder / f"sheet.{kind}"
    content, told = await made_by_command([*words, "--sheet", str(file)], file, MOST_S)
    if content is None:
        raise Refused(409, told)
    return as_download(content, f"{folder_of(request).name}-{words[0]}.{kind}")


def _write_order(file: Path, asked: CompareAsked) -> None:
    """Write an order as the command reads it."""
    rows = [
        (shot, "" if when is None else _written(when))
        for shot, when in zip(asked.ids, asked.times, strict=False)
    ]
    if asked.meal_after is not None:
        when = "" if asked.meal_start is None else _written(asked.meal_start)
        rows.insert(asked.meal_after, ("meal", when))
    with file.open("w", encoding="utf-8", newline="") as opened:
        csv.writer(opened).writerows([("id", "time"), *rows])


def _written(ms: int) -> str:
    return f"{datetime.fromtimestamp(ms / 1000, UTC):%Y-%m-%dT%H:%MZ}"


ROUTES = [
    Route("/api/{day}/argue/compare.{kind}", compared, methods=["POST"]),
    Route("/api/{day}/argue/price.{kind}", priced, methods=["POST"]),
]
