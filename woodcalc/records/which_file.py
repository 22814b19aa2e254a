"""Which file of a folder holds which of the four tables, and what lies there under other names."""

from __future__ import annotations

import difflib
import functools
import os
import re
from pathlib import Path

from woodcalc.disk import remember
from woodcalc.records.columns import ALL, TABLES, Problem


def of_whole(file: str, found: str, expected: str) -> Problem:
    """Return a problem of a whole file.

    Examples
    --------
    >>> str(of_whole("logs.csv", "a folder", "a file of that name"))
    'logs.csv: found a folder; expected a file of that name'
    """
    return Problem(file, None, ALL, found, expected)


def table_files(path: Path, own: bool) -> tuple[dict[str, Path], list[Problem], list[str]]:
    """Return ({table: its file}, problems, notes) of a folder, or of a single file.

    Parameters
    ----------
    path : Path
    own : bool
        The learner's own folder: it need not be there yet.

    Examples
    --------
    >>> table_files(Path("no-such-folder"), True)
    ({}, [], [])
    """
    try:
        if path.is_file():
            if path.suffix.lower() in (".csv", ".txt", ".tsv"):
                return {path.stem.lower() if path.stem.lower() in TABLES else "logs": path}, [], []
            return {}, [of_whole(path.name, "a file", "a folder of that name. Rename the file")], []
        if not path.exists():
            expected = (
                "a folder that holds logs.csv, boards.csv, stacks.csv or readings.csv. Is the name right?"
            )
            return {}, [] if own else [of_whole(path.name or str(path), "no such folder", expected)], []
        there = sorted(path.iterdir())
        remember(path)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        trouble = of_whole(path.name, f"a folder that cannot be read ({why})", "a folder that you may open")
        return {}, [trouble], []
    files: dict[str, Path] = {}
    problems: list[Problem] = []
    notes: list[str] = []
    for table in TABLES:
        name = f"{table}.csv"
        named = [p for p in there if p.name.lower() == name]
        exact = [p for p in named if p.name == name]
        if exact or (named and os.path.exists(path / name)):  # a disk may make no difference of capitals
            files[table] = (exact or named)[0]
        for other in there:
            if other == files.get(table) or meant(other.name) != table or os.path.isdir(other):
                continue
            if other in named and table in files:
                expected = f"one file of that name; {files[table].name} is used"
                problems.append(of_whole(other.name, "a second file of that name", expected))
            elif table in files:
                notes.append(
                    f"{name}: the file {other.name} lies beside it and is not read. Does it hold more rows?"
                )
            elif other.suffix.lower() in _BOOKS:
                expected = f"{name}. In the spreadsheet: Save as, type CSV UTF-8"
                problems.append(of_whole(other.name, "a spreadsheet workbook", expected))
            else:
                hidden = (
                    " (Windows may hide the ending .txt)" if other.name.lower().endswith(".csv.txt") else ""
                )
                expected = f"the name {name}. Rename it to {name}{hidden}"
                problems.append(of_whole(other.name, "a file that is not read under this name", expected))
    return files, problems, notes


_BOOKS = (".xlsx", ".xls", ".ods", ".numbers")
_ENDINGS = (".csv", ".txt", ".tsv", ".tab", *_BOOKS, "")
_BESIDE = {
    "csv",
    "txt",
    "tsv",
    "tab",
    "xlsx",
    "xls",
    "ods",
    "numbers",
    "copy",
    "of",
    "my",
    "new",
    "old",
    "final",
}


@functools.lru_cache(1000)
def meant(name: str) -> str:
    """Return the table that the name of a file seems to mean, "" if none.

    Examples
    --------
    >>> meant("logs (1).csv"), meant("Logs.csv.txt"), meant("logs-backup.csv"), meant("plan.csv")
    ('logs', 'logs', 'logs', '')
    """
    words = [word for word in re.findall(r"[a-z]+", name.lower()) if word not in _BESIDE]
    if name.startswith(".") or Path(name).suffix.lower() not in _ENDINGS or not words:
        return ""
    if len(words) > 1:  # logs-DESKTOP-4.csv, logs conflicted copy.csv, logs-backup.csv
        return words[0] if words[0] in TABLES and Path(name).suffix.lower() in (".csv", *_BOOKS) else ""
    return next(iter(difflib.get_close_matches(words[0], TABLES, 1, 0.8)), "")
