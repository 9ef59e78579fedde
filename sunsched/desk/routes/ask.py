"""Questions that are worked out in a process: at once, or better and better over seconds."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator
from contextlib import aclosing
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from sunsched.desk.door.access import Access
from sunsched.desk.routes import argue, arrange, note, shots
from sunsched.desk.web.request import Asked, Refused, body_of, desk_of, folder_of, need
from sunsched.errors import SunschedError

# The questions of pages by the module that answers them.
QUICK: dict[str, type[Asked]] = {
    "argument.order": argue.OrderAsked,
    "arrange.worth": arrange.WorthAsked,
    "arrange.bracket": arrange.DecisionAsked,
    "shots.table": shots.TableAsked,
    "shots.check": shots.CheckAsked,
    "shots.keep": shots.KeepAsked,
}
SLOW: dict[str, type[Asked]] = {
    "argument.compare": argue.CompareAsked,
    "argument.price": argue.PriceAsked,
    "arrange.proposal": Asked,
    "arrange.ready": arrange.BaseAsked,
    "arrange.best": arrange.DecisionAsked,
    "arrange.prices": arrange.BaseAsked,
    "arrange.hours": arrange.BaseAsked,
    "on_set.rest": note.RestAsked,
}
# What it takes to ask where that is less than the key for everything.
NEEDS = {"on_set.rest": Access.NOTE}


async def quick(request: Request) -> Response:
    """Answer at once."""
    kind, asked = request.path_params["kind"], await _asked(request, QUICK)
    found = await desk_of(request).quick.answer(kind, folder=str(folder_of(request)), **asked)
    return JSONResponse(found)


async def slow(request: Request) -> Response:
    """Answer line by line, each a better answer as JSON; a page that leaves ends the work."""
    kind, asked = request.path_params["kind"], await _asked(request, SLOW)
    folder, desk = str(folder_of(request)), desk_of(request)

    async def lines() -> AsyncIterator[bytes]:
        try:
            async with aclosing(desk.slow.answers(kind, folder=folder, **asked)) as given:
                async for record in given:
                    yield json.dumps(record, ensure_ascii=False).encode() + b"\n"
        except SunschedError as error:
            yield json.dumps({"error": str(error)}, ensure_ascii=False).encode() + b"\n"

    return StreamingResponse(lines(), media_type="application/x-ndjson")


async def _asked(request: Request, kinds: dict[str, type[Asked]]) -> dict[str, Any]:
    need(request, NEEDS.get(request.path_params["kind"], Access.ALL))
    kind = kinds.get(request.path_params["kind"])
    if kind is None:
        raise Refused(404, "there is no such question")
    return (await body_of(request, kind)).model_dump()


ROUTES = [
    Route("/api/{day}/quick/{kind}", quick, methods=["POST"]),
    Route("/api/{day}/slow/{kind}", slow, methods=["POST"]),
]
