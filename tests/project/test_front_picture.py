"""The picture of the README is what the command draws today, and small enough to carry."""

import re

import numpy as np
import pytest
from PIL import Image

from project.front_picture import DATA, KEPT, draw, share_unlike

FULL_BYTES = 150_000
# A roll that is five minutes shorter moves 0.3 % of the points; another version of the drawing
# library moves soft edges, which are not counted.
SAME_SHARE = 0.001


def test_the_readme_shows_it():
    """It stands in the README, with words for who cannot see it."""
    readme = (DATA.parent / "README.md").read_text(encoding="utf-8")
    assert re.search(rf"!\[.{{20,}}\]\(data/{KEPT.name}\)", readme)
    assert KEPT.stat().st_size < FULL_BYTES


@pytest.mark.slow
def test_it_is_what_the_command_draws(tmp_path):
    """Drawn anew, it differs in next to nothing; `python -m project.front_picture` renews it."""
    draw(DATA / "last-lamp", tmp_path / "now.png")
    assert share_unlike(KEPT, tmp_path / "now.png") < SAME_SHARE


def test_another_picture_is_told(tmp_path):
    """One row of the picture an eighth of an inch to the side: a roll some minutes later."""
    with Image.open(KEPT) as picture:
        rows = np.asarray(picture.convert("L")).copy()
    band = slice(583, 624)  # the row of the first shot
    rows[band] = np.roll(rows[band], 17, axis=1)
    Image.fromarray(rows).save(tmp_path / "other.png")
    assert share_unlike(KEPT, tmp_path / "other.png") > SAME_SHARE
    Image.fromarray(rows[1:]).save(tmp_path / "less.png")
    assert share_unlike(KEPT, tmp_path / "less.png") == 1.0
