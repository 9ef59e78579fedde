"""Orders tried on the page of the day: what it sends with them, decisions kept, plans saved."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from sunsched.desk.door.access import Access
from sunsched.desk.web.request import Asked, body_of, desk_of, folder_of, need

MOST_SHOTS = 300
Word = Annotated[str, Field(max_length=2000)]
Words = Annotated[list[Word], Field(max_length=MOST_SHOTS)]
Ms = Annotated[int, Field(ge=-(10**14), le=10**14)]


class Said(BaseModel):
    """A decision in words, as `whatif.price.request.Asked` has it."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    shots: Words = []
    at: Words = []
    before: Words = []
    after: Words = []
    meal: Word | None = None
    releases: Words = []
    wrap: Word | None = None
    call: Word | None = None
    cuts: Words = []
    first: Word | None = None
    keep_orders: Words = []


class Given(BaseModel):
    """An order that the page was given: its shots, the suns of its matches, its bound."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    ids: Words
    suns: Annotated[dict[Word, Ms], Field(max_length=MOST_SHOTS)]
    bound: int | None


class BaseAsked(Asked):
    """What is held against the order on the page: None for the saved plan."""

    base: Given | None = None


class DecisionAsked(BaseAsked):
    """A decision, priced against the order on the page."""

    said: Said


class WorthAsked(DecisionAsked):
    """An order that was let go."""

    order: Words
    loose: Word | None = None


class SaveAsked(Asked):
    """An order to be saved, None for the plan that is proposed; after which revision."""

    given: Given | None = None
    follows: Annotated[int, Field(ge=0)]


class KeepAsked(Asked):
    """A decision to be kept."""

    said: Said


class LiftAsked(Asked):
    """A decision to be lifted, as it is worded in the list."""

    text: Word


async def save(request: Request) -> Response:
    """Save an order as the next revision."""
    need(request, Access.ALL)
    asked, desk = await body_of(request, SaveAsked), desk_of(request)
    # What was proposed is in the memory of the process that found it.
    process = desk.slow if asked.given is None else desk.quick
    now = desk.clock().replace(second=0, microsecond=0).isoformat()
    folder = str(folder_of(request))
    found = await process.answer("arrange.save", folder=folder, made_at=now, **asked.model_dump())
    return JSONResponse(found)


async def keep(request: Request) -> Response:
    """Make it a decision of the day."""
    need(request, Access.ALL)
    asked, folder = await body_of(request, KeepAsked), str(folder_of(request))
    said = asked.said.model_dump()
    quick = desk_of(request).quick
    return JSONResponse(await quick.answer("arrange.keep", folder=folder, said=said, lifted=None))


async def lift(request: Request) -> Response:
    """Take a decision of the day back."""
    need(request, Access.ALL)
    asked, folder = await body_of(request, LiftAsked), str(folder_of(request))
    quick = desk_of(request).quick
    return JSONResponse(
        await quick.answer("arrange.keep", folder=folder, said=None, lifted=asked.text)
    )


ROUTES = [
    Route("/api/{day}/save", save, methods=["POST"]),
    Route("/api/{day}/keep", keep, methods=["POST"]),
    Route("/api/{day}/lift", lift, methods=["POST"]),
]
