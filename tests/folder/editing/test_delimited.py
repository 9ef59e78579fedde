"""Texts edited in place: what is not touched stays to the byte, and reads back as it was meant.

The cells are cut by Python's own csv module on one side and by ours on the other.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sunsched.errors import FolderError
from sunsched.folder.editing.edit import AddRow, DeleteRow, Edit, EditRefused, MoveRow, SetCell
from sunsched.folder.editing.editable import EditableList, Kind, list_of
from sunsched.folder.editing.edited import edited_bytes
from sunsched.folder.shot_list.columns import COLUMNS

LISTS = Path(__file__).parents[1] / "intake" / "lists"
TITLES = ["id", "description", "size", "look", "shoot_min", "Who", "Remarks"]
FILE = "shots.csv"

MESSY = (
    b"\xef\xbb\xbfsep=;\r\n"
    b"THE WEIR;;;;\r\n"
    b"\r\n"
    b'Shot;"Action";Size;Camera;Min.;Crew food\r\n'
    b"MILL;;;;;\r\n"
    b'1;"Hal, ""the elder""";wide;N;30;soup \r\n'
    b"\r\n"
    b'"2";Hal sits;MS;W;20\r\n'
    b"Lunch;;;;;\r\n"
    b"3;The weir;insert;;10;'=1+1'"
)


def listed(raw: bytes, file: str = FILE) -> EditableList:
    """Read a list from its bytes."""
    return list_of(raw, file)


def test_list_is_told_as_it_is_written():
    """Titles as typed with what they were taken for, rows with their lines, and what they are."""
    found = listed(MESSY)
    assert [(one.title, one.known) for one in found.columns] == [
        ("Shot", "id"),
        ("Action", "description"),
        ("Size", "size"),
        ("Camera", "look"),
        ("Min.", "shoot_min"),
        ("Crew food", None),
    ]
    assert [(row.key, row.kind, row.cells.get("id")) for row in found.rows] == [
        ("5", Kind.SECTION, "MILL"),
        ("6", Kind.SHOT, "1"),
        ("8", Kind.SHOT, "2"),
        ("9", Kind.OTHER, "Lunch"),
        ("10", Kind.SHOT, "3"),
    ]
    assert found.rows[1].cells["description"] == 'Hal, "the elder"'
    assert found.rows[1].cells["#6"] == "soup"


def test_nothing_changes_where_nothing_is_edited():
    """No edit, and edits that say what stands there, give the same bytes."""
    found = listed(MESSY)
    assert edited_bytes(found, ()) == MESSY
    same = [
        SetCell(row=row.key, column=column, text=text)
        for row in found.rows
        for column, text in row.cells.items()
    ]
    assert edited_bytes(found, same) == MESSY


@pytest.mark.parametrize(
    ("edit", "old", "new"),
    [
        (SetCell(row="6", column="look", text="NNW"), b";N;30", b";NNW;30"),
        (SetCell(row="6", column="#6", text="stew"), b"soup ", b"stew "),
        (SetCell(row="6", column="description", text="Hal"), b'"Hal, ""the elder"""', b'"Hal"'),
        (SetCell(row="8", column="id", text="2A"), b'"2";', b'"2A";'),
        (SetCell(row="8", column="description", text='a; "b"'), b"Hal sits", b'"a; ""b"""'),
        (SetCell(row="8", column="description", text="a\r\nb"), b"Hal sits", b'"a\nb"'),
        (SetCell(row="8", column="#6", text="tea"), b"W;20\r\n", b"W;20;tea\r\n"),
        (SetCell(row="8", column="look", text=" "), b";W;20", b";;20"),
        (SetCell(row="6", column="look", text="  E  "), b";N;30", b";E;30"),
        (DeleteRow(row="8"), b'"2";Hal sits;MS;W;20\r\n', b""),
        (
            MoveRow(row="8", after="6"),
            b'\r\n"2";Hal sits;MS;W;20\r\n',
            b'"2";Hal sits;MS;W;20\r\n\r\n',
        ),
        (
            AddRow(row="new", after="9", cells={"id": "4", "look": "S"}),
            b"Lunch;;;;;\r\n",
            b"Lunch;;;;;\r\n4;;;S;;\r\n",
        ),
        (
            AddRow(row="new", after=None, cells={"description": "dawn"}),
            b"Crew food\r\n",
            b"Crew food\r\n;dawn;;;;\r\n",
        ),
        (AddRow(row="new", after="9"), b"", b""),
        (AddRow(row="new", after="10", cells={"id": "4"}), b"'=1+1'", b"'=1+1'\r\n4;;;;;"),
        (DeleteRow(row="10"), b"3;The weir;insert;;10;'=1+1'", b""),
    ],
)  # fmt: skip
def test_one_edit_changes_its_own_bytes_alone(edit, old, new):
    """Mark, `sep=`, quotes, blank rows, line ends and sections stay as they were."""
    assert MESSY.count(old) == 1 or old == b""
    assert edited_bytes(listed(MESSY), [edit]) == MESSY.replace(old, new)


