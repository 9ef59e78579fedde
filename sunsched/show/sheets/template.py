"""What pages of HTML are made from: the templates and styles that come with the package."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from jinja2 import Environment, StrictUndefined, Template
from markupsafe import Markup

from sunsched.show.layout import isolated


def own_text(name: str) -> str:
    """Give the text of a file of `show`, by its path from there."""
    return (files("sunsched.show") / name).read_text(encoding="utf-8").strip()


def own_markup(text: str) -> Markup:
    """Give a text of ours as part of a page, where it is not escaped.

    Only for files of `show`, and for pictures, whose words are escaped where they are drawn.
    """
    return Markup(text)  # noqa: S704  ours alone: files of `show`, pictures just drawn


@cache
def template(name: str) -> Template:
    """Give a template; all that it is filled with is escaped, and nothing may be missing."""
    environment = Environment(
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_kept_apart,
    )
    return environment.from_string(own_text(name))


def _kept_apart(value: object) -> object:
    """Keep ids and names from right to left apart also inside a sentence, where no tag can."""
    return isolated(value) if type(value) is str else value
