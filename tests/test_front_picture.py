"""The picture of the README is what the command draws today, and small enough to carry."""

import re
import shutil

import pytest
from front_picture import DATA, KEPT, draw, share_unlike

FULL_BYTES = 150_000
# A roll that is five minutes shorter moves 0.3 % of the points; another version of the drawing
# library moves soft edges, which are not counted.
SAME_SHARE = 0.001


@pytest.fixture
def day(tmp_path):
    """Give a copy of the day that is drawn."""
    return shutil.copytree(DATA / "last-lamp", tmp_path / "day")


def test_the_readme_shows_it():
    """It stands in the README, with words for who cannot see it."""
    readme = (DATA.parent / "README.md").read_text(encoding="utf-8")
    assert re.search(rf"!\[.{{20,}}\]\(data/{KEPT.name}\)", readme)
    assert KEPT.stat().st_size < FULL_BYTES


def test_it_is_what_the_command_draws(day, tmp_path):
    """Drawn anew, it differs in next to nothing; `python -m front_picture` renews it."""
    draw(day, tmp_path / "now.png")
    assert share_unlike(KEPT, tmp_path / "now.png") < SAME_SHARE


def test_another_day_is_told(day, tmp_path):
    """A shot that rolls five minutes less makes another picture."""
    shots = day / "shots.csv"
    text = shots.read_text(encoding="utf-8")
    shorter = text.replace("SW,any,,35,awning", "SW,any,,30,awning")
    assert shorter != text
    shots.write_text(shorter, encoding="utf-8")
    draw(day, tmp_path / "other.png")
    assert share_unlike(KEPT, tmp_path / "other.png") > SAME_SHARE
