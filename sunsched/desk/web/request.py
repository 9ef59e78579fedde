"""What a request asks: its day folder, what its key opens, and its body as checked data."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError
from starlette.requests import Request

from sunsched.desk.door.access import Access
from sunsched.desk.web.run import Desk

Body = TypeVar("Body", bound="Asked")


class Asked(BaseModel):
    """The body of a request; what it does not know is refused."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Refused(Exception):
    """What cannot be answered, with its status and a sentence for the page."""

    def __init__(self, status: int, text: str) -> None:
        super().__init__(text)
        self.status = status


def desk_of(request: Request) -> Desk:
    """Give the run of the desk that a request came to."""
    desk: Desk = request.app.state.desk
    return desk


def access_of(request: Request) -> Access:
    """Say what the key of a request opens."""
    return Access(request.scope["access"])


def need(request: Request, access: Access) -> None:
    """Refuse a request whose key opens less than this."""
    if access_of(request) < access:
        what = "note what happens" if access is Access.NOTE else "change the day"
        raise Refused(403, f"this link is not one to {what}")


def folder_of(request: Request) -> Path:
    """Give the day folder that a request names."""
    name = request.path_params["day"]
    found = desk_of(request).folders.find(name)
    if found is None:
        raise Refused(404, f"there is no day folder `{name}` here")
    return found


async def body_of(request: Request, kind: type[Body]) -> Body:
    """Read the body of a request as data of this kind."""
    try:
        return kind.model_validate_json(await request.body())
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise Refused(422, f"not what this page sends: {where} {first['msg']}".strip()) from None
