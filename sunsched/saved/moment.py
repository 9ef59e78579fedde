"""A moment in a saved file: aware, and in UTC once it is read."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated

from pydantic import AfterValidator, AwareDatetime

MIN_YEAR, MAX_YEAR = 1800, 2200


def _utc(when: datetime) -> datetime:
    # The first and the last year of the calendar have nothing before or after them in other zones.
    if not MIN_YEAR < when.year < MAX_YEAR:
        raise ValueError("a year of which no day is")
    return when.astimezone(UTC)


When = Annotated[AwareDatetime, AfterValidator(_utc)]
