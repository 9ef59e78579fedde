"""Invented days as cases: a few at all times, the rest with the proofs."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import islice
from typing import Any

import pytest


def few_first(seeds: Iterable[Any], quick: int) -> list[Any]:
    """Give every seed as a case of its own, all but the first few marked slow."""
    rest = iter(seeds)
    first = list(islice(rest, quick))
    return [*first, *(pytest.param(seed, marks=pytest.mark.slow) for seed in rest)]
