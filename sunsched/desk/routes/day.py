"""A day as data, and the news of its folder."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from sunsched.day.clock import instant_ms
from sunsched.desk.watched.feed import changes
from sunsched.desk.web.request import access_of, desk_of, folder_of


async def view(request: Request) -> Response:
    """Give the day as its files are now, with the desk's clock and what the key opens."""
    desk, folder = desk_of(request), folder_of(request)
    record = await desk.standing(folder).view()
    desk.warm(folder)
    now, access = instant_ms(desk.clock()), int(access_of(request))
    return JSONResponse({**record, "now": now, "access": access})


async def gaffer(request: Request) -> Response:
    """Give the gaffer's page of every shot of the saved plan."""
    folder = folder_of(request)
    return JSONResponse(await desk_of(request).quick.answer("gaffer", folder=str(folder)))


async def news(request: Request) -> Response:
    """Tell of every change of the folder for as long as the page is open."""
    watch = desk_of(request).standing(folder_of(request)).watch
    return StreamingResponse(changes(watch), media_type="text/event-stream")


ROUTES = [
    Route("/api/{day}/view", view),
    Route("/api/{day}/gaffer", gaffer),
    Route("/api/{day}/news", news),
]
