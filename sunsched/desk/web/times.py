"""Moments as pages send them: milliseconds since 1970."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

# A whole minute of the years 2001 to 2100.
Minute = Annotated[int, Field(ge=978_307_200_000, le=4_133_980_800_000, multiple_of=60_000)]