def test_column_that_the_list_does_not_have_is_added_behind_the_last():
    """The head and the row that says something get it; other rows stay to the byte."""
    edits = [SetCell(row="8", column="hold", text="yes"), SetCell(row="8", column="rig", text="A")]
    new = edited_bytes(listed(MESSY), edits)
    assert new == MESSY.replace(b"Crew food", b"Crew food;hold;rig").replace(
        b"W;20\r\n", b"W;20;;yes;A\r\n"
    )
    assert listed(new).rows[2].cells["rig"] == "A"
    # A blank text in it asks for no column.
    assert edited_bytes(listed(MESSY), [SetCell(row="8", column="hold", text="")]) == MESSY


def test_empty_titles_at_the_end_are_used_before_a_column_is_added():
    """Spreadsheets write the empty columns beside a table too."""
    raw = b"id,description,size,look,shoot_min,,\n1,A,wide,N,30,,\n"
    new = edited_bytes(listed(raw), [SetCell(row="2", column="rig", text="A")])
    assert new == b"id,description,size,look,shoot_min,rig,\n1,A,wide,N,30,A,\n"


def test_edits_stand_on_each_other():
    """A new row is written into, moved, and a row of the list put below it."""
    raw = b"id,description,size,look,shoot_min\n1,A,wide,N,30\n2,B,wide,N,30\n"
    edits: list[Edit] = [
        AddRow(row="a", after="3"),
        SetCell(row="a", column="id", text="3"),
        AddRow(row="b", after="a", cells={"id": "4"}),
        MoveRow(row="a", after=None),
        MoveRow(row="2", after="b"),
        SetCell(row="2", column="look", text="S"),
        SetCell(row="2", column="look", text="W"),
        DeleteRow(row="3"),
    ]
    assert edited_bytes(listed(raw), edits) == (
        b"id,description,size,look,shoot_min\n3,,,,\n4,,,,\n1,A,wide,W,30\n"
    )


def test_windows_1252_stays_what_it_is():
    """Accents stay to the byte; a letter that it lacks is refused, with the letter."""
    raw = "id;description;size;look;shoot_min\n1;Zoé;wide;N;30\n2;b;wide;N;30\n".encode("cp1252")
    new = edited_bytes(listed(raw), [SetCell(row="3", column="description", text="Ambühl")])
    assert new == raw.replace(b";b;", "Ambühl".join(";;").encode("cp1252"))
    with pytest.raises(EditRefused, match="Windows-1252, does not have: `Ł`") as told:
        edited_bytes(listed(raw), [SetCell(row="3", column="description", text="Łucja")])
    assert told.value.row == "3"


def test_empty_file_is_given_its_head():
    """The columns are those that the first rows say something in."""
    row = AddRow(row="new", after=None, cells={"id": "1", "look": "N", "size": "wide"})
    assert edited_bytes(listed(b""), [row]) == b"id,look,size\n1,N,wide\n"


@pytest.mark.parametrize(
    ("edit", "told"),
    [
        (SetCell(row="77", column="look", text="N"), "no such row"),
        (SetCell(row="6", column="lok", text="N"), "no such column: `lok`\n .* `look`"),
        (SetCell(row="6", column="look", text="\x07"), "a sign that is no text: `U\\+0007`"),
        (SetCell(row="6", column="look", text="\ud800"), "a sign that is no text: `U\\+D800`"),
        (SetCell(row="6", column="look", text="x" * 5001), "a text too long for a cell"),
        (AddRow(row="6", after=None), "a name of its own"),
        (AddRow(row="12", after=None), "a name of its own"),
        (AddRow(row="new", after="77"), "no such row"),
        (MoveRow(row="77", after=None), "no such row"),
        (DeleteRow(row="4"), "no such row"),
    ],
)  # fmt: skip
def test_what_cannot_be_written_is_refused(edit, told):
    """With the row and the column that it is about."""
    with pytest.raises(EditRefused, match=told) as refused:
        edited_bytes(listed(MESSY), [edit])
    assert refused.value.row in (edit.row, "77")


