"""Pictures within a page: what they share is told once, no finer than a screen shows.

An SVG of matplotlib tells the look of every mark in full, the same hatches and marks in every
picture, and each corner of a path by itself: three quarters of it. On a dark page each picture is
drawn in light on dark, but the greys of light stay as they are: the lighter, the better.
"""

from __future__ import annotations

import colorsys
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.etree import ElementTree as ET

from markupsafe import escape
from matplotlib.colors import to_hex

from sunsched.show.drawing.strips import SHADES

_SVG, _LINK = "{http://www.w3.org/2000/svg}", "{http://www.w3.org/1999/xlink}href"
_PATH = re.compile(r"[A-Za-z]|-?[\d.]+(?:e-?\d+)?")
_COLOR = re.compile(r"(fill|stroke):(#[0-9a-f]{6})")
_CALLED = re.compile(r"url\(#([^)]*)\)")
_WIDE = {"M": 2, "L": 2, "Q": 4, "C": 6, "Z": 0}  # figures that a step of a path takes
_LIGHT = frozenset(to_hex(grey) for _, grey in SHADES)  # what says how good something is
_PAPER, _SHADED = "#ffffff", "#000000"  # the ground of a picture; on a dark page, what is shaded
_LEAST_SHADED = 0.82  # lightness of a fill from which on it says only that something is shaded
_LIGHT_INK, _DARK_PAPER = 0.93, 0.08  # lightness of black and of white on a dark page
_PLAIN = {"stroke-linejoin:round", "stroke-linecap:butt", "text-anchor:start", "fill:#000000"}


@dataclass(slots=True, kw_only=True)
class Pictures:
    """What the pictures of one page share: their looks, and the marks that they call by name."""

    looks: dict[str, str] = field(default_factory=dict)
    marks: dict[str, str] = field(default_factory=dict)

    def put(self, svg: bytes, label: str) -> str:
        """Give a picture as an element of the page, what it shares taken out."""
        root = ET.fromstring(svg)  # noqa: S314  drawn by us a moment ago: no file of others
        names: dict[str, str] = {}
        for defs in root.iter(f"{_SVG}defs"):
            for one in defs:
                called = one.attrib.pop("id", "")
                if called:
                    _keep_casing(one)
                    names[called] = self._mark(one, names)
        inside = "".join(part for one in root for part in self._told(one, names))
        box = " ".join(_short(float(one)) for one in str(root.get("viewBox")).split())
        return f'<svg role="img" aria-label="{escape(label)}" viewBox="{box}">{inside}</svg>'

    def defs(self) -> str:
        """Give the element that holds what all pictures call by name."""
        marks = "".join(text.replace(' id=""', f' id="{at}"') for text, at in self.marks.items())
        return f'<svg class="marks" width="0" height="0" aria-hidden="true">{marks}</svg>'

    def style(self) -> str:
        """Give the looks, on a light page and on a dark one."""
        light = [f".{name}{{{look}}}" for look, name in self.looks.items()]
        dark = [f".{name}{{{told}}}" for look, name in self.looks.items() if (told := _dark(look))]
        return (
            f"{''.join(light)}\n@media screen and (prefers-color-scheme: dark) {{{''.join(dark)}}}"
        )

    def _mark(self, element: ET.Element, names: dict[str, str]) -> str:
        """Give the name of a mark; like ones are one."""
        text = "".join(self._told(element, names))
        text = re.sub(r"^<(\w+)", r'<\1 id=""', text)
        return self.marks.setdefault(text, f"m{len(self.marks)}")

    def _look(self, look: str, names: dict[str, str]) -> str:
        parts = [part.strip().replace(": ", ":") for part in look.split(";")]
        parts = [part for part in parts if part and part not in _PLAIN]
        told = ";".join(parts).replace(", ", ",")
        told = _CALLED.sub(lambda called: f"url(#{names[called[1]]})", told)
        return self.looks.setdefault(told, f"p{len(self.looks)}") if told else ""

    def _told(self, element: ET.Element, names: dict[str, str]) -> Iterator[str]:
        """Yield an element in few letters; groups that only hold others are left out."""
        name = element.tag.removeprefix(_SVG)
        if name in ("metadata", "title", "defs", "style"):
            return
        attributes = [*self._attributes(name, element, names)]
        inside = "".join(part for one in element for part in self._told(one, names))
        if name == "g" and not attributes:
            yield inside
            return
        text = str(escape(element.text.strip())) if element.text else ""
        told = "".join(f' {key}="{value}"' for key, value in attributes)
        whole = text + inside
        yield f"<{name}{told}>{whole}</{name}>" if whole or name == "g" else f"<{name}{told}/>"

    def _attributes(
        self, name: str, element: ET.Element, names: dict[str, str]
    ) -> Iterator[tuple[str, str]]:
        look = element.get("style", "")
        if name == "rect" and element.get("fill"):
            look = f"fill: {element.get('fill')}; {look}"
        if told := self._look(look, names):
            yield "class", told
        for key, value in element.attrib.items():
            if key == _LINK:
                yield "href", f"#{names[value[1:]]}"
            elif key == "clip-path":
                yield key, _CALLED.sub(lambda called: f"url(#{names[called[1]]})", value)
            elif key == "d":
                yield key, short_path(value)
            elif key in ("x", "y", "width", "height"):
                yield key, _short(float(value))
            elif key not in ("id", "style", "fill"):
                yield key, str(escape(value))


