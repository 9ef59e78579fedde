"""Draw the picture of the README anew, by the command that a reader would type.

    cd tests && python -m project.front_picture

It is kept with 32 colours of the 300 that soft edges have, a third of the bytes:
no eye sees the difference.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from PIL import Image

DATA = Path(__file__).parents[2] / "data"
KEPT = DATA / "last-lamp.png"
COLOURS = 32
PLAIN_STEP = 64  # of 255; edges that another version draws a little softer differ by less
RUN = "import sys; sys.argv[0] = 'sunsched'; from sunsched.cli import main; main()"


def draw(day: Path, target: Path) -> None:
    """Write the picture of a day's plan, packed as the kept one is."""
    with TemporaryDirectory() as folder:
        whole = Path(folder) / "day.png"
        subprocess.run(
            [sys.executable, "-c", RUN, "plan", str(day), "--picture", str(whole)],
            check=True,
            capture_output=True,
            env={**os.environ, "LC_ALL": "C.UTF-8"},
        )
        with Image.open(whole) as picture:
            few = picture.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
            few.save(target, optimize=True)


def share_unlike(one: Path, other: Path) -> float:
    """Give the share of points that plainly differ between two pictures; 1 if the sizes do."""
    with Image.open(one) as first, Image.open(other) as second:
        if first.size != second.size:
            return 1.0
        grey = [np.asarray(picture.convert("L"), dtype=np.int16) for picture in (first, second)]
    return float((abs(grey[0] - grey[1]) > PLAIN_STEP).mean())


if __name__ == "__main__":
    draw(DATA / "last-lamp", KEPT)
