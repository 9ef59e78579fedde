"""The order of a shooting day outdoors that keeps the most light: proven, priced and replanned.

Everything that the commands do, returning data. Names are loaded when they are first used, so that
`import sunsched` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sunsched.change.compare import compare
    from sunsched.change.orders import read_order
    from sunsched.change.windows import windows
    from sunsched.day.folder import read_day
    from sunsched.order.fit import fit_day
    from sunsched.order.solve import make_plan
    from sunsched.sky.events import sun_events
    from sunsched.sky.track import sun_track

__all__ = [
    "compare",
    "fit_day",
    "make_plan",
    "read_day",
    "read_order",
    "sun_events",
    "sun_track",
    "windows",
]

_HOMES = {
    "compare": "sunsched.change.compare",
    "fit_day": "sunsched.order.fit",
    "make_plan": "sunsched.order.solve",
    "read_day": "sunsched.day.folder",
    "read_order": "sunsched.change.orders",
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
