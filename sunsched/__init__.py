"""The order of a shooting day outdoors that keeps the most light: proven, priced and replanned.

Everything that the commands do, returning data. Names are loaded when they are first used, so that
`import sunsched` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sunsched.change.windows import windows
    from sunsched.day.folder import read_day
    from sunsched.order.fit import fit_day
    from sunsched.order.solve import make_plan
    from sunsched.sky.events import sun_events
    from sunsched.sky.track import sun_track

__all__ = ["fit_day", "make_plan", "read_day", "sun_events", "sun_track", "windows"]

_HOMES = {
    "fit_day": "sunsched.order.fit",
    "make_plan": "sunsched.order.solve",
    "read_day": "sunsched.day.folder",
    "sun_events": "sunsched.sky.events",
    "sun_track": "sunsched.sky.track",
    "windows": "sunsched.change.windows",
}


def __getattr__(name: str) -> object:
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module `sunsched` has no `{name}`")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
