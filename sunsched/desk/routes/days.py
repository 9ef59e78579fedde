"""The days of the folder in which the desk was started, and a new one."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Route

from sunsched.desk.door.access import Access
from sunsched.desk.web.page import page
from sunsched.desk.web.request import Asked, Refused, access_of, body_of, desk_of, need
from sunsched.desk.web.run import Desk

MOST_NAMES = 12  # days that are read at once
MOST_ANSWERS = 500
Words = Annotated[str, Field(max_length=400)]
Words3 = Annotated[list[Annotated[str, Field(max_length=6000)]], Field(min_length=3, max_length=3)]


class DaysAsked(Asked):
    """The names of some days."""

    names: list[Words] = Field(max_length=MOST_NAMES)


class ListAsked(Asked):
    """A shot list: a text, or a file in base64, or neither."""

    text: str | None = Field(default=None, max_length=4_000_000)
    content: str | None = Field(default=None, max_length=6_000_000)
    list_name: Words = ""


class NewDayAsked(ListAsked):
    """What a form asks for."""

    title: Words
    place: Words
    date: Words
    call: Words = ""
    wrap: Words = ""
    answers: list[Words3] = Field(default=[], max_length=MOST_ANSWERS)


async def told(request: Request) -> Response:
    """Give a few lines of each of some days."""
    need(request, Access.SEE)
    asked, desk = await body_of(request, DaysAsked), desk_of(request)
    known = set(desk.folders.names())
    names = [name for name in asked.names if name in known]
    root = str(desk.folders.root)
    return JSONResponse(await desk.quick.answer("days.listed", root=root, names=names))


async def new_page(request: Request) -> Response:
    """Give the form of a new day."""
    need(request, Access.ALL)
    desk = _among_days(request)
    return HTMLResponse(page("new", access=int(access_of(request)), root=desk.folders.root.name))


async def columns(request: Request) -> Response:
    """Give what each column of a list is read as; nothing is written."""
    need(request, Access.ALL)
    asked, desk = await body_of(request, ListAsked), _among_days(request)
    return JSONResponse(await desk.quick.answer("days.columns", **asked.model_dump()))


async def made(request: Request) -> Response:
    """Make a new day, or say what is still open."""
    need(request, Access.ALL)
    asked, desk = await body_of(request, NewDayAsked), _among_days(request)
    root = str(desk.folders.root)
    return JSONResponse(await desk.quick.answer("days.made", root=root, **asked.model_dump()))


def _among_days(request: Request) -> Desk:
    desk = desk_of(request)
    if desk.folders.only is not None:
        raise Refused(404, "this desk shows one day; started in another folder it makes new ones")
    return desk


ROUTES = [
    Route("/new", new_page),
    Route("/api/days", told, methods=["POST"]),
    Route("/api/new/columns", columns, methods=["POST"]),
    Route("/api/new", made, methods=["POST"]),
]
