"""What the ground throws back of the light that reaches it."""

from __future__ import annotations

# Shares, 0 to 1, as in the table of albedos of pvlib; those of asphalt and snow change with age and
# wetness.
GROUNDS = {"asphalt": 0.12, "grass": 0.20, "sand": 0.40, "snow": 0.75, "water": 0.06}
GRASS = "grass"  # unless it is told
