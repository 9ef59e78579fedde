"""By how much the work on a shot takes longer than planned, by its size."""

from __future__ import annotations

from dataclasses import dataclass

# What `day.toml` may ask for, and what is printed to be pasted there.
MEDIANS = (0.2, 5.0)
SPREADS = (0.0, 1.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Overrun:
    """What the planned minutes of a changeover and of a roll are multiplied by, drawn for each.

    The factor is log-normal. Half of all shots take more than the median. The spread is the
    standard deviation of the factor's logarithm: at 0.3, two shots in three lie between 0.74 and
    1.35 times the median, and one in ten takes more than 1.47 times. 0 draws the median itself.
    """

    changeover_median: float
    changeover_spread: float
    roll_median: float
    roll_spread: float


# By the name of the size. Common practice, no source: each figure can be changed in `day.toml`
# under `[overrun.<name>]`.
DEFAULT_OVERRUNS = {
    name: Overrun(
        changeover_median=changeover[0],
        changeover_spread=changeover[1],
        roll_median=roll[0],
        roll_spread=roll[1],
    )
    for name, changeover, roll in (
        ("wide", (1.15, 0.3), (1.1, 0.3)),
        ("full", (1.1, 0.3), (1.1, 0.3)),
        ("medium", (1.1, 0.25), (1.1, 0.3)),
        ("close-up", (1.05, 0.25), (1.15, 0.35)),
        ("insert", (1.0, 0.3), (1.05, 0.4)),
    )
}
