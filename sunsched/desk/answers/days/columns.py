"""What a shot list is read as, before a day is made of it: each column by its title."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sunsched.desk.answers.days.as_sent import listed_of
from sunsched.desk.work.worker import Memory
from sunsched.errors import FolderError
from sunsched.folder.shot_list.columns import COLUMNS, SAID
from sunsched.new.day import read_list

Record = dict[str, Any]


def answer(_: Memory, *, text: str | None, content: str | None, list_name: str) -> Iterator[Record]:
    """Give each column with the first of its cells, and what it is taken for; None: not known.

    Parameters
    ----------
    text, content, list_name : a shot list, as for a new day
    """
    listed = listed_of(text, content)
    try:
        taken = None if listed is None else read_list(listed, list_name)
    except FolderError as error:
        yield {"fault": str(error), "shots": 0, "columns": [], "names": []}
        return
    columns = () if taken is None else taken.columns
    known = {one.known for one in columns}
    yield {
        "fault": "",
        "shots": 0 if taken is None else len(taken.table.rows),
        "columns": [
            {
                "title": one.title,
                "first": one.first,
                "known": one.known,
                "said": SAID.get(one.known or "", one.known),
            }
            for one in columns
        ],
        "names": [[name, SAID[name]] for name in COLUMNS if name not in known],
    }
