"""The server's answers put together: routes behind the guard, errors as sentences."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from sunsched.desk.door.guard import MAX_BODY_BYTES, Guard, TooLong
from sunsched.desk.routes import argue, arrange, ask, day, days, note, pages, sheets
from sunsched.desk.web.request import Refused
from sunsched.desk.web.run import Desk
from sunsched.errors import FolderError, SunschedError

PARTS = (pages, day, ask, arrange, argue, days, note, sheets)


def make_app(desk: Desk) -> Starlette:
    """Give the application that serves a desk; its processes start and end with it."""

    @asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        desk.start()
        try:
            yield
        finally:
            await desk.leave()
            desk.stop()

    app = Starlette(
        routes=[route for part in PARTS for route in part.ROUTES],
        middleware=[Middleware(Guard, door=desk.door)],
        exception_handlers={
            Refused: _refused,
            SunschedError: _told,
            TooLong: _too_long,
        },
        lifespan=lifespan,
    )
    app.state.desk = desk
    return app


def _refused(_: Request, error: Exception) -> Response:
    status = error.status if isinstance(error, Refused) else 400
    return JSONResponse({"error": str(error)}, status)


def _told(_: Request, error: Exception) -> Response:
    record: dict[str, object] = {"error": str(error)}
    if isinstance(error, FolderError):
        record["faults"] = [str(fault) for fault in error.faults]
    return JSONResponse(record, 409)


def _too_long(_: Request, __: Exception) -> Response:
    return JSONResponse({"error": f"longer than {MAX_BODY_BYTES:,} bytes"}, 413)
