"""Three keys, for those who see, those who note what happens, and those who decide."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from enum import IntEnum

KEY_BYTES = 16  # 128 bits


class Access(IntEnum):
    """What a key opens; each holds those before it."""

    NONE = 0
    SEE = 1
    NOTE = 2
    ALL = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Keys:
    """The keys of one run of the desk; they are never written anywhere."""

    see: str
    note: str
    all: str

    def of(self, access: Access) -> str:
        """Give the key that opens this much."""
        return {Access.SEE: self.see, Access.NOTE: self.note, Access.ALL: self.all}[access]

    def opened_by(self, text: str) -> Access:
        """Say what a key opens. All three are compared, in the same time for any text."""
        found = Access.NONE
        given = text.encode("utf-8", "replace")
        for access in (Access.SEE, Access.NOTE, Access.ALL):
            if secrets.compare_digest(self.of(access).encode(), given):
                found = access
        return found


def new_keys() -> Keys:
    """Make three keys that nobody can guess."""
    see, note, everything = (secrets.token_urlsafe(KEY_BYTES) for _ in range(3))
    return Keys(see=see, note=note, all=everything)
