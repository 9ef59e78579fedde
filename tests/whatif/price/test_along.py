"""Curves of calls and wraps: what is good at one moment is tried at its neighbours, both ways."""

from __future__ import annotations

from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import pytest

from sunsched.whatif.price_average import look

MOMENTS = [datetime(2027, 6, 9, hour, tzinfo=UTC) for hour in (6, 7, 8)]
# What each order is worth at each moment; "late" is met at the last one alone.
WORTHS = {"day": (10.0, 10.0, 10.0), "late": (9.0, 14.0, 20.0)}


@pytest.fixture
def looks(monkeypatch):
    """Put a table in the place of the search, and give the orders that each look starts from."""
    seen: list[tuple[datetime, list[str]]] = []

    def under(_fit: Any, moment: datetime, known: list[Any]) -> Any:
        at = MOMENTS.index(moment)
        names = {one.name for one in known} | ({"late"} if at == 2 else set())
        seen.append((moment, [one.name for one in known]))
        name = max(names, key=lambda one: WORTHS[one][at])
        return SimpleNamespace(name=name, worth=WORTHS[name][at])

    monkeypatch.setattr(look, "policy_under", under)
    return seen


def along(is_ended=lambda: False, progress=None):
    """Walk through the moments from the day's own order."""
    known: Any = SimpleNamespace(name="day", worth=10.0)
    fit: Any = None
    return look.policies_along(fit, MOMENTS, _itself, known, progress, is_ended)


def _itself(moment: datetime) -> Any:
    return moment


def test_an_order_met_late_is_tried_at_the_moments_before(looks):
    """It is worth more at seven, and less at six, which keeps its own."""
    found = along()
    assert [found[moment].name for moment in MOMENTS] == ["day", "late", "late"]
    assert list(found) == MOMENTS
    assert [names for _, names in looks] == [
        ["day"],
        ["day", "day"],
        ["day", "day"],
        ["late"],
        ["late"],
    ]


def test_what_was_found_until_somebody_has_enough_stands(looks):
    """After two looks, two moments; each look is told of five."""
    told: list[Any] = []
    found = along(is_ended=lambda: len(looks) == 2, progress=told.append)
    assert list(found) == MOMENTS[:2]
    assert [(one.done, one.whole) for one in told] == [(1, 5), (2, 5)]
