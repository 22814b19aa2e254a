"""The learner's own wood in four CSV tables (logs, boards, stacks, readings): read, check, add, correct.

Reading takes what people and spreadsheets really write (semicolons, decimal commas, 14 1/2, other headers)
and never changes the file. What cannot be read is listed, all of it at once, by file, row and column.
Adding and correcting leave every other line of the file as it was, byte for byte.
"""

from __future__ import annotations

import contextlib
import functools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

from woodcalc.checks import InputError, blank
from woodcalc.disk import ChangedError, SaveError, locked, short_path, why_of
from woodcalc.records import choices
from woodcalc.records.cells import as_text, csv_text, inert, same_row
from woodcalc.records.choices import KETTLE_HOLLOW
from woodcalc.records.columns import (
    ALL,
    MARKS,
    TABLES,
    Problem,
    RecordsError,
    columns_of,
    number_rows,
)
from woodcalc.records.keep import MeanwhileError, Version, answered, content, fingerprint, save, versions
from woodcalc.records.sheet import Sheet, cells_of, file_bytes, next_mark, taken_apart
from woodcalc.records.which_file import meant

if TYPE_CHECKING:
    import pandas as pd

_P = ParamSpec("_P")
_T = TypeVar("_T")


def schema(table: str) -> pd.DataFrame:
    """Return the columns of a table as a DataFrame: name, meaning, what a cell holds, needed, an example.

    Parameters
    ----------
    table : str
        ``"logs"``, ``"boards"``, ``"stacks"`` or ``"readings"``.

    Examples
    --------
    >>> list(schema("logs").query("needed == 'yes'")["column"])
    ['species', 'small_in', 'length_ft']
    """
    import pandas as pd

    return pd.DataFrame(
        [
            {
                "column": c.name,
                "means": c.means,
                "holds": c.expected,
                "needed": "yes" if c.needed else "",
                "example": c.example,
            }
            for c in columns_of(table)
        ]
    )


def read(path: str | Path, table: str | None = None) -> pd.DataFrame:
    """Read one table; the file itself is never changed.

    Parameters
    ----------
    path : path
        A CSV file: commas, semicolons or tabs, with or without byte-order mark, decimal points or commas,
        headers in any case, with other common names, with the unit behind them (``Diameter (cm)``).
    table : str, optional
        Which of the four; taken from the file's name if left out.

    Returns
    -------
    DataFrame
        All columns of the table, then any others as text. The index is the row in the file, as a spreadsheet
        counts. ``.attrs["notes"]`` lists how the file was understood, ``.attrs["version"]`` stands for
        its content.

    Raises
    ------
    RecordsError
        The problems found, each with file, row, column, what was found and what was expected.

    Examples
    --------
    >>> read(KETTLE_HOLLOW / "logs.csv").loc[3, "species"]
    'northern red oak'
    """
    path = Path(path)
    table = table or path.stem.lower()
    columns_of(table)  # an unknown table is the first thing to say
    return Sheet.parse(file_bytes(path), path.name, table).frame()


def read_folder(folder: str | Path) -> dict[str, pd.DataFrame]:
    """Read those of the four tables that a folder holds.

    Parameters
    ----------
    folder : path
        A folder with at least one of ``logs.csv``, ``boards.csv``, ``stacks.csv``, ``readings.csv``.

    Returns
    -------
    dict
        Table name to DataFrame.

    Raises
    ------
    RecordsError
        The problems of all tables together.
    InputError
        No such folder, or none of the tables in it.

    Examples
    --------
    >>> sorted(read_folder(KETTLE_HOLLOW))
    ['boards', 'logs', 'readings', 'stacks']
    """
    folder = Path(folder)
    try:
        if not folder.is_dir():
            raise InputError(
                f"no folder {str(folder)!r}. Expected one that holds {', '.join(f'{t}.csv' for t in TABLES)}."
            )
        files = {p.name.lower(): p for p in sorted(folder.iterdir()) if p.is_file()}
    except OSError as error:
        raise InputError(f"folder {str(folder)!r} cannot be read: {error.strerror or error}.") from None
    tables: dict[str, pd.DataFrame] = {}
    problems: list[Problem] = []
    for table in TABLES:
        if f"{table}.csv" in files:
            try:
                tables[table] = read(files[f"{table}.csv"], table)
            except RecordsError as error:
                problems += error.problems
    if problems:
        raise RecordsError(problems)
    if not tables:
        raise InputError(
            f"folder {folder.name!r} holds none of {', '.join(f'{t}.csv' for t in TABLES)}. "
            f"Found: {', '.join(files) or 'nothing'}."
        )
    return tables


