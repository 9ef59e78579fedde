"""Names of files that others send: what is left of them is safe to write under anywhere."""

from __future__ import annotations

import re

MAX_NAME = 80
ENDINGS = (".csv", ".xlsx", ".ods", ".txt")


def file_name(name: str) -> str:
    """Give a name that a file may have in any folder, with an ending that is read."""
    plain = re.sub(r"[^\w .()-]", "_", re.split(r"[/\\]", name)[-1]).strip(" .")
    plain = plain[-MAX_NAME:].strip(" .") or "order.csv"
    return plain if plain.casefold().endswith(ENDINGS) else f"{plain}.csv"
