"""Somebody's other order as it was uploaded, pasted, or saved, read for the page to show."""

from __future__ import annotations

import base64
import binascii
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from sunsched.average.plan import AveragePlan
from sunsched.day.clock import instant_ms
from sunsched.day.model import Day
from sunsched.desk.answers.argument.ours import saved_ours
from sunsched.desk.answers.known import known
from sunsched.desk.watched.names import file_name
from sunsched.desk.work.worker import Memory
from sunsched.errors import FolderError
from sunsched.show.records.day import fault_record
from sunsched.whatif.orders.order import Order, OrderReading, order_of, read_order, read_pasted
from sunsched.whatif.orders.sides import source_of

Record = dict[str, Any]


def answer(
    memory: Memory, *, folder: str, name: str, text: str | None, content: str | None
) -> Iterator[Record]:
    """Read an order; of one at fault, its faults in the reader's words.

    Parameters
    ----------
    name : of the file that was uploaded
    text : what was pasted
    content : the bytes of the file, base64; with neither, the order of the saved plan is given
    """
    one = known(memory, Path(folder))
    try:
        if content is not None:
            reading, called = _uploaded(name, content, one.folder, one.reading.day), name
        elif text is not None:
            reading, called = read_pasted(text, one.reading.day), "pasted"
        else:
            saved = saved_ours(memory, one)
            if saved is None:
                order = Order(ids=tuple(shot.id for shot in one.reading.day.shots), times=())
            elif isinstance(saved, AveragePlan):
                order = source_of(saved).order
            else:
                order = order_of(saved.timetable)
            reading, called = OrderReading(order=_sequence(order), warnings=()), ""
    except FolderError as error:
        faults = [fault_record(fault) for fault in error.faults]
        yield {"faults": faults, "text": str(error if text is None else _by_line(error))}
        return
    yield {
        "faults": [],
        "name": called,
        "order": order_record(reading.order),
        "warnings": [str(warning) for warning in reading.warnings],
    }


def _by_line(error: FolderError) -> FolderError:
    """Name the lines of what was pasted alone: there is no file, and no column has a head."""
    return FolderError(
        tuple(
            fault
            if fault.line is None
            else replace(fault, file=f"line {fault.line}", line=None, column="")
            for fault in error.faults
        )
    )


def order_record(order: Order) -> Record:
    """Give an order as plain data; moments in milliseconds since 1970."""
    return {
        "ids": list(order.ids),
        "times": [None if when is None else instant_ms(when) for when in order.times],
        "meal_after": order.meal_after,
        "meal_start": None if order.meal_start is None else instant_ms(order.meal_start),
    }


def _uploaded(name: str, content: str, folder: Path, day: Day) -> OrderReading:
    with tempfile.TemporaryDirectory(prefix="sunsched-") as holder:
        file = Path(holder) / file_name(name)
        try:
            file.write_bytes(base64.b64decode(content, validate=True))
        except binascii.Error:
            return read_pasted("", day)
        return read_order(file, folder, day)


def _sequence(order: Order) -> Order:
    """Leave the times out: what is dragged from here has times of its own."""
    return Order(ids=order.ids, times=(None,) * len(order.ids), meal_after=order.meal_after)