def folder() -> Path:
    """Return the folder of the learner's own records, or Kettle Hollow's until there are some.

    Examples
    --------
    >>> any((folder() / f"{table}.csv").exists() for table in TABLES)
    True
    """
    try:
        mine = choices.folder()
        return mine if any((mine / f"{table}.csv").exists() for table in TABLES) else KETTLE_HOLLOW
    except (OSError, InputError):  # moved away, or not to be looked into
        return KETTLE_HOLLOW


def problems_in(
    row: Mapping[str, Any], table: str, file: str = "this row"
) -> tuple[dict[str, Any], list[Problem]]:
    """Check one row before it is kept.

    Parameters
    ----------
    row : dict
        Column name to text or value, as typed.
    table : str
        Which of the four tables.
    file : str
        What to call it in the messages.

    Returns
    -------
    tuple
        ``(values, problems)``: the row as it would be kept, and a list of `Problem`, empty if it is good.

    Examples
    --------
    >>> values, problems = problems_in({"species": "red oka", "small_in": "14 1/2", "length_ft": 12}, "logs")
    >>> values["small_in"]
    14.5
    >>> problems[0].column
    'species'
    """
    sheet = Sheet.blank(file, table)
    unknown = [
        Problem(
            file,
            None,
            name,
            "a column that this table does not have",
            ", ".join(c.name for c in sheet.columns),
        )
        for name in row
        if name not in sheet.names
    ]
    texts = [["" if blank(row.get(c.name)) else as_text(row[c.name]) for c in sheet.columns]]
    values, problems = sheet.values(texts, [None])
    return {name: column[0] for name, column in values.items()}, unknown + problems


def _begun_anew(do: Callable[_P, _T]) -> Callable[_P, _T]:
    """A change of a table, worked out anew from what another program wrote meanwhile; given up if that goes on."""

    @functools.wraps(do)
    def changed(*args: _P.args, **kwargs: _P.kwargs) -> _T:
        for _ in range(_TRIES):
            with contextlib.suppress(MeanwhileError):
                return do(*args, **kwargs)
        return do(*args, **kwargs)

    return changed


_TRIES = 3


