"""What it costs to roll each shot in each half-hour, filled in as it is worked out."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

from sunsched.day.clock import instant_ms
from sunsched.desk.answers.arrange.base import base_of
from sunsched.desk.work.worker import Memory
from sunsched.whatif.price.cells import Cell
from sunsched.whatif.price_average.half_hours import average_price_tables

Record = dict[str, Any]
STEP_MIN = 30


def answer(memory: Memory, *, folder: str, base: Record | None) -> Iterator[Record]:
    """Price all cells at first sight; then one by one, of all shots the cheapest first."""
    held = base_of(memory, Path(folder), base)
    given = average_price_tables(held.best, step_min=STEP_MIN, is_ended=memory.is_left)
    with closing(given) as tables:
        for table, priced in tables:
            yield {
                "times": [instant_ms(when) for when in table.times],
                "step_min": STEP_MIN,
                "points": table.points,
                "rows": [
                    {
                        "id": row.shot_id,
                        "cut": row.cut,
                        "cells": [
                            {**_cell(cell), "is_priced": (row.shot_id, cell.time) in priced}
                            for cell in row.cells
                        ],
                    }
                    for row in table.rows
                ],
                "is_final": table.is_complete,
            }


def _cell(cell: Cell) -> Record:
    return {"known": cell.known.value, "lost": cell.found, "most": cell.most}
