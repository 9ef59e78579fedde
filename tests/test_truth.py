"""Every published value says where it comes from."""

from datetime import date
from pathlib import Path

import pytest

TRUTH = Path(__file__).parent / "truth"


def test_there_is_truth():
    """The folder of published values is where the tests look for it."""
    assert len(list(TRUTH.iterdir())) >= 5


@pytest.mark.parametrize("path", sorted(TRUTH.iterdir()), ids=lambda path: path.name)
def test_truth_names_its_source(path):
    """A file of published values opens with its source, the day it was read and its precision."""
    lines = path.read_text(encoding="utf-8").splitlines()
    header = [line for line in lines if line.startswith("#")]
    assert lines[: len(header)] == header, "the header stands at the top, in one piece"
    facts = dict(line[2:].split(": ", 1) for line in header if ": " in line)
    assert facts.keys() >= {"source", "read", "precision"}
    assert date.fromisoformat(facts["read"]) >= date(2026, 1, 1)
    assert min(len(facts["source"]), len(facts["precision"])) > 10
    assert len(lines) > len(header) + 1, "the header is followed by values"
