"""What the form and the doctor page say about earlier versions of a table: when, and what would change."""

from __future__ import annotations

import difflib
import functools
from dataclasses import dataclass
from pathlib import Path

from woodcalc import disk
from woodcalc.lesson import own
from woodcalc.records import backup as backups
from woodcalc.records import keep
from woodcalc.records.cells import as_typed
from woodcalc.records.files import taken_apart
from woodcalc.records.keep import content
from woodcalc.records.letters import NoTextError, decoded

SHOWN = 3  # rows told one by one
_TOLD = 8  # sentences about a backup


def dated(path: str | Path) -> list[tuple[str, keep.Version]]:
    """Return the kept versions of a file as (when and how large, version), newest first.

    Examples
    --------
    >>> dated("no-such-folder/logs.csv")
    []
    """
    table = Path(path).stem.lower()
    return [
        (f"{v.when.day} {v.when:%b %Y, %H:%M:%S}, {_rows_of(v.path, v.path.stat().st_mtime_ns, table)}", v)
        for v in keep.versions(path)
        if is_there(v.path)
    ]


@functools.lru_cache(maxsize=1000)
def _rows_of(path, when, table):
    """How many rows a version holds: it stays as it is, and counting is slow in a long table."""
    return rows(content(path), table)


def is_there(path: Path) -> bool:
    """True if a file is there, or may be: in a folder that cannot be looked into it may.

    Examples
    --------
    >>> from pathlib import Path
    >>> is_there(Path("no-such-folder/logs.csv"))
    False
    """
    try:
        return path.exists()
    except OSError:
        return True


@dataclass(frozen=True)
class Undo:
    """What undoing would do, as a page tells it: to this file, as it was then, and to no other.

    Attributes
    ----------
    label : str
        When the version before was saved, and how large it is.
    version : keep.Version
    says : tuple of str
        What changes, in lines.
    shown : str
        The fingerprint of what the file held.
    """

    label: str
    version: keep.Version
    says: tuple[str, ...]
    shown: str


def undoes(path: Path) -> Undo | None:
    """Return what undoing the last save would do; None if there is no version before it.

    Examples
    --------
    >>> from pathlib import Path
    >>> undoes(Path("no-such-folder/logs.csv")) is None
    True
    """
    now = content(path)
    if not (earlier := dated(path)):
        return None
    label, version = earlier[0]
    return Undo(
        label, version, tuple(changes(now, content(version.path), path.stem.lower())), keep.fingerprint(now)
    )


def undo(path: Path, told: Undo | None = None) -> str:
    """Put the version before the last save back, and return what that changed, in a sentence.

    The version that goes is kept like any other, so that undoing twice brings it back.

    Parameters
    ----------
    path : Path
    told : Undo, optional
        What was told of it; what `undoes` says now if left out.

    Raises
    ------
    ChangedError
        The file is not as it was when that was told.
    SaveError
        Nothing was kept, or the file cannot be written.
    """
    told = told or undoes(path)
    if told is None:
        raise disk.SaveError(f"There is no earlier version of {path.name} to go back to.")
    label, version, said = told.label, told.version, told.says
    aside = ""
    if path.is_dir():  # in the file's place
        free = path.with_name(f"{path.name} set aside")
        aside = f" The folder that stood in its place is now called {free.name!r}."
        path.rename(free)
    keep.restore_version(path, version, told.shown)
    what = f": {'; '.join(said)}" if said else ""
    return f"Undone{what}. {path.name} is as it was on {label}.{aside or ' Undo once more brings the later one back.'}"


def before_damage(path: Path) -> bytes:
    """Return the text of a file whose end a power cut left full of empty bytes; nothing of any other.

    Examples
    --------
    >>> from pathlib import Path
    >>> before_damage(Path("no-such-folder/logs.csv"))
    b''
    """
    data = content(path)
    return data.rstrip(b"\0") if _damaged(data) else b""


def _damaged(data):
    """True for text with empty bytes behind it."""
    return data.endswith(b"\0") and b"\0" not in data.rstrip(b"\0")


def cut_damage(path: Path) -> str:
    """Keep the text before the empty bytes at the end of a file, and say so; the file as it was goes to the history."""
    with disk.locked(path):
        text = before_damage(path)
        if not text:
            raise disk.SaveError(f"{path.name} was changed in between. Nothing was written. Look again.")
        keep.save(path, text if text.endswith(b"\n") else text + b"\n")
    return f"{path.name} holds {rows(text)} again; look at the last one. The damaged file is kept, too."


