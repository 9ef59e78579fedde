"""The taps that one run of the desk has noted, so that one that is sent again is known."""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from typing import Any

Record = dict[str, Any]
MOST = 20_000  # taps; four times what a log may have


class Noted:
    """What was answered to each tap by its uid; the oldest is forgotten.

    `turn` is held while one is noted: the same tap may come twice at once.
    """

    def __init__(self) -> None:
        self.turn = asyncio.Lock()
        self._answers: OrderedDict[str, Record] = OrderedDict()

    def answer_to(self, uid: str) -> Record | None:
        """Give what was answered when it was noted; None for one that was not."""
        return self._answers.get(uid)

    def keep(self, uid: str, answer: Record) -> None:
        """Keep what is answered to a tap that is noted."""
        self._answers[uid] = answer
        while len(self._answers) > MOST:
            self._answers.popitem(last=False)
