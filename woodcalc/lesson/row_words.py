"""Rows of the learner's tables in the words of a form: labels and fields, cells as they were measured, what changed."""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from woodcalc import records
from woodcalc.checks import InputError, capital
from woodcalc.dates import possible_days
from woodcalc.lesson import own
from woodcalc.lesson.box import table
from woodcalc.lesson.held import count, measured, rows
from woodcalc.moisture import meter_range_pct
from woodcalc.records.cells import as_measured, as_shown, same_row
from woodcalc.records.columns import MARKS
from woodcalc.records.keep import content
from woodcalc.records.sheet import cells_of, taken_apart

if TYPE_CHECKING:
    from collections.abc import Callable

    import pandas as pd

    from woodcalc.records.columns import Column, Problem
    from woodcalc.records.sheet import Sheet
    from woodcalc.records.usable import OwnTables


TYPED = "this row"  # the file of a problem in what was typed
KINDS = {
    c.name: c.kind for columns in records.TABLES.values() for c in columns if c.kind in ("in", "ft", "F")
}
_DAYS = {c.name for columns in records.TABLES.values() for c in columns if c.kind == "date"}
# where the logs, boards and stacks are named, too, and how it is said
_TELLS = {
    "logs": ("boards", "board", "came from it"),
    "boards": ("readings", "reading", "came from it"),
    "stacks": ("readings", "reading", "came from it"),
}


def label(column: Column) -> str:
    """Return what a form calls a column, with its unit, and a star if it is needed.

    Examples
    --------
    >>> [label(column) for column in records.TABLES["stacks"]][4:6]
    ['Stacked *', 'Start MC (%)']
    """
    unit = f" ({column.unit})" if column.unit else " (F)" if column.kind == "F" else ""
    base = column.name.removesuffix("_" + column.unit) if column.unit else column.name
    for end in ("_pct", "_deg", "_f"):
        base = base.removesuffix(end)
    words = column.label or base.replace("_", " ").capitalize().replace(" mc", " MC")
    return words + unit + (" *" if column.needed else "")


def labels(of: str) -> dict[str, str]:
    """Return the label of each column of a table, without its star.

    Examples
    --------
    >>> labels("readings")["temp_f"]
    'Temp (F)'
    """
    return {c.name: label(c).removesuffix(" *") for c in records.TABLES[of]}


def rows_in(path: Path) -> int:
    """Return how many rows a file has, good or not."""
    return count(content(path), path.stem.lower())


def saved(of: str, row: int, many: int) -> str:
    """Say that a row was saved, as an owner counts and as the file does.

    Examples
    --------
    >>> saved("stacks", 2, 1)
    'Saved as your first stack (row 2 of stacks.csv).'
    """
    if many == 1:
        return f"Saved as your first {of.removesuffix('s')} (row {row} of {of}.csv)."
    return f"Saved as row {row} of {of}.csv: you have {many:,} {of} now."


def seen_as(value: Any, name: str) -> str:
    """Return a value as a page shows it: 12' 4", 30 cm, and no long decimals."""
    told = as_measured(value, KINDS.get(name, ""))
    return told if re.search("[^0-9.]", told) else as_shown(value)


def cell(row: Any, column: str) -> str:
    """Return a cell of the table under the form; a value with its unit, which must not part on a narrow screen."""
    text = seen_as(row[column], column)
    return f"{text}\xa0{records.text(row['unit'])}".rstrip() if column == "value" else text


def short(row: Any) -> str:
    """Return a row in a line of a list: its first cells; of a reading also what was read.

    Examples
    --------
    >>> short({"date": "2027-06-05", "stack": "A", "board": "1", "kind": "weight", "value": 11.5, "unit": "lb"})
    '2027-06-05, A, 1, weight, 11.5 lb'
    """
    cells = {name: seen_as(value, name) for name, value in dict(row).items()}
    told = [*cells.values()][:4]
    if "value" in cells:
        told.append(f"{cells['value']} {cells.get('unit', '')}".strip())  # a row set aside may have none
    return ", ".join(filter(None, told))


