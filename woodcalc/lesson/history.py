"""What the form and the doctor page say about earlier versions of a table: when, and what would change."""

from __future__ import annotations

import difflib
from pathlib import Path

from woodcalc import disk
from woodcalc.lesson import own
from woodcalc.records import backup as backups
from woodcalc.records import keep
from woodcalc.records.cells import as_typed
from woodcalc.records.columns import RecordsError
from woodcalc.records.sheet import decoded

SHOWN = 3  # rows told one by one
_TOLD = 8  # sentences about a backup


def dated(path: str | Path) -> list[tuple[str, keep.Version]]:
    """Return the kept versions of a file as (when and how large, version), newest first.

    Examples
    --------
    >>> dated("no-such-folder/logs.csv")
    []
    """
    return [
        (f"{v.when.day} {v.when:%b %Y, %H:%M:%S}, {rows(content(v.path))}", v) for v in keep.versions(path)
    ]


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


def content(path: Path) -> bytes:
    """Return the bytes of a file; none if it is not there or cannot be read."""
    try:
        return path.read_bytes()
    except OSError:
        return b""


def undo(path: Path) -> str:
    """Put the version before the last save back, and return what that changed, in a sentence.

    The version that goes is kept like any other, so that undoing twice brings it back.

    Raises
    ------
    SaveError
        Nothing was kept, or the file cannot be written.
    """
    earlier = dated(path)
    if not earlier:
        raise disk.SaveError(f"There is no earlier version of {path.name} to go back to.")
    label, version = earlier[0]
    aside = ""
    if path.is_dir():  # in the file's place
        free = path.with_name(f"{path.name} set aside")
        aside = f" The folder that stood in its place is now called {free.name!r}."
        path.rename(free)
    said = changes(content(path), content(version.path))
    keep.restore_version(path, version)
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
    said = []
    for name, then in sorted(files.items()):
        there = folder / name
        now = content(there)
        if not is_there(there):
            said.append(f"{name} comes back{f': {rows(then)}' if name.endswith('.csv') else ''}")
        elif now == then:
            said.append(f"{name} stays as it is")
        elif name.endswith(".csv"):
            said.append(f"{name}: {rows(then)} in place of {rows(now)}")
        else:
            said.append(f"{name} goes back to what it was")
    more = len(told) - _TOLD
    return [*said, *told[:_TOLD], *([f"and {more:,} more such sentences"] if more > 0 else [])]


def rows(data: bytes) -> str:
    """Say how many rows a table's bytes hold, the header not counted; of what is no table, what it is.

    Examples
    --------
    >>> rows(b"date,stack\\n2026-05-10,A\\n")
    '1 row'
    """
    return _lines(data)[1] or own.rows(count(data))


def count(data: bytes) -> int:
    """Return how many rows a table's bytes hold, the header not counted.

    Examples
    --------
    >>> count("date,stack\\n2026-05-10,A\\n,\\n".encode("utf-16"))
    1
    """
    return sum(1 for line in _lines(data)[0][1:] if line.strip(" ,;\t"))


def _lines(data):
    """Return (the lines of a table that hold anything, what it is if it is no table)."""
    text, other = "", ""
    for part in (data, data.rstrip(b"\0")):  # a power cut leaves empty bytes at the end
        try:
            text, other = decoded(part, "")[0], ""
            break
        except RecordsError as error:
            other = error.problems[0].found
    return [line for line in text.splitlines() if line.strip(" ,;\t")], other


def changes(now: bytes, then: bytes) -> list[str]:
    """Say in lines what changes if the bytes `then` take the place of `now`; an empty list if nothing does.

    Parameters
    ----------
    now, then : bytes
        Two versions of a table.

    Examples
    --------
    >>> changes(b"log,species\\n1,oak\\n2,ash\\n", b"log,species\\n1,red oak\\n")
    ['row 2: 1, oak becomes 1, red oak', 'row 3 goes out: 2, ash']
    """
    (a, other_now), (b, other_then) = _lines(now), _lines(then)
    if other_now or other_then:
        return [] if now == then else [f"{rows(then)} in place of {rows(now)}"]
    same = next((n for n, (x, y) in enumerate(zip(a, b, strict=False)) if x != y), min(len(a), len(b)))
    said = ["the empty bytes at its end go out"] if _damaged(now) and not _damaged(then) else []
    for tag, i, j, k, m in difflib.SequenceMatcher(None, a[same:], b[same:], autojunk=False).get_opcodes():
        if tag == "equal":
            continue
        i, j, k, m = i + same, j + same, k + same, m + same
        pairs = min(j - i, m - k)
        said += [f"{_row(i + n)}: {_cells(a[i + n])} becomes {_cells(b[k + n])}" for n in range(pairs)]
        said += [f"{_row(n)} goes out: {_cells(a[n])}" for n in range(i + pairs, j)]
        said += [f"{_row(n)} comes back: {_cells(b[n])}" for n in range(k + pairs, m)]
    more = len(said) - SHOWN
    return said if more <= 1 else [*said[:SHOWN], f"and {more} more rows"]


def _row(index):
    return f"row {index + 1}" if index else "the header"


def _cells(line):
    for mark in ";\t":
        line = line.replace(mark, ",")
    return ", ".join(as_typed(cell.strip(' "')) for cell in line.split(",") if cell.strip(' "'))[:120]
