"""What happens, noted by a tap; and a choice for the rest of the day, taken by a second one."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from sunsched.day.clock import instant_ms
from sunsched.desk.door.access import Access
from sunsched.desk.web.request import Asked, body_of, desk_of, folder_of, need
from sunsched.desk.web.times import Minute
from sunsched.folder.log.event import Kind

MINUTE_MS = 60_000
# An added shot has too many cells for a tap.
WORDS = (*(kind.value for kind in Kind if kind is not Kind.ADD), "as-planned")
Uid = Annotated[str, Field(pattern=r"^[A-Za-z0-9-]{8,64}$")]
Number = Annotated[int, Field(ge=0, le=100_000)]


class Tap(Asked):
    """One event as a phone sends it, with a name of its own that no other tap has.

    Attributes
    ----------
    seen : events of the log that the phone knew of
    again : it was sent before, and no answer came
    forgotten : it is put in its place among later events
    """

    uid: Uid
    event: Annotated[str, Field(pattern=f"^({'|'.join(WORDS)})$")]
    subject: Annotated[str, Field(max_length=400)] = ""
    value: Annotated[str, Field(pattern=r"^[0-9]{0,6}(\.[0-9]{1,6})?$")] = ""
    at: Minute
    since: Minute | None = None
    until: Minute | None = None
    seen: Number
    again: bool = False
    forgotten: bool = False


class RestAsked(Asked):
    """The rest of the day from a moment on, with minutes lost."""

    at: Minute
    late_min: Annotated[int, Field(ge=0, le=720)]
    assume: Literal["plan", "log"] | None = None


class Take(RestAsked):
    """A choice for the rest of the day, as it was shown.

    `follows` is the revision that it was planned from, `known` counts the events it knew.
    """

    take: Literal["best", "push", "drop"]
    follows: Number
    known: Number


async def note(request: Request) -> Response:
    """Note a tap, unless this run of the desk has noted it before."""
    need(request, Access.NOTE)
    tap = await body_of(request, Tap)
    folder, desk = folder_of(request), desk_of(request)
    standing = desk.standing(folder)
    async with standing.noted.turn:
        found = standing.noted.answer_to(tap.uid)
        if found is None:
            asked = tap.model_dump(exclude={"uid"})
            found = await desk.quick.answer("on_set.note", folder=str(folder), tap=asked)
            if "events" in found:
                standing.noted.keep(tap.uid, found)
    standing.watch.look()
    return JSONResponse(found, 200 if "events" in found else 409)


async def take(request: Request) -> Response:
    """Note the minutes lost, and save the choice as the next revision."""
    need(request, Access.ALL)
    asked = await body_of(request, Take)
    folder, desk = folder_of(request), desk_of(request)
    made_at = instant_ms(desk.clock()) // MINUTE_MS * MINUTE_MS
    found = await desk.slow.answer(
        "on_set.take", folder=str(folder), made_at=made_at, **asked.model_dump()
    )
    desk.standing(folder).watch.look()
    return JSONResponse(found)


ROUTES = [
    Route("/api/{day}/note", note, methods=["POST"]),
    Route("/api/{day}/take", take, methods=["POST"]),
]