def rows_table(of: str, last: pd.DataFrame, many: int, becomes: Callable[[Any], str]) -> str:
    """Return the last rows of a table as HTML; what becomes of a row stands beside it if it is not simply used.

    Parameters
    ----------
    of : str
        Which table.
    last : DataFrame
        The rows that are shown.
    many : int
        How many there are in all.
    becomes : callable
        Called with the number of a row; returns "" for one that is used.

    Returns
    -------
    str
    """
    names = [c for c in last.columns if any(records.text(v) for v in last[c])]
    names = [c for c in names if c != "unit"]  # it stands behind its value
    cells = [[str(n), *(cell(r, c) for c in names)] for n, r in last.iterrows()]
    marks = [becomes(n) for n in last.index]
    if any(marks):
        names, cells = [*names, "used?"], [[*r, m] for r, m in zip(cells, marks, strict=True)]
    more = f", the last {len(last)} of {many:,} rows" if many > len(last) else ""
    named = labels(of)
    return table(["row", *(named.get(str(n), str(n)) for n in names)], cells, f"{of}.csv{more}", named=True)


def changes(path: Path, row: int, before: Mapping[str, str]) -> str:
    """Say what a correction changed, as the file has it now: "Board: nothing becomes 7".

    Parameters
    ----------
    path : Path
        The table.
    row : int
        The row in it.
    before : mapping of str to str
        What its cells held.

    Returns
    -------
    str
    """
    of = path.stem.lower()
    sheet = taken_apart(content(path), of)
    now, units = cells_of(sheet, row), sheet.units if sheet else {}

    def seen(cells, name):
        return measured(cells.get(name, ""), "" if name in units else KINDS.get(name, ""))

    cells = [(named, seen(before, name), seen(now, name)) for name, named in labels(of).items()]
    return "; ".join(
        f"{named}: {was or 'nothing'} becomes {is_ or 'nothing'}" for named, was, is_ in cells if was != is_
    )


def named_elsewhere(found: OwnTables, of: str, mark: str) -> Iterator[str]:
    """Say how many rows of another table are of a log, board or stack.

    Parameters
    ----------
    found : OwnTables
    of : str
        The table of that log, board or stack.
    mark : str
        Its number or name.

    Yields
    ------
    str
    """
    other, one, tells = _TELLS.get(of, ("", "", ""))
    sheet = found.sheets.get(other)
    if sheet is None:
        return
    mark = mark.casefold()
    n = sum(sheet.cell(r, MARKS[of]).casefold() == mark for r in sheet.row_numbers) if mark else 0
    if n:
        what, they = (f"{n:,} {one}s", "They stay") if n > 1 else (f"One {one}", "It stays")
        yield f"{what} {tells}. {they} in {sheet.name}."


def good_to_know(found: OwnTables, file: str, row: int | None) -> list[str]:
    """Return what the doctor page would say of a row that is used, as that boards.csv has no such board."""
    heads = ((*remark.partition(":"),) for remark in found.remarks if remark.startswith(f"{file}, row"))
    return [f"Good to know:{what}" for where, _, what in heads if row and re.search(rf"[ ]{row}\b", where)]


def told(problem: Problem, file: str) -> str:
    """Return a problem in the words of the screen: the label in place of the column's name, no file if it is this one.

    Parameters
    ----------
    problem : Problem
    file : str
        The file that the screen shows, ``"logs.csv"``.

    Returns
    -------
    str
    """
    in_table = problem.file == file and problem.row and problem.cell is not None
    if not in_table and problem.file != TYPED:
        return own.sentence(problem)
    of = Path(file).stem
    named = labels(of).get(problem.column, "")
    where = f"row {problem.row}" if problem.row else ""
    if problem.says:
        return f"Row {problem.row}: {problem.says}"
    about = f" ({problem.about})" if problem.about else ""
    where = ", ".join(filter(None, (where, named))) or problem.column
    said = f"{capital(where)}: found {problem.found}{about}; expected {problem.expected}"
    said += "" if said.endswith(("?", ".")) else "."
    return said + (_add_the_year(problem) if problem.column in _DAYS else "")


def _add_the_year(problem):
    """Say so of a day without its year, with the last such day up to today; "" of any other text."""
    text = (problem.cell if problem.cell is not None else problem.found).strip(" '.,")
    today = date.today()
    for year in (today.year, today.year - 1):
        for gap in " /":
            days = [day.date() for day in possible_days(f"{text}{gap}{year}")]
            if any(day <= today for day in days):
                return " Add the year" + (f": {days[0].isoformat()}." if len(days) == 1 else ".")
    return ""


