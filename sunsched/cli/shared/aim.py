"""The day that a command speaks of: the average one, or one of planned minutes."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from sunsched.day.model import Day


class Aim(StrEnum):
    """The day that an order is looked for."""

    PLANNED = "planned"
    AVERAGE = "average"


def aim_at(asked: Day, aim: Aim) -> Aim:
    """Give the day that can be spoken of: planned minutes where chance changes nothing."""
    from sunsched.average.solve import is_certain

    if aim is Aim.AVERAGE and is_certain(asked):
        text = "by `[overrun.<size>]` all work takes its planned minutes, and these are priced"
        typer.echo(text, err=True)
        return Aim.PLANNED
    return aim
