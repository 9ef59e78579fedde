"""A picture as an element of a page: its names its own, no finer than a screen shows."""

from __future__ import annotations

import re

from markupsafe import escape

_TAG = re.compile(r"<[^<>]*>")
_NAME = re.compile(r'(\bid="|url\(#|href="#)')
_HEAD = re.compile(r"^.*?<svg\b[^>]*?(?P<box>viewBox=\"[^\"]*\")[^>]*>", re.DOTALL)
_NOISE = re.compile(r"<!--.*?-->|<metadata>.*?</metadata>|(?<=>)\s+(?=<)", re.DOTALL)
_FINE = re.compile(r"(?<=\d)\.(\d)\d+")  # a picture is 288 units wide: no phone shows less
_STYLE = re.compile(r'style="[^"]*"')
_CALLED = re.compile(r'(?:url\(#|href="#)([^")]*)')
_GROUP = re.compile(r'<g id="([^"]*)"')


def inline_svg(svg: bytes, prefix: str, label: str) -> str:
    """Give a picture as an element of a page, its names made its own by a prefix.

    Without that, the clips and marks of one picture would be taken for those of another.
    """
    text = _NOISE.sub("", svg.decode())
    called = set(_CALLED.findall(text))
    text = _TAG.sub(lambda tag: _NAME.sub(rf"\g<1>{prefix}-", _slim(tag[0], called)), text)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(label)}" '
    text = _HEAD.sub(lambda found: f"{head}{found['box']}>", text, count=1)
    return text.strip()


def _slim(tag: str, called: set[str]) -> str:
    """Give a tag of a picture in fewer letters; a group keeps a name that something calls for."""
    tag = _GROUP.sub(lambda group: group[0] if group[1] in called else "<g", tag)
    if not tag.startswith(("<path", "<text", "<use", "<rect")):
        return tag
    tag = _STYLE.sub(lambda style: style[0].replace(": ", ":").replace("; ", ";"), tag)
    return _FINE.sub(r".\1", tag)
