"""Files that are handed on to be kept, never shown as a page of the desk's own."""

from __future__ import annotations

from urllib.parse import quote

from starlette.responses import Response

KINDS = {
    "pdf": "application/pdf",
    "png": "image/png",
    "svg": "image/svg+xml",
    "html": "text/html",
    "ics": "text/calendar",
    "csv": "text/csv",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


def as_download(content: bytes, name: str) -> Response:
    """Give a file that the browser saves under its name: it may have a script of its own."""
    kind = KINDS[name.rpartition(".")[2]]
    named = f"attachment; filename*=UTF-8''{quote(name, safe='')}"
    return Response(content, media_type=kind, headers={"content-disposition": named})
