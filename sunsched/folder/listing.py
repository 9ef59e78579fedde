"""A list that was settled, written as a day folder has it: `shots.csv` and what it names."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from sunsched.day.model import Size
from sunsched.errors import Fault, FolderError
from sunsched.folder.intake.settle import Settled
from sunsched.folder.read import Reading, read_folder
from sunsched.folder.settings import document
from sunsched.folder.settings.facts import read_facts
from sunsched.folder.settings.reader import read_settings
from sunsched.folder.shot_list.columns import COLUMNS
from sunsched.folder.starter import OF_SHOTS
from sunsched.folder.store.files import SETTINGS_FILE
from sunsched.folder.text.findings import Findings

SHOTS_FILE = "shots.csv"
NEEDED = ("id", "description", "size", "look", "shoot_min")


def list_text(settled: Settled) -> str:
    """Give the text of `shots.csv` for a list that is settled."""
    used = {name for row in settled.rows for name in row}
    columns = [name for name in COLUMNS if name in NEEDED or name in used]
    more = ["size as listed", "lens as listed"]
    titles = {name: name for name in more if name in used} | {
        name: title for name, title in settled.kept.items() if name in used
    }
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([*columns, *titles.values()])
    for row in settled.rows:
        writer.writerow([row.get(name, "") for name in (*columns, *titles)])
    return text.getvalue()


def names_of(settled: Settled, column: str) -> list[str]:
    """Give the spots or the cast of a list, each once, in its order."""
    cells = (row.get(column, "") for row in settled.rows)
    names = (name.strip() for cell in cells for name in cell.split(";"))
    return list(dict.fromkeys(name for name in names if name))


def day_of_list(day: str, settled: Settled) -> str:
    """Give a starter's `day.toml` with the spots and the cast of a list for those of its own."""
    begin, end = OF_SHOTS
    before, _, rest = day.partition(begin)
    _, mark, after = rest.partition(end)
    spots, cast = names_of(settled, "spot"), names_of(settled, "cast")
    parts = [before]
    if spots:
        parts.append(
            "# Camera positions; moves between them take 20 minutes unless a [[move]] says so.\n"
            '# Hours of a spot: open = ["07:00-11:30"]\n'
            "# Where its subject stands, for `skyline`: subject_distance_m = 4, "
            'subject_bearing = "E"\n'
        )
    parts.append(tables("spot", spots))
    if cast:
        parts.append('# Hours of someone in front of the lens: here = ["08:00-15:00"]\n')
    parts.append(tables("cast", cast))
    return "".join([*parts, mark, after.replace(", as in 6, which has no frames", "")])


def tables(kind: str, names: Iterable[str]) -> str:
    """Write a table of `day.toml` for each name."""
    return "".join(
        f"[[{kind}]]\nname = {json.dumps(name, ensure_ascii=False)}\n\n" for name in names
    )


def read_as_written(folder: Path | None, texts: Mapping[str, str]) -> Reading:
    """Read a day as it would be once these texts stand in its folder; nothing is written there.

    Parameters
    ----------
    folder : Path or None
        The folder whose other files count too; None for a new one.
    texts : mapping of str to str
        The text of each file that would be written.

    Raises
    ------
    FolderError
        With every fault that the folder would then have.
    """
    with tempfile.TemporaryDirectory(prefix="sunsched-") as holder:
        trial = Path(holder) / "day"
        trial.mkdir()
        if folder is not None:
            for path in folder.iterdir():
                if path.is_file() and not path.is_symlink() and path.suffix in (".csv", ".toml"):
                    shutil.copyfile(path, trial / path.name)
        for name, text in texts.items():
            (trial / name).write_text(text, encoding="utf-8", newline="\n")
        return read_folder(trial)


def with_new_names(day: str, faults: Iterable[Fault], settled: Settled) -> tuple[str, list[str]]:
    """Give a `day.toml` with the names of a list that it lacks, and say which.

    A name that is nearly a known one is no new one: it stays a fault.
    """
    added: list[str] = []
    for column, problem in (("spot", "no such spot"), ("cast", "no such name under")):
        refused = [
            one for one in faults if one.column == column and one.problem.startswith(problem)
        ]
        near = {one.value for one in refused if one.hint}
        lacking = {one.value for one in refused} - near
        names = [name for name in names_of(settled, column) if name in lacking]
        if names:
            day = re.sub(r"\n*\Z", "\n\n", day) + tables(column, names).rstrip() + "\n"
            added += [f"{column} {name}" for name in names]
    return day, added


def read_settings_text(folder: Path) -> str:
    """Give the text of a folder's `day.toml`."""
    try:
        return (folder / SETTINGS_FILE).read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        fault = Fault(file=SETTINGS_FILE, problem="no such file in the day folder")
        raise FolderError((fault,)) from None


def own_sizes(folder: Path) -> dict[str, Size]:
    """Give the words for sizes of a day that there is; its faults are told where it is read."""
    notes = Findings()
    written = document.parse(read_settings_text(folder), SETTINGS_FILE, notes)
    if written is None:
        return {}
    return read_facts(written, read_settings(written, notes), notes).size_words
