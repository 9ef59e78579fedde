"""What the ground throws back of the light that reaches it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """A ground: what it is, and the share of the light that it throws back, 0 to 1."""

    name: str
    share: float


# As in the table of albedos of pvlib; those of asphalt and snow change with age and wetness.
_SHARES = {"asphalt": 0.12, "grass": 0.20, "sand": 0.40, "snow": 0.75, "water": 0.06}
GROUNDS = {name: Ground(name=name, share=share) for name, share in _SHARES.items()}
GRASS = GROUNDS["grass"]  # unless it is told