@_begun_anew
def append(
    path: str | Path, row: Mapping[str, Any], table: str | None = None, anew: bool = False
) -> pd.DataFrame:
    """Add one row at the end of a file, which is made if need be; all other lines stay as they are.

    The file is read anew under a lock, so two programs that add to one file lose nothing. A log or board without a
    mark gets the next free number. A bad row elsewhere in the file is no hindrance: it stays as it is.

    Parameters
    ----------
    path : path
        The CSV file.
    row : dict
        Column name to text or value.
    table : str, optional
        Which of the four; from the file's name if left out.
    anew : bool
        Begin a new file although an earlier one, which `lost` finds, is gone or empty.

    Returns
    -------
    DataFrame
        The table with the new row.

    Raises
    ------
    RecordsError
        The row has problems, or the file that is there as a whole; nothing is written.
    ChangedError
        The file is gone or empty and held rows before.
    SaveError
        Disk full, file read-only or in use; nothing is lost.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as mine:
    ...     row = {"species": "red oak", "small_in": "14 1/2", "length_ft": 12}
    ...     append(Path(mine) / "logs.csv", row)["small_in"].to_dict()
    {2: 14.5}
    """
    path = Path(path)
    table = table or path.stem.lower()
    values, problems = problems_in(row, table)
    if problems:
        raise RecordsError(problems)
    with locked(path):
        data = file_bytes(path, missing=b"")
        if not anew and (before_now := lost(path, table)):
            raise ChangedError(
                f"{before_now} Nothing was written. Go back to it, or say that a new one is to begin."
            )
        sheet = Sheet.parse(data, path.name, table) if data.strip() else Sheet.blank(path.name, table)
        if cut := sheet.cut_off():  # an end of line behind it would make it pass for a whole one
            raise SaveError(
                f"{path.name} was not saved: it seems to be cut off in row {cut.row} ({cut.about}). Say first whether "
                "that row is whole, here or on the doctor page in lesson 0. Nothing in the file was changed."
            )
        before, aside = sheet.rows()  # a row that is set aside stays as it is
        if table in ("logs", "boards") and not values[MARKS[table]]:
            values[MARKS[table]] = next_mark(path, sheet, before)
        sheet = sheet.with_row(values)
        after, problems = sheet.rows()
        _raise_new(problems, aside)
        if list(after.index[:-1]) != list(before.index):
            raise SaveError(
                f"{short_path(path)} was not saved: the new row could not be told from the others."
            )
        _save(path, sheet, after, data)
        if anew:  # what an earlier file held is meant to be gone
            answered(path)
    return after


@_begun_anew
def correct(
    path: str | Path,
    row_number: int,
    before: Mapping[str, Any],
    after: Mapping[str, Any] | None,
    table: str | None = None,
) -> pd.DataFrame:
    """Put `after` in the place of one row, or take the row out; all other lines stay as they are.

    Parameters
    ----------
    path : path
        The CSV file.
    row_number : int
        The row in the file (the index of `read`).
    before : dict or Series
        The row as it was read, or `as_written` if it was set aside; if the file holds something else there by now,
        nothing is written.
    after : dict or None
        The new row, or None to take it out.
    table : str, optional
        Which of the four; from the file's name if left out.

    Returns
    -------
    DataFrame
        The table with the change.

    Raises
    ------
    ChangedError
        Someone else changed the row in between.
    RecordsError, SaveError
        As in `append`.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as mine:
    ...     path = Path(mine) / "logs.csv"
    ...     before = append(path, {"species": "red oak", "small_in": 14.5, "length_ft": 12}).loc[2]
    ...     correct(path, 2, before, dict(before) | {"small_in": 15.5})["small_in"].tolist()
    [15.5]
    """
    path = Path(path)
    table = table or path.stem.lower()
    values = None
    if after is not None:
        values, problems = problems_in(dict(after), table)
        if problems:
            raise RecordsError(problems)
    with locked(path):
        sheet = Sheet.parse(data := file_bytes(path), path.name, table)
        now, aside = sheet.rows()
        # what two rows differ in may be a column of the learner's own
        names = [*(c.name for c in sheet.columns), *(n for n in sheet.extra if n in before)]
        written = {name: sheet.cell(row_number, name) for name in names}
        there = dict(now.loc[row_number, names]) if row_number in now.index else written
        same = same_row(there, before) or same_row(written, before)
        if row_number not in sheet.row_numbers or not same:
            held = ", ".join(f"{name} {as_text(value)}" for name, value in there.items() if not blank(value))
            raise ChangedError(
                f"{path.name} was changed by another program: row {row_number} "
                f"{f'now reads {held}' if row_number in sheet.row_numbers else 'is gone'}. "
                "Nothing was written. Look at the table again, then make your correction."
            )
        if sheet.unmarked:  # the others keep the marks that boards know them by
            mark, marks = MARKS[table], sheet.unmarked
            sheet = sheet.with_cells(marks, mark)
            if values is not None:
                values[mark] = values[mark] or marks.get(row_number, "") or next_mark(path, sheet, now)
        sheet = sheet.with_row(values, row_number, there)
        result, problems = sheet.rows()
        _raise_new(problems, aside, row_number, gone=values is None)
        _save(path, sheet, result, data)
    return result


