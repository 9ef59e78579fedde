"""The pages, made of templates that come with the package, and the files they are shown with."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from jinja2 import Environment, FunctionLoader, StrictUndefined

KINDS = {".js": "text/javascript", ".css": "text/css"}
# What the phone page of a sheet has within it, the page on set asks for.
SHARED = {"present.js": ("sunsched.show", "sheets/phone/present.js")}


def own_file(name: str) -> tuple[bytes, str] | None:
    """Give a script or a style by its name, with its kind; None where there is no such file."""
    kind = next((KINDS[ending] for ending in KINDS if name.endswith(ending)), None)
    if kind is None or name not in _own_names():
        return None
    room, path = SHARED.get(name, ("sunsched.desk", f"pages/{name}"))
    return (files(room) / path).read_bytes(), kind


def page(name: str, **told: object) -> str:
    """Give a page; all that it is filled with is escaped, and nothing may be missing."""
    return _environment().get_template(name).render(**told)


@cache
def _own_names() -> frozenset[str]:
    own = (one.name for one in (files("sunsched.desk") / "pages").iterdir())
    return frozenset((*own, *SHARED))


@cache
def _environment() -> Environment:
    return Environment(
        autoescape=True,
        loader=FunctionLoader(_template),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _template(name: str) -> str:
    return (files("sunsched.desk") / "pages" / f"{name}.html.j2").read_text(encoding="utf-8")