def near_words(folder: Path, file: str, near: list[Path], taken: bool) -> str:
    """Say that files look like the table that is missing.

    Parameters
    ----------
    folder : Path
    file : str
        The name that the table must have.
    near : list of Path
        The files that look like it.
    taken : bool
        One of them can be taken for it.

    Returns
    -------
    str
    """
    of = Path(file).stem
    names = " and ".join(f"{each.name} ({rows(content(each), of)})" for each in near[:3])
    hidden = any(each.name.lower().endswith((".csv.txt", ".csv.csv")) for each in near)
    why = " Windows may hide the end of that name." if hidden else ""
    take = "take it with the button below before you add to it"
    if not taken:
        take = f"as it is, it can't be taken for a table of {of}"
    return (
        f"There is no {file} in {folder.name}, but {names}.{why} "
        f"The book reads it only under the name {file}: {take}."
    )


def saved_since(of: str, typed: Mapping[str, str], seen: Mapping[str, Sheet] | None, found: OwnTables) -> int:
    """Return the row that another window has saved since a row was begun, and that says what is typed here; or 0.

    Parameters
    ----------
    of : str
        Which table.
    typed : mapping of str to str
    seen : mapping of str to Sheet or None
        The files when the row was begun.
    found : OwnTables
        All tables now.

    Returns
    -------
    int
    """
    sheet = seen.get(of) if seen else None
    before = {sheet.text[r.start : r.end].strip() for r in sheet.records} if sheet else set()
    now, frame = found.sheets.get(of), found.tables.get(of)
    if now is None or frame is None:
        return 0
    values, problems = records.problems_in(typed, of)
    mark = MARKS.get(of, "")
    if mark and not values[mark]:  # the number that it was given
        values.pop(mark)
    for r in now.records[1:] if not problems else ():
        if r.row in frame.index and now.text[r.start : r.end].strip() not in before:
            if same_row(values, frame.loc[r.row]):
                return r.row
    return 0


def doubts(
    found: OwnTables, file: str, row: int, known: Container[tuple[str, int, str]]
) -> tuple[list[Problem], list[Problem]]:
    """Return (what looks wrong in a row, what it made doubtful elsewhere).

    Parameters
    ----------
    found : OwnTables
    file : str
        ``"readings.csv"``.
    row : int
    known : container of (str, int, str)
        File, row and column of what looked wrong before the row was saved.

    Returns
    -------
    tuple of (list of Problem, list of Problem)
    """
    wrong = [p for p in (*found.problems, *found.doubts) if p.row]
    waits = found.waiting.get(row, ()) if file == "readings.csv" else ()
    mine = [
        p for p in wrong if (p.row, p.file) == (row, file) and (p.mend or p.column != "stack" or not waits)
    ]
    each = {(p.file, p.row or 0, p.column): p for p in wrong}
    return mine, [p for at, p in each.items() if at not in known and at[:2] != (file, row)]


def add_rows(path: Path, rows: Sequence[tuple[str, Mapping[str, str]]]) -> tuple[list[int], list[str]]:
    """Add several rows to a table, each good by itself, or none of them.

    Parameters
    ----------
    path : Path
        The table.
    rows : sequence of (str, mapping of str to str)
        What each row is called, and its cells by column.

    Returns
    -------
    tuple of (list of int, list of str)
        The rows in the file, and what was refused, in sentences. Both only if the disk or another program stopped it in
        between.
    """
    of, refused = path.stem.lower(), []
    for name, row in rows:
        for problem in records.problems_in(row, of)[1]:
            refused.append(f"{name}: {told(problem, path.name)}")
    if refused:
        return [], refused
    done: list[int] = []
    for k, (name, row) in enumerate(rows):
        try:
            done.append(int(records.append(path, row).index[-1]))
        except (InputError, OSError) as error:
            left = ", ".join(each for each, _ in rows[k:])
            return done, [
                f"{name}: {error}",
                *([f"Saved so far: {len(done)}. Not saved: {left}."] if done else []),
            ]
    return done, []


def tells(found: OwnTables, stack: str, row: int) -> str:
    """Say what moisture a reading tells; "" if it tells none.

    Examples
    --------
    >>> tells(records.read_usable(records.KETTLE_HOLLOW), "A", 11)
    'It tells 24 % moisture.'
    """
    kind, mc = next(
        ((reading.kind, mc) for reading, mc in found.told.get(stack, ()) if reading.row == row), ("", None)
    )
    if mc is None:
        return ""
    if kind == "meter" and mc > (most := meter_range_pct()[1]):
        return f"Kept, but not trusted: over {most:g} % a meter says wet and no more. It read {mc:.0f} %."
    return f"It tells {mc:.0f} % moisture."