def _raise_new(problems, aside, row=None, gone=False):
    """Raise the problems that a change brings with it; those of rows that were set aside before stay theirs.

    `row` is the one that was changed, which must be good now; `gone`: it was taken out, and those below moved up.
    """
    known = {p.row - (gone and p.row > row) for p in aside if p.row != row}
    if new := [p for p in problems if p.row not in known]:
        raise RecordsError(new)


def as_written(path: str | Path, row_number: int, table: str | None = None) -> dict[str, str]:
    """Return the cells of one row as they stand in the file, also of a row that is set aside.

    Parameters
    ----------
    path : path
        The CSV file.
    row_number : int
        The row in the file, as a problem names it.
    table : str, optional
        Which of the four; from the file's name if left out.

    Returns
    -------
    dict
        Column name to text; "" where there is no cell.

    Examples
    --------
    >>> as_written(KETTLE_HOLLOW / "logs.csv", 3)["small_in"]
    '18.5'
    """
    path = Path(path)
    sheet = Sheet.parse(file_bytes(path), path.name, table or path.stem.lower())
    return {c.name: sheet.cell(row_number, c.name) for c in sheet.columns}


@_begun_anew
def mend(
    path: str | Path,
    problem: Problem,
    table: str | None = None,
    holds: Mapping[str, str] | None = None,
    also: Sequence[tuple[Problem, Mapping[str, str]]] = (),
) -> pd.DataFrame:
    """Write the likely mend of a problem or doubt into its cell; all other cells stay as they are.

    Parameters
    ----------
    path : path
        The CSV file.
    problem : Problem
        From `read_usable`, with a `mend`.
    table : str, optional
        Which of the four; from the file's name if left out.
    holds : dict, optional
        The row's `cells_of` when the mend was offered: another row may have its number by now.
    also : sequence of (Problem, dict)
        More of the same column, each with its row's `cells_of`: all are mended with one save, or none.

    Returns
    -------
    DataFrame
        The table with the change; rows that are still not good are left out.

    Raises
    ------
    InputError
        The problem has no mend.
    ChangedError
        The cell, or the row, is no longer what it was.
    SaveError
        As in `append`.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as mine:
    ...     path = Path(mine) / "logs.csv"
    ...     _ = path.write_text("species,small_in,length_ft\\nwhite oka,14,12\\n")
    ...     try:
    ...         read(path)
    ...     except RecordsError as error:
    ...         mend(path, error.problems[0])["species"].tolist()
    ['white oak']
    """
    path = Path(path)
    table = table or path.stem.lower()
    if problem.row is None or problem.column == ALL or not problem.mend:
        raise InputError(f"{problem}. What was meant cannot be told: please correct it by hand.")
    with locked(path):
        sheet = Sheet.parse(data := file_bytes(path), path.name, table)
        there = sheet.cell(problem.row, problem.column)
        for each, held in ((problem, holds), *also):
            if held is not None and cells_of(sheet, each.row or 0) != held:
                raise ChangedError(
                    f"{path.name} was changed in between: row {each.row} is another row now, or reads otherwise. "
                    "Nothing was written. Look at the table again."
                )
        if problem.cell is not None and there != problem.cell:
            raise ChangedError(
                f"{path.name} was changed in between: row {problem.row}, column {problem.column} now holds "
                f"{there or 'nothing'!r}. Nothing was written. Look at the table again."
            )
        mends = {each.row: each.mend for each in (problem, *(each for each, _ in also)) if each.row}
        sheet = sheet.with_cells(mends, problem.column)
        frame, problems = sheet.rows()
        still = [p for p in problems if p.row in mends and p.column in (problem.column, ALL)]
        if still:
            raise RecordsError(still)
        _save(path, sheet, frame, data)
    return frame


