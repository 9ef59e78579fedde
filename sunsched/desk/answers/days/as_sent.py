"""A shot list as a form sends it: pasted, or a file in base64."""

from __future__ import annotations

import base64
import binascii


def listed_of(text: str | None, content: str | None) -> str | bytes | None:
    """Give a list as a text, or as the bytes of a file; what is no base64 is an empty file."""
    if content is None:
        return text
    try:
        return base64.b64decode(content, validate=True)
    except binascii.Error:
        return b""