def backup_changes(folder: Path, data: bytes) -> list[str]:
    """Say in lines what a backup would change in a folder.

    Parameters
    ----------
    folder : Path
    data : bytes
        The backup, as `backups.backup` makes it.

    Returns
    -------
    list of str

    Raises
    ------
    SaveError
        It is no backup.
    """
    files, told = backups.looked_through(data)
    told += backups.not_read(folder, files)
    said = []
    for name, then in sorted(files.items()):
        there, table = folder / name, Path(name).stem.lower()
        now = content(there)
        if not is_there(there):
            said.append(f"{name} comes back{f': {rows(then, table)}' if name.endswith('.csv') else ''}")
        elif now == then:
            said.append(f"{name} stays as it is")
        elif name.endswith(".csv"):
            said.append(f"{name}: {rows(then, table)} in place of {rows(now, table)}")
        else:
            said.append(f"{name} goes back to what it was")
    more = len(told) - _TOLD
    return [*said, *told[:_TOLD], *([f"and {more:,} more such sentences"] if more > 0 else [])]


def rows(data: bytes, table: str = "") -> str:
    """Say how many rows a table's bytes hold, the header not counted; of what is no table, what it is.

    Examples
    --------
    >>> rows(b"date,stack\\n2026-05-10,A\\n")
    '1 row'
    """
    told = _lines(data, table)
    return told[-1] or own.rows(_count(*told))


def count(data: bytes, table: str = "") -> int:
    """Return how many rows a table's bytes hold, good or not; neither the header nor what stands above it is one.

    Parameters
    ----------
    data : bytes
    table : str
        Which of the four, if that is known.

    Examples
    --------
    >>> count("our stacks\\ndate,stack,kind,value\\n2026-05-10,A,weight,12\\n,\\n".encode("utf-16"))
    1
    """
    return _count(*_lines(data, table))


def _count(told, sheet, _other):
    return len(sheet.row_numbers) if sheet else len(told[1:])


def _lines(data, table=""):
    """Return ((what it is called, text) of each line of a table that holds anything, the table taken apart or None,
    what it is if it is no text).
    """
    if sheet := taken_apart(data, table):
        above = [
            ("a line above the header", line) for line in sheet.text[: sheet.records[0].start].splitlines()
        ]
        called = ["the header", *(f"row {r.row}" for r in sheet.records[1:])]
        below = [
            (name, sheet.text[r.start : r.end].rstrip("\r\n"))
            for name, r in zip(called, sheet.records, strict=True)
            if r.cells
        ]
        return [line for line in above if line[1].strip()] + below, sheet, ""
    text, other = "", ""
    for part in (data, data.rstrip(b"\0")):  # a power cut leaves empty bytes at the end
        try:
            text, other = decoded(part)[0], ""
            break
        except NoTextError as error:
            other = error.found
    lines = enumerate([line for line in text.splitlines() if line.strip(" ,;\t")], 1)
    return [(f"row {n}" if n > 1 else "the header", line) for n, line in lines], None, other


def changes(now: bytes, then: bytes, table: str = "") -> list[str]:
    """Say in lines what changes if the bytes `then` take the place of `now`; an empty list if nothing does.

    Parameters
    ----------
    now, then : bytes
        Two versions of a table.
    table : str
        Which of the four, if that is known.

    Examples
    --------
    >>> changes(b"log,species\\n1,oak\\n2,ash\\n", b"log,species\\n1,red oak\\n")
    ['row 2: 1, oak becomes 1, red oak', 'row 3 goes out: 2, ash']
    """
    (a, _, other_now), (b, _, other_then) = _lines(now, table), _lines(then, table)
    if other_now or other_then:
        return [] if now == then else [f"{rows(then, table)} in place of {rows(now, table)}"]
    x, y = [line for _, line in a], [line for _, line in b]
    same = next((n for n, (i, j) in enumerate(zip(x, y, strict=False)) if i != j), min(len(x), len(y)))
    said = ["the empty bytes at its end go out"] if _damaged(now) and not _damaged(then) else []
    for tag, i, j, k, m in difflib.SequenceMatcher(None, x[same:], y[same:], autojunk=False).get_opcodes():
        if tag == "equal":
            continue
        i, j, k, m = i + same, j + same, k + same, m + same
        pairs = min(j - i, m - k)
        said += [f"{a[i + n][0]}: {_cells(x[i + n])} becomes {_cells(y[k + n])}" for n in range(pairs)]
        said += [f"{name} goes out: {_cells(line)}" for name, line in a[i + pairs : j]]
        said += [f"{name} comes back: {_cells(line)}" for name, line in b[k + pairs : m]]
    more = len(said) - SHOWN
    return said if more <= 1 else [*said[:SHOWN], f"and {more} more rows"]


def _cells(line):
    for mark in ";\t":
        line = line.replace(mark, ",")
    return ", ".join(as_typed(cell.strip(' "')) for cell in line.split(",") if cell.strip(' "'))[:120]
