"""Numbers by chance for tests and benchmarks: the same from the same seed, on every machine."""

from __future__ import annotations

from random import Random


def seeded(seed: int | str) -> Random:
    """Give a source of numbers that a seed settles."""
    return Random(seed)  # noqa: S311  it invents days and moments, and keeps no secret
