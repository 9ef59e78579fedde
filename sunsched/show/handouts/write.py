"""The file of a handout: of the kind that its ending asks for."""

from __future__ import annotations

from pathlib import Path

from sunsched.folder.store.write import write_whole
from sunsched.show.handouts.handout import Handout
from sunsched.show.sheets.sheet import HANDOUT_KINDS, file_kind
from sunsched.show.stamp import told_by_file

# Each kind loads what it needs and no more: a table does without pictures.


def handout_bytes(handout: Handout, kind: str) -> bytes:
    """Make a file of one of `HANDOUT_KINDS`; the same handout gives the same bytes."""
    if kind == "pdf":
        from sunsched.show.drawing.figure import picture_bytes
        from sunsched.show.handouts.pdf import handout_figures

        told = told_by_file(handout.day, handout.stamp)
        return picture_bytes(handout_figures(handout), kind, told)
    if kind == "html":
        from sunsched.show.handouts.html import handout_page_bytes

        return handout_page_bytes(handout)
    if kind == "csv":
        from sunsched.show.handouts.spreadsheet import handout_csv_bytes

        return handout_csv_bytes(handout)
    if kind == "xlsx":
        from sunsched.show.handouts.spreadsheet import handout_xlsx_bytes

        return handout_xlsx_bytes(handout)
    raise ValueError(f"no handouts are made of kind `{kind}`")


def write_handout(path: Path | str, handout: Handout) -> None:
    """Write a handout of the kind that the file's ending asks for, in place of an older one.

    Parameters
    ----------
    path : its ending is `.pdf`, `.html`, `.csv` or `.xlsx`
    handout : the argument

    Raises
    ------
    WriteRefused
        When the ending or the name is refused, or the file cannot be written; an older file of
        that name is then as it was.

    Examples
    --------
    >>> import sunsched
    >>> import tempfile
    >>> folder = tempfile.mkdtemp()
    >>> from datetime import UTC, datetime
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> stamp = sunsched.Stamp(made_at=datetime(2027, 6, 1, 12, tzinfo=UTC))
    >>> curve = sunsched.wrap_curve(solved, step_min=240)
    >>> handout = sunsched.curve_handout(solved.fit.day, curve, stamp=stamp)
    >>> sunsched.write_handout(f"{folder}/curve.csv", handout)
    """
    path = Path(path)
    write_whole(path, handout_bytes(handout, file_kind(path, HANDOUT_KINDS)))
