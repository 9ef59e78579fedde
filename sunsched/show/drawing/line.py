"""One line of lettering as an artist, which is drawn without being measured anew.

matplotlib lays every text out before it draws it, as it may have several lines, and that takes as
long as the drawing. Ours have one, and their widths are known.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from matplotlib.backend_bases import RendererBase
from matplotlib.font_manager import FontProperties
from matplotlib.text import Text
from matplotlib.textpath import text_to_path

from sunsched.show.drawing.lettering import FONT, POINT_IN, SLACK, width_in

_SHARES = {"left": 0.0, "center": 0.5, "right": 1.0}  # of a line's width to the left of its place


class Line(Text):
    """A text on one line whose middle stands at its height."""

    def draw(self, renderer: RendererBase, *args: Any, **kwargs: Any) -> None:
        """Draw the letters; what is turned, or has a ground of its own, as any text."""
        text = self.get_text()
        if not self.get_visible() or not text:
            return
        figure = self.get_figure(root=True)
        if figure is None or self.get_rotation() or self.get_bbox_patch() is not None:
            super().draw(renderer, *args, **kwargs)
            return
        dots = figure.dpi * float(self.get_fontsize())  # of an inch, for a size of a point
        x, y = self.get_transform().transform(self.get_unitless_position())
        share = _SHARES[self.get_horizontalalignment()]
        if share:
            bold = self.get_fontweight() == "bold"
            x -= share * width_in(text, 1.0, bold=bold) / SLACK * dots
        y -= _under_middle() * POINT_IN * dots
        if renderer.flipy():
            y = renderer.get_canvas_width_height()[1] - y
        gc = renderer.new_gc()
        gc.set_foreground(self.get_color())
        gc.set_url(self.get_url())
        renderer.open_group("text", self.get_gid())
        font = self.get_fontproperties()
        renderer.draw_text(gc, x, y, text, font, 0.0, ismath=False, mtext=self)
        gc.restore()
        renderer.close_group("text")
        self.stale = False


@cache
def _under_middle() -> float:
    """Give how far the letters stand under the middle of their line, in sizes of them."""
    font = FontProperties(family=FONT, size=100)
    _, high, descent = text_to_path.get_text_width_height_descent("lp", font, ismath=False)
    return (high / 2 - descent) / 100
