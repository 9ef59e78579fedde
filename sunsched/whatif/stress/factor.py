"""The factor on planned minutes, from what it was: its median and its spread.

The factor is log-normal, so its logarithm is normal with an unknown mean and variance. What is
usual is the conjugate prior, normal and scaled inverse chi-squared, worth some pieces of work: with
none seen it stands, with many it is forgotten. Gelman and others, Bayesian Data Analysis, 3rd
edition, section 3.3 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np

# Pieces of work that the usual median and the usual spread are worth. Common practice, no source.
USUAL_WORTH = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """A log-normal factor as it was seen, and shrunk toward what is usual.

    A spread is the standard deviation of the factor's logarithm; errors are standard errors.

    Attributes
    ----------
    count : how often it was seen
    median, median_error : of those alone; None if there are too few
    spread, spread_error : of those alone; None if there are too few
    shrunk_median, shrunk_spread : with what is usual
    """

    count: int
    median: float | None
    median_error: float | None
    spread: float | None
    spread_error: float | None
    shrunk_median: float
    shrunk_spread: float


def fit_factor(
    seen: Sequence[float], median: float, spread: float, worth: float = USUAL_WORTH
) -> Factor:
    """Fit a log-normal factor to what it was.

    The standard error of a mean of n logarithms with the standard deviation s is s/√n, that of s is
    s/√(2(n−1)). Both count each piece of work as drawn for itself: on days that are slow as a whole
    they are larger.

    Parameters
    ----------
    seen : real over planned minutes, above 0
    median, spread : what is usual
    worth : how many pieces of work that is worth
    """
    logs, count = np.log(np.asarray(seen, dtype=np.float64)), len(seen)
    usual = log(median)
    mean = float(logs.mean()) if count else usual
    squares = float(((logs - mean) ** 2).sum())
    all_worth = worth + count
    apart = worth * count / all_worth * (mean - usual) ** 2
    own = sqrt(squares / (count - 1)) if count > 1 else None
    return Factor(
        count=count,
        median=exp(mean) if count else None,
        median_error=None if own is None else exp(mean) * own / sqrt(count),
        spread=own,
        spread_error=None if own is None else own / sqrt(2 * (count - 1)),
        shrunk_median=exp((worth * usual + count * mean) / all_worth),
        shrunk_spread=sqrt((worth * spread**2 + squares + apart) / all_worth),
    )
