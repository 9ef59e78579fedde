"""A moment in a saved file: aware, and in UTC once it is read."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated

from pydantic import AfterValidator, AwareDatetime


def _utc(when: datetime) -> datetime:
    try:
        return when.astimezone(UTC)
    except OverflowError:
        raise ValueError("a year that no calendar holds in every zone") from None


When = Annotated[AwareDatetime, AfterValidator(_utc)]
