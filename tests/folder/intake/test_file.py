"""One file of any kind: how its text is read, and what is said of one that is no list."""

from __future__ import annotations

from pathlib import Path

import pytest

from sunsched.folder.intake.file import read_list
from sunsched.folder.intake.take import Taken
from sunsched.folder.text.findings import Findings

LIST = "Shot,Action,Size,Dir,Min\n1,Café,WS,N,30\n2,Hill,CU,N,20\n"


def read(path: Path) -> tuple[Taken | None, str]:
    """Read a list, with its first fault."""
    findings = Findings()
    taken = read_list(path, findings)
    return taken, str(findings.faults[0]).splitlines()[0] if findings.faults else ""


def cells(taken: Taken | None, column: str) -> list[str]:
    """Give the cells of one column."""
    assert taken is not None
    return [row.cells[column].strip() for row in taken.table.rows]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_lines_may_end_in_any_way_in_any_encoding(tmp_path, end, encoding):
    """As spreadsheets and mail programs of all systems write them; a guess at letters is said."""
    path = tmp_path / "list.csv"
    path.write_bytes(LIST.replace("\n", end).encode(encoding))
    taken, fault = read(path)
    assert fault == ""
    assert cells(taken, "description") == ["Café", "Hill"]
    assert taken is not None
    assert any("Windows-1252" in note for note in taken.notes) == (encoding == "cp1252")
    assert any(note.startswith("columns: ") for note in taken.notes)


@pytest.mark.parametrize(
    ("name", "text", "fault"),
    [
        ("list.csv", "", "nothing in it looks like shots"),
        ("list.csv", "\n\n", "nothing in it looks like shots"),
        ("list.txt", "Dear all,\nsee you on Monday.\n", "nothing in it looks like shots"),
        ("list.csv", "Shot,Action,Size\n", "no shots below its head"),
        ("list.csv", "Shot,Action,Size\n,,\nTotal,,\n", "no shots below its head"),
        ("list.pdf", LIST, "a file of the kind `.pdf`"),
    ],
)
def test_what_is_no_list_is_a_fault(tmp_path, name, text, fault):
    """It is named, and nothing is given."""
    (tmp_path / name).write_text(text)
    taken, found = read(tmp_path / name)
    assert taken is None
    assert found.startswith(f"{name}: {fault}")


def test_no_file_has_its_nearest_neighbour(tmp_path):
    """A folder is none either."""
    (tmp_path / "shots.csv").mkdir()
    assert read(tmp_path / "shots.csv")[1].startswith("shots.csv: a folder, not a file")
    assert read(tmp_path / "none" / "shots.csv")[1].startswith("shots.csv: no such file")


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("three.csv", "Action,Size,Looking\nTree,WS,N\nHill,CU,N\n"),
        ("shorter.txt", "Action;Size;Looking;Notes;Budget\nTree;WS;N;a, b, c;9\nHill;CU;N;;\n"),
        ("page.txt", "Action       Size  Looking\nTree         WS    N\nHill, small  CU    N\n"),
        ("ruled.txt", "|Action|Size|Looking|\n|---|---|---|\n| Tree | WS | N |\n|Hill|CU|N|\n"),
    ],
)  # fmt: skip
def test_text_is_cut_where_its_head_is_best(tmp_path, name, text):
    """At commas, semicolons, gaps or bars, whatever else stands in the cells."""
    (tmp_path / name).write_text(text)
    taken, fault = read(tmp_path / name)
    assert fault == ""
    assert cells(taken, "size") == ["WS", "CU"]
    assert [one[:4] for one in cells(taken, "description")] == ["Tree", "Hill"]