def _keep_casing(mark: ET.Element) -> None:
    """Leave a black mark with a white edge as it is on a dark page too: it stands over greys."""
    look = mark.get("style", "")
    if mark.tag == f"{_SVG}path" and f"stroke: {_PAPER}" in look and "fill:" not in look:
        mark.set("style", f"fill: #000; {look.replace(_PAPER, '#fff')}")


def short_path(told: str) -> str:
    """Give a path in few letters: tenths of a unit, each point from the one before.

    A picture is 288 units wide: no phone shows less than a tenth.
    """
    steps: list[str] = []
    at, begun, last = (0, 0), (0, 0), ""
    words = _PATH.findall(told)
    place = 0
    while place < len(words):
        kind = words[place].upper()
        points = [round(10 * float(one)) for one in words[place + 1 : place + 1 + _WIDE[kind]]]
        place += 1 + _WIDE[kind]
        if kind == "Z":
            steps.append("z")
            at, last = begun, "z"
            continue
        away = [one - at[number % 2] for number, one in enumerate(points)]
        way, kept = kind.lower(), away
        if kind == "L" and 0 in away:
            if away == [0, 0]:
                continue
            way, kept = ("v", away[1:]) if away[0] == 0 else ("h", away[:1])
        figures = "".join(_joined(one, number > 0) for number, one in enumerate(kept))
        # A step of the same way as the last needs no letter, but for a second place to begin at.
        gap = "" if figures.startswith("-") else " "
        steps.append(gap + figures if way == last and way != "m" else way + figures)
        at, last = (points[-2], points[-1]), way
        if kind == "M":
            begun = at
    return "".join(steps)


def _joined(tenths: int, is_after: bool) -> str:
    told = _short(tenths / 10)
    return told if not is_after or told.startswith("-") else f" {told}"


def _short(value: float) -> str:
    """Write a figure to a tenth, without what says nothing."""
    told = f"{value:.1f}".removesuffix(".0")
    if told.startswith(("0.", "-0.")):
        return told.replace("0.", ".", 1)
    return "0" if told == "-0" else told


def _dark(look: str) -> str:
    """Give the colours of a look on a dark page; "" where it has none that change."""
    told = [
        f"{prop}:{other}"
        for prop, color in _COLOR.findall(look)
        if (other := _on_dark(prop, color)) != color
    ]
    return ";".join(told)


def _on_dark(prop: str, color: str) -> str:
    """Give a colour on a dark page: what is black there is light, but light itself stays light."""
    red, green, blue = (int(color[start : start + 2], 16) / 255 for start in (1, 3, 5))
    hue, lightness, strength = colorsys.rgb_to_hls(red, green, blue)
    if prop == "fill" and color in _LIGHT:
        return color
    if prop == "fill" and color != _PAPER and lightness > _LEAST_SHADED:
        return _SHADED
    turned = _LIGHT_INK - (_LIGHT_INK - _DARK_PAPER) * lightness
    return to_hex(colorsys.hls_to_rgb(hue, turned, strength))
