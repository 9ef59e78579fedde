"""The files of a day folder: found, kept inside it, and read within stated limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath, PureWindowsPath

from sunsched.folder.text import words
from sunsched.folder.text.findings import Findings, Where, shown

SETTINGS_FILE = "day.toml"
LOG_FILE = "log.csv"
TORN_FILE = "log-torn.csv"  # lines that were cut off
MAX_FILE_BYTES = 5_000_000
UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
ZIP_MARK = b"PK\x03\x04"
LINK_TO_NOTHING = "a link to a file that is not there"
SAVE_AS_UTF8 = "save it again as text in UTF-8"


@dataclass(frozen=True, slots=True, kw_only=True)
class Files:
    """A day folder that exists, with the names of what it holds.

    `unsaved` has files that are read as if they stood there, in the place of those of the same
    names.
    """

    folder: Path
    names: tuple[str, ...]
    unsaved: Mapping[str, bytes] = field(default_factory=dict)


def open_folder(
    folder: Path, findings: Findings, unsaved: Mapping[str, bytes] | None = None
) -> Files | None:
    """List a day folder; None, with the fault noted, when there is none to read."""
    unsaved = unsaved or {}
    where = Where(file=shown(str(folder)))
    try:
        if not folder.exists():
            findings.fault(where, "no such folder", expected="a day folder")
        elif not folder.is_dir():
            hint = "give the folder, not a file in it" if folder.name == "day.toml" else ""
            findings.fault(where, "not a folder", expected="a day folder", hint=hint)
        else:
            names = tuple(sorted({*(path.name for path in folder.iterdir()), *unsaved}))
            return Files(folder=folder, names=names, unsaved=unsaved)
    except OSError as error:
        findings.fault(where, f"cannot be read ({_reason(error)})")
    return None


def read_bytes(files: Files, name: str, findings: Findings) -> bytes | None:
    """Read one whole file of the folder; None, with the fault noted, when that cannot be done."""
    where = Where(file=shown(name))
    path = files.folder / name
    findings.files.append(name)
    unsaved = files.unsaved.get(name)
    if unsaved is not None:
        if len(unsaved) <= MAX_FILE_BYTES:
            return unsaved
        note_size(len(unsaved), where, findings)
        return None
    try:
        if not path.resolve().is_relative_to(files.folder.resolve()):
            findings.fault(where, "a link that leads out of the day folder")
        elif is_dangling(path):
            findings.fault(where, LINK_TO_NOTHING)
        elif not path.is_file():
            # Pipes and devices would be waited for without end.
            findings.fault(where, "not a file")
        elif path.stat().st_size > MAX_FILE_BYTES:
            note_size(path.stat().st_size, where, findings)
        else:
            return path.read_bytes()
    except (OSError, RuntimeError) as error:  # a loop of links is a RuntimeError before 3.13
        findings.fault(where, f"cannot be read ({_reason(error)})")
    return None


def read_text(files: Files, name: str, findings: Findings, *, strict: bool = False) -> str | None:
    """Read one text file; line ends come out as `\\n`.

    Parameters
    ----------
    files : Files
        The folder.
    name : str
        Path of the file inside the folder.
    findings : Findings
        Where faults and warnings are noted.
    strict : bool
        Take UTF-8 only; else the Windows code page 1252 is taken too, with a warning.

    Returns
    -------
    str or None
        None when the file cannot be read as text.
    """
    raw = read_bytes(files, name, findings)
    return None if raw is None else text_of(raw, name, findings, strict=strict)


def text_of(raw: bytes, name: str, findings: Findings, *, strict: bool = False) -> str | None:
    """Give the content of one text file as text, as `read_text` does."""
    where = Where(file=shown(name))
    if raw.startswith(UTF16_MARKS):
        findings.fault(where, "saved as UTF-16", expected="UTF-8", hint=SAVE_AS_UTF8)
        return None
    if raw.startswith(ZIP_MARK):
        findings.fault(
            where,
            "a workbook or an archive, not a text file",
            expected="text in UTF-8",
            hint="a workbook's name ends in `.xlsx` or `.ods`",
        )
        return None
    if b"\x00" in raw:
        findings.fault(
            where, "not a text file (it holds NUL bytes)", expected="UTF-8", hint=SAVE_AS_UTF8
        )
        return None
    text = _decoded(raw, where, findings, strict=strict)
    return None if text is None else text.replace("\r\n", "\n").replace("\r", "\n")


def inside(files: Files, name: str, where: Where, findings: Findings) -> bool:
    """True when a file named in `day.toml` stands in the folder; else a fault is noted."""
    windows, plain = PureWindowsPath(name), PurePosixPath(name)
    if windows.drive or windows.root or plain.is_absolute() or ".." in windows.parts:
        findings.fault(
            where,
            "points outside the day folder",
            name,
            expected="the name of a file in the day folder",
        )
        return False
    try:
        found = name in files.unsaved or (files.folder / name).exists()
    except OSError:
        found = False  # a name that the system cannot hold is a file that is not there
    if not found and is_dangling(files.folder / name):
        findings.fault(where, LINK_TO_NOTHING, name)
    elif not found:
        findings.fault(where, "no such file", name, hint=words.did_you_mean(name, files.names))
    return found


def is_dangling(path: Path) -> bool:
    """Say whether a link leads to a file that is not there."""
    try:
        return path.is_symlink() and not path.exists()
    except OSError:
        return False  # a loop, or a name that the system cannot hold


def _decoded(raw: bytes, where: Where, findings: Findings, *, strict: bool) -> str | None:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        # The place is counted in what was decoded, which a leading mark shortens by itself.
        before = error.object[: error.start].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        line = before.count(b"\n") + 1
    at = Where(file=where.file, line=line)
    if not strict:
        try:
            text = raw.decode("cp1252")
        except UnicodeDecodeError:
            pass
        else:
            findings.warn(
                at,
                "not UTF-8; read as Windows-1252",
                hint=f"check the accents, and {SAVE_AS_UTF8}",
            )
            return text
    findings.fault(at, "bytes that are not text", expected="UTF-8", hint=SAVE_AS_UTF8)
    return None


def note_size(size: int, where: Where, findings: Findings) -> None:
    """Note a file that is too long to be read."""
    expected = f"at most {MAX_FILE_BYTES:,} bytes"
    findings.fault(where, f"{size:,} bytes long", expected=expected)


def _reason(error: OSError | RuntimeError) -> str:
    return str(getattr(error, "strerror", None) or "its links run in a circle").lower()