def _save(path, sheet, meant, read):
    """Save a changed sheet, after its bytes have been read once more and say what is meant."""
    data = sheet.data
    again, _ = Sheet.parse(data, path.name, sheet.table, sheet.order).rows()
    if not again.equals(meant):
        raise SaveError(
            f"{short_path(path)} was not saved: what would be written reads differently. Nothing in the file was "
            "changed."
        )
    return save(path, data, read=read)


def write(
    path: str | Path,
    frame: pd.DataFrame | list[dict[str, Any]],
    table: str | None = None,
    version: str | None = None,
) -> str:
    """Write a whole table in the plain form: UTF-8, commas, decimal points, ISO dates.

    Parameters
    ----------
    path : path
        The CSV file. What was there is kept in its history (`keep.versions`).
    frame : DataFrame or list of dicts
        The table; columns that the schema does not know are written after the others.
    table : str, optional
        Which of the four; from the file's name if left out.
    version : str, optional
        ``frame.attrs["version"]`` of the `read` that it came from, which is also used if this is left out. If
        the file has changed since, nothing is written; a frame that was not read must go to a new file.

    Returns
    -------
    str
        The new version.

    Raises
    ------
    ChangedError
        The file is not the one that was read, or is already there.
    RecordsError, SaveError
        As in `append`.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as mine:
    ...     path = Path(mine) / "logs.csv"
    ...     _ = write(path, [{"species": "white oak", "small_in": 14, "length_ft": 12}])
    ...     read(path)["species"].tolist()
    ['white oak']
    """
    import pandas as pd

    path = Path(path)
    frame = pd.DataFrame(frame) if isinstance(frame, list) else frame
    table = table or path.stem.lower()
    columns = columns_of(table)
    if table in ("logs", "boards"):
        mark = MARKS[table]
        marks = [as_text(m) for m in frame[mark]] if mark in frame else [""] * len(frame)
        frame = frame.assign(**{mark: number_rows(marks)})
    names = [c.name for c in columns if c.name in frame or c.needed]
    extra = [c for c in frame.columns if c not in {c.name for c in columns}]
    rows = [names + [inert(str(c)) for c in extra]]
    words = {c.name for c in columns if c.kind == "text"} | set(extra)
    rows += [
        [
            inert(as_text(v)) if name in words else as_text(v)
            for name, v in zip(names + extra, record, strict=True)
        ]
        for record in frame.reindex(columns=names + extra).itertuples(index=False, name=None)
    ]
    data = csv_text(rows, ",", "\n").encode("utf-8")
    Sheet.parse(data, path.name, table).frame()  # raises before anything is touched
    with locked(path):
        old = file_bytes(path, missing=None)
        there = None if old is None else fingerprint(old)
        was_read = frame.attrs.get("version") if version is None and there is not None else version
        if there != was_read:
            raise ChangedError(
                f"{path.name} {'is already there' if version is None else 'was changed in between'}. "
                "Nothing was written. Read it again and make your change on what is there now."
            )
        return save(path, data, read=old or b"")


@dataclass(frozen=True)
class Lost:
    """What a table held that is gone or empty now.

    Attributes
    ----------
    file : str
    gone : bool
        False: the file is there, and there is nothing in it.
    rows : int
    version : Version
        The newest that holds rows.
    """

    file: str
    gone: bool
    rows: int
    version: Version

    def __str__(self):
        how = "There is no" if self.gone else "There is nothing in"
        many = f"{self.rows:,} rows" if self.rows > 1 else "one row"
        return f"{how} {self.file}, but an earlier version of it holds {many}, saved on {self.version}."


