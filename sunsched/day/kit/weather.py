"""Cloud, wind and heat that are expected of a day, as somebody has read them in a forecast."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class Haze(StrEnum):
    """What the air is like, as it looks; `sky.daylight.colour` says how much of it that is."""

    VERY_CLEAR = "very clear"
    CLEAR = "clear"
    HAZY = "hazy"
    THICK = "thick"


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """What is expected; None for what nobody has given.

    `gust_m_s` is the gust, not the mean wind; `air_c` in the shade; `humidity` in per cent; `haze`
    is clear air unless somebody says otherwise.
    """

    gust_m_s: float | None = None
    air_c: float | None = None
    humidity: float | None = None
    haze: Haze = Haze.CLEAR


@dataclass(frozen=True, slots=True, kw_only=True)
class CloudHour:
    """Forecast cloud cover (0 clear to 1 overcast) at one moment; linear between moments."""

    time: datetime
    cover: float
