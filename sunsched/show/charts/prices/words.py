"""What pictures of prices say: of planned minutes, and of the average day."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from sunsched.whatif.price.cells import PriceTable
from sunsched.whatif.price.wrap import WrapPoint
from sunsched.whatif.price_average.wrap import AverageWrapPoint

Wraps: TypeAlias = Sequence[WrapPoint] | Sequence[AverageWrapPoint]

ON_AVERAGE = " on the average day"


def table_words(found: PriceTable, what: str) -> str:
    """Name a picture of half-hours after what it shows."""
    return f"{what}{ON_AVERAGE if found.is_average else ''}"


def table_note(found: PriceTable) -> str:
    """Say what its figures are."""
    start = "at that very minute"
    if found.is_average:
        start = "in the half-hour from then on, or not at all"
    whole = "percent of what all shots weigh, every other shot placed anew"
    early = "" if found.is_complete else "; ended early: with more time it knows more"
    return f"{whole}, for a roll that starts {start}{early}"


def table_key_words(found: PriceTable) -> tuple[str, str, str, str]:
    """Say what a dark and a hatched cell are, when a shot rolls, and how sure figures are."""
    if found.is_average:
        return (
            "no less than leaving the shot out",
            "it cannot roll then",
            "when it is likely to roll",
            "as found; ? not known",
        )
    return (
        "more than cutting the shot",
        "no plan rolls it then",
        "when the plan rolls it",
        "≤ at most this: not proven exactly; ? not known",
    )


def curve_words(found: Wraps, what: str) -> str:
    """Name a picture of wraps after what it shows."""
    return f"{what}{ON_AVERAGE if is_average(found) else ''}"


def curve_key_words(found: Wraps) -> tuple[str, str]:
    """Say what the curve is, and what stands below its wraps."""
    if is_average(found):
        return (
            "light kept on the average day, if nothing rolls past then",
            "+5′ minutes past the wrap that are expected",
        )
    return (
        "light kept by the day worth most points that has wrapped by then",
        "+5′ minutes of the last roll past the wrap",
    )


def is_average(found: Wraps) -> bool:
    """Say whether a curve is of the average day."""
    return any(isinstance(one, AverageWrapPoint) for one in found)