def lost(path: str | Path, table: str | None = None) -> Lost | None:
    """Return what a table held that is gone or empty now; None if it holds anything, or never held a row.

    A header without rows is no loss: somebody took the rows out.

    Parameters
    ----------
    path : path
        The table.
    table : str, optional
        Which of the four; from the file's name if left out.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "logs.csv"
    >>> _ = append(path, {"species": "red oak", "small_in": 14.5, "length_ft": 12})
    >>> lost(path) is None
    True
    >>> path.unlink()
    >>> str(lost(path)).partition(", saved")[0]
    'There is no logs.csv, but an earlier version of it holds one row'
    """
    path = Path(path)
    if path.is_dir() or content(path).strip(_EMPTY) or not (earlier := versions(path)):
        return None
    for version in earlier:
        sheet = taken_apart(content(version.path), table or path.stem.lower())
        if sheet and (rows := len(sheet.row_numbers)):
            return Lost(path.name, not path.exists(), rows, version)
    return None


_EMPTY = b" \t\r\n\0\xef\xbb\xbf\xff\xfe"  # what an empty file may hold


def near_names(path: str | Path) -> list[Path]:
    """Return the files beside a table that seem to be it under another name, newest first.

    Parameters
    ----------
    path : path
        The table, such as ``my-wood/logs.csv``; it may be there, or missing.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as mine:
    ...     _ = (Path(mine) / "logs.csv.txt").write_text("species,small_in,length_ft")
    ...     [near.name for near in near_names(Path(mine) / "logs.csv")]
    ['logs.csv.txt']
    """
    path = Path(path)
    try:
        near = [
            p
            for p in path.parent.iterdir()
            if meant(p.name) == path.stem
            and p.suffix.lower() in _TEXTS
            and p.is_file()
            and p.name != path.name
        ]
        if path.exists():  # a disk may make no difference of capitals
            near = [p for p in near if not p.samefile(path)]
        return sorted(near, key=lambda p: p.stat().st_mtime, reverse=True)
    except OSError:  # no folder, or not to be looked into: told elsewhere
        return []


_TEXTS = (".csv", ".txt", ".tsv", ".tab", "")


def take_as(path: str | Path, near: str | Path) -> str:
    """Give a file that lies beside a missing table the table's name; its content is kept in the history, too.

    Parameters
    ----------
    path : path
        The table, which must not be there.
    near : path
        One of `near_names`.

    Returns
    -------
    str
        What kept the other name from going away; "" if it has gone.

    Raises
    ------
    ChangedError
        The table is there by now.
    SaveError
        As in `append`; both files are as they were.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as mine:
    ...     table, near = Path(mine) / "logs.csv", Path(mine) / "Logs (1).csv"
    ...     _ = near.write_text("species,small_in,length_ft")
    ...     take_as(table, near), table.read_text(), near.exists()
    ('', 'species,small_in,length_ft', False)
    """
    path, near = Path(path), Path(near)
    with locked(path):
        if path.exists():
            raise ChangedError(f"{path.name} is there by now. Nothing was renamed. Look at the table again.")
        save(path, file_bytes(near))  # at every moment one of the two names holds the whole table
        try:
            near.unlink()
        except OSError as error:
            return why_of(error)
    return ""


def text(value: Any) -> str:
    """Return a value of a table as it is written in a file: ISO date, shortest number, empty if missing.

    Examples
    --------
    >>> text(12.0), text(float("nan"))
    ('12', '')
    """
    return as_text(value)


def links(tables: dict[str, pd.DataFrame]) -> list[str]:
    """Return sentences about rows of one table that point to nothing in another.

    Parameters
    ----------
    tables : dict
        As from `read_folder`.

    Examples
    --------
    >>> import pandas as pd
    >>> links({"stacks": pd.DataFrame({"stack": ["A"]}), "readings": pd.DataFrame({"stack": ["A", "B"]})})
    ['readings.csv speaks of stack B, which stacks.csv does not have']
    """
    found = []
    for table, column, of in (("boards", "log", "logs"), ("readings", "stack", "stacks")):
        if table in tables and of in tables:
            known = set(tables[of][column])
            lost = [v for v in dict.fromkeys(tables[table][column]) if not blank(v) and v not in known]
            if lost:
                named = ", ".join(map(str, lost[:5])) + (" ..." if len(lost) > 5 else "")
                found.append(f"{table}.csv speaks of {column} {named}, which {of}.csv does not have")
    return found