@pytest.mark.parametrize("name", sorted(path.name for path in LISTS.glob("*.[ctm]?[vd]")))
def test_every_kind_of_list_is_edited_in_one_cell_alone(name):
    """Of the lists of other tests, each that a folder could hold: one cell, one new row."""
    raw = (LISTS / name).read_bytes()
    try:
        found = listed(raw)
    except FolderError:  # in an encoding that no day folder takes
        assert raw[:2] == b"\xff\xfe"
        return
    assert edited_bytes(found, ()) == raw
    row = next(row for row in found.rows if row.kind is Kind.SHOT)
    column = next(one for one in found.columns if one.known == "description" or one.at == 1)
    text = "Sea, wind; and | rain\tagain"
    new = edited_bytes(found, [SetCell(row=row.key, column=column.key, text=text)])
    after = listed(new)
    held, now = ({one.key: one.cells for one in side.rows} for side in (found, after))
    assert now == held | {row.key: {**held[row.key], column.key: text}}
    added = edited_bytes(found, [AddRow(row="new", after=row.key, cells={column.key: "Last"})])
    assert len(listed(added).rows) == len(found.rows) + 1


cells = st.text(
    st.sampled_from("ab1 ,;|\t\n\"'=é→"), max_size=6
).map(str.strip) | st.sampled_from(["wide", "N", "30", "yes"])  # fmt: skip


@st.composite
def texts(draw: st.DrawFn) -> tuple[bytes, str]:
    """Write a list in one of the ways that programs do, with rows of any length."""
    separator = draw(st.sampled_from(",;\t"))
    is_quoted = draw(st.booleans())
    end = draw(st.sampled_from(["\n", "\r\n"]))
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=separator, lineterminator=end)
    if is_quoted:
        writer = csv.writer(out, delimiter=separator, quoting=csv.QUOTE_ALL, lineterminator=end)
    for above in draw(st.lists(st.sampled_from(["", "The weir", "Day 2 of 3"]), max_size=2)):
        out.write(above + end)
    writer.writerow(draw(st.permutations(TITLES)))
    rows = draw(st.lists(st.lists(cells, max_size=len(TITLES)), max_size=6))
    for row in rows:
        writer.writerow(row)
    text = out.getvalue()
    if draw(st.booleans()):
        text = text.removesuffix(end)
    mark = draw(st.sampled_from(["", "\ufeff"]))
    named = draw(st.sampled_from(["", f"sep={separator}{end}"]))
    return (mark + named + text).encode(), separator


@given(texts(), st.data())
def test_what_edits_do_not_touch_is_as_it_was(written, data):
    """Any list and any edits: each record is byte for byte what it was, or reads as was meant."""
    raw, separator = written
    found = listed(raw)
    keys = [row.key for row in found.rows]
    columns = st.sampled_from([*(one.key for one in found.columns), *COLUMNS])
    made: list[Edit] = []
    for number in range(data.draw(st.integers(0, 5))):
        kind = data.draw(st.sampled_from(["set", "add", "delete", "move"] if keys else ["add"]))
        row = data.draw(st.sampled_from(keys)) if keys else ""
        after = data.draw(st.sampled_from([None, *keys]))
        if kind == "set":
            made.append(SetCell(row=row, column=data.draw(columns), text=data.draw(cells)))
        elif kind == "add":
            row = f"new {number}"
            told = {data.draw(columns): data.draw(cells)}
            made.append(AddRow(row=row, after=after, cells=told))
            keys.append(row)
        elif kind == "delete":
            made.append(DeleteRow(row=row))
            keys.remove(row)
        else:
            made.append(MoveRow(row=row, after=after))
    try:
        new = edited_bytes(found, made)
    except EditRefused:  # such as a text that would be read as the head, or at another separator
        return
    touched = {edit.row for edit in made}
    has_column = any(one.known is None and one.title in COLUMNS for one in found.columns)
    before, after = rows_of(raw, separator), rows_of(new, separator)
    for row in found.rows:
        if row.key not in touched:
            assert before[row.line] in after.values() or has_column
    if not touched:
        assert new == raw


def rows_of(raw: bytes, separator: str) -> dict[int, list[str]]:
    """Cut a text by csv alone, into rows by the lines that they start on."""
    text = raw.decode("utf-8-sig").replace("\r\n", "\n")
    lines = text.split("\n")
    skipped = lines[0].startswith("sep=")
    reader = csv.reader((f"{line}\n" for line in lines[skipped:]), delimiter=separator)
    start, rows = 1 + skipped, {}
    for cells in reader:
        rows[start] = cells
        start = reader.line_num + skipped + 1
    return rows
