"""Every notebook runs from its first cell to the assert in its last."""

from pathlib import Path

import jupytext
import pytest
from nbclient import NotebookClient

NOTEBOOKS = sorted((Path(__file__).parents[2] / "notebooks").glob("*.py"))


def test_there_are_notebooks():
    """An empty folder cannot pass for notebooks that run."""
    assert NOTEBOOKS


@pytest.mark.slow
@pytest.mark.filterwarnings(
    # jupyter_core tells other libraries where its folders will go; a notebook has none.
    "ignore:Jupyter is migrating:DeprecationWarning",
)
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_notebook_runs_and_ends_with_its_answer(path, tmp_path, monkeypatch):
    """The question stands in the title, a chart comes out, and the last cell asserts the answer."""
    # The kernel of this environment, whatever kernels and startup files the user's home holds.
    monkeypatch.setenv("JUPYTER_PREFER_ENV_PATH", "1")
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))
    notebook = jupytext.read(path)
    NotebookClient(
        notebook,
        timeout=120,
        kernel_name="python3",
        resources={"metadata": {"path": str(path.parent)}},
    ).execute()
    title, *_ = notebook.cells[0].source.splitlines()
    assert title.startswith("# ")
    assert title.endswith("?")
    outputs = [output for cell in notebook.cells for output in cell.get("outputs", ())]
    assert any("image/png" in output.get("data", ()) for output in outputs)
    assert "assert " in notebook.cells[-1].source
