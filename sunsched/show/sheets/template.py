"""What pages of HTML are made from: the templates and styles that come with the package."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from jinja2 import Environment, StrictUndefined, Template


def own_text(name: str) -> str:
    """Give the text of a file of `show`, by its path from there."""
    return (files("sunsched.show") / name).read_text(encoding="utf-8").strip()


@cache
def template(name: str) -> Template:
    """Give a template; all that it is filled with is escaped, and nothing may be missing."""
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    return environment.from_string(own_text(name))
