"""Where others on the set's network reach this machine, and the code that a phone reads."""

from __future__ import annotations

import io
import socket

import segno

from sunsched.desk.door.access import Access, Keys

# A packet to it is never sent: it only makes the system say which of its addresses it would use.
_ELSEWHERE = ("192.0.2.1", 9)  # TEST-NET-1, RFC 5737


def own_addresses() -> tuple[str, ...]:
    """Give the IPv4 addresses of this machine that others may reach, the likeliest first."""
    found: list[str] = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_ELSEWHERE)
            found.append(probe.getsockname()[0])
        except OSError:
            pass  # no network
    try:
        listed = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
    except OSError:
        listed = []
    found += [str(entry[4][0]) for entry in listed]
    return tuple(one for one in dict.fromkeys(found) if not one.startswith(("127.", "0.")))


def link(address: str, keys: Keys, access: Access) -> str:
    """Give the whole address that opens the desk."""
    return f"{address}/?key={keys.of(access)}"


def code_svg(text: str) -> bytes:
    """Give a text as a QR code (ISO/IEC 18004) for a page."""
    written = io.BytesIO()
    segno.make(text, error="m").save(written, kind="svg", scale=6, border=4, light="white")
    return written.getvalue()


def code_text(text: str) -> str:
    """Give a text as a QR code for a terminal."""
    written = io.StringIO()
    segno.make(text, error="l").terminal(written, compact=True, border=2)
    return written.getvalue()
